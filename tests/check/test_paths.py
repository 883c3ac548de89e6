"""Paths against drawings: true ones pass, spoilt ones are found, and a lattice says which rule is broken."""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from strategies import angles_deg, lattice_lines, lattice_paths, lengths_mm, yes_or_no

from stitchpath.check import check_paths
from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.lines import KeepOut, Line, Role
from stitchpath.plan import Move, Span, StitchPath
from stitchpath.settings import CostSettings, MachineSettings, RoleChange, ScheduleSettings, Stage

SEW, TRAVEL = Move.SEW, Move.TRAVEL


def sewn(points, *, stage="detail", band=1):
    """A path that sews all its points."""
    return StitchPath(points, (Span(SEW, 0, len(points) - 1, stage=stage),), band=band)


def mixed(points, moves, *, stage="detail", band=1):
    """A path with one move for each segment; `stage` may be one for each segment too."""
    stages = [stage] * len(moves) if isinstance(stage, str) else stage
    spans = tuple(
        Span(move, i, i + 1, stage=s) for i, (move, s) in enumerate(zip(moves, stages, strict=True))
    )
    return StitchPath(points, spans, band=band)


def kinds(findings):
    return {finding.kind for finding in findings}


def circle(x, y, radius, count=200):
    angle = np.linspace(0, 2 * np.pi, count + 1)
    points = np.stack((x + radius * np.cos(angle), y + radius * np.sin(angle)), axis=1)
    points[-1] = points[0]
    return points


def rounded(path):
    return replace(path, coordinates_mm=np.round(path.coordinates_mm, 3))


RIM = circle(50, 50, 30)
CROSS = (Line([(0, 50), (100, 50)], Role.FILL, block="row 1, column 1", motif="fill"),)
SEAM = Line([(0, 0), (100, 0), (100, 100), (0, 100), (0, 0)], Role.DITCH, motif="ditch")
OUTLINE = Line(RIM, Role.OUTLINE, motif="pear: outside outline")
DRAWING = Drawing(
    lines=(SEAM, OUTLINE, *CROSS),
    hidden=(Line([(0, 0), (-6, 0)], Role.HIDDEN),),
    keep_outs=(KeepOut(shapely.Polygon(circle(12, 12, 5)), motif="leaf", block="row 1, column 1"),),
)
SEAM_PATH = sewn(SEAM.points_mm, stage="seams")
RIM_PATH = rounded(sewn(RIM))
FILL_PATH = sewn([(0, 50), (20, 50), (80, 50), (100, 50)])
TRUE = (SEAM_PATH, RIM_PATH, FILL_PATH)


def test_true_paths_hold():
    assert check_paths(TRUE, DRAWING) == ()
    assert check_paths([replace(p, coordinates_mm=p.coordinates_mm[::-1]) for p in TRUE], DRAWING) == ()


def test_nothing_asked_and_nothing_sewn_holds():
    assert check_paths((), Drawing(lines=())) == ()


def test_a_path_may_run_on_into_the_next_stage():
    points = [*SEAM.points_mm.tolist(), (0, 50), (100, 50)]
    path = mixed(points, [SEW] * 4 + [TRAVEL, SEW], stage=["seams"] * 4 + ["seams", "detail"])
    assert check_paths((path, RIM_PATH), DRAWING) == ()


@pytest.mark.parametrize("missing", range(3))
def test_a_path_left_out_is_missed(missing):
    kept = [path for i, path in enumerate(TRUE) if i != missing]
    findings = check_paths(kept, DRAWING)
    assert kinds(findings) == {"covered"}


def test_a_gap_is_told_with_its_length_and_place():
    short = sewn([(0, 50), (99.9, 50)])
    (finding,) = check_paths((*TRUE[:2], short), DRAWING)
    # The seam at x = 100 covers the last 0.004 mm, and the needle another 0.004 mm beyond its last point.
    assert finding.message == ("row 1, column 1: fill is not sewn over 0.092 mm")
    assert finding.place_mm == pytest.approx((99.95, 50))


def test_a_gap_within_what_counts_as_covered_is_none():
    assert check_paths((*TRUE[:2], sewn([(0, 50), (99.993, 50)])), DRAWING) == ()


