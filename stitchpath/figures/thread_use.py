"""How much thread stitching takes, by the published model of the lockstitch or from one measured yard.

Stitch type 301 is the lockstitch (ISO 4915). Needle and bobbin together take 2 + 2 T S of thread for each
length of seam, where T is the thickness of the layers and S the number of stitches in a length; T = 0.025 in
and S = 10 to the inch give 2.5 (a geometric model from published textile notes). The stitch is taken as
balanced: half the thread is the needle's, half the bobbin's. From a measured yard follows the thickness,
above and below, at which the model takes what was measured, so that basting and small stitches, which have
another length, follow from it as well.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.lines import SECURE_STITCHES, Line, Role
from stitchpath.plan import Move, StitchPath
from stitchpath.settings import BattingSettings, MachineSettings
from stitchpath.units import MM_PER_YARD

__all__ = ["Lockstitch", "bastes", "lockstitch", "usable_bobbin_mm"]


@dataclass(frozen=True, slots=True)
class Lockstitch:
    """What stitches take of a machine's threads.

    Attributes
    ----------
    needle_mm, bobbin_mm
        How much thread each stitch takes beside its length, above and below: the layers' thickness, or what
        was measured.
    stitch_mm, basting_mm
        Stitch lengths.
    tail_mm
        What is left at each end of a path, above and below.
    """

    needle_mm: float
    bobbin_mm: float
    stitch_mm: float
    basting_mm: float
    tail_mm: float

    def spans(self, path: StitchPath, lines: Sequence[Line]) -> NDArray[np.float64]:
        """Return what each of a path's spans takes, (spans, 2): needle, bobbin; without the tails.

        Examples
        --------
        >>> lockstitch(MachineSettings(), BattingSettings()).spans(StitchPath([(0, 0)], ()), ())
        array([], shape=(0, 2), dtype=float64)
        """
        mm = path.spans_mm
        stitches = np.array(
            [
                SECURE_STITCHES
                if span.move is Move.SECURE
                else length / (self.basting_mm if bastes(span.line, lines) else self.stitch_mm)
                for span, length in zip(path.spans, mm.tolist(), strict=True)
            ]
        )
        beside = np.array([self.needle_mm, self.bobbin_mm])
        thread: NDArray[np.float64] = mm[:, None] + stitches[:, None] * beside
        return thread


def bastes(line: int | None, lines: Sequence[Line]) -> bool:
    """Tell whether a line, by its id, is basting; None is a hidden seam.

    Examples
    --------
    >>> bastes(None, ()), bastes(1, [Line([(0, 0), (9, 0)], Role.BASTE)])
    (False, True)
    """
    return line is not None and line <= len(lines) and lines[line - 1].role is Role.BASTE


def lockstitch(machine: MachineSettings, batting: BattingSettings) -> Lockstitch:
    """Return what stitches take on a machine, through some batting.

    Examples
    --------
    Ten stitches to the inch through 0.025 in take 2.5 times the seam:

    >>> thin = lockstitch(MachineSettings(), BattingSettings(thickness="0.025 in"))
    >>> round((2 * 25.4 + 10 * (thin.needle_mm + thin.bobbin_mm)) / 25.4, 9)
    2.5
    """
    needle, bobbin = machine.needle_thread_per_yard, machine.bobbin_thread_per_yard
    stitch = machine.stitch_length
    if needle is None or bobbin is None:
        above = below = batting.thickness
    else:
        above, below = ((thread / MM_PER_YARD - 1) * stitch for thread in (needle, bobbin))
    return Lockstitch(above, below, stitch, machine.basting_length, machine.tail)


def usable_bobbin_mm(machine: MachineSettings) -> float:
    """Return how much of a bobbin's thread comes into seams and tails.

    Examples
    --------
    >>> usable_bobbin_mm(MachineSettings(bobbin_m=100, thread_waste=0.1))
    90000.0
    """
    return 1000 * machine.bobbin_m * (1 - machine.thread_waste)
