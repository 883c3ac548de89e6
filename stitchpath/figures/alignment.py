"""Where to align each band after advancing: junctions that are already sewn, far apart and in reach.

A junction counts where at least two stitched lines meet or cross, so that the eye finds it; not where a line
merely runs on into the next. Junctions where seams cross, and those at corners of blocks, come first, since
nobody mistakes one for another: where a fill meets a seam every half inch, nobody can tell which is meant.
Then come other junctions on seams, then the rest. The first kind is taken that offers two junctions at least
half as far apart as any two of all. Up to four are chosen, as far apart as they can be.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.figures.band_frames import BandFrame, band_frames
from stitchpath.figures.rows_and_columns import CORNER_MM, corners
from stitchpath.lines import COVERED_MM, PIECED_SEAM_ROLES, ROLE_NAMES, Role
from stitchpath.once import once
from stitchpath.plan import Plan

__all__ = ["AlignmentMark", "BandMarks", "alignment"]

LETTERS = "ABCD"

_SAME_WAY_DEG, _TURNS_DEG = 10.0, 30.0
"""Stitching within 10° is one line to the eye, and what turns by less than 30° runs on: chosen."""
_CLOSE_MM = 100.0
"""Marks closer together let a band turn: common practice, no source."""

_THINNED = 24
"""Places that are compared four by four: 10,626 sets."""
_FAIR = 1 / 4
"""A third and a fourth mark must be this share of the farthest two's distance from every other one."""

_HIDDEN = 0  # where a line's number stands else: they count from 1


@dataclass(frozen=True, slots=True)
class AlignmentMark:
    """A place sewn in an earlier band: its letter, what is found there, and where on the top.

    Attributes
    ----------
    letter
        From the left, as the top lies on the machine.
    what
        What meets there, and at which block.
    place_mm
        x, y.
    meet
        What meets there, alone.
    """

    letter: str
    what: str
    place_mm: tuple[float, float]
    meet: str = ""


@dataclass(frozen=True, slots=True)
class BandMarks:
    """Where to align a band: up to four marks, and a sentence on what is missing (empty if nothing is)."""

    band: int
    marks: tuple[AlignmentMark, ...]
    note: str = ""


@dataclass(frozen=True, eq=False)
class _Rays:
    """Every needle-down step as seen from both of its ends."""

    at: NDArray[np.float64]
    towards_deg: NDArray[np.float64]
    line: NDArray[np.intp]
    band: NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class _Junction:
    place_mm: tuple[float, float]
    roles: frozenset[Role]
    corner: str
    seams_cross: bool

    @property
    def rank(self) -> int:
        """How easily it is taken for another: 0 the least."""
        if self.corner or self.seams_cross:
            return 0
        return 1 if self.roles & PIECED_SEAM_ROLES else 2


@once
def alignment(plan: Plan) -> tuple[BandMarks, ...]:
    """Return on what to align each band but the first; of the first one only that nothing is sewn in it.

    Parameters
    ----------
    plan
        With two windows or more; with less there is nothing to align, nor for what is guided by hand.

    Returns
    -------
    tuple of BandMarks
        Marks lie within the band's window and are lettered from left to right as the top lies on the
        machine. The same plan has the same marks.

    Examples
    --------
    >>> from stitchpath.drawing import Drawing
    >>> alignment(Plan(Drawing(()), (), (), 0.0))
    ()
    """
    frames = band_frames(plan)
    if not frames or plan.of_hand:
        return ()
    sewn = {path.band for path in plan}
    rays = _rays(plan)
    return tuple(
        _of_band(plan, frame, rays) if frame.number in sewn else _nothing_sewn(plan, frame.number)
        for frame in frames
        if frame.number > 1 or frame.number not in sewn
    )


def _nothing_sewn(plan: Plan, band: int) -> BandMarks:
    said = "nothing is sewn in it" if plan.by_hand is None else "the frame sews nothing in it"
    return BandMarks(band, (), f"band {band}: {said}, so it has no files of its own")


