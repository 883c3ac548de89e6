"""All of a plan's figures together."""

from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from stitchpath.errors import refuse_other
from stitchpath.figures.ends import EndsAt, ends_by_place, ends_cost_s, lifts_mm
from stitchpath.figures.evenness import Evenness, evenness_of
from stitchpath.figures.gap import Gap, largest_gap
from stitchpath.figures.outline_order import order_exceptions
from stitchpath.figures.thread import ThreadUse, thread_use_of
from stitchpath.figures.times import Times, lifting_s, needle_down_s, times_of
from stitchpath.figures.travel import longest_visible_mm, travel_of
from stitchpath.figures.visits import Visits, visits_of
from stitchpath.figures.wander import Wander, wander_of
from stitchpath.lines import COVERED_MM
from stitchpath.plan import OrderException, Plan, RoutedJob, gap_of
from stitchpath.settings import MachineSettings

__all__ = ["Figures", "gap_less_forced", "plan_figures"]


_ASSUMPTIONS = (
    "lengths are those of the plan's lines, as drawn: cloth is good to about a millimetre",
    "an end and a stretch of travel show as the least visible line that meets there does",
    "a step over open cloth shows as much as the table of roles says of steps",
    "tie-offs and travel are weighed by what shows, in seconds; that is not the time",
)


@dataclass(frozen=True, slots=True)
class Figures:
    """What a plan comes to.

    Attributes
    ----------
    paths
        Continuous lines of stitching.
    sewn_mm
        Needle-down length sewn for the first time, without the small stitches that secure ends.
    travel_seams_mm, travel_lines_mm, travel_hidden_mm, travel_open_mm
        Travel along stitched seams and basting, along other sewn lines, along hidden seams, and over open
        cloth from one ring to the next.
    travel_over_others_mm
        Of all that, travel over lines that are sewn in another thread and do not match the path's.
    steps
        How often the needle steps so over open cloth.
    longest_visible_retrace_mm
        The longest stretch of travel on end over strip, outline, fill, echo or drawn lines.
    laps, outlines_touched
        Closed outlines sewn in one lap, of those that another line touches.
    lifts, lifts_mm
        Needle-up moves from one path's end to the next one's start.
    ends
        The path ends by the kind of place they lie in, least visible first.
    wander
        How far sewing wanders off each block before it is finished, the greatest ratio first.
    visits
        How often each block is entered to sew something new.
    order_exceptions
        Outlines and echoes that are finished later than the trade's order has it.
    thread_changes
        How often the thread changes from one path to the next.
    advances
        How often the quilt is advanced: one less than there are bands.
    ends_cost_s, travel_cost_s
        Parts of the cost, counted again from the paths.
    leaving_cost_s
        The part of the cost for leaving blocks, as the jobs state it.
    cost_s, bound_s
        As the plan states them; the parts add up to the cost but for the rounding to the jobs' units.
    forced_s
        The part of the cost that no plan can do without: two ends for each separate piece of work.
    optimal
        Whether cost and bound meet.
    jobs
        Each job's cost and bound.
    times
        The time on the machine.
    thread
        Thread, needle and bobbin apart; bobbins, and where each runs out.
    evenness
        Stitched length for each area, block by block, and neighbours that differ much.
    gap_unquilted
        The largest unquilted gap; None where the top's outline is not known, and of the hand's part.
    assumptions
        What the counts and the cost rest on; times, thread, evenness and gap have their own.
    by_hand
        What is left to the hand, in figures of its own; None where nothing is. Advances of the quilt and what
        concerns the whole of it, evenness and gaps, are told with the frame's.
    """

    paths: int
    sewn_mm: float
    travel_seams_mm: float
    travel_lines_mm: float
    travel_hidden_mm: float
    travel_open_mm: float
    travel_over_others_mm: float
    steps: int
    longest_visible_retrace_mm: float
    laps: int
    outlines_touched: int
    lifts: int
    lifts_mm: float
    ends: tuple[EndsAt, ...]
    wander: tuple[Wander, ...]
    visits: Visits
    order_exceptions: tuple[OrderException, ...]
    thread_changes: int
    advances: int
    ends_cost_s: float
    travel_cost_s: float
    leaving_cost_s: float
    cost_s: float
    bound_s: float
    forced_s: float
    optimal: bool
    jobs: tuple[RoutedJob, ...]
    times: Times
    thread: ThreadUse
    evenness: Evenness
    gap_unquilted: Gap | None
    assumptions: tuple[str, ...] = _ASSUMPTIONS
    by_hand: "Figures | None" = None

    @property
    def tie_offs(self) -> int:
        """Two to a path."""
        return 2 * self.paths

    @property
    def open_ends(self) -> int:
        """How many path ends lie in open cloth: where no seam, basting or edge line meets."""
        return sum(at.ends for at in self.ends if at.in_open_cloth)

    @property
    def open_end_paths(self) -> tuple[int, ...]:
        """Which paths end in open cloth, ascending, counted from 1."""
        return tuple(sorted({path for at in self.ends if at.in_open_cloth for path in at.paths}))

    @property
    def wander_median(self) -> float | None:
        """The median of the blocks' wander ratios; None where no block is sewn."""
        return median(wander.ratio for wander in self.wander) if self.wander else None

    @property
    def wander_greatest(self) -> float | None:
        """The greatest of the blocks' wander ratios; None where no block is sewn."""
        return self.wander[0].ratio if self.wander else None

    @property
    def travel_mm(self) -> float:
        """All travel, needle down."""
        return self.travel_seams_mm + self.travel_lines_mm + self.travel_hidden_mm + self.travel_open_mm

    @property
    def gap(self) -> float:
        """(cost - bound) / bound; 0 where both are 0."""
        return gap_of(self.cost_s, self.bound_s)

    @property
    def gap_less_forced(self) -> float:
        """(cost - bound) / (cost - forced): what is forced flatters the plain gap."""
        return gap_less_forced(self.cost_s, self.bound_s, self.forced_s)


