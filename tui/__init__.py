"""The terminal screens of the register."""
