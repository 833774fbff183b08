"""The process room: what powder, binder and furnace do to sizes and masses, as plain arithmetic."""
