"""Bands, groups and threads of whole plans: all is sewn, in reach, in its band, and proven by the check.

The check draws and measures by itself, so that what it finds is no echo of what was divided here.
"""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from plans import line
from strategies import picked, ringed_drawings, schedules, whole, yes_or_no

from stitchpath.check import check_plan, tell_of_paths
from stitchpath.design import Border, Design, Kind, ThreadKind, Top
from stitchpath.drawing import Drawing, draw
from stitchpath.errors import DesignError
from stitchpath.motifs import Basting, Ditch, Ellipse, Fill
from stitchpath.plan import Move
from stitchpath.planner import make_plan
from stitchpath.planning.division import divide, tallest_edge
from stitchpath.planning.network import build_network
from stitchpath.planning.schedule import list_jobs
from stitchpath.planning.weights import weigh
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings


def top(rows=3, columns=2, *, spacing=25, border=None, fill_thread=None, ditch=True):
    """A small top: an oval and lines in every block, seams and basting."""
    motifs = [
        Ellipse(height=60, ratio="3:2", applique=True),
        Fill(spacing=spacing, angle=45, thread=fill_thread),
    ]
    borders = () if border is None else (Border(width=border, motifs=(Fill(spacing=20, angle=0),)),)
    return Design(
        top=Top(block_width=100, block_height=100, borders=borders),
        layout=["P" * columns] * rows,
        kinds={"pear": Kind(letter="P", motifs=motifs)},
        motifs=[Ditch(), Basting()] if ditch else [Basting()],
        threads={"grey": ThreadKind(tex=30), "white": ThreadKind(tex=40)},
    )


def planned(design, *, machine=None, schedule=None, cost=None):
    plan = make_plan(design, machine=machine, schedule=schedule, cost=cost, effort="quick")
    assert check_plan(plan, plan.drawing) == ()
    return plan


def test_all_in_reach_is_one_band_and_no_message():
    plan = planned(top(), machine=MachineSettings(reach=5000))
    assert plan.windows == ()
    assert {path.band for path in plan} == {1}


def test_bands_close_at_seams_and_hold_their_paths():
    plan = planned(top(4), machine=MachineSettings(reach=230))
    assert [round(end) for _, end in plan.windows[:-1]] == [200]
    for path in plan:
        start, end = plan.windows[path.band - 1]
        y = path.coordinates_mm[:, 1]
        assert start - 0.01 <= y.min() <= y.max() <= end + 0.01
        assert end - start <= 230 + 0.01


def test_bands_close_at_seams_where_lines_of_a_border_end_anywhere():
    """The border's lines end every 20 mm; rows of blocks do at 40, 140, 240 and so on."""
    assert closes(top(6, border=40), MachineSettings(reach=275), "none") == [240, 440]


def test_no_row_is_left_half_sewn_to_spare_seams_a_cut():
    """To close at 660 mm cuts fewer seams, which does not show, and leaves the sixth row's border open."""
    assert closes(top(6, border=40), MachineSettings(reach=260, last_reach=230), "rows") == [240, 440, 540]


def closes(design, machine, groups):
    """Where bands close but the last, in whole millimetres."""
    drawing, schedule = draw(design), ScheduleSettings(groups=groups)
    network = build_network(drawing, tallest=tallest_edge(drawing, machine, schedule))
    weights = weigh(network, cost=CostSettings(), machine=machine, schedule=schedule)
    division = divide(network, weights, machine=machine, schedule=schedule)
    return [round(end) for _, end in division.windows[:-1]]


def test_where_no_plan_ends_in_seams_only_there_is_one_all_the_same():
    """Three lines that may be sewn once meet in open cloth: one end has to lie there."""
    seams = [line((0, 0), (0, 90)), line((0, 0), (90, 0)), line((90, 0), (90, 90))]
    fills = [line((0, 60), (45, 45)), line((45, 0), (45, 45)), line((90, 60), (45, 45))]
    drawing = Drawing.from_lines([*seams, *fills], roles=["ditch"] * 3 + ["fill"] * 3)
    once = {"fill": {"most_times": 1}}
    plan = planned(drawing, cost=CostSettings(open_ends=False, roles=once))
    (told,) = tell_of_paths(plan.paths, drawing, cost=plan.cost_settings)
    assert "1 end lies in open cloth" in told
    assert "may be sewn once more" in told
    twice = planned(drawing, cost=CostSettings(open_ends=False))
    assert tell_of_paths(twice.paths, drawing, cost=twice.cost_settings) == ()


