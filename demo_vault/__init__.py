"""The demo: an invented shop, its invented customers, and parts drawn by code. Nothing here is a recipe."""
