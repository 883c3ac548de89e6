"""Where lines may be cut between bands: at junctions, if too tall for the reach, as the schedule allows."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchpath.check.measuring.intervals import Floats, Interval, Ints, gaps, near, pieces
from stitchpath.check.measuring.match import STRETCH_MM
from stitchpath.check.measuring.rails import Rails, named
from stitchpath.check.measuring.segments import NEVER
from stitchpath.check.rules.evidence import Evidence, finding, mm, together
from stitchpath.check.rules.reach import fits, reach_at
from stitchpath.errors import Finding
from stitchpath.lines import COVERED_MM, Role

__all__ = ["parts_only_what_it_may"]

_RUN_ON_MM = 1e-6
"""Lines that run on each other coincide but for the last digits of their numbers: drawing sees to that."""

_ASKED_SEAMS = (Role.BASTE, Role.DITCH)

_Meetings = tuple[Ints, Ints, Floats, Floats]
"""Lines, other lines, and from where to where on the rails' axis the one is near the other."""


@dataclass(frozen=True, eq=False)
class _Stretch:
    """A part of a line between two neighbouring junctions.

    Attributes
    ----------
    line
        Its index.
    parts
        From where to where it runs on the rails' axis; two parts where it runs through a closed line's start.
    whole
        The same with the junctions at both ends.
    bands
        In which bands it is sewn for the first time, and where on the axis each of them begins.
    shared
        Which other lines asked for run along it.
    """

    line: int
    parts: tuple[tuple[float, float], ...]
    whole: tuple[tuple[float, float], ...]
    bands: dict[int, float]
    shared: frozenset[int]


def parts_only_what_it_may(seen: Evidence) -> Iterator[Finding]:
    """Each stretch between two junctions is sewn in one band, unless it is taller than the reach.

    So are all lines of a block that fits in the reach; and lines are cut where the schedule allows it. Of
    blocks and cuts nothing is said where a line coincides with one that is sewn for another reason.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line, MachineSettings, Move, Span, StitchPath
    >>> asked = Asked(Drawing(lines=(Line([(0, 0), (0, 9)]),)), machine=MachineSettings(reach=500))
    >>> ends = [((0, 0), (0, 4)), ((0, 4), (0, 9))]
    >>> paths = [StitchPath(points, (Span(Move.SEW, 0, 1),), band=n) for n, points in enumerate(ends, 1)]
    >>> [found.message for found in parts_only_what_it_may(look_at(paths, asked))]
    ['a drawn line is parted between two junctions 9.000 mm apart: it is sewn in bands 1 and 2']
    >>> list(parts_only_what_it_may(look_at([], asked)))
    []
    """
    if not seen.banded or seen.asked.machine.reach is None:
        return
    stretches = _stretches(seen)
    yield from _stretches_are_whole(seen, stretches)
    yield from _lines_are_whole(seen, stretches)
    yield from _blocks_are_whole(seen, stretches)


def _stretches_are_whole(seen: Evidence, stretches: list[_Stretch]) -> Iterator[Finding]:
    for one in stretches:
        if len(one.bands) > 1 and fits(seen.asked, *_heights(seen, one.whole)):
            length = sum(high - low for low, high in one.parts)
            said = f"{named(seen.rails.lines[one.line])} is parted between two junctions {mm(length)} apart"
            yield _told(seen, f"{said}: it is sewn in bands {_all(one.bands)}", one.bands)


def _lines_are_whole(seen: Evidence, stretches: list[_Stretch]) -> Iterator[Finding]:
    cuts = seen.asked.schedule.cuts
    if cuts == "anywhere":
        return
    bands: dict[int, dict[int, float]] = {}
    for one in stretches:
        if not one.shared:
            bands[one.line] = one.bands | bands.get(one.line, {})
    for line, found in bands.items():
        asked = seen.rails.lines[line]
        if len(found) > 1 and (cuts == "none" or asked.role not in _ASKED_SEAMS):
            allowed = "no line may be cut" if cuts == "none" else "only seams may be cut"
            said = f"{named(asked)} is cut between bands {_all(found)}; {allowed}"
            yield _told(seen, said, found, kind="cut")


def _banded(seen: Evidence) -> NDArray[np.bool_]:
    """Return for each line whether bands were chosen for it: for the hand's, too, if it sews on the frame."""
    schedule = seen.asked.schedule
    return ~seen.rails.hidden if schedule.by_hand and schedule.hand_on_frame else seen.wanted


def _blocks_are_whole(seen: Evidence, stretches: list[_Stretch]) -> Iterator[Finding]:
    bands: dict[str, dict[int, float]] = {}
    for one in stretches:
        name = seen.rails.lines[one.line].block
        if all(seen.rails.lines[other].block == name for other in one.shared):
            bands[name] = one.bands | bands.get(name, {})
    for block in seen.asked.drawing.blocks:
        if len(bands.get(block.name, {})) > 1:
            lines = np.flatnonzero([line.block == block.name for line in seen.rails.lines] & _banded(seen))
            first, last = (end[lines].tolist() for end in seen.rails.extent)
            top, bottom = _heights(seen, tuple(zip(first, last, strict=True)))
            if fits(seen.asked, top, bottom):
                said = f"{block.name} is sewn in bands {_all(bands[block.name])}"
                said += f", though its {mm(bottom - top)} fit in the reach of {mm(reach_at(seen.asked, top))}"
                yield _told(seen, said, bands[block.name])


