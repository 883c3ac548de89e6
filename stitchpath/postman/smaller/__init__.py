"""Smaller problems with the same answer."""
