"""Published instances of the undirected rural postman problem, as plain CSV, where they are at hand.

Corberan, Plana and Sanchis, University of Valencia, arc-routing instance collection, set URPP, with the
collection's own proven optima. They are no part of this project.
"""

import csv
import sys
from pathlib import Path

FOLDER = Path(__file__).resolve().parents[2] / "shared" / "urpp"


def rows_of(stem: str) -> list[dict[str, str]]:
    """Return the rows of one of the folder's files."""
    with (FOLDER / f"{stem}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def optima() -> dict[str, int]:
    """Return what a shortest walk of each instance costs; none, and a word, where they are not at hand."""
    if not (FOLDER / "optimal.csv").is_file():
        print(f"the published instances are not at {FOLDER}, so they are left out", file=sys.stderr)
        return {}
    return {row["instance"]: int(row["optimal_cost"]) for row in rows_of("optimal")}
