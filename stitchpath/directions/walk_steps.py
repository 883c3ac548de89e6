"""A plan as steps that can be said in words: "pear, row 2 column 3: outside outline, clockwise".

A step ends where a path goes over to another motif, another part of it or another block, from sewing to
travel or back, or into another stage. Lines of one fill that are sewn to and fro, with no more than a short
hop along the seam between them, are one step. Words for directions are those of somebody who looks at the
top as it hangs.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from stitchpath.directions.hand_moves import ring_turn
from stitchpath.figures.rows_and_columns import Places
from stitchpath.lines import ROLE_NAMES, Line, Role
from stitchpath.plan import Move, Plan, Span, StitchPath

__all__ = ["HOP_MM", "Step", "steps_of", "way_of"]

HOP_MM = 2 * 25.4
"""Travel up to here between two lines of a motif is no step of its own: common practice, no source."""

_WAYS = (
    "left to right", "down to the right", "down", "down to the left",
    "right to left", "up to the left", "up", "up to the right",
)  # fmt: skip
_NOTHING_MM = 1e-9
_TURNED_BACK = 0.05
_WHOLE = 0.999
_MOST_NAMED = 2


@dataclass(frozen=True, slots=True)
class Step:
    """A stretch of a path that can be said in one line of words.

    Attributes
    ----------
    path
        The path's number, counted from 1.
    first, last
        Point indices in the path, inclusive; neighbouring steps of a path share their border point.
    band, stage, group
        Where in the schedule: the band from 1, the stage, and the group of the job that its path begins in;
        empty where blocks are not grouped.
    move
        Sew, travel, resume or secure; a step that sews may hold short travel between its lines.
    motif
        Whose line it is, such as ``"pear"``; for a step that does not sew what it does: ``"travel to"``.
    place
        Where, such as ``"row 2 column 3"``; for travel the place that it goes to. Empty where no block tells.
    what
        Which part of the motif, such as ``"outside outline"`` or ``"12 lines to and fro"``.
    way
        ``"clockwise"``, ``"left to right"``, ``"up"``...; empty where it turns back to where it began.
    length_mm
        Its length, small stitches there and back.
    """

    path: int
    first: int
    last: int
    band: int
    stage: str
    group: str
    move: Move
    motif: str
    place: str
    what: str
    way: str
    length_mm: float

    @property
    def words(self) -> str:
        """The step in one line.

        Examples
        --------
        >>> where = {"path": 1, "first": 0, "last": 9, "band": 1, "stage": "detail", "group": ""}
        >>> pear = {"motif": "pear", "what": "outside outline", "way": "clockwise", "length_mm": 9.0}
        >>> Step(**where, move=Move.SEW, place="row 2 column 3", **pear).words
        'pear, row 2 column 3: outside outline, clockwise'
        """
        joint = " " if self.move is Move.TRAVEL else ", "
        head = joint.join(part for part in (self.motif, self.place) if part)
        return f"{head}: {', '.join(part for part in (self.what, self.way) if part)}"


@dataclass(frozen=True, slots=True)
class _Piece:
    """Neighbouring spans of a path with one move, on one motif's part in one block, in one stage."""

    key: tuple[Move, str, object]
    spans: tuple[Span, ...]


def steps_of(plan: Plan) -> tuple[Step, ...]:
    """Return a plan's steps, in sewing order.

    Parameters
    ----------
    plan
        Any plan; every point of every path is in a step.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> fill = Line([(0, 0), (9, 0)], Role.FILL, motif="fill", block="row 1, column 1")
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1, 1, "detail"),))
    >>> [step.words for step in steps_of(Plan(Drawing((fill,)), (path,), (), 0.0))]
    ['fill, row 1 column 1: one line, left to right']
    >>> steps_of(Plan(Drawing(()), (), (), 0.0))
    ()
    """
    namer = _Namer(plan)
    return tuple(
        step
        for number, (path, group) in enumerate(zip(plan.paths, plan.path_groups, strict=True), 1)
        for step in namer.steps(path, number, group)
    )


def way_of(points_mm: NDArray[np.float64]) -> str:
    """Return which way a stretch goes from its beginning to its end; empty where it turns back.

    Examples
    --------
    >>> way_of(np.array([(0.0, 0.0), (3.0, 0.1)])), way_of(np.array([(0.0, 5.0), (5.0, 0.0)]))
    ('left to right', 'up to the right')
    >>> way_of(np.empty((0, 2))), way_of(np.array([(0.0, 0.0), (3.0, 0.0), (0.0, 0.0)]))
    ('', '')
    """
    if not len(points_mm):
        return ""
    gone = points_mm[-1] - points_mm[0]
    length = float(np.hypot(*np.diff(points_mm, axis=0).T).sum())
    if np.hypot(*gone) <= max(_TURNED_BACK * length, _NOTHING_MM):
        return ""
    return _WAYS[round(float(np.degrees(np.arctan2(gone[1], gone[0]))) / 45) % 8]


