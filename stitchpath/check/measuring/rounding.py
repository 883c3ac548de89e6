"""How far numbers may be off that are right: what three decimals and long sums round away."""

__all__ = ["STEP_MM", "SUM_SHARE"]

STEP_MM = 0.0015
"""How much rounding to 3 decimals can change the length of a segment: 0.0005 mm along x and y at both ends,
at most 0.0014 mm in all."""

SUM_SHARE = 1e-9
"""Relative error of adding up many floating-point numbers: 2**-53 for each of some millions."""
