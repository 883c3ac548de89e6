"""Whether paths leave blocks as often as the plan says: counted again from stitching and seams."""

from collections import Counter
from collections.abc import Iterator

import numpy as np

from stitchpath.check.measuring.intervals import Points
from stitchpath.check.measuring.seam_faces import SeamFaces, crossings_of, lay_seam_faces, on_seams
from stitchpath.check.rules.evidence import Evidence
from stitchpath.errors import Finding
from stitchpath.lines import SEAM_ROLES
from stitchpath.plan import Move, Plan, Span, StitchPath

__all__ = ["crossings_hold"]


def crossings_hold(seen: Evidence, plan: Plan) -> Iterator[Finding]:
    """Paths leave blocks for those beside them as often as the jobs state, in each band.

    A seam that is sewn for the first time belongs to no block, nor does anything in a stage of nothing but
    seams: what comes before and after it is counted by itself. What secures an end, or takes up a line
    again, is no part of the route.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing
    >>> seen = look_at([], Asked(Drawing(lines=())))
    >>> list(crossings_hold(seen, Plan(seen.asked.drawing, (), (), 0.0)))
    []
    """
    if not seen.asked.cost.leaving_block_s and not any(job.crossings for job in plan.jobs):
        return
    laid = lay_seam_faces(seen.rails)
    counted: Counter[int] = Counter()
    for path in seen.paths:
        for points in _runs(seen, laid, path):
            counted[path.band] += crossings_of(laid, points) or 0
    stated: Counter[int] = Counter()
    for job in plan.jobs:
        stated[job.band] += job.crossings
    for band in sorted(counted.keys() | stated.keys()):
        if counted[band] != stated[band]:
            said = f"band {band} is stated to leave blocks {stated[band]} times for those beside them"
            yield Finding("crossings", f"{said}; it does so {counted[band]} times")


def _runs(seen: Evidence, laid: SeamFaces, path: StitchPath) -> Iterator[Points]:
    """Yield the points of each run of a path that belongs to blocks."""
    whole = {s.name for s in seen.asked.schedule.stages if all(role in SEAM_ROLES for role in s.roles)}
    run: list[Points] = []
    for span in path.spans:
        if span.move not in (Move.SEW, Move.TRAVEL, Move.STEP):
            continue
        points = path.coordinates_mm[span.first : span.last + 1]
        if span.stage in whole or (span.move is Move.SEW and _of_seam(seen, span)):
            free = np.ones(len(points) - 1, dtype=bool)
        elif span.move is Move.SEW:
            free = on_seams(laid, points)
        else:
            free = np.zeros(len(points) - 1, dtype=bool)
        for at, passed in enumerate(free.tolist()):
            if not passed:
                run.append(points[at : at + 2])
            elif run:
                yield np.concatenate(run)
                run = []
    if run:
        yield np.concatenate(run)


def _of_seam(seen: Evidence, span: Span) -> bool:
    lines = seen.asked.drawing.lines
    return span.line is not None and 0 < span.line <= len(lines) and lines[span.line - 1].role in SEAM_ROLES
