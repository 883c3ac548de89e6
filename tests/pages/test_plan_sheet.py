import re
from dataclasses import replace
from html import unescape

import numpy as np
import pytest
from banded_plans import banded
from export_plans import orchard
from printed import all_within, lines_mm, size_mm

from stitchpath.directions.teller import steps_of
from stitchpath.drawing import Drawing
from stitchpath.errors import Finding
from stitchpath.figures import plan_figures, spool_rows
from stitchpath.figures.alignment import alignment
from stitchpath.pages import cautions
from stitchpath.pages.plan_parts import parts_of
from stitchpath.pages.plan_sheet import plan_sheet_html, write_plan_sheet
from stitchpath.plan import Plan

DIRECTIONS = '<h2 class="new">Directions</h2>'
COLOUR = re.compile(r"(?<![-\w])(?:color|background): (#[0-9a-f]{3,6})")


def luminance(colour):
    digits = colour[1:] if len(colour) == 7 else "".join(2 * c for c in colour[1:])
    channels = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    red, green, blue = (c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("plan", [orchard(), banded()])
def test_printed_the_top_is_on_the_first_page_and_the_cautions_are_on_the_last(
    tmp_path, printed, plan, paper
):
    write_plan_sheet(plan, tmp_path / "proof.html", paper=paper, findings=())
    pdf = printed(tmp_path / "proof.html")
    words = [page.extract_text().split() for page in pdf.pages]
    assert {str(number) for number in range(1, len(plan) + 1)} <= set(words[0])
    assert cautions.GENERAL[0] in " ".join(words[-1])
    assert all(words)
    for page in pdf.pages:
        assert all_within(page)
        assert size_mm(page)[0] == pytest.approx(210 if paper == "A4" else 215.9, abs=0.2)


def test_printed_parts_have_the_scale_that_they_say(tmp_path, printed):
    write_plan_sheet(banded(), tmp_path / "proof.html")
    pdf = printed(tmp_path / "proof.html")
    over = int(re.search(r"at 1 : (\d+)", pdf.pages[1].extract_text())[1])
    lengths = np.hypot(*np.diff(lines_mm(pdf.pages[1]), axis=1)[:, 0].T)
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


def test_spools_stand_in_it_by_band_and_thread_where_there_are_several():
    assert "Spools and bobbins" not in plan_sheet_html(orchard())
    plan = banded()
    rows = spool_rows(plan_figures(plan).thread.spools, "in")
    text = plan_sheet_html(plan, unit="in")
    assert len(rows) > 3
    for row in rows[1:]:
        cells = [f"<td>{cell}</td>" for cell in row[:-2]] + [
            f'<td class="number">{cell}</td>' for cell in row[-2:]
        ]
        assert "".join(cells) in text


def test_directions_stand_in_it_only_if_given():
    assert DIRECTIONS not in plan_sheet_html(orchard())
    told = steps_of(orchard())
    text = plan_sheet_html(orchard(), unit="in", directions=True)
    before, listed = unescape(text).split(DIRECTIONS)
    assert "<h2>Cautions</h2>" in before
    assert listed.count("<li>") == len(told)
    for number, one in enumerate(told, 1):
        assert f"<li>{one.text}</li>" in listed
        assert one.number == number
    starts = [int(start) for start in re.findall(r'<ol start="(\d+)">', listed)]
    sizes = [part.count("<li>") for part in listed.split("<ol ")[1:]]
    assert starts == [1 + sum(sizes[:place]) for place in range(len(sizes))]


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
