"""The core: the best plan over some of the edges, by an integer program.

Degrees follow from parity, and every known cut must be crossed often enough. An answer that falls apart adds
the cuts that it violates, until an answer hangs together or none is cheaper than the plan at hand (the
cutting planes of Dantzig, Fulkerson and Johnson 1954). Over all edges that a cheaper plan may take, that
proves the plan.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.cuts.columns import Columns, Known
from stitchpath.postman.cuts.cut_sets import Taken, loose_cuts
from stitchpath.postman.cuts.highs import Whole, best_columns
from stitchpath.postman.graphs import hops, parity
from stitchpath.postman.model.net import Copies, Net, is_plan, price, stripped
from stitchpath.postman.search.first_plan import grown_plan
from stitchpath.postman.search.rotation import merged

__all__ = ["Core", "Found", "Program", "core_plan", "regional_plan"]

_SIZES, _PARTS, _GROWTH = (100, 400), 10, 4
"""Regions begin with a tenth of the edges, 100 to 400, and are doubled until they are four times that: larger
ones where there is more to search, and none that a program searches for long."""

_REGION_WORK = 6_000
"""After so many simplex iterations a region's next program is not begun: no region takes all of the work."""

_WORTH = 0.03
"""All regions are gone over again at the same size if they gained more than this share of what was left."""

_GROWN_SHARE = 20
"""Where one edge in so many, or more, is searched, plans are grown from answers that fall apart: a plan is
grown over the whole network, which takes too long for a small region."""

_Ints = NDArray[np.intp]
_Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Found:
    """The best plan found, and whether no cheaper one is left among those that differ in free edges only.

    `bound` is what those cost at least, `known` are the cuts known by then, `work` was spent.
    """

    plan: Copies | None
    ended: bool
    bound: float
    known: Known
    work: int


@dataclass(frozen=True)
class Program:
    """An integer program: columns from 0 to `upper` with costs, and rows from `least` to `most`."""

    costs: _Floats
    upper: _Floats
    rows: Any
    least: _Floats
    most: _Floats


@dataclass(frozen=True)
class Core:
    """Free edges, by their columns; `kept` are the copies of all others."""

    columns: Columns
    kept: Copies

    @property
    def net(self) -> Net:
        """The network."""
        return self.columns.net

    @cached_property
    def odd(self) -> NDArray[np.bool_]:
        """The vertices that free copies must make odd."""
        return parity(self.net.size, self.net.tails, self.net.heads, self.net.required + self.kept)

    @cached_property
    def corners(self) -> _Ints:
        """The vertices whose degree matters."""
        near, single = self.odd.copy(), self.columns.single
        near[self.net.tails[single]] = near[self.net.heads[single]] = True
        if self.net.hub >= 0:
            near[self.net.hub] = False
        return np.flatnonzero(near)

    def degrees(self) -> Any:
        """Return one row for each corner: its single edges, less twice the column of half its degree."""
        from scipy.sparse import coo_array

        place, single, free = np.full(self.net.size, -1), self.columns.single, len(self.columns)
        place[self.corners] = np.arange(len(self.corners))
        column = np.arange(len(single))
        rows = np.concatenate([place[self.net.tails[single]], place[self.net.heads[single]]])
        entries = np.concatenate([column, column])
        inner = rows >= 0
        halves = np.arange(len(self.corners))
        data = np.concatenate([np.ones(int(inner.sum())), np.full(len(halves), -2.0)])
        at = np.append(rows[inner], halves), np.append(entries[inner], free + halves)
        return coo_array((data, at), shape=(len(halves), free + len(halves))).tocsr()

    def crossings(self, known: Known) -> tuple[Any, _Floats]:
        """Return one row for each cut that kept copies do not cross often enough, and what it lacks."""
        rows, lack = self.columns.lacking(known, Taken.of_copies(self.kept))
        return self.widened(rows), lack

    def widened(self, rows: Any) -> Any:
        """Return rows with a place for each corner's half."""
        from scipy.sparse import csr_array, hstack

        return hstack([rows, csr_array((rows.shape[0], len(self.corners)))]).tocsr()

    def costs(self) -> _Floats:
        """Return the columns' costs, in whole units, halves among them."""
        return np.append(self.columns.costs, np.zeros(len(self.corners)))

    def program(self, known: Known) -> Program:
        """Return the integer program whose answers are plans, but for cuts that are not known yet."""
        from scipy.sparse import vstack

        odd = self.odd[self.corners].astype(np.float64)
        rows, lack = self.crossings(known)
        left = 1.0 - self.kept[self.net.choices].sum()
        costs = self.costs()
        upper = np.ones(len(costs))
        upper[len(self.columns) :] = len(self.columns.single)
        return Program(
            costs,
            upper,
            vstack([self.degrees(), rows, self.widened(self.columns.choices())]).tocsr(),
            np.concatenate([odd, lack, [-np.inf]]),
            np.concatenate([odd, np.full(len(lack), np.inf), [left]]),
        )

    def of_plan(self, plan: Copies) -> _Floats:
        """Return the columns that stand for a plan's copies, and the halves of degrees."""
        own, single = self.columns.of_copies(plan - self.kept), self.columns.single
        degree = np.bincount(self.net.tails[single], own[: len(single)], self.net.size)
        degree += np.bincount(self.net.heads[single], own[: len(single)], self.net.size)
        return np.append(own, (degree - self.odd)[self.corners] / 2)

    def copies(self, values: _Floats) -> Copies:
        """Return the copies that columns stand for."""
        taken = self.columns.taken(np.rint(values[: len(self.columns)]))
        copies = self.kept + taken.copies.astype(np.int8)
        return np.where(copies > 2, copies - 2, copies).astype(np.int8)


