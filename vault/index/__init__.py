"""Rows that say where to look. Everything here can be made again from the store."""
