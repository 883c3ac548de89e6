"""On what to align: sewn earlier, in reach, far apart, and said so where it is not to be had."""

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
import shapely
from banded_plans import BLOCK_MM, banded, handed
from hypothesis import given, settings
from strategies import places_apart

from stitchpath.drawing import Drawing
from stitchpath.figures.alignment import _spread, alignment
from stitchpath.figures.band_frames import band_frames
from stitchpath.formats.bands_table import bands_table
from stitchpath.formats.read_bands import read_bands
from stitchpath.lines import Line, Role
from stitchpath.plan import Move, Plan, Span, StitchPath


def sewn(line, *points, band=1, move=Move.SEW):
    return StitchPath(points, (Span(move, 0, len(points) - 1, line, "all"),), band=band)


def plan_of(*paths, roles, windows=((0, 100), (90, 190)), hidden=(), blocks=()):
    lines = tuple(Line([(0, 0), (1, 1)], role) for role in roles)
    return Plan(Drawing(lines, hidden, blocks=blocks), paths, (), 0.0, windows=windows)


@pytest.mark.parametrize("sideways", [False, True])
def test_marks_are_sewn_earlier_in_reach_and_lettered_as_the_top_lies(sideways):
    plan = banded(sideways=sideways, columns=5, rows=6)
    frames = {frame.number: frame for frame in band_frames(plan)}
    told = alignment(plan)
    assert [one.band for one in told] == list(range(2, len(plan.windows) + 1))
    for one in told:
        places = np.array([mark.place_mm for mark in one.marks])
        assert 2 <= len(places) <= 4
        assert one.note == ""
        assert "".join(mark.letter for mark in one.marks) == "ABCD"[: len(places)]
        assert frames[one.band].reaches(places).all()
        earlier = [shapely.LineString(p.coordinates_mm) for p in plan if p.band < one.band]
        assert shapely.distance(shapely.points(places)[:, None], earlier).min(axis=1).max() < 1e-9
        across = frames[one.band].laid(places)[:, 0]
        assert (np.diff(across) > 0).all()
        assert all("two seams meet at the lower right corner of row" in mark.what for mark in one.marks)
    assert told == alignment(plan)


def test_a_fourth_mark_close_to_another_is_left_out():
    (one,) = alignment(banded(rows=2, columns=7))
    blocks = [round(mark.place_mm[0] / BLOCK_MM) for mark in one.marks]
    assert (blocks[0], blocks[-1]) == (1, 6)
    assert np.diff(blocks).min() == 2
    (one,) = alignment(banded(rows=2, columns=8))
    assert np.diff([mark.place_mm[0] for mark in one.marks]).round(3).tolist() == [203.2, 203.2, 203.2]


CROSS = (sewn(1, (0, 95), (50, 95), (400, 95)), sewn(2, (50, 0), (50, 95), (50, 100)))
LATER = sewn(3, (0, 150), (9, 150), band=2)


@pytest.mark.parametrize(
    ("paths", "count", "note"),
    [
        ((sewn(1, (0, 95), (9, 95)), LATER), 0, "no junction sewn in an earlier band"),
        ((*CROSS, LATER), 1, "only one junction"),
        ((*CROSS, sewn(4, (110, 0), (110, 95)), LATER), 1, "only one junction"),  # no vertex: not noded
        ((sewn(1, (0, 95), (50, 95), (110, 95), (400, 95)), sewn(2, (50, 0), (50, 95)),
          sewn(4, (110, 95), (110, 0)), LATER), 2, "only 60 mm apart"),
        ((sewn(1, (0, 95), (50, 95), (250, 95), (400, 95)), sewn(2, (50, 0), (50, 95)),
          sewn(4, (250, 95), (250, 0)), LATER), 2, ""),
    ],
)  # fmt: skip
def test_what_is_missing_is_said(paths, count, note):
    (one,) = alignment(plan_of(*paths, roles=[Role.FILL] * 4))
    assert len(one.marks) == count
    assert note in one.note
    assert bool(one.note) == bool(note)


def test_a_band_without_stitches_is_said():
    (one,) = alignment(plan_of(*CROSS, roles=[Role.FILL] * 2))
    assert (one.band, one.marks) == (2, ())
    assert "nothing is sewn" in one.note


@pytest.mark.parametrize(
    ("paths", "found"),
    [
        # A seam that two blocks asked for runs on: nothing for the eye.
        ((sewn(1, (0, 95), (50, 95)), sewn(2, (50, 95), (90, 95))), 0),
        # Two lines meet in a corner.
        ((sewn(1, (0, 95), (50, 95)), sewn(2, (50, 95), (50, 60))), 1),
        # One line that turns is no place where two meet.
        ((sewn(1, (0, 95), (50, 95), (50, 60)),), 0),
        # A later band's line is not sewn yet, what is out of reach cannot be seen.
        ((sewn(1, (0, 95), (50, 95), (90, 95)), sewn(2, (50, 95), (50, 120), band=2)), 0),
        ((sewn(1, (0, 85), (50, 85), (90, 85)), sewn(2, (50, 85), (50, 60))), 0),
        # Travel along a hidden seam is stitching, too.
        ((sewn(1, (0, 95), (50, 95), (90, 95)), sewn(None, (50, 95), (50, 60), move=Move.TRAVEL)), 1),
    ],
)
def test_what_the_eye_finds(paths, found):
    (one,) = alignment(plan_of(*paths, LATER, roles=[Role.FILL] * 3))
    assert len(one.marks) == found


