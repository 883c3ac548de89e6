"""A comparison, and the prices of wishes, as tables of text for a terminal, a page or a file."""

from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

from stitchpath.compare.plans import Comparison, Row
from stitchpath.compare.prices import Price
from stitchpath.compare.ways import Way
from stitchpath.units import Unit
from stitchpath.words import cost, duration, length, numbers, share

__all__ = ["FIGURES", "MORE_THAN_FIRST", "FigureTold", "comparison_table", "prices_table"]

_ENDLESS = float("inf")
MORE_THAN_FIRST = "against the first"
_SAME = "same"


class FigureTold(NamedTuple):
    """A figure of a way: its head, its attribute of `Way`, and how an amount of it is written."""

    head: str
    key: str
    word: Callable[[Any, Unit], str]


def _count(amount: int, _: Unit) -> str:
    return f"{amount:,}"


FIGURES: tuple[FigureTold, ...] = (
    FigureTold("paths", "paths", _count),
    FigureTold("ends in open cloth", "open_ends", _count),
    FigureTold("travel", "travel_mm", length),
    FigureTold("lifts", "lifts", _count),
    FigureTold("time", "time_s", lambda seconds, _: duration(seconds)),
    FigureTold("thread", "thread_mm", length),
    FigureTold("wander", "wander", lambda ratio, _: f"{ratio:,.1f}"),
    FigureTold("visits", "visits", lambda visits, _: f"{visits:,.1f}"),
    FigureTold("weighed", "cost_s", lambda seconds, _: cost(seconds)),
    FigureTold("over least", "gap", lambda ratio, _: share(ratio)),
    FigureTold("paths by hand", "hand_paths", _count),
    FigureTold("time by hand", "hand_time_s", lambda seconds, _: duration(seconds)),
)
"""What is compared, in the order of the columns; what is sewn by hand, only where something is."""

_BY_HAND = frozenset({"hand_paths", "hand_time_s"})


def comparison_table(compared: Comparison, *, unit: Unit = "mm") -> list[tuple[str, ...]]:
    """Return a head, and for each way its figures, and below them the differences to the first.

    Examples
    --------
    >>> comparison_table(Comparison(()))[0][:4]
    ('', 'paths', 'ends in open cloth', 'travel')
    >>> two = [("here", Way(2, 1, 9, 0, 5, 240, 60, 4)), ("there", Way(1, 0, 9, 3, 0, 130, 30.4, 2))]
    >>> for row in comparison_table(Comparison.of(two))[1:]:
    ...     print(*row[:5], sep=" | ")
    here | 2 | 4 | 0 mm | 1
    there | 1 | 2 | 3 mm | 0
    against the first | -1 | -2 | +3 mm | -1
    """
    by_hand = any(row.way.hand_paths is not None for row in compared)
    shown = [figure for figure in FIGURES if by_hand or figure.key not in _BY_HAND]
    rows = [("", *(figure.head for figure in shown))]
    for at, row in enumerate(compared):
        rows.append((row.name, *_told(shown, row.way, unit)))
        if at:
            rows.append((MORE_THAN_FIRST, *_differences(shown, row, unit)))
    return rows


def _told(shown: Sequence[FigureTold], way: Way, unit: Unit) -> Iterator[str]:
    for figure in shown:
        amount = getattr(way, figure.key)
        yield "none" if amount is None else figure.word(amount, unit)


def _differences(shown: Sequence[FigureTold], row: Row, unit: Unit) -> Iterator[str]:
    for figure in shown:
        more = getattr(row.more, figure.key)
        yield "" if more is None or abs(more) == _ENDLESS else _signed(more, figure, unit)


def _signed(more: float, figure: FigureTold, unit: Unit) -> str:
    said = figure.word(abs(more), unit)
    if said == figure.word(0, unit):
        return _SAME
    if figure.key == "gap":  # a difference of shares is no share
        said = said.replace("%", "points")
    if said.startswith("<"):
        return f"{said} {'more' if more > 0 else 'less'}"
    return f"{'+' if more > 0 else '-'}{said}"


def prices_table(prices: Sequence[Price], *, unit: Unit = "mm") -> list[tuple[str, ...]]:
    """Return a head, and what each wish costs, with the paths that change.

    Examples
    --------
    >>> prices_table([])[0]
    ('wish', 'cuts', 'ends in open cloth', 'travel', 'time', 'weighed', 'paths that change')
    """
    head = ("wish", "cuts", "ends in open cloth", "travel", "time", "weighed", "paths that change")
    return [head, *((price.wish.name, *_price(price, unit)) for price in prices)]


def _price(price: Price, unit: Unit) -> tuple[str, ...]:
    if price.problem or price.asked_already:
        return ("", "", "", "", "", price.problem or _so_already(price.open_ends_left))
    changed = f"{numbers(price.changed, most=None)} of {price.paths:,}" if price.changed else "none"
    return (
        _more(price.cuts, _plain, less="fewer"),
        _more(price.open_ends, _plain, less="fewer"),
        _more(price.travel_mm, lambda mm: length(mm, unit)),
        _more(price.time_s, duration),
        _more(price.cost_s, cost),
        changed,
    )


def _so_already(open_ends_left: int) -> str:
    """Say that a wish is planned already, and what is left of what it is against."""
    said = "none: it is planned so already"
    if not open_ends_left:
        return said
    ends, they = ("end", "it") if open_ends_left == 1 else ("ends", "they")
    return f"{said}; {open_ends_left:,} {ends} in open cloth left, where {they} cannot be avoided"


def _plain(amount: float) -> str:
    return f"{amount:,.0f}"


def _more(more: float, word: Callable[[float], str], *, less: str = "less") -> str:
    said = word(abs(more))
    return _SAME if said == word(0) else f"{said} {'more' if more > 0 else less}"
