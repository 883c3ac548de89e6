"""The postman measured: published optima, the jobs of whole quilts, grids of 100,000 edges.

    python benchmarks/postman.py                              # all, at seed 0
    python benchmarks/postman.py --spread                     # and at nine other seeds: mean and worst
    python benchmarks/postman.py --names UR532 "fill last" --efforts standard proof
    python benchmarks/postman.py --cases grids --blocks 5 10 20 40
    python benchmarks/postman.py --short                      # under 20 s

A row a problem: what the start alone costs (Frederickson 1979), the plan, the proven bound, the published
optimum. "gap" is the plan over the bound; "free gap" sets the same against the cost less what the worlds
force; "over opt" is the plan over the optimum. Costs of published instances and grids hold the first
traversals, those of quilts do not: they are seconds, a row for each job. Grids are walked at "quick" only,
"open" ones with trails that end anywhere; how they grow is fitted to all their sizes.

Each case runs in a process of its own, with one thread, so that its peak memory is its own; seconds are wall
seconds of one call, imports left out, and "cpu s" the processor's, which a busy machine changes less. "MB" is
the peak of the process, which holds the graph, and "child MB" that of the matching's. Exit code 1: a case
failed, a bound lies above a plan or an optimum, a plan below one.
"""

import argparse
import json
import math
import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator
from itertools import groupby
from pathlib import Path
from statistics import fmean, linear_regression
from typing import Any

from published import optima

Row = dict[str, Any]

HERE = Path(__file__).resolve().parent
ONE_THREAD = dict.fromkeys(
    ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "NUMEXPR_NUM_THREADS"), "1"
)
EFFORTS = ("quick", "standard", "proof")
CASES = ("published", "quilts", "grids")
SIDES = (56, 89, 141, 224)
SHORT, SHORT_SIDES = ("UR532", "UR542", "UR732"), (40,)
UNSTITCHED = {"n": 10, "ditch": False}
QUILTS = (
    *(
        (f"{n} x {n}, laps {laps}", {"n": n}, "default", laps)
        for n in (10, 20)
        for laps in ("free", "always")
    ),
    ("10 x 10, all in one", {"n": 10}, "all in one", "free"),
    ("10 x 10, unstitched", UNSTITCHED, "all in one", "free"),
    ("10 x 10, staggered", UNSTITCHED | {"fill_way": "staggered"}, "all in one", "free"),
    ("10 x 10, staggered", UNSTITCHED | {"fill_way": "staggered"}, "default", "free"),
    ("10 x 10, fill last", {"n": 10, "fill_way": "carried on", "spacing": "3/4 in"}, "fill last", "free"),
    ("10 x 10, fill last, own angles", {"n": 10}, "fill last", "free"),
    ("10 x 10, fill last, wider", {"n": 10, "spacing": "3/2 in"}, "fill last", "free"),
)


