"""Thread, spools and bobbins, evenness and unquilted gaps, in rows and sentences."""

from collections.abc import Iterator

from stitchpath.cli.tables import laid_out
from stitchpath.figures import BobbinEnd, Figures, Gap, ThreadUse, Uneven, spool_rows
from stitchpath.units import Unit, format_length
from stitchpath.words import length

__all__ = ["cloth_explained", "cloth_rows", "cloth_sentences", "spools_text"]

_FIRST_BOBBINS = 8  # named before the rest is counted: chosen, two lines of them
_FIRST_UNEVEN = 3  # named before the rest is counted: chosen


def cloth_rows(figures: Figures, unit: Unit) -> Iterator[tuple[str, str]]:
    """Return rows of a table: a label and a figure."""
    thread = figures.thread
    for used in thread.threads:
        of = f", {used.thread}" if len(thread.threads) > 1 else ""
        yield f"needle thread{of}", length(used.needle_mm, unit)
        yield f"needle thread{of}, with waste", length(used.with_waste_needle_mm, unit)
        yield f"bobbin thread{of}", length(used.bobbin_mm, unit)
        yield f"bobbin thread{of}, with waste", length(used.with_waste_bobbin_mm, unit)
        yield f"bobbins{of}", f"{used.bobbins:,}"
    if figures.evenness.uneven:
        yield "neighbours quilted more unevenly than 2:1", f"{len(figures.evenness.uneven):,}"
    if figures.gap_unquilted is not None:
        yield "largest unquilted gap", length(figures.gap_unquilted.across_mm, unit)


def spools_text(figures: Figures, unit: Unit) -> str:
    """Return what each stage of each band takes of each thread; nothing of one thread in one band.

    Examples
    --------
    >>> from stitchpath import Drawing, Plan, plan_figures
    >>> spools_text(plan_figures(Plan(Drawing(()), (), (), 0.0)), "mm")
    ''
    """
    rows = spool_rows(figures.thread.spools, unit)
    return laid_out(rows, left=len(rows[0]) - 2) if rows else ""


def cloth_sentences(figures: Figures, unit: Unit) -> Iterator[str]:
    """Return what is to be known of bobbins, evenness and gaps."""
    thread, even, gap = figures.thread, figures.evenness, figures.gap_unquilted
    if thread.bobbin_ends:
        yield " ".join(_bobbins(thread, unit))
    if even.uneven:
        yield " ".join(_uneven(pair) for pair in even.uneven[:_FIRST_UNEVEN])
    if gap is not None:
        yield _gap(gap, unit)


def cloth_explained(figures: Figures) -> Iterator[str]:
    """Return what figures of thread, evenness and gaps assume."""
    thread, even, gap = figures.thread, figures.evenness, figures.gap_unquilted
    if thread.threads:
        yield f"Thread: {'; '.join(thread.assumptions)}."
    if even.blocks:
        yield f"Evenness: {'; '.join(even.assumptions)}."
    if gap is not None:
        told, near = "; ".join(gap.assumptions), f"to within {2 * gap.error_mm:.1f} mm across"
        yield f"The largest unquilted gap is {told}, {near}."


def _bobbins(thread: ThreadUse, unit: Unit) -> Iterator[str]:
    for end in thread.bobbin_ends[:_FIRST_BOBBINS]:
        yield _bobbin(end, unit, named=len(thread.threads) > 1)
    left = len(thread.bobbin_ends) - _FIRST_BOBBINS
    if left > 0:
        open_ends = sum(end.in_open_cloth for end in thread.bobbin_ends)
        yield f"And {left:,} more; {open_ends:,} of all run out in open cloth."


def _bobbin(end: BobbinEnd, unit: Unit, *, named: bool) -> str:
    of = f" of {end.thread}" if named else ""
    if end.at_path_end:
        return f"Bobbin {end.number}{of} is changed after path {end.path}."
    x, y = (format_length(mm, unit) for mm in end.place_mm)
    block = f", {end.block}" if end.block else ""
    where = "in a seam" if end.in_seam else "in open cloth"
    return f"Bobbin {end.number}{of} runs out on path {end.path} {where}, at x {x}, y {y}{block}."


def _uneven(pair: Uneven) -> str:
    denser, other = pair.denser.block, pair.other.block
    if pair.other.sewn_mm == 0:
        return f"Uneven: {denser} is quilted and its neighbour {other} is not."
    return f"Uneven: {denser} is quilted {pair.ratio:,.1f} times as densely as its neighbour {other}."


def _gap(gap: Gap, unit: Unit) -> str:
    x, y = (format_length(mm, unit) for mm in (gap.x_mm, gap.y_mm))
    allowed = "the design does not say what the batting allows"
    if gap.allowed_mm is not None:
        allows = f"the batting allows {length(gap.allowed_mm, unit)}"
        allowed = f"too wide, {allows}" if gap.too_wide else allows
    return f"Largest unquilted gap: {length(gap.across_mm, unit)} across at x {x}, y {y}; {allowed}."
