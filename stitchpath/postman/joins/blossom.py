"""The only module that calls PyMatching: minimum-weight joins by the sparse blossom method.

What PyMatching must be given (measured): a sparse matrix, since its other way in drops weights that are too
large with a mere warning; whole weights from 1 to 2**24 - 1, since a single fraction rescales them all, and
zeros are slow; no distance of 2**30 or more, near which it hangs; and no parallel edges.

A large case runs in a child process, since a matching does not react to Ctrl-C. It takes as long as it takes:
if the clock decided, a busy machine would give another plan. Only four hours of the child's own CPU, which
mean that it hangs, end it, and that is an error, not another plan.

A small join's time is mostly preparation: of 1.2 ms for 77 odd vertices, the matching itself takes 0.16,
building PyMatching's graphs 0.7, and the matrix they are read from 0.2. So fewer joins gain more than faster
ones (measured 2026-11-27).
"""

import io
import os
import signal
import subprocess
import sys
from contextlib import suppress
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["CHILD_EDGES", "CHILD_FROM", "match", "match_here"]

CHILD_FROM, CHILD_EDGES = 20_000, 50_000
"""From this many odd vertices, or this many edges, on, a child process does the work."""

_HANG_S = 4 * 3600
"""Seconds of a processor's time that only a child that hangs can take."""


def match(
    one: NDArray[np.intp], other: NDArray[np.intp], weight: NDArray[np.int64], odd: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """Return which edges make up the cheapest join.

    Parameters
    ----------
    one, other
        (m,) ends of the edges; an `other` of -1 is the free vertex, whose parity does not count.
    weight
        (m,) whole numbers from 1 to 2**24 - 1.
    odd
        (n,) the vertices to be joined; their number is even in each component without the free vertex.

    Raises
    ------
    ChildError
        If the process that does a large case was ended from outside.

    Examples
    --------
    >>> match(np.array([0, 1]), np.array([1, -1]), np.array([5, 3]), np.array([True, False]))
    array([ True,  True])
    >>> match(np.array([], int), np.array([], int), np.array([], int), np.array([], bool))
    array([], dtype=bool)
    """
    if np.count_nonzero(odd) < CHILD_FROM and (len(one) < CHILD_EDGES or not odd.any()):
        return match_here(one, other, weight, odd)
    return _match_in_child(one, other, weight, odd)


def match_here(
    one: NDArray[np.intp], other: NDArray[np.intp], weight: NDArray[np.int64], odd: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """Do what `match` does in this process.

    Parameters
    ----------
    one, other, weight
        (m,) the ends of each edge, and what it costs in whole units.
    odd
        (n,) which vertices are to be odd.

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
spec = spec_from_file_location("blossom", sys.argv[1])
blossom = module_from_spec(spec)
spec.loader.exec_module(blossom)
blossom.work()
"""


def _match_in_child(*arrays: NDArray[Any]) -> NDArray[np.bool_]:
    """Match in a process of its own, which loads this file alone: the package would take as long again.

    All goes through pipes, so that whatever ends either process leaves nothing behind.
    """
    from stitchpath.postman.errors import ChildError

    paths = os.pathsep.join(part or str(Path.cwd()) for part in sys.path)
    try:
        done = subprocess.run(
            [sys.executable, "-c", _CHILD, __file__],
            check=False,
            input=_packed(*arrays),
            capture_output=True,
            start_new_session=True,  # Ctrl-C is for whoever asked, who may want to go on
            env=os.environ | {"PYTHONPATH": paths},
        )
        why = _why(done)
    except OSError as error:
        why = f"could not be begun ({error.strerror})"
    if why:
        raise ChildError(
            f"the process that matches trail ends {why}; free memory, or plan fewer lines at once"
        )
    return _unpacked(done.stdout, 1)[0]


def _why(done: "subprocess.CompletedProcess[bytes]") -> str:
    """Say why a process failed; nothing where it did not."""
    if done.returncode < 0:
        known = {number.value: number.name for number in signal.Signals}
        return f"was ended by {known.get(-done.returncode, f'signal {-done.returncode}')}"
    said = done.stderr.decode(errors="replace").strip() or str(done.returncode)
    return f"failed ({said.splitlines()[-1]})" if done.returncode else ""


def _packed(*arrays: NDArray[Any]) -> bytes:
    pack = io.BytesIO()
    for array in arrays:
        np.save(pack, array, allow_pickle=False)
    return pack.getvalue()


def _unpacked(pack: bytes, count: int) -> list[NDArray[Any]]:
    read = io.BytesIO(pack)
    return [np.load(read, allow_pickle=False) for _ in range(count)]


def work() -> None:
    """Read a case from standard input, and write its join to standard output: the child's whole task."""
    with suppress(ImportError):  # there are no such limits everywhere
        import resource

        most = resource.getrlimit(resource.RLIMIT_CPU)[1]
        least = _HANG_S if most == resource.RLIM_INFINITY else min(most, _HANG_S)
        resource.setrlimit(resource.RLIMIT_CPU, (least, most))
    arrays = _unpacked(sys.stdin.buffer.read(), 4)
    sys.stdout.buffer.write(_packed(match_here(*arrays)))
