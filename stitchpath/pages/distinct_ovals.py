"""The distinct ovals of a drawing: those that only differ by being turned or mirrored count as one."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from stitchpath.drawing import Drawing
from stitchpath.geometry.rings import Upright, same_but_for, upright
from stitchpath.lines import Role

__all__ = ["Oval", "Served", "ovals_of"]

_SAME_OVAL_MM = 0.05
"""Ovals are one if they differ by less: under what a template can be cut to. Chosen."""


@dataclass(frozen=True, slots=True)
class Served:
    """A line that an oval serves: what asked for it, in which block, and how it lies there."""

    motif: str
    block: str
    turned_deg: float
    mirrored: bool = False


@dataclass(frozen=True)
class Oval:
    """An oval stood upright about (0, 0), and the lines that it serves, in the drawing's order."""

    shape: Upright
    serves: tuple[Served, ...] = field(default=())

    def told(self) -> Iterator[str]:
        """Yield a sentence for each motif and way to lie: which blocks it serves so."""
        ways: dict[tuple[str, str], list[str]] = {}
        for served in self.serves:
            ways.setdefault((served.motif, _way(served)), []).append(served.block or "the whole top")
        for (motif, way), blocks in ways.items():
            places = "; ".join(f"{block} ({blocks.count(block)})" if blocks.count(block) > 1 else block
                               for block in dict.fromkeys(blocks))  # fmt: skip
            yield f"{motif or 'outline'}, {way}: {places}"


def ovals_of(drawing: Drawing) -> tuple[Oval, ...]:
    """Return the distinct closed outlines of a drawing, in its order.

    Examples
    --------
    >>> ovals_of(Drawing(()))
    ()
    """
    found: list[Oval] = []
    for line in drawing.lines:
        if line.role is not Role.OUTLINE or not line.closed:
            continue
        shape = upright(line.points_mm)
        for number, oval in enumerate(found):
            same = same_but_for(oval.shape, shape, within=_SAME_OVAL_MM)
            if same is not None:
                served = Served(line.motif, line.block, shape.turned_deg, mirrored=bool(same))
                found[number] = replace(oval, serves=(*oval.serves, served))
                break
        else:
            found.append(Oval(shape, (Served(line.motif, line.block, shape.turned_deg),)))
    return tuple(found)


def _way(served: Served) -> str:
    """Say how it lies.

    Examples
    --------
    >>> _way(Served("", "", 0)), _way(Served("", "", -15.2, mirrored=True)), _way(Served("", "", 90))
    ('upright', 'mirrored and turned 15.2° to the left', 'level')
    """
    turned = round(served.turned_deg, 1)
    way = (
        "upright" if not turned
        else "level" if abs(turned) == 90
        else f"turned {abs(turned):g}° to the {'right' if turned > 0 else 'left'}"
    )  # fmt: skip
    return f"mirrored and {way}" if served.mirrored else way
