"""Trails over a network's edges become paths: coordinates, and spans that say sew, travel or step.

Each step over open cloth is a span of its own, so that two on end are two.

A path that takes up a line which an earlier band left begins a little way back on it, over its sewn end. A
path that comes to that end from the other side runs on over it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from stitchpath.geometry.lengths import along
from stitchpath.lines import RESUME_MM
from stitchpath.plan import Move, Span, StitchPath
from stitchpath.planning.division import Division
from stitchpath.planning.network import Network
from stitchpath.planning.router import Route, first_sewn
from stitchpath.planning.weights import Weights
from stitchpath.postman.trails.walks import Trail

__all__ = ["stitch"]

_LEAST_STEP_MM = 0.01
"""The least step where a line is taken up again: a shorter one would vanish in a file."""


@dataclass(frozen=True, eq=False)
class _Leg:
    """A trail within one stage; several make a path where they run on."""

    trail: Trail
    stage: str
    band: int
    thread: str
    run_on: bool


def stitch(
    routes: Sequence[Route],
    network: Network,
    weights: Weights,
    *,
    division: Division | None = None,
) -> tuple[tuple[StitchPath, ...], tuple[NDArray[np.intp], ...]]:
    """Return the paths in sewing order, and the edges of each in order.

    Parameters
    ----------
    division
        Where lines were cut between bands; None: nowhere.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> from stitchpath.planning.network import build_network
    >>> from stitchpath.planning.weights import weigh
    >>> from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings
    >>> network = build_network(Drawing(()))
    >>> weights = weigh(network, cost=CostSettings(), machine=MachineSettings(), schedule=ScheduleSettings())
    >>> stitch((), network, weights)
    ((), ())
    """
    legs = [
        _Leg(trail, route.job.stage, route.job.band, route.job.thread, i == 0 and route.routed.run_on)
        for route in routes
        for i, trail in enumerate(route.trails)
    ]
    walk = np.concatenate([leg.trail.edges for leg in legs]) if legs else np.empty(0, dtype=np.intp)
    sews = first_sewn(walk, weights)
    starts = np.cumsum([0] + [len(leg.trail) for leg in legs])
    firsts = [i for i, leg in enumerate(legs) if not leg.run_on] + [len(legs)]
    paths, walks = [], []
    for a, b in pairwise(firsts):
        steps = slice(starts[a], starts[b])
        path = _path(legs[a:b], sews[steps], network, weights)
        if division is not None and division.windows:
            path = _resumed(path, legs[a].trail, legs[b - 1].trail, network, weights, division)
        paths.append(path)
        walks.append(walk[steps])
    return tuple(paths), tuple(walks)


def _path(legs: Sequence[_Leg], sews: NDArray[np.bool_], network: Network, weights: Weights) -> StitchPath:
    edges = np.concatenate([leg.trail.edges for leg in legs])
    forward = np.concatenate([leg.trail.forward for leg in legs])
    stage = np.repeat(np.arange(len(legs)), [len(leg.trail) for leg in legs])
    steps = np.diff(network.first)[edges] - 1
    at = np.concatenate(([0], np.cumsum(steps)))
    line = weights.line[edges]
    steps_over = network.is_step[edges]
    change = (np.diff(sews) != 0) | (np.diff(line) != 0) | (np.diff(stage) != 0)
    change |= steps_over[1:] | steps_over[:-1]
    begins = np.concatenate(([0], np.flatnonzero(change) + 1))
    bounds = at[np.append(begins, len(edges))].tolist()
    moves = [
        Move.STEP if step else Move.SEW if sew else Move.TRAVEL
        for step, sew in zip(steps_over[begins].tolist(), sews[begins].tolist(), strict=True)
    ]
    lines = [number + 1 if number >= 0 else None for number in line[begins].tolist()]
    stages = [legs[leg].stage for leg in stage[begins].tolist()]
    spans = tuple(map(Span, moves, bounds[:-1], bounds[1:], lines, stages))
    points = _points(network, edges, forward, steps, at, legs[0].trail.first)
    return StitchPath(points, spans, legs[0].thread, legs[0].band)


def _points(
    network: Network,
    edges: NDArray[np.intp],
    forward: NDArray[np.bool_],
    steps: NDArray[np.intp],
    at: NDArray[np.intp],
    start: int,
) -> NDArray[np.float64]:
    """Gather the points along a walk; each junction stands once."""
    place = np.arange(at[-1]) - np.repeat(at[:-1], steps) + 1
    begin = np.where(forward, network.first[edges], network.first[edges + 1] - 1)
    index = np.repeat(begin, steps) + np.repeat(np.where(forward, 1, -1), steps) * place
    return np.concatenate((network.junctions_mm[start][None], network.points_mm[index]))


def _resumed(
    path: StitchPath, first: Trail, last: Trail, network: Network, weights: Weights, division: Division
) -> StitchPath:
    """Put a little of the sewn end before a path that begins where a line was cut; after one that ends so."""
    points, spans = path.coordinates_mm, path.spans
    window = division.windows[path.band - 1]
    before = division.resumes.get((first.first, int(first.edges[0])))
    if before is not None and spans[0].move is Move.SEW:
        back = _in_window(_sewn_end(network, before, first.first), division.axis, window)[::-1]
        count = len(back) - 1
        if count:
            points = np.concatenate((back[:-1], points))
            moved = [replace(s, first=s.first + count, last=s.last + count) for s in spans]
            line = int(weights.line[before]) + 1
            spans = (replace(spans[0], move=Move.RESUME, first=0, last=count, line=line), *moved)
    after = division.resumes.get((last.last, int(last.edges[-1])))
    if after is not None and spans[-1].move is Move.SEW:
        on = _in_window(_sewn_end(network, after, last.last), division.axis, window)
        end = spans[-1].last
        if len(on) > 1:
            points = np.concatenate((points, on[1:]))
            line = int(weights.line[after]) + 1
            resume = replace(spans[-1], move=Move.RESUME, first=end, last=end + len(on) - 1, line=line)
            spans = (*spans, resume)
    return replace(path, coordinates_mm=points, spans=spans)


def _sewn_end(network: Network, edge: int, junction: int) -> NDArray[np.float64]:
    """Return an edge's points from a junction on, as far as a line is taken up again."""
    points = network.points_mm[network.first[edge] : network.first[edge + 1]]
    points = points if network.tails[edge] == junction else points[::-1]
    far = along(points)
    inside = far < RESUME_MM - _LEAST_STEP_MM
    if inside.all():
        return points
    tip = [np.interp(RESUME_MM, far, axis) for axis in points.T]
    return np.vstack((points[inside], tip))


def _in_window(points: NDArray[np.float64], axis: int, window: tuple[float, float]) -> NDArray[np.float64]:
    """Return points from the first on, as long as they are in reach; the last step is shortened to fit."""
    down, (start, end) = points[:, axis], window
    out = np.flatnonzero((down < start) | (down > end))
    if not len(out):
        return points
    i = int(out[0])
    edge = start if down[i] < start else end
    share = (edge - down[i - 1]) / (down[i] - down[i - 1]) if i else 0.0
    step = share * (points[i] - points[i - 1])
    if np.hypot(*step) * np.sign(share) < _LEAST_STEP_MM:
        return points[: max(i, 1)]
    return np.vstack((points[:i], points[i - 1] + step))
