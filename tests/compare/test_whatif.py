"""The same result, here or through any executor; in the order of the wishes; cancelled when left early."""

import multiprocessing
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor

import pytest
from plans import TWO_LEAVES, circle, line

from stitchpath.compare.prices import wish_table
from stitchpath.compare.whatif import PlanTask, Standing, plan_each, what_if
from stitchpath.compare.wishes import Wish, settings_of, wish_named
from stitchpath.design import read_design
from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.planner import make_plan

NO_STAGE = Wish("no stage for drawn lines", (("schedule.stages", ({"name": "seams", "roles": ("ditch",)},)),))
WISHES = (
    wish_named("blocks finished in turn"),
    wish_named("rows finished in turn"),
    NO_STAGE,
    wish_named("fewest advances"),
    wish_named("all stages in one"),
)


@pytest.fixture
def design(tmp_path):
    file = tmp_path / "leaves.toml"
    file.write_text(TWO_LEAVES, encoding="utf-8")
    return read_design(file)


@pytest.fixture
def here(design):
    return what_if(design, WISHES, effort="quick", seed=3)


def through(executor, design, **how):
    with executor:
        return what_if(design, WISHES, executor=executor, effort="quick", seed=3, **how)


def spawning():
    return ProcessPoolExecutor(2, mp_context=multiprocessing.get_context("spawn"))


class Backwards(Executor):
    """Finishes what came last first."""

    def __init__(self):
        self.waiting = []

    def submit(self, work, /, *arguments, **named):
        future = Future()
        self.waiting.append((future, work, arguments))
        if len(self.waiting) == 5:  # as it is, and four wishes that change something
            for future_, work_, arguments_ in reversed(self.waiting):
                future_.set_result(work_(*arguments_))
        return future


def test_results_come_in_the_order_of_the_wishes(here):
    assert [one.wish for one in here] == list(WISHES)
    assert [one.plan is None for one in here] == [False, False, True, False, False]
    assert "no stage takes" in here.wished[2].problem
    assert here.wished[3].plan is here.plan
    assert [here.plan.seed, here.plan.effort] == [3, "quick"]
    assert here.wished[0].plan.schedule.groups == "blocks"
    assert [len(one.plan.jobs) for one in here if one.plan] != [len(here.plan.jobs)] * 4


@pytest.mark.parametrize("executor", [lambda: ThreadPoolExecutor(2), spawning, Backwards])
def test_every_executor_gives_the_same(here, design, executor):
    other = through(executor(), design)
    assert other == here
    assert wish_table(other) == wish_table(here)


def test_a_cluster_gives_the_same(here, design):
    distributed = pytest.importorskip("distributed", reason="distributed is not installed (extra: cluster)")
    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
        ) as cluster,
        distributed.Client(cluster) as client,
    ):
        tried, said = watched(design, client.get_executor())
    assert tried == here
    assert [at.job for at in said] == [0] * 4  # what cannot be had is not told


def test_what_comes_back_from_a_process_cannot_be_changed(design):
    with spawning() as executor:
        (plan,) = plan_each([PlanTask("one", design, settings_of(design))], executor=executor)
    for array in (plan.paths[0].coordinates_mm, plan.drawing.lines[0].points_mm):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 0


def test_progress_counts_up_to_all(design):
    said = []
    what_if(design, WISHES[:2], progress=lambda *at: said.append(at), effort="quick")
    assert said == [(1, 3, "as it is"), (2, 3, WISHES[0].name), (3, 3, WISHES[1].name)]
    said = []
    through(ThreadPoolExecutor(1), design, progress=lambda *at: said.append(at))
    assert [at[:2] for at in said] == [(n, 5) for n in range(1, 6)]
    assert {at[2] for at in said} == {"as it is"} | {
        wish.name for wish in WISHES if "fewest" not in wish.name
    }


def watched(design, executor=None, wishes=WISHES, **how):
    """Watch with what cannot be sent to another process."""
    said = []

    def told(at):
        said.append(at)

    tried = what_if(design, wishes, executor=executor, watch=told, effort="quick", seed=3, **how)
    return tried, said


