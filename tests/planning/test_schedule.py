"""Jobs in order."""

from dataclasses import replace

import numpy as np
import pytest
from banded import block, fill
from plans import ALL_IN_ONE, edge_at, line, weighed

from stitchpath.check import check_plan
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.planner import make_plan
from stitchpath.planning.division import divide
from stitchpath.planning.schedule import list_jobs
from stitchpath.settings import MachineSettings, ScheduleSettings, Stage
from stitchpath.sewing_order import Turn

SEAM, FILL, FAR, HIDDEN = (
    line((0, 0), (80, 0)),
    line((40, 0), (40, 60)),
    line((200, 0), (200, 50)),
    line((80, 0), (80, 60)),
)
DRAWING = Drawing.from_lines([FILL, SEAM, FAR], roles=["fill", "ditch", "fill"], hidden=[HIDDEN])
LEFT, RIGHT, UP, AWAY, UNSEEN = (20, 0), (60, 0), (40, 30), (200, 25), (80, 30)


@pytest.fixture
def case():
    return weighed(DRAWING)


def numbers(network, *places):
    return sorted(edge_at(network, *place) for place in places)


def test_jobs_come_in_the_stages_order_and_one_without_lines_makes_none(case):
    network, weights = case
    jobs = list_jobs(weights, ScheduleSettings())
    assert [(job.band, job.stage, job.edges.tolist()) for job in jobs] == [
        (1, "seams", numbers(network, LEFT, RIGHT)),
        (1, "detail", numbers(network, UP, AWAY)),
    ]


def test_stages_may_come_in_any_order():
    schedule = ScheduleSettings(stages=[Stage(name="b", roles=["fill"]), Stage(name="a", roles=["ditch"])])
    network, weights = weighed(DRAWING, schedule=schedule)
    jobs = list_jobs(weights, schedule)
    assert [job.stage for job in jobs] == ["b", "a"]
    assert jobs[0].edges.tolist() == numbers(network, UP, AWAY)


def test_all_in_one_is_one_job_with_every_asked_edge_once():
    network, weights = weighed(DRAWING, schedule=ALL_IN_ONE)
    (job,) = list_jobs(weights, ALL_IN_ONE)
    assert job.edges.tolist() == numbers(network, LEFT, RIGHT, UP, AWAY)


def test_no_lines_make_no_jobs():
    _, weights = weighed(Drawing.from_lines([]))
    assert list_jobs(weights, ScheduleSettings()) == ()


BLOCKS = tuple(
    replace(block(row, column), kind="pear" if row == column else "plain")
    for row in (1, 2, 3)
    for column in (1, 2)
)
COMBS = tuple(fill(one, at=at) for one in BLOCKS for at in (0.3, 0.6))
SEAMS = tuple(Line([(x, 0), (x, 300)], Role.DITCH, motif="ditch") for x in (0, 100, 200))
RINGS = tuple(
    Line(
        np.add([(5, 5), (15, 5), (15, 15), (5, 5)], one.box_mm[:2]),
        Role.OUTLINE,
        motif="oval",
        block=one.name,
    )
    for one in BLOCKS
)
"""In a block that no other line touches."""
TOP = Drawing((*SEAMS, *COMBS, *RINGS), blocks=BLOCKS)


@pytest.mark.parametrize("machine", [{}, {"reach": 210}, {"sewn_by": "hand"}], ids=str)
@pytest.mark.parametrize("finish", ["stage by stage", "group by group"])
def test_blocks_asked_for_first_or_last_make_jobs_of_their_own(machine, finish):
    schedule = ScheduleSettings(first_blocks=["row 2, column 1"], last_blocks=["pear"], finish=finish)
    plan = make_plan(TOP, machine=MachineSettings(**machine), schedule=schedule, effort="quick")
    assert check_plan(plan, TOP) == ()
    free = make_plan(TOP, machine=MachineSettings(**machine), effort="quick")
    broken = check_plan(replace(free, schedule=schedule), TOP)
    assert "turn" in {found.kind for found in broken}
    jobs = list_jobs(*_divided(machine, schedule))
    turns = [job.turn for job in jobs if job.band == 1 and job.stage == "detail"]
    assert turns == sorted(turns)
    assert {Turn.FIRST, Turn.LAST} <= set(turns)


def _divided(machine, schedule):
    network, weights = weighed(TOP, schedule=schedule, machine=MachineSettings(**machine))
    division = divide(network, weights, machine=MachineSettings(**machine), schedule=schedule)
    return weights, schedule, division
