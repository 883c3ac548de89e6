"""What a plan can be written as: one list of outputs, with an entry for each.

The command line's options, the names in a manifest, what the check looks for beside a plan, the public
``write_*`` and ``read_*`` functions and README's table all follow `OUTPUTS`. A new output is a module with a
function that returns its text, and an entry here. Writers are imported when they are called, so that looking
at the list costs nothing.

If a plan has two windows or more, each band in which something is sewn has files of its own, for a machine
that reaches only a part of the top: ``STEM-band-1.svg`` and ``STEM-band-1.csv``, and the tables for a
machine, if asked for. They number bands and paths as the whole plan does. They lie as the top does on the
machine, and are measured from the band's own origin (`stitchpath.figures.band_frames`), which
``STEM-bands.csv`` tells, with the junctions to align on after advancing. Unit, stitch lengths and y up apply
to them as well, the origin option does not.

What a frame leaves to the hand has files of its own, as another plan would: its picture and table, and the
pages for people that are asked for, as ``STEM-by-hand-picture.svg`` and so on. The frame's files hold only
what the frame sews; the document holds both.

Before a file is sewn: keep hands and clamps clear of the head, make a first run with the needle up, and
follow the machine's own manual first.
"""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from stitchpath.errors import Finding
    from stitchpath.plan import Plan

__all__ = ["OUTPUTS", "HowToWrite", "Output", "ending_pattern", "file_names", "file_texts", "wanted"]


@dataclass(frozen=True, slots=True, kw_only=True)
class HowToWrite:
    """How a plan's files are to be written.

    Attributes
    ----------
    also
        The names of the outputs that are wanted beside those that are always written.
    table_unit
        ``"mm"`` or ``"in"``: of tables.
    page_unit
        ``"mm"``, ``"cm"`` or ``"in"``: of lengths on pages for people.
    y_up, origin
        Of sewing SVGs: see `stitchpath.write_svg`.
    stitch_length_mm, basting_length_mm
        The longest stitches in tables with a point for each. No stitch length: thin tables hold the plan's
        own points; no length for basting: the usual one.
    paper
        ``"A4"`` or ``"Letter"``.
    foot_radius_mm
        From the needle to the edge of a ruler foot; None: the usual one.
    findings
        What a check of the plan found, for the plan sheet; None: it was not checked.
    """

    also: frozenset[str] = frozenset()
    table_unit: Literal["mm", "in"] = "mm"
    page_unit: Literal["mm", "cm", "in"] = "mm"
    y_up: bool = False
    origin: Literal["finished corner", "sewn corner", "middle"] = "finished corner"
    stitch_length_mm: float | None = None
    basting_length_mm: float | None = None
    paper: str = "A4"
    foot_radius_mm: float | None = None
    findings: "Sequence[Finding] | None" = None


