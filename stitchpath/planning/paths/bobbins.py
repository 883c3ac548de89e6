"""No bobbin runs out within a path: paths are ended in a seam before that happens, at the least cost.

For each thread, along the sewing order, a bobbin must last from one place where it may be changed to the
next. It may be changed between paths, which only wastes what is left on it; or within a path at a junction in
a seam, which costs the two ends that come to lie there. Where the needle travels, the path ends at the first
seam on the way and begins again at the last one, and the travel between them is saved. The cheapest choice
(of equally cheap ones, that with the fewest bobbins) is a shortest path over those places. The places from
which one can be reached are a stretch that only moves on, so the best of them is kept at the front of a
queue; a graph for networkx would hold every pair of them.

By hand bobbins end in seams without being asked to. Then, where no seam comes before a bobbin is empty, the
path goes on from the last seam to the next one, and its bobbin is changed on the way; who asked is refused.
"""

from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from stitchpath.errors import DesignError
from stitchpath.figures.thread_use import Lockstitch, bastes, lockstitch, usable_bobbin_mm
from stitchpath.lines import RESUME_MM, SECURE_MM, SECURE_STITCHES
from stitchpath.planning.division import Division
from stitchpath.planning.network import Network
from stitchpath.planning.router import Route, first_sewn
from stitchpath.planning.weights import Weights
from stitchpath.postman.trails.trail import Trail, vertices_of
from stitchpath.settings import BattingSettings, MachineSettings

__all__ = ["BobbinPlace", "end_bobbins", "fewest_at_least_cost"]


@dataclass(frozen=True, slots=True)
class BobbinPlace:
    """Where a bobbin may be changed.

    Attributes
    ----------
    ends_mm, begins_mm
        How much thread is used when the one bobbin is taken out there, and when the next one begins. Both
        grow from place to place, and each counts the sewing order without any other change.
    cost
        In whole units.
    path, last, first
        Within which path, after how many of its steps the one ends, after how many the next begins; at a
        path's end both are all of them.
    """

    ends_mm: float
    begins_mm: float
    cost: int
    path: int
    last: int
    first: int


@dataclass(frozen=True, eq=False)
class _Leg:
    """A trail of a path: its route, its number in it, and the path's step at which it begins."""

    route: int
    trail: int
    start: int


@dataclass(frozen=True, eq=False)
class _Walk:
    """A path before it has coordinates."""

    legs: tuple[_Leg, ...]
    edges: NDArray[np.intp]
    vertices: NDArray[np.intp]
    sews: NDArray[np.bool_]


def end_bobbins(
    routes: Sequence[Route],
    network: Network,
    weights: Weights,
    *,
    division: Division,
    machine: MachineSettings,
    batting: BattingSettings,
    required: bool,
) -> tuple[tuple[Route, ...], tuple[str, ...]]:
    """Return routes in which no path takes more thread than a bobbin has, cut in seams at the least cost.

    Parameters
    ----------
    routes
        In sewing order.
    network, weights
        What they lie on, and what it costs.
    division
        Where lines were cut between bands.
    machine
        How much thread a bobbin has, and how ends are secured.
    batting
        How thick the layers are, for the thread that a stitch takes.
    required
        Whether it is an error if from some place on no seam comes before a bobbin is empty. If not, a path
        goes on from the last seam before that to the first one after it.

    Returns
    -------
    tuple of Route, tuple of str
        As many jobs, with more trails; and a sentence where a bobbin is empty before a path comes to a seam.

    Raises
    ------
    DesignError
        If that is required, and cannot be.
    """
    stitch, bobbin_mm = lockstitch(machine, batting), usable_bobbin_mm(machine)
    walks = _walks(routes, network, weights)
    end_mm = stitch.tail_mm
    if machine.secures_in_files:
        end_mm += 2 * SECURE_MM + SECURE_STITCHES * stitch.bobbin_mm
    thread_mm = _thread_mm(network, weights, stitch)
    resume_mm = RESUME_MM * (1 + stitch.bobbin_mm / min(stitch.stitch_mm, stitch.basting_mm))
    cuts: list[BobbinPlace] = []
    empty: list[str] = []
    by_thread: dict[str, list[int]] = {}
    for number, walk in enumerate(walks):
        by_thread.setdefault(routes[walk.legs[0].route].job.thread, []).append(number)
    for thread, numbers in by_thread.items():
        places = [BobbinPlace(0.0, 0.0, 0, numbers[0], 0, 0)]
        for number in numbers:
            walk = walks[number]
            around = [end_mm + resume_mm * resumed for resumed in _resumed(walk, division)]
            used = (
                places[-1].begins_mm + around[0] + np.concatenate(([0.0], np.cumsum(thread_mm[walk.edges])))
            )
            whole = float(used[-1]) + around[1]
            if whole - places[-1].begins_mm > bobbin_mm:
                places += _within(number, walk, used, end_mm, weights.in_thread(thread), division)
            places.append(BobbinPlace(whole, whole, 0, number, len(walk.edges), len(walk.edges)))
        chosen = fewest_at_least_cost(places, bobbin_mm, required=required)
        if isinstance(chosen, int):
            raise DesignError(
                _too_short(places[chosen], places[chosen + 1], walks, network, machine),
                'write what a larger bobbin holds, or bobbins_end = "anywhere" under [schedule]',
                key="machine.bobbin_m",
            )
        stops = [places[0], *chosen, places[-1]]
        empty += [
            _too_short(one, other, walks, network, machine)
            for one, other in pairwise(stops)
            if other.ends_mm - one.begins_mm > bobbin_mm
        ]
        cuts += [place for place in chosen if place.last < len(walks[place.path].edges)]
    cuts.sort(key=lambda cut: (cut.path, cut.last))
    return _cut(routes, walks, cuts, network, weights), tuple(_told(empty))


