"""What edges cost and may bear."""

import numpy as np
import pytest
from plans import edge_at, junction_at, line, weighed

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.lines import Line, Role
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings, Stage

LONG = line((0, 0), (100, 0))


def seconds(weights, edge):
    return weights.travel[edge] * weights.unit_s


@pytest.mark.parametrize(
    ("role", "shows", "most", "stage"),
    [("baste", 1, 4, 0), ("ditch", 1, 4, 1), ("strip", 5, 2, 2), ("outline", 5, 2, 2), ("fill", 20, 2, 2),
     ("echo", 20, 2, 2), ("drawn", 20, 2, 2)],
)  # fmt: skip
def test_a_line_alone_weighs_what_its_role_says(role, shows, most, stage):
    """100 mm at 50 mm/s is 2 s, times how much it shows."""
    _, weights = weighed(Drawing.from_lines([LONG], roles=role))
    assert seconds(weights, 0) == 2 * shows
    assert (weights.most.tolist(), weights.stage.tolist(), weights.line.tolist()) == ([most], [stage], [0])


@pytest.mark.parametrize(
    ("role", "end"),
    [("baste", 15), ("ditch", 30), ("strip", 60), ("outline", 60), ("fill", 120), ("drawn", 120)],
)
def test_an_end_alone_costs_half_a_path_times_how_much_it_shows(role, end):
    _, weights = weighed(Drawing.from_lines([LONG], roles=role))
    assert (weights.end * weights.unit_s).tolist() == [end, end]


def test_hidden_seams_are_nobodys_line_and_no_stages():
    network, weights = weighed(Drawing.from_lines([LONG], hidden=[line((0, 0), (0, 100))]))
    seam = edge_at(network, 0, 50)
    assert (weights.line[seam], weights.stage[seam], weights.most[seam]) == (-1, -1, 4)
    assert seconds(weights, seam) == 2


def test_lines_that_coincide_count_once_by_the_least_visible_the_earliest_and_the_most():
    lines = [LONG, line((20, 0), (80, 0)), line((25, 0), (75, 0))]
    network, weights = weighed(Drawing.from_lines(lines, roles=["fill", "outline", "ditch"]))
    cells = {
        x: (seconds(weights, e), weights.most[e], weights.stage[e], weights.line[e])
        for x in (10, 22.5, 50, 77.5, 90)
        for e in [edge_at(network, x, 0)]
    }
    assert cells == {
        10: (20 / 50 * 20, 2, 2, 0),
        22.5: (5 / 50 * 5, 2, 2, 1),
        50: (50 / 50, 4, 1, 2),
        77.5: (5 / 50 * 5, 2, 2, 1),
        90: (20 / 50 * 20, 2, 2, 0),
    }


def test_a_line_left_to_the_hand_gives_a_frames_line_neither_its_thread_nor_its_stage():
    lines = [LONG, line((0, 0), (100, 0))]
    drawing = Drawing.from_lines(lines, roles=["ditch", "fill"], threads=["blue", "red"])
    network, weights = weighed(drawing, schedule=ScheduleSettings(by_hand=["ditch"]))
    assert network.lines[weights.line[0]].thread == "red"
    assert weights.stage.tolist() == [2]


def test_each_of_the_three_is_taken_by_itself():
    """A role that shows least, one that comes first and one that bears most, on one edge."""
    schedule = ScheduleSettings(
        stages=[
            Stage(name="a", roles=["echo"]),
            Stage(name="b", roles=["fill"]),
            Stage(name="c", roles=["strip"]),
        ]
    )
    cost = CostSettings(roles={"fill": {"most_times": 7}, "strip": {"end_shows": 9.0}})
    drawing = Drawing.from_lines([LONG] * 3, roles=["strip", "echo", "fill"])
    _, weights = weighed(drawing, cost=cost, schedule=schedule)
    assert (seconds(weights, 0), weights.stage[0], weights.most[0], weights.line[0]) == (10, 0, 7, 0)
    assert weights.end[0] * weights.unit_s == 30 * 4


def test_a_hidden_seam_under_an_asked_line_lends_it_its_cheapness_but_the_line_stays_asked():
    _, weights = weighed(Drawing.from_lines([LONG], roles="fill", hidden=[LONG]))
    assert (seconds(weights, 0), weights.most[0], weights.stage[0], weights.line[0]) == (2, 4, 2, 0)


def test_an_end_counts_by_the_least_visible_line_that_meets_there():
    lines = [
        line((0, 0), (0, 90)),
        line((0, 30), (50, 30)),
        line((50, 30), (50, 90)),
        line((0, 60), (40, 60)),
    ]
    drawing = Drawing.from_lines(
        lines, roles=["ditch", "fill", "strip", "fill"], hidden=[line((40, 60), (40, 90))]
    )
    network, weights = weighed(drawing)
    ends = {
        place: weights.end[junction_at(network, *place)] * weights.unit_s
        for place in [(0, 0), (0, 30), (50, 30), (50, 90), (0, 60), (40, 60)]
    }
    assert ends == {(0, 0): 30, (0, 30): 30, (50, 30): 60, (50, 90): 60, (0, 60): 30, (40, 60): 30}


