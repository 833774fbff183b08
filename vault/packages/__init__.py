"""The reprint package as a sealed bag of files: how it is made, and how anybody checks it."""