def core_plan(
    net: Net,
    plan: Copies | None,
    *,
    free: NDArray[np.bool_],
    known: Known,
    nodes: int,
    work: int,
    go_on: Callable[[int], bool] = lambda _: True,
) -> Found:
    """Seek the cheapest plan that differs from another in free edges only; never worse.

    Parameters
    ----------
    net, plan
        A plan on a network; None where none is known, so that all edges that are not free have no copies.
    free
        (m,) the edges whose copies may change.
    known
        Cuts known.
    nodes
        Most nodes of each program's search tree.
    work
        The number of simplex iterations after which no further program is started.
    go_on
        Asked after each program with the best plan's price; False stops.
    """
    columns, kept = Columns.of(net, free), np.zeros(len(free), np.int8)
    if plan is not None:
        kept = plan.copy()
        kept[columns.single] = 0
    core, total, ended, bound = Core(columns, kept), 0, False, -np.inf
    while total < work and not ended and (plan is None or go_on(price(net, plan))):
        answer = _answer(core, known, plan, nodes)
        total += answer.work + 1
        ended, bound = answer.ended, max(bound, answer.bound + price(net, kept))
        if answer.columns is None:
            break
        copies = core.copies(answer.columns)
        tidy = stripped(net, copies)
        if is_plan(net, tidy):
            better = plan is None or price(net, tidy) < price(net, plan)
            plan = tidy if better else plan
            if not better:
                break
        else:
            ended, known = False, known.and_more(net, loose_cuts(net, copies))
            if plan is not None and _GROWN_SHARE * len(columns.single) > len(net.open):
                other = grown_plan(net, ~net.required & (copies > 0))
                plan = plan if other is None else merged(net, plan, other)
    return Found(plan, ended, bound, known, total)


def _answer(core: Core, known: Known, plan: Copies | None, nodes: int) -> Whole:
    program = core.program(known)
    scale = max(1.0, float(np.abs(program.costs).max(initial=0)) / 1000)
    answer = best_columns(
        program.costs / scale,
        program.rows,
        program.least,
        program.most,
        upper=program.upper,
        gap=0.9 / scale,
        nodes=nodes,
        start=None if plan is None else core.of_plan(plan),
    )
    return replace(answer, bound=answer.bound * scale)


def regional_plan(
    net: Net,
    plan: Copies,
    *,
    free: NDArray[np.bool_],
    known: Known,
    goal: int,
    nodes: int,
    work: int,
    seed: int = 0,
    go_on: Callable[[int], bool] = lambda _: True,
) -> Found:
    """Improve a plan region by region, in larger and larger regions; never worse.

    Parameters
    ----------
    net, plan, free, known, nodes, go_on
        As for `core_plan`.
    goal
        A proven bound on the plan's price: reached, the work is done.
    work
        The number of simplex iterations after which no further region is started.
    seed
        Of the random vertices that regions lie around.
    """
    rng = np.random.default_rng(seed)
    able = np.flatnonzero(free & (net.extra > 0) & (net.tails != net.heads))
    size, best, found = _first_size(len(able)), plan, Found(plan, False, -np.inf, known, 0)
    last = size * _GROWTH
    while len(able):
        before = price(net, best)
        for inside in _regions(net, able, min(size, len(able)), rng):
            if price(net, best) <= goal or found.work >= work or not go_on(price(net, best)):
                return replace(found, ended=False, bound=-np.inf)
            more = core_plan(
                net,
                best,
                free=inside,
                known=found.known,
                nodes=nodes,
                work=min(work - found.work, _REGION_WORK),
                go_on=go_on,
            )
            best = best if more.plan is None else more.plan
            found = replace(more, work=found.work + more.work)
        if before - price(net, best) > _WORTH * (before - goal):
            continue
        if size >= min(len(able), last):
            break
        size *= 2
    return found if size >= len(able) else replace(found, ended=False, bound=-np.inf)


def _first_size(count: int) -> int:
    """Return the size of the first regions: larger where there is more to search."""
    return int(np.clip(count // _PARTS, *_SIZES))


def _regions(net: Net, edges: _Ints, size: int, rng: np.random.Generator) -> Iterator[NDArray[np.bool_]]:
    """Give regions of that many edges each, which together hold every edge, some of them more than once."""
    fresh = edges
    while len(fresh):
        near = _near(net, edges, int(net.tails[rng.choice(fresh)]))[:size]
        left = np.setdiff1d(fresh, near)
        fresh = left if len(left) < len(fresh) else fresh[:0]
        inside = np.zeros(len(net.tails), bool)
        inside[near] = True
        yield inside


def _near(net: Net, edges: _Ints, root: int) -> _Ints:
    """Sort edges by how many edges away from a vertex they are, the hub's aside."""
    far = hops(net.size, net.tails, net.heads, root, without=net.aside)
    away = np.where(net.inner, np.maximum(far[net.tails], far[net.heads]), far[net.tails])[edges]
    return edges[np.argsort(away, kind="stable")]
