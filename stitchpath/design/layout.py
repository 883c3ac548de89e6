"""Where everything lies on the top: blocks, sashing, cornerstones, borders, and every seam.

In millimetres; the origin is the finished top's upper left corner, borders included; x runs to the right, y
down.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from stitchpath.design.model import Design, Top
from stitchpath.motifs.place import Place, Straight

__all__ = ["Box", "Laid", "Layout", "lay_out"]

Box = tuple[float, float, float, float]
"""x0, y0, x1, y1."""


@dataclass(frozen=True)
class Laid:
    """A piece of the top.

    Attributes
    ----------
    place
        Where to draw.
    part
        ``"block"``, ``"sashing"``, ``"cornerstone"`` or ``"border"``.
    border
        Which border, counted from 0 on the inside; -1 for other parts.
    """

    place: Place
    part: str
    border: int = -1


@dataclass(frozen=True)
class Layout:
    """A whole top laid out.

    Attributes
    ----------
    pieces
        Row by row: blocks, then sashing, cornerstones, borders.
    whole
        The whole top as a place: its seams are all seams, its room reaches to the edge line.
    """

    pieces: tuple[Laid, ...]
    whole: Place


@dataclass(frozen=True)
class _Axis:
    """What lies along x or y: blocks, and strips of sashing with the number of the block before each."""

    blocks: tuple[tuple[float, float], ...]
    strips: tuple[tuple[int, float, float], ...]
    frames: tuple[tuple[float, float], ...]

    @property
    def inner(self) -> tuple[float, float]:
        """Where the pieced middle begins and ends."""
        return self.frames[0]

    @property
    def marks(self) -> list[float]:
        """Every seam between blocks and strips."""
        ends = {x for block in self.blocks for x in block} | {x for _, *strip in self.strips for x in strip}
        return sorted(ends - set(self.inner))


def _axis(sizes: tuple[float, ...], top: Top) -> _Axis:
    widths = [border.width for border in top.borders]
    starts = [sum(reversed(widths[n:]), 0.0) for n in range(len(widths) + 1)]
    strip = top.sashing.width if top.sashing else 0.0
    around = top.sashing is not None and top.sashing.around
    blocks, strips, here = [], [], starts[0]
    for n, size in enumerate(sizes):
        if strip and (n or around):
            strips.append((n, here, here + strip))
            here += strip
        blocks.append((here, here + size))
        here += size
    if strip and around:
        strips.append((len(sizes), here, here + strip))
        here += strip
    ends = [here + sum(widths[:n]) for n in range(len(widths) + 1)]
    return _Axis(tuple(blocks), tuple(strips), tuple(zip(starts, ends, strict=True)))


def _sizes(each: tuple[float, ...] | None, one: float | None, count: int) -> tuple[float, ...]:
    return each if each is not None else (one or 0.0,) * count


def lay_out(design: Design) -> Layout:
    """Lay a design's top out.

    Parameters
    ----------
    design
        The design.

    Returns
    -------
    Layout
        Every piece of the top as a place without a thing drawn in it, and the whole top with every seam.

    Examples
    --------
    >>> from stitchpath.design.model import Design, Top
    >>> plain = Design(top=Top(block_width=100, block_height=50, binding_allowance=0), layout=[".."])
    >>> [laid.place.name for laid in lay_out(plain).pieces]
    ['row 1, column 1', 'row 1, column 2']
    >>> lay_out(plain).whole.seams
    (((100.0, 0.0), (100.0, 50.0)),)
    """
    top = design.top
    across = _axis(_sizes(top.column_widths, top.block_width, design.columns), top)
    down = _axis(_sizes(top.row_heights, top.block_height, design.rows), top)
    whole = _whole(design, across, down)
    pieces = (*_blocks(across, down), *_sashing(across, down, top), *_borders(across, down))
    return Layout(tuple(piece.laid(whole) for piece in pieces), whole)


def _whole(design: Design, across: _Axis, down: _Axis) -> Place:
    """Return the whole top, with every seam run out to the edge line."""
    (x0, x1), (y0, y1) = across.frames[-1], down.frames[-1]
    out = design.top.edge_line_mm
    room = (x0 - out, y0 - out, x1 + out, y1 + out)
    sashing = design.top.sashing
    seams = (*_inner_seams(across, down, sashing is None or sashing.cornerstones), *_frames(across, down))
    return Place(
        "",
        (x0, y0, x1, y1),
        room,
        tuple(_run_out(seam, (x0, y0, x1, y1), room) for seam in seams),
        rows=design.rows,
        columns=design.columns,
        thread=next(iter(design.threads)),
        clearance_mm=design.clearance_mm,
        tolerance_mm=design.tolerance,
        unit=design.unit,
        top_middle_mm=((x0 + x1) / 2, (y0 + y1) / 2),
    )


def _inner_seams(across: _Axis, down: _Axis, crossed: bool) -> Iterator[Straight]:  # noqa: FBT001
    """Yield the seams inside the borders: where strips between rows run through, uprights stop at them."""
    for y in down.marks:
        yield (across.inner[0], y), (across.inner[1], y)
    for x in across.marks:
        for y0, y1 in (down.inner,) if crossed else down.blocks:
            yield (x, y0), (x, y1)


def _frames(across: _Axis, down: _Axis) -> Iterator[Straight]:
    """Yield each border's seams: its sides first, then top and bottom over the full width."""
    for (inner_x, outer_x), inner_y in zip(pairwise(across.frames), down.frames[:-1], strict=True):
        for y in inner_y:
            yield (outer_x[0], y), (outer_x[1], y)
        for x in inner_x:
            yield (x, inner_y[0]), (x, inner_y[1])


