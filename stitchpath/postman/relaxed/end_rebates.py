"""In a large world the least number of ends is paid for by a rebate instead of being forced.

Terminals force two ends in a world, at the price of two vertices joined to all its contacts. Matching is
slow, now and then by a factor of hundreds, where nothing nearby gains from going out: on tops of 24 x 24
blocks and larger it took from 2 s to over 100 s, by luck, and nothing that only changed the numbers (scale,
noise, order) helped (measured 2026-11-25).

But every plan has at least r ends in a world: two, or one where the world is entered. So if each end is made
cheaper by a rebate, the cheapest join plus r rebates bounds every plan from below (a Lagrange multiplier),
and a join that has exactly r ends proves itself the cheapest. A rebate is sought for which that is so. A high
one comes first: then many ends pay, and matching is fast.

What rebates gain (measured 2026-11-30; the bound is the same; seconds of CPU of `lower_bound` over all
jobs):

                                 s without   with
    20 x 20 blocks                    33.6    6.9
    laps always, 10 x 10 blocks        2.4   0.49
    all in one, 10 x 10 blocks         1.8   0.24

In the last case the bound is 0.04 % lower without them.

Worlds of 1,000 to 8,000 odd vertices get a rebate only if they lack ends. What that gains, with terminals in
its place (measured 2026-11-30; the bounds are the same; seconds of CPU of `lower_bound` of one job):

                                       odd  s without   with
    5 x 5 blocks                     2,230       0.16   0.15
    8 x 8 blocks                     5,644       0.77   0.36
    staggered, 5 x 5 blocks          2,644       0.43   0.29
    staggered, 7 x 7 blocks          5,096        4.9    2.4
    all in one, 7 x 7 blocks         4,370       0.19   0.12
    fill sewn last, 7 x 7 blocks     4,274       0.30   0.22
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.relaxed.answer import Relaxed, SomeWorlds, answer

__all__ = ["LACKING_FROM", "large", "with_rebate"]

LACKING_FROM = 1_000
"""From this many odd vertices on, terminals would take longer in a world that lacks ends."""

_LARGE = 8_000
"""From so many odd vertices on none is matched with terminals: it took from 2 s to over 100 s, by luck."""

_TRIES, _WORK, _LEAST_TRIES = 12, 2**19, 3
"""The most tries, and how many odd vertices may be matched in all of them together."""


@dataclass(frozen=True)
class _Found:
    """The best answer so far, the price of the plan it stands for, and the best bound."""

    best: Relaxed | None
    price: int
    bound: int

    @property
    def met(self) -> bool:
        return self.best is not None and self.price == self.bound


def large(some: SomeWorlds, *, least: int | None = None) -> NDArray[np.bool_]:
    """Return which worlds have enough odd vertices (or `least`) for this to pay; in trees nothing is slow."""
    worlds = some.worlds
    if worlds.ways is None:
        return np.zeros(worlds.count, bool)
    odd = np.bincount(worlds.of[worlds.odd & (worlds.of >= 0)], minlength=worlds.count)
    many = np.asarray(odd >= (_LARGE if least is None else least))
    return many & ~worlds.trees if many.any() else many


def with_rebate(some: SomeWorlds, world: int) -> Relaxed:
    """Answer for one world; the bound is proven, and met if a fitting rebate was found."""
    found = _found(some, world)
    if found.best is None:
        relaxed, _ = answer(some, forced=True)
        return replace(relaxed, lower=np.where(some.chosen, np.maximum(relaxed.lower, found.bound), 0))
    return replace(found.best, lower=np.where(some.chosen, found.bound, 0))


def _found(some: SomeWorlds, world: int) -> _Found:
    """Seek the rebate, in a counted number of tries."""
    dearest = int(some.worlds.pi[some.worlds.nearest[world]])
    least = int(some.least[world])
    found, few, many = _Found(None, 0, 0), -1, dearest + 1
    left = max(1, dearest // 8)
    odd = int(np.count_nonzero(some.worlds.odd & some.here))
    for _ in range(min(_TRIES, max(_LEAST_TRIES, _WORK // odd))):
        rebate = dearest - left
        relaxed, ends = answer(replace(some, rebate=rebate))
        count = int(ends[world]) if relaxed.matched else -1
        found = _better(found, relaxed, int(relaxed.lower[world]), count, least, rebate)
        few, many = (few, rebate) if count > least else (rebate, many)
        if found.met or many - few <= 1:
            break
        left = dearest - _next(few, many, dearest, count - least)
    return found


def _better(found: _Found, relaxed: Relaxed, lower: int, count: int, least: int, rebate: int) -> _Found:
    bound = max(found.bound, lower + least * rebate) if relaxed.matched else found.bound
    price = lower + count * rebate
    if count >= least and (found.best is None or price < found.price):
        return _Found(relaxed, price, bound)
    return replace(found, bound=bound)


def _next(few: int, many: int, dearest: int, over: int) -> int:
    """Choose the next rebate: a little smaller at first, then between the ones known to be on either side."""
    if few >= 0 and many <= dearest:
        return (few + many) // 2
    if few >= 0:
        return (few + dearest) // 2
    grown = (dearest - many) * (5 if over > 4 else 11) // (4 if over > 4 else 10) + 1
    return max(0, dearest - grown)
