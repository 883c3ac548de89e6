"""What must hold of any plan, proven with numpy and shapely alone.

It reads a plan's paths, the drawing and the settings, and shares no code with what plans or checks: moves and
lines are straight pieces, and what is near is what GEOS says is near.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely

__all__ = ["faults"]

COVERED_MM = 0.004
APART_MM = 0.01
"""Lines nearer than this bear together what each of them may bear."""
OVER_MM = 0.001
"""Shorter remainders are arithmetic."""
_ROOM_MM = 1e-4
"""What a polygon with 16 corners lacks of a circle, and more."""
_ALONG = 0.1
"""Pieces at a smaller sine run along each other; others cross."""


def faults(
    plan: Any, drawing: Any, *, cost: Any = None, machine: Any = None, schedule: Any = None
) -> list[str]:
    """Return what is wrong with a plan, a sentence each; settings left out are the plan's own."""
    case = _Case(
        plan, drawing, cost or plan.cost_settings, machine or plan.machine, schedule or plan.schedule
    )
    rules = [rule for rule in RULES if not (plan.of_hand and rule is _covered)]
    told = [f"{rule.__name__.strip('_')}: {said}" for rule in rules for said in rule(case)]
    if plan.by_hand is None:
        return told
    by_hand = [f"by hand: {said}" for said in faults(plan.by_hand, drawing)]
    return [*told, *by_hand, *_both(plan, case)]


def _both(plan: Any, case: "_Case") -> Iterator[str]:
    """Frame and hand sew in turn: between them all of it, over nothing too often or too early."""
    schedule, hand = plan.schedule, plan.by_hand
    parts = [(hand, 0 if schedule.hand_first else 1), (plan, 1 if schedule.hand_first else 0)]
    turns = [
        (path.band if schedule.hand_on_frame else 0, turn, number, path)
        for part, turn in parts
        for number, path in enumerate(part.paths)
    ]
    turns.sort(key=lambda turn: turn[:3])
    whole = replace(plan, paths=tuple(path for *_, path in turns))
    both = _Case(whole, case.drawing, plan.cost_settings, plan.machine, hand.schedule, together=True)
    for rule in (_covered, _sewn_before, _not_too_often):
        yield from (f"both, {rule.__name__.strip('_')}: {said}" for said in rule(both))


class _Pieces:
    """Straight pieces (n, 2) from `start` to `end`, those without length left out, and `of` what each is."""

    def __init__(self, chains: list[Any], of: list[Any] | None = None) -> None:
        pairs = [np.asarray(chain, dtype=float) for chain in chains]
        self.start = np.concatenate([chain[:-1] for chain in pairs] or [np.zeros((0, 2))])
        self.end = np.concatenate([chain[1:] for chain in pairs] or [np.zeros((0, 2))])
        self.of = np.repeat(np.arange(len(pairs)) if of is None else of, [len(chain) - 1 for chain in pairs])
        kept = (self.start != self.end).any(axis=1)
        self.start, self.end, self.of = self.start[kept], self.end[kept], self.of[kept]
        self.drawn = shapely.linestrings(np.stack([self.start, self.end], axis=1))
        self.unit = (self.end - self.start) / np.hypot(*(self.end - self.start).T)[:, None]


@dataclass
class _Span:
    """A span of a path: its points, how the needle moves, and to what it belongs."""

    points: Any
    move: str
    stage: str
    path: int
    band: int
    thread: str


