from html import unescape

import numpy as np
import pytest
import shapely
from curve_lines import flatten
from printed import all_within, level_mm, lines_mm, size_mm
from ruled import fill, oval

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.geometry.curves import EllipseCurve
from stitchpath.pages import cautions
from stitchpath.pages.paper import PAPERS
from stitchpath.pages.templates import templates_html, write_templates


def two_pears():
    return Drawing(
        (
            oval(60, 40, -15, "row 1, column 1"),
            oval(60, 40, 15, "row 1, column 2"),
            oval(70, 45, 0, "row 2, column 1"),
            *fill(12.7, angle=45),
        ),
        name="Two pears",
    )


@pytest.mark.parametrize("paper", PAPERS)
def test_printed_the_cut_lines_lie_a_foots_radius_beside_the_sewn_one(tmp_path, printed, paper):
    write_templates(two_pears(), tmp_path / "templates.html", paper=paper)
    pdf = printed(tmp_path / "templates.html")
    sheets = (tmp_path / "templates.html").read_text("utf-8").count('class="page"')
    assert sheets == 2
    for page in pdf.pages:
        assert all_within(page)
    page = pdf.pages[-2]
    level = level_mm(page)
    assert np.abs(level - 100).min() < 0.1
    steps = lines_mm(page)
    places = shapely.points(steps[:, 1])
    sewn = shapely.LineString(flatten(EllipseCurve((0, 0), (40, 60)), 0.02))
    middle = np.array([10.5 + 3 + 46.35, size_mm(page)[1] - 10.5 - 3 - 66.35])
    moved = shapely.transform(sewn, lambda points: points + middle)
    away = shapely.distance(places, moved)
    outside = ~shapely.contains(shapely.Polygon(moved), places)
    for side in (outside, ~outside):
        assert (np.abs(away[side] - 6.35) < 0.05).sum() > 30
    assert (away < 0.05).sum() > 30


def test_a_template_larger_than_its_paper_is_cut_into_sheets():
    text = templates_html(Drawing((oval(200, 150, 10, "row 1, column 1"),)))
    assert text.count('class="page"') == 4
    assert "T1, B-2" in text


@pytest.mark.parametrize("short", [5.0, 20.0])
def test_what_a_solid_template_cannot_do_is_told(short):
    text = templates_html(Drawing((oval(80, short, 0, "row 1, column 1"),)))
    assert ("No solid template" in text) == (short < 6.35)
    assert ("cuts them short" in text) == (short > 6.35)


def test_a_spacing_closer_than_the_foot_is_told():
    text = templates_html(Drawing(tuple(fill(5))))
    assert "the ruler cannot do it from the last line" in text
    assert "the line before the last" in text


def test_all_cautions_for_ruler_work_are_in_it():
    text = unescape(templates_html(two_pears()))
    assert all(caution in text for caution in cautions.RULER_WORK)
    said = " ".join(cautions.RULER_WORK)
    for words in ("ruler foot only", "thick rulers", "foot down before the ruler", "Stop the machine before",
                  "eye protection", "manual goes first"):  # fmt: skip
        assert words in said


def test_no_oval_and_no_fill_are_told_and_strange_feet_refused():
    text = templates_html(Drawing(()))
    assert "no oval" in text
    assert "no straight background lines" in text
    for radius in (0.0, 51.0, float("nan")):
        with pytest.raises(DesignError, match="no foot has a radius"):
            templates_html(two_pears(), foot_radius_mm=radius)
    assert templates_html(two_pears()) == templates_html(two_pears())