def test_seams_go_first_unless_they_lie_close_together():
    def marks(apart):
        seams = sewn(1, (0, 95), (10, 95), (10 + apart, 95), (300, 95), (900, 95))
        others = [sewn(i, (x, 95), (x, 50)) for i, x in ((2, 10), (3, 10 + apart))]
        fill = [sewn(4, (x, 99), (x, 97), (x + 2, 97)) for x in (0, 900)]
        meets = [sewn(5, (x, 97), (x, 90)) for x in (0, 900)]
        late = sewn(6, (0, 150), (9, 150), band=2)
        roles = [Role.DITCH] * 3 + [Role.FILL] * 3
        (one,) = alignment(plan_of(seams, *others, *fill, *meets, late, roles=roles))
        return [mark.what for mark in one.marks]

    assert set(marks(450)) == {"two seams meet"}
    assert "two fill lines meet" in marks(100)


def test_where_seams_cross_goes_before_where_a_fill_meets_one():
    seam = sewn(1, (0, 95), (10, 95), (20, 95), (480, 95), (490, 95), (500, 95))
    others = [sewn(i, (x, 95), (x, 50)) for i, x in ((2, 20), (3, 480))]
    fill = [sewn(4, (x, 95), (x, 50)) for x in (10, 490)]
    runs_on = sewn(5, (500, 95), (900, 95)), sewn(4, (500, 95), (500, 50))  # a seam in two pieces
    late = sewn(4, (0, 150), (9, 150), band=2)
    roles = [Role.DITCH] * 3 + [Role.FILL, Role.DITCH]
    (one,) = alignment(plan_of(seam, *others, *fill, *runs_on, late, roles=roles))
    assert [mark.place_mm[0] for mark in one.marks] == [20, 480]


def test_words_name_what_meets_and_where():
    ditch = Line([(50, 0), (50, 100)], Role.HIDDEN)
    paths = (sewn(1, (0, 95), (50, 95), (300, 95)), sewn(None, (50, 95), (50, 60), move=Move.TRAVEL))
    (one,) = alignment(plan_of(*paths, LATER, roles=[Role.FILL] * 3, hidden=(ditch,)))
    assert one.marks[0].what == "seam and fill line meet"
    (one,) = alignment(plan_of(*paths, LATER, roles=[Role.FILL] * 3))
    assert one.marks[0].what == "edge line and fill line meet"
    blocks = banded(rows=1, columns=2).drawing.blocks
    (one,) = alignment(plan_of(*paths, LATER, roles=[Role.FILL] * 3, hidden=(ditch,), blocks=blocks))
    assert one.marks[0].what == "seam and fill line meet in or near row 1, column 1"


@settings(deadline=None, derandomize=True, max_examples=60)
@given(places_apart((0, 60), (0, 8), up_to=9))
def test_no_other_choice_lies_farther_apart(places):
    points = np.array(places, dtype=float).reshape(-1, 2)
    chosen = _spread(points)
    assert len(set(chosen)) == len(chosen)
    assert len(chosen) >= min(len(points), 2)
    if len(chosen) < 2:
        return

    def least(some):
        return min(np.hypot(*(points[a] - points[b])) for a, b in combinations(some, 2))

    assert least(chosen) == max(least(some) for some in combinations(range(len(points)), len(chosen)))


def test_many_places_take_the_farthest_two_and_no_long_time():
    points = np.random.default_rng(4).uniform(0, 1, (5000, 2)) * (2000, 300)
    points[[17, 4000]] = [(-50, -50), (2100, 350)]
    chosen = _spread(points)
    assert len(chosen) == 4
    between = [np.hypot(*(points[a] - points[b])) for a, b in combinations(chosen, 2)]
    assert min(between) > 600


def test_the_table_is_read_back(tmp_path):
    for unit in ("mm", "in"):
        plan = banded()
        (tmp_path / "a.csv").write_text(bands_table(plan, unit=unit), newline="")
        rows = read_bands(tmp_path / "a.csv")
        assert [row.mark for row in rows] == ["start", "end", *["start", "end", "A", "B", "C"] * 2]
        for row in rows:
            frame = band_frames(plan)[row.band - 1]
            np.testing.assert_allclose(frame.laid(np.array([row.place_mm]))[0], row.file_mm, atol=1.1e-3)
    empty = replace(banded(), paths=banded().paths[:5])
    (tmp_path / "a.csv").write_text(bands_table(empty), newline="")
    notes = [row for row in read_bands(tmp_path / "a.csv") if row.mark == "note"]
    assert [(row.band, row.place_mm) for row in notes] == [(2, None), (3, None)]


def test_the_hand_aligns_nothing_and_a_band_without_the_frame_says_so():
    plan = handed()
    assert [told.band for told in alignment(plan)] == [2, 3]
    assert alignment(plan.by_hand) == ()
    fewer = replace(plan, paths=tuple(path for path in plan if path.band != 2))
    assert alignment(fewer)[0].note.startswith("band 2: the frame sews nothing in it")
