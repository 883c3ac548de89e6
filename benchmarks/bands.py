"""What bands, groups and stages cost: one table for a design.

    python benchmarks/bands.py [--design FILE | --blocks N] [--effort quick] [--reach 12 18]

One plan at a time, in one process; seconds are of this machine, the other figures of any. bands.md has
what it came to when it was last run whole.
"""

import argparse
import time

from tops import square_top

from stitchpath.design import Design, read_design
from stitchpath.errors import DesignError
from stitchpath.figures import plan_figures
from stitchpath.planner import make_plan
from stitchpath.settings import MachineSettings, ScheduleSettings, Stage
from stitchpath.words import gap

OUTLINES_APART = (
    Stage(name="baste", roles=("baste",)),
    Stage(name="seams", roles=("ditch",)),
    Stage(name="outlines", roles=("outline", "strip")),
    Stage(name="fill", roles=("fill", "echo", "drawn")),
)
STAGES = {"all in one": "all in one", "default": "default", "outlines apart": OUTLINES_APART}
HEAD = ("reach", "groups", "stages", "bands", "jobs", "paths", "open ends", "travel m", "wander", "cost s",
        "bound s", "worst gap", "seconds")  # fmt: skip


def row(design: Design, reach: float | None, groups: str, stages: str, effort: str) -> tuple[str, ...]:
    """Plan once and say what it comes to."""
    machine = MachineSettings(reach=None if reach is None else f"{reach:g} in")
    schedule = ScheduleSettings(groups=groups, stages=STAGES[stages])
    named = ("whole" if reach is None else f"{reach:g} in", groups, stages)
    begun = time.perf_counter()
    try:
        plan = make_plan(design, machine=machine, schedule=schedule, effort=effort)
    except DesignError as error:
        return (*named, str(error))
    seconds = time.perf_counter() - begun
    figures = plan_figures(plan)
    wander = figures.wander_median
    worst, over_s = max(((job.gap, job.cost - job.bound) for job in plan.jobs), default=(0.0, 0.0))
    return (
        *named, str(max(len(plan.windows), 1)), str(len(plan.jobs)), str(figures.paths),
        str(figures.open_ends), f"{figures.travel_mm / 1000:.1f}", "-" if wander is None else f"{wander:.1f}",
        f"{plan.cost:.0f}", f"{plan.bound:.0f}", gap(worst, over_s), f"{seconds:.1f}",
    )  # fmt: skip


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--design", default="examples/winter_orchard.toml")
    parser.add_argument("--blocks", type=int, help="a square top of the generator instead")
    parser.add_argument("--effort", default="standard")
    parser.add_argument("--reach", type=float, nargs="*", default=[12, 18, 24])
    parser.add_argument("--groups", nargs="*", default=["none", "rows", "blocks"])
    parser.add_argument("--stages", nargs="*", default=list(STAGES), choices=list(STAGES))
    asked = parser.parse_args()
    design = square_top(n=asked.blocks) if asked.blocks else read_design(asked.design)
    print(f"| {' | '.join(HEAD)} |\n|{' --- |' * len(HEAD)}")
    for stages in asked.stages:
        for reach in [None, *asked.reach]:
            for groups in asked.groups:
                print(f"| {' | '.join(row(design, reach, groups, stages, asked.effort))} |", flush=True)


if __name__ == "__main__":
    main()