def test_a_roll_that_grows_makes_more_bands():
    even = planned(top(6), machine=MachineSettings(reach=330))
    less = planned(top(6), machine=MachineSettings(reach=330, last_reach=120))
    assert len(even.windows) < len(less.windows)
    heights = [end - start for start, end in less.windows]
    assert all(a >= b - 0.01 for a, b in pairwise(heights[1:]))


def test_reach_limits_travel_where_one_window_does_for_all_that_is_sewn():
    """An empty border on all sides: its seams and the edge line lie 100 mm out of reach."""
    design = Design(
        top=Top(block_width=100, block_height=300, borders=(Border(width=100),)),
        layout=["A"],
        kinds={"a": Kind(letter="A", motifs=[Fill(spacing=60, angle=0)])},
    )
    plan = planned(design, machine=MachineSettings(reach=110, sideways=True))
    x = np.concatenate([path.coordinates_mm[:, 0] for path in plan])
    assert np.ptp(x) <= 110
    assert plan.windows == ()


def test_an_oval_that_fits_is_whole_wherever_its_ring_begins():
    """The block is taller than the reach; where the oval begins nothing meets it."""
    for tilt in (0.0, 90.0, 180.0, 270.0):
        design = Design(
            top=Top(block_width=150, block_height=260),
            layout=["A"],
            kinds={
                "a": Kind(
                    letter="A", motifs=[Ellipse(height=90, ratio=1, tilt=tilt), Fill(spacing=25, angle=45)]
                )
            },
        )
        planned(design, machine=MachineSettings(reach=140))


def test_what_fits_where_it_lies_is_not_cut_for_a_reach_that_is_less_elsewhere():
    lines = [line((0, 0), (0, 300)), line((50, 0), (50, 300)), line((0, 700), (50, 700))]
    plan = planned(Drawing.from_lines(lines), machine=MachineSettings(reach=350, last_reach=200))
    assert all(span.move is not Move.RESUME for path in plan for span in path.spans)


def test_the_reach_changes_over_all_that_is_asked_for_whoever_sews_it():
    """The lines left to the hand lie above the frame's: the reach has begun to fall where those begin."""
    lines = [line((0, y), (100, y)) for y in (0, 500, 590, 680, 1000)]
    drawing = Drawing.from_lines(lines, roles=["echo", "fill", "fill", "fill", "echo"])
    schedule = ScheduleSettings(by_hand=["echo"], by_hand_when="after the frame")
    plan = planned(drawing, machine=MachineSettings(reach=200, last_reach=100), schedule=schedule)
    assert len(plan.windows) == 2


def test_a_top_that_lies_sideways_is_divided_along_x():
    plan = planned(top(2, 4), machine=MachineSettings(reach=230, sideways=True))
    assert len(plan.windows) == 2
    for path in plan:
        start, end = plan.windows[path.band - 1]
        assert (
            start - 0.01 <= path.coordinates_mm[:, 0].min() <= path.coordinates_mm[:, 0].max() <= end + 0.01
        )


def test_a_line_taller_than_the_reach_is_cut_and_taken_up_a_little_back():
    lines = [line((0, 0), (0, 400)), line((50, 0), (50, 400))]
    plan = planned(Drawing.from_lines(lines), machine=MachineSettings(reach=150))
    resumed = [span for path in plan for span in path.spans if span.move is Move.RESUME]
    assert len(plan.windows) > 2
    assert len(resumed) == 2 * (len(plan.windows) - 1)
    for path in plan:
        for span in path.spans:
            if span.move is Move.RESUME:
                assert path.span_mm(span) == pytest.approx(6.35)
    for number, path in enumerate(plan):
        y = path.coordinates_mm[:, 1]
        assert np.ptp(y) <= 150.01, number


