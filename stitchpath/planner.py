"""From a design or a drawing to a plan: `make_plan`, the recipe."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, fields, replace
from functools import partial
from numbers import Integral
from typing import Any, cast, get_args

from pydantic import BaseModel

from stitchpath.design import Design
from stitchpath.design.faults import shown
from stitchpath.design.source import located, parts_of
from stitchpath.drawing import Drawing, draw
from stitchpath.errors import DesignError, InternalError, StitchpathError, refuse_other
from stitchpath.figures import order_exceptions
from stitchpath.plan import Plan
from stitchpath.planning.crossings import charge_crossings
from stitchpath.planning.division import tallest_edge
from stitchpath.planning.frame_and_hand import Sewer, sewn_in_turn, share_out
from stitchpath.planning.negotiation import route_in_turn
from stitchpath.planning.network import Network, build_network
from stitchpath.planning.outlines import count_laps, own_outlines
from stitchpath.planning.paths.bobbins import end_bobbins
from stitchpath.planning.paths.building_up import charge_building_up
from stitchpath.planning.paths.securing import secure
from stitchpath.planning.paths.stitching import stitch
from stitchpath.planning.plan_bound import plan_bound
from stitchpath.planning.router import JobBegins, Route, Router, Working
from stitchpath.planning.schedule import list_jobs
from stitchpath.planning.solving import Progress
from stitchpath.postman.errors import ChildError, PromiseError
from stitchpath.settings import BattingSettings, CostSettings, Effort, MachineSettings, ScheduleSettings

__all__ = ["make_plan"]


def make_plan(
    design: Design | Drawing,
    *,
    cost: CostSettings | None = None,
    machine: MachineSettings | None = None,
    schedule: ScheduleSettings | None = None,
    batting: BattingSettings | None = None,
    effort: Effort = "standard",
    seed: int = 0,
    progress: Progress | None = None,
    job_begins: JobBegins | None = None,
    working: Working | None = None,
) -> Plan:
    """Plan the sewing of a design: few continuous paths, in order, at the least cost that can be found.

    Parameters
    ----------
    design
        A design, or a drawing made from any lines.
    cost, machine, schedule, batting
        None: the design's own; for a drawing, a frame that does not cut its thread and the default stages.
    effort
        How hard to try where a job's required lines hang together only by travel. Jobs whose lines hang
        together are solved exactly at any effort.
    seed
        The same seed gives the same plan, to the byte.
    progress
        Called with a job's cost and bound in seconds as they move, and at its end; returns False to stop the
        search early: the job keeps its best plan so far, and later jobs ask again.
    job_begins
        Called with each job before it is routed, its number in order from 1, and how many jobs there are.
    working
        Called with what is being done (empty where `job_begins` tells it) and which share of all planning is
        done, jobs weighed by their size; never with a smaller share than before.

    Raises
    ------
    DesignError
        If there is nothing to sew, or nothing but what is left to the hand, a line that no stage takes or
        that is too tall for the frame, an effort or a seed that is none, or if what is given is no design or
        no settings.
    LimitError
        If there is more to sew than can be routed at once.
    InternalError
        If a plan is not what was proven of it: ours to mend.

    Examples
    --------
    A square and its two diagonals: every junction but the middle is odd, so two paths would do without
    travel; one path and a little travel costs less.

    >>> from shapely import LineString
    >>> square = [LineString([(0, 0), (80, 0), (80, 80), (0, 80), (0, 0)])]
    >>> cross = [LineString([(0, 0), (80, 80)]), LineString([(0, 80), (80, 0)])]
    >>> plan = make_plan(Drawing.from_lines(square + cross))
    >>> len(plan.paths), plan.optimal
    (1, True)
    >>> make_plan(Drawing.from_lines([]))
    Traceback (most recent call last):
    stitchpath.errors.DesignError: there is no line to sew; ask for at least one motif
    """
    _refuse_how(effort, seed, progress=progress, job_begins=job_begins, working=working)
    drawing = design if isinstance(design, Drawing) else draw(design)
    asked = _settings(design, cost=cost, machine=machine, schedule=schedule, batting=batting)
    with _told_where(design):
        _refuse(drawing, asked.machine, asked.schedule)
        tallest = tallest_edge(drawing, asked.machine, asked.schedule)
        network = build_network(drawing, tallest=tallest, open_travel_mm=asked.cost.open_travel)
        sewers = share_out(network, cost=asked.cost, machine=asked.machine, schedule=asked.schedule)
        how = _How(effort, int(seed), progress, job_begins, working)
        parts = _parts([int((sewer.weights.stage >= 0).sum()) for sewer in sewers], how)
        return sewn_in_turn(network, sewers, lambda sewer: _sewn(sewer, network, asked, next(parts)))


def _parts(sizes: Sequence[int], how: "_How") -> Iterator["_How"]:
    """Yield for each who sews, in turn, how to tell which share of all work is done."""
    tell, done = how.working, 0
    for size in sizes:
        if tell is None:
            yield how
        else:
            yield replace(how, working=partial(_tell_part, tell, done / sum(sizes), size / sum(sizes)))
        done += size


def _tell_part(tell: Working, before: float, part: float, what: str, share: float) -> None:
    tell(what, before + part * share)


def _sewn(sewer: Sewer, network: Network, asked: "_Settings", how: "_How") -> tuple[Plan, tuple[Route, ...]]:
    """Plan what the frame sews, or what the hand does; return the routes as well."""
    weights, division, schedule = sewer.weights, sewer.division, sewer.schedule
    router = Router(
        network, weights, schedule.laps, how.effort, how.seed, how.progress, how.job_begins,
        working=how.working,
    )  # fmt: skip
    shared = route_in_turn(router, list_jobs(weights, schedule, division))
    bound = plan_bound(router, shared)
    routes, empty = _bobbins_ended(shared.routes, network, sewer, asked.batting)
    routes = charge_crossings(routes, network, weights, router.solver.faces)
    routes = charge_building_up(routes, weights)
    paths, walks = stitch(routes, network, weights, division=division)
    done = count_laps(network, own_outlines(network, weights.stage), walks)
    windows = division.windows if len(division.windows) > 1 else ()
    notes = () if sewer.of_hand else tuple(note.message for note in network.notes)
    plan = Plan(
        network.drawing, secure(paths, sewer.machine), tuple(route.routed for route in routes), bound,
        asked.cost, sewer.machine, schedule, how.effort, how.seed, done, (*empty, *notes), windows,
        asked.batting, of_hand=sewer.of_hand,
    )  # fmt: skip
    return replace(plan, order_exceptions=order_exceptions(plan)), routes


@dataclass(frozen=True, slots=True)
class _How:
    """How hard to try, and whom to tell."""

    effort: Effort
    seed: int
    progress: Progress | None
    job_begins: JobBegins | None
    working: Working | None


@dataclass(frozen=True, slots=True)
class _Settings:
    """What holds beside the drawing."""

    cost: CostSettings
    machine: MachineSettings
    schedule: ScheduleSettings
    batting: BattingSettings


def _settings(design: Design | Drawing, **given: BaseModel | None) -> _Settings:
    """Return the settings given; the design's own where none is, and the defaults where it is a drawing."""
    found: dict[str, Any] = {}
    for field in fields(_Settings):
        value, wanted = given[field.name], cast("type[BaseModel]", field.type)
        if value is not None and not isinstance(value, wanted):
            remedy = f"give {wanted.__name__}(...)"
            raise DesignError(f"{shown(value)} is no settings", remedy, key=field.name)
        own = wanted() if isinstance(design, Drawing) else getattr(design, field.name)
        found[field.name] = own if value is None else value
    return _Settings(**found)


