"""All that hypothesis draws for the tests: `from strategies import designs, seeds`.

Every name is a function that returns a strategy, and takes the range that a test needs. They stand in:

- `design`: whole designs (`designs`), and how they are to be sewn (`schedules`, `thread_settings`). Blocks
  are tiny, huge or in between; ovals touch the edge of their block, or each other; fills and ovals coincide.
- `drawing`: places and lines on a grid, where much meets and coincides; `near_lines` lie a hair beside it.
- `geometry`: ellipses and polygons.
- `graph`: what the postman's tests are made from: seeds of random graphs, paths in any order.
- `number`: numbers that mean something (`lengths_mm`, `angles_deg`, `shares`), whole numbers, choices.
- `plan`: plans that no planner would make, for the formats; moves, walks and units for what counts them.
- `text`: names that want to be a formula, a tag or a path; TOML, sound and broken; damage to a file's bytes.

A test takes what stands here and makes no strategy of its own; `test_strategies.py` looks for those that do.
If you miss something, see first whether one of these can be given a wider range: what one test finds, all
find then. To add a strategy, write it in its module and name it below. Modules are named in the singular,
strategies in the plural, since a module and a function of one name would hide each other.
"""

from strategies.design import carried_on_tops, designs, schedules, thread_settings
from strategies.drawing import (
    lines,
    lists_of_roles,
    near_lines,
    places_apart,
    polylines,
    ringed_drawings,
    roles,
    scattered_segments,
    segments,
)
from strategies.geometry import ellipses, polygons
from strategies.graph import rearrangers, seeds, sequences
from strategies.number import (
    angles_deg,
    lengths_mm,
    lists_of_whole,
    numbers,
    picked,
    shares,
    some_of,
    speeds,
    whole,
    yes_or_no,
    yes_or_no_lists,
)
from strategies.plan import (
    bobbin_stretches,
    groupings,
    intervals,
    lattice_lines,
    lattice_paths,
    moves_of_paths,
    plans,
    rows_of_sets,
    seams_across,
    units_to_band,
)
from strategies.text import broken_toml, damages, stage_names, toml_values

__all__ = [
    "angles_deg",
    "bobbin_stretches",
    "broken_toml",
    "carried_on_tops",
    "damages",
    "designs",
    "ellipses",
    "groupings",
    "intervals",
    "lattice_lines",
    "lattice_paths",
    "lengths_mm",
    "lines",
    "lists_of_roles",
    "lists_of_whole",
    "moves_of_paths",
    "near_lines",
    "numbers",
    "picked",
    "places_apart",
    "plans",
    "polygons",
    "polylines",
    "rearrangers",
    "ringed_drawings",
    "roles",
    "rows_of_sets",
    "scattered_segments",
    "schedules",
    "seams_across",
    "seeds",
    "segments",
    "sequences",
    "shares",
    "some_of",
    "speeds",
    "stage_names",
    "thread_settings",
    "toml_values",
    "units_to_band",
    "whole",
    "yes_or_no",
    "yes_or_no_lists",
]
