"""Small stitches that secure ends: true ones pass, and every way of spoiling them is found."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from strategies import polylines

from stitchpath.check import check_paths, check_plan
from stitchpath.drawing import Drawing
from stitchpath.lines import KeepOut, Line, Role
from stitchpath.plan import Move, Plan, RoutedJob, Span, StitchPath
from stitchpath.planning.paths.securing import secure
from stitchpath.settings import MachineSettings

SMALL = MachineSettings(secured="small stitches")
FILL = Line([(0, 0), (100, 0), (100, 2), (200, 2)], Role.FILL, motif="fill")
DRAWING = Drawing(lines=(FILL,))


def by_hand(start, own, end, *, moves=(Move.SECURE, Move.SEW, Move.SECURE), stages=("detail",) * 3, line=1):
    """A path of three parts, each of which begins where the one before ends."""
    points, spans, at = [own[0] if not start else start[0]], [], 0
    for part, move, stage in zip((start, own, end), moves, stages, strict=True):
        if part:
            points += part[1:]
            spans.append(Span(move, at, at + len(part) - 1, line, stage))
            at += len(part) - 1
    return StitchPath(points, tuple(spans))


OWN = FILL.points_mm.tolist()
START, END = [(0, 0), (3, 0), (0, 0)], [(200, 2), (197, 2), (200, 2)]


def told(path, drawing=DRAWING):
    """Return what is said of small stitches; nothing else may be found."""
    findings = check_paths([path], drawing)
    assert {finding.kind for finding in findings} <= {"secure"}
    return [finding.message for finding in findings]


def test_true_ones_hold():
    assert told(by_hand(START, OWN, END)) == []
    assert told(by_hand([], OWN, END)) == []
    assert told(by_hand([(0, 0), (1.5, 0), (0, 0), (1.5, 0), (0, 0)], OWN, [])) == []


def test_they_are_no_second_sewing_and_no_travel():
    twice = by_hand(START, OWN, END, moves=(Move.TRAVEL, Move.SEW, Move.TRAVEL))
    assert {f.kind for f in check_paths([twice], DRAWING)} == {"travel", "times"}
    again = by_hand(START, OWN, END, moves=(Move.SEW, Move.SEW, Move.SEW))
    assert {f.kind for f in check_paths([again], DRAWING)} == {"sew", "times"}


def test_they_sew_nothing():
    short = by_hand([(0, 0), (3, 0), (0, 0)], OWN[:-1], [(100, 2), (97, 2), (100, 2)])
    kinds = {f.kind for f in check_paths([short], DRAWING)}
    assert kinds == {"covered", "secure"}


@pytest.mark.parametrize(
    ("start", "end", "words"),
    [
        ([(0, 0), (3, 0.02), (0, 0)], END, "start: the small stitches leave the first 3.000 mm"),
        ([(0, 0), (-3, 0), (0, 0)], END, "start: the small stitches leave the first"),
        (START, [(200, 2), (203, 2), (200, 2)], "end: the small stitches leave the first 3.000 mm"),
        (START, [(200, 2), (200, -1), (200, 2)], "end: the small stitches leave"),
        ([(0, 0), (3.3, 0), (0, 0)], END, "stitches are 6.600 mm long; 6.000 mm is the most"),
        ([(0, 0), (1.5, 0)] * 3 + [(0, 0)], END, "start: the small stitches are 9.000 mm long"),
        ([(0, 0), (0.5, 0), (0, 0)], END, "stitches are 1.000 mm long; 3.000 mm is the least"),
        ([(2.9, 0), (0, 0)], END, "start: the small stitches do not begin and end in the end point"),
        (START, [(200, 2), (197, 2)], "end: the small stitches do not begin and end in the end point"),
    ],
)  # fmt: skip
def test_spoilt_ones_are_found(start, end, words):
    assert any(words in said for said in told(by_hand(start, OWN, end)))


def test_a_cut_corner_is_found():
    bent = Line([(0, 0), (2, 0), (2, 2), (50, 2)], Role.FILL)
    cut = by_hand([(0, 0), (2, 1), (0, 0)], bent.points_mm.tolist(), [])
    (said,) = told(cut, Drawing(lines=(bent,)))
    assert said == "path 1, start: the small stitches leave the first 3.000 mm of the path's line"
    round_it = [(0, 0), (2, 0), (2, 1), (2, 0), (0, 0)]
    assert told(by_hand(round_it, bent.points_mm.tolist(), []), Drawing(lines=(bent,))) == []


def test_near_is_along_the_path_and_not_as_the_crow_flies():
    """The ring's first point is its last, too: the last side is near it, and 120 mm on along the path."""
    ring = Line([(0, 0), (40, 0), (40, 40), (0, 40), (0, 0)], Role.OUTLINE)
    own = ring.points_mm.tolist()
    backwards = by_hand([(0, 0), (0, 3), (0, 0)], own, [])
    (said,) = told(backwards, Drawing(lines=(ring,)))
    assert said == "path 1, start: the small stitches leave the first 3.000 mm of the path's line"
    assert told(by_hand([], own, [(0, 0), (0, 3), (0, 0)]), Drawing(lines=(ring,))) == []


