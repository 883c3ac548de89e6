"""Plans with bands, laid by hand: blocks with an F each, which no mirror image can pass for."""

from dataclasses import replace

import numpy as np
import shapely

from stitchpath.by_hand import hand_machine
from stitchpath.drawing import Drawing
from stitchpath.lines import Block, Line, Role, Thread
from stitchpath.plan import Move, Plan, RoutedJob, Span, StitchPath
from stitchpath.settings import MachineSettings, ScheduleSettings

BLOCK_MM = 101.6
"""4 in: an F's corners lie on halves of a thousandth of a millimetre."""

STEM = 25.4 / 16 * np.array([(9, 57), (9, 31), (9, 9), (41, 9)])
ARM = 25.4 / 16 * np.array([(9, 31), (29, 31)])


def banded(*, rows=3, columns=4, sideways=False, overlap_mm=10.0, outline=True):
    """A top of blocks in which each row (each column, where it lies sideways) is a band.

    In each band the seams come first, the one to its next band in one piece, then each block's F in two
    paths, the arm with travel back along it.
    """
    count = columns if sideways else rows
    lines, paths = [], []
    cuts = {axis: BLOCK_MM * np.arange(n + 1) for axis, n in ((0, columns), (1, rows))}
    for across in (0, 1):
        for place in cuts[across][1:-1]:
            points = np.full((len(cuts[1 - across]), 2), place)
            points[:, 1 - across] = cuts[1 - across]
            lines.append(Line(points, Role.DITCH, "cream", "ditch"))
    seams = len(lines)
    blocks, boxes = {}, []
    for row in range(rows):
        for column in range(columns):
            name, corner = f"row {row + 1}, column {column + 1}", BLOCK_MM * np.array([column, row])
            lines += [Line(points + corner, Role.DRAWN, "cream", "f", name) for points in (STEM, ARM)]
            blocks.setdefault(column if sideways else row, []).append(len(lines))
            boxes.append(Block(name, (*corner, *(corner + BLOCK_MM)), row + 1, column + 1))

    def sew(band, stage, line, points):
        paths.append(StitchPath(points, (Span(Move.SEW, 0, len(points) - 1, line, stage),), "cream", band))

    down = 0 if sideways else 1
    for band in range(1, count + 1):
        for line in range(1, seams + 1):
            points = lines[line - 1].points_mm
            if points[0, down] == points[-1, down]:
                if points[0, down] == cuts[down][band]:
                    sew(band, "seams", line, points)
            else:
                sew(band, "seams", line, points[band - 1 : band + 1])
        for arm in blocks[band - 1]:
            sew(band, "detail", arm - 1, lines[arm - 2].points_mm)
            points = lines[arm - 1].points_mm
            spans = Span(Move.SEW, 0, 1, arm, "detail"), Span(Move.TRAVEL, 1, 2, arm, "detail")
            paths.append(StitchPath(np.vstack([points, points[:1]]), spans, "cream", band))
    windows = [(max(cuts[down][i] - overlap_mm, -3.175), cuts[down][i + 1] + 3.175) for i in range(count)]
    box = shapely.box(0, 0, columns * BLOCK_MM, rows * BLOCK_MM) if outline else None
    jobs = tuple(
        RoutedJob(band, stage, 60.0, 60.0, 60.0, 1, False, 0.25)
        for band in range(1, count + 1)
        for stage in ("seams", "detail")
    )
    return Plan(
        Drawing(tuple(lines), (), (), box, (Thread("cream", 27.0),), (), "Letters", "cd" * 32, tuple(boxes)),
        tuple(paths), jobs, 60.0 * len(jobs), windows=tuple(windows),
        machine=MachineSettings(reach=BLOCK_MM + 20.0, sideways=sideways),
    )  # fmt: skip


def handed(when="before each band", **about):
    """Such a plan of which the seams are left to the hand."""
    plan = banded(**about)
    schedule = ScheduleSettings(by_hand=["ditch"], by_hand_when=when)
    parts = []
    for stage in ("seams", "detail"):
        jobs = tuple(job for job in plan.jobs if job.stage == stage)
        paths = tuple(path for path in plan.paths if path.stage == stage)
        bound = sum(job.bound for job in jobs)
        parts.append(replace(plan, paths=paths, jobs=jobs, bound=bound, schedule=schedule))
    hand, frame = parts
    return replace(frame, by_hand=replace(hand, machine=hand_machine(plan.machine, schedule), of_hand=True))
