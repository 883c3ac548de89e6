"""How a picture shows an unquilted gap wider than the batting allows: a dashed circle, and how wide it is."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from stitchpath.figures import Gap, largest_gap
from stitchpath.formats.numbers import fixed
from stitchpath.formats.svg_text import Mark
from stitchpath.pictures import strokes
from stitchpath.pictures.sheet_layout import PictureSheet
from stitchpath.plan import Plan

__all__ = ["gap_circle", "gap_marks", "wide_gap"]


def wide_gap(plan: Plan) -> Gap | None:
    """Return a plan's largest unquilted gap if it is wider than its batting allows; otherwise None.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> wide_gap(Plan(Drawing(()), (), (), 0.0))
    """
    told = plan.batting.gap is not None and not plan.of_hand
    gap = largest_gap(plan.drawing, plan.batting) if told else None
    return gap if gap is not None and gap.too_wide else None


def gap_marks(wide: Gap, sheet: PictureSheet) -> Iterator[Mark]:
    """Yield the circle of a gap that is too wide, with how wide it is in its middle.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> from stitchpath.pictures.sheet_layout import sheet_for
    >>> sheet = sheet_for(Plan(Drawing(()), (), (), 0.0), legend_mm=0)
    >>> [mark.text for mark in gap_marks(Gap(50.0, 50.0, 60.0, 0.0, 100.0), sheet) if mark.text]
    ['120 mm']
    """
    middle = sheet.place(np.array([wide.x_mm, wide.y_mm]))
    yield from gap_circle(middle, wide.radius_mm * sheet.scale, sheet.number_mm)
    word = f"{wide.across_mm:,.0f} mm"
    _, frame, said = strokes.tag(middle, middle, word, strokes.BLACK, sheet.number_mm)
    yield from (frame, said)


def gap_circle(middle: NDArray[np.float64], radius_mm: float, size_mm: float) -> tuple[Mark, Mark]:
    """Return a dashed circle on a white one, to go with numbers of a size.

    Parameters
    ----------
    middle
        (2,) in printed millimetres.
    radius_mm
        In print.
    size_mm
        Of the numbers' type, which the strokes go with.

    Returns
    -------
    tuple of Mark
        The white one first.

    Examples
    --------
    >>> [mark.attributes["r"] for mark in gap_circle(np.array([5.0, 5.0]), 4.0, 3.0)]
    ['4.000', '4.000']
    """
    x, y = middle.tolist()
    place = {"cx": fixed(x), "cy": fixed(y), "r": fixed(radius_mm), "fill": "none"}
    dashes = f"{fixed(0.9 * size_mm)} {fixed(0.45 * size_mm)}"
    return (
        Mark("circle", {**place, "stroke": "#ffffff", "stroke-width": fixed(0.26 * size_mm)}),
        Mark(
            "circle",
            {
                **place,
                "stroke": strokes.BLACK,
                "stroke-width": fixed(0.12 * size_mm),
                "stroke-dasharray": dashes,
            },
        ),
    )