def gap_less_forced(cost: float, bound: float, forced: float) -> float:
    """Return the gap over the part of the cost that routing can change.

    Parameters
    ----------
    cost, bound
        The plan's, in seconds.
    forced
        The part of the cost that every plan has, in seconds.

    Returns
    -------
    float
        A share; infinite where nothing can be changed, and the cost is not the bound.

    Examples
    --------
    >>> gap_less_forced(110.0, 100.0, 60.0), gap_less_forced(0.0, 0.0, 0.0)
    (0.2, 0.0)
    """
    if cost == bound:
        return 0.0
    return (cost - bound) / (cost - forced) if cost > forced else float("inf")


def plan_figures(
    plan: Plan, *, machine: MachineSettings | None = None, within_mm: float = COVERED_MM
) -> Figures:
    """Count what a plan comes to.

    Parameters
    ----------
    plan
        The plan; its cost settings weigh what shows.
    machine
        On which time and thread are told; None: the machine that the plan was made for. The cost stays the
        plan's, and so does what is sewn by hand.
    within_mm
        How near to a line a path's end lies that lies on it: of plans made elsewhere, more than of ours.

    Returns
    -------
    Figures
        Lengths in millimetres, costs and times in seconds.

    Raises
    ------
    DesignError
        If it is no plan, or the machine no settings.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> empty = plan_figures(Plan(Drawing(lines=()), paths=(), jobs=(), bound=0.0))
    >>> empty.paths, empty.travel_mm, empty.gap, empty.times.total_s
    (0, 0.0, 0.0, 0.0)
    """
    refuse_other("plan", plan, Plan, "plan", "give a Plan, such as make_plan returns")
    if machine is not None:
        refuse_other("machine", machine, MachineSettings, "settings", "give MachineSettings(...)")
    travel = travel_of(plan)
    far_mm = lifts_mm(plan.paths)
    sewn_mm = sum((path.sewn_mm for path in plan), 0.0)
    thread_changes = sum(before.thread != after.thread for before, after in pairwise(plan.paths))
    advances = 0 if plan.of_hand else max(len(plan.windows) - 1, 0)
    sews_on = machine or plan.machine
    sewing_s, travel_s = needle_down_s(plan, sews_on)
    thread = thread_use_of(plan, sews_on)
    return Figures(
        paths=len(plan.paths),
        sewn_mm=sewn_mm,
        travel_seams_mm=float(travel.mm[travel.asked & ~travel.visible].sum()),
        travel_lines_mm=float(travel.mm[travel.asked & travel.visible].sum()),
        travel_hidden_mm=float(travel.mm[~travel.asked & ~travel.open].sum()),
        travel_open_mm=float(travel.mm[travel.open].sum()),
        travel_over_others_mm=float(travel.mm[travel.over_other].sum()),
        steps=int(travel.open.sum()),
        longest_visible_retrace_mm=longest_visible_mm(travel),
        laps=plan.laps.in_one_lap,
        outlines_touched=plan.laps.touched,
        lifts=max(len(plan.paths) - 1, 0),
        lifts_mm=float(far_mm.sum()),
        ends=ends_by_place(plan, within_mm=within_mm),
        wander=wander_of(plan),
        visits=visits_of(plan),
        order_exceptions=order_exceptions(plan),
        thread_changes=thread_changes,
        advances=advances,
        ends_cost_s=ends_cost_s(plan, within_mm=within_mm),
        travel_cost_s=float((travel.mm * travel.shows).sum() / plan.machine.speed_mm_s),
        leaving_cost_s=plan.cost_settings.leaving_block_s * sum(job.crossings for job in plan.jobs),
        cost_s=plan.cost,
        bound_s=plan.bound,
        forced_s=sum((job.forced for job in plan.jobs), 0.0),
        optimal=plan.optimal,
        jobs=plan.jobs,
        times=times_of(
            sews_on,
            sewing_s=sewing_s,
            travel_s=travel_s,
            lifts_s=lifting_s(sews_on, far_mm),
            paths=len(plan.paths),
            thread_changes=thread_changes,
            advances=advances if plan.windows and not plan.of_hand else None,
            bobbin_changes=len(thread.bobbin_ends),
        ),
        thread=thread,
        evenness=evenness_of(plan),
        gap_unquilted=None if plan.of_hand else largest_gap(plan.drawing, plan.batting),
        by_hand=None if plan.by_hand is None else plan_figures(plan.by_hand, within_mm=within_mm),
    )
