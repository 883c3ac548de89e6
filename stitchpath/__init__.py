"""Quilting designs in, few continuous stitch paths in the cheapest order out.

>>> import stitchpath
>>> from shapely import LineString
>>> drawing = stitchpath.Drawing.from_lines([LineString([(0, 0), (100, 0)])])
>>> len(stitchpath.make_plan(drawing).paths)
1
"""

from stitchpath.check import check_plan
from stitchpath.compare import compare_plans
from stitchpath.design import Design, read_design
from stitchpath.drawing import Drawing, draw
from stitchpath.errors import (
    DesignError,
    FileError,
    Finding,
    InternalError,
    LimitError,
    StitchpathError,
)
from stitchpath.export import read_csv, read_plan, write_csv, write_json, write_picture, write_svg
from stitchpath.figures import plan_figures
from stitchpath.lines import KeepOut, Line, Role, Thread
from stitchpath.plan import Move, Plan, Span, StitchPath
from stitchpath.planner import make_plan
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings, Stage

__all__ = [
    "CostSettings",
    "Design",
    "DesignError",
    "Drawing",
    "FileError",
    "Finding",
    "InternalError",
    "KeepOut",
    "LimitError",
    "Line",
    "MachineSettings",
    "Move",
    "Plan",
    "Role",
    "ScheduleSettings",
    "Span",
    "Stage",
    "StitchPath",
    "StitchpathError",
    "Thread",
    "check_plan",
    "compare_plans",
    "draw",
    "make_plan",
    "plan_figures",
    "read_csv",
    "read_design",
    "read_plan",
    "write_csv",
    "write_json",
    "write_picture",
    "write_svg",
]