class _Namer:
    """Names what the spans of a plan are."""

    def __init__(self, plan: Plan) -> None:
        self.lines = plan.drawing.lines
        self.places = Places(plan.drawing)

    def steps(self, path: StitchPath, number: int, group: str) -> Iterator[Step]:
        pieces = _folded(self._pieces(path), path)
        here = ""
        for at, piece in enumerate(pieces):
            move, first, last = piece.key[0], piece.spans[0], piece.spans[-1]
            points = path.coordinates_mm[first.first : last.last + 1]
            after = next((later for later in pieces[at + 1 :] if later.key[0] is Move.SEW), None)
            if move is Move.SEW:
                motif, place, what, way = self._sewn(piece, path, points)
                here = place
            elif move is Move.TRAVEL:
                what, way = self._travelled(piece.spans, path), way_of(points)
                place = self._place(after, path) if after else "the path's end"
                motif = "travel in" if place == here else "travel to"
            elif move is Move.RESUME:
                motif, place, way = "take up again", self._place(piece, path), way_of(points)
                what = "over the end sewn in an earlier band"
            else:
                motif, place, way = "small stitches", self._place(piece, path), ""
                what = "secure the end" if at else "secure the start"
            yield Step(
                number,
                first.first,
                last.last,
                path.band,
                first.stage,
                group,
                move,
                motif,
                place,
                what,
                way,
                sum((path.span_mm(span) for span in piece.spans), 0.0),
            )

    def _pieces(self, path: StitchPath) -> list[_Piece]:
        return [_Piece(key, tuple(spans)) for key, spans in groupby(path.spans, key=self._key)]

    def _key(self, span: Span) -> tuple[Move, str, object]:
        line = self._line(span)
        if span.move is not Move.SEW or line is None:
            return span.move, span.stage, None
        return span.move, span.stage, (line.motif, line.block) if line.block else span.line

    def _line(self, span: Span) -> Line | None:
        return None if span.line is None else self.lines[span.line - 1]

    def _place(self, piece: _Piece, path: StitchPath) -> str:
        line = self._line(piece.spans[0])
        if line is not None and line.block:
            return line.block.replace(",", "")
        return self.places.place_of(path.coordinates_mm[piece.spans[0].first : piece.spans[-1].last + 1])

    def _sewn(
        self, piece: _Piece, path: StitchPath, points: NDArray[np.float64]
    ) -> tuple[str, str, str, str]:
        """Return motif, place, what and way of a step that sews."""
        place = self._place(piece, path)
        line = self._line(piece.spans[0])
        if line is None:
            return "seam", place, "along it", way_of(points)
        motif, _, part = line.motif.partition(": ")
        name = part or ROLE_NAMES[line.role]
        motif = motif or name
        strokes = _strokes(piece.spans, path)
        if len(strokes) > 1 and not line.closed:
            said = f"{len(strokes)} lines{' to and fro' if _to_and_fro(strokes) else ''}"
            across = way_of(np.array([stroke.mean(axis=0) for stroke in strokes]))
            return motif, place, f"{part}, {said}" if part else said, f"working {across}" if across else ""
        if line.closed:
            sewn_mm = sum(path.span_mm(span) for span in piece.spans if span.move is Move.SEW)
            whole = sewn_mm >= _WHOLE * line.length_mm
            return (
                motif,
                place,
                name if whole else f"part of the {name}",
                _turn(points, line),
            )
        alone = not part and line.role in {Role.FILL, Role.ECHO, Role.DRAWN}
        return motif, place, "one line" if alone else name, way_of(points)

    def _travelled(self, spans: Iterable[Span], path: StitchPath) -> str:
        told = list(dict.fromkeys(self._under(span, path) for span in spans))
        return ", then ".join(told[:_MOST_NAMED]) + (", and on" if len(told) > _MOST_NAMED else "")

    def _under(self, span: Span, path: StitchPath) -> str:
        """Say what a span of travel lies on."""
        line = self._line(span)
        if line is None:
            edge = self.places.in_allowance(path.coordinates_mm[span.first : span.last + 1])
            return "along the edge line" if edge else "along the seam"
        if line.role in {Role.BASTE, Role.DITCH, Role.HIDDEN, Role.ALLOWANCE}:
            return f"along the {ROLE_NAMES[line.role]}"
        return f"over the {line.motif.replace(': ', ', ') or ROLE_NAMES[line.role]}"


def _folded(pieces: Sequence[_Piece], path: StitchPath) -> list[_Piece]:
    """Return pieces with short travel between two of one motif's put together with both."""
    kept: list[_Piece] = []
    for piece in pieces:
        kept.append(piece)
        if len(kept) > 2 and kept[-3].key == piece.key and piece.key[0] is Move.SEW:
            hop = kept[-2]
            hop_mm = sum(path.span_mm(span) for span in hop.spans)
            if hop.key[:2] == (Move.TRAVEL, piece.key[1]) and hop_mm <= HOP_MM:
                kept[-3:] = [_Piece(piece.key, (*kept[-3].spans, *hop.spans, *piece.spans))]
    return kept


def _strokes(spans: Iterable[Span], path: StitchPath) -> list[NDArray[np.float64]]:
    """Return the points of each line that a step sews, one after another."""
    sewn = (span for span in spans if span.move is Move.SEW)
    runs = [list(run) for _, run in groupby(sewn, key=lambda span: span.line)]
    return [path.coordinates_mm[run[0].first : run[-1].last + 1] for run in runs]


def _to_and_fro(strokes: Sequence[NDArray[np.float64]]) -> bool:
    """Tell whether each line goes the other way than the one before."""
    ways = np.array([stroke[-1] - stroke[0] for stroke in strokes])
    return bool(((ways[1:] * ways[:-1]).sum(axis=1) < 0).all())


def _turn(points: NDArray[np.float64], line: Line) -> str:
    """Return the way round a closed line that a stretch of it goes."""
    return "clockwise" if ring_turn(points, line.points_mm) > 0 else "anticlockwise"