def options() -> argparse.Namespace:
    """Return what was asked for."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--cases", nargs="+", choices=CASES, default=list(CASES))
    parser.add_argument(
        "--efforts", nargs="+", choices=EFFORTS, help="of published and quilts; left out: quick, standard"
    )
    parser.add_argument("--names", nargs="+", help="cases whose names hold one of these; left out: all")
    parser.add_argument("--sides", nargs="+", type=int, default=list(SIDES), help="of the grids, in vertices")
    parser.add_argument(
        "--blocks", nargs="+", type=int, default=[20], help="of the grids, in vertices across"
    )
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument(
        "--most-seconds", type=float, default=300.0, help="a case that takes longer has failed"
    )
    parser.add_argument("--spread", action="store_true", help="nine other seeds, too")
    parser.add_argument("--short", action="store_true", help="a few small cases of each kind")
    parser.add_argument("--json", action="store_true", help="print the rows as JSON lines")
    asked = parser.parse_args()
    asked.efforts = asked.efforts or (["standard"] if asked.short else ["quick", "standard"])
    return asked


def cases(asked: argparse.Namespace) -> Iterator[Row]:
    """Yield the cases, those that are alike but for the seed together."""
    if "published" in asked.cases:
        for name, effort in pairs(published_names(asked), asked.efforts):
            yield {"kind": "published", "name": name, "effort": effort}
    if "quilts" in asked.cases:
        for (name, top, stages, laps), effort in pairs(quilts(asked), asked.efforts):
            yield {
                "kind": "quilt",
                "name": name,
                "top": top,
                "stages": stages,
                "laps": laps,
                "effort": effort,
            }
    if "grids" in asked.cases:
        for (block, hub), side in pairs(grids(asked), SHORT_SIDES if asked.short else asked.sides):
            name = (
                f"{side} x {side}, {f'blocks of {block}' if block else 'scattered'}{', open' if hub else ''}"
            )
            yield {"kind": "grid", "name": name, "side": side, "block": block, "hub": hub, "effort": "quick"}


def named(asked: argparse.Namespace) -> list[Row]:
    """Return the cases whose names were asked for."""
    return [
        case for case in cases(asked) if not asked.names or any(word in case["name"] for word in asked.names)
    ]


def pairs(outer: Iterable[Any], inner: Iterable[Any]) -> Iterator[tuple[Any, Any]]:
    """Yield each of the one with each of the other."""
    inner = tuple(inner)
    return ((one, other) for one in outer for other in inner)


def published_names(asked: argparse.Namespace) -> list[str]:
    """Return the instances at hand."""
    return [name for name in sorted(optima()) if not asked.short or name in SHORT]


def quilts(asked: argparse.Namespace) -> tuple[Any, ...]:
    """Return the quilts asked for."""
    return (("5 x 5, laps free", {"n": 5}, "default", "free"),) if asked.short else QUILTS


def grids(asked: argparse.Namespace) -> list[tuple[int, bool]]:
    """Return block sizes, 0 for scattered, without and with a hub."""
    return [(block, hub) for block in (0, *asked.blocks) for hub in (False, True)]


def measure(case: Row, seed: int, most_seconds: float) -> list[Row]:
    """Measure a case in a process of its own; no row, and a word, where it fails."""
    command = [sys.executable, str(HERE / "measured.py"), json.dumps(case | {"seed": seed})]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, env=os.environ | ONE_THREAD, start_new_session=True
    ) as process:
        try:
            told = process.communicate(timeout=most_seconds)[0]
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGKILL)  # its matching's child, too
    if process.returncode:
        print(
            f"{case['name']}, {case['effort']}, seed {seed}: failed, or over {most_seconds:g} s", flush=True
        )
        return []
    return [completed(row) for row in json.loads(told)]


def completed(row: Row) -> Row:
    """Add the gaps to a row."""
    excess, free = row["plan"] - row["bound"], row["plan"] - row.get("forced", 0)
    best = row.get("optimum")
    return row | {
        "gap": excess / row["bound"] if excess else 0.0,
        "free_gap": (excess / free if excess else 0.0) if "forced" in row else None,
        "over_optimum": None if best is None else (row["plan"] - best) / best,
    }


def broken(row: Row) -> bool:
    """Tell whether a row contradicts itself, or what is published."""
    best = row.get("optimum")
    in_order = row["bound"] <= row["plan"] and (best is None or row["bound"] <= best <= row["plan"])
    return not in_order or row["proven"] != (row["plan"] == row["bound"])


HEAD = (
    f"{'instance':<38} {'effort':<8} {'seed':>4} {'edges':>7} {'parts':>6} {'start':>10} {'plan':>10} "
    f"{'bound':>10} {'optimum':>8} {'gap':>9} {'free gap':>9} {'over opt':>9} {'proven':>6} {'s':>7} "
    f"{'cpu s':>7} {'MB':>6} {'child MB':>8}"
)


def line_of(row: Row) -> str:
    """Format a row of the table."""
    return (
        f"{row['instance']:<38} {row['effort']:<8} {row['seed']:>4} {row['edges']:>7} {row['parts']:>6} "
        f"{number(row['start'])} {number(row['plan'])} {number(row['bound'])} {row.get('optimum') or '':>8} "
        f"{share(row['gap'])} {share(row['free_gap'])} {share(row['over_optimum'])} "
        f"{'yes' if row['proven'] else 'no':>6} {row['seconds']:>7.2f} {row['cpu_s']:>7.2f} "
        f"{row['own_mb']:>6.0f} {row['child_mb']:>8.0f}{'  BROKEN' if broken(row) else ''}"
    )


def number(value: float | None) -> str:
    """Format a cost; none where there is none."""
    return f"{'none' if value is None else f'{value:.0f}' if value == int(value) else f'{value:.1f}':>10}"


def share(value: float | None) -> str:
    """Format a share; nothing where it makes no sense."""
    return f"{'' if value is None else f'{value:.4%}':>9}"


def tell_spread(rows: list[Row]) -> None:
    """Print each instance's mean and worst over the seeds, where there are several."""
    for (name, effort), alike in together(rows, lambda row: (row["instance"], row["effort"])):
        if len(alike) > 1:
            print(f"{name:<38} {effort:<8} {len(alike)} seeds: {summary(alike)}")


