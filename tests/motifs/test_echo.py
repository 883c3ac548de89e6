import numpy as np
import pytest
import shapely
from curve_lines import flatten
from places import block, drawn_in

from stitchpath.errors import DesignError, LimitError
from stitchpath.lines import COVERED_MM, Role
from stitchpath.motifs import Echo, Ellipse, Strip

PEAR = Ellipse(name="pear", height=120, width=80, tilt=20, applique=True)
LEAVES = [
    Ellipse(name=f"leaf {side}", height=100, width=40, tilt=side * 30, centre=(side * 28, 0))
    for side in (-1, 1)
]


def echoes(drawn):
    return [line for line in drawn.lines if line.role is Role.ECHO]


def test_outwards_are_true_parallel_curves_of_the_outside_outline():
    drawn, _ = drawn_in(block(), [PEAR, Echo(spacing=6, count=3)])
    assert [line.motif for line in echoes(drawn)] == [f"echo: round {n}" for n in (1, 2, 3)]
    edge = shapely.LineString(flatten(drawn.shapes[0].curve, 1e-5))
    for number, line in enumerate(echoes(drawn), start=1):
        assert line.closed
        gaps = shapely.distance(edge, shapely.points(line.points_mm))
        assert gaps == pytest.approx(3.175 + 6 * number, abs=1e-4)


def test_inwards_until_nothing_remains():
    drawn, _ = drawn_in(block(), [PEAR, Echo(spacing=6, direction="inwards")])
    # The core is 40 - 3.175 = 36.825 mm deep: six rounds of 6 mm.
    assert len(echoes(drawn)) == 6
    edge = shapely.LineString(flatten(drawn.shapes[0].curve, 1e-5))
    for number, line in enumerate(echoes(drawn), start=1):
        gaps = shapely.distance(edge, shapely.points(line.points_mm))
        assert gaps == pytest.approx(3.175 + 6 * number, abs=1e-3)
        assert drawn.shapes[0].core.contains(shapely.LineString(line.points_mm))


def test_until_the_room_is_full():
    drawn, _ = drawn_in(block(), [PEAR, Echo(spacing=6, least_piece=0.01)])
    room = shapely.box(*block().box_mm)
    assert all(room.buffer(1e-9).contains(shapely.LineString(line.points_mm)) for line in echoes(drawn))
    corners = shapely.points(list(room.exterior.coords))
    sewn = shapely.MultiLineString([line.points_mm for line in echoes(drawn)])
    assert shapely.distance(sewn, corners).max() < 2 * 6 + 1


def test_a_round_that_leaves_the_room_is_cut_there_alone():
    drawn, _ = drawn_in(block(), [PEAR, Echo(spacing=6, least_piece=0.01)])
    x0, y0, x1, y1 = block().box_mm
    opened = [line.points_mm for line in echoes(drawn) if not line.closed]
    assert opened
    ends = np.concatenate([points[[0, -1]] for points in opened])
    on_side = np.isclose(ends, (x0, y0)) | np.isclose(ends, (x1, y1))
    assert on_side.any(axis=1).all()


def test_echoes_of_a_pair_run_together():
    drawn, _ = drawn_in(block(), [*LEAVES, Echo(spacing=5, count=4)])
    stops = [shape.stop.buffer(-COVERED_MM) for shape in drawn.shapes]
    lines = [shapely.LineString(line.points_mm) for line in echoes(drawn)]
    assert all(not line.intersects(stop) for line in lines for stop in stops)
    both = shapely.union_all([shape.stop for shape in drawn.shapes])
    for line in echoes(drawn):
        number = int(line.motif[-1])
        points = shapely.points(line.points_mm)
        assert shapely.distance(both, points) == pytest.approx(5 * number, abs=0.03)


def test_of_one_oval_by_name_stops_at_the_other():
    drawn, _ = drawn_in(block(), [*LEAVES, Echo(spacing=5, count=4, of="leaf 1")])
    for line in echoes(drawn):
        assert not shapely.LineString(line.points_mm).intersects(drawn.shapes[0].stop.buffer(-COVERED_MM))
    edge = shapely.LineString(flatten(drawn.shapes[1].curve, 1e-5))
    gaps = np.concatenate([shapely.distance(edge, shapely.points(line.points_mm)) for line in echoes(drawn)])
    assert set(np.round(gaps / 5 + 0.0)) == {1, 2, 3, 4}
    with pytest.raises(DesignError, match='is called "stem"; write the name of one of its ovals') as caught:
        drawn_in(block(), [*LEAVES, Echo(spacing=5, of="stem")])
    assert caught.value.key == "of"


def test_echoes_in_an_oval_stay_in_it():
    big = Ellipse(name="big", height=200, width=180)
    drawn, _ = drawn_in(block(), [big, PEAR, Echo(spacing=6, of="pear")])
    core = drawn.shapes[0].core.buffer(1e-6)
    assert echoes(drawn)
    assert all(core.contains(shapely.LineString(line.points_mm)) for line in echoes(drawn))


def test_no_echo_between_the_lines_of_a_strip():
    drawn, place = drawn_in(block(), [PEAR, Strip(width=30), Echo(spacing=6, count=4)])
    sewn = shapely.MultiLineString([line.points_mm for line in echoes(drawn)])
    assert all(sewn.intersection(p.buffer(-COVERED_MM)).is_empty for p in place.strips[0].cloth)
    assert not any(line.closed for line in echoes(drawn))
    drawn, _ = drawn_in(block(), [PEAR, Strip(width=30), Echo(spacing=6, count=4, through_strips=True)])
    assert all(line.closed for line in echoes(drawn))


def test_what_they_cover():
    drawn, _ = drawn_in(
        block(), [PEAR, Echo(spacing=6, count=2), Echo(spacing=6, count=2, direction="inwards")]
    )
    outside, inside = drawn.echoed
    (shape,) = drawn.shapes
    assert outside.intersection(inside).area == 0
    # Steiner: the ring between two parallel curves 12 mm apart has area L d + pi d².
    assert outside.area == pytest.approx(shape.stop.length * 12 + np.pi * 144, rel=1e-3)
    assert inside.area == pytest.approx(shape.core.length * 12 - np.pi * 144, rel=1e-2)


def test_no_line_says_so():
    drawn, _ = drawn_in(block(), [Echo(spacing=5)])
    assert [note.kind for note in drawn.notes] == ["no line"]
    drawn, _ = drawn_in(block(), [PEAR, Echo(spacing=50, direction="inwards")])
    assert [note.kind for note in drawn.notes] == ["no line"]


def test_a_budget_is_refused_before_drawing():
    with pytest.raises(LimitError, match="over the limit of 2,000") as caught:
        drawn_in(block(), [PEAR, Echo(spacing=0.1)])
    assert caught.value.key == "spacing"
