"""Solves the relaxed problem, world by world: what every plan must cost at least.

A trail may begin free at a door d of a world, since the needle stands there already or runs on from an end
that is already paid. That flips the parity of d, and leaves the world one terminal, joined to every touching
junction, since its other end is d.

A world with few odd vertices gets its terminals at once. Of 168 jobs of blocks, every one lacked ends without
them and had to be joined twice. With terminals at once, with components computed once for a join, and with
chains followed all together (`stitchpath.postman.smaller.condense`), the bounds of such jobs take 60 to 67 %
of the time they took before, "quick" 85 %, and the published instances 88 % (measured 2026-11-27, before and
after in turn, since the machine's own speed varies by a factor of two).

What terminals at once gain (measured 2026-11-30; the bounds are the same; seconds of CPU of `lower_bound`
over all jobs):

                              s without   with
    18 jobs of blocks, 4 x 4       0.14   0.10
"""

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.model.net import NO_DOORS
from stitchpath.postman.relaxed.answer import Relaxed, SomeWorlds, answer, mixed
from stitchpath.postman.relaxed.end_rebates import LACKING_FROM, large, with_rebate
from stitchpath.postman.relaxed.worlds import Worlds

__all__ = ["relax"]

_LITTLE = 300
"""With at most this many odd vertices and worlds together, terminals cost less than a second join would."""


def relax(
    worlds: Worlds, *, doors: NDArray[np.intp] = NO_DOORS, toll: NDArray[np.int64] = NO_DOORS
) -> Relaxed:
    """Solve the relaxed problem, each world that holds doors being entered by one of them.

    Terminals cost time, and a world whose cheapest join has its ends without them does not need them: two
    ways out stand for two terminals at the same cost. So only worlds that turn out to lack ends get them;
    where little is to be joined all get them at once.

    Parameters
    ----------
    worlds
        See `find_worlds`.
    doors
        Vertices in worlds at which a trail may begin; one is used in each world that holds any.
    toll
        What each door costs, whole units.

    Returns
    -------
    Relaxed
        Its bounds hold for each world by itself, tolls included.
    """
    whole = SomeWorlds(worlds, np.ones(worlds.count, bool), doors, toll)
    big = large(whole)
    small = whole.of(~big)
    at_once = bool(np.count_nonzero(worlds.odd & small.here) + worlds.count <= _LITTLE)
    if worlds.ways is None or at_once:
        found, lacking = answer(small, forced=worlds.ways is not None)[0], np.zeros_like(big)
    else:
        found, ends = answer(small)
        lacking = ~big & (ends < small.least)
    if lacking.any():
        big = big | (lacking & large(whole, least=LACKING_FROM))
        lacking = lacking & ~big
        forced, _ = answer(small.of(lacking), forced=True)
        found = mixed(worlds, found, forced, lacking)
    for world in np.flatnonzero(big):
        one = np.arange(worlds.count) == world
        found = mixed(worlds, found, with_rebate(whole.of(one), int(world)), one)
    return found
