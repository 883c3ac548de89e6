"""What the frame sews, and what it leaves to the hand: one network, shared out between two who sew in turn.

On the frame both keep to the same bands, which are chosen for all lines together. Where both a line of the
frame and one of the hand ask for the same stretch, the frame sews it. How often a line may be sewn is one
limit for both: whoever comes second has what the first one left, and the first one leaves the second its own
sewing. Neither travels over a line that the other one sews later, unless the frame is told to.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from stitchpath.by_hand import hand_machine, hand_schedule
from stitchpath.plan import Plan
from stitchpath.planning.division import Division, divide
from stitchpath.planning.network import Network
from stitchpath.planning.router import Route
from stitchpath.planning.weights import Weights, weigh
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings

__all__ = ["Sewer", "sewn_in_turn", "share_out"]

_Ints = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Sewer:
    """Who sews, and what.

    Attributes
    ----------
    machine, schedule
        Of the frame, or of the hand.
    weights
        What it is to sew, and what it may travel.
    division
        In which bands and groups.
    of_hand
        Whether it is the hand, to which a frame leaves this part.
    """

    machine: MachineSettings
    schedule: ScheduleSettings
    weights: Weights
    division: Division
    of_hand: bool = False


def share_out(
    network: Network, *, cost: CostSettings, machine: MachineSettings, schedule: ScheduleSettings
) -> tuple[Sewer, ...]:
    """Return who sews what, in the order in which they sew; one alone where nothing is left to the hand.

    Parameters
    ----------
    network
        All that is asked for.
    cost, machine, schedule
        As in `stitchpath.make_plan`.

    Raises
    ------
    DesignError
        As `divide` and `weigh` raise it.

    Examples
    --------
    >>> from stitchpath import Drawing, Line
    >>> from stitchpath.planning.network import build_network
    >>> network = build_network(Drawing((Line([(0, 0), (9, 0)], "ditch"), Line([(4, 0), (4, 9)]))))
    >>> settings = {"cost": CostSettings(), "machine": MachineSettings()}
    >>> for by_hand in ((), ["ditch"]):
    ...     sewers = share_out(network, **settings, schedule=ScheduleSettings(by_hand=by_hand))
    ...     print([(sewer.of_hand, int((sewer.weights.stage >= 0).sum())) for sewer in sewers])
    [(False, 3)]
    [(True, 2), (False, 1)]
    """
    weights = weigh(network, cost=cost, machine=machine, schedule=schedule)
    theirs = _of_hand(network, weights, cost, machine, schedule)
    if not (theirs.stage >= 0).any():
        return (
            Sewer(machine, schedule, weights, divide(network, weights, machine=machine, schedule=schedule)),
        )
    hand, asked = hand_machine(machine, schedule), hand_schedule(schedule)
    frame_division, hand_division = _divisions(network, weights, theirs, machine, schedule)
    frame = Sewer(machine, schedule, weights, frame_division)
    other = Sewer(hand, asked, theirs, hand_division, of_hand=True)
    first, second = (other, frame) if schedule.hand_first else (frame, other)
    spared = np.where(second.weights.stage >= 0, 1, 0)
    return _less(first, spared), second


def _of_hand(
    network: Network,
    weights: Weights,
    cost: CostSettings,
    machine: MachineSettings,
    schedule: ScheduleSettings,
) -> Weights:
    """Weigh the hand's part; what the frame is to sew is none of it."""
    if machine.sewn_by == "hand" or not schedule.by_hand:
        return replace(weights, stage=np.full_like(weights.stage, -1))
    theirs = weigh(
        network,
        cost=cost,
        machine=hand_machine(machine, schedule),
        schedule=hand_schedule(schedule),
        of_hand=True,
    )
    framed = weights.stage >= 0
    shut = framed & schedule.hand_first
    return replace(theirs, stage=np.where(framed, -1, theirs.stage), most=np.where(shut, 0, theirs.most))


def _divisions(
    network: Network, weights: Weights, theirs: Weights, machine: MachineSettings, schedule: ScheduleSettings
) -> tuple[Division, Division]:
    """Divide the frame's part and the hand's: in the same bands, where the hand sews on the frame."""
    hand, asked = hand_machine(machine, schedule), hand_schedule(schedule)
    if not schedule.hand_on_frame:
        own = divide(network, theirs, machine=hand, schedule=asked)
        return divide(network, weights, machine=machine, schedule=schedule), own
    stage = np.where(weights.stage >= 0, weights.stage, theirs.stage)
    both = divide(network, replace(weights, stage=stage), machine=machine, schedule=schedule)
    at_once = hand.model_copy(update={"reach": None, "last_reach": None})
    grouped = divide(network, theirs, machine=at_once, schedule=asked)
    own = replace(both, groups=grouped.groups, group=grouped.group)
    late = schedule.travel_by_hand is True
    return (
        _banded(both, weights, theirs.stage if schedule.hand_first and not late else None),
        _banded(own, theirs, None if schedule.hand_first else weights.stage),
    )


def _banded(division: Division, weights: Weights, before: _Ints | None) -> Division:
    """Return a division with the cuts of one's own lines, and without what the other sews in a later band.

    Parameters
    ----------
    before
        (m,) the stages of the other one, who sews first in each band; None: it does not matter.
    """
    own = weights.stage >= 0
    resumes = {at: edge for at, edge in division.resumes.items() if own[at[1]] and own[edge]}
    reached = division.reached
    if before is not None:
        later = np.where(before >= 0, division.band, 0)
        reached = tuple(edges[later[edges] <= band] for band, edges in enumerate(reached))
    return replace(division, resumes=resumes, reached=reached)


def _less(sewer: Sewer, passed: NDArray[np.int64]) -> Sewer:
    """Return a sewer to whom so many times on each edge are not left."""
    most = np.maximum(sewer.weights.most - passed, 0)
    return replace(sewer, weights=replace(sewer.weights, most=most))


def sewn_in_turn(
    network: Network, sewers: Sequence[Sewer], sew: Callable[[Sewer], tuple[Plan, Sequence[Route]]]
) -> Plan:
    """Return the plan of the frame with that of the hand in it, the second made on what the first one left.

    Parameters
    ----------
    network
        What they share.
    sewers
        As from `share_out`.
    sew
        Plans what one of them sews; returns the plan and its routes.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> from stitchpath.planning.network import build_network
    >>> network = build_network(Drawing(()))
    >>> settings = {"machine": MachineSettings(), "schedule": ScheduleSettings()}
    >>> alone = share_out(network, cost=CostSettings(), **settings)
    >>> sewn_in_turn(network, alone, lambda sewer: (Plan(Drawing(()), (), (), 0.0), ())).by_hand
    """
    passed = np.zeros(len(network.tails), dtype=np.int64)
    plans: dict[bool, Plan] = {}
    for sewer in sewers:
        plans[sewer.of_hand], routes = sew(_less(sewer, passed))
        for trail in (trail for route in routes for trail in route.trails):
            passed += np.bincount(trail.edges, minlength=len(passed))
    return replace(plans[False], by_hand=plans.get(True))
