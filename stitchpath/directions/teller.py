"""A plan told step by step: the words of each leg, set of rows and repeat, and the block it stands under."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from stitchpath.directions.hand_moves import Leg, legs_of
from stitchpath.directions.moved_words import Farther
from stitchpath.directions.parallel_rows import Rows, folded
from stitchpath.directions.place_names import Spots
from stitchpath.directions.repeats import Again, Item, legs_in, repeated
from stitchpath.directions.sentences import Said, Sentences, hops_on
from stitchpath.plan import Move, Plan, StitchPath
from stitchpath.units import Unit

__all__ = ["Direction", "Teller"]

_LEAST_RUN = 4
_SAME_MM = 0.01
_LEAST_FOLDED = 3


@dataclass(frozen=True, slots=True)
class Direction:
    """One numbered step.

    Attributes
    ----------
    number
        Counted from 1 through the whole plan.
    path, band, stage
        Where in the plan; paths and bands count from 1.
    block
        Under which block it stands; empty for the whole top.
    verb
        ``"bring up"``, ``"sew"``, ``"lap"``, ``"lines"``, ``"travel"``, ``"hop"``, ``"resume"``,
        ``"again"``, ``"as path"`` or ``"tie off"``.
    what
        On what: ``"the seam between rows 1 and 2"``.
    way
        Up, down, left, right, clockwise...; of lines, which way the first one goes.
    length_mm
        Needle-down length of the whole step; of ``"bring up"`` that of the needle-up move before it.
    count, spacing_mm
        How many lines, and from one to the next; how many times, of ``"again"``.
    first, last
        Point indices in the path: the step goes from the first one to the last.
    start_mm, end_mm
        The places of these.
    end
        Where it ends, in words.
    text
        The step in words.
    """

    number: int
    path: int
    band: int
    stage: str
    block: str
    verb: str
    what: str
    way: str
    length_mm: float
    count: int
    spacing_mm: float
    first: int
    last: int
    start_mm: tuple[float, float]
    end_mm: tuple[float, float]
    end: str
    text: str


@dataclass(frozen=True, slots=True)
class _Told:
    """What is said of one item or two, and of what legs."""

    said: Said
    legs: Sequence[Leg]
    items: int
    count: int = 1
    spacing_mm: float = 0.0


class Teller:
    """Tells one plan."""

    def __init__(self, plan: Plan, unit: Unit) -> None:
        self.plan = plan
        self.spots = Spots(plan.drawing, unit)
        self.sentences = Sentences(self.spots)
        self.farther = Farther(plan.drawing.blocks)
        self.count = 0
        self.known: list[tuple[int, StitchPath, str, list[Leg]]] = []

    def tell(self) -> Iterator[Direction]:
        """Give the directions, in sewing order."""
        before: StitchPath | None = None
        for number, path in enumerate(self.plan, 1):
            yield from self._path(number, path, before)
            before = path

    def _path(self, number: int, path: StitchPath, before: StitchPath | None) -> Iterator[Direction]:
        legs = [leg for leg in legs_of(self.plan, path) if leg.move is not Move.SECURE and leg.length_mm]
        if not legs:
            return
        plain = folded(legs, [self.spots.name_of(leg) for leg in legs])
        headings = _blocks(plain)
        items = repeated(plain, headings, self._said, self.farther)
        blocks = _told_under(items, headings)
        where = (number, path)
        start, end = path.coordinates_mm[0], path.coordinates_mm[-1]
        moved = None if before is None or before.band != path.band else start - before.coordinates_mm[-1]
        place = self.spots.place(start, legs[0].line, blocks[0])
        said = self.sentences.bring_up(place, moved)
        far = 0.0 if moved is None else float(np.hypot(*moved))
        yield self._direction(
            where, said, blocks[0], legs[0].stage, (legs[0].first, legs[0].first), far, place
        )
        place = self.spots.place(end, legs[-1].line, headings[-1])
        yield from self._between(where, items, blocks, legs)
        said = self.sentences.tie_off(place, closed=path.closed)
        yield self._direction(
            where, said, headings[-1], legs[-1].stage, (legs[-1].last, legs[-1].last), 0.0, place
        )

    def _between(
        self, where: tuple[int, StitchPath], items: Sequence[Item], blocks: Sequence[str], legs: list[Leg]
    ) -> Iterator[Direction]:
        as_path = self._as_path(where, items, blocks, legs)
        if as_path is not None:
            yield as_path
            return
        # Where a stretch that is done again begins, and what follows it: steps of their own.
        again = {
            at for item in items if isinstance(item, Again) for at in (item.first, item.first + item.count)
        }
        numbers: list[int] = []
        at = 0
        while at < len(items):
            told = self._told(items, blocks, at, numbers, again)
            numbers += [self.count + 1] * told.items
            parts = told.legs
            yield self._direction(
                where,
                told.said,
                blocks[at],
                parts[0].stage,
                (parts[0].first, parts[-1].last),
                sum(leg.length_mm for leg in parts),
                self._end(parts[-1], blocks[at]),
                count=told.count,
                spacing=told.spacing_mm,
            )
            at += told.items

    def _as_path(
        self, where: tuple[int, StitchPath], items: Sequence[Item], blocks: Sequence[str], legs: list[Leg]
    ) -> Direction | None:
        """Tell a path by another one that is just alike; remember one of a single block for later ones."""
        number, path = where
        own = {leg.line.block if leg.line else "" for leg in legs}
        if len(own) > 1 or not blocks[0] or len(items) < _LEAST_FOLDED:
            return None
        like = next((known for known in self.known if _alike(known, path, legs)), None)
        if like is None:
            self.known.append((number, path, blocks[0], legs))
            return None
        length = sum(leg.length_mm for leg in legs)
        said = self.sentences.as_path(like[0], like[2], length)
        ends, end = (legs[0].first, legs[-1].last), self._end(legs[-1], blocks[-1])
        return self._direction(where, said, blocks[0], legs[0].stage, ends, length, end)

    def _said(self, item: Leg | Rows, block: str) -> str:
        if isinstance(item, Rows):
            return self.sentences.rows(item, block=block).text
        return self.sentences.leg(item, before=None, block=block).text

    def _told(
        self, items: Sequence[Item], blocks: Sequence[str], at: int, numbers: Sequence[int], again: set[int]
    ) -> _Told:
        """Say what one item is, or a line and the hop after it if nothing done `again` later begins there."""
        item, block = items[at], blocks[at]
        if isinstance(item, Rows):
            said = self.sentences.rows(item, block=block)
            return _Told(said, legs_in(item), 1, len(item.lines), item.spacing_mm)
        if isinstance(item, Again):
            steps = numbers[item.first : item.first + item.count]
            return _Told(self.sentences.again(item, steps), legs_in(item), 1, item.times)
        before = legs_in(items[at - 1])[-1] if at else None
        hop = items[at + 1] if at + 1 < len(items) and at + 1 not in again else None
        if isinstance(hop, Leg) and blocks[at + 1] == block and hops_on(item, hop):
            return _Told(self.sentences.leg(item, before=before, block=block, hop=hop), (item, hop), 2)
        return _Told(self.sentences.leg(item, before=before, block=block), (item,), 1)

    def _end(self, leg: Leg, block: str) -> str:
        return self.spots.place(leg.points_mm[-1], leg.line, block)

    def _direction(
        self, where: tuple[int, StitchPath], said: Said, block: str, stage: str, ends: tuple[int, int],
        length: float, end: str, *, count: int = 1, spacing: float = 0.0,
    ) -> Direction:  # fmt: skip
        self.count += 1
        number, path = where
        start_mm, end_mm = (_xy(path.coordinates_mm[i]) for i in ends)
        return Direction(
            self.count, number, path.band, stage, block, said.verb, said.what, said.way, length, count,
            spacing, *ends, start_mm, end_mm, end, said.text,
        )  # fmt: skip


def _xy(point: NDArray[np.float64]) -> tuple[float, float]:
    x, y = point.tolist()
    return x, y


def _alike(known: tuple[int, StitchPath, str, list[Leg]], path: StitchPath, legs: list[Leg]) -> bool:
    """Tell whether a path is an earlier one moved: the same moves, along lines of the same names."""
    _, other, _, before = known
    if path.thread != other.thread or len(legs) != len(before):
        return False
    for a, b in zip(before, legs, strict=True):
        if len(a.points_mm) != len(b.points_mm) or (a.move, a.stage, a.role) != (b.move, b.stage, b.role):
            return False
        if (a.line.motif if a.line else "") != (b.line.motif if b.line else ""):
            return False
        off = b.points_mm - a.points_mm - (legs[0].points_mm[0] - before[0].points_mm[0])
        if np.abs(off).max() > _SAME_MM:
            return False
    return True


def _blocks(items: Sequence[Leg | Rows]) -> list[str]:
    """Return under which block's heading each item stands.

    Seams go along with what is before them. A run of a block gets a heading of its own where it has several
    items that sew; else its items name it themselves.
    """
    own = [_block(item) for item in items]
    told: list[str] = []
    carried = _carried(own)
    for block, run in groupby(range(len(items)), key=carried.__getitem__):
        at = list(run)
        sewn = sum(_LEAST_RUN if isinstance(items[i], Rows) else own[i] is not None for i in at)
        told += [block if sewn >= _LEAST_RUN or not told else told[-1]] * len(at)
    return told


def _told_under(items: Sequence[Item], headings: Sequence[str]) -> list[str]:
    """Return the heading of each item; what is done again stands under that of its begin."""
    told: list[str] = []
    at = 0
    for item in items:
        told.append(headings[at])
        at += item.count * item.times if isinstance(item, Again) else 1
    return told


def _carried(own: Sequence[str | None]) -> list[str]:
    carried: list[str] = []
    last = next((block for block in own if block is not None), "")
    for block in own:
        last = last if block is None else block
        carried.append(last)
    return carried


def _block(item: Leg | Rows) -> str | None:
    """Return the block of what an item sews; None where it only travels, or sews no block's line."""
    lines = item.lines if isinstance(item, Rows) else legs_in(item)
    blocks = [leg.line.block for leg in lines if leg.move is Move.SEW and leg.line is not None]
    return blocks[-1] if blocks else None