@pytest.mark.parametrize("off", [0.05, 0.006, -0.006])
def test_a_point_moved_off_its_line_is_found(off):
    moved = RIM_PATH.coordinates_mm.copy()
    moved[40] += np.array([off, off]) * (moved[40] - 50) / 30 * math.sqrt(2)
    findings = check_paths((SEAM_PATH, replace(RIM_PATH, coordinates_mm=moved), FILL_PATH), DRAWING)
    assert kinds(findings) == {"covered", "open cloth"}


@pytest.mark.parametrize("off", [0.0015, -0.0015])
def test_what_noding_and_rounding_move_is_no_fault(off):
    moved = RIM_PATH.coordinates_mm.copy()
    moved[1:-1:2] += off
    assert check_paths((SEAM_PATH, replace(RIM_PATH, coordinates_mm=moved), FILL_PATH), DRAWING) == ()


def test_a_way_over_open_cloth_is_found():
    path = mixed([(0, 50), (100, 50), (100, 100), (50, 79.9)], [SEW, TRAVEL, TRAVEL])
    findings = check_paths((*TRUE[:2], path), DRAWING)
    assert kinds(findings) == {"open cloth"}
    assert "path 3 leaves its lines" in findings[0].message
    assert findings[0].place_mm == pytest.approx((75.12, 90.0), abs=0.01)  # halfway to the rim


def test_travel_before_sewing_is_found():
    path = mixed([(0, 50), (20, 50), (80, 50), (100, 50)], [SEW, TRAVEL, SEW])
    assert kinds(check_paths((*TRUE[:2], path), DRAWING)) == {"covered", "travel"}


def test_travel_is_judged_by_when_it_happens():
    back = mixed([(100, 50), (80, 50), (100, 50), (80, 50)], [SEW, TRAVEL, TRAVEL])
    early = mixed([(100, 50), (80, 50), (20, 50), (0, 50)], [TRAVEL, SEW, SEW])
    late = mixed([(100, 50), (80, 50), (20, 50), (0, 50)], [SEW, SEW, SEW])
    cost = CostSettings(roles={Role.FILL: RoleChange(most_times=4)})
    assert kinds(check_paths((*TRUE[:2], early, back), DRAWING, cost=cost)) == {"travel"}
    rest = mixed([(80, 50), (20, 50), (0, 50)], [SEW, SEW])
    assert check_paths((*TRUE[:2], back, rest), DRAWING, cost=cost) == ()
    assert kinds(check_paths((*TRUE[:2], back, late), DRAWING, cost=cost)) == {"sew"}


def test_travel_over_half_a_step_not_sewn_yet_is_found():
    path = mixed([(0, 50), (50, 50), (0, 50), (100, 50)], [SEW, TRAVEL, TRAVEL])
    rest = sewn([(50, 50), (100, 50)])
    cost = CostSettings(roles={Role.FILL: RoleChange(most_times=4)})
    findings = check_paths((*TRUE[:2], path, rest), DRAWING, cost=cost)
    assert kinds(findings) == {"travel"}
    assert "for 50.000 mm" in findings[0].message


def test_hidden_seams_may_be_travelled_in_any_stage_and_never_sewn():
    along = [(-6, 0), (0, 0)]
    assert check_paths((mixed(along, [TRAVEL], stage="baste"), *TRUE), DRAWING) == ()
    assert kinds(check_paths((sewn(along, stage="seams"), *TRUE), DRAWING)) == {"sew"}


def test_sewing_twice_is_called_travel():
    findings = check_paths((*TRUE, FILL_PATH), DRAWING)
    assert kinds(findings) == {"sew"}
    assert "sewn 2 times over 100.000 mm" in findings[0].message


def test_more_times_than_a_role_allows_are_found_whatever_the_steps():
    again = mixed([(30, 50), (70, 50), (33, 50)], [TRAVEL, TRAVEL])
    findings = check_paths((*TRUE, again), DRAWING)
    assert kinds(findings) == {"times"}
    assert "sewn 3 times over 37.000 mm; 2 is the most" in findings[0].message
    seams = mixed([(10, 0), (90, 0), (10, 0), (90, 0)], [TRAVEL] * 3, stage="seams")
    assert check_paths((SEAM_PATH, seams, *TRUE[1:]), DRAWING) == ()
    assert kinds(check_paths((SEAM_PATH, seams, *TRUE[1:], seams), DRAWING)) == {"times", "stage"}


