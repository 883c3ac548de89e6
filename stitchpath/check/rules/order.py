"""In which order things are sewn: bands, stages, threads, groups of blocks, blocks asked for first."""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from stitchpath.check.measuring.intervals import Ints
from stitchpath.check.rules.evidence import Evidence, finding, whose
from stitchpath.check.rules.threads import told_threads
from stitchpath.errors import Finding
from stitchpath.lines import COVERED_MM, SEAM_ROLES
from stitchpath.sewing_order import BORDERS, Turn, group_name

__all__ = [
    "bands_in_order",
    "groups_are_finished",
    "stages_in_order",
    "surely",
    "surely_in_groups",
    "thread_of_segments",
    "threads_in_order",
    "turns_are_kept",
]

_NONE = -1
"""Stands for the group of what is in none, or in more than one."""

_TOUCHES_MM = 1.0
"""So much of a line in a border may lie at the outer blocks, where it begins or ends: chosen."""


def bands_in_order(seen: Evidence) -> Iterator[Finding]:
    """Bands come from the first to the last.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Move, Span, StitchPath
    >>> paths = [StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),), band=band) for band in (2, 1)]
    >>> [found.message for found in bands_in_order(look_at(paths, Asked(Drawing(lines=()))))]
    ['path 2 goes back to band 1 after band 2']
    >>> list(bands_in_order(look_at([], Asked(Drawing(lines=())))))
    []
    """
    for i in (np.flatnonzero(np.diff(seen.band) < 0) + 1).tolist():
        said = f"{whose(seen, i)} goes back to band {seen.band[i]} after band {seen.band[i - 1]}"
        yield finding("band", said, seen.segments.start[i])


def stages_in_order(seen: Evidence) -> Iterator[Finding]:
    """Stages come in the schedule's order within each band, or within each of its groups.

    In groups that are finished one by one, only what surely belongs to one is looked at.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Move, Span, StitchPath
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1, stage="binding"),))
    >>> [found.message for found in stages_in_order(look_at([path], Asked(Drawing(lines=()))))]
    ['the schedule has no stage "binding"; its stages are baste, seams, detail']
    >>> list(stages_in_order(look_at([], Asked(Drawing(lines=())))))
    []
    """
    segments, stages = seen.segments, seen.stages
    for i in np.flatnonzero(segments.stage < 0)[:1].tolist():
        said = f'the schedule has no stage "{_stage_named(seen, i)}"; its stages are {", ".join(stages)}'
        yield finding("stage", said, segments.start[i])
    names, group = _finished_apart(seen)
    looked = np.flatnonzero((segments.stage >= 0) & (group != _NONE))
    for before, i in _falls(segments.stage, (seen.band, group), looked):
        where = f" in {names[group[i]]}" if names else ""
        here, last = stages[segments.stage[i]], stages[segments.stage[before]]
        said = f'goes back to stage "{here}" after "{last}"{where}'
        yield finding("stage", f"{whose(seen, i)} {said}", segments.start[i])


def _falls(rank: Ints, same: Sequence[Ints], looked: Ints) -> Iterator[tuple[int, int]]:
    """Yield the segments, of those looked at, before and after a rank falls though all else stays."""
    keys = np.column_stack([column[looked] for column in same])
    order = np.lexsort(keys.T)
    falls = (np.diff(keys[order], axis=0) == 0).all(axis=1) & (np.diff(rank[looked[order]]) < 0)
    for at in np.flatnonzero(falls).tolist():
        yield int(looked[order[at]]), int(looked[order[at + 1]])


def _finished_apart(seen: Evidence) -> tuple[Sequence[str], Ints]:
    """Return `surely_in_groups` where each goes through all stages; else none, and 0 for each segment."""
    names, group = surely_in_groups(seen)
    if names and seen.asked.schedule.finish == "group by group":
        return names, group
    return (), np.zeros_like(group)


