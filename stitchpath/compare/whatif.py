"""Plans one design under several wishes, here or through any executor."""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future, as_completed
from dataclasses import dataclass

from stitchpath.compare.wishes import Settings, Wish, settings_of, wished_settings
from stitchpath.design import Design
from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError, all_of, refuse_other
from stitchpath.plan import Plan
from stitchpath.planner import make_plan
from stitchpath.planning.schedule import Job
from stitchpath.settings import Effort

__all__ = ["Done", "Onlooker", "PlanTask", "Standing", "WhatIf", "Wished", "plan_each", "what_if"]

Done = Callable[[int, int, str], None]
"""Called with how many plans are made, how many there are to be, and the name of the one just made."""


@dataclass(frozen=True, slots=True)
class Standing:
    """How one of several plans stands.

    Attributes
    ----------
    name
        Which plan.
    job, jobs
        Which of how many jobs is being routed, in order from 1; `job` is 0 when the whole plan is made.
    cost, bound
        That job's as they move, or the plan's when it is made; in seconds.
    """

    name: str
    job: int
    jobs: int
    cost: float
    bound: float


Onlooker = Callable[[Standing], None]
"""Called with how a plan stands, each time that moves."""


@dataclass(frozen=True)
class PlanTask:
    """A plan to be made, with a name to tell it by; it can be sent to another process."""

    name: str
    design: Design | Drawing
    settings: Settings
    effort: Effort = "standard"
    seed: int = 0

    def make(self, watch: Onlooker | None = None) -> Plan:
        """Make it; `watch` is told how its jobs stand, as they move."""
        cost, machine, schedule = self.settings
        told = _Jobs(self.name, watch) if watch is not None else None
        return make_plan(
            self.design,
            cost=cost,
            machine=machine,
            schedule=schedule,
            effort=self.effort,
            seed=self.seed,
            progress=told.progress if told else None,
            job_begins=told.begins if told else None,
        )


class _Jobs:
    """Tells how the jobs of one plan stand."""

    def __init__(self, name: str, watch: Onlooker) -> None:
        self.name, self.watch = name, watch
        self.job = self.jobs = 0

    def begins(self, _: Job, number: int, count: int) -> None:
        self.job, self.jobs = number, count

    def progress(self, cost: float, bound: float) -> bool:
        self.watch(Standing(self.name, self.job, self.jobs, cost, bound))
        return True


class _Here:
    """A hook that stays in its process: another process that it is sent to gets one that does nothing."""

    def __init__(self, watch: Onlooker | None = None) -> None:
        self.watch = watch

    def __reduce__(self) -> tuple[type["_Here"], tuple[()]]:
        return _Here, ()


@dataclass(frozen=True)
class Wished:
    """What came of one wish.

    Attributes
    ----------
    wish
        The wish.
    plan
        The plan under it; None where it cannot be had.
    problem
        Why it cannot be had; empty where it can.
    """

    wish: Wish
    plan: Plan | None
    problem: str = ""


@dataclass(frozen=True)
class WhatIf:
    """A design planned as it is, and under wishes.

    Attributes
    ----------
    plan
        As the design is.
    wished
        In the order of the wishes, whichever came first. A wish that changes nothing has the same plan.
    """

    plan: Plan
    wished: tuple[Wished, ...]

    def __iter__(self) -> Iterator[Wished]:
        return iter(self.wished)


