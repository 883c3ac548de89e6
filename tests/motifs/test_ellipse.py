import math

import numpy as np
import pytest
import shapely
from curve_lines import flatten
from hypothesis import given, settings
from places import block, drawn_in
from pydantic import ValidationError
from strategies import angles_deg, lengths_mm, shares

from stitchpath.errors import DesignError
from stitchpath.geometry.curves import EllipseCurve as Curve
from stitchpath.lines import COVERED_MM, Role
from stitchpath.motifs import Ellipse


def edge_of(curve):
    return shapely.LineString(flatten(curve, 1e-5))


def gap(line, curve):
    """How far a line's points lie from an ellipse."""
    return shapely.distance(edge_of(curve), shapely.points(line.points_mm))


def test_an_applique_has_two_outlines_and_a_strip_between_that_is_kept_out_of():
    drawn = Ellipse(name="pear", height="7 in", ratio="3:2", tilt=20, applique=True).lines(block())
    assert [line.motif for line in drawn.lines] == ["pear: outside outline", "pear: inside outline"]
    assert {(line.role, line.thread, line.block, line.closed) for line in drawn.lines} == {
        (Role.OUTLINE, "grey", "row 2, column 3", True)
    }
    curve = Curve((227.0, 177.0), (177.8 / 3, 88.9), 20.0)
    for line in drawn.lines:  # 1/8 in on either side of the edge: the place's clearance
        assert gap(line, curve) == pytest.approx(3.175, abs=1e-4)
    (keep_out,) = drawn.keep_outs
    rings = [keep_out.polygon.exterior, *keep_out.polygon.interiors]
    for ring, line in zip(rings, drawn.lines, strict=True):
        assert np.array_equal(np.asarray(ring.coords), line.points_mm)
    (shape,) = drawn.shapes
    assert (shape.curve, shape.stop_mm, shape.core_mm) == (curve, 3.175, -3.175)
    assert shape.stop.difference(shape.core).equals(keep_out.polygon)


@pytest.mark.parametrize(
    ("fields", "outside_mm", "inside_mm"),
    [
        ({}, 2.0, -3.0),
        ({"size_is": "edge"}, 2.0, -3.0),
        ({"size_is": "line"}, 0.0, -5.0),
        ({"size_is": "line", "outlines": "inside"}, 5.0, 0.0),
        ({"size_is": "line", "outlines": "outside"}, 0.0, -5.0),
    ],
)
def test_the_size_is_that_of_the_edge_or_of_the_outermost_sewn_line(fields, outside_mm, inside_mm):
    motif = Ellipse(height=150, width=100, applique=True, inside_clearance=3, outside_clearance=2, **fields)
    (shape,) = motif.lines(block()).shapes
    assert (shape.stop_mm, shape.core_mm) == (outside_mm, inside_mm)
    x0, _, x1, _ = shape.stop.bounds
    assert x1 - x0 == pytest.approx(100 + 2 * outside_mm, abs=1e-9)


def test_one_outline_alone_keeps_the_strip_all_the_same():
    for side in ("outside", "inside"):
        drawn = Ellipse(height=150, ratio=1.5, applique=True, outlines=side).lines(block())
        assert [line.motif for line in drawn.lines] == [f"ellipse: {side} outline"]
        assert len(drawn.keep_outs[0].polygon.interiors) == 1


def test_the_whole_applique_is_kept_out_of_on_request():
    drawn = Ellipse(height=150, ratio=1.5, applique=True, keep_out="whole").lines(block())
    assert [line.motif for line in drawn.lines] == ["ellipse: outside outline"]
    assert drawn.shapes[0].core is None
    assert drawn.keep_outs[0].polygon.equals(drawn.shapes[0].stop)


