"""What the shop hands to its customers: renderings of one allow-list value, and nothing else."""
