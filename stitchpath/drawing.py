"""A design drawn: lines, keep-outs, hidden seams and the top's outline. This is the problem to solve."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from stitchpath.design.drawn import draw_places
from stitchpath.design.faults import shown
from stitchpath.design.layout import Layout
from stitchpath.design.model import Design
from stitchpath.design.source import located
from stitchpath.errors import DesignError, Finding, all_of
from stitchpath.geometry.clear import entered
from stitchpath.limits import FARTHEST_MM, LONGEST_NAME
from stitchpath.lines import HIDDEN_ROLES, UNASKED_ROLES, Block, KeepOut, Line, Role, Thread, as_points
from stitchpath.motifs.names import check_name
from stitchpath.motifs.place import Place
from stitchpath.sewable import DEEP_MM, sewable

__all__ = ["Drawing", "draw"]


@dataclass(frozen=True)
class Drawing:
    """A design drawn.

    Attributes
    ----------
    lines
        The lines asked for, raw (before noding); a line's id is its place in here, counted from 1.
    hidden
        The hidden seams.
    keep_outs
        Where no stitch may go.
    outline
        The finished top as a shapely polygon, or None.
    threads
        The threads that lines name.
    notes
        What was left out or mended while drawing.
    name, design_sha256
        The design's name, and the SHA-256 of the file it was read from; empty otherwise.
    blocks
        Its blocks, row by row; none where it was made from lines.
    """

    lines: tuple[Line, ...]
    hidden: tuple[Line, ...] = ()
    keep_outs: tuple[KeepOut, ...] = ()
    outline: Any = None
    threads: tuple[Thread, ...] = ()
    notes: tuple[Finding, ...] = field(default=())
    name: str = ""
    design_sha256: str = ""
    blocks: tuple[Block, ...] = ()

    def __post_init__(self) -> None:
        kinds = (("lines", Line), ("hidden", Line), ("keep_outs", KeepOut), ("threads", Thread))
        for key, kind in kinds:
            items = all_of(key, getattr(self, key), kind, kind.__name__, f"give {kind.__name__}s")
            object.__setattr__(self, key, items)

    @classmethod
    def from_lines(
        cls,
        lines: Iterable[BaseGeometry],
        *,
        roles: Sequence[Role | str] | Role | str | None = None,
        threads: Sequence[str] | str | None = None,
        hidden: Iterable[BaseGeometry] = (),
        keep_outs: Iterable[BaseGeometry] = (),
        outline: BaseGeometry | None = None,
    ) -> "Drawing":
        """Make a drawing from any shapely lines.

        Parameters
        ----------
        lines
            What is to be sewn, in millimetres: LineString, LinearRing, MultiLineString, or collections of
            them; each part becomes a line. A third coordinate is dropped.
        roles, threads
            One for all, or one for each of `lines`. No roles: all ``"drawn"``, so all in one stage. No
            threads: all of one thread without a name; or names as in a design.
        hidden
            Hidden seams: travel is free of being seen there. They are cut where they run into a keep-out.
        keep_outs
            Polygons where no stitch may go.
        outline
            The finished top, a polygon.

        Raises
        ------
        DesignError
            If a geometry is of another kind, has no length or a coordinate that is not finite or too far
            off; if a role or a thread's name is not allowed; or if a line runs into a keep-out.

        Examples
        --------
        >>> from shapely import LineString
        >>> Drawing.from_lines([LineString([(0, 0), (10, 0)])], roles="fill").lines[0].role
        <Role.FILL: 'fill'>
        >>> Drawing.from_lines([]).lines
        ()
        """
        shapes = _listed("lines", lines)
        asked = zip(
            shapes,
            _each("roles", Role.DRAWN if roles is None else roles, len(shapes)),
            _each("threads", "" if threads is None else threads, len(shapes)),
            strict=True,
        )
        polygons = [
            _polygon(shape, f"keep_outs[{i}]") for i, shape in enumerate(_listed("keep_outs", keep_outs))
        ]
        raw = [
            Line(points, _asked_role(role, i), _thread(thread, i), "line")
            for i, (shape, role, thread) in enumerate(asked)
            for points in _parts(shape, f"lines[{i}]")
        ]
        count = len(raw)
        raw += [
            Line(points, Role.HIDDEN, "", "hidden seam")
            for i, shape in enumerate(_listed("hidden", hidden))
            for points in _parts(shape, f"hidden[{i}]")
        ]
        _refuse_entering(shapes, polygons)
        areas = tuple(KeepOut(polygon, "keep-out") for polygon in polygons)
        drawn, _ = sewable(raw, areas)
        edge = None if outline is None else _polygon(outline, "outline")
        return cls(drawn[:count], drawn[count:], areas, edge)


def _listed(key: str, value: Iterable[BaseGeometry]) -> list[BaseGeometry]:
    if not isinstance(value, Iterable):
        kind = getattr(value, "geom_type", type(value).__name__)
        raise DesignError(f"a single {kind} is no list", "give a list of shapely geometries", key=key)
    return list(value)


def _each(key: str, value: Sequence[str] | str, count: int) -> Sequence[str]:
    if isinstance(value, str):
        return [value] * count
    if not isinstance(value, Sequence | np.ndarray):
        raise DesignError(f"{shown(value)} is no name", "give one for all or a list", key=key)
    if len(value) != count:
        raise DesignError(
            f"{len(value)} given for {count} lines", "give one for all or one for each line", key=key
        )
    return value


def _asked_role(role: Role | str, i: int) -> Role:
    if role not in set(Role) - UNASKED_ROLES:
        known = ", ".join(r for r in Role if r not in UNASKED_ROLES)
        raise DesignError(f"{role!r} is no role of an asked line", f"write one of {known}", key=f"roles[{i}]")
    return Role(role)


def _thread(name: str, i: int) -> str:
    key = f"threads[{i}]"
    if not isinstance(name, str) or len(name) > LONGEST_NAME:
        raise DesignError(
            f"{shown(name)} is no name", f"write a text of 1 to {LONGEST_NAME} characters", key=key
        )
    try:
        return check_name(name) if name else ""
    except ValueError as error:
        raise DesignError(str(error), key=key) from None


def _parts(shape: BaseGeometry, key: str) -> list[Any]:
    if not isinstance(shape, BaseGeometry):
        raise DesignError(f"{type(shape).__name__} is no shapely line", "give shapely lines", key=key)
    parts = [part for part in shapely.get_parts(shape) if not part.is_empty]
    while any(hasattr(part, "geoms") for part in parts):
        parts = [p for part in parts for p in shapely.get_parts(part) if not p.is_empty]
    for part in parts:
        if part.geom_type not in ("LineString", "LinearRing"):
            raise DesignError(f"a {part.geom_type} is no line", "give LineStrings", key=key)
        _refuse_far(part, key)
        if part.length == 0:
            raise DesignError("a line has no length", "leave it out or move its end", key=key)
    if not parts:
        raise DesignError("an empty geometry draws nothing", "leave it out", key=key)
    return [shapely.get_coordinates(part) for part in parts]


def _refuse_far(shape: BaseGeometry, key: str) -> None:
    xy = shapely.get_coordinates(shape)
    bad = xy[~(np.abs(xy) <= FARTHEST_MM).all(axis=1)]
    if len(bad):
        x, y = bad[0]
        far = bool(np.isfinite(bad[0]).all())
        problem = f"the point ({x}, {y}) is {'over 1 km off' if far else 'not finite'}"
        raise DesignError(problem, "move it nearer to (0, 0)" if far else "write numbers", key=key)


def _refuse_entering(shapes: Sequence[BaseGeometry], polygons: Sequence[BaseGeometry]) -> None:
    """Refuse an asked line that runs into a keep-out: its own edge may be sewn along, no more."""
    found = entered(np.array(shapes, dtype=object), np.array(polygons, dtype=object), over_mm=DEEP_MM)
    if len(found.line):
        raise DesignError(
            f"the line runs into keep_outs[{found.polygon[0]}]",
            "cut it off there, or move one",
            key=f"lines[{found.line[0]}]",
        )


def _polygon(shape: BaseGeometry, key: str) -> BaseGeometry:
    if not isinstance(shape, BaseGeometry) or shape.geom_type not in ("Polygon", "MultiPolygon"):
        kind = getattr(shape, "geom_type", type(shape).__name__)
        raise DesignError(f"a {kind} is no polygon", "give a shapely Polygon", key=key)
    _refuse_far(shape, key)
    if shape.is_empty or not shape.is_valid:
        raise DesignError("the polygon is empty or crosses itself", "give a valid polygon", key=key)
    return shape


def draw(design: Design) -> Drawing:
    """Draw a design: every motif in its place.

    Parameters
    ----------
    design
        The design.

    Returns
    -------
    Drawing
        The asked lines: those for the whole top, then block by block, sashing, cornerstones, borders; the
        seams that nobody stitches as hidden ones; keep-outs; the finished top; what was left out.

    Raises
    ------
    DesignError
        If it is no design, a motif does not fit its place, or nothing at all is asked for.
    LimitError
        If more would come than a plan can take.

    Examples
    --------
    >>> from stitchpath.design import Design, Top
    >>> from stitchpath.motifs import Basting
    >>> top = Top(block_width="4 in", block_height="4 in")
    >>> drawing = draw(Design(top=top, layout=[".."], motifs=[Basting()]))
    >>> [line.role.value for line in drawing.lines + drawing.hidden]
    ['baste', 'hidden']
    >>> draw(Design(top=top, layout=[".."]))
    Traceback (most recent call last):
    stitchpath.errors.DesignError: kinds: the design asks for no line; give a kind of block a motif
    """
    if not isinstance(design, Design):
        raise DesignError(f"{shown(design)} is no design", "give a Design, such as read_design returns")
    layout, places = draw_places(design)
    raw = (*(line for drawn in places for line in drawn.lines), *_hidden_seams(design, layout))
    keep_outs = tuple(keep_out for drawn in places for keep_out in drawn.keep_outs)
    drawn, cut = sewable(raw, keep_outs, unit=design.unit)
    lines = tuple(line for line in drawn if line.role not in HIDDEN_ROLES)
    if not lines:
        raise _nothing_asked(design)
    used = {line.thread for line in lines}
    return Drawing(
        lines,
        drawn[len(lines) :],
        keep_outs,
        shapely.box(*layout.whole.box_mm),
        tuple(Thread(name, thread.tex) for name, thread in design.threads.items() if name in used),
        (*cut, *(note for drawn in places for note in drawn.notes)),
        design.name,
        design.source.sha256 if design.source else "",
        tuple(_block(design, laid.place) for laid in layout.pieces if laid.part == "block"),
    )


def _block(design: Design, place: Place) -> Block:
    kind = design.kind_name(row=place.row, column=place.column)
    return Block(place.name, place.box_mm, place.row, place.column, kind)


def _nothing_asked(design: Design) -> DesignError:
    error = DesignError("the design asks for no line", "give a kind of block a motif")
    return located(error, ("kinds",), design.source)


def _hidden_seams(design: Design, layout: Layout) -> Iterator[Line]:
    """Yield the seams that are not stitched, and the edge line where it is not basted."""
    whole_top = {motif.motif for motif in design.motifs}
    if "ditch" not in whole_top:
        for seam in layout.whole.seams:
            yield Line(as_points(seam), Role.HIDDEN, "", "seam")
    if "basting" not in whole_top:
        edge = shapely.box(*layout.whole.room_mm, ccw=False)
        yield Line(shapely.get_coordinates(edge), Role.ALLOWANCE, "", "edge line")