class _Case:
    """A plan in pieces: `moves` in the needle's order, of `spans`; `rails`, of the lines and hidden seams."""

    def __init__(
        self, plan: Any, drawing: Any, cost: Any, machine: Any, schedule: Any, *, together: bool = False
    ) -> None:
        self.of_hand, self.together = plan.of_hand, together
        self.drawing, self.machine, self.schedule = drawing, machine, schedule
        self.groups = schedule.groups_for(machine)
        self.spans = [
            _Span(
                path.coordinates_mm[span.first : span.last + 1],
                str(span.move), span.stage, number, path.band, path.thread,
            )
            for number, path in enumerate(plan.paths, 1)
            for span in path.spans
        ]  # fmt: skip
        self.moves = _Pieces([span.points for span in self.spans])
        self.move = np.array([span.move for span in self.spans], dtype=object)[self.moves.of]
        lines = [*drawing.lines, *drawing.hidden]
        self.lines, asked = lines, np.arange(len(lines)) < len(drawing.lines)
        self.rails = _Pieces([line.points_mm for line in lines])
        self.by_hand = np.array([self._left(line) for line in lines], dtype=bool) & asked
        self.wanted = asked & ~self.by_hand
        shut = np.array([line.role == "hidden" and not cost.hidden_seams for line in lines], dtype=bool)
        first = schedule.by_hand_when in ("before each band", "before the frame")
        if schedule.by_hand_when is None:
            first = not {*schedule.by_hand} <= {"fill", "echo", "drawn"}
        allowed = first if schedule.travel_by_hand is None else schedule.travel_by_hand
        self.free = (~asked & ~shut) | (self.by_hand & (not first if self.of_hand else allowed))
        if together and schedule.travel_by_hand:
            self.free |= np.array([self._named(line) for line in lines], dtype=bool) & asked
        rules = cost.rules()
        self.open_travel, self.most_steps = cost.open_travel, rules["step"].most_times
        self.most = np.array([rules[line.role].most_times for line in lines], dtype=int)

    def _left(self, line: Any) -> bool:
        """Tell whether a frame leaves a line to the hand, or the hand leaves it to the frame."""
        if self.together:
            return False
        return (
            not self._named(line) if self.of_hand else self.machine.sewn_by == "frame" and self._named(line)
        )

    def _named(self, line: Any) -> bool:
        return bool({str(line.role), line.motif.split(":")[0]} & set(self.schedule.by_hand))

    def where(self, move: int) -> str:
        """Return a move's path and middle, in words."""
        x, y = (self.moves.start[move] + self.moves.end[move]) / 2
        return f"path {self.spans[self.moves.of[move]].path} at ({x:.3f}, {y:.3f})"

    @property
    def stages(self) -> tuple[Any, Any]:
        """The stage in which each line is to be sewn, and that of each span."""
        of = {str(role): stage.name for stage in self.schedule.stages for role in stage.roles}
        return _texts(of.get(str(line.role), "") for line in self.lines), _texts(s.stage for s in self.spans)

    @property
    def threads(self) -> tuple[Any, Any]:
        """The thread of each line, and that of each span."""
        return _texts(line.thread for line in self.lines), _texts(span.thread for span in self.spans)


def _texts(texts: Iterator[str]) -> Any:
    return np.array(list(texts), dtype=object)


def _uncovered(
    pieces: _Pieces, mine: Any, others: _Pieces, counts: Callable[[Any, Any], Any]
) -> Iterator[tuple[int, float]]:
    """Yield which of `mine` is how far from being covered: what is not near any other piece that counts.

    What is near a straight piece is convex: a piece with both ends near the same other one is covered.
    """
    mine = np.flatnonzero(mine)
    piece, other = shapely.STRtree(others.drawn).query(
        pieces.drawn[mine], predicate="dwithin", distance=COVERED_MM
    )
    piece = mine[piece]
    kept = counts(piece, other)
    piece, other = piece[kept], other[kept]
    beside = others.drawn[other]
    near = np.ones(len(piece), dtype=bool)
    for ends in (pieces.start, pieces.end):
        near &= shapely.distance(shapely.points(ends[piece]), beside) <= COVERED_MM
    doubtful = np.setdiff1d(mine, piece[near])
    kept = np.isin(piece, doubtful)
    piece, other = piece[kept], other[kept]
    which, place = np.unique(other, return_inverse=True)
    around = shapely.buffer(others.drawn[which], COVERED_MM + _ROOM_MM, quad_segs=4)[place]
    clipped = shapely.intersection(pieces.drawn[piece], around)
    ends = [shapely.line_locate_point(pieces.drawn[piece], shapely.get_point(clipped, n)) for n in (0, -1)]
    low, high = np.fmin(*ends), np.fmax(*ends)
    order = np.lexsort((low, piece))
    low, high, piece = low[order], high[order], piece[order]
    for i in doubtful.tolist():
        part = slice(*np.searchsorted(piece, [i, i + 1]))
        reached = np.maximum.accumulate(np.append(0, np.nan_to_num(high[part])))
        starts = np.append(np.nan_to_num(low[part]), shapely.length(pieces.drawn[i]))
        left = float(np.maximum(starts - reached, 0).sum())
        if left > OVER_MM:
            yield i, left


def _covered(case: _Case) -> Iterator[str]:
    """Every line asked for and not left to the hand is sewn, all of it."""
    sews = case.move == "sew"
    rails, wanted = case.rails, case.wanted[case.rails.of]
    for i, left in _uncovered(rails, wanted, case.moves, lambda _, move: sews[move]):
        line = case.lines[rails.of[i]]
        yield f"line {rails.of[i] + 1} ({line.motif}) at {rails.start[i].round(3)} lacks {left:.4f} mm"


def _on_lines(case: _Case) -> Iterator[str]:
    """Needle down it is on what may be sewn or travelled, and sews nothing but what is asked for."""
    line = case.rails.of
    for sews, may in ((True, case.wanted), (False, case.wanted | case.free)):
        mine = ((case.move == "sew") == sews) & (case.move != "step")
        for i, left in _uncovered(case.moves, mine, case.rails, lambda _, rail, may=may: may[line[rail]]):
            if case.move[i] == "secure" and _along_a_step(case, i):
                continue
            yield f"{case.where(i)} is off its lines ({case.move[i]}) for {left:.4f} mm"


