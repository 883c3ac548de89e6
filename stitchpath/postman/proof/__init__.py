"""Results checked anew, by a simpler program than the one that made them."""
