import re
from dataclasses import replace
from html import unescape
from pathlib import Path

import numpy as np
import pytest
from banded_plans import banded
from export_plans import orchard
from printed import all_within, lines_mm, size_mm

from stitchpath.design import read_design
from stitchpath.drawing import Drawing
from stitchpath.errors import Finding
from stitchpath.figures import plan_figures, spool_rows
from stitchpath.figures.alignment import alignment
from stitchpath.pages.plan_parts import parts_of
from stitchpath.pages.plan_sheet import plan_sheet_html, write_plan_sheet
from stitchpath.plan import Plan
from stitchpath.planner import make_plan

EXAMPLES = Path(__file__).parents[2] / "examples"
COLOUR = re.compile(r"(?<![-\w])(?:color|background): (#[0-9a-f]{3,6})")


def luminance(colour):
    digits = colour[1:] if len(colour) == 7 else "".join(2 * c for c in colour[1:])
    channels = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    red, green, blue = (c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def words(page):
    return page.extract_text().split()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("plan", [orchard(), banded()])
def test_printed_the_card_comes_first_then_the_top_and_last_how_good_it_is(tmp_path, printed, plan, paper):
    write_plan_sheet(plan, tmp_path / "sheet.html", paper=paper, findings=())
    pages = printed(tmp_path / "sheet.html").pages
    assert "Bobbins to wind" in " ".join(words(pages[0]))
    numbers = {str(number) for number in range(1, len(plan) + 1)}
    top = next(n for n, page in enumerate(pages) if "How to read it" in " ".join(words(page)))
    assert numbers <= set(words(pages[top]))
    assert top in (1, 2)
    assert "How good the plan is" in " ".join(words(pages[-1]))
    for page in pages:
        assert words(page)
        assert all_within(page)
        assert size_mm(page)[0] == pytest.approx(210 if paper == "A4" else 215.9, abs=0.2)


def test_printed_no_part_takes_more_than_a_page(tmp_path, printed):
    """Card and top take three pages at most, the rest two; a part may share its page with another one."""
    plan = banded(rows=6, columns=5)
    write_plan_sheet(plan, tmp_path / "sheet.html", findings=())
    told = [" ".join(words(page)) for page in printed(tmp_path / "sheet.html").pages]
    for part in parts_of(plan):
        assert sum(f"{part.name}, at 1" in page for page in told) == 1
    assert len(told) <= 3 + len(parts_of(plan)) + 2


def test_printed_a_planned_top_of_four_bands_takes_eight_pages_at_most(tmp_path, printed):
    design = read_design(EXAMPLES / "gallery" / "low_hedge.toml")
    write_plan_sheet(make_plan(design, effort="quick"), tmp_path / "sheet.html", unit="in", findings=())
    assert len(printed(tmp_path / "sheet.html").pages) <= 8


def test_printed_parts_have_the_scale_that_they_say(tmp_path, printed):
    write_plan_sheet(banded(), tmp_path / "sheet.html")
    pdf = printed(tmp_path / "sheet.html")
    page = next(page for page in pdf.pages if "at 1 : " in page.extract_text())
    over = int(re.search(r"at 1 : (\d+)", page.extract_text())[1])
    lengths = np.hypot(*np.diff(lines_mm(page), axis=1)[:, 0].T)
    assert np.abs(lengths - (57 - 31) * 25.4 / 16 / over).min() < 0.02


def test_each_band_has_its_part_and_every_path_is_in_one():
    plan = banded()
    parts = parts_of(plan)
    assert [part.name for part in parts] == ["Band 1", "Band 2", "Band 3"]
    assert sorted(number for part in parts for number in part.paths) == list(range(len(plan)))
    text = plan_sheet_html(plan)
    assert all(f"<h3>{part.name}, at 1 : " in text for part in parts)
    reached = re.findall(r"the band reaches from (.*?) to (.*?)\.<", text)
    assert len(reached) == 3
    assert all(place.endswith("below the top edge") for _, place in reached)
    assert reached[0][0] == "3.2 mm above the top edge"


def test_what_the_check_found_is_told_and_so_is_that_it_was_not_run():
    assert "was not checked" in plan_sheet_html(orchard())
    assert "Nothing is wrong" in plan_sheet_html(orchard(), findings=())
    text = plan_sheet_html(orchard(), findings=[Finding("keep-out", "a <stitch> in it", (1.0, 2.0))])
    assert "Do not sew" in text
    assert "a &lt;stitch&gt; in it" in text
    assert "1.0, 2.0" in text


def test_every_mark_to_align_on_is_in_the_table():
    text = plan_sheet_html(banded(), unit="in")
    for band in alignment(banded()):
        for mark in band.marks:
            assert f"<td>{band.band}{mark.letter}</td>" in text
    assert "nothing to align" in plan_sheet_html(orchard())


def test_marks_are_told_from_corners_of_blocks():
    """Seams cross where four blocks meet, so that a mark lies at a corner of one of them."""
    text = unbroken(plan_sheet_html(banded(), unit="in"))
    told = [
        (mark, where)
        for mark, where, _ in re.findall(r"<td>(\d[A-D])</td><td>(.*?)</td><td>(.*?)</td>", text)
    ]
    assert [mark for mark, _ in told] == [
        f"{band.band}{mark.letter}" for band in alignment(banded()) for mark in band.marks
    ]
    assert all(
        re.search(r"the (upper|lower) (left|right) corner of row \d, column \d$", where) for _, where in told
    )


def unbroken(text):
    return re.sub(r">\s+<", "><", unescape(text))


def test_spools_stand_in_it_where_there_are_several_threads():
    assert "Spools and bobbins" not in plan_sheet_html(banded())
    plan = banded()
    first, *rest = plan.paths
    plan = replace(plan, paths=(replace(first, thread="blue"), *rest))
    rows = spool_rows(plan_figures(plan).thread.spools, "in")
    text = plan_sheet_html(plan, unit="in")
    assert len(rows) > 3
    for row in rows[1:]:
        cells = [f"<td>{cell}</td>" for cell in row[:-2]] + [
            f'<td class="number">{cell}</td>' for cell in row[-2:]
        ]
        assert "".join(cells) in text


def test_names_of_the_user_are_escaped_everywhere():
    plan = orchard(name='"><img src=x onerror=y>')
    plan = replace(plan, notes=("<b>note</b>",), jobs=())
    text = plan_sheet_html(plan)
    assert "<img" not in text
    assert "<b>" not in text
    assert "<script" not in text


def test_text_has_a_contrast_of_four_and_a_half():
    text = plan_sheet_html(orchard())
    colours = [luminance(colour) for colour in COLOUR.findall(text)]
    assert len(colours) == 2
    assert (max(colours) + 0.05) / (min(colours) + 0.05) > 4.5
    assert re.findall(r'<text[^>]* fill="(?!#ffffff)', text) == []


def test_an_empty_plan_has_a_sheet():
    assert "Cautions" in plan_sheet_html(Plan(Drawing(()), (), (), 0.0))
    assert plan_sheet_html(banded()) == plan_sheet_html(banded())


def test_visits_and_exceptions_are_among_its_figures():
    figures = plan_figures(orchard())
    text = plan_sheet_html(orchard())
    assert "visits of blocks, mean and most" in text
    assert f"{figures.visits.mean:.1f} and {figures.visits.most}" in text
    assert ("exceptions from outlines first" in text) is bool(figures.order_exceptions)
    assert "visits of blocks" not in plan_sheet_html(Plan(Drawing(()), (), (), 0.0))
