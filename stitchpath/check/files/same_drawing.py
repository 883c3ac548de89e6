"""Whether a plan's drawing is the one that the design draws here and now.

Drawings are compared to a millionth of a millimetre, not to the last bit, since processors differ. With
OpenBLAS, glibc and NumPy limited to what an older processor has, 217 of 399 random designs were drawn with
other last bits, at most 4e-12 mm apart. So were four of the six designs in `examples/`; but the tables and
sewing SVGs of all six were the same to the byte, since junctions are told apart on a grid of 2^-10 mm.
Nothing is rounded while drawing: that would move ends off the lines they meet, and only make it rarer that
two processors differ (measured 2026-11-30).
"""

import re
from collections.abc import Callable, Iterator, Sequence
from typing import Any, TypeVar

import numpy as np
import shapely

from stitchpath.drawing import Drawing
from stitchpath.errors import Finding
from stitchpath.lines import Block, KeepOut, Line

__all__ = ["drawn_alike"]

SAME_MM = 1e-6
"""How far apart the same point may be drawn on two machines.

Sines, products and cut ends differ in the last bits from processor to processor and from one version of a
library to the next: by 4e-12 mm at most in 399 designs by lot. This is far above that; and it is a
thousandth of the grid on which junctions are told apart, and less than a thousandth of what counts as
covered, so nothing that follows from a drawing can be turned by it.
"""

_NUMBER = re.compile(r"(\d+(?:\.\d+)?)")

_LAST_DIGIT = 0.011
"""How far apart a length in a sentence, of two decimals, may be where rounding fell the other way."""

T = TypeVar("T")


def drawn_alike(stated: Drawing, drawn: Drawing) -> Iterator[Finding]:
    """Tell what of a drawing that a plan states is not what its design draws.

    Parameters
    ----------
    stated
        The plan's own drawing.
    drawn
        What is drawn of the design here. Lines, keep-outs and all else must be the same, in the same order;
        points may differ by `SAME_MM`, and lengths in what was noted by their last digit.

    Examples
    --------
    >>> list(drawn_alike(Drawing(()), Drawing(())))
    []
    >>> one, other = (Drawing((Line([(0, 0), (x, 0)]),)) for x in (9, 9.1))
    >>> [finding.message for finding in drawn_alike(one, other)]
    ["the lines in the plan are not the design's"]
    """
    for name, same in (
        ("lines", _each(_same_line, stated.lines, drawn.lines)),
        ("hidden seams", _each(_same_line, stated.hidden, drawn.hidden)),
        ("keep-outs", _each(_same_keep_out, stated.keep_outs, drawn.keep_outs)),
        ("finished edges", _same_shape(stated.outline, drawn.outline)),
        ("blocks", _each(_same_block, stated.blocks, drawn.blocks)),
        ("threads", stated.threads == drawn.threads),
        ("notes on the drawing", _each(_same_note, stated.notes, drawn.notes)),
    ):
        if not same:
            yield Finding("lines", f"the {name} in the plan are not the design's")
    if stated.name != drawn.name:
        yield Finding("design", f'the plan is of "{stated.name}", the design is "{drawn.name}"')


def _each(same: Callable[[T, T], bool], stated: Sequence[T], drawn: Sequence[T]) -> bool:
    return len(stated) == len(drawn) and all(map(same, stated, drawn))


def _same_line(one: Line, other: Line) -> bool:
    who = (one.role, one.thread, one.motif, one.block) == (other.role, other.thread, other.motif, other.block)
    return who and one.closed == other.closed and _near(one.points_mm, other.points_mm)


def _same_keep_out(one: KeepOut, other: KeepOut) -> bool:
    return (one.motif, one.block) == (other.motif, other.block) and _same_shape(one.polygon, other.polygon)


def _same_shape(one: Any, other: Any) -> bool:
    if one is None or other is None:
        return one is other
    return bool(shapely.equals_exact(one, other, tolerance=SAME_MM))


def _same_block(one: Block, other: Block) -> bool:
    where = all(getattr(one, key) == getattr(other, key) for key in ("name", "row", "column", "kind"))
    return where and _near(one.box_mm, other.box_mm)


def _same_note(one: Finding, other: Finding) -> bool:
    if one.kind != other.kind or (one.place_mm is None) != (other.place_mm is None):
        return False
    near = one.place_mm is None or other.place_mm is None or _near(one.place_mm, other.place_mm)
    return near and _same_words(one.message, other.message)


def _same_words(one: str, other: str) -> bool:
    """Tell whether two sentences are the same but for the last digit of a length.

    Examples
    --------
    >>> _same_words("a piece 3.17 mm long", "a piece 3.18 mm long"), _same_words("row 1", "row 2")
    (True, False)
    """
    said, also = _NUMBER.split(one), _NUMBER.split(other)
    return len(said) == len(also) and all(
        a == b if i % 2 == 0 else abs(float(a) - float(b)) <= _LAST_DIGIT
        for i, (a, b) in enumerate(zip(said, also, strict=True))
    )


def _near(one: Any, other: Any) -> bool:
    here, there = np.asarray(one, dtype=np.float64), np.asarray(other, dtype=np.float64)
    return here.shape == there.shape and bool((np.abs(here - there) <= SAME_MM).all())
