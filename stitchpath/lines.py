"""What is stitched: lines and their roles, and keep-outs, where no stitch may go.

Two roles are hidden: `hidden` is a seam that nobody stitches, `allowance` the edge line in the binding
allowance where no basting was asked for. They are two, since an end shows less in the allowance. A `step` is
no line of a drawing: it is where the needle may step over open cloth from one ring to the next, at a price.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from stitchpath.errors import DesignError, refuse_other
from stitchpath.units import MM_PER_INCH

__all__ = [
    "BASTING_LENGTH_MM",
    "COLOURLESS_ROLES",
    "COVERED_MM",
    "HIDDEN_ROLES",
    "LEAST_STITCH_MM",
    "PIECED_SEAM_ROLES",
    "PLAIN_TIMES",
    "RESUME_MM",
    "ROLES",
    "ROLE_NAMES",
    "SEAM_ROLES",
    "SECURE_MM",
    "SECURE_STITCHES",
    "STEP_SLACK_MM",
    "UNASKED_ROLES",
    "Block",
    "KeepOut",
    "Line",
    "Role",
    "RoleRule",
    "Thread",
    "as_points",
    "least_visible_first",
    "motif_name",
]

COVERED_MM = 0.004
"""*Covered*, and *not deeper in a keep-out than*, everywhere. It is about files; cloth is good to 1 mm."""

STEP_SLACK_MM = 0.05
"""How much longer than its rings are apart where they are nearest a step may be: twice what flattening curves
does by default, and a little; no needle can tell."""

RESUME_MM = MM_PER_INCH / 4
"""How far back a cut line is taken up again over its sewn end: 1/4 in, common practice, no source."""

SECURE_MM = 3.0
"""How far from a path's end the small stitches that secure it go along it: common practice, no source."""

BASTING_LENGTH_MM = MM_PER_INCH / 5
"""Five stitches of basting to the inch; four to six are common practice, no source."""

LEAST_STITCH_MM = 0.1
"""No stitch is laid shorter: a needle would strike the same hole. Common practice, no source."""

SECURE_STITCHES = 4
"""How many they are at each end, half of them there and half of them back: common practice, no source."""


PLAIN_TIMES = 2
"""So many times a line is sewn over before thread builds up: once, and once more on the way. Common practice,
no source."""


class Role(StrEnum):
    """What a line is; `ROLES` says what follows from it.

    `ALLOWANCE` is the edge line in the binding allowance where no basting was asked for, and `HIDDEN` any
    other hidden seam; `STEP` is open travel, from one ring to the next. Nobody asked for any of them.
    """

    ALLOWANCE = "allowance"
    BASTE = "baste"
    DITCH = "ditch"
    HIDDEN = "hidden"
    STRIP = "strip"
    OUTLINE = "outline"
    FILL = "fill"
    ECHO = "echo"
    DRAWN = "drawn"
    STEP = "step"


HIDDEN_ROLES = frozenset({Role.ALLOWANCE, Role.HIDDEN})
UNASKED_ROLES = HIDDEN_ROLES | {Role.STEP}
"""What nobody asks for: it may be sewn over, and need not be."""

SEAM_ROLES = HIDDEN_ROLES | {Role.BASTE, Role.DITCH}
"""Where stitching is hardly seen; elsewhere an end lies in open cloth."""

COLOURLESS_ROLES = HIDDEN_ROLES | {Role.BASTE}
"""Where it does not matter in which thread the needle travels: a hidden seam is in none, and basting is taken
out or lies under the binding. Common practice, no source."""

PIECED_SEAM_ROLES = frozenset({Role.DITCH, Role.HIDDEN})
"""The seams between patches, stitched or not; the other seam roles lie along the edge."""


@dataclass(frozen=True, slots=True)
class RoleRule:
    """What follows from a role.

    Attributes
    ----------
    stage
        Its stage in the default schedule; empty for what belongs to none.
    shows
        How much a second of travel over it counts.
    most_times
        The most times it may be sewn.
    end_shows
        How much half a path's cost counts where a path ends on it.
    builds_up
        By how much of `shows` travel counts more for each time that it is sewn over, from the third time on:
        thread that builds up shows. The second time counts plainly.
    """

    stage: str
    shows: float
    most_times: int
    end_shows: float
    builds_up: float = 0.0

    def shows_at(self, times: float) -> float:
        """Return how much a second of travel counts that goes along it for the so-manieth time.

        Examples
        --------
        >>> rule = RoleRule("detail", 20, 4, 4, builds_up=0.5)
        >>> [rule.shows_at(times) for times in (1, 2, 3, 4)]
        [20.0, 20.0, 30.0, 40.0]
        """
        return self.shows * (1.0 + self.builds_up * max(times - PLAIN_TIMES, 0))


