"""How records are written: where they lie, as which bytes, and what they point at."""