def _of_band(plan: Plan, frame: BandFrame, rays: _Rays) -> BandMarks:
    found = _junctions(plan, frame, rays)
    chosen = [found[i] for i in _chosen(found)]
    places = frame.laid(np.array([junction.place_mm for junction in chosen]).reshape(-1, 2))
    chosen = [chosen[i] for i in np.lexsort(np.round(places, 3).T[::-1])]
    marks = tuple(
        AlignmentMark(letter, _what(plan, junction), junction.place_mm, _meet_words(junction))
        for letter, junction in zip(LETTERS, chosen, strict=False)
    )
    return BandMarks(frame.number, marks, _note(frame.number, [mark.place_mm for mark in marks]))


def _note(band: int, places: Sequence[tuple[float, float]]) -> str:
    by_hand = "align it by the edge of the top and its seams, too"
    if len(places) < 2:
        count = "only one junction" if places else "no junction"
        return f"band {band}: {count} sewn in an earlier band is within its reach; {by_hand}"
    apart = float(_distances(np.array(places)).max())
    if apart < _CLOSE_MM:
        return f"band {band}: the places to align on are only {apart:.0f} mm apart; {by_hand}"
    return ""


def _rays(plan: Plan) -> _Rays:
    at, towards, line, band = [np.empty((0, 2))], [np.empty((0, 2))], [np.empty(0, np.intp)], []
    for path in plan:
        points = path.coordinates_mm
        ids = [span.line or _HIDDEN for span in path.spans for _ in range(span.first, span.last)]
        at += [points[:-1], points[1:]]
        towards += [points[1:], points[:-1]]
        line += [np.array(ids, dtype=np.intp)] * 2
        band += [path.band] * (2 * len(ids))
    starts = np.concatenate(at)
    steps = np.concatenate(towards) - starts
    moves = (steps != 0).any(axis=1)
    degrees = np.degrees(np.arctan2(steps[:, 1], steps[:, 0])) % 360
    bands = np.array(band, dtype=np.intp)
    return _Rays(starts[moves], degrees[moves], np.concatenate(line)[moves], bands[moves])


def _junctions(plan: Plan, frame: BandFrame, rays: _Rays) -> list[_Junction]:
    """Return the junctions in a band's window that earlier bands sewed, in order of place."""
    seen = np.flatnonzero((rays.band < frame.number) & frame.reaches(rays.at, within_mm=COVERED_MM))
    places, place_of = np.unique(np.round(rays.at[seen], 4), axis=0, return_inverse=True)
    place_of = place_of.reshape(-1)
    lines = np.unique(np.column_stack([place_of, rays.line[seen]]), axis=0)
    several = np.bincount(lines[:, 0], minlength=len(places)) > 1
    order = np.argsort(place_of, kind="stable")
    bounds = np.searchsorted(place_of[order], np.arange(len(places) + 1))
    hidden = _seam_tree(plan)
    found = []
    for place in np.flatnonzero(several):
        here = seen[order[bounds[place] : bounds[place + 1]]]
        if _meet(rays.towards_deg[here]):
            found.append(_junction(plan, places[place], rays, here, hidden))
    return found


def _meet(towards_deg: NDArray[np.float64]) -> bool:
    """Tell whether stitching meets or crosses where it goes these ways, or turns, and does not just run on.

    Examples
    --------
    >>> _meet(np.array([0.0, 90.0, 180.0])), _meet(np.array([0.0, 90.0]))
    (True, True)
    >>> _meet(np.array([359.0, 1.0, 180.0])), _meet(np.empty(0))
    (False, False)
    """
    degrees = np.sort(towards_deg)
    after = np.append(degrees[1:], degrees[:1] + 360)
    ways = degrees[after - degrees > _SAME_WAY_DEG]
    if len(ways) != 2:
        return len(ways) > 2
    return bool(abs(abs(ways[1] - ways[0]) - 180) > _TURNS_DEG)


def _seam_tree(plan: Plan) -> shapely.STRtree:
    seams = [line for line in plan.drawing.hidden if line.role is Role.HIDDEN]
    return shapely.STRtree([shapely.LineString(line.points_mm) for line in seams])


def _junction(
    plan: Plan, point: NDArray[np.float64], rays: _Rays, here: NDArray[np.intp], hidden: shapely.STRtree
) -> _Junction:
    on_seam = len(hidden.query(shapely.Point(point), predicate="dwithin", distance=COVERED_MM)) > 0
    unasked = Role.HIDDEN if on_seam else Role.ALLOWANCE
    roles = [
        unasked if line == _HIDDEN else plan.drawing.lines[line - 1].role for line in rays.line[here].tolist()
    ]
    seams = here[[role in PIECED_SEAM_ROLES for role in roles]]
    x, y = point.tolist()
    return _Junction((x, y), frozenset(roles), _corner(plan, x, y), _meet(rays.towards_deg[seams]))


