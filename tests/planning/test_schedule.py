"""Jobs in order."""

import pytest
from plans import ALL_IN_ONE, edge_at, line, weighed

from stitchpath.drawing import Drawing
from stitchpath.planning.schedule import list_jobs
from stitchpath.settings import ScheduleSettings, Stage

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
