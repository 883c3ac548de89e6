"""Shapes only: curves, parallel curves, clipping, noding."""
