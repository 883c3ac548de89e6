"""Draws a design's motifs, place by place: lines, keep-outs, and notes on what was left out."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace

from stitchpath.design.layout import Laid, Layout, lay_out
from stitchpath.design.model import Design
from stitchpath.design.source import located, parts_of
from stitchpath.design.wanted import Wanted, in_order, wanted, wanted_in_blocks
from stitchpath.errors import DesignError, LimitError
from stitchpath.limits import MOST_DESIGN_LINES, MOST_DESIGN_POINTS
from stitchpath.motifs import Drawn, Place
from stitchpath.motifs.carried_on import carried_on

__all__ = ["draw_places", "wanted_in_places"]


@dataclass(frozen=True)
class _Spot:
    place: Place
    motifs: tuple[Wanted, ...]


def draw_places(design: Design) -> tuple[Layout, tuple[Drawn, ...]]:
    """Draw every motif of a design in its places.

    Returns
    -------
    Layout, tuple of Drawn
        The whole top's motifs first, then piece by piece as the layout has them.

    Raises
    ------
    DesignError
        If a motif does not fit its place; with key, file and line where they are known.
    LimitError
        If more lines or points would come than a plan can take.

    Examples
    --------
    >>> from stitchpath.design import Top
    >>> layout, drawn = draw_places(Design(top=Top(block_width=100, block_height=50), layout=["."]))
    >>> [piece.place.name for piece in layout.pieces][:1], drawn
    (['row 1, column 1'], ())
    """
    layout = lay_out(design)
    spots = tuple(_spots(design, layout))
    _refuse_too_many(design, spots)
    drawn: list[Drawn] = []
    points = 0
    for spot in spots:
        for one, result in _draw_spot(design, spot):
            points += sum(len(line.points_mm) for line in result.lines)
            if points > MOST_DESIGN_POINTS:
                raise _over(design, one, f"over {MOST_DESIGN_POINTS} points")
            drawn.append(result)
    return layout, carried_on(drawn)


def wanted_in_places(design: Design, layout: Layout) -> Iterator[tuple[Place, Wanted]]:
    """Yield every motif with each place in which it is wanted, in drawing order; nothing is drawn.

    Examples
    --------
    >>> from stitchpath.design.model import Top
    >>> plain = Design(top=Top(block_width=100, block_height=50), layout=["."])
    >>> list(wanted_in_places(plain, lay_out(plain)))
    []
    """
    return ((spot.place, one) for spot in _spots(design, layout) for one in spot.motifs)


def _spots(design: Design, layout: Layout) -> Iterator[_Spot]:
    yield _Spot(layout.whole, in_order(wanted(design.motifs, ("motifs",))))
    blocks = wanted_in_blocks(design)
    others = _other_parts(design)
    threads = {one.row_column: one.block_thread for one in design.changes if one.block_thread}
    for laid in layout.pieces:
        motifs = _motifs_of(laid, blocks, others)
        if motifs:
            yield _Spot(replace(laid.place, thread=_thread_in(design, laid, threads)), motifs)


def _thread_in(design: Design, laid: Laid, changed: Mapping[tuple[int, int], str]) -> str:
    """Return the thread of motifs that name none in a piece of the top."""
    own: str | None = None
    if laid.part == "block":
        row, column = laid.place.row, laid.place.column
        kind = design.kinds.get(design.kind_name(row=row, column=column))
        own = changed.get((row, column)) or (kind.thread if kind is not None else None)
    elif laid.part == "border":
        own = design.top.borders[laid.border].thread
    elif design.top.sashing is not None:
        own = design.top.sashing.thread
    return own or laid.place.thread


def _other_parts(design: Design) -> dict[tuple[str, int], tuple[Wanted, ...]]:
    """Return what is wanted in sashing, cornerstones and each border."""
    parts = {
        ("border", n): in_order(wanted(border.motifs, ("top", "borders", n, "motifs")))
        for n, border in enumerate(design.top.borders)
    }
    sashing = design.top.sashing
    if sashing is not None:
        path = ("top", "sashing")
        parts["sashing", -1] = in_order(wanted(sashing.motifs, (*path, "motifs")))
        parts["cornerstone", -1] = in_order(wanted(sashing.cornerstone_motifs, (*path, "cornerstone_motifs")))
    return parts


def _motifs_of(
    laid: Laid,
    blocks: Mapping[tuple[int, int], tuple[Wanted, ...]],
    others: Mapping[tuple[str, int], tuple[Wanted, ...]],
) -> tuple[Wanted, ...]:
    if laid.part == "block":
        return blocks[laid.place.row, laid.place.column]
    return others[laid.part, laid.border]


def _refuse_too_many(design: Design, spots: tuple[_Spot, ...]) -> None:
    """Add up what would come, before a line is drawn; name the motif that asks for the most."""
    total = 0
    by_motif: dict[tuple[str | int, ...], tuple[int, Wanted]] = {}
    for spot in spots:
        for one in spot.motifs:
            with _told_where(design, one, spot.place):
                lines = one.motif.predicted_lines(spot.place)
            total += lines
            by_motif[one.path] = (by_motif.get(one.path, (0, one))[0] + lines, one)
    if total > MOST_DESIGN_LINES:
        _, most = max(by_motif.values(), key=lambda found: found[0])
        raise _over(design, most, f"about {total} lines")


def _over(design: Design, one: Wanted, count: str) -> LimitError:
    key = "spacing" if hasattr(one.motif, "spacing") else ""
    problem = f"the design would draw {count}; this asks for the most of them"
    remedy = "write a wider spacing or fewer blocks"
    return located(LimitError(problem, remedy), one.where(key), design.source)


def _draw_spot(design: Design, spot: _Spot) -> Iterator[tuple[Wanted, Drawn]]:
    place = spot.place
    for one in spot.motifs:
        with _told_where(design, one, place):
            result = one.motif.lines(place)
        place = place.after(result)
        yield one, result


@contextmanager
def _told_where(design: Design, one: Wanted, place: Place) -> Iterator[None]:
    """Say of a motif's fault in which block it is, and where in the design."""
    try:
        yield
    except DesignError as error:
        told = not place.name or place.name in error.problem
        problem = error.problem if told else f"{error.problem} (in {place.name})"
        parts = parts_of(error.key)
        path = (*one.where(str(parts[0]) if parts else ""), *parts[1:])
        raise located(type(error)(problem, error.remedy), path, design.source) from None
