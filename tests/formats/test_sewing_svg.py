import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest
from export_plans import orchard

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.formats.read_svg import read_svg
from stitchpath.formats.sewing_svg import sewing_svg, write_svg
from stitchpath.plan import Move, Plan, Span, StitchPath

SPACE = "{http://www.w3.org/2000/svg}"


def plan_of(*paths, outline=None):
    made = tuple(StitchPath(points, (Span(Move.SEW, 0, len(points) - 1),)) for points in paths)
    return Plan(Drawing((), outline=outline), made, (), 0.0)


def length(points):
    return np.hypot(*np.diff(points, axis=0).T).sum()


def test_it_holds_nothing_but_the_paths_in_order():
    plan = orchard()
    root = ET.fromstring(sewing_svg(plan))
    assert root.tag == f"{SPACE}svg"
    assert [child.tag for child in root.iter()][1:] == [f"{SPACE}path"] * len(plan)
    assert "".join(root.itertext()).strip() == ""
    for child, path in zip(root, plan, strict=True):
        assert child.get("d").count("M") == 1
        assert child.get("fill") == "none"
        x, y = path.coordinates_mm[0]
        assert child.get("d").startswith(f"M {x:.3f},{y:.3f} L ")


def test_lengths_read_with_another_reader_are_the_plans():
    plan = orchard()
    for child, path in zip(ET.fromstring(sewing_svg(plan)), plan, strict=True):
        numbers = [pair.split(",") for pair in child.get("d")[2:].replace("L ", "").split()]
        assert length(np.array(numbers, dtype=float)) == pytest.approx(
            path.length_mm, abs=1e-3 * len(numbers)
        )


def test_true_size():
    root = ET.fromstring(sewing_svg(orchard()))
    _, _, width, height = root.get("viewBox").split()
    assert (root.get("width"), root.get("height")) == (f"{width}mm", f"{height}mm")
    assert float(width) == pytest.approx(508.0, abs=1)


def test_read_back_within_the_rounding(tmp_path):
    plan = orchard(rows=1)
    write_svg(plan, tmp_path / "a.svg")
    for points, path in zip(read_svg(tmp_path / "a.svg"), plan, strict=True):
        assert np.abs(points - path.coordinates_mm).max() <= 0.0005 + 1e-9
        assert not points.flags.writeable


def test_numbers_are_fixed_and_never_minus_zero():
    text = sewing_svg(plan_of([(-0.0001, 0.00049), (1 / 3, 1e5), (-0.0, 2.0)]))
    assert "M 0.000,0.000 L 0.333,100000.000 0.000,2.000" in text
    assert "-0.000" not in text


@pytest.mark.parametrize(
    ("options", "first"),
    [
        ({}, (10, 20)),
        ({"y_up": True}, (10, 80)),
        ({"origin": "sewn corner"}, (0, 0)),
        ({"origin": "sewn corner", "y_up": True}, (0, 10)),
        ({"origin": "middle"}, (-40, -30)),
        ({"origin": "middle", "y_up": True}, (-40, 30)),
        ({"origin": (10, 25)}, (0, -5)),
        ({"origin": (10, 25), "y_up": True}, (0, 5)),
    ],
)
def test_origin_and_axis(tmp_path, options, first):
    shapely = pytest.importorskip("shapely")
    plan = plan_of([(10, 20), (30, 30)], outline=shapely.box(0, 0, 100, 100))
    write_svg(plan, tmp_path / "a.svg", **options)
    (points,) = read_svg(tmp_path / "a.svg")
    np.testing.assert_allclose(points[0], first, atol=1e-9)
    np.testing.assert_allclose(length(points), np.hypot(20, 10), atol=1e-3)


def test_without_an_outline_the_corner_is_that_of_what_is_sewn():
    assert "M 0.000,0.000" in sewing_svg(plan_of([(10, 20), (30, 30)]))


@pytest.mark.parametrize("origin", ["corner", (1,), (1, float("nan")), (1e300, 0), (0, -1.1e6)])
def test_no_such_origin(origin):
    with pytest.raises(DesignError, match="origin"):
        sewing_svg(orchard(), origin=origin)


def test_what_cannot_be_written(tmp_path):
    for plan, words in (
        (plan_of(), "there is no path"),
        (plan_of([(0, 0), (np.nan, 1)]), r"path 1 has a point at \(nan, 1\)"),
        (plan_of([(0, 0), (1, 1)], [(0, 0), (np.inf, 1)]), "path 2 has a point"),
        (plan_of([(0, 0)]), "path 1 has 1 points"),
        (replace(orchard(), paths=(StitchPath([(0, 0), (1, 1), (2, 2)], (Span(Move.SEW, 0, 1),)),)), "spans"),
    ):
        with pytest.raises(DesignError, match=words):
            write_svg(plan, tmp_path / "a.svg")
    assert list(tmp_path.iterdir()) == []


def test_same_plan_same_bytes():
    assert sewing_svg(orchard()) == sewing_svg(orchard())
