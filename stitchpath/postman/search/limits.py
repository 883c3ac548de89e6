"""How much work the search may take, and from where on it is worth it: one table.

Limits count rounds, plans, nodes of a search tree or simplex iterations, never seconds, so that the same
input comes to the same plan on every machine. Where no measurement is told, a number was not tuned.
"""

from dataclasses import dataclass

import numpy as np

from stitchpath.postman.model.net import Net

__all__ = [
    "CORE",
    "FAR",
    "GROWN",
    "HALVES",
    "PROOF",
    "ROUNDS",
    "SETTLED",
    "SMALL",
    "TRUST",
    "TURNED",
    "Budget",
]


@dataclass(frozen=True)
class Budget:
    """So many rounds, plans or nodes, each of which looks at all edges: fewer where there are more edges.

    Attributes
    ----------
    most
        How many on a small network.
    work
        Edges looked at in all.
    """

    most: int
    work: int

    def on(self, net: Net) -> int:
        """Return how many on a network, one at least.

        Examples
        --------
        >>> from stitchpath.postman.model.net import make_net
        >>> from stitchpath.postman.model.problem import Problem
        >>> net = make_net(Problem(2, *(np.array([x]) for x in (0, 1, 3, True, 1)), None))
        >>> Budget(5, 100).on(net), Budget(5, 3).on(net), Budget(5, 0).on(net)
        (5, 3, 1)
        """
        return int(np.clip(self.work // len(net.tails), 1, self.most))


@dataclass(frozen=True)
class _Rounds:
    """Rounds of the linear program."""

    standard: Budget = Budget(120, 3_000_000)
    """All of them up to 25,000 edges; fewer on more, where each takes longer."""
    proof: Budget = Budget(400, 3_000_000)
    """More, since what they leave open the search must prove."""


@dataclass(frozen=True)
class _Halves:
    """Rounds of zero-half cuts."""

    walks: int = 4
    """Closed walks: eight took 41 % more time on eight harder published instances, and gained nothing."""
    trails: int = 8
    """Laps always at 3 x 3: eight rounds prove 47.86 million units of 47.97, twelve 47.89, and no more."""
    hastened: int = 1
    """At "standard", trails too many to be searched whole."""
    proof: int = 16
    """Of the 190 units that cuts leave on UR532, sixteen left 8 to 12."""


@dataclass(frozen=True)
class _Far:
    """How far apart plan and bound are, as a share, where a dive is worth its time."""

    walks: float = 0.02
    trails: float = 0.0025
    """At half a percent, laps always on 20 x 20 blocks were left at 0.47 %."""


@dataclass(frozen=True)
class _Grown:
    """Plans grown from relaxed answers."""

    plans: Budget = Budget(30, 40_000)
    """Each is a join; they take a fifth to a third of the time on published instances."""
    prices: tuple[float, float] = (0.6, 1.2)
    """Multipliers are changed by factors between these, so that answers differ and stay good."""


@dataclass(frozen=True)
class _Core:
    """The integer programs over the most promising edges."""

    share: float = 1.6
    """So many times the edges that the linear program or the plan uses, the rest by their reduced costs."""
    nodes: int = 20
    """Of each program's search tree: few, since answers that fall apart ask for a program with their cuts."""
    each: int = 4
    """Simplex iterations for each edge searched; six, and three times as many trees turned, took a seventh
    more time for 0.005 % of the cost, on three seeds of the published instances."""
    most: int = 300_000
    """Simplex iterations in all, so that large tops do not take minutes."""
    merging: int = 1_500
    """Simplex iterations where the edges are those in which a few plans differ: few, and soon searched."""


@dataclass(frozen=True)
class _Small:
    """The search of a small network, whole."""

    rounds: int = 200
    halves: int = 8
    """As many as trails have."""
    patience: int = 20
    """Rounds that gain little before the linear program is left: after six it had stopped 25 and 42 % below
    the optimum on two jobs of blocks."""
    nodes: Budget = Budget(1_000, 200_000)
    """Of each program's search tree."""
    work: Budget = Budget(20_000, 4_000_000)
    """Simplex iterations: with these and the nodes all of 24 jobs of 16 blocks were proven."""


@dataclass(frozen=True)
class _Proof:
    """The search until it is proven."""

    nodes: int = 200_000
    work: int = 50_000_000
    """A stop for what might not end: all 24 published instances at hand are proven within 26 s."""


@dataclass(frozen=True)
class _Settled:
    """The proof in whole numbers that a plan is a cheapest one."""

    links: int = 4_000
    """Its rows are multiplied in whole numbers at every node: not on larger networks."""
    nodes: Budget = Budget(400, 200_000)
    """Linear programs."""
    short: int = 3
    """Only a bound that falls short by no more than so many times `TRUST` may do so by rounding alone."""


TURNED = Budget(20, 400_000)
"""Rounds in which trees are turned; see `CORE.each`."""

ROUNDS, HALVES, FAR, GROWN = _Rounds(), _Halves(), _Far(), _Grown()
CORE, SMALL, PROOF, SETTLED = _Core(), _Small(), _Proof(), _Settled()

TRUST = 1e-6
"""By so much, as a share, a program's value may err: what HiGHS keeps to, and its scaling."""