def test_nested_ovals_are_true_parallel_curves_inwards():
    motif = Ellipse(height=150, width=100, tilt=-15, nested=[10, 40, 25], centre=(5, "-1 cm"))
    drawn = motif.lines(block())
    assert [line.motif for line in drawn.lines] == [f"ellipse: oval{n}" for n in ("", " 2", " 3", " 4")]
    curve = Curve((232.0, 167.0), (50.0, 75.0), -15.0)
    for line, distance in zip(drawn.lines, (0, 10, 40, 25), strict=True):
        assert gap(line, curve) == pytest.approx(distance, abs=1e-4)
    assert np.array_equal(np.asarray(drawn.shapes[0].core.exterior.coords), drawn.lines[2].points_mm)
    assert drawn.keep_outs == ()


def test_width_and_ratio_give_the_height():
    assert Ellipse(width=100, ratio="5:2").curve(block()).semi_axes == (50.0, 125.0)
    assert Ellipse(height=100, ratio=0.5).curve(block()).semi_axes == (100.0, 50.0)


def test_sizes_and_tilts_vary_over_the_top():
    motif = Ellipse(height={"rows": [80, 120, 90, 90, 90]}, ratio=2, tilt={"columns": [5, 10, 15, 20]})
    curve = motif.curve(block())
    assert (curve.semi_axes, curve.tilt_deg) == ((30.0, 60.0), 15.0)


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"height": 5}, "only height is given; write two of them"),
        ({}, "none is given"),
        ({"height": 5, "width": 4, "ratio": 1}, "all three are given; write two of them"),
        ({"height": 5, "ratio": "3/2"}, '"3:2" or 1.5'),
        ({"height": 5, "ratio": "0:2"}, '"3:2" or 1.5'),
        ({"height": 5, "ratio": math.inf}, '"3:2" or 1.5'),
        ({"height": 5, "ratio": True}, '"3:2" or 1.5'),
        ({"height": 0, "ratio": 1}, "0.5 mm or more"),
        ({"height": -5, "ratio": 1}, "0.5 mm or more"),
        ({"height": math.nan, "ratio": 1}, "finite"),
        ({"height": "tall", "ratio": 1}, "not a length"),
        ({"height": 5, "ratio": 1, "tilt": "20"}, "not an angle"),
        ({"height": 5, "ratio": 1, "tilt": math.nan}, "tilt"),
        ({"height": 5, "ratio": 1, "outlines": "both"}, "applique = true"),
        ({"height": 5, "ratio": 1, "applique": True, "nested": [1]}, "nested"),
        ({"height": 5, "ratio": 1, "applique": True, "keep_out": "whole", "outlines": "both"}, "outside"),
        ({"height": 5, "ratio": 1, "hight": 1}, "hight"),
    ],
)
def test_what_does_not_fit_together_is_refused(fields, said):
    with pytest.raises(ValidationError, match=said):
        Ellipse(**fields)


@pytest.mark.parametrize(
    ("fields", "key", "said"),
    [
        ({"height": 260, "ratio": 2}, "height", "260 mm tall, its block 254 mm; write a smaller oval"),
        ({"width": 255, "ratio": 0.5}, "width", "255 mm wide, its block 254 mm"),
        ({"height": 250, "ratio": 2, "applique": True}, "height", "256.[34] mm tall, its block"),
        ({"height": 200, "ratio": 2, "centre": (0, 30)}, "centre", "over the edge; move it"),
        ({"height": 300, "ratio": 3, "tilt": 40}, None, None),
        (
            {"height": 20, "width": 9, "applique": True, "inside_clearance": 4.5},
            "inside_clearance",
            "9 mm across",
        ),
        ({"height": 20, "width": 6, "applique": True}, "height", "swallows the oval"),
        ({"height": 50, "width": 40, "nested": [5, 20]}, "nested", "20 mm inwards"),
        (
            {"height": 50, "width": 40, "nested": [19.999]},
            "nested",
            "nothing is left of the oval 20 mm inwards",
        ),
        ({"height": 1, "ratio": 100}, "ratio", "makes the oval 0.01 mm across, too narrow for one"),
        ({"width": 90_000, "ratio": 100}, "ratio", r"makes the oval 9e\+06 mm across, too large"),
        (
            {
                "height": 20,
                "width": 6,
                "applique": True,
                "size_is": "line",
                "keep_out": "whole",
                "outside_clearance": 3,
            },
            "outside_clearance",
            "swallows",
        ),
        ({"height": {"rows": [10, 20]}, "ratio": 1}, "height", "2 sizes stand in the list for 5 rows"),
    ],
)
def test_what_cannot_be_drawn_names_key_and_remedy(fields, key, said):
    motif = Ellipse(**fields)
    if key is None:  # tilted, it fits
        assert motif.lines(block()).lines
        return
    with pytest.raises(DesignError, match=said) as caught:
        motif.lines(block())
    assert caught.value.key == key
    assert caught.value.remedy