@pytest.mark.parametrize("executor", [lambda: None, lambda: ThreadPoolExecutor(2), spawning, Backwards])
def test_whoever_watches_sees_cost_over_bound_and_the_same_plans(here, design, executor):
    tried, said = watched(design, executor())
    assert tried == here
    assert all(at.cost >= at.bound >= 0 for at in said)
    made = {at.name: at for at in said if not at.job}
    plans = {"as it is": here.plan} | {
        one.wish.name: one.plan for one in here if one.plan and one.plan is not here.plan
    }
    assert {name: (at.cost, at.bound, at.jobs) for name, at in made.items()} == {
        name: (plan.cost, plan.bound, len(plan.jobs)) for name, plan in plans.items()
    }
    assert len(made) == len([at for at in said if not at.job])


@pytest.mark.parametrize("executor", [lambda: None, lambda: ThreadPoolExecutor(2), Backwards])
def test_in_this_process_every_job_is_watched_as_it_moves(here, design, executor):
    _, said = watched(design, executor())
    for name, plan in [("as it is", here.plan), (WISHES[0].name, here.wished[0].plan)]:
        own = [at for at in said if at.name == name]
        last = {at.job: at for at in own}
        assert [at.job for at in own] == [*sorted(at.job for at in own[:-1]), 0]
        assert [(last[n].cost, last[n].bound) for n in range(1, len(plan.jobs) + 1)] == [
            (job.cost, job.bound) for job in plan.jobs
        ]
        assert {at.jobs for at in own} == {len(plan.jobs)}


def test_cost_bound_and_job_are_told_as_they_were_and_the_search_goes_on(design, monkeypatch):
    def planned(design, *, progress, job_begins, **how):
        job_begins(None, 2, 5)
        assert progress(4.0, 3.0) is True
        return make_plan(design, **how)

    monkeypatch.setattr("stitchpath.compare.whatif.make_plan", planned)
    plan, said = watched(design, wishes=())
    assert said[0] == Standing("as it is", 2, 5, 4.0, 3.0)
    assert said[1:] == [Standing("as it is", 0, len(plan.plan.jobs), plan.plan.cost, plan.plan.bound)]


def test_another_process_tells_of_whole_plans_alone(design):
    with spawning() as executor:
        _, said = watched(design, executor, wishes=WISHES[:1])
    assert sorted((at.name, at.job) for at in said) == [("as it is", 0), (WISHES[0].name, 0)]


def test_a_design_that_cannot_be_planned_at_all_is_an_error():
    for executor in (None, Backwards()):
        with pytest.raises(DesignError, match="there is no line to sew"):
            what_if(Drawing(()), WISHES if executor else [], executor=executor)


class Held(Executor):
    """Begins nothing but the first."""

    def __init__(self):
        self.futures = []

    def submit(self, work, /, *arguments, **named):
        future = Future()
        self.futures.append(future)
        if len(self.futures) == 1:
            future.set_result(work(*arguments))
        return future


@pytest.mark.parametrize("error", [KeyboardInterrupt, ZeroDivisionError])
def test_what_has_not_begun_is_cancelled_when_it_is_left_early(design, error):
    held = Held()

    def interrupted(done, count, name):
        raise error

    with pytest.raises(error):
        what_if(design, WISHES, executor=held, progress=interrupted, effort="quick")
    assert [future.cancelled() for future in held.futures] == [False, True, True, True, True]


class Full(Held):
    """Takes three plans and no more."""

    def submit(self, work, /, *arguments, **named):
        if len(self.futures) == 3:
            raise RuntimeError("cannot schedule new futures after shutdown")
        return super().submit(work, *arguments, **named)


def test_what_was_sent_is_cancelled_when_no_more_can_be_sent(design):
    full = Full()
    with pytest.raises(RuntimeError, match="after shutdown"):
        what_if(design, WISHES, executor=full, effort="quick")
    assert [future.cancelled() for future in full.futures] == [False, True, True]


def test_a_fault_of_ours_is_not_taken_for_a_wish_that_cannot_be_had(design, monkeypatch):
    def broken(*_, **__):
        raise ZeroDivisionError

    monkeypatch.setattr("stitchpath.compare.whatif.make_plan", broken)
    with pytest.raises(ZeroDivisionError):
        what_if(design, WISHES)
    with pytest.raises(ZeroDivisionError):
        through(ThreadPoolExecutor(1), design)


def test_a_drawing_can_be_wished_with_too():
    drawing = Drawing.from_lines([circle(0, 0, 30), line((30, 0), (90, 0)), line((30, 0), (30, 60))])
    tried = what_if(drawing, [wish_named("outlines in several parts")])
    assert tried.wished[0].plan.schedule.laps == "free"
