"""The order of threads: as given, and otherwise so that the thread is changed as seldom as possible."""

from collections.abc import Collection, Sequence

__all__ = ["thread_orders"]

_Order = tuple[int, ...]


def thread_orders(wanted: Sequence[Collection[int]], given: Sequence[int] = ()) -> list[_Order]:
    """Return the order of threads in each of some pieces of work that follow one another.

    Only the first and the last thread of a piece matter, so the best pairs of them are found piece by piece.

    Parameters
    ----------
    wanted
        The threads of each piece, one or more.
    given
        Threads that come first in every piece that has them, in this order.

    Returns
    -------
    list of tuple
        Of those with fewest changes, the first by the threads' numbers.

    Examples
    --------
    >>> thread_orders([{0, 1}, {0, 2}, {2}])
    [(1, 0), (0, 2), (2,)]
    >>> thread_orders([{0, 1}, {0, 1}], given=[0, 1])
    [(0, 1), (0, 1)]
    >>> thread_orders([])
    []
    """
    best: dict[int, tuple[int, list[_Order]]] = {-1: (0, [])}
    for threads in wanted:
        now: dict[int, tuple[int, list[_Order]]] = {}
        for order in _orders(sorted(threads), [one for one in given if one in threads]):
            changes, before = min(
                (cost + (last not in (-1, order[0])), orders) for last, (cost, orders) in best.items()
            )
            if order[-1] not in now or (changes, [*before, order]) < now[order[-1]]:
                now[order[-1]] = changes, [*before, order]
        best = now
    return min(best.values())[1]


def _orders(threads: Sequence[int], fixed: Sequence[int]) -> list[_Order]:
    """Return one order for each possible pair of first and last thread."""
    free = [one for one in threads if one not in fixed]
    if len(free) < 2:
        return [(*fixed, *free)]
    firsts = [()] if fixed else [(one,) for one in free]
    return [
        (*fixed, *first, *(one for one in free if one not in (*first, last)), last)
        for first in firsts
        for last in free
        if last not in first
    ]
