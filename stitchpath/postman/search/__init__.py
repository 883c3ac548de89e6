"""Better plans, in rising effort."""
