"""What each step says: a sentence or two for a hand move, for parallel lines, for a repeat."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from stitchpath.directions.hand_moves import HandMove, ends_at_corner, turns_back
from stitchpath.directions.parallel_lines import Connector, ParallelLines, turn_of
from stitchpath.directions.place_names import OPEN_CLOTH, PlaceNames, in_words
from stitchpath.directions.repeats import Repeat
from stitchpath.directions.words import (
    count_words,
    length_words,
    listed,
    name_words,
    ordinal,
    range_words,
    sewn_words,
    way_words,
)
from stitchpath.lines import PIECED_SEAM_ROLES, SEAM_ROLES
from stitchpath.plan import Move

__all__ = ["Sentences", "Wording", "hops_on"]

HOP_MM = 25.4
"""Travel shorter than this is called a hop and may be free-hand: common practice, no source."""

_CURVED = 0.5  # a chord of under half the length: no direction would say where it goes; chosen


class Wording(NamedTuple):
    """What a step is told with: its verb, on what, which way, and the whole sentence."""

    verb: str
    what: str
    way: str
    text: str


def hops_on(hand_move: HandMove, hop: HandMove) -> bool:
    """Tell whether a hop, or what is sewn round a corner of the same line, is said with the one before it."""
    if hop.move is Move.SEW:
        on = hand_move.move is Move.SEW and hop.line is not None and hop.line is hand_move.line
        whole = hand_move.lap or hop.lap or turns_back(hand_move, hop)
        return on and not whole and hand_move.stage == hop.stage
    goes = hand_move.move in {Move.SEW, Move.TRAVEL} and hop.move is Move.TRAVEL
    straight = hand_move.straight and hop.straight and goes
    return (
        straight
        and hand_move.stage == hop.stage
        and hop.length_mm < HOP_MM
        and not turns_back(hand_move, hop)
    )


@dataclass(frozen=True, slots=True)
class Sentences:
    """Makes sentences with the places and the unit of one plan."""

    place_names: PlaceNames

    def hand_move(
        self, hand_move: HandMove, *, before: HandMove | None, block: str, hop: HandMove | None = None
    ) -> Wording:
        """Say one hand move, and a hop after it; `block` is the block under whose heading it stands."""
        said = self._hand_move(hand_move, before=before, block=block)
        if hop is None:
            return said
        after = self._hand_move(hop, before=None, block=block).text
        what = self.place_names.name_of(hop)
        if self.place_names.landmark(hand_move, said.what, block) == what and hop.role in SEAM_ROLES:
            after = after.replace(f"along {sewn_words(what, hop)}", "along it", 1)
        return said._replace(text=f"{said.text[:-1]}; {after[0].lower()}{after[1:]}")

    def _hand_move(self, hand_move: HandMove, *, before: HandMove | None, block: str) -> Wording:
        if hand_move.move is Move.STEP:
            return self._step_over(hand_move, block)
        what = self.place_names.name_of(hand_move)
        told = sewn_words(what, hand_move) if hand_move.move is Move.TRAVEL else what
        where = f"{told}{_where(hand_move, block)}"
        length = self._length(hand_move.length_mm)
        way = way_of(hand_move)
        if hand_move.lap:
            verb = "lap" if hand_move.move is Move.SEW else "travel"
            said = f"{verb_of(hand_move)} once round {where}, {way}, {length}, back to where the round began."
            return Wording(verb, what, way, said)
        verb = verb_of(hand_move)
        mark = self._mark(hand_move, what, block)
        over = "over the end sewn in an earlier band, " if hand_move.move is Move.RESUME else ""
        ditch = "in the ditch " if hand_move.move is Move.SEW and hand_move.role in PIECED_SEAM_ROLES else ""
        said = f"{verb} {way}, {length}, {over}{ditch}along {where}{mark}."
        if turns_back(before, hand_move):
            said = f"Turn back and {said[0].lower()}{said[1:]}"
        return Wording("resume" if hand_move.move is Move.RESUME else verb.lower(), what, way, said)

    def _step_over(self, hand_move: HandMove, block: str) -> Wording:
        """Say a step over open cloth, and which ring it goes to."""
        way, far = way_words(hand_move.chord_mm), self._length(hand_move.length_mm)
        mark = self.place_names.landmark(hand_move, OPEN_CLOTH, block).removesuffix(in_words(block))
        to = f", to {mark}" if mark else ""
        return Wording("step", OPEN_CLOTH, way, f"Step {way}, {far}, over {OPEN_CLOTH}{to}.")

    def parallel_lines(self, parallel: ParallelLines, *, block: str) -> Wording:
        """Say lines that are sewn to and fro."""
        first = parallel.lines[0]
        name = name_words(first.line) if first.line else "the seam"
        way, on = way_words(first.chord_mm), way_words(parallel.apart_mm)
        said = (
            f"Sew {len(parallel.lines)} lines of {name}{_where(first, block)} to and fro, "
            f"{self._length(parallel.spacing_mm)} apart{self._uneven(parallel)}, the first {way}, "
            f"each next one farther {on}: {self._lengths(parallel)}. "
            f"Between them {self._connectors(parallel, block)}."
        )
        last = parallel.lines[-1]
        mark = self.place_names.landmark(last, self.place_names.name_of(last), block)
        return Wording("lines", name, way, f"{said} End at {mark}." if mark else said)

    def repeat(self, repeat: Repeat, numbers: Sequence[int]) -> Wording:
        """Say that the steps with these numbers come again."""
        way = way_words(repeat.moved_mm)
        far = self._length(float(np.hypot(*repeat.moved_mm)))
        several = numbers[0] != numbers[-1]
        steps = f"steps {numbers[0]} to {numbers[-1]} again" if several else f"step {numbers[0]} again"
        if not repeat.at_once:
            return Wording("again", "", way, f"From here do {steps}, {far} farther {way}.")
        each = "each time " if repeat.times > 1 else ""
        times = count_words(repeat.times)
        text = f"Do {steps}, {times}, {each}{far} farther {way}."
        return Wording("again", "", way, text)

    def bring_up(self, place: str, moved_mm: NDArray[np.float64] | None) -> Wording:
        """Say where a path starts, and how the needle comes there; `moved_mm` None: that is not told."""
        if moved_mm is None or np.hypot(*moved_mm) == 0:
            text = f"Bring up the bobbin thread {place}."
            return Wording("bring up", "", "", text)
        way, far = way_words(moved_mm), self._length(float(np.hypot(*moved_mm)))
        text = f"Needle up, move {far} {way}. Bring up the bobbin thread {place}."
        return Wording("bring up", "", way, text)

    def tie_off(self, place: str, *, closed: bool) -> Wording:
        """Say where a path ends."""
        return Wording("tie off", "", "", f"Tie off {'where the path began' if closed else place}.")

    def as_path(self, name: str, block: str, length_mm: float) -> Wording:
        """Say that all of a path is as an earlier one."""
        text = f"Sew as path {name}{in_words(block)}, which is exactly alike: {self._length(length_mm)}."
        return Wording("as path", "", "", text)

    def _length(self, length_mm: float) -> str:
        return length_words(length_mm, self.place_names.unit)

    def _mark(self, hand_move: HandMove, what: str, block: str) -> str:
        mark = self.place_names.landmark(hand_move, what, block)
        if mark:
            return f", to {mark}"
        if ends_at_corner(hand_move):
            return ", to its corner"
        if (
            not hand_move.straight
            and hand_move.line is not None
            and hand_move.line.closed
            and hand_move.length_mm >= HOP_MM
        ):
            return f", to {self.place_names.on_it(hand_move.points_mm[-1], hand_move.line)}"
        if (
            hand_move.straight
            and hand_move.length_mm >= HOP_MM
            and what in {seam.name for seam in self.place_names.seams}
        ):
            upright = abs(hand_move.chord_mm[1]) > abs(hand_move.chord_mm[0])
            place = self.place_names.along(hand_move.points_mm[-1], upright=upright)
            return f", to {place.removeprefix('at ')}"
        return ""

    def _lengths(self, parallel: ParallelLines) -> str:
        sizes = [line.length_mm for line in parallel.lines]
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

    def _uneven(self, parallel: ParallelLines) -> str:
        """Name the lines that are not as far on as the others."""
        usual, gaps = self._length(parallel.spacing_mm), parallel.gaps_mm
        odd = [(self._length(gaps[i]), i + 2) for i in parallel.uneven]
        said = [f"{size} before the {ordinal(number)}" for size, number in odd if size != usual]
        return f", but {listed(said, 'and')}" if said else ""

    def _connectors(self, parallel: ParallelLines, block: str) -> str:
        if not parallel.by_turns:
            return self._any_connectors(parallel, block)
        sides = parallel.connectors[::2], parallel.connectors[1::2]
        said = [self._connector(side, block) for side in sides if side]
        return said[0] if len(set(said)) == 1 else f"{said[0]}, then {said[1]}, by turns"

    def _connector(self, connectors: Sequence[Connector], block: str) -> str:
        lengths = [connector.length_mm for connector in connectors]
        size = range_words(min(lengths), max(lengths), self.place_names.unit)
        hand_move = connectors[0].hand_moves[0]
        told = self._joining(hand_move, connectors[0].names[0], block)
        round_ = "" if all(part.straight for part in connectors[0].hand_moves) else f"{_round(hand_move)}, "
        return f"{_joining_verb(hand_move.move, lengths)} {round_}{size}, along {told}"

    def _any_connectors(self, parallel: ParallelLines, block: str) -> str:
        """Say what joins lines where it differs from one to the next: each kind of move, and along what."""
        lengths: dict[Move, list[float]] = {}
        along: dict[Move, dict[str, None]] = {}
        for connector in parallel.connectors:
            parts = zip(connector.hand_moves, connector.names, strict=True)
            for move, stretch in groupby(parts, key=lambda part: part[0].move):
                every = list(stretch)
                lengths.setdefault(move, []).append(sum(part.length_mm for part, _ in every))
                names = (self._joining(part, name, block) for part, name in every)
                along.setdefault(move, {}).update(dict.fromkeys(names))
        return "; and ".join(
            f"{_joining_verb(move, sizes)} {range_words(min(sizes), max(sizes), self.place_names.unit)}, "
            f"the short way along {listed(list(along[move]), 'or')}"
            for move, sizes in lengths.items()
        )

    @staticmethod
    def _joining(hand_move: HandMove, name: str, block: str) -> str:
        """Return what a part of a connector lies on, in which state and block."""
        told = sewn_words(name, hand_move) if hand_move.move is Move.TRAVEL else name
        return f"{told}{_where(hand_move, block)}"


def _joining_verb(move: Move, lengths: Sequence[float]) -> str:
    if move is Move.SEW:
        return "sew"
    return "hop" if max(lengths) < HOP_MM else "travel"


def verb_of(hand_move: HandMove) -> str:
    """Return what the needle does along a hand move."""
    if hand_move.move is Move.SEW:
        return "Sew"
    if hand_move.move is Move.RESUME:
        return "Go"
    return "Hop" if hand_move.length_mm < HOP_MM and not hand_move.lap else "Travel"


def way_of(hand_move: HandMove) -> str:
    """Return which way a hand move goes: up, down, left, right; clockwise or not where it is curved."""
    closed = hand_move.line is not None and hand_move.line.closed
    if hand_move.lap or (
        not hand_move.straight and (closed or np.hypot(*hand_move.chord_mm) < _CURVED * hand_move.length_mm)
    ):
        return _round(hand_move)
    return way_words(hand_move.chord_mm)


def _round(hand_move: HandMove) -> str:
    return "clockwise" if turn_of(hand_move) > 0 else "anticlockwise"


def _where(hand_move: HandMove, block: str) -> str:
    """Return the block of a hand move's line, where it is not the heading's."""
    return (
        in_words(hand_move.line.block) if hand_move.line is not None and hand_move.line.block != block else ""
    )
