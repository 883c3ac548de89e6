"""How evenly blocks are quilted: stitched length per area, and neighbours that differ much."""

from dataclasses import dataclass

from stitchpath.lines import Block
from stitchpath.plan import Move, Plan

__all__ = ["Density", "Evenness", "Uneven", "evenness_of"]

_EVEN_RATIO = 2.0
"""Neighbours quilted more unevenly than 2:1 are told: common practice, no source."""
_ASSUMPTIONS = (
    "stitched length is that of a block's own lines, each once, for its finished area",
    "seams, sashing and borders belong to no block",
    "neighbours are next to each other in a row or a column, over sashing too",
)


@dataclass(frozen=True, slots=True)
class Density:
    """How densely a block is quilted.

    Attributes
    ----------
    block
        Its name.
    sewn_mm, area_mm2
        Length sewn for the first time on the block's own lines, and its finished area.
    """

    block: str
    sewn_mm: float
    area_mm2: float

    @property
    def mm_for_cm2(self) -> float:
        """Stitched length in millimetres for each square centimetre."""
        return self.sewn_mm / self.area_mm2 * 100


@dataclass(frozen=True, slots=True)
class Uneven:
    """Two neighbouring blocks that are quilted very differently: the denser one, then the other."""

    denser: Density
    other: Density

    @property
    def ratio(self) -> float:
        """How many times as dense; infinite beside a block without any quilting."""
        other = self.other.mm_for_cm2
        return self.denser.mm_for_cm2 / other if other else float("inf")


@dataclass(frozen=True, slots=True)
class Evenness:
    """How evenly blocks are quilted, and on which assumptions.

    Attributes
    ----------
    blocks
        As the drawing has them.
    uneven
        Neighbours that differ by more than 2:1, the most uneven first.
    assumptions
        One sentence each.
    """

    blocks: tuple[Density, ...]
    uneven: tuple[Uneven, ...]
    assumptions: tuple[str, ...] = _ASSUMPTIONS


def evenness_of(plan: Plan) -> Evenness:
    """Return how evenly a plan quilts its blocks, by hand as well; of the hand's part alone nothing is told.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> blocks = Block("a", (0, 0, 10, 10), 1, 1), Block("b", (10, 0, 20, 10), 1, 2)
    >>> even = evenness_of(Plan(Drawing((), blocks=blocks), (), (), 0.0))
    >>> [density.mm_for_cm2 for density in even.blocks], even.uneven
    ([0.0, 0.0], ())
    >>> evenness_of(Plan(Drawing(()), (), (), 0.0)).blocks
    ()
    """
    if plan.of_hand:
        return Evenness((), ())
    sewn = {block.name: 0.0 for block in plan.drawing.blocks}
    for path in (*plan.paths, *(plan.by_hand or ())):
        for span, mm in zip(path.spans, path.spans_mm.tolist(), strict=True):
            if span.move is Move.SEW and span.line is not None:
                block = plan.drawing.lines[span.line - 1].block
                if block in sewn:
                    sewn[block] += mm
    densities = [Density(block.name, sewn[block.name], _area(block)) for block in plan.drawing.blocks]
    at = {(block.row, block.column): row for row, block in enumerate(plan.drawing.blocks)}
    pairs = [
        (row, at[beside]) for (r, c), row in at.items() for beside in ((r, c + 1), (r + 1, c)) if beside in at
    ]
    told = [_compared(densities[one], densities[other]) for one, other in pairs]
    uneven = [pair for pair in told if pair.denser.sewn_mm and pair.ratio > _EVEN_RATIO]
    return Evenness(tuple(densities), tuple(sorted(uneven, key=lambda pair: -pair.ratio)))


def _compared(one: Density, other: Density) -> Uneven:
    return Uneven(one, other) if one.mm_for_cm2 >= other.mm_for_cm2 else Uneven(other, one)


def _area(block: Block) -> float:
    x0, y0, x1, y1 = block.box_mm
    return (x1 - x0) * (y1 - y0)
