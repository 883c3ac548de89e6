"""The same lines, sewn without a plan: one by one, by nearest end next, by an Euler circuit of networkx.

    python benchmarks/against.py              # winter_orchard, and square tops of 5 and 10
    python benchmarks/against.py --sizes 5

Costs are in seconds, at the same end costs and the same table of roles, all in one stage. The last table is a
small connected case, on which ``networkx.eulerize`` closes one walk: it has no ends to choose and pays for
them all in travel, so it is compared with one closed walk of `rural_postman`, and with the plan.
"""

import argparse
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import networkx as nx
import shapely
from tops import square_top

from stitchpath import compare
from stitchpath.design import read_design
from stitchpath.drawing import Drawing, draw
from stitchpath.figures import plan_figures
from stitchpath.planner import make_plan
from stitchpath.planning.network import build_network
from stitchpath.postman import rural_postman
from stitchpath.settings import ScheduleSettings

ONE = ScheduleSettings(stages="all in one")
ORCHARD = Path(__file__).parent.parent / "examples" / "winter_orchard.toml"


def timed(run: Callable[[], Any]) -> tuple[Any, float]:
    """Return what a call returns, and its seconds."""
    start = time.perf_counter()
    result = run()
    return result, time.perf_counter() - start


def table(name: str, drawing: Drawing) -> None:
    """Print a drawing's three ways."""
    ways = {
        "this plan": lambda: compare.way_of(plan_figures(make_plan(drawing, schedule=ONE))),
        "one by one": lambda: compare.one_by_one(drawing, schedule=ONE),
        "nearest end next": lambda: compare.nearest_end_next(drawing, schedule=ONE),
    }
    print(f"\n{name}, {len(drawing.lines):,} lines, all in one stage")
    print(
        f"{'':<18} {'paths':>7} {'cost s':>10} {'travel m':>9} {'lifts m':>9} {'time s':>10} {'made in s':>9}"
    )
    for label, run in ways.items():
        way, seconds = timed(run)
        print(
            f"{label:<18} {way.paths:>7,} {way.cost_s:>10,.0f} {way.travel_mm / 1000:>9,.1f} "
            f"{way.lifts_mm / 1000:>9,.1f} {way.time_s:>10,.0f} {seconds:>9.2f}"
        )


def lattice(n: int = 6, pitch_mm: float = 40.0) -> Drawing:
    """Return n x n crossing lines: connected, with odd junctions all round."""
    reach = (n + 1) * pitch_mm
    steps = [pitch_mm * (i + 1) for i in range(n)]
    frame = [shapely.box(0, 0, reach, reach).exterior]
    across = [shapely.LineString([(0, y), (reach, y)]) for y in steps]
    down = [shapely.LineString([(x, 0), (x, reach)]) for x in steps]
    return Drawing.from_lines(frame + across + down)


def against_euler() -> None:
    """Print one closed walk by networkx.eulerize, by rural_postman, and the plan, on a lattice."""
    drawing = lattice()
    graph = build_network(drawing).graph()
    for _, _, data in graph.edges(data=True):
        data.update(cost=data["length_mm"], required=True)
    sewn = sum(length for *_, length in graph.edges(data="length_mm"))
    walk, euler_s = timed(lambda: list(nx.eulerian_circuit(nx.eulerize(nx.Graph(graph)))))
    lengths = {frozenset(edge[:2]): edge[2] for edge in graph.edges(data="length_mm")}
    euler_mm = sum(lengths[frozenset((u, v))] for u, v in walk)
    postman, postman_s = timed(lambda: rural_postman(graph))
    plan, plan_s = timed(lambda: make_plan(drawing, schedule=ONE))
    print(f"\nA lattice of {graph.number_of_edges()} edges, {sewn / 1000:.2f} m to sew")
    print(
        f"networkx.eulerize   1 closed walk, travel {(euler_mm - sewn) / 1000:.2f} m, made in {euler_s:.3f} s"
    )
    print(
        f"rural_postman       1 closed walk, travel {(postman.cost - sewn) / 1000:.2f} m, made in "
        f"{postman_s:.3f} s, optimal: {postman.optimal}"
    )
    travel = sum(path.travel_mm for path in plan) / 1000
    print(
        f"make_plan           {len(plan.paths)} path(s), travel {travel:.2f} m, "
        f"made in {plan_s:.3f} s, optimal: {plan.optimal}"
    )


def main() -> None:
    """Print all tables."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--sizes", nargs="*", type=int, default=[5, 10])
    table("winter_orchard", draw(read_design(ORCHARD)))
    for size in parser.parse_args().sizes:
        table(f"{size} x {size} blocks", draw(square_top(size)))
    against_euler()


if __name__ == "__main__":
    main()
