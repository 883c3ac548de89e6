"""What limits on times sewn over cost where jobs must share them: tops with few times, and with nine.

    python benchmarks/sharing.py                  # 24 tops, about 4 minutes
    python benchmarks/sharing.py --seed 7 --tops 6 --in-turn

Each top is planned within its limits, and again with all limits at nine: then jobs can take what they like.
The gap is that of the whole plan. Seconds are of the processor, the drawing left out. `--in-turn` also tells
how many paths there are where each job takes what it likes and the later ones pay.
"""

import argparse
from collections.abc import Iterator
from dataclasses import dataclass
from unittest.mock import patch

import numpy as np
from measured import cpu_s
from tops import strip_top

from stitchpath.design import Design
from stitchpath.drawing import Drawing, draw
from stitchpath.plan import Plan
from stitchpath.planner import make_plan
from stitchpath.planning.negotiation import Shared
from stitchpath.planning.router import Router
from stitchpath.planning.schedule import Job
from stitchpath.settings import CostSettings, RoleChange

NEAR, FAR, GAP = 1.15, 1.6, 0.05
"""What is counted: at most so many times the paths of nine times; at most such a gap."""

HEAD = ("top", "rows", "columns", "lines", "threads", "times", "jobs", "paths", "at nine", "ratio", "cost s",
        "cost at nine", "gap", "gap at nine", "CPU s", "at nine")  # fmt: skip


@dataclass(frozen=True)
class Row:
    """A top planned within its limits and without; what it was asked for comes first."""

    asked: tuple[int, ...]
    plan: Plan
    free: Plan
    seconds: tuple[float, float]
    in_turn: int | None

    @property
    def ratio(self) -> float:
        """So many times the paths of nine times."""
        return len(self.plan.paths) / len(self.free.paths)

    def told(self, number: int) -> tuple[str, ...]:
        """Return the cells of a table."""
        plan, free = self.plan, self.free
        turn = () if self.in_turn is None else (str(self.in_turn),)
        return (
            str(number), *map(str, self.asked), str(len(plan.jobs)),
            str(len(plan.paths)), str(len(free.paths)),
            f"{self.ratio:.2f}", f"{plan.cost:.0f}", f"{free.cost:.0f}", f"{plan.gap:.1%}", f"{free.gap:.1%}",
            *(f"{s:.1f}" for s in self.seconds), *turn,
        )  # fmt: skip


def grid(count: int, seed: int) -> Iterator[tuple[tuple[int, ...], Design]]:
    """Yield so many tops of 4 to 8 rows and columns, with what was drawn by lot for each."""
    rng = np.random.default_rng(seed)
    for number in range(count):
        rows, columns = rng.integers(4, 8, 2, endpoint=True).tolist()
        lines, threads, times = 1 + number % 5, 1 + number % 4, int(rng.integers(3, 4, endpoint=True))
        asked = {"lines": lines, "threads": threads, "most_times": times}
        yield (rows, columns, lines, threads, times), strip_top(rows, columns, **asked, seed=seed)


def planned(design: Design, drawing: Drawing, effort: str, *, times: int | None = None) -> tuple[Plan, float]:
    """Plan a design, with another limit for all roles if one is given; return the seconds as well."""
    changes = (
        design.cost.roles if times is None else dict.fromkeys(design.cost.roles, RoleChange(most_times=times))
    )
    cost = CostSettings(roles=changes)
    begun = cpu_s()
    plan = make_plan(drawing, cost=cost, machine=design.machine, schedule=design.schedule, effort=effort)
    return plan, cpu_s() - begun


def taking_turns(router: Router, jobs: tuple[Job, ...]) -> Shared:
    """Route jobs one after another, without a thought for the later ones."""
    return Shared(router.route(jobs), np.zeros(len(router.network.tails), dtype=np.int64))


def measure(asked: tuple[int, ...], design: Design, effort: str, *, in_turn: bool) -> Row:
    """Plan a top both ways."""
    drawing = draw(design)
    (plan, own_s), (free, free_s) = (
        planned(design, drawing, effort),
        planned(design, drawing, effort, times=9),
    )
    turns = None
    if in_turn:
        with patch("stitchpath.planner.route_in_turn", taking_turns):
            turns = len(planned(design, drawing, effort)[0].paths)
    return Row(asked, plan, free, (own_s, free_s), turns)


def tell_totals(rows: list[Row]) -> None:
    """Print how many tops hold what must hold."""
    near = sum(row.ratio <= NEAR for row in rows)
    far = sum(row.ratio <= FAR or row.plan.gap <= GAP for row in rows)
    proven = sum(row.plan.gap <= GAP for row in rows)
    dear = sum(row.plan.cost for row in rows) / sum(row.free.cost for row in rows)
    seconds, free_s = (sum(row.seconds[i] for row in rows) for i in range(2))
    print(
        f"\n{len(rows)} tops: {near} within {NEAR} times the paths of nine times, {far} within {FAR} times "
        f"or with a gap of at most {GAP:.0%}, {proven} with such a gap; cost {dear:.3f} times; "
        f"{seconds:.0f} s and {free_s:.0f} s"
    )
    if rows[0].in_turn is not None:
        twice = sum((row.in_turn or 0) > 2 * len(row.free.paths) for row in rows)
        print(f"One after another, {twice} take over twice the paths of nine times.")


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--tops", type=int, default=24)
    parser.add_argument("--seed", type=int, default=0, help="of tops that are not here")
    parser.add_argument("--only", type=int, nargs="*", help="the numbers of some tops, from 1")
    parser.add_argument("--effort", default="quick")
    parser.add_argument("--in-turn", action="store_true", help="also one job after another")
    options = parser.parse_args()
    head = (*HEAD, "paths in turn") if options.in_turn else HEAD
    print(f"| {' | '.join(head)} |\n|{' --- |' * len(head)}")
    rows = []
    for number, (asked, design) in enumerate(grid(options.tops, options.seed), 1):
        if options.only is None or number in options.only:
            rows.append(measure(asked, design, options.effort, in_turn=options.in_turn))
            print(f"| {' | '.join(rows[-1].told(number))} |", flush=True)
    tell_totals(rows)


if __name__ == "__main__":
    main()
