import re
from dataclasses import replace

import numpy as np
import pytest
import shapely
from export_plans import orchard
from printed import all_within, level_mm, lines_mm, size_mm

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.pages.paper import PAPERS, paper_of
from stitchpath.pages.tiles import tiles_html, write_tiles
from stitchpath.pages.true_scale_sheets import sheet_svg, sheets_of
from stitchpath.pictures.ink import ink_of
from stitchpath.pictures.labels import boxes_around
from stitchpath.plan import Move, Plan, Span, StitchPath


def sewn(*corners):
    span = Span(Move.SEW, 0, len(corners) - 1, 1, "detail")
    return Plan(Drawing((), name="One line"), (StitchPath(corners, (span,)),), (), 0.0)


def sheets(plan, paper="A4"):
    ink = ink_of(plan, 1.0)
    return sheets_of(ink.bounds_of(range(len(plan))), paper_of(paper), sewn_in=ink.sewn_in)


@pytest.mark.parametrize("paper", PAPERS)
def test_printed_it_has_a_page_for_each_sheet_and_true_rules(tmp_path, printed, paper):
    write_tiles(orchard(), tmp_path / "tiles.html", paper=paper)
    text = (tmp_path / "tiles.html").read_text("utf-8")
    pdf = printed(tmp_path / "tiles.html")
    assert len(pdf.pages) == 10 == 1 + text.count('class="page"')
    for page in pdf.pages:
        assert size_mm(page) == pytest.approx((paper_of(paper).width_mm, paper_of(paper).height_mm), abs=0.2)
        assert all_within(page)
    for page in pdf.pages[1:]:
        level = level_mm(page)
        assert np.abs(level - 100).min() < 0.1
        assert np.abs(level - 101.6).min() < 0.1
    assert re.search(r"\bC-3\b", pdf.pages[-1].extract_text())


def test_printed_stitching_has_its_true_size(tmp_path, printed):
    write_tiles(sewn((0, 0), (123.4, 0), (123.4, 57.0)), tmp_path / "tiles.html")
    steps = lines_mm(printed(tmp_path / "tiles.html").pages[1])
    lengths = np.hypot(*(steps[:, 1] - steps[:, 0]).T)
    for size in (123.4, 57.0):
        assert np.abs(lengths - size).min() < 0.05


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


def test_numbers_keep_off_crosses_their_letters_and_end_bars():
    paths = [[(x, 40.0), (x, 44.0)] for x in range(30, 70, 8)]
    spans = (Span(Move.SEW, 0, 1, 1, "detail"),)
    plan = Plan(Drawing(()), tuple(StitchPath(points, spans) for points in paths), (), 0.0)
    ink, clear = ink_of(plan, 1.0), np.array([[20.0, 30.0, 80.0, 39.0]])
    stops = np.array(paths)[:, 1]
    taken = shapely.box(*np.vstack([clear, boxes_around(stops)]).T)

    def covered(marks):
        frames = [mark.attributes for mark in marks if mark.tag == "rect" and "rx" in mark.attributes]
        corners = np.array([[float(frame[key]) for key in ("x", "y", "width", "height")] for frame in frames])
        low, high = corners[:, :2], corners[:, :2] + corners[:, 2:]
        tags = shapely.box(*low.T, *high.T)
        assert len(tags) == len(paths)
        return shapely.area(shapely.intersection(tags[:, None], taken[None])).sum()

    room = (0.0, 0.0, 100.0, 100.0)
    assert covered(ink.marks(room, (0.0, 0.0), clear)) == 0
    assert covered(ink.marks(room, (0.0, 0.0))) > 0


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


def test_what_is_left_out_is_told():
    text = tiles_html(sewn((0, 0), (700, 500)))
    assert "Crossed out: left out, since nothing is sewn there" in text
    assert "Crossed out" not in tiles_html(orchard())
    assert "nothing to" not in tiles_html(orchard())


def test_only_what_lies_in_a_window_is_drawn_there():
    ink = ink_of(orchard(), 1.0)
    marks = ink.marks((0, 0, 100, 100), (10, 10))
    numbers = [
        float(n)
        for mark in marks
        if mark.tag == "path"
        for n in re.findall(r"-?\d+\.\d+", mark.attributes["d"])
    ]
    assert min(numbers) > 5
    assert max(numbers) < 113


def test_names_are_escaped_and_nothing_is_asked_of_outside():
    text = tiles_html(replace(orchard(), drawing=replace(orchard().drawing, name="<script>x</script>&")))
    assert "<script" not in text
    assert "&lt;script&gt;" in text
    assert "<use" not in text
    assert re.findall(r"https?://[^\"\s]+", text.replace("http://www.w3.org/2000/svg", "")) == []


def test_the_same_plan_has_the_same_bytes_and_an_empty_one_a_page():
    assert tiles_html(orchard()) == tiles_html(orchard())
    assert "0 sheets" in tiles_html(Plan(Drawing(()), (), (), 0.0))
    with pytest.raises(DesignError, match="write A4 or Letter"):
        tiles_html(orchard(), paper="A5")


def test_words_of_a_sheet_are_large_enough_and_black():
    text = tiles_html(orchard())
    sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', text.split('class="page"', 1)[1])]
    assert min(sizes) >= 3.0
    assert re.findall(r'<text[^>]* fill="(?!#ffffff)', text) == []
