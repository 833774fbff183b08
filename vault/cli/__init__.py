"""The command line: a command parses, calls one action, and shows the result."""
