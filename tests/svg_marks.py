"""What SVG marks draw, read back from their attributes."""

import re

import numpy as np


def strokes_of(mark):
    """The lines of a path, (N, 2) each; none of what is no path."""
    parts = mark.attributes.get("d", "").split("M ")[1:]
    return [np.array(re.findall(r"-?[\d.]+", part), dtype=float).reshape(-1, 2) for part in parts]


def middle_of(mark):
    """The middle of a circle or a rectangle."""
    keep = {
        key: float(value)
        for key, value in mark.attributes.items()
        if key in {*"xyr", "cx", "cy", "width", "height"}
    }
    if mark.tag == "circle":
        return keep["cx"], keep["cy"]
    return keep["x"] + keep["width"] / 2, keep["y"] + keep["height"] / 2


def words_of(marks):
    return [mark.text for mark in marks if mark.tag == "text"]
