"""Where the needle may travel, and what is left to be sewn by hand."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from stitchpath.check.measuring.intervals import Interval
from stitchpath.check.measuring.segments import NEVER
from stitchpath.check.rules.evidence import (
    Evidence,
    cells_of,
    left_over,
    lies_on,
    together,
    told_on_stretches,
)
from stitchpath.errors import Finding
from stitchpath.lines import Role

__all__ = ["leaves_open_seams_alone", "leaves_to_hand", "travel_is_sewn"]


def travel_is_sewn(seen: Evidence) -> Iterator[Finding]:
    """Travel goes over hidden seams, and over lines asked for only after they were sewn.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line, Move, Span, StitchPath
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.TRAVEL, 0, 1),))
    >>> asked = Asked(Drawing(lines=(Line([(0, 0), (9, 0)]),)))
    >>> [found.message for found in travel_is_sewn(look_at([path], asked))]
    ['path 1 travels where nothing is sewn yet for 9.000 mm']
    >>> list(travel_is_sewn(look_at([], asked)))
    []
    """
    shut = _pressed_open(seen) | _not_travelled(seen)
    fine = together(_fine(seen), lies_on(seen, shut))
    early = left_over(seen, np.ones_like(shut), fine, _travelled(seen))
    yield from _told(seen, early, "travel", "travels where nothing is sewn yet")


def leaves_open_seams_alone(seen: Evidence) -> Iterator[Finding]:
    """Where hidden seams are not to be used, no travel rests on one; the edge line stays usable.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import CostSettings, Drawing, Line, Move, Span, StitchPath
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.TRAVEL, 0, 1),))
    >>> drawing = Drawing(lines=(), hidden=(Line([(0, 0), (9, 0)], Role.HIDDEN),))
    >>> asked = Asked(drawing, cost=CostSettings(hidden_seams=False))
    >>> [found.message for found in leaves_open_seams_alone(look_at([path], asked))]
    ['path 1 travels along a seam that is pressed open for 9.000 mm']
    >>> list(leaves_open_seams_alone(look_at([], asked)))
    []
    """
    shut = _pressed_open(seen)
    if shut.any():
        wrong = left_over(seen, shut, _fine(seen), _travelled(seen))
        yield from _told(seen, wrong, "open seam", "travels along a seam that is pressed open")


def leaves_to_hand(seen: Evidence) -> Iterator[Finding]:
    """No line left to the hand is sewn, or travelled unless that is allowed; nor, by the hand, the frame's.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line, Move, ScheduleSettings, Span, StitchPath
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),))
    >>> line, schedule = Line([(0, 0), (9, 0)], Role.OUTLINE), ScheduleSettings(by_hand=["outline"])
    >>> asked = Asked(Drawing(lines=(line,)), schedule=schedule)
    >>> [found.message for found in leaves_to_hand(look_at([path], asked))]
    ['path 1 sews what is left to the hand for 9.000 mm']
    >>> list(leaves_to_hand(look_at([], asked)))
    []
    """
    left = seen.asked.left
    if not left.any():
        return
    whom = "to the frame" if seen.asked.part == "hand" else "to the hand"
    sewn = left_over(seen, left, lies_on(seen, seen.wanted), seen.stretches.sews > 0)
    yield from told_on_stretches(seen, sewn, "by hand", f"sews what is left {whom}")
    fine = together(_fine(seen), lies_on(seen, _pressed_open(seen)))
    travelled = left_over(seen, _not_travelled(seen), fine, _travelled(seen))
    yield from _told(seen, travelled, "by hand", f"travels along what is left {whom}")


def _fine(seen: Evidence) -> Interval:
    """Return where travel is in order: on what was sewn before, and on what may be used unsewn."""
    matches, stretches = seen.matches, seen.stretches
    (pair, low, high), cell = cells_of(seen, np.flatnonzero(matches.follows))
    before = seen.cells.first_sew[cell] < stretches.first_travel[matches.stretch[pair]]
    free = (seen.rails.hidden | seen.asked.any_time) & ~_pressed_open(seen) & ~_not_travelled(seen)
    return together((low[before], high[before]), lies_on(seen, free))


def _pressed_open(seen: Evidence) -> NDArray[np.bool_]:
    """Return for each line whether it is a seam that must not be used."""
    roles = np.array([line.role == Role.HIDDEN for line in seen.rails.lines], dtype=bool)
    return roles & seen.rails.hidden & (not seen.asked.cost.hidden_seams)


def _not_travelled(seen: Evidence) -> NDArray[np.bool_]:
    """Return for each line whether it is left to somebody else altogether."""
    return seen.asked.left & ~seen.asked.left_free


def _travelled(seen: Evidence) -> NDArray[np.bool_]:
    return seen.stretches.first_travel < NEVER


def _told(seen: Evidence, wrong: Interval, kind: str, words: str) -> Iterator[Finding]:
    return told_on_stretches(seen, wrong, kind, words, when=seen.stretches.first_travel)
