"""Plans laid by hand for the tests of figures."""

from stitchpath.plan import Move, Plan, RoutedJob, Span, StitchPath

SEW, TRAVEL, STEP, SECURE, RESUME = Move.SEW, Move.TRAVEL, Move.STEP, Move.SECURE, Move.RESUME


def path(points, *spans, **about):
    """A path from (move, first, last, line) tuples, all in one stage."""
    return StitchPath(points, tuple(Span(*span, stage="all") for span in spans), **about)


def plan_of(drawing, *paths, cost=0.0, bound=0.0, forced=0.0, **settings):
    job = RoutedJob(1, "all", cost, bound, forced, len(paths), False, 0.001)
    return Plan(drawing, paths, (job,), bound, **settings)
