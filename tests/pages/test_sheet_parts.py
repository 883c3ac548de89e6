"""What each part needs: its facts, added up by hand, and its pictures at a whole scale."""

import re
from dataclasses import replace

import pytest
from banded_plans import banded
from export_plans import orchard
from figure_plans import SEW, TRAVEL, path, plan_of

from stitchpath.drawing import Drawing
from stitchpath.pages.paper import PAPERS, paper_of
from stitchpath.pages.plan_parts import parts_of
from stitchpath.pages.plan_sheet import plan_sheet_html
from stitchpath.pages.sheet_parts import shown_parts
from stitchpath.pictures.picture import picture_over
from stitchpath.plan import Plan

A4 = paper_of("A4")


def facts(plan, unit="mm"):
    return ["; ".join(part.needs) + "." for part in shown_parts(plan, A4, unit)]


def two_bands(**about):
    paths = (
        path([(0, 10), (900, 10), (600, 10)], (SEW, 0, 1, None), (TRAVEL, 1, 2, None), thread="cream"),
        path([(0, 300), (450, 300)], (SEW, 0, 1, None), thread="blue", band=2),
        path([(0, 400), (450, 400)], (SEW, 0, 1, None), band=2),
    )
    return replace(plan_of(Drawing(()), *paths), windows=((-3.0, 250.0), (254.0, 508.0)), **about)


def test_the_facts_of_each_part():
    one, two = facts(two_bands())
    assert one == (
        "Path 1; 2 tie-offs; sewn 900 mm, travel 300 mm; thread: cream; "
        "the band reaches from 3 mm above the top edge to 250 mm below the top edge."
    )
    assert two.startswith("Paths 2 and 3; 4 tie-offs; sewn 900 mm, travel 0 mm;")
    assert "; thread: blue, then the one without a name; " in two
    assert "from 10 in below the top edge to 20 in" in facts(two_bands(), "in")[1]


def test_sideways_a_band_reaches_from_the_left():
    plan = banded(sideways=True)
    assert all(told.endswith("right of the left edge.") for told in facts(plan))


@pytest.mark.parametrize("plan", [banded(), banded(rows=1, columns=12, sideways=True), two_bands()])
@pytest.mark.parametrize("paper", PAPERS)
def test_pictures_are_few_fit_their_paper_and_are_of_the_scale_they_say(plan, paper):
    parts = shown_parts(plan, paper_of(paper), "mm")
    assert [part.name for part in parts] == [part.name for part in parts_of(plan)]
    figures = [picture for part in parts for picture in part.pictures]
    assert len(parts) <= len(figures) <= 4 * len(parts)
    assert all(part.over == round(part.over) >= 1 for part in parts)
    wide, high = paper_of(paper).room_mm
    for figure in figures:
        width, height = (float(n) for n in re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', figure).groups())
        assert width <= wide + 1e-6
        assert height <= high


def test_pictures_of_one_part_are_numbered():
    text = plan_sheet_html(two_bands())
    captions = re.findall(r"<figcaption>(.*?)</figcaption>", text)
    for name in ("Band 1", "Band 2"):
        of = [caption for caption in captions if caption.startswith(name)]
        assert of == [f"{name}, picture {n} of {len(of)}" for n in range(1, len(of) + 1)]


def test_a_single_part_is_shown_only_where_it_is_larger_than_the_plans_own_picture():
    small = plan_of(Drawing(()), path([(0, 0), (90, 0)], (SEW, 0, 1, None)))
    assert shown_parts(small, A4, "mm") == ()
    plan = orchard(rows=1, columns=6)
    (large,) = shown_parts(plan, A4, "mm")
    assert large.over < picture_over(plan)
    assert ">Larger<" in plan_sheet_html(plan)
    assert shown_parts(Plan(Drawing(()), (), (), 0.0), A4, "mm") == ()