_Text = Callable[..., str]
"""Makes the text of a plan as it is to be written; of one band of it, if given ``band``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Output:
    """One thing that a plan can be written as.

    Attributes
    ----------
    name
        What it is called.
    ending
        What its file's name adds to the stem.
    audience, holds
        Whom it is for, and what is in it.
    text
        Makes its text; None: of more than one plan, so another verb makes it.
    home, writer, reader
        The modules and public functions that write and read a file of it; empty: there is none.
    option
        The option that asks for it; empty: it is always written.
    takes_value
        Whether the option takes a value; the verb explains it then.
    of_bands
        ``"no"``, ``"also"`` (each band has one of its own, too) or ``"only"`` (written only where there are
        bands).
    of_hand
        Whether what is left to the hand has one of its own, too.
    """

    name: str
    ending: str
    audience: str
    holds: str
    text: _Text | None
    home: str = ""
    writer: str = ""
    reader: str = ""
    reader_home: str = ""
    option: str = ""
    takes_value: bool = False
    of_bands: Literal["no", "also", "only"] = "no"
    of_hand: bool = False


def _given(lengths_mm: Mapping[str, float | None]) -> dict[str, Any]:
    """Return the lengths that are not left to the writer."""
    return {name: length for name, length in lengths_mm.items() if length is not None}


def _sewing(plan: "Plan", how: HowToWrite, band: int | None = None) -> str:
    from stitchpath.formats.sewing_svg import sewing_svg

    if band is None:
        return sewing_svg(plan, y_up=how.y_up, origin=how.origin)
    return sewing_svg(plan, y_up=how.y_up, band=band)


def _table(plan: "Plan", how: HowToWrite, band: int | None = None, **laid: Any) -> str:
    from stitchpath.formats.stitch_table import stitch_table

    return stitch_table(plan, unit=how.table_unit, band=band, **laid)


def _laid_table(plan: "Plan", how: HowToWrite, band: int | None = None, *, thin: bool) -> str:
    laid = {"stitch_length_mm": how.stitch_length_mm, "basting_length_mm": how.basting_length_mm}
    return _table(plan, how, band, thin=thin, **_given(laid))


def _picture(plan: "Plan", _how: HowToWrite) -> str:
    from stitchpath.pictures.picture import picture_svg

    return picture_svg(plan)


def _threads(plan: "Plan", _how: HowToWrite) -> str:
    from stitchpath.pictures.thread_picture import thread_picture_svg

    return thread_picture_svg(plan)


def _document(plan: "Plan", _how: HowToWrite) -> str:
    from stitchpath.formats.document import plan_document

    return plan_document(plan)


def _bands(plan: "Plan", how: HowToWrite) -> str:
    from stitchpath.formats.bands_table import bands_table

    return bands_table(plan, unit=how.table_unit)


def _plan_sheet(plan: "Plan", how: HowToWrite) -> str:
    from stitchpath.pages.plan_sheet import plan_sheet_html

    return plan_sheet_html(plan, paper=how.paper, unit=how.page_unit, findings=how.findings)


def _tiles(plan: "Plan", how: HowToWrite) -> str:
    from stitchpath.pages.tiles import tiles_html

    return tiles_html(plan, paper=how.paper)


def _templates(plan: "Plan", how: HowToWrite) -> str:
    from stitchpath.pages.templates import templates_html

    return templates_html(plan, paper=how.paper, **_given({"foot_radius_mm": how.foot_radius_mm}))


def _walkthrough(plan: "Plan", how: HowToWrite) -> str:
    from stitchpath.pages.walkthrough import walkthrough_html

    return walkthrough_html(plan, unit=how.page_unit)


def _directions(plan: "Plan", how: HowToWrite) -> str:
    from stitchpath.directions.written import directions_text

    return directions_text(plan, unit=how.page_unit)


OUTPUTS: tuple[Output, ...] = (
    Output(
        name="sewing", ending=".svg", audience="the machine", text=_sewing, of_bands="also",
        holds="only paths, in order, one unbroken `<path>` each, millimetres at true size",
        home="formats.sewing_svg", writer="write_svg",
    ),
    Output(
        name="picture", ending="-picture.svg", audience="people", text=_picture, of_hand=True,
        holds="numbered starts, direction, travel told from sewing, keep-outs, figures",
        home="pictures.picture", writer="write_picture",
    ),
    Output(
        name="table", ending=".csv", audience="any program", text=_table, of_bands="also",
        of_hand=True,
        holds="`band,stage,path,move,x_mm,y_mm`, one row a point, in sewing order",
        home="formats.stitch_table", writer="write_csv", reader="read_csv", reader_home="formats.read_table",
    ),
    Output(
        name="document", ending=".json", audience="stitchpath", text=_document,
        holds="the whole plan, to be read back with `stitchpath.read_plan`",
        home="formats.document", writer="write_json", reader="read_plan", reader_home="formats.read_document",
    ),
    Output(
        name="thin", ending="-thin.csv", audience="the machine", option="--thin", of_bands="also",
        text=partial(_laid_table, thin=True),
        holds="x and y only, a blank line between paths",
        home="formats.stitch_table", writer="write_csv",
    ),
    Output(
        name="stitches", ending="-stitches.csv", audience="the machine", option="--stitch-length",
        takes_value=True,
        of_bands="also", text=partial(_laid_table, thin=False),
        holds="a point for each stitch",
        home="formats.stitch_table", writer="write_csv",
    ),
    Output(
        name="bands", ending="-bands.csv", audience="people", text=_bands, of_bands="only",
        holds="where each band's origin is, and on which sewn junctions to align it after advancing",
    ),
    Output(
        name="threads", ending="-threads.svg", audience="people", text=_threads, option="--threads",
        holds="each line in the colour and dashes of its thread, and what each thread takes",
        home="pictures.thread_picture", writer="write_thread_picture",
    ),
    Output(
        name="plan sheet", ending="-plan-sheet.html", audience="people", text=_plan_sheet,
        option="--plan-sheet",
        holds="a job card to sew by, the numbered top, each band or row, what the check found",
        home="pages.plan_sheet", writer="write_plan_sheet",
    ),
    Output(
        name="tiles", ending="-tiles.html", audience="paper", text=_tiles, of_hand=True, option="--tiles",
        holds="the plan at true scale, sheet by sheet, with rules to measure on every page",
        home="pages.tiles", writer="write_tiles",
    ),
    Output(
        name="templates", ending="-templates.html", audience="paper", text=_templates, option="--templates",
        holds="each oval moved by the foot's radius, at true scale, and marks for the ruler",
        home="pages.templates", writer="write_templates",
    ),
    Output(
        name="walkthrough", ending="-walkthrough.html", audience="people", text=_walkthrough, of_hand=True,
        option="--walkthrough",
        holds="every step in words and drawn, to walk through in a browser, offline",
        home="pages.walkthrough", writer="write_walkthrough",
    ),
    Output(
        name="directions", ending="-directions.txt", audience="people", text=_directions, of_hand=True,
        option="--directions",
        holds="numbered steps in words, for guiding by hand; where all is sewn by hand, always",
        home="directions.written", writer="write_directions",
    ),
    Output(
        name="comparison", ending="-comparison.html", audience="people", text=None, option="--html",
        holds="plans side by side, with small pictures",
        home="pages.comparison", writer="write_comparison",
    ),
)  # fmt: skip
"""In the order in which they are written."""

_BY_HAND = "-by-hand"
"""What the names of files that tell what is left to the hand add to the stem."""


def wanted(how: Collection[str]) -> Iterator[Output]:
    """Yield the outputs of a plan that are always written, and those named.

    Examples
    --------
    >>> [output.name for output in wanted(())]
    ['sewing', 'picture', 'table', 'document', 'bands']
    >>> [output.name for output in wanted({"tiles"})][-2:]
    ['bands', 'tiles']
    """
    return (output for output in OUTPUTS if output.text and (not output.option or output.name in how))


def _places(
    outputs: Iterable[Output], bands: Sequence[int], *, by_hand: bool
) -> Iterator[tuple[str, Output, int | None, bool]]:
    """Yield for each file what is added to the stem, its output, its band, and whether it is of the hand."""
    outputs = list(outputs)
    yield from ((each.ending, each, None, False) for each in outputs if bands or each.of_bands != "only")
    for band in bands:
        own = (each for each in outputs if each.of_bands == "also")
        yield from ((f"-band-{band}{each.ending}", each, band, False) for each in own)
    if by_hand:
        yield from ((f"{_BY_HAND}{each.ending}", each, None, True) for each in outputs if each.of_hand)


def file_names(
    stem: str, also: Collection[str] = (), *, bands: Sequence[int] = (), by_hand: bool = False
) -> list[str]:
    """Return the names of a plan's files but its manifest's.

    Parameters
    ----------
    stem
        What they begin with.
    also
        The names of outputs that are wanted beside those always written.
    bands
        The bands in which something is sewn, if there are two windows or more; otherwise empty.
    by_hand
        Whether something is left to the hand.

    Examples
    --------
    >>> file_names("leaf")
    ['leaf.svg', 'leaf-picture.svg', 'leaf.csv', 'leaf.json']
    >>> file_names("leaf", {"thin"}, bands=[1])[4:]
    ['leaf-thin.csv', 'leaf-bands.csv', 'leaf-band-1.svg', 'leaf-band-1.csv', 'leaf-band-1-thin.csv']
    >>> file_names("leaf", by_hand=True)[4:]
    ['leaf-by-hand-picture.svg', 'leaf-by-hand.csv']
    """
    return [f"{stem}{added}" for added, *_ in _places(wanted(also), bands, by_hand=by_hand)]


def file_texts(plan: "Plan", stem: str, how: HowToWrite | None = None) -> dict[str, str]:
    """Return the content of a plan's files by name, but the manifest's: for `stitchpath.files.write_files`.

    Parameters
    ----------
    plan
        The plan. One with a single window has no files of bands.
    stem
        What the names begin with.
    how
        What is wanted, and how; None: what is always written, in millimetres.

    Raises
    ------
    DesignError
        If a path cannot be written, or is of a band without a window.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> from stitchpath.lines import Line
    >>> from stitchpath.plan import Move, Plan, Span, StitchPath
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1, 1, "detail"),))
    >>> plan = Plan(Drawing((Line([(0, 0), (9, 0)]),)), (path,), (), 0.0)
    >>> sorted(file_texts(plan, "leaf"))
    ['leaf-picture.svg', 'leaf.csv', 'leaf.json', 'leaf.svg']
    """
    from stitchpath.figures.band_frames import sewn_bands

    how, hand = how or HowToWrite(), plan.by_hand
    made = {}
    for added, output, band, of_hand in _places(wanted(how.also), sewn_bands(plan), by_hand=hand is not None):
        text: _Text = output.text  # type: ignore[assignment]
        told = hand if of_hand else plan
        made[f"{stem}{added}"] = text(told, how) if band is None else text(told, how, band)
    return made


def ending_pattern(outputs: Iterable[Output]) -> str:
    r"""Return a regular expression for what names of files of these outputs add to the stem.

    Examples
    --------
    >>> ending_pattern(OUTPUTS[4:5]), ending_pattern(OUTPUTS[1:2]), ending_pattern(())
    ('(?:-band-[1-9][0-9]*)?\\-thin\\.csv', '(?:-by-hand)?\\-picture\\.svg', '(?!)')
    """
    import re

    band = {"no": "", "only": "", "also": "(?:-band-[1-9][0-9]*)?"}
    hand = {False: "", True: f"(?:{_BY_HAND})?"}
    found = [f"{hand[one.of_hand]}{band[one.of_bands]}{re.escape(one.ending)}" for one in outputs]
    return "|".join(found) or "(?!)"
