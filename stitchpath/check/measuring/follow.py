"""Which line stitching follows where it only runs near lines: the nearest of those that go its way.

Stitching is cut into bits wherever another line may become the nearest. Along a bit the distance to each line
changes evenly, so the bit's middle decides for all of it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.check.measuring.intervals import Floats, Interval, Ints, Points, near, pieces
from stitchpath.check.measuring.match import spread
from stitchpath.check.measuring.rails import Rails
from stitchpath.errors import LimitError
from stitchpath.limits import MOST_FOREIGN_PAIRS
from stitchpath.lines import COVERED_MM

__all__ = ["Bits", "follow"]

_LEAST_COSINE = np.cos(np.radians(30))
"""Stitching goes a line's way if the angle between them is less: chords of a bend may be coarse. Chosen."""

_LONGEST_MM = 25.0
"""Longer segments are taken apart, so that few pieces of line are near each."""


@dataclass(frozen=True, eq=False)
class Bits:
    """Stitching cut into bits, and the lines that they follow.

    Attributes
    ----------
    start, end
        (N, 2) in millimetres, in the order of the stitching.
    segment
        Of which segment each is a bit.
    first
        The line that each follows; of several equally near ones the first in the drawing; -1 for none.
    bit, line
        Pairs of a bit and a line that it follows, those that lie as near as the nearest among them.
    covers
        For each pair: from where to where it lies beside the line, on the rails' axis.
    """

    start: Points
    end: Points
    segment: Ints
    first: Ints
    bit: Ints
    line: Ints
    covers: Interval

    @property
    def length(self) -> Floats:
        """Length of each in millimetres."""
        length: Floats = np.hypot(*(self.end - self.start).T)
        return length


def follow(rails: Rails, start: Points, end: Points, *, within_mm: float) -> Bits:
    """Cut segments of stitching into bits and find the lines that each follows.

    Parameters
    ----------
    rails
        The lines.
    start, end
        (N, 2) ends of the segments; none has length zero.
    within_mm
        How far from a line stitching may lie.

    Raises
    ------
    LimitError
        If far too much stitching lies on far too many lines.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line
    >>> rails = look_at([], Asked(Drawing(lines=(Line([(0, 0), (20, 0)]), Line([(0, 2), (20, 2)]))))).rails
    >>> bits = follow(rails, np.array([[0.0, 0.0]]), np.array([[20.0, 2.0]]), within_mm=5)
    >>> bits.first.tolist(), bits.length.round(2).tolist()
    ([0, 1], [10.05, 10.05])
    >>> len(follow(rails, np.empty((0, 2)), np.empty((0, 2)), within_mm=5).segment)
    0
    """
    part_start, part_end, part_segment = _taken_apart(start, end)
    part, piece = _pairs(rails, part_start, part_end, within_mm)
    p, q, a, b = part_start[part], part_end[part], rails.start[piece], rails.end[piece]
    low, high = near(p, q, a, b, within_mm=within_mm, caps=False)
    along = (q - p) / np.hypot(*(q - p).T)[:, None]
    way = (b - a) / np.hypot(*(b - a).T)[:, None]
    kept = (low < high) & (np.abs((along * way).sum(axis=1)) >= _LEAST_COSINE)
    part, piece, low, high, along, way = (x[kept] for x in (part, piece, low, high, along, way))
    offset = part_start[part] - rails.start[piece]
    # How far off at t mm along the part: |at + slope t|.
    at, slope = _cross(way, offset), _cross(way, along)
    cuts = _cuts(part, low, high, at, slope)
    bit_part, bit_low, bit_high = _bits(part_start, part_end, cuts)
    pair, bit = _owners(part, low, high, bit_part, bit_low, bit_high)
    off = np.abs(at[pair] + slope[pair] * (bit_low + bit_high)[bit] / 2)
    nearest = np.full(len(bit_part), np.inf)
    np.minimum.at(nearest, bit, off)
    won = off <= nearest[bit] + COVERED_MM
    pair, bit = pair[won], bit[won]
    foot = (offset * way).sum(axis=1), (along * way).sum(axis=1)
    ends = [rails.at[piece[pair]] + foot[0][pair] + foot[1][pair] * t[bit] for t in (bit_low, bit_high)]
    line = rails.line[piece[pair]]
    first = np.full(len(bit_part), len(rails.lines), dtype=np.int64)
    np.minimum.at(first, bit, line)
    unit = (part_end - part_start) / np.hypot(*(part_end - part_start).T)[:, None]
    return Bits(
        part_start[bit_part] + unit[bit_part] * bit_low[:, None],
        part_start[bit_part] + unit[bit_part] * bit_high[:, None],
        part_segment[bit_part],
        np.where(first == len(rails.lines), -1, first),
        bit,
        line,
        (np.minimum(*ends), np.maximum(*ends)),
    )