def _told(seen: Evidence, said: str, bands: dict[int, float], *, kind: str = "band") -> Finding:
    latest = np.array([bands[max(bands)]])
    return finding(kind, said, seen.rails.locate(latest)[0][0])


def _all(bands: dict[int, float]) -> str:
    return " and ".join(map(str, sorted(bands)))


def _heights(seen: Evidence, parts: tuple[tuple[float, float], ...]) -> tuple[float, float]:
    """Return from where to where, down the frame, parts of the rails' axis run."""
    rails, down = seen.rails, 0 if seen.asked.machine.sideways else 1
    least, most = np.inf, -np.inf
    for low, high in parts:
        inner = rails.start[np.searchsorted(rails.at, low, side="right") : np.searchsorted(rails.at, high)]
        along = np.concatenate((inner, rails.locate(np.array([low, high]))[0]))[:, down]
        least, most = min(least, along.min()), max(most, along.max())
    return float(least), float(most)


def _stretches(seen: Evidence) -> list[_Stretch]:
    """Return the stretches between junctions of all lines that more than one band may have parted."""
    rails = seen.rails
    looked = _parted(seen)
    extent = rails.extent[0][looked], rails.extent[1][looked]
    met = _meetings(rails, looked, within_mm=COVERED_MM)
    run_on = _meetings(rails, looked, within_mm=_RUN_ON_MM, over_mm=STRETCH_MM)
    ends = np.flatnonzero(looked & ~_closed(rails))
    tips = np.concatenate((rails.extent[0][ends], rails.extent[1][ends]))
    begin, end = gaps(
        together((tips, tips), _where_junctions_may_be(met, run_on)),
        extent,
        over_mm=STRETCH_MM,
    )
    bands = _bands_in(seen, begin, end)
    line, other, low, high = run_on
    along = (other < rails.asked) & (other != line)
    shared = _running_on((begin, end), low[along], high[along], other[along])
    of = rails.line[rails.piece((begin + end) / 2)] if len(begin) else np.zeros(0, dtype=np.int64)
    found = []
    for owner in np.unique(of).tolist():
        (mine,) = np.nonzero(of == owner)
        found += _joined(
            rails, owner, (begin[mine], end[mine]), [bands[i] for i in mine], [shared[i] for i in mine]
        )
    return found


def _parted(seen: Evidence) -> NDArray[np.bool_]:
    """Return for each line whether it, or its block, is sewn in more than one band."""
    rails, cells = seen.rails, seen.cells
    sewn = np.flatnonzero(cells.first_sew < NEVER)
    band = seen.band[cells.first_sew[sewn]]
    names = {
        name: i for i, name in enumerate(dict.fromkeys(line.block for line in rails.lines if line.block))
    }
    many = np.zeros(len(rails.lines), dtype=bool)
    line = rails.line[rails.piece(cells.bounds[sewn])]
    block = np.array([names.get(x.block, len(names) + i) for i, x in enumerate(rails.lines)], dtype=np.int64)
    least = np.full(len(names) + len(rails.lines), NEVER)
    most = np.zeros_like(least)
    np.minimum.at(least, block[line], band)
    np.maximum.at(most, block[line], band)
    many = least[block] < most[block]
    return many & seen.wanted


def _closed(rails: Rails) -> NDArray[np.bool_]:
    return np.array([line.closed for line in rails.lines], dtype=bool)


def _where_junctions_may_be(met: _Meetings, run_on: _Meetings) -> Interval:
    """Return where lines meet others: all of where they are near, but for what runs on another line.

    Where two lines cross at a small angle, or one touches an oval, they are near for long, and the junction
    may be anywhere there; where they run on each other it is at the ends of that.
    """
    count = int(max(met[1].max(initial=0), run_on[1].max(initial=0))) + 1
    pairs = np.concatenate([one[0] * count + one[1] for one in (met, run_on)])
    place = np.unique(pairs, return_inverse=True)[1]
    apart = place * (float(met[3].max(initial=0.0)) + 1.0)
    met_at, on_at = apart[: len(met[0])], apart[len(met[0]) :]
    inner = run_on[2] + STRETCH_MM + on_at, run_on[3] - STRETCH_MM + on_at
    low, high = gaps(inner, (met[2] + met_at, met[3] + met_at), over_mm=0.0)
    of = np.searchsorted(met[2] + met_at, (low + high) / 2, side="right") - 1
    return low - met_at[of], high - met_at[of]


