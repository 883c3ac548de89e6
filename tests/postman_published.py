"""Published instances of the undirected rural postman problem, as plain CSV.

Corberan, Plana and Sanchis, University of Valencia, arc-routing instance collection, set URPP, with the
collection's own proven optima. Six of them stand in `postman/published`, whose README names the source. All
24 are read from a folder `shared/urpp` beside the project, or higher up, where there is one.
"""

import csv
from pathlib import Path

SIX = Path(__file__).resolve().parent / "postman" / "published"
_BESIDE = [folder / "shared" / "urpp" for folder in SIX.parents]
ALL = next((folder for folder in _BESIDE if (folder / "optimal.csv").is_file()), None)
"""The folder with all of them; None where it is not at hand."""

FOLDERS = (SIX,) if ALL is None else (SIX, ALL)


def rows_of(name: str) -> list[dict[str, str]]:
    """Return an instance's edges as they stand there: `u`, `v`, `cost`, `required`.

    At effort "standard" another order may come to another plan: the six are always read from here.
    """
    file = next(file for folder in FOLDERS if (file := folder / f"{name}.csv").is_file())
    return _rows(file)


def optima() -> dict[str, int]:
    """Return what a shortest closed walk costs, for each instance at hand."""
    rows = [row for folder in FOLDERS for row in _rows(folder / "optimal.csv")]
    return {row["instance"]: int(row["optimal_cost"]) for row in rows}


def _rows(file: Path) -> list[dict[str, str]]:
    with file.open(encoding="utf-8", newline="") as text:
        return list(csv.DictReader(text))
