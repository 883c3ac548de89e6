"""A plan made elsewhere among others: our own read back, and faults put in, worked out by hand."""

from dataclasses import asdict, replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from plans import TWO_LEAVES, line
from strategies import sequences, whole, yes_or_no_lists

from stitchpath.check.foreign import measure_foreign
from stitchpath.compare.ways import way_of, way_of_foreign
from stitchpath.design import read_design
from stitchpath.drawing import Drawing
from stitchpath.figures import EndPlace, plan_figures
from stitchpath.plan import Move
from stitchpath.planner import make_plan
from stitchpath.settings import CostSettings, MachineSettings

# Seams round a field of 200 x 100 mm and across it at y = 50, and upright lines of fill from seam to seam.
SEAMS = [line((0, 0), (200, 0), (200, 100), (0, 100), (0, 0)), line((0, 50), (200, 50))]
FILLS = [line((x, 0), (x, 50)) for x in (40, 80, 120)]
LOOSE = line((20, 60), (20, 90))
DRAWING = Drawing.from_lines(
    [*SEAMS, *FILLS, LOOSE],
    roles=["ditch"] * 2 + ["fill"] * 4,
    hidden=[line((150, 0), (150, 50))],
    keep_outs=[shapely.box(60, 60, 80, 80)],
)
MACHINE = MachineSettings()
PATH_S, SPEED = MACHINE.path_cost_s, MACHINE.speed_mm_s


def sewn():
    return [np.array(one.coords) for one in (*SEAMS, *FILLS, LOOSE)]


def way(paths, **more):
    return way_of_foreign(measure_foreign(paths, DRAWING, **more))


def more(paths):
    """What a change of the paths adds to each figure."""
    return way(paths).less(way(sewn()))


@pytest.fixture(scope="module", params=["plain", "thread", "baste"])
def plan(request, tmp_path_factory):
    file = tmp_path_factory.mktemp("leaves") / "leaves.toml"
    text = TWO_LEAVES + '[[kinds.leaf.motifs]]\nmotif = "fill"\nspacing = 20\n'
    if request.param == "thread":
        text += 'thread = "blue"\n[threads.blue]\ntex = 40\n'
    if request.param == "baste":
        text = text.replace('{ motif = "ditch" }', '{ motif = "ditch" }, { motif = "basting" }')
    file.write_text(text, encoding="utf-8")
    return make_plan(read_design(file))


def own_way(plan):
    """Our own figures, without what leaving blocks costs: that is not counted of a plan made elsewhere."""
    way = way_of(plan_figures(plan))
    left = sum(job.crossings for job in plan.jobs) * plan.cost_settings.leaving_block_s
    return replace(way, cost_s=way.cost_s - left)


def test_our_own_plan_read_back_has_the_same_figures(plan):
    """With all digits to 0.001 of each unit; the cost is rounded to its jobs' units.

    A step of a hair, which snapping leaves where one line is led to another, may be told as on either.
    """
    own = own_way(plan)
    back = way_of_foreign(measure_foreign([path.coordinates_mm for path in plan], plan))
    assert back.gap is None
    counted = asdict(own) | {"gap": None}
    assert asdict(back) == pytest.approx(counted, abs=1e-3 * len(plan.jobs) + 0.02)


@pytest.mark.parametrize(("decimals", "each_mm"), [(3, 0.0005), (1, 0.05)])
def test_our_own_plan_rounded_and_read_back_has_the_same_figures_within_rounding(plan, decimals, each_mm):
    """Every point moves by half a unit each way at most, so does every end of a stretch of travel."""
    paths = [np.round(path.coordinates_mm, decimals) for path in plan]
    own = own_way(plan)
    found = measure_foreign(paths, plan)
    back = way_of_foreign(found)
    assert (back.paths, back.lifts, back.open_ends, found.missed) == (own.paths, own.lifts, own.open_ends, ())
    ends = 2 * sum(len(path.spans) for path in plan)
    assert back.travel_mm == pytest.approx(own.travel_mm, abs=2 * each_mm * ends)
    assert back.sewn_mm == pytest.approx(own.sewn_mm, abs=2 * each_mm * ends)
    assert back.lifts_mm == pytest.approx(own.lifts_mm, abs=4 * each_mm * own.lifts)
    for figure in ("time_s", "thread_mm", "cost_s"):
        assert getattr(back, figure) == pytest.approx(getattr(own, figure), rel=each_mm / 50)
    assert back.wander == pytest.approx(own.wander, abs=each_mm)