def _bobbins_ended(
    routes: tuple[Route, ...], network: Network, sewer: Sewer, batting: BattingSettings
) -> tuple[tuple[Route, ...], tuple[str, ...]]:
    """Return the routes, ended in seams before a bobbin runs out if need be, and what to say of it."""
    if sewer.schedule.bobbins_for(sewer.machine) != "in seams":
        return routes, ()
    return end_bobbins(
        routes, network, sewer.weights, division=sewer.division, machine=sewer.machine, batting=batting,
        required=sewer.schedule.bobbins_end is not None,
    )  # fmt: skip


@contextmanager
def _told_where(design: Design | Drawing) -> Iterator[None]:
    """Name the place in its file where a design is at fault; turn the postman's errors into ours."""
    try:
        yield
    except PromiseError as error:
        raise InternalError(f"while routing: {error}") from error
    except ChildError as error:
        raise StitchpathError(str(error)) from error
    except DesignError as error:
        if isinstance(design, Drawing) or not error.key:
            raise
        raise located(error, parts_of(error.key), design.source) from None


def _refuse_how(effort: str, seed: int, **hooks: object) -> None:
    for key, hook in hooks.items():
        if hook is not None:
            refuse_other(key, hook, Callable, "function", "give a function, or None")  # type: ignore[arg-type]
    remedy = f"write one of {', '.join(get_args(Effort))}"
    refuse_other("effort", effort, str, "effort", remedy)
    if effort not in get_args(Effort):
        raise DesignError(f"{effort!r} is no effort", remedy, key="effort")
    refuse_other("seed", seed, Integral, "seed", "write a whole number from 0 up")
    if seed < 0:
        raise DesignError(f"{shown(seed)} is no seed", "write a whole number from 0 up", key="seed")


def _refuse(drawing: Drawing, machine: MachineSettings, schedule: ScheduleSettings) -> None:
    if not drawing.lines:
        raise DesignError("there is no line to sew", "ask for at least one motif")
    if all(schedule.leaves_to_hand(line, machine) for line in drawing.lines):
        raise DesignError(
            "every line is left to be guided by hand, and none to the frame",
            'take a role or a motif out of the list, or write sewn_by = "hand" under [machine]',
            key="schedule.by_hand",
        )