@pytest.mark.parametrize("length", [0.4, 2.0])
def test_on_a_short_path_they_are_as_long_as_it_is(length):
    short = Line([(0, 0), (length, 0)], Role.FILL)
    drawing = Drawing(lines=(short,))
    there = [(0, 0), (length, 0), (0, 0)]
    assert told(by_hand(there, there[:2], there[1::-1] + there[1:2]), drawing) == []
    beyond = [(0, 0), (length + 0.2, 0), (0, 0)]
    assert any("leave the first" in said for said in told(by_hand(beyond, there[:2], []), drawing))


def test_between_the_ends_nothing_is_to_be_secured():
    back = [(100, 2), (97, 2), (100, 2)]
    spans = (
        Span(Move.SEW, 0, 2, 1, "detail"),
        Span(Move.SECURE, 2, 4, 1, "detail"),
        Span(Move.SEW, 4, 5, 1, "detail"),
    )
    path = StitchPath([*OWN[:3], *back[1:], OWN[3]], spans)
    assert "path 1 has small stitches between its ends, where nothing is to be secured" in told(path)


def test_two_spans_of_them_at_one_end_are_found():
    path = by_hand(START, OWN, END)
    cut = (replace(path.spans[0], last=1), replace(path.spans[0], first=1))
    assert "between its ends" in told(replace(path, spans=(*cut, *path.spans[1:])))[0]


@pytest.mark.parametrize("count", [1, 2])
def test_a_path_of_nothing_else_is_found(count):
    spans = tuple(Span(Move.SECURE, i, i + 1, 1, "detail") for i in range(count))
    path = StitchPath(START[: count + 1], spans)
    findings = check_paths([path], DRAWING)
    assert "path 1 has nothing but small stitches that secure its ends" in [f.message for f in findings]


def test_own_points_that_stay_in_one_place_are_nothing_else():
    path = by_hand(START, [(0, 0), (0, 0)], START)
    findings = check_paths([path], DRAWING)
    assert {f.kind for f in findings} == {"covered", "secure"}


@pytest.mark.parametrize(
    "other", [{"stages": ("seams", "detail", "detail")}, {"stages": ("x", "detail", "x")}]
)
def test_another_stage_is_found(other):
    assert "have another stage or line than the path there" in told(by_hand(START, OWN, END, **other))[0]


def test_another_line_is_found():
    path = by_hand(START, OWN, END)
    named = replace(path, spans=(replace(path.spans[0], line=None), *path.spans[1:]))
    assert "have another stage or line than the path there" in told(named)[0]


def test_they_are_kept_out_of_keep_outs():
    drawing = replace(DRAWING, keep_outs=(KeepOut(shapely.box(0.5, 1, 1.5, 2.5), "leaf", "row 1"),))
    into = by_hand([(0, 0), (1, 0), (1, 1.5), (1, 0), (0, 0)], OWN, END)
    findings = check_paths([into], drawing)
    (kept,) = [f for f in findings if f.kind == "keep-out"]
    assert kept.message.startswith("path 1 enters the keep-out of row 1: leaf, ")
    assert {f.kind for f in findings} == {"keep-out", "secure"}


def plan_of(path, machine):
    cost = 30.0 * (4 + 4)
    job = RoutedJob(1, "detail", cost, cost, 0.0, 1, False, 0.001)
    return Plan(DRAWING, (path,), (job,), cost, machine=machine)


PLAIN = by_hand([], OWN, [])


@pytest.mark.parametrize(
    ("path", "machine", "words"),
    [
        (PLAIN, MachineSettings(), []),
        (by_hand(START, OWN, END), SMALL, []),
        (PLAIN, SMALL, ["secure its start", "secure its end"]),
        (by_hand(START, OWN, []), SMALL, ["secure its end"]),
        (by_hand([], OWN, END), SMALL, ["secure its start"]),
        (by_hand(START, OWN, END), MachineSettings(), ["at its start; ", "at its end; "]),
        (by_hand([], OWN, END), MachineSettings(sewn_by="hand"), ["at its end; "]),
    ],
)
def test_files_hold_them_if_and_only_if_the_machine_wants_it(path, machine, words):
    findings = check_plan(plan_of(path, machine), DRAWING)
    assert [f.kind for f in findings] == ["secure"] * len(words)
    assert all(word in f.message for word, f in zip(words, findings, strict=True))


@settings(deadline=None, derandomize=True)
@given(polylines((-400, 400), (-400, 400), step_mm=1 / 100, up_to=9))
def test_those_that_a_frame_gets_hold_after_rounding(points):
    line = Line(points, Role.FILL)
    (path,) = secure([StitchPath(points, (Span(Move.SEW, 0, len(points) - 1, 1, "detail"),))], SMALL)
    written = replace(path, coordinates_mm=np.round(path.coordinates_mm, 3))
    findings = check_paths([written], Drawing(lines=(line,)))
    assert [f.message for f in findings if f.kind == "secure"] == []


def test_those_of_a_finely_divided_curve_hold_after_rounding():
    around = np.linspace(0, 2 * np.pi, 4000)
    ring = np.stack((20 * np.cos(around), 20 * np.sin(around)), axis=1)
    ring[-1] = ring[0]
    (path,) = secure([StitchPath(ring, (Span(Move.SEW, 0, len(ring) - 1, 1, "detail"),))], SMALL)
    written = replace(path, coordinates_mm=np.round(path.coordinates_mm, 3))
    assert told(written, Drawing(lines=(Line(ring, Role.OUTLINE),))) == []
