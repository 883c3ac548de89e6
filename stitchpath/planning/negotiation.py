"""Jobs share out how often each line may be sewn, so that none takes what a later one needs more.

Routed one after another, each job takes what it likes of a seam's most times, and the later ones pay with
tie-offs. So the jobs are first routed as if each could have all of it. Where more is taken than there is,
travel gets a price, which rises with the excess, and all jobs are routed again (negotiated congestion, as
circuits are routed: McMurchie and Ebeling 1995). Then they are routed in earnest: each keeps its hands off
what the later ones took, and pays no price. The cheapest of all plans within the limits counts, and jobs that
take turns without a thought are among them.

The prices prove something, too: what all jobs cost at least with them, less what the prices of all that there
is come to, bounds every plan from below (a Lagrange multiplier for each line; `plan_bound`).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from stitchpath.planning.crossings import charge_crossings
from stitchpath.planning.paths.building_up import charge_building_up
from stitchpath.planning.router import Route, Router, Working
from stitchpath.planning.schedule import Job
from stitchpath.settings import Effort

__all__ = ["Shared", "route_in_turn"]

_ROUNDS, _QUICK_ROUNDS, _ROUTED, _PASSES = 8, 2, 200, 2
"""So many rounds with prices at most, fewer where so many jobs are routed by then; so often in earnest."""

_RISE, _HIGHEST = 1.0, 30.0
"""In each round a price rises by so many times what travel costs for each time too many, and no higher."""

_ALIKE, _QUICK_ALIKE = 0.005, 0.02
"""Jobs that take turns, and pay no more than this share above what they would without limits, are let be: at
"quick" rounds that gained 0.1 % took 10 of 16 s on a top of 10 x 10 blocks (2026-12-01)."""

_TURNS, _QUICK_TURNS = 2, 4
"""While jobs negotiate, first plans that were turned a few times will do; at "quick" they are kept."""

_FREE_TIMES = 9
"""As often as anything may be sewn."""

_EARNEST: Mapping[Effort, float] = MappingProxyType({"quick": 1.0, "standard": 15.0, "proof": 40.0})
"""How much longer routing in earnest takes than a round: estimated, for the bar only."""

_Times = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Shared:
    """Routes within all limits, and the prices that jobs negotiated.

    Attributes
    ----------
    routes
        In sewing order.
    price
        (m,) for one more time over each edge, in whole units.
    """

    routes: tuple[Route, ...]
    price: _Times


@dataclass(eq=False)
class _Told:
    """Tells how the work of all rounds is coming on, and of the routing in earnest that follows them."""

    working: Working | None
    rounds: int
    earnest: float
    begun: int = field(default=-1, init=False)

    def round(self, router: Router) -> Router:
        """Return a router for the next round, which tells of it."""
        if self.working is None:
            return router
        self.begun += 1
        done, tell = min(self.begun, self.rounds - 1), self.working
        what = f"sharing out the lines, round {self.begun + 1}"
        return replace(router, working=lambda _, share: tell(what, (done + share) / self.all))

    def last(self, router: Router) -> Router:
        """Return a router in earnest, which tells of itself."""
        if self.working is None:
            return router
        tell = self.working
        return replace(
            router, working=lambda _, share: tell("", (self.rounds + share * self.earnest) / self.all)
        )

    @property
    def all(self) -> float:
        """All work, in rounds."""
        return self.rounds + self.earnest


def route_in_turn(router: Router, jobs: Sequence[Job]) -> Shared:
    """Route jobs so that they share how often each line may be sewn.

    Parameters
    ----------
    router
        With true costs and limits.
    jobs
        In their order.

    Returns
    -------
    Shared
        The cheapest routes found, and the last prices.
    """
    free = np.zeros(len(router.network.tails), dtype=np.int64)
    if len(jobs) < 2:
        return Shared(router.route(jobs), free)
    turns = _QUICK_TURNS if router.effort == "quick" else _TURNS
    quick = replace(router, effort="quick", progress=None, job_begins=None, turns=turns)
    rounds = _QUICK_ROUNDS if router.effort == "quick" else min(_ROUNDS, max(3, _ROUTED // len(jobs)))
    alike = _QUICK_ALIKE if router.effort == "quick" else _ALIKE
    told = _Told(router.working, 2 + rounds + _PASSES, _EARNEST[router.effort])
    chosen, price = _shared_out(quick, jobs, rounds, alike, told)
    if router.effort == "quick":
        router = replace(router, turns=turns)
    return Shared(told.last(router).route(jobs, kept=chosen), price)


def _shared_out(
    router: Router, jobs: Sequence[Job], rounds: int, alike: float, told: _Told
) -> tuple[Sequence[_Times] | None, _Times]:
    """Return what each job must leave for the later ones, None for nothing; and the last prices."""
    weights = router.weights
    unlimited = replace(weights, most=np.where(weights.most > 0, _FREE_TIMES, 0))
    price = np.zeros(len(weights.most), dtype=np.int64)
    routes = told.round(replace(router, weights=unlimited)).route(jobs)
    used = _used(routes, jobs, len(price))
    over = _over(used, weights.most)
    if not over.any():
        return None, price
    least = _cost(router, told.round(router).route(jobs))
    if least <= (1 + alike) * _cost(router, routes):
        return None, price
    for _ in range(rounds):
        price = np.minimum(price + (_RISE * over * weights.travel).astype(np.int64), _dearest(weights.travel))
        priced = unlimited.raised(price)
        used = _used(told.round(replace(router, weights=priced)).route(jobs), jobs, len(price))
        over = _over(used, weights.most)
        if not over.any():
            break
    chosen: Sequence[_Times] | None = None
    for _ in range(_PASSES):
        kept = tuple(_later(used))
        routes = told.round(router).route(jobs, kept=kept)
        cost = _cost(router, routes)
        if cost >= least:
            break
        least, chosen, used = cost, kept, _used(routes, jobs, len(price))
    return chosen, price


def _dearest(travel: _Times) -> _Times:
    return (_HIGHEST * travel).astype(np.int64)


def _over(used: Sequence[_Times], most: _Times) -> _Times:
    """Return how many times too many each edge is sewn."""
    over: _Times = np.maximum(sum(used, np.zeros_like(most)) - most, 0) * (most > 0)
    return over


def _later(used: Sequence[_Times]) -> Iterator[_Times]:
    """Yield for each job what those after it use."""
    left = sum(used, np.zeros_like(used[0]))
    for own in used:
        left = left - own
        yield left


def _used(routes: Sequence[Route], jobs: Sequence[Job], size: int) -> tuple[_Times, ...]:
    """Return how often each job, in its order, sews each edge."""
    of = {id(route.job): route for route in routes}
    return tuple(
        np.bincount(np.concatenate([trail.edges for trail in of[id(job)].trails]), minlength=size)
        for job in jobs
    )


def _cost(router: Router, routes: Sequence[Route]) -> float:
    charged = charge_crossings(routes, router.network, router.weights, router.solver.faces)
    return sum(route.routed.cost for route in charge_building_up(charged, router.weights))
