"""The story of the demo as plain data: who, what, when. Nothing here reads or writes a register."""
