"""Colours for order: dark blue first, amber last, told apart by lightness alone.

They are made here, with no plotting library: a quadratic Bezier curve in CIELAB (CIE 15; D65 white) through
three control points, from dark blue over a greyed rose to amber. Lightness rises evenly from 20 to 61, so
that the order survives grey print and eyes that lack a cone; and blue turns to yellow, the one contrast that
red-green blindness leaves. 61 is as light as a line on white paper may be for a contrast of 3 to 1 (WCAG 2.1,
1.4.11). There is no green for start and no red for stop. Conversion to sRGB: IEC 61966-2-1.
"""

import numpy as np
from numpy.typing import NDArray

__all__ = ["DEEP", "LIGHT", "MIDDLE", "PALE", "colours_at", "order_colours"]

PALE, LIGHT, MIDDLE, DEEP = "#cecece", "#a8a8a8", "#868686", "#6a6a6a"
"""Greys for what is no path of its own, told apart on white paper from each other and from black."""

# the curve's control points, chosen by eye; the white point D65, and XYZ to linear sRGB: IEC 61966-2-1
_CONTROL_LAB = np.array([[20.0, 22.0, -42.0], [40.5, 40.0, -6.0], [61.0, 22.0, 62.0]])
_WHITE_XYZ = np.array([0.95047, 1.0, 1.08883])
_RGB_FROM_XYZ = np.array([[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]])


def order_colours(count: int) -> tuple[str, ...]:
    """Return `count` colours in order, as ``#rrggbb``.

    Examples
    --------
    >>> order_colours(0)
    ()
    >>> len(order_colours(60))
    60
    """
    return colours_at(np.linspace(0.0, 1.0, count))


def colours_at(along: NDArray[np.float64]) -> tuple[str, ...]:
    """Return the colours at places along the scale, 0 first and 1 last, as ``#rrggbb``.

    Examples
    --------
    >>> colours_at(np.array([0.0, 1.0])) == order_colours(2), colours_at(np.empty(0))
    (True, ())
    """
    weights = np.column_stack([(1 - along) ** 2, 2 * along * (1 - along), along**2])
    channels = np.round(_srgb(weights @ _CONTROL_LAB) * 255).astype(int)
    return tuple(f"#{r:02x}{g:02x}{b:02x}" for r, g, b in channels.tolist())


def _srgb(lab: NDArray[np.float64]) -> NDArray[np.float64]:
    level = (lab[:, 0] + 16) / 116
    f = np.column_stack([level + lab[:, 1] / 500, level, level - lab[:, 2] / 200])
    xyz = np.where(f > 6 / 29, f**3, 3 * (6 / 29) ** 2 * (f - 4 / 29)) * _WHITE_XYZ
    linear = np.clip(xyz @ _RGB_FROM_XYZ.T, 0.0, 1.0)
    return np.asarray(np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055))
