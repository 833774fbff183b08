"""The demo's part families. Each design is a frozen dataclass whose fields are the dimensions of its drawing."""
