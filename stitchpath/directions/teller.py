"""A plan told step by step: the words of each step, its block, and where it lies on its path."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from stitchpath.directions.hand_moves import HandMove, hand_moves_of
from stitchpath.directions.moved_words import MovedWords
from stitchpath.directions.parallel_lines import ParallelLines, folded
from stitchpath.directions.place_names import PlaceNames
from stitchpath.directions.repeats import Item, Repeat, hand_moves_in, repeated
from stitchpath.directions.sentences import Sentences, Wording, hops_on
from stitchpath.directions.step import Step
from stitchpath.errors import refuse_other
from stitchpath.once import once
from stitchpath.plan import Move, Plan, StitchPath
from stitchpath.units import Unit, refuse_unit

__all__ = ["steps_of"]

_LEAST_RUN = 4  # so many lines in another block before it gets a heading of its own: chosen
_SAME_MM = 0.01  # paths that differ by less are alike: below what a needle can tell
_LEAST_FOLDED = 3  # fewer steps are told again: chosen


@once
def steps_of(plan: Plan, *, unit: Unit = "in") -> tuple[Step, ...]:
    """Return a plan's steps, in sewing order.

    Parameters
    ----------
    plan
        Any plan; every path is told from its first point to its last.
    unit
        Lengths in ``"in"``, to the nearest eighth, or in ``"mm"`` or ``"cm"``, to the nearest millimetre.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> from stitchpath.lines import Line, Role
    >>> from stitchpath.plan import Move, Span, StitchPath
    >>> line = Line([(0, 0), (254, 0)], Role.FILL, motif="fill", block="row 1, column 1")
    >>> path = StitchPath([(0, 0), (254, 0)], (Span(Move.SEW, 0, 1, 1, "detail"),))
    >>> told = steps_of(Plan(Drawing((line,)), (path,), (), 0.0))
    >>> [(step.verb, step.first, step.last) for step in told], told[1].text
    ([('bring up', 0, 0), ('sew', 0, 1), ('tie off', 1, 1)], 'Sew right, 10 in, along a line of "fill".')
    >>> steps_of(Plan(Drawing(()), (), (), 0.0))
    ()
    """
    refuse_other("plan", plan, Plan, "plan", "give a Plan, such as make_plan returns")
    refuse_unit(unit)
    return tuple(_Teller(plan, unit).tell())


class _Goes(NamedTuple):
    """How far a step goes: the last of its points, how long it is, and where it ends, in words."""

    last: int
    length_mm: float
    end: str


class _KnownPath(NamedTuple):
    """A path of a single block that later ones may be like."""

    number: int
    thread: str
    block: str
    hand_moves: list[HandMove]


@dataclass(frozen=True, slots=True)
class _Told:
    """What is said of one item or two, and of what hand moves."""

    wording: Wording
    hand_moves: Sequence[HandMove]
    items: int
    count: int = 1
    spacing_mm: float = 0.0


class _Teller:
    """Tells one plan."""

    def __init__(self, plan: Plan, unit: Unit) -> None:
        self.plan = plan
        self.place_names = PlaceNames(plan.drawing, unit)
        self.sentences = Sentences(self.place_names)
        self.moved_words = MovedWords(plan.drawing.blocks)
        self.known: list[_KnownPath] = []
        self.told, self.reached = 0, 0
        """How many steps are told, and the point of the path that they come to."""

    def tell(self) -> Iterator[Step]:
        """Give the steps, in sewing order."""
        before: StitchPath | None = None
        for number, path in enumerate(self.plan, 1):
            self.reached = 0
            yield from self._path(number, path, before)
            before = path

    def _path(self, number: int, path: StitchPath, before: StitchPath | None) -> Iterator[Step]:
        every = hand_moves_of(self.plan, path)
        hand_moves = [one for one in every if one.move is not Move.SECURE and one.length_mm]
        plain = folded(hand_moves, [self.place_names.name_of(one) for one in hand_moves])
        headings = _blocks(plain)
        items = repeated(plain, headings, self._said, self.moved_words)
        begin, end = (hand_moves[0], hand_moves[-1]) if hand_moves else (every[0], every[-1])
        above, below = (headings[0], headings[-1]) if headings else ("", "")
        where = (number, path)
        yield self._bring_up(where, begin, above, before)
        yield from self._between(where, items, _told_under(items, headings), hand_moves)
        place = self.place_names.place(path.coordinates_mm[-1], end.line, below)
        wording = self.sentences.tie_off(place, closed=path.closed)
        goes = _Goes(len(path.coordinates_mm) - 1, 0.0, place)
        yield self._step(where, wording, below, end.stage, goes)

    def _bring_up(
        self, where: tuple[int, StitchPath], begin: HandMove, block: str, before: StitchPath | None
    ) -> Step:
        path = where[1]
        start = path.coordinates_mm[0]
        moved = None if before is None or before.band != path.band else start - before.coordinates_mm[-1]
        place = self.place_names.place(start, begin.line, block)
        wording = self.sentences.bring_up(place, moved)
        goes = _Goes(begin.first, 0.0 if moved is None else float(np.hypot(*moved)), place)
        return self._step(where, wording, block, begin.stage, goes)

    def _between(
        self,
        where: tuple[int, StitchPath],
        items: Sequence[Item],
        blocks: Sequence[str],
        hand_moves: list[HandMove],
    ) -> Iterator[Step]:
        as_path = self._as_path(where, items, blocks, hand_moves)
        if as_path is not None:
            yield as_path
            return
        # Where a stretch that is done again begins, and what follows it: steps of their own.
        again = {
            at for item in items if isinstance(item, Repeat) for at in (item.first, item.first + item.count)
        }
        numbers: list[int] = []
        at = 0
        while at < len(items):
            told = self._told(items, blocks, at, numbers, again)
            numbers += [self.told + 1] * told.items
            stage, goes = told.hand_moves[0].stage, self._goes(told.hand_moves, blocks[at])
            yield self._step(where, told.wording, blocks[at], stage, goes, told.count, told.spacing_mm)
            at += told.items

    def _as_path(
        self,
        where: tuple[int, StitchPath],
        items: Sequence[Item],
        blocks: Sequence[str],
        hand_moves: list[HandMove],
    ) -> Step | None:
        """Tell a path by another one that is just alike; remember one of a single block for later ones."""
        number, path = where
        own = {one.line.block if one.line else "" for one in hand_moves if one.move is not Move.STEP}
        if len(items) < _LEAST_FOLDED or len(own) > 1 or not blocks[0]:
            return None
        like = next((known for known in self.known if _alike(known, path, hand_moves)), None)
        if like is None:
            self.known.append(_KnownPath(number, path.thread, blocks[0], hand_moves))
            return None
        goes = self._goes(hand_moves, blocks[-1])
        wording = self.sentences.as_path(self.plan.path_name(like.number), like.block, goes.length_mm)
        return self._step(where, wording, blocks[0], hand_moves[0].stage, goes)

    def _said(self, item: HandMove | ParallelLines, block: str) -> str:
        if isinstance(item, ParallelLines):
            return self.sentences.parallel_lines(item, block=block).text
        return self.sentences.hand_move(item, before=None, block=block).text

    def _told(
        self, items: Sequence[Item], blocks: Sequence[str], at: int, numbers: Sequence[int], again: set[int]
    ) -> _Told:
        """Say what one item is, or a line and the hop after it if nothing done `again` later begins there."""
        item, block = items[at], blocks[at]
        if isinstance(item, ParallelLines):
            wording = self.sentences.parallel_lines(item, block=block)
            return _Told(wording, hand_moves_in(item), 1, len(item.lines), item.spacing_mm)
        if isinstance(item, Repeat):
            repeated_numbers = numbers[item.first : item.first + item.count]
            wording = self.sentences.repeat(item, repeated_numbers)
            return _Told(wording, hand_moves_in(item), 1, item.times)
        before = hand_moves_in(items[at - 1])[-1] if at else None
        hop = items[at + 1] if at + 1 < len(items) and at + 1 not in again else None
        if isinstance(hop, HandMove) and blocks[at + 1] == block and hops_on(item, hop):
            return _Told(self.sentences.hand_move(item, before=before, block=block, hop=hop), (item, hop), 2)
        return _Told(self.sentences.hand_move(item, before=before, block=block), (item,), 1)

    def _goes(self, hand_moves: Sequence[HandMove], block: str) -> _Goes:
        last = hand_moves[-1]
        end = self.place_names.place(last.points_mm[-1], last.line, block)
        return _Goes(last.last, sum(one.length_mm for one in hand_moves), end)

    def _step(
        self, where: tuple[int, StitchPath], wording: Wording, block: str, stage: str, goes: _Goes,
        count: int = 1, spacing_mm: float = 0.0,
    ) -> Step:  # fmt: skip
        """Make the next step, from where the one before ended."""
        number, path = where
        first, self.reached = self.reached, goes.last
        self.told += 1
        start_mm, end_mm = (_xy(path.coordinates_mm[i]) for i in (first, goes.last))
        return Step(
            self.told, number, path.band, stage, block, wording.verb, wording.what, wording.way,
            goes.length_mm, count, spacing_mm, first, goes.last, start_mm, end_mm, goes.end, wording.text,
        )  # fmt: skip


def _xy(point: NDArray[np.float64]) -> tuple[float, float]:
    x, y = point.tolist()
    return x, y


def _alike(known: _KnownPath, path: StitchPath, hand_moves: list[HandMove]) -> bool:
    """Tell whether a path is an earlier one moved: the same moves, along lines of the same names."""
    before = known.hand_moves
    if path.thread != known.thread or len(hand_moves) != len(before):
        return False
    for a, b in zip(before, hand_moves, strict=True):
        if len(a.points_mm) != len(b.points_mm) or (a.move, a.stage, a.role) != (b.move, b.stage, b.role):
            return False
        if (a.line.motif if a.line else "") != (b.line.motif if b.line else ""):
            return False
        off = b.points_mm - a.points_mm - (hand_moves[0].points_mm[0] - before[0].points_mm[0])
        if np.abs(off).max() > _SAME_MM:
            return False
    return True


def _blocks(items: Sequence[HandMove | ParallelLines]) -> list[str]:
    """Return under which block's heading each item stands.

    Seams go along with what is before them. A run of a block gets a heading of its own where it has several
    items that sew; else its items name it themselves.
    """
    own = [_block(item) for item in items]
    told: list[str] = []
    carried = _carried(own)
    for block, run in groupby(range(len(items)), key=carried.__getitem__):
        at = list(run)
        sewn = sum(_LEAST_RUN if isinstance(items[i], ParallelLines) else own[i] is not None for i in at)
        told += [block if sewn >= _LEAST_RUN or not told else told[-1]] * len(at)
    return told


def _told_under(items: Sequence[Item], headings: Sequence[str]) -> list[str]:
    """Return the heading of each item; what is done again stands under that of its begin."""
    told: list[str] = []
    at = 0
    for item in items:
        told.append(headings[at])
        at += item.count * item.times if isinstance(item, Repeat) else 1
    return told


def _carried(own: Sequence[str | None]) -> list[str]:
    carried: list[str] = []
    last = next((block for block in own if block is not None), "")
    for block in own:
        last = last if block is None else block
        carried.append(last)
    return carried


def _block(item: HandMove | ParallelLines) -> str | None:
    """Return the block of what an item sews; None where it only travels, or sews no block's line."""
    lines = item.lines if isinstance(item, ParallelLines) else hand_moves_in(item)
    blocks = [
        hand_move.line.block
        for hand_move in lines
        if hand_move.move is Move.SEW and hand_move.line is not None
    ]
    return blocks[-1] if blocks else None
