"""The colours of the order: grey print and eyes that lack a cone."""

import numpy as np
import pytest
from sight import DEFICIENCY, XYZ_FROM_RGB, apart, lab, linear

from stitchpath.pictures.colours import order_colours


def test_the_checks_own_conversion():
    # sRGB red in CIELAB under D65: 53.24, 80.09, 67.20, as handbooks of colour give it; from memory.
    np.testing.assert_allclose(lab(linear(["#ff0000"])), [[53.24, 80.09, 67.20]], atol=0.05)
    np.testing.assert_allclose(lab(linear(["#ffffff"])), [[100, 0, 0]], atol=0.02)


@pytest.mark.parametrize(
    ("one", "other", "far"),
    [
        ((50, 2.6772, -79.7751), (50, 0, -82.7485), 2.0425),
        ((50, 2.5, 0), (50, 0, -2.5), 4.3065),
        ((50, 2.5, 0), (73, 25, -18), 27.1492),
        ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
        ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
        ((50, 0, 0), (50, 0, 0), 0),
    ],
)
def test_the_checks_own_distance(one, other, far):
    """Pairs published with the formula to test it; from memory."""
    assert apart(np.array(one, float), np.array(other, float)) == pytest.approx(far, abs=5e-5)


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