ROLES: Mapping[Role, RoleRule] = {
    # Common practice, no source. From the least visible to the most. Thread builds up on what shows; in seams
    # it sinks, and what a third time costs there plans can do little about (`planning.paths.building_up`).
    Role.ALLOWANCE: RoleRule("baste", 1, 4, 0.5),
    Role.BASTE: RoleRule("baste", 1, 4, 0.5),
    Role.DITCH: RoleRule("seams", 1, 4, 1),
    Role.HIDDEN: RoleRule("seams", 1, 4, 1),
    Role.STRIP: RoleRule("detail", 5, 2, 2, 1),
    Role.OUTLINE: RoleRule("detail", 5, 2, 2, 1),
    Role.FILL: RoleRule("detail", 20, 2, 4, 1),
    Role.ECHO: RoleRule("detail", 20, 2, 4, 1),
    Role.DRAWN: RoleRule("detail", 20, 2, 4, 1),
    Role.STEP: RoleRule("", 20, 2, 4, 1),
}


def least_visible_first(rules: Mapping[Role, RoleRule]) -> list[Role]:
    """Return all roles, from the one over which travel shows least to the one where it shows most.

    Examples
    --------
    >>> [str(role) for role in least_visible_first(ROLES)][:2], least_visible_first({})
    (['allowance', 'baste'], [])
    """
    return sorted(rules, key=lambda role: (rules[role].shows, rules[role].builds_up))


ROLE_NAMES: Mapping[Role, str] = {
    Role.ALLOWANCE: "edge line",
    Role.BASTE: "basting line",
    Role.DITCH: "seam",
    Role.HIDDEN: "seam",
    Role.STRIP: "strip",
    Role.OUTLINE: "outline",
    Role.FILL: "fill line",
    Role.ECHO: "echo",
    Role.DRAWN: "drawn line",
    Role.STEP: "step",
}
"""What a line of each role is called."""


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread by name; `tex` is its mass in grams per kilometre (ISO 2947)."""

    name: str
    tex: float


def as_points(points: ArrayLike) -> NDArray[np.float64]:
    """Return an own read-only (N, 2) float64 array of points in millimetres.

    Raises
    ------
    DesignError
        If the shape is another one, or they are no numbers.

    Examples
    --------
    >>> as_points([]).shape
    (0, 2)
    >>> as_points([(0, 1)]).flags.writeable
    False
    """
    try:
        array = np.array(points, dtype=np.float64)
    except (TypeError, ValueError):
        remedy = "give (N, 2) of them, in millimetres"
        raise DesignError("points are no numbers", remedy, key="points") from None
    if array.size == 0:
        array = array.reshape(0, 2)
    if array.ndim != 2 or array.shape[1] != 2:
        raise DesignError(f"points have shape {array.shape}", "give (N, 2)", key="points")
    array.setflags(write=False)
    return array


def motif_name(motif: str) -> str:
    """Return a motif's name alone, from a line's words for who asked for it.

    Examples
    --------
    >>> motif_name("pear: outside outline"), motif_name("")
    ('pear', '')
    """
    return motif.partition(":")[0]


@dataclass(frozen=True, eq=False)
class Line:
    """One stitched line asked for, or one hidden seam.

    Attributes
    ----------
    points_mm
        (N, 2) read-only, N >= 2, in the order drawn; the first point is repeated at the end of a closed one.
    role, thread
        What it is, and the name of its thread.
    motif
        Who asked: the motif's name in the design, such as ``"pear: outside outline"``.
    block
        In which block, such as ``"row 2, column 3"``; empty for the whole top.
    """

    points_mm: NDArray[np.float64]
    role: Role = Role.DRAWN
    thread: str = ""
    motif: str = ""
    block: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "points_mm", as_points(self.points_mm))
        try:
            object.__setattr__(self, "role", Role(self.role))
        except ValueError:
            refuse_other("role", self.role, Role, "role", f"write one of {', '.join(Role)}")
        for name in ("thread", "motif", "block"):
            refuse_other(name, getattr(self, name), str, "name", "write a text")

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, Line)
            and (self.role, self.thread, self.motif, self.block)
            == (other.role, other.thread, other.motif, other.block)
            and np.array_equal(self.points_mm, other.points_mm)
        )

    def __hash__(self) -> int:
        return hash((self.role, self.thread, self.motif, self.block, self.points_mm.tobytes()))

    def __reduce__(self) -> tuple[type["Line"], tuple[object, ...]]:
        """Be made anew in another process, where a bare array would come out writable."""
        return Line, (self.points_mm, self.role, self.thread, self.motif, self.block)

    @property
    def closed(self) -> bool:
        """Whether it ends where it begins."""
        return len(self.points_mm) > 2 and bool((self.points_mm[0] == self.points_mm[-1]).all())

    @property
    def length_mm(self) -> float:
        """Its length in millimetres."""
        return float(np.hypot(*np.diff(self.points_mm, axis=0).T).sum())


@dataclass(frozen=True)
class KeepOut:
    """Where no stitch may go: a shapely polygon (holes allowed) in millimetres, and what it belongs to."""

    polygon: Any
    motif: str = ""
    block: str = ""


@dataclass(frozen=True, slots=True)
class Block:
    """A block of the top: its name as its lines have it, its finished outline, and where it stands.

    Attributes
    ----------
    name
        Such as ``"row 2, column 3"``.
    box_mm
        x0, y0, x1, y1.
    row, column
        Counted from 1.
    kind
        The name of its kind; empty for a plain one.
    """

    name: str
    box_mm: tuple[float, float, float, float]
    row: int
    column: int
    kind: str = ""
