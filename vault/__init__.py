"""The part register of a job shop that binder-jets metal."""
