"""What a plan made elsewhere comes to, as tables of text."""

from collections import defaultdict

from stitchpath.figures.foreign import Foreign
from stitchpath.units import Unit
from stitchpath.words import length, share

__all__ = ["foreign_rows", "missed_rows", "row_words", "within_words"]


def foreign_rows(found: Foreign, *, unit: Unit = "mm") -> list[tuple[str, str]]:
    """Return what was found, beside the figures that all plans have: each one's name and its value.

    Examples
    --------
    >>> from stitchpath.check.foreign import measure_foreign
    >>> from stitchpath.drawing import Drawing
    >>> foreign_rows(measure_foreign([], Drawing(())))[:2]
    [('needle-down length', '0 mm'), ('covered of the lines asked for', '0 mm (100.00 %)')]
    """

    def along(mm: float) -> str:
        return length(mm, unit)

    return [
        ("needle-down length", along(found.length_mm)),
        ("covered of the lines asked for", f"{along(found.covered_mm)} ({share(found.share)})"),
        ("missed of the lines asked for", along(found.asked_mm - found.covered_mm)),
        ("lines missed, whole or in part", f"{len(found.missed):,}"),
        ("sewn twice and more", along(found.twice_mm)),
        ("travel along lines", along(found.travel_mm)),
        ("on no line, in open cloth", along(found.off_mm)),
        ("in keep-outs", along(found.keep_out_mm)),
        ("ends in seams, basting or binding allowance", f"{found.ends.in_seams:,}"),
        ("ends on other lines", f"{found.ends.on_lines:,}"),
        ("ends on no line", f"{found.ends.off_lines:,}"),
        ("length of lifts", along(found.lifts_mm)),
    ]


def missed_rows(found: Foreign, *, unit: Unit = "mm", most: int | None = None) -> list[tuple[str, ...]]:
    """Return a header, and the missed lengths by block, motif and role, the longest first.

    Parameters
    ----------
    found
        What was measured.
    unit
        The unit of lengths.
    most
        How many rows to give; the others come together in one more. None: all.

    Examples
    --------
    >>> from stitchpath import Drawing, Line, Role
    >>> from stitchpath.check.foreign import measure_foreign
    >>> missed_rows(measure_foreign([], Drawing((Line([(0, 0), (100, 0)], Role.FILL),))))
    [('block', 'motif', 'role', 'lines', 'missed'), ('the whole top', '', 'fill', '1', '100 mm')]
    >>> missed_rows(measure_foreign([], Drawing(())))
    [('block', 'motif', 'role', 'lines', 'missed')]
    """
    sums: dict[tuple[str, str, str], list[float]] = defaultdict(lambda: [0.0, 0.0])
    for line in found.missed:
        told = sums[line.block or "the whole top", line.motif, line.role]
        told[0] += 1
        told[1] += line.missed_mm
    ranked = sorted(sums.items(), key=lambda told: -told[1][1])
    shown = ranked if most is None else ranked[:most]
    rows = [(*names, f"{count:,.0f}", length(mm, unit)) for names, (count, mm) in shown]
    left = ranked[len(shown) :]
    if left:
        count, mm = (sum(told[at] for _, told in left) for at in (0, 1))
        rows.append(("elsewhere", "", "", f"{count:,.0f}", length(mm, unit)))
    return [("block", "motif", "role", "lines", "missed"), *rows]


def row_words(found: Foreign, *, unit: Unit = "mm") -> str:
    """Return sentences on how its figures were counted, and what they leave out.

    Examples
    --------
    >>> from stitchpath.check.foreign import measure_foreign
    >>> from stitchpath.drawing import Drawing
    >>> row_words(measure_foreign([], Drawing(()))).split(". ")[-1]
    'How far it is over the least possible is not known.'
    """
    said = (
        "Of the plan made elsewhere, sewing is what covers a line asked for, for the first time; all else "
        "with the needle down is travel. Travel on no line shows like the most visible line."
    )
    if found.missed:
        missed = f"{length(found.asked_mm - found.covered_mm, unit)} ({share(1 - found.share)})"
        said += f" It misses {missed} of the lines asked for, so its figures lack them, too."
    if found.plan.machine.reach is not None:
        said += " Its bands are not known: its time has no advances."
    return f"{said} How far it is over the least possible is not known."


def within_words(found: Foreign) -> str:
    """Return a sentence on the tolerance.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> from stitchpath.check.foreign import measure_foreign
    >>> within_words(measure_foreign([], Drawing(()), tolerance_mm=2))
    'Stitching is on a line that goes its way within 2 mm; stretches shorter than that are not told.'
    """
    return (
        f"Stitching is on a line that goes its way within {found.tolerance_mm:g} mm; stretches shorter than "
        "that are not told."
    )