def test_its_paths_say_what_is_sewing_and_what_is_travel_as_ours_do(plan):
    back = measure_foreign([path.coordinates_mm for path in plan], plan).plan
    assert [path.thread for path in back] == [path.thread for path in plan]
    for ours, theirs in zip(plan, back, strict=True):
        told = [
            [(span.move, span.line, round(path.span_mm(span), 2)) for span in path.spans]
            for path in (ours, theirs)
        ]
        assert _joined(told[1]) == _joined(told[0])


def _joined(spans):
    """Spans next to each other that differ in their stage alone, as one."""
    joined = []
    for move, on, mm in spans:
        if joined and joined[-1][:2] == [move, on]:
            joined[-1][2] += mm
        else:
            joined.append([move, on, mm])
    return [(move, on, pytest.approx(mm, abs=0.05)) for move, on, mm in joined]


def test_every_figure_of_what_is_sewn_line_by_line():
    own = way(sewn())
    assert (own.paths, own.lifts, own.travel_mm, own.gap) == (6, 5, 0, None)
    assert own.sewn_mm == pytest.approx(600 + 200 + 150 + 30)
    # From (0, 0), (200, 50), (40, 50), (80, 50) and (120, 50) to where the next begins.
    assert own.lifts_mm == pytest.approx(50 + np.hypot(160, 50) + 2 * np.hypot(40, 50) + np.hypot(100, 10))
    # Ten ends lie in seams, and the loose line's two in open cloth, where they count four times.
    assert own.open_ends == 2
    assert own.cost_s == pytest.approx(PATH_S / 2 * (10 + 2 * 4))


def test_a_line_sewn_again_is_travel_that_shows():
    assert way([*sewn(), FILLS[0].coords]).travel_mm == pytest.approx(50)
    added = more([*sewn(), FILLS[0].coords])
    assert (added.paths, added.lifts, added.open_ends) == (1, 1, 0)
    assert (added.sewn_mm, added.travel_mm) == pytest.approx((0, 50), abs=1e-6)
    assert added.cost_s == pytest.approx(PATH_S + 50 * 20 / SPEED)


def test_half_a_line_sewn_again_within_a_path():
    paths = sewn()
    paths[2] = np.array([(40, 0), (40, 50), (40, 25), (40, 50)])
    added = more(paths)
    assert (added.paths, added.open_ends) == (0, 0)
    assert (added.sewn_mm, added.travel_mm) == pytest.approx((0, 50), abs=1e-6)
    assert added.cost_s == pytest.approx(50 * 20 / SPEED)


def test_travel_along_a_hidden_seam_and_a_stitched_one_is_cheap():
    hidden = np.array([(120, 0), (120, 50), (150, 50), (150, 0)])
    added = more([*sewn()[:4], hidden, sewn()[5]])
    assert (added.sewn_mm, added.travel_mm) == pytest.approx((0, 30 + 50), abs=1e-6)
    assert added.cost_s == pytest.approx(80 / SPEED)


def test_what_lies_on_no_line_is_travel_that_shows_most_and_its_ends_lie_open():
    stray = np.array([(100, 65), (130, 65)])
    found = measure_foreign([*sewn(), stray], DRAWING)
    assert (found.off_mm, found.ends.off_lines, found.travel_mm) == (pytest.approx(30), 2, 0)
    added = more([*sewn(), stray])
    assert (added.sewn_mm, added.travel_mm, added.open_ends) == (pytest.approx(0), pytest.approx(30), 2)
    assert added.cost_s == pytest.approx(PATH_S / 2 * 8 + 30 * 20 / SPEED)
    assert found.plan.drawing.lines[: len(DRAWING.lines)] == DRAWING.lines
    assert len(found.plan.drawing.lines) == len(DRAWING.lines) + 1


def test_a_line_dropped_is_less_sewing():
    added = more(sewn()[:-1])
    assert (added.paths, added.open_ends, added.sewn_mm) == (-1, -2, pytest.approx(-30))


def test_an_end_within_the_tolerance_of_a_seam_lies_in_it():
    paths = sewn()
    paths[3] = np.array([(80, 0.3), (80, 49.8)])
    assert way(paths).open_ends == 2
    assert way(paths, tolerance_mm=0.25).open_ends == 3
    paths[3] = np.array([(80, 0.6), (80, 49.8)])
    assert way(paths).open_ends == 3
    places = {at.place: at.ends for at in plan_figures(measure_foreign(paths, DRAWING).plan).ends}
    assert places[EndPlace.FILL] == 4


