"""What is sewn where, by which paths: read off the paths themselves, whatever band or group they begin in."""

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from stitchpath.lines import Line, Role
from stitchpath.plan import Move, Plan
from stitchpath.words import numbers

__all__ = ["SewnThere", "sewn_there", "sewn_words"]

_MOST_ROWS = 14
"""Rows told of one part, before the rest is told in one: about a third of a page."""
_MOST_PLACES = 4
"""Places told by name in one list before the rest is counted: about a line."""

_ROLES: Mapping[Role, str] = MappingProxyType(
    {
        Role.BASTE: "basting",
        Role.DITCH: "seams",
        Role.OUTLINE: "outlines",
        Role.STRIP: "strips",
        Role.ECHO: "echoes",
        Role.FILL: "fill",
        Role.DRAWN: "drawn lines",
    }
)
"""What lines of each role are called together, in the order in which they are told."""
_ROW = re.compile(r"row (\d+), column \d+")


@dataclass(frozen=True, slots=True)
class SewnThere:
    """Paths, counted from 0, one after another, that sew the same things in the same places; and what."""

    paths: tuple[int, ...]
    what: str


def sewn_there(plan: Plan, paths: Sequence[int]) -> tuple[SewnThere, ...]:
    """Return what some paths sew, path by path; those that sew the same, one after another, together.

    Parameters
    ----------
    plan
        The plan.
    paths
        Which, counted from 0.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> sewn_there(Plan(Drawing(()), (), (), 0.0), [])
    ()
    """
    found: list[SewnThere] = []
    for number in paths:
        what = sewn_words(plan, [number])
        if found and found[-1].what == what:
            found[-1] = SewnThere((*found[-1].paths, number), what)
        else:
            found.append(SewnThere((number,), what))
    if len(found) > _MOST_ROWS:
        rest = [number for one in found[_MOST_ROWS - 1 :] for number in one.paths]
        found[_MOST_ROWS - 1 :] = [SewnThere(tuple(rest), sewn_words(plan, rest))]
    return tuple(found)


def sewn_words(plan: Plan, paths: Sequence[int]) -> str:
    """Say what some paths sew for the first time, and where.

    Parameters
    ----------
    plan
        The plan.
    paths
        Which, counted from 0.

    Examples
    --------
    >>> from stitchpath import Drawing, Line, Span, StitchPath
    >>> lines = Line([(0, 0), (9, 0)], "fill", block="row 2, column 1"), Line([(9, 0), (9, 9)], "ditch")
    >>> spans = Span(Move.SEW, 0, 1, 1), Span(Move.SEW, 1, 2, 2)
    >>> path = StitchPath([(0, 0), (9, 0), (9, 9)], spans)
    >>> sewn_words(Plan(Drawing(lines), (path,), (), 0.0), [0])
    'seams; row 2, column 1: fill'
    """
    roles: dict[str, set[Role]] = {}
    blocks: dict[str, set[str]] = {}
    for line in _sewn(plan, paths):
        place = _place(line)
        row = _ROW.fullmatch(place)
        there = row[1] if row else place
        roles.setdefault(there, set()).add(line.role)
        blocks.setdefault(there, set()).add(place)
    alike: dict[str, list[str]] = {}
    for there in sorted(roles, key=_order):
        if there:
            alike.setdefault(_role_words(roles[there]), []).append(there)
    told = [f"{_place_words(places, blocks)}: {what}" for what, places in alike.items()]
    return "; ".join(filter(None, (_role_words(roles.get("", set()), "; "), *told)))


def _sewn(plan: Plan, paths: Sequence[int]) -> Iterator[Line]:
    lines = plan.drawing.lines
    for number in paths:
        for span in plan.paths[number].spans:
            if span.move is Move.SEW and span.line is not None and span.line <= len(lines):
                yield lines[span.line - 1]


def _place(line: Line) -> str:
    """Return the block, or whatever else, that a line belongs to; empty for basting and seams."""
    return "" if line.role in (Role.BASTE, Role.DITCH) else line.block or "the top"


def _role_words(roles: set[Role], between: str = ", ") -> str:
    return between.join(words for role, words in _ROLES.items() if role in roles)


def _order(there: str) -> tuple[bool, int, str]:
    """Put rows first, from the top down, then all else by name."""
    return not there.isdecimal(), int(there) if there.isdecimal() else 0, there


def _place_words(places: Sequence[str], blocks: Mapping[str, Collection[str]]) -> str:
    """Name places: rows by their numbers, one block of a row by its name.

    Examples
    --------
    >>> in_row = {"1": ["row 1, column 2"], "2": ["row 2, column 1", "row 2, column 2"], "left border": []}
    >>> _place_words(["1"], in_row), _place_words(["2"], in_row)
    ('row 1, column 2', 'row 2')
    >>> _place_words(["1", "2", "left border"], in_row)
    'rows 1 and 2, left border'
    """
    rows = [int(there) for there in places if there.isdecimal()]
    told = [there for there in places if not there.isdecimal()]
    if rows:
        alone = len(rows) == 1 and len(blocks[str(rows[0])]) == 1
        row = f"{'row' if len(rows) == 1 else 'rows'} {numbers(rows)}"
        told.insert(0, next(iter(blocks[str(rows[0])])) if alone else row)
    left = len(told) - _MOST_PLACES
    return ", ".join(told[:_MOST_PLACES]) + (f" and {left:,} more" if left > 0 else "")
