"""What a plan made elsewhere comes to, measured against a drawing: data only."""

from dataclasses import dataclass

from stitchpath.figures.ends import lifts_mm
from stitchpath.lines import Line
from stitchpath.plan import Plan

__all__ = ["EndsFound", "Foreign", "MissedLine"]


@dataclass(frozen=True, slots=True)
class MissedLine:
    """A line that is not sewn over its whole length.

    Attributes
    ----------
    line
        Its id in the drawing, counted from 1.
    block, motif, role
        Where it is, who asked for it, and what it is.
    missed_mm, whole_mm
        How much of it is not sewn, and how long it is.
    """

    line: int
    block: str
    motif: str
    role: str
    missed_mm: float
    whole_mm: float


@dataclass(frozen=True, slots=True)
class EndsFound:
    """Where paths end, two ends to a path.

    Attributes
    ----------
    in_seams
        In seams, basting or the binding allowance.
    on_lines
        On other lines asked for.
    off_lines
        Where neither is.
    """

    in_seams: int
    on_lines: int
    off_lines: int


@dataclass(frozen=True, slots=True)
class Foreign:
    """What paths of unknown make come to against a drawing.

    Lengths in millimetres. Stitching is on the line that it follows within the tolerance, the nearest one;
    stretches shorter than the tolerance are not told.

    Attributes
    ----------
    length_mm
        Needle-down length of everything.
    asked_mm, covered_mm
        Length of the lines asked for, and of what of them is sewn.
    missed
        The lines of which something is not sewn, the longest missing length first.
    twice_mm
        Length of asked lines that is sewn more than once.
    travel_mm
        Needle-down length over asked lines for the second time and more, and along hidden seams and lines
        that are left to the hand; what lies on no line is apart.
    off_mm
        Needle-down length on no line, in open cloth.
    keep_out_mm
        Needle-down length on no asked line, inside keep-outs.
    ends
        Where the paths end.
    tolerance_mm
        Within what distance stitching is on a line.
    plan
        The paths, with sewing and travel told apart, and the settings of what it was measured against: so
        that figures can be counted as of any plan. Stitching on no line is travel there, on lines appended
        to the drawing. It has no job and no bound, since nothing is proven of it, and no band is known.
    strayed
        Those lines: the stitching on no line, piece by piece, in keep-outs as well.
    """

    length_mm: float
    asked_mm: float
    covered_mm: float
    missed: tuple[MissedLine, ...]
    twice_mm: float
    travel_mm: float
    off_mm: float
    keep_out_mm: float
    ends: EndsFound
    tolerance_mm: float
    plan: Plan
    strayed: tuple[Line, ...]

    @property
    def paths(self) -> int:
        """How many unbroken lines of stitching."""
        return len(self.plan.paths)

    @property
    def lifts(self) -> int:
        """How many needle-up moves between them."""
        return max(self.paths - 1, 0)

    @property
    def lifts_mm(self) -> float:
        """The length of those moves."""
        return float(lifts_mm(self.plan.paths).sum())

    @property
    def share(self) -> float:
        """What part of the lines asked for is sewn; 1 where none is asked for."""
        return self.covered_mm / self.asked_mm if self.asked_mm else 1.0