@pytest.mark.parametrize(
    ("cost", "machine", "end"),
    [
        (None, MachineSettings(cuts_thread=True), 25 / 2 * 4),
        (None, MachineSettings(sewn_by="hand", secured="buried tails"), 150 / 2 * 4),
        (CostSettings(path_cost_s=8), MachineSettings(cuts_thread=True), 8 / 2 * 4),
    ],
)
def test_a_paths_cost_is_the_machines_unless_it_is_given(cost, machine, end):
    _, weights = weighed(Drawing.from_lines([LONG]), cost=cost, machine=machine)
    assert weights.end[0] * weights.unit_s == end


def test_sewing_faster_makes_travel_cheaper():
    _, weights = weighed(Drawing.from_lines([LONG]), machine=MachineSettings(sewing_speed_mm_s=25.0))
    assert seconds(weights, 0) == 100 / 25 * 20


def test_costs_are_rounded_to_a_unit_that_is_said():
    lines = [line((0, 0), (100 / 3, 0)), line((0, 0), (0, 70 / 3))]
    network, weights = weighed(Drawing.from_lines(lines))
    exact = network.length_mm / 50 * 20
    assert weights.unit_s < 1e-4
    assert (np.abs(weights.travel * weights.unit_s - exact) <= weights.unit_s / 2).all()
    assert weights.travel.dtype == weights.end.dtype == np.int64


def test_a_role_in_no_stage_is_an_error_that_names_it():
    schedule = ScheduleSettings(stages=[Stage(name="fill", roles=["fill"])])
    with pytest.raises(
        DesignError, match='no stage takes outline lines, such as those of line; add "outline" to a stage'
    ) as caught:
        weighed(Drawing.from_lines([LONG, LONG], roles=["fill", "outline"]), schedule=schedule)
    assert caught.value.key == "schedule.stages"
    ditch = Drawing((Line(LONG.coords, Role.DITCH, motif="ditch"),))
    with pytest.raises(DesignError, match=r'no stage takes ditch lines; add "ditch" to a stage$'):
        weighed(ditch, schedule=schedule)


def test_a_hidden_seam_needs_no_stage():
    schedule = ScheduleSettings(stages=[Stage(name="fill", roles=["fill"])])
    drawing = Drawing.from_lines([LONG], roles="fill", hidden=[line((0, 0), (0, 9))])
    _, weights = weighed(drawing, schedule=schedule)
    assert sorted(weights.stage.tolist()) == [-1, 0]


def test_an_empty_drawing_weighs_nothing():
    _, weights = weighed(Drawing.from_lines([]))
    for array in (weights.travel, weights.end, weights.most, weights.line, weights.stage):
        assert array.size == 0


def test_from_the_third_time_on_travel_costs_more():
    """100 mm of a seam at 50 mm/s is 2 s, and half as much again for each time after the second."""
    cost = CostSettings(roles={"ditch": {"builds_up": 0.5}})
    _, weights = weighed(Drawing.from_lines([LONG], roles="ditch"), cost=cost)
    assert [seconds(weights.after(np.array([sewn])), 0) for sewn in range(5)] == [2, 2, 3, 4, 5]
    assert seconds(weights.raised(weights.travel).after(np.array([2])), 0) == 5
    _, flat = weighed(Drawing.from_lines([LONG], roles="ditch"))
    assert flat.after(np.array([3])) is flat


def test_thread_builds_up_as_on_the_least_visible_line():
    roles = {"ditch": {"builds_up": 1}, "hidden": {"builds_up": 0.25}, "strip": {"builds_up": 0}}
    cost = CostSettings(roles=roles)
    for hidden, more in (([], 1), ([LONG], 0.25)):
        drawing = Drawing.from_lines([LONG, LONG], roles=["strip", "ditch"], hidden=hidden)
        _, weights = weighed(drawing, cost=cost)
        assert seconds(weights, 0) == 2
        assert weights.builds_up[0] * weights.unit_s == 2 * more


def test_over_another_thread_what_builds_up_is_charged_as_much_more_as_the_rest():
    cost = CostSettings(other_thread_shows=3, roles={"ditch": {"builds_up": 0.5}})
    lines = [LONG, line((0, 50), (100, 50))]
    drawing = Drawing.from_lines(lines, roles="ditch", threads=["grey", "white"])
    network, weights = weighed(drawing, cost=cost)
    at, sewn = edge_at(network, 50, 0), np.full(2, 3)
    assert seconds(weights.in_thread("grey").after(sewn), at) == 2 + 2 * 1
    assert seconds(weights.in_thread("white").after(sewn), at) == 3 * (2 + 2 * 1)


def test_a_unit_is_fine_enough_for_the_dearest_time():
    """No price is over 24 bits, however much thread builds up."""
    cost = CostSettings(roles={"drawn": {"builds_up": 100, "most_times": 9}})
    _, weights = weighed(Drawing.from_lines([LONG], roles="drawn"), cost=cost)
    dearest = weights.after(np.array([8])).travel
    assert dearest.max() < 2**24
    assert seconds(weights.after(np.array([8])), 0) == pytest.approx(40 * (1 + 700), rel=1e-6)
