"""Stretches of a path that are sewn again farther on: right afterwards, or later from another place."""

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.directions.hand_moves import HandMove, turns_back
from stitchpath.directions.moved_words import MovedWords
from stitchpath.directions.parallel_lines import ParallelLines

__all__ = ["Item", "Repeat", "hand_moves_in", "repeated"]

_SAME_MM = 0.01
"""Stretches whose points lie so near when one is moved onto the other are the same."""

_LONGEST_PATTERN = 12  # hand moves that a person can do again by heart: chosen
_LEAST_AFTER, _LEAST_LATER = 4, 5
"""Fewer hand moves are told anew: so many right after, and so many from a place that is to be looked up."""

Say = Callable[[HandMove | ParallelLines, str], str]


@dataclass(frozen=True, eq=False, slots=True)
class Repeat:
    """The `count` items from the one numbered `first` on, sewn `times` times more, each time as far on.

    Attributes
    ----------
    hand_moves
        What is sewn, all times of it.
    first, count
        Which items of the same list, counted from 0.
    times
        How often more; more than once where it follows at once.
    moved_mm
        How far each time is from the time before.
    at_once
        Whether those items end where this begins.
    """

    hand_moves: tuple[HandMove, ...]
    first: int
    count: int
    times: int
    moved_mm: NDArray[np.float64]
    at_once: bool


Item = HandMove | ParallelLines | Repeat
"""What is told as one: all but a repeat and a short hop are a step of their own."""


def hand_moves_in(item: Item) -> tuple[HandMove, ...]:
    """Return the hand moves of an item, in order."""
    if isinstance(item, HandMove):
        return (item,)
    if isinstance(item, Repeat):
        return item.hand_moves
    parts: list[HandMove] = []
    for at, line in enumerate(item.lines):
        parts.append(line)
        parts.extend(item.connectors[at].hand_moves if at < len(item.connectors) else ())
    return tuple(parts)


def repeated(
    items: Sequence[HandMove | ParallelLines], headings: Sequence[str], say: Say, moved_words: MovedWords
) -> list[Item]:
    """Return items with stretches that come again, moved up, down, left or right, put together.

    Parameters
    ----------
    items, headings
        The items, and the block under which each stands.
    say
        Says an item under the heading of a block.
    moved_words
        Moves words. What comes again is what is said in the same words, moved rows or columns farther on: so
        they are as true there.

    Examples
    --------
    >>> repeated([], [], lambda item, block: "", MovedWords([]))
    []
    """
    return _Repeats(items, headings, say, moved_words).told()


