"""Quilting designs in, few continuous stitch paths in the cheapest order out.

What a name needs is loaded when the name is first used, so that importing this costs next to nothing. Even
with every name used, scipy, PyMatching, highspy, svgwrite, rich and argcomplete come only when they are
needed for some work; ``tests/test_package.py`` holds this.

>>> import stitchpath
>>> from shapely import LineString
>>> drawing = stitchpath.Drawing.from_lines([LineString([(0, 0), (100, 0)])])
>>> len(stitchpath.make_plan(drawing).paths)
1
"""

TYPE_CHECKING = (
    False  # type checkers take it for true; to import it from typing takes longer than all else here
)

if TYPE_CHECKING:
    from stitchpath.check import check_plan
    from stitchpath.check.foreign import measure_foreign
    from stitchpath.compare import Wish, compare_plans, what_if, wish_named, wish_table
    from stitchpath.design import Design, read_design
    from stitchpath.directions.written import write_directions
    from stitchpath.drawing import Drawing, draw
    from stitchpath.errors import (
        DesignError,
        FileError,
        Finding,
        InternalError,
        LimitError,
        StitchpathError,
    )
    from stitchpath.figures import plan_figures
    from stitchpath.formats.document import write_json
    from stitchpath.formats.plain_coordinates import read_coordinates
    from stitchpath.formats.read_document import read_plan
    from stitchpath.formats.read_table import read_csv
    from stitchpath.formats.sewing_svg import write_svg
    from stitchpath.formats.stitch_table import write_csv
    from stitchpath.lines import KeepOut, Line, Role, Thread
    from stitchpath.pages.comparison import write_comparison
    from stitchpath.pages.plan_sheet import write_plan_sheet
    from stitchpath.pages.templates import write_templates
    from stitchpath.pages.tiles import write_tiles
    from stitchpath.pages.walkthrough import write_walkthrough
    from stitchpath.pictures.picture import write_picture
    from stitchpath.pictures.thread_picture import write_thread_picture
    from stitchpath.plan import Move, Plan, Span, StitchPath
    from stitchpath.planner import make_plan
    from stitchpath.settings import BattingSettings, CostSettings, MachineSettings, ScheduleSettings, Stage

__all__ = [
    "BattingSettings",
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
    "Wish",
    "check_plan",
    "compare_plans",
    "draw",
    "make_plan",
    "measure_foreign",
    "plan_figures",
    "read_coordinates",
    "read_csv",
    "read_design",
    "read_plan",
    "what_if",
    "wish_named",
    "wish_table",
    "write_comparison",
    "write_csv",
    "write_directions",
    "write_json",
    "write_picture",
    "write_plan_sheet",
    "write_svg",
    "write_templates",
    "write_thread_picture",
    "write_tiles",
    "write_walkthrough",
]

_NAMES = {
    "check": ("check_plan",),
    "check.foreign": ("measure_foreign",),
    "compare": ("Wish", "compare_plans", "what_if", "wish_named", "wish_table"),
    "design": ("Design", "read_design"),
    "drawing": ("Drawing", "draw"),
    "errors": ("DesignError", "FileError", "Finding", "InternalError", "LimitError", "StitchpathError"),
    "formats.plain_coordinates": ("read_coordinates",),
    "figures": ("plan_figures",),
    "lines": ("KeepOut", "Line", "Role", "Thread"),
    "plan": ("Move", "Plan", "Span", "StitchPath"),
    "planner": ("make_plan",),
    "settings": ("BattingSettings", "CostSettings", "MachineSettings", "ScheduleSettings", "Stage"),
}
"""Where a name is at home, but for those that write and read a plan: they follow from `OUTPUTS`."""


def _homes() -> dict[str, str]:
    from stitchpath.outputs import OUTPUTS

    own = {name: home for home, names in _NAMES.items() for name in names}
    written = {output.writer: output.home for output in OUTPUTS if output.writer}
    return own | written | {output.reader: output.reader_home for output in OUTPUTS if output.reader}


if not TYPE_CHECKING:  # a type checker would take every misspelt name for one that is there

    def __getattr__(name: str) -> object:
        if name not in __all__:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        from importlib import import_module

        return getattr(import_module(f"{__name__}.{_homes()[name]}"), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
