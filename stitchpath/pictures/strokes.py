"""What pictures are drawn with: lines, dashes, arrow heads, dots, bars, numbers, shades."""

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from stitchpath.formats.numbers import fixed, path_data
from stitchpath.formats.svg_text import Mark
from stitchpath.pictures.colours import DEEP, LIGHT, PALE

__all__ = [
    "BLACK", "TICK", "bar", "dashes", "dot", "dots", "edge", "hatch", "head_marks", "others", "patterned",
    "seams", "shade",
    "solid", "square_tag", "tag", "tag_size", "text", "ticks_across",
]  # fmt: skip

BLACK = "#000000"
TICK = 1.3
"""How long ticks across what is sewn again are, for each millimetre of the type of numbers."""
_SHADE, _SHADE_EDGE, _EDGE, _SEAM = PALE, DEEP, "#000000", LIGHT
_DIGIT_WIDE, _DIGIT_HIGH = 0.6, 0.73
"""A bold digit of a sans-serif type, for each millimetre of its size: chosen by eye in print."""


def text(x: float, y: float, words: str, *, size_mm: float, **more: str) -> Mark:
    """Return words on the sheet, `y` their base line; `more` are attributes with ``_`` for ``-``.

    Parameters
    ----------
    x, y
        Where the words begin, on their base line, in printed millimetres.
    words
        As they are read.
    size_mm
        Of the type.
    **more
        Attributes, with ``_`` for ``-``.

    Returns
    -------
    Mark
        A text.

    Examples
    --------
    >>> text(0, 5, "Pear", size_mm=3, font_weight="bold").attributes["font-weight"]
    'bold'
    """
    attributes = {"x": fixed(x), "y": fixed(y), "font-size": fixed(size_mm), "font-family": "sans-serif"}
    return Mark("text", attributes | {key.replace("_", "-"): value for key, value in more.items()}, words)


def solid(lines: Iterable[NDArray[np.float64]], colour: str, width_mm: float) -> Mark:
    """Return lines that are sewn.

    Parameters
    ----------
    lines
        (N, 2) each, in printed millimetres.
    colour
        As ``#rrggbb``.
    width_mm
        In print.

    Returns
    -------
    Mark
        One path.

    Examples
    --------
    >>> solid([np.array([(0.0, 0.0), (9.0, 0.0)])], BLACK, 0.4).attributes["d"]
    'M 0.000,0.000 L 9.000,0.000'
    >>> solid([], BLACK, 0.4).attributes["d"]
    ''
    """
    return Mark("path", {"d": _data(lines), **_stroke(colour, width_mm)})


def dashes(lines: Iterable[NDArray[np.float64]], colour: str, width_mm: float) -> Mark:
    """Return lines that are travelled.

    Parameters
    ----------
    lines
        (N, 2) each, in printed millimetres.
    colour
        As ``#rrggbb``.
    width_mm
        In print; dashes go with it.

    Returns
    -------
    Mark
        One path.

    Examples
    --------
    >>> dashes([], BLACK, 0.5).attributes["stroke-dasharray"]
    '1.300 1.100'
    """
    dash = f"{fixed(2.6 * width_mm)} {fixed(2.2 * width_mm)}"
    return Mark(
        "path",
        {"d": _data(lines), **_stroke(colour, width_mm), "stroke-dasharray": dash, "stroke-linecap": "butt"},
    )


def patterned(
    lines: Iterable[NDArray[np.float64]], colour: str, width_mm: float, pattern: Sequence[float]
) -> Mark:
    """Return lines in a pattern of dashes and gaps.

    Parameters
    ----------
    lines
        (N, 2) each, in printed millimetres.
    colour
        As ``#rrggbb``.
    width_mm
        In print.
    pattern
        Lengths of dashes and gaps in turn, in printed millimetres; none: solid.

    Returns
    -------
    Mark
        One path.

    Examples
    --------
    >>> patterned([], BLACK, 0.3, [2, 1]).attributes["stroke-dasharray"]
    '2.000 1.000'
    >>> patterned([], BLACK, 0.3, []) == solid([], BLACK, 0.3)
    True
    """
    if not len(pattern):
        return solid(lines, colour, width_mm)
    look = {"stroke-dasharray": " ".join(map(fixed, pattern)), "stroke-linecap": "butt"}
    return Mark("path", {"d": _data(lines), **_stroke(colour, width_mm), **look})