def _told(empty: Sequence[str]) -> Iterator[str]:
    """Tell of bobbins that are empty before a seam comes, the first of them by its place."""
    if empty:
        more = f" (and {len(empty) - 1:,} more like it)" if len(empty) > 1 else ""
        yield f"{empty[0]}{more}; put a new one in on the way"


def fewest_at_least_cost(
    places: Sequence[BobbinPlace], bobbin_mm: float, *, required: bool = True
) -> tuple[BobbinPlace, ...] | int:
    """Return where to change bobbins, at the least cost, and of that as few as can be.

    Parameters
    ----------
    places
        In sewing order; the first is where all begins and the last where all ends, and neither is a change.
    bobbin_mm
        How much thread a bobbin has.
    required
        Whether no more may be used from one change to the next; if not, more is used where no place comes
        before.

    Returns
    -------
    tuple of BobbinPlace or int
        The changes in order; or the index of the last place from which the next cannot be reached, where that
        is required.

    Examples
    --------
    >>> all_of_it = [BobbinPlace(mm, mm, cost, 0, 0, 0) for mm, cost in ((0, 0), (4, 7), (5, 9), (8, 0))]
    >>> [place.cost for place in fewest_at_least_cost(all_of_it, 4.5)]
    [7]
    >>> fewest_at_least_cost(all_of_it, 2), fewest_at_least_cost(all_of_it[:1], 2)
    (0, ())
    >>> [place.cost for place in fewest_at_least_cost(all_of_it, 2, required=False)]
    [7, 9]
    """
    best = [(0, 0)]
    before = [0]
    queue = deque([0])
    for index, place in enumerate(places[1:], 1):
        while queue and place.ends_mm - places[queue[0]].begins_mm > bobbin_mm:
            queue.popleft()
        if not queue:
            if required:
                return index - 1
            queue.append(index - 1)
        cost, bobbins = best[queue[0]]
        best.append((cost + place.cost, bobbins + 1))
        before.append(queue[0])
        while queue and best[queue[-1]] >= best[index]:
            queue.pop()
        queue.append(index)
    chosen, at = [], before[-1]
    while at:
        chosen.append(places[at])
        at = before[at]
    return tuple(reversed(chosen))


def _walks(routes: Sequence[Route], network: Network, weights: Weights) -> list[_Walk]:
    """Return the paths, each with the legs that run on into one another."""
    grouped: list[list[tuple[int, int]]] = []
    for r, route in enumerate(routes):
        for t in range(len(route.trails)):
            if t == 0 and route.routed.run_on:
                grouped[-1].append((r, t))
            else:
                grouped.append([(r, t)])
    trails = [[routes[r].trails[t] for r, t in group] for group in grouped]
    edges = [np.concatenate([trail.edges for trail in group]) for group in trails]
    whole = np.concatenate([np.empty(0, dtype=np.intp), *edges])
    sews = np.split(first_sewn(whole, weights), np.cumsum([len(one) for one in edges])[:-1])
    walks = []
    for group, own, steps, sewn in zip(grouped, trails, edges, sews, strict=True):
        forward = np.concatenate([trail.forward for trail in own])
        vertices = np.append(np.where(forward, network.tails[steps], network.heads[steps]), own[-1].last)
        starts = np.cumsum([0] + [len(trail) for trail in own]).tolist()
        legs = tuple(_Leg(r, t, start) for (r, t), start in zip(group, starts, strict=False))
        walks.append(_Walk(legs, steps, vertices, sewn))
    return walks


def _thread_mm(network: Network, weights: Weights, stitch: Lockstitch) -> NDArray[np.float64]:
    """Return how much of the bobbin's thread each edge takes."""
    lines = network.drawing.lines
    basting = np.array([bastes(line + 1 if line >= 0 else None, lines) for line in weights.line.tolist()])
    length = np.where(basting.astype(bool), stitch.basting_mm, stitch.stitch_mm)
    thread: NDArray[np.float64] = network.length_mm * (1 + stitch.bobbin_mm / length)
    return thread