def threads_in_order(seen: Evidence) -> Iterator[Finding]:
    """Threads that the schedule lists come in its order, and before all others, within a stage.

    A stage is that of a band, or of a group where each goes through all stages; then, as for stages, only
    what surely belongs to one is looked at. Of a path whose thread is in doubt it says nothing.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Move, ScheduleSettings, Span, StitchPath
    >>> asked = Asked(Drawing(lines=()), schedule=ScheduleSettings(threads=["green", "grey"]))
    >>> sewn = (Span(Move.SEW, 0, 1, stage="detail"),)
    >>> paths = [StitchPath([(0, 0), (9, 0)], sewn, thread=thread) for thread in ("grey", "green")]
    >>> [found.message for found in threads_in_order(look_at(paths, asked))]
    ['path 2 goes back to thread "green" after "grey" in stage "detail"']
    >>> list(threads_in_order(look_at([], asked)))
    []
    """
    given, segments = seen.asked.schedule.threads, seen.segments
    if not given:
        return
    names, group = _finished_apart(seen)
    told = told_threads(seen)
    places = [_NONE if one is None else given.index(one) if one in given else len(given) for one in told]
    rank = np.array(places, dtype=np.int64)[segments.path]
    looked = np.flatnonzero(segments.sew & (segments.stage >= 0) & (group != _NONE) & (rank != _NONE))
    for before, i in _falls(rank, (seen.band, group, segments.stage), looked):
        here, there = told[segments.path[i]], told[segments.path[before]]
        where = f'stage "{seen.stages[segments.stage[i]]}"{f" of {names[group[i]]}" if names else ""}'
        said = f'goes back to thread "{here}" after "{there}" in {where}'
        yield finding("thread", f"{whose(seen, i)} {said}", segments.start[i])


def _stage_named(seen: Evidence, segment: int) -> str:
    spans = [span.stage for path in seen.paths for span in path.spans]
    return spans[int(seen.segments.span[segment])]


def groups_are_finished(seen: Evidence) -> Iterator[Finding]:
    """Once another group is begun, no line of an earlier one is sewn for the first time.

    This holds within a band where each group goes through all stages, else within a band, stage and thread.
    Of lines that no block or several groups have a part in it says nothing, nor of a stage of nothing but
    seams and basting, which is sewn as a whole unless each group goes through all stages. A line that no
    other line meets may come early: before the groups from which a path runs on into its own.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath.drawing import Drawing
    >>> list(groups_are_finished(look_at([], Asked(Drawing(lines=())))))
    []
    """
    names, group = surely_in_groups(seen)
    if len(names) < 2:
        return
    looked, columns = _without_early(seen, group, *_taken_together(seen, group))
    latest: dict[tuple[int, ...], int] = {}
    begun: set[tuple[int, ...]] = set()
    keys = zip(*(column.tolist() for column in columns), strict=True)
    for i, key, now in zip(looked.tolist(), keys, group[looked].tolist(), strict=True):
        before = latest.get(key, now)
        if before != now and (*key, now) in begun:
            said = f"{whose(seen, i)} goes back to {names[now]} after {names[before]}"
            yield finding("group", said, seen.segments.start[i])
        begun.add((*key, now))
        latest[key] = now


def _taken_together(seen: Evidence, group: Ints) -> tuple[Ints, list[Ints]]:
    """Return the segments surely in groups that are finished in turn, and within what they are."""
    threads = thread_of_segments(seen)
    looked = np.flatnonzero((group != _NONE) & (threads != _NONE))
    if seen.asked.schedule.finish == "group by group":
        return looked, [seen.band[looked]]
    stages = seen.asked.schedule.stages
    whole = np.array([all(role in SEAM_ROLES for role in stage.roles) for stage in stages])
    looked = looked[~whole[seen.segments.stage[looked]]]
    return looked, [seen.band[looked], seen.segments.stage[looked], threads[looked]]


