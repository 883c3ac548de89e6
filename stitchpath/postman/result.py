"""What `rural_postman` returns, as data."""

from collections.abc import Hashable, Mapping
from dataclasses import dataclass

__all__ = ["Past", "Result", "Step"]

Step = tuple[Hashable, Hashable, Hashable]
"""One traversal (u, v, key) from u to v; key is None in a simple graph."""


@dataclass(frozen=True)
class Past:
    """A smaller problem that costs no more: ways past nodes that nothing requires, in place of those there.

    Attributes
    ----------
    nodes
        The nodes that are left out, and all edges there.
    ways
        (u, v, cost in whole units): optional edges that may be taken twice, in place of all such edges of the
        graph.
    ends
        Of trails: where one may end or begin by a way past nodes for less than there, and for how many units.
    """

    nodes: tuple[Hashable, ...]
    ways: tuple[tuple[Hashable, Hashable, int], ...]
    ends: Mapping[Hashable, int]


@dataclass(frozen=True)
class Result:
    """A solution of a rural postman problem, and its certificate: what `verify` computes it again from.

    Attributes
    ----------
    cost
        In the caller's unit: every traversal, the required first ones too, and the trails' ends.
    bound
        Proven: no solution costs less.
    optimal
        Whether cost and bound are equal as whole numbers of `unit`.
    walks
        Each a tuple of (u, v, key) steps, key None in a simple graph: one closed walk, or as many trails as
        pay. With `start` the first begins there; it is empty where the free beginning gains nothing.
    unit
        Costs were rounded to whole multiples of this: a power of two in which they are exact, or else the
        greatest has 23 bits.
    copies
        Traversals of each edge beyond the required first one, by (u, v, key) as the graph lists it.
    cuts
        Sets of nodes that every solution must enter and leave, in the graph's order, each with its Lagrange
        multiplier > 0 in fine units. `stitchpath.postman.proof.cut_bound` says how they prove the bound;
        without any, the minimum T-join alone does.
    fine
        2**fine fine units are one whole unit.
    program
        True where the bound is above what cuts prove and rests on a linear or an integer program besides.
    past
        The smaller problem that cuts and programs are about; None: the graph itself.
    matched
        False where a matching was too much work, so that bound or walks may be worse than they might be.
    """

    cost: float
    bound: float
    optimal: bool
    walks: tuple[tuple[Step, ...], ...]
    unit: float
    copies: Mapping[Step, int]
    cuts: tuple[tuple[tuple[Hashable, ...], int], ...] = ()
    fine: int = 0
    program: bool = False
    past: Past | None = None
    matched: bool = True
