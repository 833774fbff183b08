"""How results read on a terminal, and the same results as JSON."""
