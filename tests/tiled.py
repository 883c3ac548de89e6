"""One line sewn, and a plan cut into sheets at true scale."""

from stitchpath.drawing import Drawing
from stitchpath.pages.paper import paper_of
from stitchpath.pages.true_scale_sheets import sheets_of
from stitchpath.pictures.ink import ink_of
from stitchpath.plan import Move, Plan, Span, StitchPath


def sewn(*corners):
    span = Span(Move.SEW, 0, len(corners) - 1, 1, "detail")
    return Plan(Drawing((), name="One line"), (StitchPath(corners, (span,)),), (), 0.0)


def sheets(plan, paper="A4"):
    ink = ink_of(plan, 1.0)
    return sheets_of(ink.bounds_of(range(len(plan))), paper_of(paper), sewn_in=ink.sewn_in)
