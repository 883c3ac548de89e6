"""Plans side by side, as a table and as JSON."""

from dataclasses import asdict, fields
from typing import Any

import numpy as np

from stitchpath.compare.side_by_side import SideBySide, other_drawings
from stitchpath.compare.ways import Way
from stitchpath.figures.foreign import Foreign
from stitchpath.formats.csv_text import cell, csv_text
from stitchpath.records import json_text

__all__ = ["comparison_csv", "comparison_json"]


def comparison_csv(told: SideBySide) -> str:
    r"""Return the table as CSV, lengths in millimetres, times in seconds.

    A plan a row: its figures, what each is more than the first one's, and the paths that the first has not.
    With one made elsewhere there are columns of what it covers, misses, sews twice and where it strays, empty
    for the others.

    Examples
    --------
    >>> comparison_csv(SideBySide())[:22]
    'name,paths,lifts,sewn_'
    """
    keys = [field.name for field in fields(Way)]
    measured = {} if told.foreign is None else _measured(told.foreign)
    heads = ["name", *keys, *(f"{key}_more" for key in keys), "paths_not_in_the_first", *measured]
    rows = [heads]
    for row, changed in zip(told.compared, told.not_in_the_first(), strict=True):
        cells = [_number(getattr(way, key)) for way in (row.way, row.more) for key in keys]
        found = [_number(value if changed is None else None) for value in measured.values()]
        rows.append([cell(row.name), *cells, " ".join(map(str, changed or ())), *found])
    return csv_text(rows)


def _measured(found: Foreign) -> dict[str, Any]:
    """Return what was found of a plan made elsewhere beside the figures that all plans have."""
    return {
        "length_mm": found.length_mm,
        "asked_mm": found.asked_mm,
        "covered_mm": found.covered_mm,
        "missed_mm": found.asked_mm - found.covered_mm,
        "share": found.share,
        "lines_missed": len(found.missed),
        "twice_mm": found.twice_mm,
        "travel_on_lines_mm": found.travel_mm,
        "off_mm": found.off_mm,
        "keep_out_mm": found.keep_out_mm,
        **{f"ends_{key}": value for key, value in asdict(found.ends).items()},
        "tolerance_mm": found.tolerance_mm,
    }


def _number(value: float | None) -> str:
    if value is None or not np.isfinite(value):
        return ""
    return f"{value}" if isinstance(value, int) else f"{round(value, 6) + 0.0:.6f}"


def comparison_json(told: SideBySide) -> str:
    """Return all of it as JSON: plans with differences, prices, and a plan made elsewhere.

    First comes a note if the plans are of different drawings.

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
            **({} if changed is None else {"paths_not_in_the_first": list(changed)}),
        }
        for row, changed in zip(told.compared, told.not_in_the_first(), strict=True)
    ]
    document: dict[str, Any] = {"format": "stitchpath comparison 1"}
    if notes := other_drawings(told):
        document["notes"] = notes
    document["plans"] = plans
    if told.prices:
        document["wishes"] = [
            {"wish": price.wish.name, **{k: v for k, v in asdict(price).items() if k != "wish"}}
            for price in told.prices
        ]
    if told.foreign is not None:
        missed = [asdict(line) for line in told.foreign.missed]
        document["made_elsewhere"] = {**_measured(told.foreign), "missed": missed}
    return json_text(document)
