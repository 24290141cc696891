"""A large history read in batch: planned in parts, each written once, on all cores or on several machines."""