@pytest.mark.parametrize(
    ("machine", "schedule", "said"),
    [
        ({"reach": 150}, {"cuts": "none"}, r"machine.reach: .* and may not be cut, and the frame reaches"),
        ({"reach": 30}, {"cuts": "in seams"}, r"machine.reach: .* may not be cut"),
        ({"width": 150}, {}, r"machine.width: the top is .* wide on the frame, which takes"),
        ({}, {"by_hand": ["plum"]}, r'schedule.by_hand\[0\]: no line has the role or the motif "plum"'),
        ({}, {"threads": ["red"]}, r'schedule.threads\[0\]: no line is sewn with a thread "red"'),
        ({}, {"threads": ["grey"] * 2}, r'schedule.threads\[1\]: the thread "grey" stands twice; name it'),
    ],
)
def test_what_cannot_be_divided_is_refused_in_one_sentence(machine, schedule, said):
    with pytest.raises(DesignError, match=said):
        make_plan(
            top(), machine=MachineSettings(**machine), schedule=ScheduleSettings(**schedule), effort="quick"
        )


def test_jobs_come_band_by_band_stage_by_stage_and_group_by_group():
    design, machine = top(4, 2), MachineSettings(reach=230)
    schedule = ScheduleSettings(groups="blocks", order="left to right")
    network = build_network(draw(design), tallest=tallest_edge(draw(design), machine, schedule))
    weights = weigh(network, cost=CostSettings(), machine=machine, schedule=schedule)
    division = divide(network, weights, machine=machine, schedule=schedule)
    jobs = list_jobs(weights, schedule, division)
    names = [(job.band, job.stage, job.group) for job in jobs if not job.alone]
    assert names[:3] == [(1, "baste", ""), (1, "seams", ""), (1, "detail", "row 1, column 1")]
    for one, after in pairwise(jobs):
        assert one.alone == after.after_alone
        assert not one.alone or (one.stage, one.group, one.band) == (after.stage, after.group, after.band)
    assert sum(job.alone for job in jobs) == 8
    assert [name[2] for name in names if name[:2] == (2, "detail")] == [
        "row 3, column 1", "row 3, column 2", "row 4, column 1", "row 4, column 2",
    ]  # fmt: skip
    edges = np.concatenate([job.edges for job in jobs])
    assert np.array_equal(np.sort(edges), np.flatnonzero(weights.stage >= 0))
    strict = schedule.model_copy(update={"finish": "group by group"})
    ordered = [
        (job.band, job.group, job.stage) for job in list_jobs(weights, strict, division) if not job.alone
    ]
    assert ordered[:3] == [(1, "row 1, column 1", stage) for stage in ("baste", "seams", "detail")]
    groups = [name[:2] for name in ordered]
    assert len({*groups}) == sum(a != b for a, b in pairwise([None, *groups]))


@given(
    schedule=schedules(),
    rows=whole(1, 3),
    columns=whole(1, 2),
    reach=picked(None, 90, 130, 210, 330),
    shrinks=picked(1, 0.8),
    border=picked(None, 40),
    thread=picked(None, "white"),
    ditch=yes_or_no(),
    open_ends=yes_or_no(),
    sideways=yes_or_no(),
)
@settings(max_examples=20, deadline=None)
def test_whatever_is_asked_for_the_check_finds_nothing(
    schedule, rows, columns, reach, shrinks, border, thread, ditch, open_ends, sideways
):
    planned(
        top(rows, columns, border=border, fill_thread=thread, ditch=ditch),
        machine=MachineSettings(reach=reach, last_reach=reach and reach * shrinks, sideways=sideways),
        schedule=schedule,
        cost=CostSettings(open_ends=open_ends),
    )


@settings(deadline=None, max_examples=40)
@given(ringed_drawings(), picked(60, 100, 150))
def test_a_step_is_no_reason_to_part_a_ring_between_bands(drawing, reach):
    """With bands that close at steps, one in twenty of these plans parted a ring that fits in the reach."""
    plan = make_plan(drawing, machine=MachineSettings(reach=reach), effort="quick")
    assert check_plan(plan, drawing) == ()
