"""Plans side by side, what a wish costs, and the same lines sewn without a plan.

`ways` has the figures that every way to sew has, `plans` puts plans side by side. `wishes` is the table of
wishes, `whatif` plans a design under each of them, and `prices` says what each one costs. `told` puts all of
it into words.
"""

from stitchpath.compare.plans import Comparison, Row, compare_plans
from stitchpath.compare.prices import Price, changed_paths, wish_table
from stitchpath.compare.ways import Way, nearest_end_next, one_by_one, way_of
from stitchpath.compare.whatif import Standing, WhatIf, Wished, what_if
from stitchpath.compare.wishes import WISHES, Wish, wish_named

__all__ = [
    "WISHES", "Comparison", "Price", "Row", "Standing", "Way", "WhatIf", "Wish", "Wished", "changed_paths",
    "compare_plans", "nearest_end_next", "one_by_one", "way_of", "what_if", "wish_named", "wish_table",
]  # fmt: skip
