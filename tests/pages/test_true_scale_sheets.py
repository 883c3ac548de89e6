"""Sheets at true scale: together they are the whole, and crosses with one letter lie at one place."""

import re

import numpy as np
import pytest
from export_plans import orchard
from tiled import sewn, sheets

from stitchpath.pages.paper import PAPERS, paper_of, rules_mm
from stitchpath.pages.true_scale_sheets import OVERLAP_MM, sheet_svg, sheets_of
from stitchpath.pictures.ink import ink_of


def test_the_pieces_on_all_sheets_are_the_whole_line():
    plan = sewn((0, 0), (700, 500))
    grid, cut = sheets(plan)
    ink = ink_of(plan, 1.0)
    covered = set()
    for sheet in cut:
        x0, y0, x1, y1 = sheet.window.box
        for at in np.linspace(0, 1, 1001):
            x, y = 700 * at, 500 * at
            if x0 <= x <= x1 and y0 <= y <= y1:
                covered.add(at)
        assert ink.sewn_in(sheet.window.box)
    assert len(covered) == 1001
    assert len(cut) < grid.rows * grid.columns


def test_crosses_with_one_letter_lie_at_one_place_of_the_quilt_on_every_sheet():
    _, cut = sheets(orchard())
    places = {}
    for sheet in cut:
        for letter, place in sheet.crosses:
            places.setdefault(letter, set()).add(place)
            x0, y0, x1, y1 = sheet.window.box
            assert x0 < place[0] < x1
            assert y0 < place[1] < y1
    assert len(places) > 4
    assert all(len(found) == 1 for found in places.values())
    neighbours = [sheet for sheet in cut if sheet.window.row == 0][:2]
    shared = set.intersection(*({letter for letter, _ in sheet.crosses} for sheet in neighbours))
    assert len(shared) == 2


def test_a_sheet_keeps_words_off_each_cross_and_its_letter():
    _, cut = sheets(orchard())
    asked = []
    for sheet in cut:
        sheet_svg(sheet, lambda *given: asked.append(given) or (), paper_of("A4"), title="", foot=())
    for sheet, (box, at, clear) in zip(cut, asked, strict=True):
        assert len(clear) == 2 * len(sheet.crosses) > 0
        places = np.array([place for _, place in sheet.crosses]) - box[:2] + at
        assert np.allclose((clear[::2, :2] + clear[::2, 2:]) / 2, places)
        letters = (clear[1::2, :2] + clear[1::2, 2:]) / 2
        assert (np.abs(letters - places) > 3).all()


@pytest.mark.parametrize("paper", PAPERS)
def test_windows_fit_their_paper_and_overlap(paper):
    grid, cut = sheets_of((0, 0, 1000, 1200), paper_of(paper), sewn_in=lambda box: True)
    assert len(cut) == grid.rows * grid.columns
    wide, high = paper_of(paper).room_mm
    assert grid.overlap == OVERLAP_MM
    assert grid.size[0] <= wide
    assert grid.size[1] <= high - rules_mm()
    by_place = {(sheet.window.row, sheet.window.column): sheet for sheet in cut}
    assert by_place[0, 0].shares == (False, False, True, True)
    last = by_place[grid.rows - 1, grid.columns - 1]
    assert last.shares == (True, True, False, False)


def test_where_nothing_is_sewn_there_is_no_sheet_and_nothing_shared():
    grid, cut = sheets_of((0, 0, 1000, 200), paper_of("A4"), sewn_in=lambda box: not 300 < box[0] < 600)
    assert 2 < len(cut) < grid.columns
    ends = [sheet for sheet in cut if not sheet.shares[2]]
    assert len(ends) == 2
    assert sheets_of((0, 0, 10, 10), paper_of("A4"), sewn_in=lambda box: False)[1] == ()


def test_one_sheet_has_no_cross_and_words_that_are_too_long_are_cut_short():
    (sheet,) = sheets_of((0, 0, 50, 50), paper_of("A4"), sewn_in=lambda box: True)[1]
    assert (sheet.crosses, sheet.shares) == ((), (False,) * 4)
    long, fits = "a" * 35, "b" * 34
    text = sheet_svg(sheet, lambda *_: (), paper_of("A4"), title="Leaf", foot=[long, fits], name="T1")
    assert f">{'a' * 31}...<" in text
    assert f">{fits}<" in text
    assert ">T1<" in text
    assert ">A-1<" in sheet_svg(sheet, lambda *_: (), paper_of("A4"), title="Leaf", foot=[])
    width, height = (float(n) for n in re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', text).groups())
    assert (width, height) == (190, 276.5)