def test_coinciding_lines_bear_what_the_most_patient_of_them_bears():
    double = replace(DRAWING, lines=(*DRAWING.lines, Line([(20, 0), (60, 0)], Role.FILL)))
    assert check_paths(TRUE, double) == ()
    thrice = mixed([(30, 0), (50, 0), (30, 0), (50, 0)], [TRAVEL] * 3)
    assert check_paths((*TRUE, thrice), double) == ()
    assert kinds(check_paths((*TRUE, thrice, thrice), double)) == {"times"}


def test_a_line_that_touches_another_does_not_lend_it_its_times():
    line = Line([(0, 80), (100, 80)], Role.FILL, motif="tangent")
    drawing = replace(DRAWING, lines=(*DRAWING.lines, line))
    paths = (*TRUE, sewn([(0, 80), (50, 80), (100, 80)]))
    assert check_paths(paths, drawing) == ()
    back = mixed([(100, 80), (0, 80)], [TRAVEL])
    round_again = mixed(RIM_PATH.coordinates_mm, [TRAVEL] * (len(RIM) - 1))
    assert check_paths((*paths, back, round_again), drawing) == ()
    assert kinds(check_paths((*paths, back, back), drawing)) == {"times"}


def test_stages_are_kept():
    assert kinds(check_paths((RIM_PATH, FILL_PATH, SEAM_PATH), DRAWING)) == {"stage"}
    in_seams = replace(FILL_PATH, spans=(Span(SEW, 0, 3, stage="seams"),))
    findings = check_paths((SEAM_PATH, in_seams, RIM_PATH), DRAWING)
    assert kinds(findings) == {"stage"}
    assert 'is sewn in stage "seams"; its line belongs to "detail"' in findings[0].message
    unknown = replace(FILL_PATH, spans=(Span(SEW, 0, 3, stage="applique"),))
    assert "no stage" in check_paths((*TRUE[:2], unknown), DRAWING)[0].message
    one = ScheduleSettings(stages=(Stage(name="all", roles=(Role.DITCH, Role.OUTLINE, Role.FILL)),))
    mixed_up = [replace(p, spans=(replace(p.spans[0], stage="all"),)) for p in TRUE[::-1]]
    assert check_paths(mixed_up, DRAWING, schedule=one) == ()


def test_coinciding_lines_are_sewn_in_the_earliest_stage():
    both = Drawing(lines=(Line([(0, 0), (9, 0)], Role.FILL), Line([(0, 0), (9, 0)], Role.DITCH)))
    assert check_paths([sewn([(0, 0), (9, 0)], stage="seams")], both) == ()
    assert kinds(check_paths([sewn([(0, 0), (9, 0)])], both)) == {"stage"}


def test_lines_a_hair_apart_are_each_sewn_in_their_own_stage():
    seam, fill = Line([(0, 0), (9, 0)], Role.DITCH), Line([(0, 0.002), (9, 0.002)], Role.FILL)
    both = Drawing(lines=(seam, fill))
    paths = [sewn(seam.points_mm, stage="seams"), sewn(fill.points_mm)]
    assert check_paths(paths, both) == ()
    assert kinds(check_paths([sewn(seam.points_mm, stage="baste"), paths[1]], both)) == {"stage"}


def test_bands_are_kept():
    later = replace(SEAM_PATH, band=2)
    (finding,) = check_paths((later, *TRUE[1:]), DRAWING, machine=MachineSettings(reach=100))
    assert finding.kind == "band"
    assert finding.message == "path 2 goes back to band 1 after band 2"


def test_a_keep_out_entered_is_found_and_one_touched_is_not():
    for depth, found in ((0.1, {"keep-out"}), (0.006, {"keep-out"}), (0.003, set()), (0.0, set())):
        line = Line([(20, 25 - depth), (80, 25 - depth)], Role.FILL)
        square = KeepOut(shapely.box(40, 20, 60, 25), motif="leaf", block="row 1, column 1")
        drawing = Drawing(lines=(line,), keep_outs=(square,))
        findings = check_paths([sewn(line.points_mm)], drawing)
        assert kinds(findings) == found, depth
        if depth == 0.1:
            assert "path 1 enters the keep-out of row 1, column 1: leaf, 0.100 mm deep" in findings[0].message


