"""Two plans of one drawing, wishes and a plan made elsewhere, for the tests of what stands side by side."""

import numpy as np
from figure_plans import SEW, TRAVEL, path, plan_of
from shapely import box

from stitchpath.check.foreign import measure_foreign
from stitchpath.compare.side_by_side import side_by_side
from stitchpath.compare.whatif import WhatIf, Wished
from stitchpath.compare.wishes import WISHES
from stitchpath.drawing import Drawing
from stitchpath.lines import KeepOut, Line, Role

EVIL = '<script>alert("x")</script> & pears'


DRAWING = Drawing(
    (Line([(0, 0), (100, 0)], Role.DITCH), Line([(50, 0), (50, 60)], Role.FILL)),
    keep_outs=(KeepOut(box(10, 10, 20, 20)),),
    outline=box(0, 0, 100, 60),
    name=EVIL,
)


TWO = plan_of(
    DRAWING, path([(0, 0), (100, 0)], (SEW, 0, 1, 1)), path([(50, 0), (50, 60)], (SEW, 0, 1, 2)), cost=9.0
)


ONE = plan_of(
    DRAWING,
    path([(0, 0), (100, 0), (50, 0), (50, 60)], (SEW, 0, 1, 1), (TRAVEL, 1, 2, 1), (SEW, 2, 3, 2)),
    cost=10.0,
    bound=10.0,
)


def wished():
    return side_by_side(
        WhatIf(TWO, (Wished(WISHES[0], ONE), Wished(WISHES[1], None, EVIL), Wished(WISHES[2], TWO)))
    )


def with_foreign(told):
    paths = (np.array([(0, 0), (100.0, 0)]), np.array([(80.0, 20), (90, 20)]))
    return told.with_foreign(measure_foreign(paths, DRAWING))