def turns_are_kept(seen: Evidence) -> Iterator[Finding]:
    """Blocks asked for first are sewn before all others, those asked for last after them; so are borders.

    This holds within a band where each group goes through all stages, else within a band, stage and thread,
    as `groups_are_finished` does. Borders are what lies outside the outer blocks; they come after the blocks
    by hand, where nothing else is asked, but before blocks that are asked for last.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath.drawing import Drawing
    >>> list(turns_are_kept(look_at([], Asked(Drawing(lines=())))))
    []
    """
    asked = seen.asked
    turns = {block.name: asked.schedule.turn(block) for block in asked.drawing.blocks}
    of_line = np.array([turns.get(line.block, _NONE) for line in seen.rails.lines], dtype=np.int64)
    of_line[_in_borders(seen)] = Turn.BORDERS
    if len(set(of_line.tolist()) - {_NONE}) < 2:
        return
    turn = surely(seen, of_line)
    looked, columns = _taken_together(seen, turn)
    whole = [np.full(len(turn), _NONE) for _ in columns]
    for column, values in zip(whole, columns, strict=True):
        column[looked] = values
    said = {Turn.FIRST: "blocks that come first", Turn.OTHER: "other blocks", Turn.BORDERS: "borders"}
    for before, i in _falls(turn, whole, looked):
        here, there = (said.get(Turn(turn[at]), "blocks that come last") for at in (i, before))
        yield finding("turn", f"{whose(seen, i)} goes back to {here} after {there}", seen.segments.start[i])


def _in_borders(seen: Evidence) -> NDArray[np.bool_]:
    """Tell which lines lie outside the outer blocks, where these are to come before them."""
    asked, lines = seen.asked, seen.rails.lines
    blocks = {block.name for block in asked.drawing.blocks}
    found = np.zeros(len(lines), dtype=bool)
    named = [i for i, line in enumerate(lines) if line.block and line.block not in blocks]
    if blocks and named and asked.schedule.from_the_middle(asked.machine):
        boxes = np.array([block.box_mm for block in asked.drawing.blocks])
        inside = shapely.box(*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0)).buffer(COVERED_MM)
        drawn = np.array([shapely.LineString(lines[i].points_mm) for i in named], dtype=object)
        found[named] = shapely.length(shapely.intersection(drawn, inside)) < _TOUCHES_MM
    return found


def _without_early(
    seen: Evidence, group: Ints, looked: Ints, columns: Sequence[Ints]
) -> tuple[Ints, list[Ints]]:
    """Leave out lines that no other line meets, where paths run on from what comes next into their group.

    A path that sews lines of which it is in doubt in which group they are may run on from any into any.

    Returns
    -------
    looked, columns
        As given, for what is left.
    """
    alone = _meets_none(seen)[looked]
    path, key = seen.segments.path[looked], np.column_stack([*columns, group[looked]])
    keys = [tuple(one) for one in key.tolist()]
    first: dict[tuple[int, ...], int] = {}
    sewn: dict[int, set[tuple[int, ...]]] = {}
    for place in np.flatnonzero(~alone).tolist():
        first.setdefault(keys[place], int(path[place]))
        sewn.setdefault(int(path[place]), set()).add(keys[place])
    for one in np.unique(seen.segments.path[seen.segments.sew & (group == _NONE)]).tolist():
        sewn.setdefault(one, set()).add(_ANY)
    ordinary = np.array(sorted(sewn), dtype=np.int64)
    kept = np.ones(len(looked), dtype=bool)
    for place in np.flatnonzero(alone).tolist():
        begins = first.get(keys[place], -1)
        if begins > path[place]:
            a, b = np.searchsorted(ordinary, [path[place], begins])
            kept[place] = not _hang_together([sewn[one] for one in ordinary[a : b + 1].tolist()])
    return looked[kept], [column[kept] for column in columns]


_ANY: tuple[int, ...] = ()
"""The key of a group that is in doubt."""


def _hang_together(groups: Sequence[set[tuple[int, ...]]]) -> bool:
    """Tell whether paths that sew these groups run on from group to group."""
    reached = set(groups[0])
    for here in groups[1:]:
        if not here & reached and _ANY not in here | reached:
            return False
        reached |= here
    return True


def _meets_none(seen: Evidence) -> NDArray[np.bool_]:
    """Tell which segments lie on nothing but lines that no other line meets."""
    drawn = np.array([shapely.LineString(line.points_mm) for line in seen.rails.lines], dtype=object)
    one, other = shapely.STRtree(drawn).query(drawn, predicate="dwithin", distance=COVERED_MM)
    met = np.zeros(len(drawn), dtype=bool)
    met[one[one != other]] = True
    kept = seen.matches.follows
    meets = np.zeros(len(seen.stretches.times), dtype=bool)
    meets[seen.matches.stretch[kept][met[seen.matches.line[kept]]]] = True
    alone: NDArray[np.bool_] = ~meets[seen.stretches.of]
    return alone


