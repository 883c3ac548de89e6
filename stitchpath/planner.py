"""From a design or a drawing to a plan: the recipe."""

from stitchpath.design import Design
from stitchpath.drawing import Drawing, draw
from stitchpath.errors import DesignError
from stitchpath.network import build_network
from stitchpath.outlines import closed_outlines, count_laps
from stitchpath.plan import Plan
from stitchpath.planbound import plan_bound
from stitchpath.router import Progress, Router
from stitchpath.schedule import list_jobs
from stitchpath.settings import CostSettings, Effort, MachineSettings, ScheduleSettings
from stitchpath.stitching import stitch
from stitchpath.weights import weigh

__all__ = ["make_plan"]


def make_plan(
    design: Design | Drawing,
    *,
    cost: CostSettings | None = None,
    machine: MachineSettings | None = None,
    schedule: ScheduleSettings | None = None,
    effort: Effort = "standard",
    seed: int = 0,
    progress: Progress | None = None,
) -> Plan:
    """Plan the sewing of a design: few continuous paths, in order, at the least cost that can be found.

    Parameters
    ----------
    design
        A design, or a drawing made from any lines.
    cost, machine, schedule
        None: the design's own; for a drawing, a frame that does not cut its thread and the default stages.
    effort
        How hard to try where a job's required lines hang together only by travel. Jobs whose lines hang
        together are solved exactly at any effort.
    seed
        The same seed gives the same plan, to the byte.
    progress
        Called with a job's cost and bound in seconds as they move; returns False to stop it early with the
        best so far.

    Raises
    ------
    DesignError
        If there is nothing to sew, or more than one thread.
    LimitError
        If there is more to sew than can be routed at once.

    Examples
    --------
    A square and its two diagonals: all five junctions but the middle are odd, so two paths.

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
    drawing = design if isinstance(design, Drawing) else draw(design)
    own = None if isinstance(design, Drawing) else design
    cost = cost or (own.cost if own else CostSettings())
    machine = machine or (own.machine if own else MachineSettings())
    schedule = schedule or (own.schedule if own else ScheduleSettings())
    _refuse(drawing)

    network = build_network(drawing)
    weights = weigh(network, cost=cost, machine=machine, schedule=schedule)
    router = Router(network, weights, schedule.laps_for(machine), effort, seed, progress)
    routes = router.route(list_jobs(weights, schedule))
    paths, walks = stitch(routes, network, weights)
    return Plan(
        drawing,
        paths,
        tuple(route.routed for route in routes),
        plan_bound(router, routes),
        cost,
        machine,
        schedule,
        effort,
        seed,
        count_laps(network, closed_outlines(network), walks),
        tuple(note.message for note in network.notes),
    )


def _refuse(drawing: Drawing) -> None:
    if not drawing.lines:
        raise DesignError("there is no line to sew", "ask for at least one motif")
    threads = sorted({line.thread for line in drawing.lines})
    if len(threads) > 1:
        raise DesignError(
            f"the lines name {len(threads)} threads ({', '.join(threads)}), and a plan has one for now",
            "name one thread, or plan each thread's lines by themselves",
            key="threads",
        )
