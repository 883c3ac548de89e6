"""Papers that pages for people are laid out for, and rules to measure a print by."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from stitchpath.errors import DesignError
from stitchpath.formats.svg_text import Mark
from stitchpath.pictures import strokes
from stitchpath.units import MM_PER_INCH

__all__ = ["PAPERS", "ROUND_MM", "TEXT_MM", "Paper", "paper_of", "rules", "rules_mm"]

_TALL_MM = 9.0
"""How much of the page a rule takes with its words: chosen by eye in print."""

TEXT_MM = 3.2
"""How large words beside drawings on a page are: about 9 points, chosen by eye in print."""

ROUND_MM = 3.0
"""What is free around lines on a page, so that their thickness is not cut off: chosen by eye in print."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper and the margin that no printer needs more of, in millimetres."""

    name: str
    width_mm: float
    height_mm: float
    margin_mm: float = 10.0

    @property
    def room_mm(self) -> tuple[float, float]:
        """What lies between the margins: width and height."""
        return self.width_mm - 2 * self.margin_mm, self.height_mm - 2 * self.margin_mm


PAPERS: Mapping[str, Paper] = {
    paper.name: paper
    for paper in (Paper("A4", 210.0, 297.0), Paper("Letter", 8.5 * MM_PER_INCH, 11 * MM_PER_INCH))
}
"""A4: ISO 216. Letter: 8.5 in by 11 in."""


def paper_of(name: str) -> Paper:
    """Return a paper by its name.

    Raises
    ------
    DesignError
        If there is none of that name.

    Examples
    --------
    >>> paper_of("A4").height_mm
    297.0
    >>> paper_of("")
    Traceback (most recent call last):
    stitchpath.errors.DesignError: paper: '' is no paper; write A4 or Letter
    """
    if not isinstance(name, str) or name not in PAPERS:
        raise DesignError(f"{name!r} is no paper", f"write {' or '.join(PAPERS)}", key="paper")
    return PAPERS[name]


def rules_mm() -> float:
    """Return how high the two rules are.

    Examples
    --------
    >>> rules_mm()
    18.0
    """
    return 2 * _TALL_MM


def rules(x: float, y: float) -> Iterator[Mark]:
    """Yield a rule of 100 mm and one of 4 in below it, from `x` to the right, `y` their upper edge.

    Examples
    --------
    >>> [mark.text for mark in rules(0.0, 0.0) if mark.text]
    ['0', '100 mm', '0', '4 in']
    """
    yield from _rule(x, y, step_mm=10.0, steps=10, tall_each=5, words="100 mm")
    yield from _rule(x, y + _TALL_MM, step_mm=MM_PER_INCH / 2, steps=8, tall_each=2, words="4 in")


def _rule(x: float, y: float, *, step_mm: float, steps: int, tall_each: int, words: str) -> Iterator[Mark]:
    base = y + 3.0
    end = x + steps * step_mm
    yield strokes.solid([np.array([(x, base), (end, base)])], strokes.BLACK, 0.25)
    ticks = [
        np.array([(x + at * step_mm, base - (2.6 if at % tall_each == 0 else 1.6)), (x + at * step_mm, base)])
        for at in range(steps + 1)
    ]
    yield strokes.ticks_across(ticks)
    yield strokes.text(x, base + 3.6, "0", size_mm=3.0)
    yield strokes.text(end, base + 3.6, words, size_mm=3.0, text_anchor="end")
