import re
from dataclasses import replace

import numpy as np
import pytest
from export_plans import orchard
from printed import all_within, level_mm, lines_mm, size_mm
from tiled import sewn

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.pages.paper import PAPERS, paper_of
from stitchpath.pages.tiles import tiles_html, write_tiles
from stitchpath.plan import Plan


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


def test_what_is_left_out_is_told():
    text = tiles_html(sewn((0, 0), (700, 500)))
    assert "Crossed out: left out, since nothing is sewn there" in text
    assert "Crossed out" not in tiles_html(orchard())
    assert "nothing to" not in tiles_html(orchard())


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