def test_a_keep_out_with_a_hole_may_be_sewn_in_the_hole():
    ring = shapely.box(0, 0, 30, 30).difference(shapely.box(10, 10, 20, 20))
    inside, across = Line([(11, 15), (19, 15)]), Line([(11, 15), (21, 15)])
    for line, found in ((inside, set()), (across, {"keep-out"})):
        drawing = Drawing(lines=(line,), keep_outs=(KeepOut(ring),))
        assert kinds(check_paths([sewn(line.points_mm)], drawing)) == found


@pytest.mark.parametrize(
    ("path", "said"),
    [
        (StitchPath([(0, 0)], ()), "takes two"),
        (sewn([(0, 0), (math.nan, 1)]), "no finite number"),
        (sewn([(0, 0), (math.inf, 1)]), "no finite number"),
        (sewn([(3, 3), (3, 3)]), "one place"),
        (StitchPath([(0, 0), (1, 0), (2, 0)], (Span(SEW, 0, 1),)), "do not follow"),
        (StitchPath([(0, 0), (1, 0), (2, 0)], (Span(SEW, 0, 1), Span(SEW, 0, 2))), "do not follow"),
        (StitchPath([(0, 0), (1, 0)], (Span(SEW, 0, 2),)), "do not follow"),
        (StitchPath([(0, 0), (1, 0)], ()), "do not follow"),
    ],
)
def test_a_broken_path_is_told(path, said):
    findings = check_paths((*TRUE, path), DRAWING)
    assert kinds(findings) == {"path"}
    assert "path 4" in findings[0].message
    assert said in findings[0].message


def test_points_that_repeat_are_no_fault():
    assert check_paths((*TRUE[:2], sewn([(0, 50), (0, 50), (20, 50), (20, 50), (100, 50)])), DRAWING) == ()


def test_many_findings_of_a_kind_are_counted():
    lines = tuple(Line([(0, y), (9, y)]) for y in range(50))
    findings = check_paths((), Drawing(lines=lines))
    assert len(findings) == 21
    assert findings[-1].message == "and at 30 more places"


def test_a_keep_out_that_crosses_itself_proves_nothing():
    bow_tie = KeepOut(shapely.Polygon([(0, 0), (10, 10), (10, 0), (0, 10)]))
    line = Line([(20, 20), (30, 20)])
    findings = check_paths([sewn(line.points_mm)], Drawing(lines=(line,), keep_outs=(bow_tie,)))
    assert kinds(findings) == {"keep-out"}


def test_a_line_that_is_no_place_is_refused():
    with pytest.raises(DesignError, match="not finite"):
        check_paths(TRUE, Drawing(lines=(Line([(0, 0), (math.nan, 1)]),)))


def test_lines_a_hair_apart_are_sewn_each_and_one_line_is_not_sewn_twice_beside_itself():
    low, high = Line([(0, 0), (100, 0)], Role.FILL), Line([(0, 0.002), (100, 0.002)], Role.FILL)
    both = [sewn(low.points_mm), sewn(high.points_mm)]
    again = [mixed(line.points_mm[::-1], [TRAVEL]) for line in (low, high)]
    assert check_paths([*both, *again], Drawing(lines=(low, high))) == ()
    assert kinds(check_paths([*both, *again, *again], Drawing(lines=(low, high)))) == {"times"}
    assert kinds(check_paths(both, Drawing(lines=(low,)))) == {"sew"}
    assert kinds(check_paths([both[0], *again], Drawing(lines=(low,)))) == {"times"}


def test_a_hidden_seam_a_hair_beside_an_asked_line_is_not_sewn_as_well():
    fill, seam = Line([(0, 0), (100, 0)], Role.FILL), Line([(0, 0.002), (100, 0.002)], Role.HIDDEN)
    drawing = Drawing(lines=(fill,), hidden=(seam,))
    assert check_paths([sewn(fill.points_mm)], drawing) == ()
    assert check_paths([sewn(fill.points_mm), mixed(seam.points_mm, [TRAVEL])], drawing) == ()
    assert kinds(check_paths([sewn(fill.points_mm), sewn(seam.points_mm)], drawing)) == {"sew"}


def test_lines_that_part_at_the_smallest_angle_are_each_sewn():
    """Where two lines begin together they are as near as you like, and a third one passes there."""
    lines = [
        Line([(0, 0), (40, 0)], Role.FILL),
        Line([(0, 0), (40, 0.01)], Role.FILL),
        Line([(0, 0), (40, 3.5)], Role.OUTLINE),
    ]
    paths = [sewn(line.points_mm) for line in lines]
    assert check_paths(paths, Drawing(lines=tuple(lines))) == ()


