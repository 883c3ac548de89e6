"""A plan at a scale, of which any window can be drawn by itself.

A window's marks hold only what lies in it: long lines are cut into short ones, found by a tree, and clipped.
All lengths are printed millimetres, counted from where the quilt has (0, 0).
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.formats.svg_text import Mark
from stitchpath.pictures import strokes
from stitchpath.pictures.colours import MIDDLE, order_colours
from stitchpath.pictures.labels import NO_BOXES, boxes_around, place_labels
from stitchpath.pictures.page_grid import Box
from stitchpath.pictures.path_runs import aside, fresh, heads, last_step, runs, ticks
from stitchpath.plan import Move, Plan

__all__ = ["Ink", "ink_of"]


_STEPS = 48
"""Steps of a line that are found together by the tree: chosen, it changes the time only."""
_OTHER = MIDDLE
# in printed mm, chosen by eye in print: numbers; lines sewn, of others and travelled; how far aside travel is
# drawn; arrow heads
_TAG_MM = 3.0
_SEW_MM, _OTHER_MM, _TRAVEL_MM, _ASIDE_MM, _ARROW_MM = 0.4, 0.2, 0.3, 0.7, 1.9


@dataclass(frozen=True, eq=False)
class Ink:
    """What a plan has to draw, at a scale.

    Attributes
    ----------
    scale
        Printed millimetres a millimetre of the quilt.
    pieces, path, move
        Short lines, the path (counted from 0) and the move of each.
    arrows, arrow_path
        Arrow heads (M, 3, 2) and the path of each.
    ends
        (N, 2, 2): each path's first and last point.
    last_steps
        (N, 2): in which direction each path ends.
    colours, names
        One for each path.
    keep_outs, seams, outline
        The cloth's own shapes.
    """

    scale: float
    pieces: NDArray[np.object_]
    path: NDArray[np.intp]
    move: tuple[Move, ...]
    arrows: NDArray[np.float64]
    arrow_path: NDArray[np.intp]
    ends: NDArray[np.float64]
    last_steps: NDArray[np.float64]
    colours: tuple[str, ...]
    names: tuple[str, ...]
    keep_outs: NDArray[np.object_]
    seams: NDArray[np.object_]
    outline: NDArray[np.object_]
    tree: shapely.STRtree

    def sewn_in(self, box: Box, *, only: Collection[int] | None = None) -> bool:
        """Tell whether any path, or one of some, goes through a window."""
        near = self.near(box)
        if only is not None:
            near = near[np.isin(self.path[near], list(only))]
        return bool((shapely.length(shapely.clip_by_rect(self.pieces[near], *box)) > 0).any())

    def bounds_of(self, paths: Collection[int]) -> Box:
        """Return the box around some paths."""
        x0, y0, x1, y1 = shapely.total_bounds(self.pieces[np.isin(self.path, list(paths))]).tolist()
        return x0, y0, x1, y1

    def marks(
        self,
        box: Box,
        at: tuple[float, float],
        clear: NDArray[np.float64] = NO_BOXES,
        *,
        only: Collection[int] | None = None,
    ) -> list[Mark]:
        """Return the marks of a window, its upper left corner laid at a place of the page.

        Parameters
        ----------
        box
            The window.
        at
            Where its corner comes to lie.
        clear
            (N, 4) boxes of the page that numbers keep off.
        only
            The paths told apart, counted from 0, None for all; what else is sewn there is thin and grey.
        """
        return list(_WindowMarks(self, box, at, only, clear).all())

    def near(self, box: Box) -> NDArray[np.intp]:
        """Return which pieces may lie in a window, ascending."""
        return np.sort(self.tree.query(shapely.box(*box)))


@dataclass(frozen=True, eq=False)
class _WindowMarks:
    ink: Ink
    box: Box
    at: tuple[float, float]
    only: Collection[int] | None
    clear: NDArray[np.float64]

    def all(self) -> Iterator[Mark]:
        ink, near = self.ink, self.ink.near(self.box)
        shown = np.ones(len(ink.ends), dtype=bool)
        if self.only is not None:
            shown[:] = False
            shown[list(self.only)] = True
        yield from self._cloth()
        told = near[shown[ink.path[near]]]
        others = near[~shown[ink.path[near]] & np.array([ink.move[i] is Move.SEW for i in near], dtype=bool)]
        grey = self._lines(ink.pieces[others])
        if grey:
            yield strokes.solid(grey, _OTHER, _OTHER_MM)
        by_path = {int(path): told[ink.path[told] == path] for path in np.unique(ink.path[told])}
        for path, pieces in by_path.items():
            yield from self._path(path, pieces)
        yield from self._tags(by_path)

    def _cloth(self) -> Iterator[Mark]:
        window = shapely.box(*self.box)
        for shape in shapely.intersection(self.ink.keep_outs, window):
            rings = [ring for part in shapely.get_parts(shape) if part.geom_type == "Polygon"
                     for ring in (part.exterior, *part.interiors)]  # fmt: skip
            if rings:
                yield strokes.shade(self._placed(shapely.get_coordinates(ring)) for ring in rings)
        for lines, look in ((self.ink.seams, strokes.seams), (self.ink.outline, strokes.edge)):
            clipped = self._lines(lines)
            if clipped:
                yield look(clipped)

    def _path(self, path: int, pieces: NDArray[np.intp]) -> Iterator[Mark]:
        ink, colour = self.ink, self.ink.colours[path]
        of = {move: [i for i in pieces if ink.move[i] is move] for move in Move}
        sewn, travelled, stepped, again = (
            self._lines(ink.pieces[of[move]]) for move in (Move.SEW, Move.TRAVEL, Move.STEP, Move.RESUME)
        )
        if sewn:
            yield strokes.solid(sewn, colour, _SEW_MM)
        if travelled:
            yield strokes.dashes(travelled, colour, _TRAVEL_MM)
        if stepped:
            yield strokes.dots(stepped, colour, _TRAVEL_MM)
        arrows = ink.arrows[(ink.arrow_path == path) & self._within(ink.arrows).all(axis=1)]
        if len(arrows):
            yield strokes.head_marks([self._placed(head) for head in arrows], colour)
        hatched = [tick for points in again for tick in ticks(points, strokes.TICK * _TAG_MM)]
        if hatched:
            yield from strokes.hatch(hatched, _TAG_MM)

    def _tags(self, by_path: dict[int, NDArray[np.intp]]) -> Iterator[Mark]:
        """Yield each path's number: at its start if that is in the window, or beside its longest piece."""
        ink = self.ink
        places, starts, numbers, stops = [], [], [], []
        for path, pieces in by_path.items():
            begins = bool(self._within(ink.ends[path, 0]))
            lines = [] if begins else self._lines(ink.pieces[pieces])
            if begins or lines:
                places.append(self._placed(ink.ends[path, 0]) if begins else _middle(lines))
                starts.append(begins)
                numbers.append(path)
            if self._within(ink.ends[path, 1]):
                end = self._placed(ink.ends[path, 1])
                stops.append(end)
                yield strokes.bar(end, ink.last_steps[path], ink.colours[path], _TAG_MM)
        at = np.array(places).reshape(-1, 2)
        sizes = np.array([strokes.tag_size(ink.names[n], _TAG_MM) for n in numbers]).reshape(-1, 2)
        x, y = self.at
        room = (x, y, x + self.box[2] - self.box[0], y + self.box[3] - self.box[1])
        clear = np.vstack([self.clear, boxes_around(np.array(stops).reshape(-1, 2))])
        middles = place_labels(at, sizes, room=room, clear=clear)
        tags = [
            (strokes.tag(middle, place, ink.names[n], ink.colours[n], _TAG_MM), place, begins, ink.colours[n])
            for middle, place, begins, n in zip(middles, at, starts, numbers, strict=True)
        ]
        yield from (leader for (leader, _, _), *_ in tags)
        yield from (strokes.dot(place, colour, _TAG_MM) for _, place, begins, colour in tags if begins)
        for (_, frame, said), *_ in tags:
            yield from (frame, said)

    def _lines(self, geometries: NDArray[np.object_]) -> list[NDArray[np.float64]]:
        """Return lines clipped to the window, as they lie on the page."""
        clipped = shapely.get_parts(shapely.clip_by_rect(geometries, *self.box))
        placed = [fresh(self._placed(shapely.get_coordinates(line))) for line in clipped]
        return [points for points in placed if len(points) > 1]

    def _placed(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray(points - np.array(self.box[:2]) + np.array(self.at))

    def _within(self, points: NDArray[np.float64]) -> NDArray[np.bool_]:
        low, high = np.array(self.box[:2]), np.array(self.box[2:])
        return np.asarray(((points >= low) & (points <= high)).all(axis=-1))


def ink_of(plan: Plan, scale: float) -> Ink:
    """Return a plan's ink at a scale: printed millimetres a millimetre of the quilt.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> ink_of(Plan(Drawing(()), (), (), 0.0), 1.0).marks((0, 0, 10, 10), (0, 0))
    []
    """
    lines: list[NDArray[np.float64]] = []
    owners: list[int] = []
    moves: list[Move] = []
    arrows: list[NDArray[np.float64]] = [np.empty((0, 3, 2))]
    arrow_owners: list[int] = []
    for number, path in enumerate(plan):
        for move, raw in runs(path):
            points = fresh(raw * scale)
            if len(points) < 2 or move is Move.SECURE:
                continue
            if move is Move.TRAVEL:
                points = fresh(aside(points, _ASIDE_MM))
            if move is not Move.RESUME:
                found = heads(points, _ARROW_MM)
                arrows.append(found)
                arrow_owners += [number] * len(found)
            for first in range(0, len(points) - 1, _STEPS):
                lines.append(points[first : first + _STEPS + 1])
                owners.append(number)
                moves.append(move)
    pieces = _shapes([shapely.LineString(points) for points in lines])
    outline = [] if plan.drawing.outline is None else [_scaled(plan.drawing.outline, scale).boundary]
    return Ink(
        scale,
        pieces,
        np.array(owners, dtype=np.intp),
        tuple(moves),
        np.concatenate(arrows),
        np.array(arrow_owners, dtype=np.intp),
        np.array([path.coordinates_mm[[0, -1]] for path in plan]).reshape(-1, 2, 2) * scale,
        np.array([last_step(path.coordinates_mm) for path in plan]).reshape(-1, 2),
        order_colours(len(plan)),
        tuple(plan.path_name(number) for number in range(1, len(plan) + 1)),
        _shapes([_scaled(keep_out.polygon, scale) for keep_out in plan.drawing.keep_outs]),
        _shapes([shapely.LineString(line.points_mm * scale) for line in plan.drawing.hidden]),
        _shapes(outline),
        shapely.STRtree(pieces),
    )


def _shapes(shapes: list[object]) -> NDArray[np.object_]:
    made = np.empty(len(shapes), dtype=object)
    made[:] = shapes
    return made


def _scaled(shape: Any, scale: float) -> Any:
    return shapely.transform(shape, lambda points: points * scale)


def _middle(lines: list[NDArray[np.float64]]) -> NDArray[np.float64]:
    """Return the middle of the longest line."""
    longest = max((shapely.LineString(points) for points in lines), key=lambda line: line.length)
    middle = shapely.line_interpolate_point(longest, 0.5, normalized=True)
    return np.array([middle.x, middle.y])