def _along_a_step(case: _Case, move: int) -> bool:
    """Tell whether small stitches lie where the path steps over open cloth at its end."""
    steps = case.moves.drawn[case.move == "step"]
    ends = shapely.points([case.moves.start[move], case.moves.end[move]])
    return any((shapely.distance(ends, step) <= COVERED_MM).all() for step in steps)


def _kept_out(case: _Case) -> Iterator[str]:
    """No stitch enters a keep-out."""
    shapes = np.array([keep_out.polygon for keep_out in case.drawing.keep_outs], dtype=object)
    inner = shapely.buffer(shapes, -COVERED_MM - _ROOM_MM)
    for shape, move in shapely.STRtree(case.moves.drawn).query(inner, predicate="intersects").T.tolist():
        within = shapely.intersection(case.moves.drawn[move], inner[shape])
        if within.length > OVER_MM:
            deep = shapely.distance(within.interpolate(0.5, normalized=True), shapely.boundary(shapes[shape]))
            said = f"is {deep:.3f} mm deep in keep-out {shape + 1}, for {within.length:.3f} mm"
            yield f"{case.where(move)} {said}"


def _steps(case: _Case) -> Iterator[str]:
    """A step goes straight from an outline or echo of a block to the next one, and over nothing."""
    whole = shapely.linestrings
    rings = [i for i, line in enumerate(case.drawing.lines) if str(line.role) in {"outline", "echo"}]
    drawn = np.array([whole(line.points_mm) for line in case.lines] + [None], dtype=object)[:-1]
    moves = [int(move) for move in np.flatnonzero(case.move == "step")]
    for move in moves:
        step, (start, end) = case.moves.drawn[move], (case.moves.start[move], case.moves.end[move])
        at = [
            [i for i in rings if shapely.distance(drawn[i], shapely.Point(tip)) <= COVERED_MM]
            for tip in (start, end)
        ]
        fits = [
            {a, b} for a in at[0] for b in at[1]
            if a != b and case.lines[a].block == case.lines[b].block
            and step.length <= min(shapely.distance(drawn[a], drawn[b]) + 0.05, case.open_travel + COVERED_MM)
            and ("echo" in {str(case.lines[a].role), str(case.lines[b].role)} or _nested(drawn[a], drawn[b]))
        ]  # fmt: skip
        core = whole([start + (end - start) * share for share in (0.1, 0.9)])
        met = np.flatnonzero(shapely.distance(drawn, core) <= COVERED_MM).tolist()
        again = np.abs(case.moves.start + case.moves.end - start - end).max(axis=1) <= COVERED_MM
        crossed = [i for i in moves if not again[i] and shapely.crosses(case.moves.drawn[i], core)]
        if not fits or met or crossed:
            yield f"{case.where(move)} steps from {at[0]} to {at[1]} over {met or crossed or 'too much'}"
        if np.sum(again & (case.move == "step")) > case.most_steps:
            yield f"{case.where(move)} steps too often"


def _nested(one: Any, two: Any) -> bool:
    inner, outer = sorted((one, two), key=lambda ring: float(shapely.length(ring)))
    return bool(
        one.is_closed and two.is_closed and shapely.make_valid(shapely.Polygon(outer)).contains(inner)
    )


def _sewn_before(case: _Case) -> Iterator[str]:
    """Travel is on free seams, or on what the needle has sewn by then."""
    count = len(case.moves.of)
    free = np.flatnonzero(case.free[case.rails.of])
    both = _Pieces([])
    both.drawn = np.concatenate([case.moves.drawn, case.rails.drawn[free]])
    sews = np.append(case.move == "sew", np.zeros(len(free), dtype=bool))

    def counts(move: Any, other: Any) -> Any:
        return (other >= count) | (sews[other] & (other < move))

    for i, left in _uncovered(case.moves, np.isin(case.move, ("travel", "resume")), both, counts):
        yield f"{case.where(i)} goes over {left:.4f} mm that was not sewn by then"


def _in_reach(case: _Case) -> Iterator[str]:
    """Each band lies in a window of the frame's reach, and windows do not go back up."""
    if case.machine.reach is None:
        if any(span.band != 1 for span in case.spans):
            yield "there are bands, and all is in reach"
        return
    down = 0 if case.machine.sideways else 1
    asked = np.concatenate([line.points_mm[:, down] for line in case.drawing.lines])
    before = -np.inf
    for band in sorted({span.band for span in case.spans}):
        points = np.concatenate([span.points[:, down] for span in case.spans if span.band == band])
        start = _window(case.machine, asked.min(), asked.max(), points.max() - COVERED_MM)
        if max(start, before) > points.min() + COVERED_MM:
            yield f"band {band} runs from {points.min():.3f} to {points.max():.3f}; {start:.3f} is in reach"
        before = max(before, start)