def dots(lines: Iterable[NDArray[np.float64]], colour: str, width_mm: float) -> Mark:
    """Return lines that step over open cloth: round dots.

    Parameters
    ----------
    lines
        (N, 2) each, in printed millimetres.
    colour
        As ``#rrggbb``.
    width_mm
        In print: how wide a dot is.

    Returns
    -------
    Mark
        One path.

    Examples
    --------
    >>> dots([], BLACK, 0.5).attributes["stroke-dasharray"]
    '0.001 0.850'
    """
    dash = f"0.001 {fixed(1.7 * width_mm)}"
    return Mark(
        "path",
        {"d": _data(lines), **_stroke(colour, width_mm), "stroke-dasharray": dash, "stroke-linecap": "round"},
    )


def hatch(ticks: Iterable[NDArray[np.float64]], size_mm: float) -> tuple[Mark, Mark]:
    """Return ticks (2, 2) across what is sewn again, to go with numbers of a size, in a room of their own.

    Examples
    --------
    >>> [mark.attributes["stroke"] for mark in hatch([], 3.0)]
    ['#ffffff', '#000000']
    """
    data = _data(ticks)
    clear, stroke = (_stroke(colour, wide * size_mm) for colour, wide in (("#ffffff", 0.24), (BLACK, 0.1)))
    return Mark("path", {"d": data, **clear}), Mark("path", {"d": data, **stroke})


def ticks_across(lines: Iterable[NDArray[np.float64]]) -> Mark:
    """Return the ticks of a rule: thin, and cut off where they end.

    Examples
    --------
    >>> ticks_across([np.array([(0.0, 0.0), (0.0, 2.0)])]).attributes["d"]
    'M 0.000,0.000 L 0.000,2.000'
    """
    return Mark("path", {"d": _data(lines), "fill": "none", "stroke": BLACK, "stroke-width": "0.200"})


def seams(lines: Iterable[NDArray[np.float64]]) -> Mark:
    """Return seams that nobody asked to sew.

    Examples
    --------
    >>> seams([np.array([(0.0, 0.0), (0.0, 2.0)])]).attributes["d"], seams([]).attributes["d"]
    ('M 0.000,0.000 L 0.000,2.000', '')
    """
    return Mark("path", {"d": _data(lines), **_stroke(_SEAM, 0.15)})


def others(lines: Iterable[NDArray[np.float64]]) -> Mark:
    """Return lines that are sewn, but not by this plan's paths.

    Examples
    --------
    >>> others([np.array([(0.0, 0.0), (0.0, 2.0)])]).attributes["d"], others([]).attributes["d"]
    ('M 0.000,0.000 L 0.000,2.000', '')
    """
    return Mark("path", {"d": _data(lines), **_stroke(_EDGE, 0.25), "stroke-dasharray": "0.300 0.700"})


def edge(rings: Iterable[NDArray[np.float64]]) -> Mark:
    """Return the finished edge.

    Examples
    --------
    >>> edge([]).attributes["stroke-dasharray"]
    '3.000 0.800 0.500 0.800'
    """
    return Mark(
        "path", {"d": _data(rings), **_stroke(_EDGE, 0.3), "stroke-dasharray": "3.000 0.800 0.500 0.800"}
    )


def shade(rings: Iterable[NDArray[np.float64]]) -> Mark:
    """Return a keep-out; rings within the first are holes.

    Examples
    --------
    >>> shade([]).attributes["fill-rule"]
    'evenodd'
    """
    look = {"fill": _SHADE, "fill-rule": "evenodd", "stroke": _SHADE_EDGE, "stroke-width": "0.120"}
    return Mark("path", {"d": _data(rings), **look})


def head_marks(heads: Iterable[NDArray[np.float64]], colour: str) -> Mark:
    """Return arrow heads (3, 2).

    Examples
    --------
    >>> head_marks([np.array([(2.0, 0.0), (0.0, 0.8), (0.0, -0.8)])], BLACK).attributes["d"]
    'M 2.000,0.000 L 0.000,0.800 0.000,-0.800 Z'
    >>> head_marks([], BLACK).attributes["d"]
    ''
    """
    return Mark("path", {"d": " ".join(f"{path_data(head)} Z" for head in heads), "fill": colour})


