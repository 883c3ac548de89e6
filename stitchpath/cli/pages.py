"""The pages for people that are written if asked for; an option and a file's name call each by its name."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Callable, Mapping
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stitchpath.design import Design
    from stitchpath.plan import Plan
    from stitchpath.units import Unit

__all__ = ["page_names", "pages"]

_ENDINGS = {
    "proof": ".html",
    "tiles": ".html",
    "templates": ".html",
    "walkthrough": ".html",
    "directions": ".txt",
}


def page_names(arguments: Namespace, stem: str) -> list[str]:
    """Return the names of the files that were asked for."""
    return [f"{stem}-{page}{ending}" for page, ending in _ENDINGS.items() if getattr(arguments, page)]


def pages(made: Plan, design: Design, arguments: Namespace, stem: str) -> dict[str, str]:
    """Return the pages that were asked for by their file's name; a proof sheet tells what a check finds."""
    from stitchpath.check import check_plan
    from stitchpath.directions.teller import steps_of
    from stitchpath.directions.written import directions_text
    from stitchpath.drawing import draw
    from stitchpath.pages.proof_sheet import proof_sheet_html
    from stitchpath.pages.templates import FOOT_RADIUS_MM, templates_html
    from stitchpath.pages.tiles import tiles_html
    from stitchpath.pages.walkthrough import walkthrough_html

    paper = arguments.paper
    shown: Unit = arguments.unit or design.unit
    steps = cache(lambda: steps_of(made, unit=shown))
    makers: Mapping[str, Callable[[], str]] = {
        "proof": lambda: proof_sheet_html(
            made,
            paper=paper,
            unit=shown,
            findings=check_plan(made, draw(design)),
            directions=arguments.directions,
            steps=steps() if arguments.directions else None,
        ),
        "tiles": lambda: tiles_html(made, paper=paper),
        "templates": lambda: templates_html(
            made, paper=paper, foot_radius_mm=arguments.foot_radius or FOOT_RADIUS_MM
        ),
        "walkthrough": lambda: walkthrough_html(made, unit=shown, steps=steps()),
        "directions": lambda: directions_text(made, unit=shown, steps=steps()),
    }
    asked = [page for page in makers if getattr(arguments, page)]
    return {f"{stem}-{page}{_ENDINGS[page]}": makers[page]() for page in asked}