def test_an_applique_on_anothers_lines_is_refused():
    pear = Ellipse(name="pear", height=120, ratio=1.5, applique=True, centre=(-30, 0))
    leaf = Ellipse(name="leaf", height=120, ratio=1.5, centre=(30, 0))
    for pair in ([pear, leaf], [leaf, pear]):
        with pytest.raises(DesignError, match="run into the edge of an appliqué") as caught:
            drawn_in(block(), pair)
        assert caught.value.key == "centre"
    drawn_in(block(), [leaf, leaf.model_copy(update={"centre": (0, 0)})])  # quilted ones may cross
    small = Ellipse(height=30, ratio=1, applique=True, centre=(30, 0))
    assert len(drawn_in(block(), [leaf, small])[0].shapes) == 2  # and hold one another


@settings(deadline=None, derandomize=True, max_examples=60)
@given(lengths_mm(20, 150), shares(0.4, 3), angles_deg(-90, 90), lengths_mm(0.5, 6), lengths_mm(0.5, 6))
def test_no_outline_is_in_its_keep_out(height, ratio, tilt, inside, outside):
    motif = Ellipse(
        height=height,
        ratio=ratio,
        tilt=tilt,
        applique=True,
        inside_clearance=inside,
        outside_clearance=outside,
    )
    try:
        drawn = motif.lines(block(500))
    except DesignError:
        assert inside >= min(height, height / ratio) / 2 - 0.25  # no oval is less than 0.5 mm across
        return
    within = drawn.keep_outs[0].polygon.buffer(-COVERED_MM)
    for line in drawn.lines:
        assert not shapely.LineString(line.points_mm).intersects(within)


@pytest.mark.parametrize(
    ("fields", "outside", "inside"),
    [
        ({}, "grey", "grey"),
        ({"thread": "red"}, "red", "red"),
        ({"inside_thread": "blue"}, "grey", "blue"),
        ({"thread": "red", "outside_thread": "blue"}, "blue", "red"),
        ({"inside_thread": "red", "outside_thread": "blue"}, "blue", "red"),
    ],
)
def test_each_outline_has_its_own_thread_or_the_motifs_or_the_places(fields, outside, inside):
    motif = Ellipse(height=60, ratio=1.5, applique=True, **fields)
    assert [line.thread for line in motif.lines(block()).lines] == [outside, inside]
    assert motif.threads(block()) == (outside, inside)
    assert motif.named_threads == fields


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"inside_thread": "red"}, "inside_thread belongs to an appliqué"),
        ({"applique": True, "outlines": "inside", "outside_thread": "red"}, "leave out outside_thread"),
        ({"applique": True, "outlines": "outside", "inside_thread": "red"}, "leave out inside_thread"),
        ({"applique": True, "keep_out": "whole", "inside_thread": "red"}, "leave out inside_thread"),
    ],
)
def test_the_thread_of_an_outline_that_is_not_sewn_is_refused(fields, said):
    with pytest.raises(ValidationError, match=said):
        Ellipse(height=60, ratio=1.5, **fields)
    one = Ellipse(height=60, ratio=1.5, applique=True, outlines="inside", inside_thread="red")
    assert one.threads(block()) == ("red",)