def _reach(box: Box, finished: Box, room: Box) -> Box:
    """Draw out to the edge line what lies on the finished edge."""
    x0, y0, x1, y1 = (
        out if here == edge else here for here, edge, out in zip(box, finished, room, strict=True)
    )
    return x0, y0, x1, y1


def _run_out(seam: Straight, finished: Box, room: Box) -> Straight:
    x0, y0, x1, y1 = _reach((*seam[0], *seam[1]), finished, room)
    return (x0, y0), (x1, y1)


def _sides(box: Box, finished: Box, room: Box) -> tuple[Straight, ...]:
    """Return the sides that are seams, as far as the room goes: top, right, bottom, left."""
    x0, y0, x1, y1 = room
    sides = (((x0, y0), (x1, y0)), ((x1, y0), (x1, y1)), ((x0, y1), (x1, y1)), ((x0, y0), (x0, y1)))
    inside = (box[n] != finished[n] for n in (1, 2, 3, 0))
    return tuple(side for side, seam in zip(sides, inside, strict=True) if seam)


@dataclass(frozen=True)
class _Piece:
    name: str
    part: str
    x: tuple[float, float]
    y: tuple[float, float]
    row: int = 0
    column: int = 0
    border: int = -1

    def laid(self, whole: Place) -> Laid:
        """Return it as a place of the whole top."""
        box = (self.x[0], self.y[0], self.x[1], self.y[1])
        room = _reach(box, whole.box_mm, whole.room_mm)
        place = replace(
            whole,
            name=self.name,
            box_mm=box,
            room_mm=room,
            seams=_sides(box, whole.box_mm, room),
            row=self.row,
            column=self.column,
        )
        return Laid(place, self.part, self.border)


def _blocks(across: _Axis, down: _Axis) -> Iterator[_Piece]:
    for row, y in enumerate(down.blocks, 1):
        for column, x in enumerate(across.blocks, 1):
            yield _Piece(f"row {row}, column {column}", "block", x, y, row=row, column=column)


def _sashing(across: _Axis, down: _Axis, top: Top) -> Iterator[_Piece]:
    upright = [(_between(n, len(across.blocks), "column"), (x0, x1)) for n, x0, x1 in across.strips]
    level = [(_between(n, len(down.blocks), "row"), (y0, y1)) for n, y0, y1 in down.strips]
    for row, y in enumerate(down.blocks, 1):
        for words, x in upright:
            yield _Piece(f"sashing {words}, row {row}", "sashing", x, y)
    if top.sashing is not None and not top.sashing.cornerstones:
        for words, y in level:
            yield _Piece(f"sashing {words}", "sashing", across.inner, y)
        return
    for words, y in level:
        for column, x in enumerate(across.blocks, 1):
            yield _Piece(f"sashing {words}, column {column}", "sashing", x, y)
    for words_y, y in level:
        for words_x, x in upright:
            yield _Piece(f"cornerstone {words_y}, {words_x}", "cornerstone", x, y)


def _between(before: int, count: int, word: str) -> str:
    """Say where a strip of sashing with `before` rows or columns before it lies."""
    if before == 0:
        return f"{'above' if word == 'row' else 'left of'} {word} 1"
    if before == count:
        return f"{'below' if word == 'row' else 'right of'} {word} {count}"
    return f"between {word}s {before} and {before + 1}"


def _borders(across: _Axis, down: _Axis) -> Iterator[_Piece]:
    frames = zip(pairwise(across.frames), pairwise(down.frames), strict=True)
    for n, ((inner_x, outer_x), (inner_y, outer_y)) in enumerate(frames):
        which = f"border {n + 1}" if len(across.frames) > 2 else "border"
        yield _Piece(f"top {which}", "border", outer_x, (outer_y[0], inner_y[0]), border=n)
        yield _Piece(f"right {which}", "border", (inner_x[1], outer_x[1]), inner_y, border=n)
        yield _Piece(f"bottom {which}", "border", outer_x, (inner_y[1], outer_y[1]), border=n)
        yield _Piece(f"left {which}", "border", (outer_x[0], inner_x[0]), inner_y, border=n)