def _window(machine: Any, top: float, bottom: float, end: float) -> float:
    """Return how far up a window can start that reaches down to an end."""
    less = machine.reach - (machine.reach if machine.last_reach is None else machine.last_reach)
    if end <= top + machine.reach:
        return end - machine.reach
    if end >= bottom + machine.reach - less:
        return end - machine.reach + less
    return top + (end - top - machine.reach) * (bottom - top) / (bottom - top - less)


def _in_order(case: _Case) -> Iterator[str]:
    """Bands follow each other, and stages in each; groups finished one by one have each their stages."""
    names = [stage.name for stage in case.schedule.stages]
    bands = [span.band for span in case.spans]
    if bands != sorted(bands):
        yield f"bands come as {bands}"
    rounds = 0
    if case.schedule.finish == "group by group":
        counts = {"none": 0, "rows": len({block.row for block in case.drawing.blocks})}
        blocks = len(case.drawing.blocks)
        rounds = counts.get(case.groups, blocks) if isinstance(case.groups, str) else len(case.groups)
    for band in sorted(set(bands)):
        stages = [names.index(span.stage) for span in case.spans if span.band == band]
        if (np.diff(stages) < 0).sum() > rounds:
            yield f"stages of band {band} come as {stages}"


def _goes_on(case: _Case) -> Iterator[str]:
    """Each step goes somewhere."""
    for span in case.spans:
        for at in np.flatnonzero((np.diff(span.points, axis=0) == 0).all(axis=1))[:1].tolist():
            yield f"path {span.path} stays at {span.points[at].round(3)} ({span.move})"


def _not_too_often(case: _Case) -> Iterator[str]:
    """No place is sewn more often than the lines there may be; each is sewn once, in its stage and thread."""
    moves, rails = case.moves, case.rails
    middle = (moves.start + moves.end) / 2
    at, move, along = _passes(middle, moves, moves, COVERED_MM)
    at, move, count = at[along], move[along], len(middle)
    passed = np.bincount(at, np.isin(case.move[move], ("sew", "travel")), count)
    sewn = np.bincount(at, case.move[move] == "sew", count)
    at, rail, along = _passes(middle, moves, rails, APART_MM)
    lines = len(case.lines)
    once, which = np.unique(at * lines + rails.of[rail], return_inverse=True)
    place, line = once // lines, once % lines
    there = np.maximum(np.bincount(which, along, len(once)), 1)
    bears = np.bincount(place, case.most[line] * there, count)
    asked = np.bincount(place, case.wanted[line] * there, count)
    near = shapely.distance(shapely.points(middle[at]), rails.drawn[rail]) <= COVERED_MM
    near &= case.wanted[rails.of[rail]]
    at, line = at[near], rails.of[rail[near]]
    span = moves.of[at]
    fits = [
        np.bincount(at, lines_have[line] == spans_have[span], count)
        for lines_have, spans_have in (case.stages, case.threads)
    ]
    sews = (case.move == "sew") & np.isin(np.arange(count), at)
    for i in np.flatnonzero(np.hypot(*(moves.end - moves.start).T) > 2 * APART_MM).tolist():
        if passed[i] > bears[i]:
            yield f"{case.where(i)}: {passed[i]:.0f} times over lines that bear {bears[i]:.0f}"
        if sewn[i] > asked[i]:
            yield f"{case.where(i)}: sewn {sewn[i]:.0f} times, asked for {asked[i]:.0f} times"
        if sews[i] and not fits[0][i]:
            yield f'{case.where(i)}: sewn in stage "{case.spans[moves.of[i]].stage}"'
        if sews[i] and not fits[1][i]:
            yield f'{case.where(i)}: sewn with thread "{case.spans[moves.of[i]].thread}"'


def _passes(places: Any, mine: _Pieces, others: _Pieces, within_mm: float) -> tuple[Any, Any, Any]:
    """Return which other pieces are near places on pieces of one's own, and whether they run along those.

    Where two pieces join end to end beside a place, one of them runs along.
    """
    at, other = shapely.STRtree(others.drawn).query(
        shapely.points(places), predicate="dwithin", distance=within_mm
    )
    one, two = mine.unit[at], others.unit[other]
    along = np.abs(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]) < _ALONG
    foot = ((places[at] - others.start[other]) * two).sum(axis=1)
    return at, other, along & (foot >= 0) & (foot < np.hypot(*(others.end - others.start)[other].T))


RULES = (_covered, _on_lines, _kept_out, _steps, _sewn_before, _in_reach, _in_order, _goes_on, _not_too_often)
