"""Lengths, ways and names of lines as steps say them."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from stitchpath.directions.hand_moves import HandMove
from stitchpath.lines import Line, Role, motif_name
from stitchpath.units import MM_PER, Unit, format_length

__all__ = [
    "count_words",
    "length_words",
    "line_words",
    "listed",
    "name_words",
    "ordinal",
    "quoted",
    "range_words",
    "sewn_words",
    "way_words",
]

_EIGHTH_MM = float(MM_PER["in"] / 8)  # an inch by the international agreement of 1959
_LEVEL_DEG = 5.0
"""Up to here off level or upright is said to be level or upright."""

_WAYS = ("right", "down to the right", "down", "down to the left",
         "left", "up to the left", "up", "up to the right")  # fmt: skip
_TIMES = ("no", "once", "twice")
_ENDINGS = {1: "st", 2: "nd", 3: "rd"}  # English ordinals; all others end in "th"


def length_words(length_mm: float, unit: Unit = "in") -> str:
    """Write a length to the nearest 1/8 in, or to the nearest millimetre.

    Examples
    --------
    >>> length_words(15.1), length_words(304.8), length_words(0.5), length_words(15.1, "mm")
    ('5/8 in', '12 in', 'less than 1/8 in', '15 mm')
    >>> length_words(15.1, "cm"), length_words(0.2, "cm")
    ('1.5 cm', 'less than 0.1 cm')
    """
    least_mm = _EIGHTH_MM if unit == "in" else 1.0
    count = math.floor(length_mm / least_mm + 0.5)
    return format_length(count * least_mm, unit) if count else f"less than {format_length(least_mm, unit)}"


def range_words(least_mm: float, most_mm: float, unit: Unit = "in") -> str:
    """Write from which length to which something goes.

    Parameters
    ----------
    least_mm, most_mm
        In millimetres.
    unit
        In which it is told.

    Examples
    --------
    >>> range_words(15.1, 25.4), range_words(25.4, 25.3)
    ('5/8 to 1 in', '1 in')
    """
    least, most = length_words(least_mm, unit), length_words(most_mm, unit)
    if least == most:
        return most
    bare = least if least.startswith("less") else least.rpartition(" ")[0]
    return f"{bare} to {most}"


def way_words(vector: NDArray[np.float64]) -> str:
    """Return which way a vector points: up, down, left, right, or between two of them; "nowhere" for none.

    Examples
    --------
    >>> way_words(np.array([3.0, 0.1])), way_words(np.array([1.0, -0.5])), way_words(np.zeros(2))
    ('right', 'up to the right', 'nowhere')
    """
    if not vector.any():
        return "nowhere"
    degrees = float(np.degrees(np.arctan2(vector[1], vector[0]))) % 360
    straight = round(degrees / 90) % 4 * 2
    off = abs((degrees - 45 * straight + 180) % 360 - 180)
    return _WAYS[straight] if off <= _LEVEL_DEG else _WAYS[int(degrees // 90) * 2 + 1]


def count_words(count: int) -> str:
    """Write how many times.

    Examples
    --------
    >>> count_words(1), count_words(2), count_words(5)
    ('once', 'twice', '5 times')
    """
    return _TIMES[count] if count < len(_TIMES) else f"{count} times"


def ordinal(number: int) -> str:
    """Write which one in a row.

    Examples
    --------
    >>> [ordinal(number) for number in (1, 2, 3, 4, 11, 12, 13, 21, 112)]
    ['1st', '2nd', '3rd', '4th', '11th', '12th', '13th', '21st', '112th']
    """
    teens = number % 100 // 10 == 1
    return f"{number}{'th' if teens else _ENDINGS.get(number % 10, 'th')}"


def listed(said: Sequence[str], last: str) -> str:
    """Write several things one after another, with a word before the last one.

    Parameters
    ----------
    said
        The things.
    last
        ``"and"`` or ``"or"``.

    Examples
    --------
    >>> listed(["a seam", "an outline", "an edge"], "or"), listed(["a seam"], "or"), listed([], "and")
    ('a seam, an outline or an edge', 'a seam', '')
    """
    return f" {last} ".join(part for part in (", ".join(said[:-1]), *said[-1:]) if part)


def quoted(name: str) -> str:
    """Return a name that somebody gave, in quotation marks.

    Examples
    --------
    >>> print(quoted('the "left" leaf'), quoted(""))
    "the 'left' leaf" ""
    """
    return '"{}"'.format("".join(c for c in name if c.isprintable()).replace('"', "'"))


def name_words(line: Line) -> str:
    """Return the name of a line's motif in quotation marks; its role where it has none."""
    return quoted(motif_name(line.motif) or str(line.role))


def line_words(line: Line) -> str:
    """Name a line that is no seam of the top.

    Examples
    --------
    >>> line_words(Line([], Role.OUTLINE, motif="pear: outside outline"))
    'the outside outline of "pear"'
    >>> line_words(Line([], Role.FILL, motif="background")), line_words(Line([], motif="loop"))
    ('a line of "background"', 'a line of "loop"')
    """
    name, part = name_words(line), line.motif.partition(": ")[2]
    if line.role is Role.OUTLINE and part == "oval":
        return f"the oval {name}"
    if line.role in {Role.OUTLINE, Role.ECHO} and part:
        return f"the {part} of {name}" if "outline" in part else f"{part.replace('round', 'echo')} of {name}"
    if line.role is Role.STRIP:
        return f"a line of the strip {name}"
    return f"the seam of {name}" if line.role is Role.DITCH else f"a line of {name}"


def sewn_words(what: str, hand_move: HandMove) -> str:
    """Say of what is travelled on that it is sewn, or that it is not.

    Examples
    --------
    >>> from stitchpath.plan import Move
    >>> seam = HandMove(Move.TRAVEL, "", None, 0, 1, np.zeros((2, 2)), 0.0, False, False)
    >>> sewn_words("the seam left of column 1", seam)
    'the unstitched seam left of column 1'
    """
    said = "unstitched" if hand_move.line is None else "sewn"
    article, _, rest = what.partition(" ")
    if article in {"the", "a"}:
        return f"{article} {said} {rest}"
    return f"{said} {what}"
