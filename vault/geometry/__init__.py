"""The geometry room: shape files become numbers, pictures and other shape files; it knows no orders and no git."""