def test_a_line_drawn_there_and_back_is_sewn_once():
    line = Line([(0, 0), (100, 0), (0, 0)], Role.FILL)
    assert check_paths([sewn([(0, 0), (100, 0)])], Drawing(lines=(line,))) == ()
    back = mixed([(0, 0), (100, 0), (0, 0)], [SEW, TRAVEL])
    assert check_paths([back], Drawing(lines=(line,))) == ()
    assert kinds(check_paths([sewn([(0, 0), (100, 0), (0, 0)])], Drawing(lines=(line,)))) == {"sew"}


# A lattice: every rule is a statement about whole unit edges, so that a few sets and counters say what a
# check must find. Turned, scaled and rounded, it is anything but easy for geometry.

ROLES = (Role.DITCH, Role.OUTLINE, Role.FILL)
STAGE = {Role.DITCH: "seams", Role.OUTLINE: "detail", Role.FILL: "detail", Role.HIDDEN: "later"}
MOST = {Role.DITCH: 4, Role.OUTLINE: 2, Role.FILL: 2, Role.HIDDEN: 4}


@dataclass(frozen=True)
class Frame:
    """Where the lattice lies."""

    angle: float
    scale: float

    def place(self, points):
        turn = np.array(
            [[math.cos(self.angle), math.sin(self.angle)], [-math.sin(self.angle), math.cos(self.angle)]]
        )
        return np.asarray(points, float) * self.scale @ turn + 100


def edges(points: Sequence):
    return [frozenset({tuple(a), tuple(b)}) for a, b in pairwise(points)]


def oracle(lines, paths):
    """Which kinds of finding unit edges call for."""
    roles: dict = {}
    for role, points in lines:
        for edge in edges(points):
            roles.setdefault(edge, set()).add(role)
    passed, sewings, found, last = Counter(), set(), set(), 0
    for points, moves, stage in paths:
        now = ("baste", "seams", "detail").index(stage)
        found |= {"stage"} if now < last else set()
        last = now
        for edge, move in zip(edges(points), moves, strict=True):
            here = roles.get(edge, set())
            asked = here - {Role.HIDDEN}
            if not here:
                found.add("open cloth")
                continue
            passed[edge] += 1
            if move is SEW:
                found |= {"sew"} if not asked or edge in sewings else set()
                first = edge not in sewings
                sewings.add(edge)
                if first and asked and stage != min((STAGE[r] for r in asked), key=("seams", "detail").index):
                    found.add("stage")
            elif Role.HIDDEN not in here and edge not in sewings:
                found.add("travel")
            if passed[edge] > max(MOST[r] for r in here):
                found.add("times")
    asked_edges = {edge for edge, here in roles.items() if here - {Role.HIDDEN}}
    return found | ({"covered"} if asked_edges - sewings else set())


@settings(deadline=None, derandomize=True, max_examples=300)
@given(
    lattice_lines(*ROLES, Role.HIDDEN),
    lattice_paths(),
    yes_or_no(),
    angles_deg(0, 360),
    lengths_mm(2, 300),
)
def test_a_lattice_finds_the_same(asked, extra, complete, angle, scale):
    frame = Frame(math.radians(angle), scale)
    done = sorted(asked, key=lambda line: line[0] is not Role.DITCH) if complete else []
    paths = []
    fresh: set = set()
    for role, points in done:
        if role is not Role.HIDDEN:
            moves = []
            for edge in edges(points):
                moves.append(TRAVEL if edge in fresh else SEW)
                fresh.add(edge)
            paths.append((points, moves, STAGE[role]))
    for points, sews, detail in extra:
        moves = [SEW if sew else TRAVEL for sew in sews][: len(points) - 1]
        paths.append((points, moves, "detail" if detail else "seams"))
    drawing = Drawing(
        lines=tuple(Line(frame.place(p), role) for role, p in asked if role is not Role.HIDDEN),
        hidden=tuple(Line(frame.place(p), role) for role, p in asked if role is Role.HIDDEN),
    )
    laid = [mixed(np.round(frame.place(p), 3), moves, stage=stage) for p, moves, stage in paths]
    assert kinds(check_paths(laid, drawing)) == oracle(asked, paths)
