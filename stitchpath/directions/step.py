"""One step of the list that directions and walk-through tell alike."""

from dataclasses import dataclass

__all__ = ["Step"]


@dataclass(frozen=True, slots=True)
class Step:
    """One numbered step.

    The steps of a path lie on it end to end, from its first point to its last: each begins at the point at
    which the one before ends. Bringing up the thread and tying it off are steps too, and hold the small
    stitches there, if any; else they are a single point.

    Attributes
    ----------
    number
        Counted from 1 through the whole plan.
    path, band, stage
        Where in the plan; paths and bands count from 1.
    block
        Under which block it stands; empty for the whole top.
    verb
        ``"bring up"``, ``"sew"``, ``"lap"``, ``"lines"``, ``"travel"``, ``"hop"``, ``"resume"``,
        ``"again"``, ``"as path"`` or ``"tie off"``.
    what
        On what: ``"the seam between rows 1 and 2"``.
    way
        Up, down, left, right, clockwise...; of lines, which way the first one goes.
    length_mm
        Needle-down length of the whole step, without small stitches; of ``"bring up"`` that of the needle-up
        move before it.
    count, spacing_mm
        How many lines, and from one to the next; how many times, of ``"again"``.
    first, last
        Point indices in the path, inclusive: all that the step covers, every time of ``"again"``.
    start_mm, end_mm
        The places of these.
    end
        Where it ends, in words.
    text
        The step in words.
    """

    number: int
    path: int
    band: int
    stage: str
    block: str
    verb: str
    what: str
    way: str
    length_mm: float
    count: int
    spacing_mm: float
    first: int
    last: int
    start_mm: tuple[float, float]
    end_mm: tuple[float, float]
    end: str
    text: str

    @property
    def heading(self) -> str:
        """Under which words it stands.

        Examples
        --------
        >>> where = (1, 1, 1, "detail"), ("tie off", "", "", 0.0, 1, 0.0, 9, 9, (0, 0), (0, 0), "", "")
        >>> [Step(*where[0], block, *where[1]).heading for block in ("row 1, column 2", "")]
        ['Row 1, column 2', 'The whole top']
        """
        return self.block[:1].upper() + self.block[1:] if self.block else "The whole top"
