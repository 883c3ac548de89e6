"""The one place that calls PyMatching: minimum-weight joins by the sparse blossom method.

What it must be given (measured): a sparse matrix, since its other way in drops too large a weight with a
mere warning; whole weights from 1 to 2**24 - 1, since one fraction rescales them all and zeros are slow; no
distance of 2**30 or more, near which it hangs; no parallel columns. A large case runs in a child process
that can be killed, since its time has a heavy tail.
"""

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["BUDGET_S", "CHILD_EDGES", "CHILD_FROM", "Purse", "match", "match_here", "sharing"]

CHILD_FROM, CHILD_EDGES = 6_000, 50_000
"""From so many odd vertices or so many edges on, a child process does the work."""

BUDGET_S = 30.0
"""So long may a child take."""

_LEAST_S = 0.2
"""A child is not begun for less."""


@dataclass
class Purse:
    """Seconds that children may still take, and whether one was ended or not even begun for lack of them."""

    left_s: float
    spent: bool = False


_PURSE: ContextVar[Purse | None] = ContextVar("purse", default=None)

_NAMES = ("one", "other", "weight", "odd")


@contextmanager
def sharing(budget_s: float) -> Iterator[Purse]:
    """Let all children begun inside share so many seconds: once they are spent, none is begun any more.

    Inside another such block that one's seconds are spent too.

    Examples
    --------
    >>> with sharing(30.0) as purse:
    ...     match(np.array([], int), np.array([], int), np.array([], int), np.array([], bool))
    array([], dtype=bool)
    >>> purse
    Purse(left_s=30.0, spent=False)
    """
    outer = _PURSE.get()
    given = budget_s if outer is None else min(budget_s, outer.left_s)
    purse = Purse(given)
    token = _PURSE.set(purse)
    try:
        yield purse
    finally:
        _PURSE.reset(token)
        if outer is not None:
            outer.left_s -= given - purse.left_s
            outer.spent |= purse.spent


def match(
    one: NDArray[np.intp],
    other: NDArray[np.intp],
    weight: NDArray[np.int64],
    odd: NDArray[np.bool_],
    *,
    budget_s: float | None = None,
) -> NDArray[np.bool_] | None:
    """Return which edges make up the cheapest join, or None where the budget is spent.

    Parameters
    ----------
    one, other
        (m,) ends of the edges; an `other` of -1 is the free vertex, whose parity does not count.
    weight
        (m,) whole numbers from 1 to 2**24 - 1.
    odd
        (n,) the vertices to be joined; their number is even in each component without the free vertex.
    budget_s
        So long may a large case take; None: `BUDGET_S`. Less, where less is left of what it shares.

    Examples
    --------
    >>> match(np.array([0, 1]), np.array([1, -1]), np.array([5, 3]), np.array([True, False]))
    array([ True,  True])
    >>> match(np.array([], int), np.array([], int), np.array([], int), np.array([], bool))
    array([], dtype=bool)
    """
    if np.count_nonzero(odd) < CHILD_FROM and (len(one) < CHILD_EDGES or not odd.any()):
        return match_here(one, other, weight, odd)
    budget_s = BUDGET_S if budget_s is None else budget_s
    return _match_in_child((one, other, weight, odd), budget_s, _PURSE.get() or Purse(budget_s))


def match_here(
    one: NDArray[np.intp], other: NDArray[np.intp], weight: NDArray[np.int64], odd: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """Do what `match` does in this process, however long it takes.

    Examples
    --------
    >>> match_here(np.array([0]), np.array([1]), np.array([5]), np.array([True, True]))
    array([ True])
    """
    if not odd.any():
        return np.zeros(len(one), bool)
    from pymatching import Matching

    matching = Matching()
    matrix = _columns(one, other, len(odd))
    matching.load_from_check_matrix(matrix, weights=weight.astype(np.float64), use_virtual_boundary_node=True)
    return np.asarray(matching.decode(odd.astype(np.uint8)), bool)


def _columns(one: NDArray[np.intp], other: NDArray[np.intp], size: int) -> Any:
    from scipy.sparse import csc_matrix

    both = np.stack([one, other], axis=1).astype(np.int32)
    starts = np.zeros(len(one) + 1, np.int32)
    np.cumsum(2 - (other < 0), out=starts[1:])
    rows = both[both >= 0]
    return csc_matrix((np.ones(len(rows), np.uint8), rows, starts), shape=(size, len(one)))


_CHILD = """
import sys
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
spec = spec_from_file_location("blossom", sys.argv[1])
blossom = module_from_spec(spec)
spec.loader.exec_module(blossom)
blossom.work(Path(sys.argv[2]))
"""


def _match_in_child(
    arrays: tuple[NDArray[Any], ...], budget_s: float, purse: Purse
) -> NDArray[np.bool_] | None:
    """Match in a process of its own, and pay for it."""
    begun, answer = time.monotonic(), None
    if purse.left_s >= _LEAST_S:
        answer = _ask_child(arrays, min(budget_s, purse.left_s))
    purse.left_s -= time.monotonic() - begun
    purse.spent |= answer is None
    return answer


def _ask_child(arrays: tuple[NDArray[Any], ...], budget_s: float) -> NDArray[np.bool_] | None:
    """Match in a process of its own, which loads this file alone: the package would take as long again."""
    with tempfile.TemporaryDirectory() as folder:
        for name, array in zip(_NAMES, arrays, strict=True):
            np.save(Path(folder, f"{name}.npy"), array, allow_pickle=False)
        paths = os.pathsep.join(part or str(Path.cwd()) for part in sys.path)
        try:
            subprocess.run(
                [sys.executable, "-c", _CHILD, __file__, folder],
                check=True,
                timeout=budget_s,
                capture_output=True,
                start_new_session=True,  # Ctrl-C is for whoever asked, who may want to go on
                env=os.environ | {"PYTHONPATH": paths},
            )
        except subprocess.TimeoutExpired:
            return None
        answer: NDArray[np.bool_] = np.load(Path(folder, "join.npy"), allow_pickle=False)
        return answer


def work(folder: Path) -> None:
    """Read a case from `folder`, and write its join there: the child's whole task."""
    arrays = [np.load(folder / f"{name}.npy", allow_pickle=False) for name in _NAMES]
    np.save(folder / "join.npy", match_here(*arrays), allow_pickle=False)