def what_if(
    design: Design | Drawing,
    wishes: Sequence[Wish],
    *,
    executor: Executor | None = None,
    progress: Done | None = None,
    watch: Onlooker | None = None,
    effort: Effort = "standard",
    seed: int = 0,
) -> WhatIf:
    """Plan a design as it is, and once under each wish.

    Parameters
    ----------
    design
        A design or a drawing.
    wishes
        Such as `WISHES` has; each changes the design's settings, one by itself.
    executor
        What runs the planning: threads, processes or a cluster, whatever has ``submit`` and gives futures of
        `concurrent.futures`. It is not shut down. None: here, one after another.
    progress
        Called in this thread when a plan is made, or cannot be; see `Done`.
    watch
        Called with a `Standing` when a plan is made, in this thread; and before that as cost and bound of
        its jobs move, in the thread that plans, where that is in this process. Other processes tell nothing
        until their plan comes back. The result is the same without it.
    effort, seed
        As for `stitchpath.make_plan`.

    Returns
    -------
    WhatIf
        The same, whatever the executor.

    Raises
    ------
    DesignError
        If the design as it is cannot be planned, a wish names no setting, or an argument is of another kind.
        A wish under which it cannot be
        planned is told in the result.

    When this is left early, as by Ctrl-C, what has not begun is cancelled.

    Examples
    --------
    >>> from shapely import LineString
    >>> from stitchpath.compare.wishes import wish_named
    >>> drawing = Drawing.from_lines([LineString([(0, 0), (80, 0)])])
    >>> tried = what_if(drawing, [wish_named("all stages in one")])
    >>> [(one.wish.name, len(one.plan.paths)) for one in tried]
    [('all stages in one', 1)]
    >>> what_if(drawing, []).wished
    ()
    """
    for key, hook in (("progress", progress), ("watch", watch)):
        if hook is not None:
            refuse_other(key, hook, Callable, "function", "give a function, or None")  # type: ignore[arg-type]
    if executor is not None and not hasattr(executor, "submit"):
        refuse_other("executor", executor, Executor, "executor", "give what has submit, or None")
    asked = settings_of(design)
    wishes = all_of("wishes", wishes, Wish, "wish", "give Wishes, such as wish_named returns")
    settings = [wished_settings(asked, wish) for wish in wishes]
    as_asked = [own.as_meant() == asked.as_meant() for own in settings]
    tasks = [PlanTask("as it is", design, asked, effort, seed)]
    tasks += [
        PlanTask(wish.name, design, own, effort, seed)
        for wish, own, same in zip(wishes, settings, as_asked, strict=True)
        if not same
    ]
    plan, *made = plan_each(tasks, executor=executor, progress=progress, watch=watch)
    if isinstance(plan, DesignError):
        raise plan
    others = iter(made)
    return WhatIf(
        plan,
        tuple(
            _wished(wish, plan if same else next(others)) for wish, same in zip(wishes, as_asked, strict=True)
        ),
    )


def _wished(wish: Wish, made: Plan | DesignError) -> Wished:
    return Wished(wish, None, str(made)) if isinstance(made, DesignError) else Wished(wish, made)


def plan_each(
    tasks: Sequence[PlanTask],
    *,
    executor: Executor | None = None,
    progress: Done | None = None,
    watch: Onlooker | None = None,
) -> list[Plan | DesignError]:
    """Make plans, here or through an executor; in the order of the tasks, a fault in a design in its place.

    Parameters
    ----------
    tasks
        What to plan.
    executor, progress, watch
        As for `what_if`.

    Examples
    --------
    >>> plan_each([])
    []
    """

    def tell(done: int, task: PlanTask, made: Plan | DesignError) -> None:
        if progress is not None:
            progress(done, len(tasks), task.name)
        if watch is not None and isinstance(made, Plan):
            watch(Standing(task.name, 0, len(made.jobs), made.cost, made.bound))

    here = _Here(watch)
    if executor is None:
        every: list[Plan | DesignError] = []
        for task in tasks:
            every.append(_attempt(task, here))
            tell(len(every), task, every[-1])
        return every
    futures: dict[Future[Plan | DesignError], PlanTask] = {}
    try:
        futures.update((executor.submit(_attempt, task, here), task) for task in tasks)
        for done, future in enumerate(as_completed(futures), 1):
            tell(done, futures[future], future.result())
        return [future.result() for future in futures]
    finally:
        for future in futures:
            future.cancel()


def _attempt(task: PlanTask, here: _Here) -> Plan | DesignError:
    try:
        return task.make(here.watch)
    except DesignError as error:
        return error
