"""Room for the terminal screens of the register; there are none yet."""