def _resumed(walk: _Walk, division: Division) -> tuple[bool, bool]:
    """Return whether a path takes up a cut line where it begins, and where it ends."""
    ends = (walk.vertices[0], walk.edges[0]), (walk.vertices[-1], walk.edges[-1])
    first, last = ((int(junction), int(edge)) in division.resumes for junction, edge in ends)
    return first, last


def _within(
    number: int,
    walk: _Walk,
    used: NDArray[np.float64],
    end_mm: float,
    weights: Weights,
    division: Division,
) -> list[BobbinPlace]:
    """Return where a path may be ended and begun again."""
    taken_up = {junction for junction, _ in division.resumes}
    open_to = weights.seam[walk.vertices] & ~np.isin(walk.vertices, np.array(sorted(taken_up), dtype=np.intp))
    ends, travel = weights.end[walk.vertices], np.where(walk.sews, 0, weights.travel[walk.edges])
    along = np.concatenate(([0], np.cumsum(travel)))
    begins = np.flatnonzero(np.append(True, walk.sews))
    stops = np.flatnonzero(np.append(walk.sews, True))
    places = []
    for first, last in zip(begins.tolist(), stops.tolist(), strict=True):
        seams = first + np.flatnonzero(open_to[first : last + 1])
        if first and last < len(walk.edges) and len(seams):
            x, z = int(seams[0]), int(seams[-1])
            cost = int(ends[x] + ends[z] - (along[z] - along[x]))
            places.append(BobbinPlace(float(used[x]) + end_mm, float(used[z]) - end_mm, cost, number, x, z))
    return places


def _too_short(
    place: BobbinPlace,
    beyond: BobbinPlace,
    walks: Sequence[_Walk],
    network: Network,
    machine: MachineSettings,
) -> str:
    """Say where the bobbin is put in that does not last: after a path's end, where the next one begins."""
    first = place.first if place.path == beyond.path else 0
    x, y = network.junctions_mm[walks[beyond.path].vertices[first]].tolist()
    return (
        f"a bobbin of {machine.bobbin_m:g} m put in at x {x:.1f} mm, y {y:.1f} mm is empty before the path "
        "comes to a seam in which it could end"
    )


def _cut(
    routes: Sequence[Route],
    walks: Sequence[_Walk],
    cuts: Sequence[BobbinPlace],
    network: Network,
    weights: Weights,
) -> tuple[Route, ...]:
    """Return the routes with their paths cut, and with what that costs in each job."""
    kept = [[[(0, len(trail))] for trail in route.trails] for route in routes]
    changes = [_Change() for _ in routes]
    for cut in cuts:
        walk = walks[cut.path]
        starts = [leg.start for leg in walk.legs]
        before = walk.legs[int(np.searchsorted(starts, cut.last, side="left")) - 1]
        after = walk.legs[int(np.searchsorted(starts, cut.first, side="right")) - 1]
        end = weights.end[walk.vertices].tolist()
        costs = weights.in_thread(routes[before.route].job.thread).travel
        travel = np.concatenate(([0], np.cumsum(costs[walk.edges]))).tolist()
        pieces = kept[before.route][before.trail]
        begin, stop = pieces[-1]
        pieces[-1] = begin, cut.last - before.start
        border = cut.last if before is after else after.start
        changes[before.route].cost += end[cut.last] - end[border] - travel[border] + travel[cut.last]
        changes[after.route].cost += end[border] + end[cut.first] - travel[cut.first] + travel[border]
        changes[after.route].paths += 1
        if before is after:
            pieces.append((cut.first - before.start, stop))
        else:
            kept[after.route][after.trail] = [(cut.first - border, kept[after.route][after.trail][0][1])]
            changes[after.route].parted = True
    return tuple(
        _changed(route, pieces, change, network)
        for route, pieces, change in zip(routes, kept, changes, strict=True)
    )


@dataclass
class _Change:
    """What cuts change in a job: its cost in whole units, its paths, and whether it still runs on."""

    cost: int = 0
    paths: int = 0
    parted: bool = False


def _changed(
    route: Route, pieces: Sequence[Sequence[tuple[int, int]]], change: _Change, network: Network
) -> Route:
    routed, trails = route.routed, []
    for trail, kept in zip(route.trails, pieces, strict=True):
        at = vertices_of(trail, tails=network.tails, heads=network.heads).tolist()
        trails += [Trail(trail.edges[a:b], trail.forward[a:b], at[a], at[b]) for a, b in kept]
    if change.cost:
        cost = round(routed.cost / routed.unit_s) + change.cost
        routed = replace(routed, cost=cost * routed.unit_s)
    run_on = routed.run_on and not change.parted
    routed = replace(routed, paths=routed.paths + change.paths, run_on=run_on)
    return replace(route, routed=routed, trails=tuple(trails))
