"""Whole quilts from the generator: time against one union, proofs, laps, straightness, memory, growth.

    python benchmarks/quilts.py                 # 5 10 20 30, all in one stage and the default stages
    python benchmarks/quilts.py --sizes 5 10    # some sizes only

Each row runs in a process of its own, so that its peak memory is its own. Times are the best of `--repeat`
runs, and are given as ratios to one ``shapely.union_all(lines, grid_size=2**-10)`` of the same raw lines in
the same run, imports excluded.
"""

import argparse
import json
import math
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "tests"))

SCHEDULES = ("all in one", "default")


def measure(size: int, stages: str, laps: str, effort: str, repeat: int) -> dict[str, Any]:
    """Measure one top; the heavy imports are done before the clock starts."""
    import pymatching  # noqa: F401 - its import is not what is measured
    import scipy.sparse.csgraph  # noqa: F401
    import shapely
    from tops import square_top
    from walk_figures import straight_share

    from stitchpath.drawing import draw
    from stitchpath.geometry.noding import GRID_MM
    from stitchpath.planner import make_plan
    from stitchpath.planning.network import build_network
    from stitchpath.planning.router import Router
    from stitchpath.planning.schedule import list_jobs
    from stitchpath.planning.weights import weigh
    from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings

    drawing = draw(square_top(size))
    raw = [shapely.LineString(line.points_mm) for line in drawing.lines + drawing.hidden]
    schedule = ScheduleSettings(stages=stages, laps=laps)
    kept: dict[str, Any] = {}

    def union() -> None:
        shapely.union_all(raw, grid_size=GRID_MM)

    def whole() -> None:
        network = build_network(drawing)
        weights = weigh(network, cost=CostSettings(), machine=MachineSettings(), schedule=schedule)
        router = Router(network, weights, laps, effort)
        kept.update(network=network, routes=router.route(list_jobs(weights, schedule)))

    def route_only() -> float:
        start = time.perf_counter()
        whole()
        return time.perf_counter() - start

    union_s = best(union, repeat)
    whole_s = min(route_only() for _ in range(repeat))
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    children_mb = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    plan = make_plan(drawing, schedule=schedule, effort=effort)
    network = kept["network"]
    went, could = straight_share(
        [trail for route in kept["routes"] for trail in route.trails],
        size=len(network.junctions_mm),
        tails=network.tails,
        heads=network.heads,
        headings=network.headings,
    )
    return {
        "blocks": size,
        "stages": stages,
        "laps": laps,
        "edges": len(network.tails),
        "union_s": union_s,
        "whole_s": whole_s,
        "ratio": whole_s / union_s,
        "memory_mb": peak_mb,
        "child_mb": children_mb,
        "paths": len(plan.paths),
        "cost_s": plan.cost,
        "bound_s": plan.bound,
        "gap": plan.gap,
        "optimal": plan.optimal,
        "laps_touched": plan.laps.touched,
        "laps_whole": plan.laps.in_one_lap,
        "straight_went": went,
        "straight_could": could,
        "jobs": [
            {
                "stage": job.stage,
                "paths": job.paths,
                "cost_s": job.cost,
                "gap": job.gap,
                "gap_beyond_forced": beyond_forced(job),
                "optimal": job.optimal,
                "run_on": job.run_on,
            }
            for job in plan.jobs
        ],
    }


def beyond_forced(job: Any) -> float:
    """Return the excess over the bound, over the cost less what the worlds force."""
    free = job.cost - job.forced
    return (job.cost - job.bound) / free if free > 0 else 0.0


def best(run: Callable[[], None], repeat: int) -> float:
    """Return the best time of several runs."""
    times = []
    for _ in range(repeat):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times)


def row_of(result: dict[str, Any]) -> str:
    """Format a row of the table."""
    laps = f"{result['laps_whole']}/{result['laps_touched']}"
    straight = result["straight_went"] / max(1, result["straight_could"])
    return (
        f"{result['blocks']:>6} {result['stages']:<10} {result['laps']:<6} {result['edges']:>7} "
        f"{result['union_s']:>7.2f} {result['whole_s']:>7.2f} {result['ratio']:>6.2f} "
        f"{result['memory_mb']:>6.0f} {result['paths']:>5} {result['cost_s']:>9.1f} {result['gap']:>8.4%} "
        f"{'yes' if result['optimal'] else 'no':>6} {laps:>10} {straight:>8.2%}"
    )


HEAD = (
    f"{'blocks':>6} {'stages':<10} {'laps':<6} {'edges':>7} {'union s':>7} {'whole s':>7} {'ratio':>6} "
    f"{'MB':>6} {'paths':>5} {'cost s':>9} {'gap':>8} {'proven':>6} {'laps':>10} {'straight':>8}"
)


def main() -> None:
    """Run the rows asked for and print the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--sizes", nargs="+", type=int, default=[5, 10, 20, 30])
    parser.add_argument("--stages", nargs="+", choices=SCHEDULES, default=list(SCHEDULES))
    parser.add_argument("--laps", nargs="+", choices=("free", "always"), default=["free", "always"])
    parser.add_argument("--effort", default="standard")
    parser.add_argument("--repeat", type=int, default=3)
    parser.add_argument("--json", action="store_true", help="print the rows as JSON lines")
    parser.add_argument("--row", nargs=3, help=argparse.SUPPRESS)
    options = parser.parse_args()
    if options.row:
        size, stages, laps = options.row
        print(json.dumps(measure(int(size), stages, laps, options.effort, options.repeat)))
        return
    results = []
    print(HEAD)
    for stages in options.stages:
        for laps in options.laps:
            for size in options.sizes:
                command = [sys.executable, __file__, "--row", str(size), stages, laps]
                command += ["--effort", options.effort, "--repeat", str(options.repeat)]
                done = subprocess.run(command, check=True, capture_output=True, text=True)
                results.append(json.loads(done.stdout))
                print(json.dumps(results[-1]) if options.json else row_of(results[-1]), flush=True)
                tell_jobs(results[-1])
    tell_growth(results)


def tell_jobs(result: dict[str, Any]) -> None:
    """Print each job's gap where there are several."""
    for job in result["jobs"] if len(result["jobs"]) > 1 else ():
        print(
            f"       {job['stage']:<8} {job['paths']:>5} paths, cost {job['cost_s']:.1f} s, "
            f"gap {job['gap']:.4%}, over the cost less what is forced {job['gap_beyond_forced']:.4%}"
            f"{', run on' if job['run_on'] else ''}{', proven' if job['optimal'] else ''}"
        )


def tell_growth(results: list[dict[str, Any]]) -> None:
    """Print the growth exponents over the number of edges, from the second size to the last."""
    for stages, laps in sorted({(r["stages"], r["laps"]) for r in results}):
        rows = [r for r in results if (r["stages"], r["laps"]) == (stages, laps) and r["blocks"] >= 10]
        if len(rows) > 1:
            span = math.log(rows[-1]["edges"] / rows[0]["edges"])
            growth = {key: math.log(rows[-1][key] / rows[0][key]) / span for key in ("whole_s", "union_s")}
            print(
                f"growth, {stages}, laps {laps}: time ~ edges^{growth['whole_s']:.2f}, "
                f"the union alone ^{growth['union_s']:.2f}"
            )


if __name__ == "__main__":
    main()
