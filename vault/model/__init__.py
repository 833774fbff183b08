"""What things are: frozen values without I/O. Read this folder first and you know the trade."""
