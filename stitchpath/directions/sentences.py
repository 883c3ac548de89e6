"""What each direction says: one sentence or two for a leg, for rows, for a stretch that comes again."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from stitchpath.directions.hand_moves import Leg, ends_at_corner, turns_back
from stitchpath.directions.parallel_rows import Hop, Rows, turn_of
from stitchpath.directions.place_names import Spots, in_words
from stitchpath.directions.repeats import Again
from stitchpath.directions.words import (
    count_words,
    length_words,
    name_words,
    range_words,
    sewn_words,
    way_words,
)
from stitchpath.lines import Role
from stitchpath.plan import Move

__all__ = ["Said", "Sentences", "hops_on"]

HOP_MM = 25.4
"""Travel shorter than this is called a hop and may be free-hand: common practice, no source."""

_CURVED = 0.5
_SEAMS = frozenset({Role.DITCH, Role.HIDDEN})
_NAMED = _SEAMS | {Role.BASTE, Role.ALLOWANCE}


class Said(NamedTuple):
    """What a direction is made of: its verb, on what, which way, and the whole sentence."""

    verb: str
    what: str
    way: str
    text: str


def hops_on(leg: Leg, hop: Leg) -> bool:
    """Tell whether a hop can be said in one step with the straight leg before it."""
    straight = leg.straight and hop.straight and leg.move is Move.SEW and hop.move is Move.TRAVEL
    return straight and leg.stage == hop.stage and hop.length_mm < HOP_MM and not turns_back(leg, hop)


@dataclass(frozen=True, slots=True)
class Sentences:
    """Makes sentences with the places and the unit of one plan."""

    spots: Spots

    def leg(self, leg: Leg, *, before: Leg | None, block: str, hop: Leg | None = None) -> Said:
        """Say one leg, and a hop after it; `block` is the block under whose heading it stands."""
        said = self._leg(leg, before=before, block=block)
        if hop is None:
            return said
        after = self._leg(hop, before=None, block=block).text
        what = self.spots.name_of(hop)
        if self.spots.landmark(leg, said.what, block) == what and hop.role in _NAMED:
            after = after.replace(f"along {sewn_words(what, hop)}", "along it", 1)
        return said._replace(text=f"{said.text[:-1]}; {after[0].lower()}{after[1:]}")

    def _leg(self, leg: Leg, *, before: Leg | None, block: str) -> Said:
        what = self.spots.name_of(leg)
        told = sewn_words(what, leg) if leg.move is Move.TRAVEL else what
        where = f"{told}{_where(leg, block)}"
        length = self._length(leg.length_mm)
        way = way_of(leg)
        if leg.lap:
            verb = "lap" if leg.move is Move.SEW else "travel"
            said = f"{verb_of(leg)} once round {where}, {way}, {length}, back to where the round began."
            return Said(verb, what, way, said)
        verb = verb_of(leg)
        mark = self._mark(leg, what, block)
        over = "over the end sewn in an earlier band, " if leg.move is Move.RESUME else ""
        ditch = "in the ditch " if leg.move is Move.SEW and leg.role in _SEAMS else ""
        said = f"{verb} {way}, {length}, {over}{ditch}along {where}{mark}."
        if turns_back(before, leg):
            said = f"Turn back and {said[0].lower()}{said[1:]}"
        return Said("resume" if leg.move is Move.RESUME else verb.lower(), what, way, said)

    def rows(self, rows: Rows, *, block: str) -> Said:
        """Say lines that are sewn to and fro."""
        first = rows.lines[0]
        name = name_words(first.line) if first.line else "the seam"
        way, on = way_words(first.chord_mm), way_words(rows.apart_mm)
        said = (
            f"Sew {len(rows.lines)} lines of {name}{_where(first, block)} to and fro, "
            f"{self._length(rows.spacing_mm)} apart, the first {way}, each next one farther {on}: "
            f"{self._lengths(rows)}. Between them {self._hops(rows, block)}."
        )
        mark = self.spots.landmark(rows.lines[-1], self.spots.name_of(rows.lines[-1]), block)
        return Said("lines", name, way, f"{said} End at {mark}." if mark else said)

    def again(self, again: Again, numbers: Sequence[int]) -> Said:
        """Say that the directions with these numbers come again."""
        way = way_words(again.moved_mm)
        far = self._length(float(np.hypot(*again.moved_mm)))
        several = numbers[0] != numbers[-1]
        steps = f"steps {numbers[0]} to {numbers[-1]} again" if several else f"step {numbers[0]} again"
        if not again.at_once:
            return Said("again", "", way, f"From here do {steps}, {far} farther {way}.")
        each = "each time " if again.times > 1 else ""
        times = count_words(again.times)
        text = f"Do {steps}, {times}, {each}{far} farther {way}."
        return Said("again", "", way, text)

    def bring_up(self, place: str, moved_mm: NDArray[np.float64] | None) -> Said:
        """Say where a path starts, and how the needle comes there; `moved_mm` None: that is not told."""
        if moved_mm is None or np.hypot(*moved_mm) == 0:
            text = f"Bring up the bobbin thread {place}."
            return Said("bring up", "", "", text)
        way, far = way_words(moved_mm), self._length(float(np.hypot(*moved_mm)))
        text = f"Needle up, move {far} {way}. Bring up the bobbin thread {place}."
        return Said("bring up", "", way, text)

    def tie_off(self, place: str, *, closed: bool) -> Said:
        """Say where a path ends."""
        return Said("tie off", "", "", f"Tie off {'where the path began' if closed else place}.")

    def as_path(self, number: int, block: str, length_mm: float) -> Said:
        """Say that all of a path is as an earlier one."""
        text = f"Sew as path {number}{in_words(block)}, which is exactly alike: {self._length(length_mm)}."
        return Said("as path", "", "", text)

    def _length(self, length_mm: float) -> str:
        return length_words(length_mm, self.spots.unit)

    def _mark(self, leg: Leg, what: str, block: str) -> str:
        mark = self.spots.landmark(leg, what, block)
        if mark:
            return f", to {mark}"
        if ends_at_corner(leg):
            return ", to its corner"
        if not leg.straight and leg.line is not None and leg.line.closed and leg.length_mm >= HOP_MM:
            return f", to {self.spots.on_it(leg.points_mm[-1], leg.line)}"
        if leg.straight and leg.length_mm >= HOP_MM and what in {seam.name for seam in self.spots.seams}:
            upright = abs(leg.chord_mm[1]) > abs(leg.chord_mm[0])
            place = self.spots.along(leg.points_mm[-1], upright=upright)
            return f", to {place.removeprefix('at ')}"
        return ""

    def _lengths(self, rows: Rows) -> str:
        sizes = [line.length_mm for line in rows.lines]
        said = [self._length(size) for size in sizes]
        if len(set(said)) == 1:
            return f"all {said[0]}"
        text = f"first {said[0]}, last {said[-1]}"
        ends = min(sizes[0], sizes[-1]), max(sizes[0], sizes[-1])
        least, most = self._length(min(sizes)), self._length(max(sizes))
        text += f", shortest {least}" if min(sizes) < ends[0] and least not in {said[0], said[-1]} else ""
        return text + (
            f", longest {most}" if max(sizes) > ends[1] and most not in {said[0], said[-1]} else ""
        )

    def _hops(self, rows: Rows, block: str) -> str:
        sides = rows.hops[::2], rows.hops[1::2]
        said = [self._hop(side, block) for side in sides]
        return said[0] if said[0] == said[1] else f"{said[0]}, then {said[1]}, by turns"

    def _hop(self, hops: Sequence[Hop], block: str) -> str:
        lengths = [hop.length_mm for hop in hops]
        size = range_words(min(lengths), max(lengths), self.spots.unit)
        leg = hops[0].legs[0]
        what = sewn_words(hops[0].what, leg) if leg.move is Move.TRAVEL else hops[0].what
        round_ = "" if all(part.straight for part in hops[0].legs) else f"{_round(leg)}, "
        verb = "sew" if leg.move is Move.SEW else "hop" if max(lengths) < HOP_MM else "travel"
        return f"{verb} {round_}{size}, along {what}{_where(leg, block)}"


def verb_of(leg: Leg) -> str:
    """Return what the needle does along a leg."""
    if leg.move is Move.SEW:
        return "Sew"
    if leg.move is Move.RESUME:
        return "Go"
    return "Hop" if leg.length_mm < HOP_MM and not leg.lap else "Travel"


def way_of(leg: Leg) -> str:
    """Return which way a leg goes: up, down, left, right; clockwise or anticlockwise where it is curved."""
    closed = leg.line is not None and leg.line.closed
    if leg.lap or (not leg.straight and (closed or np.hypot(*leg.chord_mm) < _CURVED * leg.length_mm)):
        return _round(leg)
    return way_words(leg.chord_mm)


def _round(leg: Leg) -> str:
    return "clockwise" if turn_of(leg) > 0 else "anticlockwise"


def _where(leg: Leg, block: str) -> str:
    """Return the block of a leg's line, where it is not the heading's."""
    return in_words(leg.line.block) if leg.line is not None and leg.line.block != block else ""