def _taken_apart(start: Points, end: Points) -> tuple[Points, Points, Ints]:
    """Return the segments in parts of bearable length, and which segment each part is of."""
    count = np.maximum(np.ceil(np.hypot(*(end - start).T) / _LONGEST_MM), 1).astype(np.int64)
    segment, at = spread(np.zeros_like(count), count)
    by = (end - start)[segment] / count[segment][:, None]
    low = start[segment] + by * at[:, None]
    high = np.where(
        (at + 1 == count[segment])[:, None], end[segment], start[segment] + by * (at + 1)[:, None]
    )
    return low, high, segment


def _pairs(rails: Rails, start: Points, end: Points, within_mm: float) -> tuple[Ints, Ints]:
    if not len(start) or not len(rails.line):
        return np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
    part, piece = rails.tree.query(pieces(start, end), predicate="dwithin", distance=within_mm)
    order = np.lexsort((piece, part))
    return part[order], piece[order]


def _cross(a: Points, b: Points) -> Floats:
    crossed: Floats = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return crossed


def _cuts(part: Ints, low: Floats, high: Floats, at: Floats, slope: Floats) -> tuple[Ints, Floats]:
    """Return where parts are to be cut: at the ends of what is near, and where two lines are equally near."""
    size = np.bincount(part)[part] if len(part) else part
    if int(size.sum()) > MOST_FOREIGN_PAIRS:
        raise LimitError(
            f"{int(size.sum()):,} pairs of lines lie side by side under the stitching, more than "
            f"{MOST_FOREIGN_PAIRS:,}",
            "give a smaller tolerance, or a part of the plan",
        )
    begin = np.searchsorted(part, part)
    one, two = spread(begin, begin + size)
    kept = one < two
    one, two = one[kept], two[kept]
    places, owners = [low, high], [part, part]
    for sign in (1.0, -1.0):
        steep = slope[one] - sign * slope[two]
        with np.errstate(divide="ignore", invalid="ignore"):
            place = (sign * at[two] - at[one]) / steep
        between = (place > np.maximum(low[one], low[two])) & (place < np.minimum(high[one], high[two]))
        places.append(place[between])
        owners.append(part[one[between]])
    # Where a line is met, how far off it is turns round.
    with np.errstate(divide="ignore", invalid="ignore"):
        met = -at / slope
    inside = (met > low) & (met < high)
    return np.concatenate([*owners, part[inside]]), np.concatenate([*places, met[inside]])


def _bits(start: Points, end: Points, cuts: tuple[Ints, Floats]) -> tuple[Ints, Floats, Floats]:
    """Return every bit by its part, and from where to where it runs on it."""
    length = np.hypot(*(end - start).T)
    all_parts = np.arange(len(length))
    owner = np.concatenate((all_parts, all_parts, cuts[0]))
    place = np.concatenate((np.zeros(len(length)), length, cuts[1]))
    order = np.lexsort((place, owner))
    owner, place = owner[order], place[order]
    kept = (owner[1:] == owner[:-1]) & (place[1:] > place[:-1])
    return owner[:-1][kept], place[:-1][kept], place[1:][kept]


def _owners(
    part: Ints, low: Floats, high: Floats, bit_part: Ints, bit_low: Floats, bit_high: Floats
) -> tuple[Ints, Ints]:
    """Return pairs of a row of near lines and a bit that lies within it."""
    pair, bit = spread(
        np.searchsorted(bit_part, part, side="left"), np.searchsorted(bit_part, part, side="right")
    )
    middle = (bit_low[bit] + bit_high[bit]) / 2
    inside: NDArray[np.bool_] = (middle > low[pair]) & (middle < high[pair])
    return pair[inside], bit[inside]
