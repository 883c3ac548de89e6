"""A plan made by hand, whose cost is added up by hand."""

from stitchpath.check import check_plan
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.plan import Move, Plan, RoutedJob, Span, StitchPath

SEAM = Line([(0, 0), (100, 0), (100, 100), (0, 100), (0, 0)], Role.DITCH, motif="ditch")
FILL = Line([(0, 50), (100, 50)], Role.FILL, motif="fill")
LOOSE = Line([(20, 20), (80, 20)], Role.OUTLINE, motif="leaf")
HIDDEN = Line([(100, 0), (160, 0)], Role.HIDDEN)
DRAWING = Drawing(lines=(SEAM, FILL, LOOSE), hidden=(HIDDEN,))

SEAMS = StitchPath(SEAM.points_mm, (Span(Move.SEW, 0, 4, 1, "seams"),))
FILLS = StitchPath(
    [(0, 50), (100, 50), (90, 50)],
    (Span(Move.SEW, 0, 1, 2, "detail"), Span(Move.TRAVEL, 1, 2, 2, "detail")),
)
LEAF = StitchPath(LOOSE.points_mm, (Span(Move.SEW, 0, 1, 3, "detail"),))

# A frame that does not cut its thread: 30 s an end. Ends: two on a seam (1), one on a seam and one on a
# fill (4), two on an outline (2). Travel: 10 mm of fill (20) at 50 mm/s.
SEAMS_COST = 30 * (1 + 1)
DETAIL_COST = 30 * (1 + 4) + 10 / 50 * 20 + 30 * (2 + 2)


def job(stage, cost, paths, **others):
    return RoutedJob(**{"band": 1, "stage": stage, "cost": cost, "bound": cost - 1.0, "forced": 0.0,
                        "paths": paths, "run_on": False, "unit_s": 0.001} | others)  # fmt: skip


PLAN = Plan(
    Drawing(lines=()),
    (SEAMS, FILLS, LEAF),
    (job("seams", SEAMS_COST, 1), job("detail", DETAIL_COST, 2)),
    bound=200.0,
)


def kinds(plan, drawing=DRAWING):
    return {finding.kind for finding in check_plan(plan, drawing)}
