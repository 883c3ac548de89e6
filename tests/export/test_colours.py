"""The colours of the order: grey print and eyes that lack a cone."""

import numpy as np
import pytest

from stitchpath.export.colours import order_colours

# sRGB to CIE XYZ, D65: IEC 61966-2-1:1999. CIELAB: CIE 15. Written anew here, in the other direction.
XYZ_FROM_RGB = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
# Full deficiency: Machado, Oliveira and Fernandes, A Physiologically-based Model for Simulation of Color
# Vision Deficiency, IEEE TVCG 15(6) 2009, table for severity 1.0, on linear RGB; from memory.
DEFICIENCY = {
    "protan": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deutan": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "tritan": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
}


def linear(colours):
    rgb = np.array([[int(c[i : i + 2], 16) for i in (1, 3, 5)] for c in colours]) / 255
    return np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)


def lab(rgb):
    ratio = np.clip(rgb, 0, 1) @ XYZ_FROM_RGB.T / np.array([0.9505, 1.0, 1.089])
    f = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.column_stack([116 * f[:, 1] - 16, 500 * (f[:, 0] - f[:, 1]), 200 * (f[:, 1] - f[:, 2])])


def test_the_checks_own_conversion():
    # sRGB red in CIELAB under D65: 53.24, 80.09, 67.20, as handbooks of colour give it; from memory.
    np.testing.assert_allclose(lab(linear(["#ff0000"])), [[53.24, 80.09, 67.20]], atol=0.05)
    np.testing.assert_allclose(lab(linear(["#ffffff"])), [[100, 0, 0]], atol=0.02)


@pytest.mark.parametrize("kind", ["normal", *DEFICIENCY])
def test_lightness_rises_evenly_for_every_eye(kind):
    rgb = linear(order_colours(24)) @ np.array(DEFICIENCY.get(kind, np.eye(3))).T
    steps = np.diff(lab(rgb)[:, 0])
    assert (steps > 0.5).all()


@pytest.mark.parametrize("kind", ["normal", *DEFICIENCY])
def test_colours_a_tenth_of_the_scale_apart_are_told_apart(kind):
    rgb = linear(order_colours(11)) @ np.array(DEFICIENCY.get(kind, np.eye(3))).T
    # CIE76 distance; 2.3 is a just noticeable difference (Mahy et al. 1994, from memory).
    assert (np.hypot.reduce(np.diff(lab(rgb), axis=0), axis=1) > 2.3).all()
    ends = lab(rgb)[[0, -1]]
    assert np.linalg.norm(ends[1] - ends[0]) > 40


def test_every_colour_shows_on_white_paper():
    luminance = linear(order_colours(60)) @ XYZ_FROM_RGB[1]
    contrast = 1.05 / (luminance + 0.05)  # WCAG 2.1: 1.4.11 asks 3 to 1 of graphics
    assert contrast.min() >= 3.0


def test_neither_green_nor_red_at_the_ends():
    first, last = (tuple(int(c[i : i + 2], 16) for i in (1, 3, 5)) for c in order_colours(2))
    assert first[2] > 2 * max(first[0], first[1])  # blue
    assert last[0] > last[1] > 0.55 * last[0]  # amber
    assert last[2] < 0.4 * last[0]


def test_few():
    assert order_colours(0) == ()
    assert order_colours(1) == order_colours(2)[:1]
