"""What is asked for: the top, its layout, its kinds of block; and reading them from a file."""

from stitchpath.design.layout import Laid, Layout, lay_out
from stitchpath.design.model import Border, Change, Design, Kind, Sashing, ThreadKind, Top
from stitchpath.design.read import design_schema, read_design
from stitchpath.design.source import Source

__all__ = [
    "Border",
    "Change",
    "Design",
    "Kind",
    "Laid",
    "Layout",
    "Sashing",
    "Source",
    "ThreadKind",
    "Top",
    "design_schema",
    "lay_out",
    "read_design",
]
