"""Small tops and paths laid by hand, for the tests of bands, groups, threads and what is left to the hand."""

from collections.abc import Sequence

from stitchpath.lines import Block, Line, Role
from stitchpath.plan import Move, Span, StitchPath

SEW, TRAVEL, RESUME = Move.SEW, Move.TRAVEL, Move.RESUME


def laid(points, moves=SEW, *, stage="detail", band=1, thread=""):
    """A path with one move and stage for all its steps, or one for each."""
    count = len(points) - 1
    each = [moves] * count if isinstance(moves, Move) else moves
    stages = [stage] * count if isinstance(stage, str) else stage
    spans = tuple(Span(m, i, i + 1, stage=s) for i, (m, s) in enumerate(zip(each, stages, strict=True)))
    return StitchPath(points, spans, thread, band)


def block(row, column, *, size=100.0):
    x, y = (column - 1) * size, (row - 1) * size
    return Block(f"row {row}, column {column}", (x, y, x + size, y + size), row, column)


def fill(one, *, at=0.5, thread="", motif="fill", role=Role.FILL):
    """A line across a block, from side to side."""
    x0, y0, x1, y1 = one.box_mm
    y = y0 + at * (y1 - y0)
    return Line([(x0, y), (x1, y)], role, thread, motif, one.name)


def along(line, **about):
    """The path that sews a line from its first point to its last."""
    return laid(line.points_mm, **about)


def kinds(findings):
    return {finding.kind for finding in findings}


def messages(findings) -> Sequence[str]:
    return [finding.message for finding in findings]
