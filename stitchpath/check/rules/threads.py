"""Whether each path keeps to one thread, and to the right one."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from stitchpath.check.measuring.intervals import Points
from stitchpath.check.rules.evidence import Evidence, finding, left_over, lies_on, path_named
from stitchpath.errors import Finding

__all__ = ["keeps_its_thread", "keeps_to_one_thread", "told_threads"]


@dataclass(frozen=True, eq=False)
class _Off:
    """Where a path first sews what asks for other threads."""

    time: int
    place: Points
    asks: tuple[str, ...]


def keeps_its_thread(seen: Evidence) -> Iterator[Finding]:
    """Every stretch that a path sews lies on a line of the path's own thread; travel may lie on any.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line, Move, Span, StitchPath, Thread
    >>> threads = Thread("green", 40), Thread("grey", 40)
    >>> asked = Asked(Drawing(lines=(Line([(0, 0), (9, 0)], thread="green"),), threads=threads))
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),), thread="grey")
    >>> [found.message for found in keeps_its_thread(look_at([path], asked))]
    ['path 1 has thread "grey" and sews a line that asks for "green"']
    >>> list(keeps_its_thread(look_at([], asked)))
    []
    """
    off = _off_threads(seen, {path.thread for path in seen.paths})
    for number, path in enumerate(seen.paths):
        if number in off[path.thread]:
            yield _told(seen, number, off[path.thread][number])


def keeps_to_one_thread(seen: Evidence) -> Iterator[Finding]:
    """As `keeps_its_thread`, of paths that may name no thread: what they sew has one in common.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath.drawing import Drawing
    >>> list(keeps_to_one_thread(look_at([], Asked(Drawing(lines=())))))
    []
    """
    threads = _threads(seen)
    off = _off_threads(seen, {*threads, *(path.thread for path in seen.paths)})
    for number, path in enumerate(seen.paths):
        if path.thread:
            if number in off[path.thread]:
                yield _told(seen, number, off[path.thread][number])
        elif threads and all(number in off[thread] for thread in threads):
            last = max((off[thread][number] for thread in threads), key=lambda found: found.time)
            said = f"{path_named(seen, number)} sews lines of different threads"
            yield finding("thread", f"{said}; from here on it takes {_all(last.asks)}", last.place)


def told_threads(seen: Evidence) -> list[str | None]:
    """Return each path's thread as named, else as its lines tell it; None where that is in doubt.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath import Drawing, Line, Move, Span, StitchPath, Thread
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),))
    >>> line = Line([(0, 0), (9, 0)], thread="green")
    >>> asked = Asked(Drawing(lines=(line,), threads=(Thread("green", 40),)))
    >>> told_threads(look_at([path], asked)), told_threads(look_at([], asked))
    (['green'], [])
    """
    threads = _threads(seen)
    if len(threads) < 2:
        return [path.thread or "".join(threads) for path in seen.paths]
    off = _off_threads(seen, threads)
    told: list[str | None] = []
    for number, path in enumerate(seen.paths):
        fitting = [thread for thread in threads if number not in off[thread]]
        told.append(path.thread or (fitting[0] if len(fitting) == 1 else None))
    return told


def _threads(seen: Evidence) -> list[str]:
    return sorted({line.thread for line, asked in zip(seen.rails.lines, seen.wanted, strict=True) if asked})


def _off_threads(seen: Evidence, threads: set[str] | Sequence[str]) -> dict[str, dict[int, _Off]]:
    """Return for each thread which paths sew what does not ask for it, and where first."""
    return {thread: _off_thread(seen, thread) for thread in threads}


def _off_thread(seen: Evidence, thread: str) -> dict[int, _Off]:
    of_line = np.array([line.thread == thread for line in seen.rails.lines], dtype=bool) & seen.wanted
    if of_line.sum() == seen.wanted.sum():
        return {}
    low, high = left_over(seen, seen.wanted, lies_on(seen, of_line), seen.stretches.sews > 0)
    stretch, places = seen.stretches.locate((low + high) / 2)
    place = dict(zip(stretch[::-1].tolist(), places[::-1], strict=True))
    segments = np.flatnonzero(seen.segments.sew & np.isin(seen.stretches.of, stretch))
    paths, first = np.unique(seen.segments.path[segments], return_index=True)
    return {
        path: _Off(time, place[seen.stretches.of[time]], _asked_at(seen, int(seen.stretches.of[time])))
        for path, time in zip(paths.tolist(), segments[first].tolist(), strict=True)
    }


def _asked_at(seen: Evidence, stretch: int) -> tuple[str, ...]:
    lines = seen.matches.line[seen.follows(stretch)]
    return tuple(sorted({seen.rails.lines[line].thread for line in lines.tolist()}))


def _told(seen: Evidence, number: int, off: _Off) -> Finding:
    thread = seen.paths[number].thread
    said = f'{path_named(seen, number)} has thread "{thread}" and sews a line that asks for {_all(off.asks)}'
    return finding("thread", said, off.place)


def _all(threads: Sequence[str]) -> str:
    return " and ".join(f'"{thread}"' for thread in threads) or "another"
