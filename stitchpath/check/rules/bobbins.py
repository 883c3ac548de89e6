"""Prove that no bobbin runs out within a path, where bobbins are to end in seams.

By hand they do without being asked to, and then a path may outlast its bobbin if no seam comes on its way.

Bobbins are changed between paths, so one bobbin's thread must last from a path's start to its end. How much
thread that takes is counted segment by segment from the points alone, with the same model of the lockstitch
that the figures use.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from stitchpath.check.measuring.intervals import Floats
from stitchpath.check.measuring.rounding import STEP_MM
from stitchpath.check.rules.evidence import Evidence, finding, path_named
from stitchpath.errors import Finding
from stitchpath.figures.thread_use import lockstitch, usable_bobbin_mm
from stitchpath.lines import SEAM_ROLES, SECURE_STITCHES, Role
from stitchpath.plan import Move, StitchPath

__all__ = ["bobbins_reach"]


def bobbins_reach(seen: Evidence) -> Iterator[Finding]:
    """Each path takes no more thread than a bobbin has, where bobbins are to end in seams.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, MachineSettings, ScheduleSettings, Span, StitchPath
    >>> path = StitchPath([(0, 0), (9000, 0)], (Span(Move.SEW, 0, 1),))
    >>> schedule = ScheduleSettings(bobbins_end="in seams")
    >>> asked = Asked(Drawing(lines=()), machine=MachineSettings(bobbin_m=5), schedule=schedule)
    >>> [found.message for found in bobbins_reach(look_at([path], asked))]
    ["path 1 takes 15.5 m of the bobbin's thread; a bobbin has 4.5 m less waste, and runs out before it ends"]
    >>> list(bobbins_reach(look_at([], asked)))
    []
    """
    asked = seen.asked
    if asked.schedule.bobbins_for(asked.machine) != "in seams":
        return
    required = asked.schedule.bobbins_end is not None
    stitch = lockstitch(seen.asked.machine, seen.asked.batting)
    bobbin_mm = usable_bobbin_mm(seen.asked.machine)
    for_each_mm = 1 + stitch.bobbin_mm / np.where(_basting(seen), stitch.basting_mm, stitch.stitch_mm)
    taken = np.maximum(seen.segments.length - STEP_MM, 0.0) * for_each_mm
    first = np.searchsorted(seen.segments.path, np.arange(len(seen.paths) + 1))
    for number, path in enumerate(seen.paths):
        secured = [span for span in path.spans if span.move is Move.SECURE]
        ends = 2 * stitch.tail_mm + len(secured) * SECURE_STITCHES * stitch.bobbin_mm
        ends += sum(max(path.span_mm(s) - STEP_MM * (s.last - s.first), 0.0) for s in secured)
        segments = slice(first[number], first[number + 1])
        whole = ends + float(taken[segments].sum())
        if whole > bobbin_mm and (required or _meets_a_seam(path, seen)):
            said = f"{path_named(seen, number)} takes {whole / 1000:.1f} m of the bobbin's thread"
            yield finding(
                "bobbin",
                f"{said}; a bobbin has {bobbin_mm / 1000:.1f} m less waste, and runs out before it ends",
                _runs_out(seen, segments, taken[segments], bobbin_mm - ends / 2),
            )


def _meets_a_seam(path: StitchPath, seen: Evidence) -> bool:
    """Tell whether a path goes onto a seam or off one after it sewed something new, and sews more later.

    There lines meet in a seam, so it could have ended there. A path that names no line, as one read from a
    table, is not known to.
    """
    roles = dict(enumerate((line.role for line in seen.asked.drawing.lines), 1))
    sewn = [i for i, span in enumerate(path.spans) if span.move is Move.SEW]
    if not any(path.spans[i].line for i in sewn):
        return False
    seam = [span.line is None or roles.get(span.line) in SEAM_ROLES for span in path.spans]
    return any(seam[i] or seam[i + 1] for i in range(sewn[0], sewn[-1]))


def _basting(seen: Evidence) -> NDArray[np.bool_]:
    """Return which segments are basting: by the line named, else where nothing but basting is asked for."""
    roles = np.array([line.role is Role.BASTE for line in seen.rails.lines], dtype=bool)
    follows = seen.matches.follows
    stretch, line = seen.matches.stretch[follows], seen.matches.line[follows]
    met, other = np.zeros((2, len(seen.stretches.times)), dtype=bool)
    met[stretch[roles[line]]] = True
    other[stretch[~roles[line]]] = True
    named = seen.segments.line >= 0
    basting: NDArray[np.bool_] = (met & ~other)[seen.stretches.of]
    basting[named] = roles[np.minimum(seen.segments.line[named], len(roles) - 1)]
    return basting


def _runs_out(seen: Evidence, segments: slice, taken: Floats, thread_mm: float) -> Floats:
    """Return where on a path so much thread is used in segments."""
    used = np.cumsum(taken)
    at = int(np.minimum(np.searchsorted(used, thread_mm), len(used) - 1))
    place: Floats = seen.segments.end[segments][at]
    return place
