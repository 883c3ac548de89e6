"""Whether paths leave blocks as often as the plan says: counted again from stitching and seams."""

from collections import Counter
from collections.abc import Iterator

import numpy as np

from stitchpath.check.measuring.intervals import Points
from stitchpath.check.measuring.seam_faces import crossings_of, lay_seam_faces
from stitchpath.check.rules.evidence import Evidence
from stitchpath.errors import Finding
from stitchpath.lines import COVERED_MM, SEAM_ROLES
from stitchpath.plan import Move, Plan, StitchPath

__all__ = ["crossings_hold"]

_WITHIN_MM = (COVERED_MM, COVERED_MM / 2)
"""What lies as near to a seam, or half as near, may lie on it: both are counted, and neither is an error."""

_SHORT_MM = 3 * COVERED_MM
"""Where seams or lines meet no farther apart than this, places are not told apart here, as a plan does: there
it may state more. Each such step can hide a crossing at each of its ends."""


def crossings_hold(seen: Evidence, plan: Plan) -> Iterator[Finding]:
    """Paths leave blocks for those beside them as often as the jobs state, in each band.

    What is sewn in a stage of nothing but seams belongs to no block: what comes before and after it is
    counted by itself. What secures an end, or takes up a line
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
    most: Counter[int] = Counter()
    for path in seen.paths:
        for points in _runs(seen, path):
            found = [crossings_of(laid, points, within_mm=within) or 0 for within in _WITHIN_MM]
            steps = np.hypot(*np.diff(points, axis=0).T)
            counted[path.band] += min(found)
            most[path.band] += max(found) + 2 * int(((steps > 0) & (steps < _SHORT_MM)).sum())
    stated: Counter[int] = Counter()
    for job in plan.jobs:
        stated[job.band] += job.crossings
    for band in sorted(counted.keys() | stated.keys()):
        if not counted[band] <= stated[band] <= most[band]:
            said = f"band {band} is stated to leave blocks {stated[band]} times for those beside them"
            yield Finding("crossings", f"{said}; it does so {counted[band]} times")


def _runs(seen: Evidence, path: StitchPath) -> Iterator[Points]:
    """Yield the points of each run of a path that belongs to blocks."""
    whole = {s.name for s in seen.asked.schedule.stages if all(role in SEAM_ROLES for role in s.roles)}
    run: list[Points] = []
    for span in path.spans:
        if span.move not in (Move.SEW, Move.TRAVEL, Move.STEP):
            continue
        if span.stage not in whole:
            run.append(path.coordinates_mm[span.first : span.last + 1])
        elif run:
            yield np.concatenate(run)
            run = []
    if run:
        yield np.concatenate(run)
