"""Lines laid as rails and ways as stretches of stitching, for the tests of what the check measures."""

import numpy as np

from stitchpath.check.measuring.match import cut_cells, match
from stitchpath.check.measuring.rails import lay_rails
from stitchpath.check.measuring.segments import take_segments, take_stretches
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.plan import Move, Span, StitchPath
from stitchpath.settings import CostSettings, ScheduleSettings


def rails(*lines, hidden=(), **settings):
    """The rails of lines, which may be bare points, with default settings."""
    asked = tuple(line if isinstance(line, Line) else Line(line, Role.FILL) for line in lines)
    plain = {"cost": CostSettings(), "schedule": ScheduleSettings()}
    return lay_rails(Drawing(asked, tuple(hidden)), **(plain | settings))


def taken_apart(*ways, move=Move.SEW, stage="detail"):
    """The segments of ways of one move each; a way is its points, or a pair (move, points)."""
    pairs = [way if isinstance(way[0], Move) else (move, way) for way in ways]
    paths = [StitchPath(way, (Span(kind, 0, len(way) - 1, stage=stage),)) for kind, way in pairs]
    return take_segments(paths, stages=["baste", "seams", "detail"])


def stretches(*ways, **about):
    return take_stretches(taken_apart(*ways, **about))


def measured(laid, stretched):
    """The matches of stretches with rails, and the rails' cells."""
    matches = match(laid, stretched)
    return matches, cut_cells(laid, stretched, matches)


def ends(*segments):
    """The starts and the ends of some segments, (N, 2) each."""
    both = np.array(segments, dtype=float).reshape(-1, 2, 2)
    return both[:, 0], both[:, 1]
