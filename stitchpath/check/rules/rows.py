"""Whether a frame that finishes rows of blocks goes down the quilt, and never back up over finished rows.

Within a band, a stage and a thread nothing new is sewn more than one row above the lowest row begun. Seams
are not counted: they hold the layers, and may be sewn for the whole band. Another thread begins at the top
again, since a change of thread takes longer than the way back. So do blocks that are asked for first or last.

This holds where groups are rows that come in order, as on a frame by default. A top that lies sideways on its
frame has its rows from top to bottom of the frame, so there it cannot hold.
"""

from collections.abc import Iterator

import numpy as np

from stitchpath.check.measuring.intervals import Ints
from stitchpath.check.rules.evidence import Evidence, finding, whose
from stitchpath.check.rules.order import surely, thread_of_segments
from stitchpath.errors import Finding
from stitchpath.lines import SEAM_ROLES

__all__ = ["rows_go_down"]

_ROWS_UP = 1
"""How far above the lowest row begun something new may be sewn: a path reaches over one seam and back."""


def rows_go_down(seen: Evidence) -> Iterator[Finding]:
    """Nothing new is sewn more than one row above the lowest row begun.

    Examples
    --------
    >>> from stitchpath.check.rules.evidence import Asked, look_at
    >>> from stitchpath.drawing import Drawing
    >>> list(rows_go_down(look_at([], Asked(Drawing(lines=())))))
    []
    """
    schedule, machine = seen.asked.schedule, seen.asked.machine
    in_order = schedule.order_for(machine) in {"snake", "left to right"}
    if schedule.groups_for(machine) != "rows" or not in_order or machine.sideways:
        return
    row, turn = (surely(seen, of_line) for of_line in _rows_and_turns(seen))
    thread = thread_of_segments(seen)
    looked = np.flatnonzero((row >= 0) & (turn >= 0) & (thread >= 0) & ~_on_seams(seen))
    keys = np.column_stack((seen.band, seen.segments.stage, thread, turn))[looked]
    _, of = np.unique(keys, axis=0, return_inverse=True)
    for part in range(int(of.max(initial=-1)) + 1):
        own = looked[of.ravel() == part]
        lowest = np.maximum.accumulate(row[own])
        above = row[own] < lowest - _ROWS_UP
        for i in np.flatnonzero(above & ~np.concatenate(([False], above[:-1]))).tolist():
            said = f"goes back up to row {row[own[i]]} after row {lowest[i]}"
            yield finding("row", f"{whose(seen, own[i])} {said}", seen.segments.start[own[i]])


def _rows_and_turns(seen: Evidence) -> tuple[Ints, Ints]:
    """Return for each line the row of its block, and when it comes; -1 for none."""
    blocks = {block.name: block for block in seen.asked.drawing.blocks}
    of = [blocks.get(line.block) for line in seen.rails.lines]
    rows = [-1 if block is None else block.row for block in of]
    turns = [-1 if block is None else int(seen.asked.schedule.turn(block)) for block in of]
    return np.array(rows, dtype=np.int64), np.array(turns, dtype=np.int64)


def _on_seams(seen: Evidence) -> Ints:
    """Return for each segment whether it runs along a seam, basting or the edge line."""
    seam = np.array([line.role in SEAM_ROLES for line in seen.rails.lines], dtype=bool)
    matches, on = seen.matches, np.zeros(len(seen.stretches.times), dtype=bool)
    on[matches.stretch[matches.follows & seam[matches.line]]] = True
    return on[seen.stretches.of]
