"""Places on the top, named so that a person finds them: at a corner, on a seam, at the tip of an oval."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.directions.hand_moves import HandMove
from stitchpath.directions.words import length_words, line_words
from stitchpath.drawing import Drawing
from stitchpath.figures.rows_and_columns import CORNER_MM, SeamSides, corners
from stitchpath.lines import ROLE_NAMES, SEAM_ROLES, Line, Role
from stitchpath.plan import Move
from stitchpath.units import Unit

__all__ = ["OPEN_CLOTH", "PlaceNames", "SeamPiece", "in_words"]

OPEN_CLOTH = "open cloth"
"""What a step goes over."""

_NEAR_MM = 0.02  # on a seam: above what noding moves and files round, below what a needle can tell
_TIP_MM = 1.5  # at the tip of an oval: about what cloth is good to

_LANDMARKS = frozenset({Role.OUTLINE, Role.STRIP, Role.ECHO})
_EDGES = {role: ROLE_NAMES[role] for role in (Role.BASTE, Role.ALLOWANCE)}


@dataclass(frozen=True, slots=True)
class SeamPiece:
    """A straight level or upright piece of a seam or of the line along the edge."""

    upright: bool
    at_mm: float
    low_mm: float
    high_mm: float
    name: str


def in_words(place: str) -> str:
    """Return where a block's line is, to be put after its name; nothing for the whole top's.

    Examples
    --------
    >>> in_words("row 1, column 2"), in_words("sashing above row 1"), in_words("")
    (' in row 1, column 2', ' in the sashing above row 1', '')
    """
    if not place:
        return ""
    return f" in {place}" if place.startswith("row ") else f" in the {place}"


class PlaceNames:
    """Says in words where on a top a point lies.

    Parameters
    ----------
    drawing
        Its blocks, seams and lines give the landmarks.
    unit
        Of lengths.
    """

    def __init__(self, drawing: Drawing, unit: Unit = "in") -> None:
        self.unit: Unit = unit
        self._seam_sides = SeamSides(drawing)
        self._blocks = drawing.blocks
        lines = (*drawing.lines, *drawing.hidden)
        self._box, self._whole = _box(drawing, lines)
        self.seams = tuple(seam for line in lines for seam in self._seams(line))
        self._table = np.array([(s.upright, s.at_mm, s.low_mm, s.high_mm) for s in self.seams]).reshape(-1, 4)
        self._marks = [line for line in drawing.lines if line.role in _LANDMARKS]
        self._tree = shapely.STRtree([shapely.LineString(line.points_mm) for line in self._marks])
        self._corners = list(corners(drawing.blocks))
        self._corner_tree = shapely.STRtree([shapely.Point(xy) for _, xy in self._corners])

    def _seams(self, line: Line) -> Iterator[SeamPiece]:
        if line.role not in SEAM_ROLES or line.block:
            return
        edge = _EDGES.get(line.role)
        box = *line.points_mm.min(axis=0), *line.points_mm.max(axis=0)
        for (x0, y0), (x1, y1) in pairwise(line.points_mm.tolist()):
            upright = abs(x1 - x0) <= _NEAR_MM
            if upright or abs(y1 - y0) <= _NEAR_MM:
                at, ends = (x0, (y0, y1)) if upright else (y0, (x0, x1))
                name = self._edge(edge, at, box, upright) if edge else self._seam(at, upright)
                yield SeamPiece(upright, at, min(ends), max(ends), name)

    @staticmethod
    def _edge(edge: str, at: float, box: tuple[float, ...], upright: bool) -> str:  # noqa: FBT001
        low, high = (box[0], box[2]) if upright else (box[1], box[3])
        sides = ("left", "right") if upright else ("top", "bottom")
        return f"the {sides[int(abs(at - high) < abs(at - low))]} {edge}"

    def _seam(self, at: float, upright: bool) -> str:  # noqa: FBT001
        side = self._seam_sides.side_of(at, upright=upright)
        if side:
            return f"the seam {side}"
        start = self._box[0] if upright else self._box[1]
        way = "right of" if upright else "below"
        edge = "left" if upright else "top"
        return f"the seam {length_words(at - start, self.unit)} {way} the {edge} edge of {self._whole}"

    def name_of(self, hand_move: HandMove) -> str:
        """Name the line that a hand move lies on, or the open cloth that it steps over."""
        if hand_move.move is Move.STEP:
            return OPEN_CLOTH
        line = hand_move.line
        if line is not None and (line.block or line.role not in SEAM_ROLES):
            return line_words(line)
        if hand_move.straight:
            middle = (hand_move.points_mm[0] + hand_move.points_mm[-1]) / 2
            level = [
                s
                for s in self._through(middle)
                if s.upright == (abs(hand_move.chord_mm[1]) > abs(hand_move.chord_mm[0]))
            ]
            if level:
                return level[0].name
        return f"the {_EDGES.get(hand_move.role, 'seam')}"

    def _through(self, point: NDArray[np.float64]) -> list[SeamPiece]:
        """Return the seams that a point lies on."""
        x, y = point
        upright, at, low, high = self._table.T
        off = np.where(upright, x - at, y - at)
        along = np.where(upright, y, x)
        on = (np.abs(off) <= _NEAR_MM) & (along >= low - _NEAR_MM) & (along <= high + _NEAR_MM)
        return [self.seams[i] for i in np.flatnonzero(on)]

    def _corner(self, point: NDArray[np.float64], block: str) -> str:
        """Name the corner of a block that lies at a point: of that one, if it is one of several."""
        near = self._corner_tree.query(shapely.Point(point), predicate="dwithin", distance=CORNER_MM)
        names = [self._corners[i][0] for i in sorted(near.tolist())]
        return next((name for name in names if name.endswith(f" of {block}")), next(iter(names), ""))

    def place(self, point: NDArray[np.float64], line: Line | None = None, block: str = "") -> str:
        """Return where a point lies, with its preposition.

        Parameters
        ----------
        point
            x and y in millimetres.
        line
            The line that it lies on, if that is known.
        block
            The block in which one is at work: of several corners at a point, its own is named.

        Examples
        --------
        >>> from stitchpath.lines import Block
        >>> block = Block("row 1, column 1", (0.0, 0.0, 254.0, 254.0), 1, 1)
        >>> seam = Line([(0, 254), (254, 254)], Role.HIDDEN)
        >>> place_names = PlaceNames(Drawing((), (seam,), blocks=(block,)))
        >>> place_names.place(np.array([254.0, 254.0]))
        'at the lower right corner of row 1, column 1'
        >>> place_names.place(np.array([25.4, 254.0]))
        'on the seam below row 1, 1 in right of the left edge of column 1'
        >>> place_names.place(np.array([25.4, 50.8]))
        '1 in right of and 2 in below the upper left corner of row 1, column 1'
        """
        corner = self._corner(point, block)
        if corner:
            return f"at {corner}"
        seams = self._through(point)
        level = next((s for s in seams if not s.upright), None)
        upright = next((s for s in seams if s.upright), None)
        if level and upright:
            return f"where {level.name} meets {upright.name}"
        for seam in (level, upright):
            if seam:
                return f"on {seam.name}, {self.along(point, upright=seam.upright)}"
        ring = self._ring(point, line)
        if ring is not None:
            return self._on_ring(point, ring)
        return self._off_corner(point)

    def along(self, point: NDArray[np.float64], *, upright: bool) -> str:
        """Say where along a seam a point lies: how far from which edge of which row or column."""
        axis = int(upright)
        word, sides = ("row", ("top", "bottom")) if upright else ("column", ("left", "right"))
        ways = ("below", "above") if upright else ("right of", "left of")
        at = float(point[axis])
        strips = [
            (block.row if upright else block.column, block.box_mm[axis], block.box_mm[axis + 2])
            for block in self._blocks
        ]
        within = [strip for strip in strips if strip[1] - _NEAR_MM <= at <= strip[2] + _NEAR_MM]
        edges = [(low, f"the {sides[0]} edge of {word} {n}") for n, low, _ in within or strips]
        edges += [] if within else [(high, f"the {sides[1]} edge of {word} {n}") for n, _, high in strips]
        edges = edges or [(self._box[axis], f"the {sides[0]} edge of {self._whole}")]
        edge, name = min(edges, key=lambda told: abs(told[0] - at))
        if abs(at - edge) <= CORNER_MM:
            return f"at {name}"
        return f"{length_words(abs(at - edge), self.unit)} {ways[int(at < edge)]} {name}"

    def _ring(self, point: NDArray[np.float64], line: Line | None) -> Line | None:
        if line is not None and line.closed and line.role in _LANDMARKS:
            return line
        return next((mark for mark in self._marked(point) if mark.closed), None)

    def _marked(self, point: NDArray[np.float64]) -> list[Line]:
        near = self._tree.query(shapely.Point(point), predicate="dwithin", distance=_NEAR_MM)
        return [self._marks[i] for i in sorted(near.tolist())]

    def _on_ring(self, point: NDArray[np.float64], ring: Line) -> str:
        name, tip = f"{line_words(ring)}{in_words(ring.block)}", _tip(point, ring)
        return f"at the {tip} of {name}" if tip else f"on {name}, {self.on_it(point, ring)}"

    def on_it(self, point: NDArray[np.float64], ring: Line) -> str:
        """Return where on a closed line that was just named a point lies: ``"its top"``."""
        low, high = ring.points_mm.min(axis=0), ring.points_mm.max(axis=0)
        tip = _tip(point, ring)
        return f"its {tip}" if tip else f"{self._off(point - (low + high) / 2)} its middle"

    def _off(self, off: NDArray[np.float64]) -> str:
        """Say how far off something a point lies, across and down."""
        x, y = off.tolist()
        return (
            f"{length_words(abs(x), self.unit)} {'right' if x > 0 else 'left'} of and "
            f"{length_words(abs(y), self.unit)} {'below' if y > 0 else 'above'}"
        )

    def _off_corner(self, point: NDArray[np.float64]) -> str:
        if not self._blocks:
            return f"{self._off(point - np.array(self._box))} the upper left corner of {self._whole}"
        boxes = np.array([block.box_mm for block in self._blocks])
        out = np.maximum(np.maximum(boxes[:, :2] - point, point - boxes[:, 2:]), 0.0)
        block = self._blocks[int(np.hypot(*out.T).argmin())]
        return f"{self._off(point - np.array(block.box_mm[:2]))} the upper left corner of {block.name}"

    def landmark(self, hand_move: HandMove, what: str, block: str) -> str:
        """Return what a hand move comes to at its end, if that is plain to see; else nothing."""
        point = hand_move.points_mm[-1]
        corner = self._corner(point, block)
        if corner:
            return corner
        seam = next((s for s in self._through(point) if s.name != what and _crosses(s, hand_move)), None)
        if seam is not None:
            return seam.name
        mark = next((mark for mark in self._marked(point) if mark is not hand_move.line), None)
        if mark is not None and line_words(mark) != what:
            elsewhere = hand_move.line is None or mark.block != hand_move.line.block
            return f"{line_words(mark)}{in_words(mark.block) if elsewhere else ''}"
        return ""


def _tip(point: NDArray[np.float64], ring: Line) -> str:
    """Return at which outermost point of a closed line a point lies; nothing if at none."""
    points = ring.points_mm
    x, y = points.T
    tips = {"left side": x.argmin(), "right side": x.argmax(), "top": y.argmin(), "bottom": y.argmax()}
    return next((tip for tip, at in tips.items() if np.hypot(*(point - points[at])) <= _TIP_MM), "")


def _crosses(seam: SeamPiece, hand_move: HandMove) -> bool:
    """Tell whether a hand move does not run along a seam's direction as it arrives."""
    x, y = np.abs(hand_move.points_mm[-1] - hand_move.points_mm[-2])
    return bool(x > _NEAR_MM / 10 if seam.upright else y > _NEAR_MM / 10)


def _box(drawing: Drawing, lines: tuple[Line, ...]) -> tuple[tuple[float, float], str]:
    """Return the upper left corner of the top, or of all that is sewn, and what it is called."""
    if drawing.outline is not None:
        x0, y0, _, _ = shapely.bounds(drawing.outline).tolist()
        return (x0, y0), "the top"
    points = [line.points_mm for line in lines if len(line.points_mm)]
    x, y = np.concatenate(points).min(axis=0).tolist() if points else (0.0, 0.0)
    return (x, y), "all that is sewn"
