"""Cutting planes: what connecting the parts must cost at least, and what that proves."""
