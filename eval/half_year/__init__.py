"""A simulated half year: a shop that lacks thirty matters at the start, and what grows from its own work."""
