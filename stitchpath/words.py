"""Lengths, shares, times and numbers as people read them."""

from collections.abc import Sequence

from stitchpath.units import MM_PER_INCH, MM_PER_YARD, Unit, format_length

__all__ = ["WARNING", "cost", "duration", "gap", "in_both", "length", "numbers", "share"]

_MOST_NUMBERS = 12
"""Numbers in a list before it says how many more there are: about a line of text."""


WARNING = "WARNING: "
"""What a sentence begins with that is told before all else."""


def cost(cost_s: float) -> str:
    """Write a cost in seconds.

    Examples
    --------
    >>> cost(0), cost(1234.56)
    ('0.0 s', '1,234.6 s')
    """
    return f"{cost_s:,.1f} s"


def length(length_mm: float, unit: Unit = "mm") -> str:
    """Write a short length as the rulers do, a long one in metres or yards.

    Examples
    --------
    >>> length(12.7), length(12700), length(12.7, "in"), length(9144, "in"), length(0)
    ('12.7 mm', '12.70 m', '1/2 in', '10.0 yd', '0 mm')
    """
    if unit == "in":
        long = length_mm >= MM_PER_YARD
        return f"{length_mm / MM_PER_YARD:,.1f} yd" if long else format_length(length_mm, unit)
    return format_length(length_mm, unit) if length_mm < 1000 else f"{length_mm / 1000:,.2f} m"


def in_both(length_mm: float) -> str:
    """Write a length exactly, in both units, for those who measure it out.

    Examples
    --------
    >>> in_both(6.35), in_both(0)
    ('6.35 mm (0.250 in)', '0.00 mm (0.000 in)')
    """
    return f"{length_mm:.2f} mm ({length_mm / MM_PER_INCH:.3f} in)"


def share(ratio: float) -> str:
    """Write a share in per cent, so that only nothing at all reads 0 %.

    Examples
    --------
    >>> share(0), share(0.01234), share(0.00001), share(float("inf"))
    ('0 %', '1.23 %', '< 0.01 %', 'not known')
    """
    if ratio == float("inf"):
        return "not known"
    return "0 %" if ratio == 0 else "< 0.01 %" if 0 < ratio < 0.0001 else f"{ratio:,.2%}".replace("%", " %")


def gap(ratio: float, over_s: float) -> str:
    """Write a gap as a share of its bound and in seconds over it: a tiny bound makes any share huge.

    Examples
    --------
    >>> gap(0.1, 10.0), gap(599.0, 59.9), gap(float("inf"), 3.0), gap(0.0, 0.0)
    ('10.00 % (10.0 s)', '59,900.00 % (59.9 s)', 'not known (3.0 s)', '0 %')
    """
    return f"{share(ratio)} ({cost(over_s)})" if ratio else share(ratio)


def duration(seconds: float) -> str:
    """Write a time in hours and minutes, or minutes and seconds, or seconds alone.

    Examples
    --------
    >>> duration(0), duration(61), duration(3599.9), duration(5400)
    ('0 s', '1 min 01 s', '1 h 00 min', '1 h 30 min')
    """
    whole = round(seconds)
    if whole < 60:
        return f"{whole} s"
    if whole < 3600:
        return f"{whole // 60} min {whole % 60:02} s"
    return f"{round(whole / 60) // 60:,} h {round(whole / 60) % 60:02} min"


def numbers(counted: Sequence[int], *, most: int | None = _MOST_NUMBERS, before: str = "") -> str:
    """Write ascending numbers in words, runs of three and more in short, and no more than a dozen of them.

    Parameters
    ----------
    counted
        The numbers.
    most
        How many parts are told before the rest is counted; None: all.
    before
        A letter to stand before each.

    Examples
    --------
    >>> numbers([3]), numbers([3, 17]), numbers([1, 2, 3, 4, 8, 9]), numbers([])
    ('3', '3 and 17', '1 to 4, 8 and 9', '')
    >>> numbers([1, 2, 3, 7], before="H")
    'H1 to H3 and H7'
    >>> numbers(range(1, 99, 2))
    '1, 3, 5, 7, 9, 11, 13, 15, 17, 19, 21, 23 and 37 more'
    """
    runs: list[list[int]] = []
    for number in counted:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    said = [part for run in runs for part in _run(run, before)]
    first = said[:most]
    left = sum(size for _, size in said[len(first) :])
    texts = [text for text, _ in first] + ([f"{left:,} more"] if left else [])
    return " and ".join(filter(None, (", ".join(texts[:-1]), *texts[-1:])))


def _run(run: Sequence[int], before: str) -> list[tuple[str, int]]:
    """Return a run's texts, each with how many numbers it stands for."""
    if len(run) > 2:
        return [(f"{before}{run[0]} to {before}{run[-1]}", len(run))]
    return [(f"{before}{number}", 1) for number in run]
