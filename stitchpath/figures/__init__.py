"""What a plan comes to: paths, ends, travel, lifts, cost in its parts, time; counted from its paths."""

from stitchpath.figures.ends import EndPlace, EndsAt, ends_by_place, path_ends_mm, shows_at_ends
from stitchpath.figures.times import Times, times_of
from stitchpath.figures.wander import Wander, wander_of
from stitchpath.figures.whole import Figures, gap_less_forced, plan_figures

__all__ = [
    "EndPlace",
    "EndsAt",
    "Figures",
    "Times",
    "Wander",
    "ends_by_place",
    "gap_less_forced",
    "path_ends_mm",
    "plan_figures",
    "shows_at_ends",
    "times_of",
    "wander_of",
]
