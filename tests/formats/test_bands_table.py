"""The table of bands: a row a place, on the whole top and in its band's files, in millimetres or inches."""

import csv
from dataclasses import replace

import pytest
from banded_plans import BLOCK_MM, banded

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.figures.alignment import alignment
from stitchpath.formats.bands_table import END, NOTE, START, bands_table, places_header
from stitchpath.plan import Plan


def rows(plan, **about):
    text = bands_table(plan, **about)
    assert text.endswith("\r\n")
    assert text.count("\r\n") == text.count("\n")
    return list(csv.reader(text.splitlines(keepends=True), strict=True))


@pytest.mark.parametrize("sideways", [False, True])
def test_each_band_has_its_window_and_its_marks(sideways):
    plan = banded(sideways=sideways)
    header, *told = rows(plan)
    assert tuple(header) == places_header("mm")
    marks = {one.band: one.marks for one in alignment(plan)}
    assert [(row[0], row[1]) for row in told if row[1] != NOTE] == [
        (str(band), mark)
        for band in range(1, len(plan.windows) + 1)
        for mark in (START, END, *(mark.letter for mark in marks.get(band, ())))
    ]
    for band, (start, end) in enumerate(plan.windows, 1):
        first, last = (next(row for row in told if row[:2] == [str(band), mark]) for mark in (START, END))
        edge = 3 * BLOCK_MM if sideways else 0.0
        place = (start, edge) if sideways else (edge, start)
        assert [float(cell) for cell in first[3:]] == pytest.approx([*place, 0, 0], abs=6e-4)
        assert [float(cell) for cell in last[5:]] == pytest.approx([0, end - start], abs=1.1e-3)


@pytest.mark.parametrize("sideways", [False, True])
def test_a_mark_lies_where_the_bands_files_have_it(sideways):
    plan = banded(sideways=sideways)
    for band, mark, _, *numbers in rows(plan)[1:]:
        if mark == NOTE:
            continue
        x, y, u, v = map(float, numbers)
        start = round(plan.windows[int(band) - 1][0], 3)
        assert (u, v) == pytest.approx(
            (3 * BLOCK_MM - y, x - start) if sideways else (x, y - start), abs=1e-6
        )


def test_in_inches_the_places_are_the_same():
    plan = banded()
    millimetres, inches = rows(plan), rows(plan, unit="in")
    assert inches[0] == ["band", "mark", "what", "x_in", "y_in", "file_x_in", "file_y_in"]
    for mm, inch in zip(millimetres[1:], inches[1:], strict=True):
        assert mm[:3] == inch[:3]
        assert [float(cell) for cell in mm[3:] if cell] == pytest.approx(
            [25.4 * float(cell) for cell in inch[3:] if cell], abs=1.5e-3
        )
        assert all(len(cell.partition(".")[2]) == 5 for cell in inch[3:] if cell)


def test_what_is_missing_is_a_note_without_a_place():
    plan = banded(rows=2, columns=1)
    bare = replace(plan, paths=tuple(path for path in plan if path.band == 2))
    notes = [row for row in rows(bare)[1:] if row[1] == NOTE]
    assert [row[0] for row in notes] == ["1", "2"]
    assert "nothing is sewn in it" in notes[0][2]
    assert "no junction" in notes[1][2]
    assert all(note[3:] == [""] * 4 for note in notes)


def test_no_bands_no_rows_and_no_such_unit():
    assert bands_table(Plan(Drawing(()), (), (), 0.0), unit="in").count("\r\n") == 1
    with pytest.raises(DesignError, match='is no unit of a table; write "mm" or "in"'):
        bands_table(banded(), unit="cm")