def thread_of_segments(seen: Evidence) -> Ints:
    """Return for each segment a number for its path's thread; -1 where it is in doubt.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath.drawing import Drawing
    >>> thread_of_segments(look_at([], Asked(Drawing(lines=())))).tolist()
    []
    """
    told = told_threads(seen)
    number = {thread: i for i, thread in enumerate(sorted({thread for thread in told if thread is not None}))}
    numbers = [_NONE if thread is None else number[thread] for thread in told]
    return np.array(numbers, dtype=np.int64)[seen.segments.path]


def surely_in_groups(seen: Evidence) -> tuple[Sequence[str], Ints]:
    """Return the groups' names, and for each segment that sews for the first time its group; else `_NONE`.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath.drawing import Drawing
    >>> names, group = surely_in_groups(look_at([], Asked(Drawing(lines=()))))
    >>> list(names), group.tolist()
    ([], [])
    """
    names, of_block = _groups_of_blocks(seen)
    of_line = np.array([of_block.get(line.block, _NONE) for line in seen.rails.lines], dtype=np.int64)
    if names and seen.asked.schedule.from_the_middle(seen.asked.machine):
        of_line[_in_borders(seen)] = len(names)
        names = [*names, BORDERS]
    return names, surely(seen, of_line)


def surely(seen: Evidence, of_line: Ints) -> Ints:
    """Return for each segment that sews for the first time what all lines there have in common; else -1.

    Parameters
    ----------
    seen
        What the rules look at.
    of_line
        For each line a number, or -1.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line, Move, Span, StitchPath
    >>> path = StitchPath([(0, 0), (9, 0), (0, 0)], (Span(Move.SEW, 0, 1), Span(Move.TRAVEL, 1, 2)))
    >>> seen = look_at([path], Asked(Drawing(lines=(Line([(0, 0), (9, 0)]),))))
    >>> surely(seen, np.array([7])).tolist()
    [7, -1]
    """
    found = np.full(len(seen.segments.path), _NONE)
    matches, count = seen.matches, len(seen.stretches.times)
    kept = matches.follows & seen.wanted[matches.line]
    least, most = np.full(count, of_line.max(initial=_NONE) + 1), np.full(count, _NONE)
    np.minimum.at(least, matches.stretch[kept], of_line[matches.line[kept]])
    np.maximum.at(most, matches.stretch[kept], of_line[matches.line[kept]])
    sure = np.where(least == most, least, _NONE)
    first = np.flatnonzero(
        seen.segments.sew & (seen.stretches.first_sew[seen.stretches.of] == np.arange(len(found)))
    )
    found[first] = sure[seen.stretches.of[first]]
    return found


def _groups_of_blocks(seen: Evidence) -> tuple[Sequence[str], Mapping[str, int]]:
    """Return the groups' names, and the number of each block's group: parted for blocks first or last."""
    names, numbers = _whole_groups(seen)
    turn = {block.name: seen.asked.schedule.turn(block) for block in seen.asked.drawing.blocks}
    if not set(turn.values()) - {Turn.OTHER}:
        return names, numbers
    if not names:
        names, numbers = [""], dict.fromkeys(turn, 0)
    alone = seen.asked.schedule.groups_for(seen.asked.machine) == "blocks"
    parts = {name: names[n] if alone else group_name(names[n], turn[name]) for name, n in numbers.items()}
    places = {name: i for i, name in enumerate(dict.fromkeys(parts.values()))}
    return list(places), {name: places[part] for name, part in parts.items()}


def _whole_groups(seen: Evidence) -> tuple[Sequence[str], Mapping[str, int]]:
    asked = seen.asked.schedule.groups_for(seen.asked.machine)
    blocks = seen.asked.drawing.blocks
    if not isinstance(asked, str):
        numbers = {name: i for i, group in enumerate(asked) for name in group.blocks}
        known = {block.name for block in blocks}
        return [group.name for group in asked], {name: i for name, i in numbers.items() if name in known}
    if asked == "none" or not blocks:
        return (), {}
    if asked == "blocks":
        return [block.name for block in blocks], {block.name: i for i, block in enumerate(blocks)}
    rows = sorted({block.row for block in blocks})
    return [f"row {row}" for row in rows], {block.name: rows.index(block.row) for block in blocks}
