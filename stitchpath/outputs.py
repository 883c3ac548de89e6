"""A plan as files, one file a format.

`FORMATS` is the list: by what is added to the stem, the writer that makes a file of a plan. A new format is a
new file in here and a line in the list. `texts` makes all of them, for `stitchpath.files.write_files`.
"""

from collections.abc import Callable, Mapping

from stitchpath.directions.written import write_directions
from stitchpath.formats.band_files import band_texts
from stitchpath.formats.document import plan_document, write_json
from stitchpath.formats.lines_table import write_lines_csv
from stitchpath.formats.read_document import read_plan
from stitchpath.formats.read_svg import read_svg
from stitchpath.formats.read_table import read_csv
from stitchpath.formats.sewing_svg import sewing_svg, write_svg
from stitchpath.formats.stitch_table import stitch_table, write_csv
from stitchpath.pages.proof_sheet import write_proof_sheet
from stitchpath.pages.templates import write_templates
from stitchpath.pages.tiles import write_tiles
from stitchpath.pages.walkthrough import write_walkthrough
from stitchpath.pictures.picture import picture_svg, write_picture
from stitchpath.plan import Plan

__all__ = [
    "FORMATS", "band_texts", "read_csv", "read_plan", "read_svg", "texts", "write_csv", "write_directions",
    "write_json", "write_lines_csv", "write_picture", "write_proof_sheet", "write_svg", "write_templates",
    "write_tiles", "write_walkthrough",
]  # fmt: skip

FORMATS: Mapping[str, Callable[[Plan], str]] = {
    ".svg": sewing_svg,
    "-picture.svg": picture_svg,
    ".csv": stitch_table,
    ".json": plan_document,
}


def texts(plan: Plan, stem: str) -> dict[str, str]:
    """Return the content of every format by its file name, and of each band's files where there are bands.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> from stitchpath.lines import Line
    >>> from stitchpath.plan import Move, Span, StitchPath
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1, 1, "detail"),))
    >>> plan = Plan(Drawing((Line([(0, 0), (9, 0)]),)), (path,), (), 0.0)
    >>> sorted(texts(plan, "leaf"))
    ['leaf-picture.svg', 'leaf.csv', 'leaf.json', 'leaf.svg']
    """
    whole = {f"{stem}{ending}": write(plan) for ending, write in FORMATS.items()}
    return whole | band_texts(plan, stem)