def tell_groups(rows: list[Row]) -> None:
    """Print what each kind of case comes to at each effort."""
    for (kind, effort), alike in together(rows, lambda row: (row["kind"], row["effort"])):
        print(f"all of {kind}, {effort}, {len(alike)} rows: {summary(alike)}")


def together(rows: list[Row], key: Callable[[Row], Any]) -> list[tuple[Any, list[Row]]]:
    """Return rows that are alike, together."""
    return [(value, list(alike)) for value, alike in groupby(sorted(rows, key=key), key)]


def summary(rows: list[Row]) -> str:
    """Say mean and worst of rows."""
    told = [
        f"{words} mean {fmean(shares):.4%} worst {max(shares):.4%}"
        for key, words in (("over_optimum", "over opt"), ("gap", "gap"), ("free_gap", "free gap"))
        if (shares := [row[key] for row in rows if row[key] is not None])
    ]
    seconds = [row["seconds"] for row in rows]
    proven = sum(row["proven"] for row in rows)
    return "; ".join([*told, f"proven {proven}; s mean {fmean(seconds):.2f} worst {max(seconds):.2f}"])


def tell_growth(rows: list[Row]) -> None:
    """Print how time and memory grow with the edges, fitted to all sizes of a kind of grid."""
    found = [row for row in rows if row["kind"] == "grid"]
    for name, alike in together(found, lambda row: row["instance"].partition(", ")[2]):
        sizes = len({row["edges"] for row in alike})
        if sizes > 1:
            wall, cpu, memory = (exponent(alike, of) for of in (wall_s, processor_s, beyond_imports_mb))
            print(
                f"grids, {name}, {sizes} sizes: seconds ~ edges^{wall:.2f}, processor's ~ edges^{cpu:.2f}, "
                f"memory beyond the imports' ~ edges^{memory:.2f}"
            )


def wall_s(row: Row) -> float:
    """Return the seconds on the wall's clock."""
    return row["seconds"]


def processor_s(row: Row) -> float:
    """Return the processor's seconds."""
    return row["cpu_s"]


def beyond_imports_mb(row: Row) -> float:
    """Return the peak of the greater process beyond what the imports take."""
    return max(1.0, max(row["own_mb"], row["child_mb"]) - row["base_mb"])


def exponent(rows: list[Row], of: Callable[[Row], float]) -> float:
    """Fit a power of the edges."""
    points = [(math.log(row["edges"]), math.log(of(row))) for row in rows]
    return linear_regression(*zip(*points, strict=True)).slope


def main() -> int:
    """Measure what is asked for, print the tables, and return 1 if a case failed or a row is broken."""
    asked = options()
    seeds = [asked.seed, *(asked.seed + n for n in range(1, 10) if asked.spread)]
    rows: list[Row] = []
    failed = 0
    if not asked.json:
        print(HEAD)
    for case, seed in pairs(named(asked), seeds):
        found = measure(case, seed, asked.most_seconds)
        rows += found
        failed += not found
        for row in found:
            print(json.dumps(row) if asked.json else line_of(row), flush=True)
    if not asked.json:
        tell_spread(rows)
        tell_groups(rows)
        tell_growth(rows)
    return int(failed > 0 or any(map(broken, rows)))


if __name__ == "__main__":
    sys.exit(main())
