"""Plans side by side as text, read back from its maps and its rows."""

import re

import numpy as np
import pytest
from compared_plans import ONE, TWO, wished, with_foreign
from figure_plans import SEW, path, plan_of

from stitchpath.cli.compare_text import compare_text, ends_map
from stitchpath.compare.side_by_side import SideBySide, side_by_side
from stitchpath.drawing import Drawing

BOX = np.array([100.0, 200.0, 126.0, 232.0])
"""A millimetre for each of the map's 26 columns, two for each of its 16 rows."""


def sewn(*ends):
    return plan_of(Drawing(()), *(path(pair, (SEW, 0, 1, None)) for pair in ends))


def test_each_end_is_counted_where_it_lies():
    """The third path has both ends in one place, and one lies outside of what the map shows."""
    told = ends_map(
        sewn([(100.5, 201), (125.5, 231)], [(110.5, 201), (125.5, 231)], [(104.2, 209), (104.8, 208.5)],
             [(90, 217), (126, 200)]),
        BOX,
    )  # fmt: skip
    assert (len(told), {len(row) for row in told}) == (16, {26})
    counts = {(row, column): sign for row, line in enumerate(told) for column, sign in enumerate(line)}
    assert {place: sign for place, sign in counts.items() if sign != "."} == {
        (0, 0): "1", (0, 10): "1", (15, 25): "2", (4, 4): "2", (8, 0): "1", (0, 25): "1",
    }  # fmt: skip


def test_ten_and_more_are_one_sign_and_no_end_is_a_dot():
    here, there = (110.5, 211), (120.5, 211)
    for count, sign in [(8, "8"), (9, "9"), (10, "#"), (11, "#")]:
        told = ends_map(sewn(*[(here, there)] * count), BOX)
        assert told[5] == "." * 10 + sign + "." * 9 + sign + "." * 5
    assert set("".join(ends_map(sewn(), BOX))) == {"."}


def test_a_map_keeps_the_shape_of_what_it_shows():
    """A letter is about twice as high as wide; the longer side fills the map."""
    for wide, high, size in [
        (100, 100, (26, 13)),
        (400, 100, (26, 3)),
        (100, 400, (8, 16)),
        (0, 0, (26, 13)),
    ]:
        told = ends_map(sewn(), np.array([0.0, 0, wide, high]))
        assert (len(told[0]), len(told)) == size


def test_plans_stand_in_rows_and_their_maps_beside_each_other():
    """Two paths have four ends, one has two."""
    table, *others = compare_text(side_by_side([TWO, ONE], ["two paths", "one path"])).split("\n\n")
    rows = [line.split("  ")[0] for line in table.splitlines()]
    assert rows[-3:] == ["two paths", "one path", "against the first"]
    maps = next(part for part in others if part.startswith("two paths"))
    first = "".join(line[:26] for line in maps.splitlines()[1:])
    second = "".join(line[26:] for line in maps.splitlines()[1:])
    assert sum(int(sign) for sign in first if sign.isdigit()) == 4
    assert sum(int(sign) for sign in second if sign.isdigit()) == 2
    assert maps.splitlines()[0].split() == ["two", "paths", "one", "path"]


@pytest.mark.parametrize(
    ("unit", "travel"), [("mm", ["0 mm", "50 mm", "+50 mm"]), ("in", ["0 in", "1 15/16 in", "+1 15/16 in"])]
)
def test_figures_are_told_in_the_unit_asked_for(unit, travel):
    """50 mm are 1.969 in, nearer to 31/16 than to 2 in."""
    table = compare_text(side_by_side([TWO, ONE]), unit=unit).split("\n\n")[0]
    head, *rows = [re.split(r"\s{2,}", line.strip()) for line in table.splitlines()]
    assert [row[head.index("travel") + 1] for row in rows] == travel


def test_wishes_and_a_plan_made_elsewhere_are_added_and_nothing_is_nothing():
    """Made elsewhere are 100 of the 160 mm asked for."""
    plain, told = compare_text(side_by_side([TWO, ONE])), compare_text(with_foreign(wished()))
    rows = [re.split(r"\s{2,}", line) for line in told.splitlines()]
    assert ["covered of the lines asked for", "100 mm (62.50 %)"] in rows
    assert ["missed of the lines asked for", "60 mm"] in rows
    assert rows[next(at for at, row in enumerate(rows) if row[0] == "wish") + 1][-1] == "1 of 1"
    assert not {"wish", "made elsewhere"} & {line.split("  ")[0] for line in plain.splitlines()}
    assert compare_text(SideBySide()) == ""
