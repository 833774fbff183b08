"""What follows from what is recorded: pure functions that return findings, never a bare yes or no."""
