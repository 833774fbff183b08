"""How many boxes a quantity takes. First form: a grid of bounding boxes, and it says so."""
