"""The sewing SVG, for the machine: an unbroken SVG path for each path, in order, at true size; nothing else.

Before it is sewn: keep hands and clamps clear of the head, make a first run with the needle up, and follow
the machine's own manual first.
"""

from collections.abc import Iterator
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from stitchpath.errors import DesignError
from stitchpath.figures.band_frames import band_frame, band_paths
from stitchpath.files import StrPath, write_whole
from stitchpath.formats.numbers import check_paths, fixed, path_data
from stitchpath.formats.svg_text import Mark, svg_text
from stitchpath.limits import FARTHEST_MM
from stitchpath.plan import Plan

__all__ = ["Origin", "sewing_svg", "write_svg"]

Origin = Literal["finished corner", "sewn corner", "middle"] | tuple[float, float]

_STROKE = {"fill": "none", "stroke": "#000000", "stroke-width": "0.5"}
_HALF_STROKE_MM = 0.25
"""How far the sheet reaches beyond the outermost points, so that strokes of 0.5 mm lie on it whole."""


def write_svg(
    plan: Plan,
    file: StrPath,
    *,
    y_up: bool = False,
    origin: Origin = "finished corner",
    band: int | None = None,
) -> None:
    """Write the sewing SVG.

    Only paths, in sewing order, one unbroken ``<path>`` each, in millimetres at true size with 3 decimals; no
    text, no arrow, nothing else that could be sewn. Before it is sewn: hands and clamps clear of the head, a
    first run with the needle up, and the machine's own manual goes first.

    Parameters
    ----------
    plan
        What to sew.
    file
        Where to write.
    y_up
        Count y upwards. SVG counts it downwards, so a page viewer shows such a file upside down: it is for
        machines whose y axis points away from the operator.
    origin
        Which place of the top is (0, 0) in the file: the ``"finished corner"`` (upper left; lower left with
        `y_up`), the same corner of what is sewn (``"sewn corner"``, so that no coordinate is negative), the
        ``"middle"`` of the finished top, or an (x, y) in millimetres of the plan.
    band
        Only the paths of this band, counted from 1, where the band's own files have them, from its own origin
        (`stitchpath.figures.band_frames`). With `y_up` y has the other sign, from the same origin.

    Raises
    ------
    FileError
        If it cannot be written.
    DesignError
        If there is no path or no such band, or a path cannot be written.

    Examples
    --------
    >>> from pathlib import Path
    >>> from stitchpath import Drawing, Move, Span, StitchPath
    >>> from tempfile import TemporaryDirectory
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),))
    >>> with TemporaryDirectory() as folder:
    ...     write_svg(Plan(Drawing(()), (path,), (), 0.0), Path(folder, "pear.svg"), y_up=True)
    ...     Path(folder, "pear.svg").read_text().count("<path")
    1
    """
    write_whole(file, sewing_svg(plan, y_up=y_up, origin=origin, band=band))


def sewing_svg(
    plan: Plan, *, y_up: bool = False, origin: Origin = "finished corner", band: int | None = None
) -> str:
    """Return the sewing SVG as text; see `write_svg`.

    Parameters
    ----------
    plan, y_up, origin, band
        As `write_svg` has them.

    Returns
    -------
    str
        The whole file.

    Raises
    ------
    DesignError
        As `write_svg`.

    Examples
    --------
    >>> from stitchpath import Drawing, Move, Span, StitchPath
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),))
    >>> print(sewing_svg(Plan(Drawing(()), (path,), (), 0.0)))
    <?xml version="1.0" encoding="utf-8"?>
    <svg ... height="0.500mm" version="1.1" viewBox="-0.250 -0.250 9.500 0.500" width="9.500mm" ...>
    <path d="M 0.000,0.000 L 9.000,0.000" fill="none" stroke="#000000" stroke-width="0.5" />
    </svg>
    >>> sewing_svg(Plan(Drawing(()), (), (), 0.0))
    Traceback (most recent call last):
    stitchpath.errors.DesignError: there is no path to sew; plan a design with at least one line
    """
    check_paths(plan)
    if not band_paths(plan, band)[1]:
        where, remedy = "", "plan a design with at least one line"
        if band is not None:
            where, remedy = f" in band {band}", "write no sewing SVG of it"
        raise DesignError(f"there is no path to sew{where}", remedy)
    turn = np.array([1.0, -1.0 if y_up else 1.0])
    paths = [points * turn for points in _placed(plan, origin, band, y_up=y_up)]
    low, high = _bounds(np.concatenate(paths))
    low, size = low - _HALF_STROKE_MM, high - low + 2 * _HALF_STROKE_MM
    width, height = fixed(size[0]), fixed(size[1])
    marks = (Mark("path", {"d": path_data(points), **_STROKE}) for points in paths)
    view_box = f"{fixed(low[0])} {fixed(low[1])} {width} {height}"
    return svg_text(marks, size_mm=(width, height), view_box=view_box)


def _placed(plan: Plan, origin: Origin, band: int | None, *, y_up: bool) -> Iterator[NDArray[np.float64]]:
    """Yield the points to be sewn, measured as in the file, y down."""
    if band is None:
        zero = _origin_mm(plan, origin, y_up=y_up)
        yield from (path.coordinates_mm - zero for path in plan.paths)
        return
    if origin != "finished corner":
        raise DesignError("a band's files count from its own origin", "leave out the origin", key="origin")
    _, paths = band_paths(plan, band)
    yield from (path.coordinates_mm for path in band_frame(plan, band).laid_paths(paths, decimals=3))


def _origin_mm(plan: Plan, origin: Origin, *, y_up: bool) -> NDArray[np.float64]:
    if not isinstance(origin, str):
        try:
            place = np.asarray(origin, dtype=np.float64)
        except (TypeError, ValueError):
            place = np.empty(0)
        if place.shape != (2,) or not (np.abs(place) <= FARTHEST_MM).all():
            raise DesignError(
                f"{origin!r} is no place", "give x and y in millimetres, 1 km at most", key="origin"
            )
        return place
    sewn = _bounds(np.concatenate([path.coordinates_mm for path in plan.paths]))
    low, high = sewn if origin == "sewn corner" or plan.drawing.outline is None else _finished(plan)
    places = {"finished corner": _corner(low, high, y_up=y_up), "middle": (low + high) / 2}
    places["sewn corner"] = places["finished corner"]
    if origin not in places:
        raise DesignError(f"{origin!r} is no origin", f"write one of {', '.join(places)}", key="origin")
    return places[origin]


def _corner(low: NDArray[np.float64], high: NDArray[np.float64], *, y_up: bool) -> NDArray[np.float64]:
    return np.array([low[0], high[1] if y_up else low[1]])


def _finished(plan: Plan) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    x0, y0, x1, y1 = plan.drawing.outline.bounds
    return np.array([x0, y0]), np.array([x1, y1])


def _bounds(points: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    return points.min(axis=0), points.max(axis=0)
