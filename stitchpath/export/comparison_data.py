"""Plans side by side as a table and as JSON."""

from collections.abc import Iterator
from dataclasses import asdict, fields
from typing import Any

import numpy as np

from stitchpath.compare.prices import changed_paths
from stitchpath.compare.ways import Way
from stitchpath.export.side_by_side import SideBySide
from stitchpath.export.table import cell
from stitchpath.figures.foreign import Foreign
from stitchpath.records import json_text

__all__ = ["comparison_csv", "comparison_json"]


def comparison_csv(told: SideBySide) -> str:
    r"""Return the table as CSV, lengths in millimetres, times in seconds.

    A plan a row: its figures, what each is more than the first one's, and the paths that the first has not.
    A plan made elsewhere comes as ``figure,value`` where there are no plans.

    Examples
    --------
    >>> comparison_csv(SideBySide())[:22]
    'name,paths,lifts,sewn_'
    """
    if told.foreign is not None and not told.plans:
        return "".join(f"{line}\r\n" for line in _foreign_lines(told.foreign))
    keys = [field.name for field in fields(Way)]
    lines = [",".join(["name", *keys, *(f"{key}_more" for key in keys), "paths_not_in_the_first"])]
    for row, plan in zip(told.compared, told.plans, strict=True):
        cells = [_number(getattr(way, key)) for way in (row.way, row.more) for key in keys]
        changed = changed_paths(plan.paths, told.plans[0].paths)
        lines.append(",".join([cell(row.name), *cells, " ".join(map(str, changed))]))
    return "".join(f"{line}\r\n" for line in lines)


def _foreign_lines(found: Foreign) -> Iterator[str]:
    yield "figure,value,block,motif,role"
    for key, value in _foreign_figures(found).items():
        yield f"{key},{_number(value)},,,"
    for line in found.missed:
        whose = f"{cell(line.block)},{cell(line.motif)},{line.role}"
        yield f"line_{line.line}_missed_mm,{_number(line.missed_mm)},{whose}"


def _foreign_figures(found: Foreign) -> dict[str, Any]:
    figures = asdict(found)
    del figures["missed"]
    ends = {f"ends_{key}": value for key, value in figures.pop("ends").items()}
    return {**figures, **ends, "share": found.share}


def _number(value: float | None) -> str:
    if value is None or not np.isfinite(value):
        return ""
    return f"{value}" if isinstance(value, int) else f"{round(value, 6) + 0.0:.6f}"


def comparison_json(told: SideBySide) -> str:
    """Return all of it as JSON: plans with differences, prices, and a plan made elsewhere.

    Examples
    --------
    >>> comparison_json(SideBySide()).split()
    ['{', '"format":', '"stitchpath', 'comparison', '1",', '"plans":', '[]', '}']
    """
    plans = [
        {
            "name": row.name,
            **asdict(row.way),
            "more": asdict(row.more),
            "paths_not_in_the_first": list(changed_paths(plan.paths, told.plans[0].paths)),
        }
        for row, plan in zip(told.compared, told.plans, strict=True)
    ]
    document: dict[str, Any] = {"format": "stitchpath comparison 1", "plans": plans}
    if told.prices:
        document["wishes"] = [
            {"wish": price.wish.name, **{k: v for k, v in asdict(price).items() if k != "wish"}}
            for price in told.prices
        ]
    if told.foreign is not None:
        missed = [asdict(line) for line in told.foreign.missed]
        document["made_elsewhere"] = {**_foreign_figures(told.foreign), "missed": missed}
    return json_text(document)
