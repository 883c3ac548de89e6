"""What a plan comes to: counts, ends, travel, cost and its parts, time, thread and evenness.

All of it is computed from the plan's paths; there is a module for each subject, and `whole` puts them
together.
"""

from stitchpath.figures.ends import EndPlace, EndsAt, ends_by_place, path_ends_mm, shows_at_ends
from stitchpath.figures.evenness import Density, Evenness, Uneven, evenness_of
from stitchpath.figures.gap import Gap, largest_gap
from stitchpath.figures.motion import step_seconds
from stitchpath.figures.outline_order import order_exceptions
from stitchpath.figures.thread import BobbinEnd, Spool, ThreadUse, ThreadUsed, spool_rows, thread_use_of
from stitchpath.figures.times import Times, lifting_s, seconds_along, times_of
from stitchpath.figures.visits import BlockVisits, Visits, visits_of
from stitchpath.figures.wander import Wander, wander_of
from stitchpath.figures.whole import Figures, gap_less_forced, plan_figures

__all__ = [
    "BlockVisits",
    "BobbinEnd",
    "Density",
    "EndPlace",
    "EndsAt",
    "Evenness",
    "Figures",
    "Gap",
    "Spool",
    "ThreadUse",
    "ThreadUsed",
    "Times",
    "Uneven",
    "Visits",
    "Wander",
    "ends_by_place",
    "evenness_of",
    "gap_less_forced",
    "largest_gap",
    "lifting_s",
    "order_exceptions",
    "path_ends_mm",
    "plan_figures",
    "seconds_along",
    "shows_at_ends",
    "spool_rows",
    "step_seconds",
    "thread_use_of",
    "times_of",
    "visits_of",
    "wander_of",
]