class _Repeats:
    """Finds stretches of items that come again."""

    def __init__(
        self,
        items: Sequence[HandMove | ParallelLines],
        headings: Sequence[str],
        say: Say,
        moved_words: MovedWords,
    ) -> None:
        self.items, self.headings, self.moved_words = items, headings, moved_words
        self._parts = [hand_moves_in(item) for item in items]
        before = [None, *(parts[-1] for parts in self._parts)]
        self._turns_back = [turns_back(a, parts[0]) for a, parts in zip(before, self._parts, strict=False)]
        self._said: dict[tuple[int, str], str] = {}
        self._say = say

    def told(self) -> list[Item]:
        """Return the items with repeats put together."""
        items = self.items
        told: list[Item] = []
        number: dict[int, int] = {}
        """Of the items that are told as they are: which one of those told each is."""
        alike: dict[object, list[int]] = defaultdict(list)
        at = 0
        while at < len(items):
            count, times = self._best_pattern(at)
            first, length = self._longest_before(at, alike[_key(items[at])], number)
            if length > max(count * times, _LEAST_LATER - 1):
                hand_moves = [
                    hand_move for item in items[at : at + length] for hand_move in hand_moves_in(item)
                ]
                way = _start(items[at]) - _start(items[first])
                told.append(Repeat(tuple(hand_moves), number[first], length, 1, way, first + length == at))
                at += length
                continue
            for plain in range(at, at + max(count, 1)):
                number[plain] = len(told)
                alike[_key(items[plain])].append(plain)
                told.append(items[plain])
            if times:
                hand_moves = [
                    hand_move
                    for item in items[at + count : at + count * (times + 1)]
                    for hand_move in hand_moves_in(item)
                ]
                way = _start(items[at + count]) - _start(items[at])
                told.append(Repeat(tuple(hand_moves), number[at], count, times, way, at_once=True))
            at += count * (times + 1) if times else 1
        return told

    def _best_pattern(self, at: int) -> tuple[int, int]:
        """Return how many items from here on come again, and how often; nothing where it saves too little."""
        best = (0, 0)
        for count in range(2, _LONGEST_PATTERN + 1):
            times = self._times(at, count)
            if times * count > max(best[0] * best[1], _LEAST_AFTER - 1):
                best = (count, times)
        return best

    def _times(self, at: int, count: int) -> int:
        """Return how often the next so many items come again right after, each time as far on."""
        times, base = 0, at
        while base + 2 * count <= len(self.items):
            if self._alike(base, base + count, count) < count:
                break
            if times and np.abs(_way(self.items, base, count) - _way(self.items, at, count)).max() > _SAME_MM:
                break
            times, base = times + 1, base + count
        return times

    def _longest_before(self, at: int, before: Sequence[int], number: dict[int, int]) -> tuple[int, int]:
        """Return the longest stretch told as it is that comes again from here on: its begin, its size."""
        best = (0, 0)
        for first in before:
            most = 1
            while first + most < at and number.get(first + most, -1) == number[first] + most:
                most += 1
            length = self._alike(first, at, most) if most > best[1] else 0
            if length > best[1]:
                best = (first, length)
        return best

    def _alike(self, one: int, other: int, most: int) -> int:
        """Return how many items from one on, at most, come again from another on, moved along one axis."""
        way = _start(self.items[other]) - _start(self.items[one])
        across, down = map(abs, way.tolist())
        level = max(across, down) > 1.0 and min(across, down) <= _SAME_MM
        if not level or self._turns_back[one] != self._turns_back[other]:
            return 0
        by = self.moved_words.by(way)
        stage = self._parts[one][0].stage
        for count in range(min(most, len(self.items) - other)):
            hand_moves, moved = self._parts[one + count], self._parts[other + count]
            if len(hand_moves) != len(moved) or hand_moves[0].stage != stage:
                return count
            if not all(
                _moved(hand_move, again, way) for hand_move, again in zip(hand_moves, moved, strict=True)
            ):
                return count
            heading = self.headings[one + count]
            there = self._words(other + count, self.moved_words.words(heading, by))
            if there != self.moved_words.words(self._words(one + count, heading), by):
                return count
        return min(most, len(self.items) - other)

    def _words(self, at: int, heading: str) -> str:
        key = at, heading
        if key not in self._said:
            self._said[key] = self._say(self.items[at], heading)
        return self._said[key]


def _start(item: HandMove | ParallelLines) -> NDArray[np.float64]:
    return np.asarray(hand_moves_in(item)[0].points_mm[0])


def _key(item: HandMove | ParallelLines) -> object:
    """Return what an item and a moved one have in common, but for rare ones at the edge of rounding."""
    hand_move = hand_moves_in(item)[0]
    return (
        hand_move.move,
        hand_move.stage,
        hand_move.role,
        _motif(hand_move),
        tuple(np.round(hand_move.chord_mm).tolist()),
    )


def _motif(hand_move: HandMove) -> str:
    return "" if hand_move.line is None else hand_move.line.motif


def _way(items: Sequence[HandMove | ParallelLines], at: int, count: int) -> NDArray[np.float64]:
    return np.asarray(_start(items[at + count]) - _start(items[at]))


def _moved(one: HandMove, other: HandMove, way: NDArray[np.float64]) -> bool:
    """Tell whether a hand move is another one moved."""
    told = [
        (hand_move.move, hand_move.stage, hand_move.role, hand_move.lap, _motif(hand_move))
        for hand_move in (one, other)
    ]
    if told[0] != told[1] or (one.straight, one.line is None) != (other.straight, other.line is None):
        return False
    ends = [
        hand_move.points_mm[[0, -1]] if one.straight else hand_move.points_mm for hand_move in (one, other)
    ]
    return len(ends[0]) == len(ends[1]) and bool(np.abs(ends[1] - ends[0] - way).max() <= _SAME_MM)