def _meetings(
    rails: Rails, looked: NDArray[np.bool_], *, within_mm: float, over_mm: float = -1.0
) -> _Meetings:
    """Return where some lines are near others or themselves: line, other line, from where to where."""
    mine = np.flatnonzero(looked[rails.line])
    found, other = rails.tree.query(
        pieces(rails.start[mine], rails.end[mine]), predicate="dwithin", distance=within_mm
    )
    piece = mine[found]
    apart = ~_neighbours(rails, piece, other)
    piece, other = piece[apart], other[apart]
    low, high = near(
        rails.start[piece], rails.end[piece], rails.start[other], rails.end[other], within_mm=within_mm
    )
    full = low <= high
    piece, other = piece[full], other[full]
    low, high = low[full] + rails.at[piece], high[full] + rails.at[piece]
    line, other, low, high = _merged(rails.line[piece], rails.line[other], low, high)
    kept = high - low > over_mm
    return line[kept], other[kept], low[kept], high[kept]


def _neighbours(rails: Rails, one: Ints, two: Ints) -> NDArray[np.bool_]:
    """Return which pairs of pieces follow each other on one line, or are the same."""
    size = np.hypot(*(rails.end - rails.start).T)
    line = rails.line[one]
    same = line == rails.line[two]
    first, last = np.minimum(one, two), np.maximum(one, two)
    between = rails.at[last] - rails.at[first] - size[first]
    begin, end = rails.extent[0][line], rails.extent[1][line]
    round_ = (rails.at[first] - begin) + (end - rails.at[last] - size[last])
    found: NDArray[np.bool_] = same & (
        (between < STRETCH_MM) | (_closed(rails)[line] & (round_ < STRETCH_MM))
    )
    return found


def _merged(line: Ints, other: Ints, low: Floats, high: Floats) -> _Meetings:
    """Return intervals of the same two lines that touch as one."""
    order = np.lexsort((low, other, line))
    line, other, low, high = line[order], other[order], low[order], high[order]
    fresh = np.ones(len(line), dtype=bool)
    until = -np.inf
    for i in range(1, len(line)):
        until = max(until, high[i - 1]) if not fresh[i - 1] else high[i - 1]
        fresh[i] = line[i] != line[i - 1] or other[i] != other[i - 1] or low[i] > until + COVERED_MM
    first = np.flatnonzero(fresh)
    return line[first], other[first], low[first], np.maximum.reduceat(high, first) if len(first) else high


def _bands_in(seen: Evidence, begin: Floats, end: Floats) -> list[dict[int, float]]:
    """Return for each stretch in which bands it is first sewn, and where each of these begins."""
    found: list[dict[int, float]] = [{} for _ in begin]
    length: list[dict[int, float]] = [{} for _ in begin]
    bounds = np.unique(np.concatenate((seen.cells.bounds, begin, end)))
    middle = (bounds[1:] + bounds[:-1]) / 2
    cell = np.searchsorted(seen.cells.bounds, middle, side="right") - 1
    stretch = np.searchsorted(begin, middle, side="right") - 1
    inside = np.flatnonzero((stretch >= 0) & (middle < np.append(end, -np.inf)[stretch]))
    for i in inside[seen.cells.first_sew[cell[inside]] < NEVER].tolist():
        s, band = int(stretch[i]), int(seen.band[seen.cells.first_sew[cell[i]]])
        found[s].setdefault(band, float(bounds[i]))
        length[s][band] = length[s].get(band, 0.0) + float(bounds[i + 1] - bounds[i])
    return [
        {band: at for band, at in bands.items() if sizes[band] > STRETCH_MM}
        for bands, sizes in zip(found, length, strict=True)
    ]


def _running_on(stretches: Interval, low: Floats, high: Floats, other: Ints) -> list[frozenset[int]]:
    """Return for each stretch which other lines run along it."""
    begin, end = stretches
    found: list[set[int]] = [set() for _ in begin]
    middle = (begin + end) / 2
    first, last = np.searchsorted(middle, low), np.searchsorted(middle, high)
    for a, b, line in zip(first.tolist(), last.tolist(), other.tolist(), strict=True):
        for others in found[a:b]:
            others.add(line)
    return [frozenset(others) for others in found]


def _joined(
    rails: Rails, line: int, between: Interval, bands: list[dict[int, float]], shared: list[frozenset[int]]
) -> list[_Stretch]:
    """Return a line's stretches; on a closed line the last may run on into the first."""
    begin, end = (values.tolist() for values in between)
    first, last = float(rails.extent[0][line]), float(rails.extent[1][line])
    before, after = [first, *end[:-1]], [*begin[1:], last]
    made = [
        _Stretch(line, ((b, e),), ((p, n),), found, others)
        for b, e, p, n, found, others in zip(begin, end, before, after, bands, shared, strict=True)
    ]
    if len(made) > 1 and rails.lines[line].closed and begin[0] == first and end[-1] == last:
        one, two = made[0], made.pop()
        made[0] = _Stretch(
            line, two.parts + one.parts, two.whole + one.whole, one.bands | two.bands, one.shared | two.shared
        )
    return made