def _corner(plan: Plan, x: float, y: float) -> str:
    """Name the corner of a block that lies at a place, if one does."""
    named = corners(plan.drawing.blocks)
    return next((name for name, at in named if max(abs(x - at[0]), abs(y - at[1])) <= CORNER_MM), "")


def _meet_words(junction: _Junction) -> str:
    words = list(dict.fromkeys(ROLE_NAMES[role] for role in ROLE_NAMES if role in junction.roles))
    return f"two {words[0]}s meet" if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]} meet"


def _what(plan: Plan, junction: _Junction) -> str:
    meet = _meet_words(junction)
    if junction.corner:
        return f"{meet} at {junction.corner}"
    blocks = plan.drawing.blocks
    if not blocks:
        return meet
    boxes = shapely.box(*np.array([block.box_mm for block in blocks]).T)
    near = int(shapely.distance(boxes, shapely.Point(junction.place_mm)).argmin())
    return f"{meet} in or near {blocks[near].name}"


def _chosen(found: Sequence[_Junction]) -> tuple[int, ...]:
    """Return which junctions to align on."""
    places = np.array([junction.place_mm for junction in found]).reshape(-1, 2)
    ranks = np.array([junction.rank for junction in found])
    for rank in (0, 1):
        kind = np.flatnonzero(ranks <= rank)
        if len(kind) > 1 and 2 * _widest(places[kind]) >= _widest(places):
            return tuple(int(kind[i]) for i in _spread(places[kind]))
    return _spread(places)


def _spread(places: NDArray[np.float64]) -> tuple[int, ...]:
    """Return up to four places, chosen so that the least distance between them is greatest.

    Of sets that are alike in this, the one whose distances come to most in all is taken.
    Of more than 24 places the 24 that are farthest from each other, taken one after another, stand for all.

    Examples
    --------
    >>> _spread(np.array([[0.0, 0.0], [1.0, 0.0], [5.0, 0.0], [10.0, 0.0]]))
    (0, 2, 3)
    >>> _spread(np.empty((0, 2)))
    ()
    """
    if len(places) < 2:
        return tuple(range(len(places)))
    kept = np.array(_thinned(places))
    between = _distances(places[kept])
    widest = between.max()
    for count in (4, 3, 2):
        if count > len(kept):
            continue
        sets = np.array(list(combinations(range(len(kept)), count)))
        each = np.array([between[sets[:, i], sets[:, j]] for i, j in combinations(range(count), 2)])
        least = np.round(each.min(axis=0), 6)
        best = int(np.where(least == least.max(), each.sum(axis=0), 0).argmax())
        if count == 2 or least[best] >= _FAIR * widest:
            break
    return tuple(kept[sets[best]].tolist())


def _thinned(places: NDArray[np.float64]) -> list[int]:
    """Return at most 24 places: the farthest two, then again and again the one farthest from those taken."""
    if len(places) <= _THINNED:
        return list(range(len(places)))
    taken = list(_farthest(places))
    nearest = _from(places, taken[0])
    while len(taken) < _THINNED:
        nearest = np.minimum(nearest, _from(places, taken[-1]))
        taken.append(int(nearest.argmax()))
    return sorted(taken)


def _farthest(places: NDArray[np.float64]) -> tuple[int, int]:
    """Return the two places farthest apart; both lie on the hull of all."""
    hull = shapely.get_coordinates(shapely.convex_hull(shapely.MultiPoint(places)))
    between = _distances(hull)
    one, other = np.unravel_index(int(between.argmax()), between.shape)
    first, second = (int((places == hull[i]).all(axis=1).argmax()) for i in (one, other))
    return min(first, second), max(first, second)


def _widest(places: NDArray[np.float64]) -> float:
    one, other = _farthest(places)
    return float(np.hypot(*(places[one] - places[other])))


def _from(places: NDArray[np.float64], one: int) -> NDArray[np.float64]:
    return np.asarray(np.hypot(*(places - places[one]).T))


def _distances(places: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1)))
