"""The files of each band, for a machine that reaches a part of the top at once.

For each band of a plan with two windows or more: ``STEM-band-1.csv``, the stitch table of the band's paths,
with bands and paths numbered as in the whole plan, and ``STEM-band-1.svg``, its sewing SVG; both as the top
lies on the machine, from the band's own origin (`stitchpath.figures.band_frames`). ``STEM-bands.csv`` says
where each origin is and on what to align after advancing (`stitchpath.formats.bands_table`). A band in which
nothing is sewn has no files of its own, and ``STEM-bands.csv`` notes it.

Of the options of the whole plan's files, the unit, the stitch length and thin tables go for a band's as well;
with y up, y in a band's SVG has the other sign from the same origin. Where the origin is, is no option.

Before a file is sewn: keep hands and clamps clear of the head, make a first run with the needle up, and
follow the machine's own manual first.
"""

from collections.abc import Callable, Mapping

from stitchpath.errors import DesignError
from stitchpath.figures.band_frames import band_frames
from stitchpath.formats.bands_table import bands_table
from stitchpath.formats.sewing_svg import sewing_svg
from stitchpath.formats.stitch_table import stitch_table
from stitchpath.plan import Plan

__all__ = ["BAND_FORMATS", "band_texts"]

BAND_FORMATS: Mapping[str, Callable[..., str]] = {".svg": sewing_svg, ".csv": stitch_table}
"""By what is added to a band's name, what makes the text of a plan, given ``band``."""


def band_texts(
    plan: Plan, stem: str, *, formats: Mapping[str, Callable[..., str]] = BAND_FORMATS, unit: str = "mm"
) -> dict[str, str]:
    """Return the files of all bands by name; none where all is in reach at once.

    Parameters
    ----------
    plan
        With two windows or more.
    stem
        What the names begin with.
    formats
        What to write of each band, as in `BAND_FORMATS`.
    unit
        The unit of ``STEM-bands.csv``, ``"mm"`` or ``"in"``.

    Raises
    ------
    DesignError
        If a path cannot be written or is of a band without a window, or there is no such unit.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> band_texts(Plan(Drawing(()), (), (), 0.0), "leaf")
    {}
    >>> list(band_texts(Plan(Drawing(()), (), (), 0.0, windows=((0, 9), (9, 18))), "leaf"))
    ['leaf-bands.csv']
    """
    frames = band_frames(plan)
    sewn = {path.band for path in plan}
    if frames and max(sewn, default=0) > len(frames):
        raise DesignError(f"band {max(sewn)} has no window", "give the plan a window for each band")
    made = {
        f"{stem}-band-{frame.number}{ending}": write(plan, band=frame.number)
        for frame in frames
        if frame.number in sewn
        for ending, write in formats.items()
    }
    return made | ({f"{stem}-bands.csv": bands_table(plan, unit=unit)} if frames else {})
