"""What a proven bound rests on, so that others can check it.

A bound that the multipliers of cuts prove is exact: it is computed again in whole numbers. A bound that comes
from a linear or an integer program rests on a floating-point search, and its certificate says so (`program`).
Such a bound is lowered by a millionth; on problems that cost a few thousand units, that changes nothing.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.postman.smaller.bypass import Bypassed

__all__ = ["NO_CUTS", "Certificate"]


@dataclass(frozen=True)
class Certificate:
    """Cuts of connection and their multipliers: see `stitchpath.postman.cuts.cutting_planes`.

    Attributes
    ----------
    members, cut
        Vertices, and the cut that each of them lies in.
    pay
        (k,) the multiplier of each cut, in fine units.
    fine
        2**fine fine units are one whole unit.
    program
        Whether the bound is above what they prove, and rests on a linear or an integer program.
    smaller
        The smaller problem with the same optimum that all this is about; None: the problem itself.
    """

    members: NDArray[np.intp]
    cut: NDArray[np.intp]
    pay: NDArray[np.int64]
    fine: int = 0
    program: bool = False
    smaller: Bypassed | None = None


NO_CUTS = Certificate(np.zeros(0, np.intp), np.zeros(0, np.intp), np.zeros(0, np.int64))
"""Proves what the relaxed problem does."""