def test_a_hair_beside_a_point_is_no_point_of_its_own():
    """Else the needle would slow down for corners that nobody drew."""
    seam, fill = line((0, 0), (100, 0)), line((50, 0.0001), (50, 80))
    drawing = Drawing.from_lines([seam, fill], roles=["ditch", "fill"])
    (path,) = measure_foreign([[(0, 0), (50, 0), (50, 80)]], drawing).plan
    assert path.coordinates_mm.tolist() == [[0, 0], [50, 0], [50, 80]]
    assert [(span.move, span.line) for span in path.spans] == [(Move.SEW, 1), (Move.SEW, 2)]


@pytest.mark.parametrize("turned", [False, True])
def test_sewing_that_meets_what_is_sewn_goes_on_as_travel_from_there(turned):
    ends = [(0, 0), (0, 50)]
    drawing = Drawing.from_lines([line(*(reversed(ends) if turned else ends))])
    start, end = drawing.lines[0].points_mm
    part = start + (end - start) / 5
    first, second = measure_foreign([[start, part], [end, start]], drawing).plan
    assert [span.move for span in first.spans] == [Move.SEW]
    assert second.coordinates_mm == pytest.approx(np.array([end, part, start]))
    assert [span.move for span in second.spans] == [Move.SEW, Move.TRAVEL]


def test_of_lines_that_coincide_the_least_visible_one_is_sewn_and_travelled_on():
    lines = [line((0, 0), (90, 0)), line((0, 0), (90, 0)), line((0, 0), (90, 0))]
    drawing = Drawing.from_lines(lines[:2], roles=["fill", "ditch"], hidden=lines[2:])
    found = measure_foreign([[(0, 0), (90, 0), (0, 0)]], drawing)
    (path,) = found.plan
    assert [(span.move, span.line) for span in path.spans] == [(Move.SEW, 2), (Move.TRAVEL, 2)]
    assert way_of_foreign(found).cost_s == pytest.approx(PATH_S + 90 / SPEED)


def test_a_hair_of_the_next_block_is_not_there_yet():
    """Else a block would be entered long before it is sewn, and wander tell of nothing."""
    drawing = Drawing.from_lines([line((0, 0), (90, 0)), line((90, 0), (180, 0))])
    one, two = measure_foreign([[(0, 0), (90.4, 0)], [(180, 0), (90, 0)]], drawing).plan
    assert [(span.move, span.line) for span in one.spans] == [(Move.SEW, 1)]
    assert [(span.move, span.line) for span in two.spans] == [(Move.SEW, 2)]


def test_settings_come_from_what_it_is_measured_against():
    dear = Drawing.from_lines([line((0, 0), (100, 0))])
    plan = make_plan(dear, cost=CostSettings(path_cost_s=7))
    assert way_of_foreign(measure_foreign([[(0, 0), (100, 0)]], plan)).cost_s == pytest.approx(7 * 4)
    assert way_of_foreign(measure_foreign([[(0, 0), (100, 0)]], dear)).cost_s == pytest.approx(PATH_S * 4)


def test_nothing_sewn():
    empty = way([])
    assert (empty.paths, empty.sewn_mm, empty.cost_s, empty.wander, empty.gap) == (0, 0, 0, None, None)
    assert measure_foreign([], Drawing(())).plan.paths == ()


@given(sequences(6), yes_or_no_lists(6), whole(0, 5))
@settings(deadline=None, derandomize=True, max_examples=30)
def test_in_whatever_order_and_direction_each_line_is_sewn_once_and_one_again(order, turned, again):
    paths = sewn()
    paths = [paths[at][::-1] if turn else paths[at] for at, turn in zip(order, turned, strict=True)]
    found = measure_foreign([*paths, paths[again][::-1]], DRAWING)
    told = way_of_foreign(found)
    mm = np.hypot(*np.diff(paths[again], axis=0).T).sum()
    assert told.travel_mm == pytest.approx(mm, abs=1e-6)
    assert told.sewn_mm == pytest.approx(980, abs=1e-6)
    assert {span.move for span in found.plan.paths[-1].spans} == {Move.TRAVEL}
    assert (found.off_mm, found.missed) == (0, ())