def dot(point: NDArray[np.float64], colour: str, size_mm: float) -> Mark:
    """Return the sign of a path's start, to go with numbers of a size.

    Parameters
    ----------
    point
        (2,) in printed millimetres.
    colour
        As ``#rrggbb``.
    size_mm
        Of the numbers' type.

    Returns
    -------
    Mark
        A circle.

    Examples
    --------
    >>> dot(np.array([5.0, 5.0]), BLACK, 3.0).attributes["r"]
    '0.810'
    """
    x, y = point.tolist()
    look = {"fill": "#ffffff", "stroke": colour, "stroke-width": fixed(0.13 * size_mm)}
    return Mark("circle", {"cx": fixed(x), "cy": fixed(y), "r": fixed(0.27 * size_mm), **look})


def bar(point: NDArray[np.float64], along: NDArray[np.float64], colour: str, size_mm: float) -> Mark:
    """Return the sign of a path's end: a bar across the direction `along` in which it comes.

    Parameters
    ----------
    point
        (2,) in printed millimetres.
    along
        (2,) of any length but 0.
    colour
        As ``#rrggbb``.
    size_mm
        Of the numbers' type.

    Returns
    -------
    Mark
        One path.

    Examples
    --------
    >>> bar(np.array([5.0, 5.0]), np.array([1.0, 0.0]), BLACK, 3.0).attributes["d"]
    'M 5.000,3.500 L 5.000,6.500'
    """
    across = np.array([-along[1], along[0]]) / np.hypot(*along) * 0.5 * size_mm
    ends = np.array([point - across, point + across])
    return Mark("path", {"d": path_data(ends), **_stroke(colour, 0.19 * size_mm)})


def tag(
    middle: NDArray[np.float64], point: NDArray[np.float64], number: str, colour: str, size_mm: float
) -> tuple[Mark, Mark, Mark]:
    """Return a number in its frame, with a leader to its point.

    Parameters
    ----------
    middle, point
        (2,) where the number stands, and what it belongs to, in printed millimetres.
    number
        As it is read.
    colour
        Of the frame, as ``#rrggbb``.
    size_mm
        Of the type.

    Returns
    -------
    tuple of Mark
        A leader, a box and the number.

    Examples
    --------
    >>> [mark.tag for mark in tag(np.array([9.0, 5.0]), np.array([5.0, 5.0]), "7", BLACK, 3.0)]
    ['path', 'rect', 'text']
    """
    width, height = tag_size(number, size_mm)
    x, y = middle.tolist()
    leader = Mark("path", {"d": path_data(np.array([point, middle])), **_stroke(BLACK, 0.2)})
    box = {
        "x": fixed(x - width / 2),
        "y": fixed(y - height / 2),
        "width": fixed(width),
        "height": fixed(height),
    }
    look = {"rx": "0.600", "fill": "#ffffff", "stroke": colour, "stroke-width": "0.350"}
    base = y + size_mm * _DIGIT_HIGH / 2
    words = text(x, base, number, size_mm=size_mm, font_weight="bold", text_anchor="middle")
    return leader, Mark("rect", {**box, **look}), words


def square_tag(
    middle: NDArray[np.float64], point: NDArray[np.float64], word: str, size_mm: float
) -> tuple[Mark, Mark, Mark]:
    """Return a word in a box with corners, unlike a path's number, with a leader to its point.

    Parameters
    ----------
    middle, point
        (2,) where the word stands, and what it belongs to, in printed millimetres.
    word
        As it is read.
    size_mm
        Of the type.

    Returns
    -------
    tuple of Mark
        A leader, a box and the word.

    Examples
    --------
    >>> [mark.tag for mark in square_tag(np.array([9.0, 5.0]), np.array([5.0, 5.0]), "B1", 3.0)]
    ['path', 'rect', 'text']
    """
    leader, box, said = tag(middle, point, word, BLACK, size_mm)
    return leader, Mark("rect", {key: value for key, value in box.attributes.items() if key != "rx"}), said


def tag_size(number: str, size_mm: float) -> tuple[float, float]:
    """Return the width and height of a number's frame.

    Examples
    --------
    >>> [round(size, 2) for size in tag_size("12", 3.0)]
    [4.95, 3.45]
    """
    return (len(number) * _DIGIT_WIDE + 0.45) * size_mm, 1.15 * size_mm


def _data(lines: Iterable[NDArray[np.float64]]) -> str:
    return " ".join(path_data(line) for line in lines)


def _stroke(colour: str, width_mm: float) -> dict[str, str]:
    look = {"stroke-linecap": "round", "stroke-linejoin": "round"}
    return {"fill": "none", "stroke": colour, "stroke-width": fixed(width_mm), **look}
