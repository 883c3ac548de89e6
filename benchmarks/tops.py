"""Square tops of any size for the benchmarks: invented, seeded, each block its own."""

from typing import Any, Literal

import numpy as np

from stitchpath.design import Design, ThreadKind, Top
from stitchpath.design.model import Change, Kind
from stitchpath.lines import Role
from stitchpath.motifs import Basting, Ditch, Ellipse, Fill, Strip
from stitchpath.settings import CostSettings, RoleChange

INCH = 25.4

FillWay = Literal["own angles", "carried on", "staggered"]


def square_top(
    n: int, *, seed: int = 0, ditch: bool = True, fill_way: FillWay = "own angles", spacing: str = "1/2 in"
) -> Design:
    """Return a top of n x n blocks of 12 in.

    Half of the blocks have an appliqué oval with both outlines, half two nested quilted ones, 7 to 11 in
    tall; tilts vary from block to block; a strip runs through a quarter of them; the edge is basted, and the
    seams are stitched in the ditch if `ditch`.

    The fill is `spacing` apart. It has an angle of its own in each block; or 45 degrees in all, and then it
    either carries on over the whole top or is staggered: columns and rows are 12 to 13 in, each its own, and
    the spacing starts in the middle of each block, so that hardly a line meets its neighbour at a seam.
    """
    rng = np.random.default_rng(seed)
    sewn_on: dict[str, Any] = {"name": "oval", "height": "9 in", "ratio": 1.5, "applique": True}
    quilted: dict[str, Any] = {"name": "oval", "height": "9 in", "ratio": 1.5, "nested": ("1 in",)}
    counted_from = "top" if fill_way == "carried on" else "middle"
    fill = Fill(name="fill", spacing=spacing, angle=45, counted_from=counted_from)
    strip = Strip(name="strip", width="2 in")
    kinds = {
        "applique": Kind(letter="A", motifs=(Ellipse(**sewn_on), fill)),
        "quilted": Kind(letter="Q", motifs=(Ellipse(**quilted), fill)),
        "applique with strip": Kind(letter="a", motifs=(Ellipse(**sewn_on), strip, fill)),
        "quilted with strip": Kind(letter="q", motifs=(Ellipse(**quilted), strip, fill)),
    }
    layout, changes = [], []
    for row in range(1, n + 1):
        letters = ""
        for column in range(1, n + 1):
            letter = "AQ"[(row + column) % 2]
            letters += letter.lower() if rng.random() < 0.25 else letter
            block = f"row {row}, column {column}"
            oval = {"height": float(rng.uniform(7, 11)) * INCH, "tilt": float(rng.uniform(-40, 40))}
            angle = {"angle": float(rng.uniform(0, 180))}
            changes.append(Change(block=block, motif="oval", to=oval))
            if fill_way == "own angles":
                changes.append(Change(block=block, motif="fill", to=angle))
            if letters[-1].islower():
                changes.append(Change(block=block, motif="strip", to=angle))
        layout.append(letters)
    used = set("".join(layout))
    return Design(
        name=f"Top of {n} x {n}",
        unit="in",
        top=_uneven(n, rng) if fill_way == "staggered" else Top(block_width="12 in", block_height="12 in"),
        layout=tuple(layout),
        kinds={name: kind for name, kind in kinds.items() if kind.letter in used},
        motifs=(Ditch(), Basting()) if ditch else (Basting(),),
        changes=tuple(changes),
    )


def _uneven(n: int, rng: np.random.Generator) -> Top:
    """Return n columns and n rows of 12 to 13 in."""
    widths, heights = (rng.uniform(12, 13, (2, n)) * INCH).tolist()
    return Top(column_widths=tuple(widths), row_heights=tuple(heights))


THREADS = ("cotton", "silk", "linen", "wool")


def strip_top(rows: int, columns: int, *, lines: int, threads: int, most_times: int, seed: int = 0) -> Design:
    """Return a top whose every line ends on seams that may be sewn only a few times.

    Ovals stand in every other block, quilted or sewn on, and a strip runs through each, with so many lines
    in it; the fill is counted from the strip. Seams are stitched in the ditch, the edge is basted. Ovals,
    strips, fill and ditch have as many threads as told between them.
    """
    rng = np.random.default_rng([seed, rows, columns, lines, threads, most_times])
    names = [THREADS[i] for i in rng.permutation([*range(threads), *rng.integers(threads, size=4 - threads)])]
    oval, strip, fill, ditch = names
    width, angles = float(rng.uniform(2, 3)) * INCH, rng.choice([0.0, 90.0, 45.0, -35.0, 20.0], 2).tolist()
    shape = Ellipse(
        name="oval",
        height=float(rng.uniform(5, 7)) * INCH,
        ratio=1.4,
        applique=bool(rng.integers(2)),
        thread=oval,
    )
    spacing = float(rng.choice([0.5, 0.625, 0.75])) * INCH

    def motifs(angle: float) -> tuple[Strip | Fill, ...]:
        fills = Fill(name="fill", spacing=spacing, counted_from="strip", thread=fill)
        laid = [(width, 0.0), *_lines_within(width, lines)]
        strips = (
            Strip(name=f"strip {i}", width=w, offset=o, angle=angle, thread=strip)
            for i, (w, o) in enumerate(laid, 1)
        )
        return (*strips, fills)

    times = {role: RoleChange(most_times=most_times) for role in Role if role is not Role.STEP}
    return Design(
        name=f"Strips on {rows} x {columns}",
        unit="in",
        top=Top(block_width="10 in", block_height="10 in"),
        layout=tuple("".join("OP"[(r + c) % 2] for c in range(columns)) for r in range(rows)),
        kinds={
            "oval": Kind(letter="O", motifs=(shape, *motifs(angles[0]))),
            "plain": Kind(letter="P", motifs=motifs(angles[1])),
        },
        motifs=(Ditch(thread=ditch), Basting(thread=ditch)),
        threads={name: ThreadKind(tex=40.0) for name in dict.fromkeys(names)},
        cost=CostSettings(roles=times),
    )


def _lines_within(width: float, count: int) -> list[tuple[float, float]]:
    """Return widths and offsets of strips that together lay so many lines evenly in one."""
    at = [width * (i / (count + 1) - 0.5) for i in range(count + 2)]
    pairs = zip(at[1 : count + 1 : 2], at[2::2], strict=False)
    return [(b - a, (a + b) / 2) for a, b in pairs]
