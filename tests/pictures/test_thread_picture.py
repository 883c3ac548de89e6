"""The picture by thread, read back: each thread's lines in its own colour and pattern, and the legend."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from plans import line
from strategies import plans

from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role, Thread
from stitchpath.pictures.colours import LIGHT, order_colours
from stitchpath.pictures.thread_picture import thread_picture_svg, write_thread_picture
from stitchpath.plan import Move, Plan, Span, StitchPath
from stitchpath.planner import make_plan
from stitchpath.settings import MachineSettings, ScheduleSettings

SPACE = "{http://www.w3.org/2000/svg}"
LINES = [line((0, 0), (100, 0)), line((200, 0), (300, 0)), line((100, 0), (200, 0))]
DRAWING = replace(
    Drawing.from_lines(LINES, roles="strip", threads=["grey", "grey", "white"]),
    threads=(Thread("grey", 40), Thread("white", 27.5)),
)
PLAN = make_plan(DRAWING, schedule=ScheduleSettings(stages="all in one", threads=["white", "grey"]))


def elements(plan, tag):
    return list(ET.fromstring(thread_picture_svg(plan)).iter(f"{SPACE}{tag}"))


def words(plan):
    return [element.text for element in elements(plan, "text")]


def lines_of(element):
    found = [re.findall(r"-?[\d.]+", part) for part in element.get("d").split("M ")[1:]]
    return [np.array(numbers, float).reshape(-1, 2) for numbers in found]


def look(element):
    return element.get("stroke"), element.get("stroke-dasharray", "")


def of_threads(plan, count):
    """The strokes in the threads' colours, but for the legend's samples."""
    colours = order_colours(count)
    return [element for element in elements(plan, "path") if element.get("stroke") in colours][:-count]


def test_each_thread_has_its_own_colour_and_pattern_and_all_its_lines():
    white, grey, over = of_threads(PLAN, 2)
    scale = 180 / 300
    assert sum(shapely.LineString(one).length for one in lines_of(white)) == pytest.approx(
        100 * scale, abs=0.01
    )
    assert sum(shapely.LineString(one).length for one in lines_of(grey)) == pytest.approx(
        200 * scale, abs=0.01
    )
    assert look(white)[0] != look(grey)[0]
    assert look(white)[1] != look(grey)[1]
    assert look(over)[0] == look(grey)[0]
    assert look(over)[1] not in {look(white)[1], look(grey)[1]}
    assert float(over.get("stroke-width")) < float(grey.get("stroke-width"))


def test_travel_over_another_thread_lies_beside_the_line():
    white, _, over = of_threads(PLAN, 2)
    (sewn,), (beside,) = lines_of(white), lines_of(over)
    assert sorted(sewn[:, 0].tolist()) == sorted(beside[:, 0].tolist())
    assert shapely.LineString(sewn).distance(shapely.LineString(beside)) > 0.1
    assert any("travel over it in another thread" in told for told in words(PLAN))
    matching = replace(PLAN, schedule=ScheduleSettings(matching_threads=[["white", "grey"]]))
    assert len(of_threads(matching, 2)) == 2
    assert not any("travel" in told for told in words(matching))


def test_the_legend_names_threads_and_what_they_take():
    told = words(PLAN)
    assert told[0] == "Stitch plan: threads"
    row = told.index("white, 27.5 tex")
    assert told[row + 1] == "0.1 m (0 yd)"
    needle = 100 + 100 / 2.54 * 1.778 + 2 * 76.2
    assert told[row + 2] == f"{needle / 0.9 / 1000:.1f} m ({needle / 0.9 / 914.4:.0f} yd)"
    assert "grey, 40 tex" in told


@pytest.mark.parametrize("count", [1, 6, 7, 12, 24, 25, 60])
def test_many_threads_have_different_looks_and_the_legend_keeps_its_room(count):
    lines = tuple(Line([(0, y), (100, y)], Role.FILL, f"thread {y}") for y in range(count))
    paths = tuple(
        StitchPath(x.points_mm, (Span(Move.SEW, 0, 1, i, "detail"),), x.thread)
        for i, x in enumerate(lines, 1)
    )
    plan = Plan(Drawing(lines), paths, (), 0.0)
    named = min(count, 24)
    drawn = [element for element in elements(plan, "path") if element.get("stroke") in order_colours(count)]
    looks = [(*look(element), element.get("stroke-width")) for element in drawn[:count]]
    assert len(set(looks)) == count
    assert len({without_colour[1:] for without_colour in looks}) == min(count, 12)
    assert sum(told.startswith("thread ") for told in words(plan)) == named
    assert (f"and {count - 24} more" in words(plan)) == (count > 24)
    page = ET.fromstring(thread_picture_svg(plan))
    assert float(page.get("height").removesuffix("mm")) <= 250
    lowest = max(float(element.get("y")) for element in elements(plan, "text"))
    assert lowest < float(page.get("height").removesuffix("mm"))


def test_what_is_left_to_the_hand_is_grey():
    drawing = Drawing.from_lines(LINES, roles=["strip", "strip", "outline"])
    plan = make_plan(drawing, schedule=ScheduleSettings(by_hand=["outline"]))
    (left,) = (element for element in elements(plan, "path") if element.get("stroke") == LIGHT)
    assert len(lines_of(left)) == 1
    assert any("left to be guided by hand" in told for told in words(plan))
    by_hand = replace(plan, machine=MachineSettings(sewn_by="hand"))
    assert not any("left to be guided" in told for told in words(by_hand))


def test_a_long_name_is_cut():
    name = "n" * 60
    plan = Plan(
        Drawing((Line([(0, 0), (9, 0)], Role.FILL, name),)),
        (StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1, 1, "detail"),), name),),
        (),
        0.0,
    )
    (told,) = (one for one in words(plan) if one.startswith("nnn"))
    assert told == "n" * 25 + "\u2026"


@settings(deadline=None, max_examples=20)
@given(plans())
def test_any_plan_is_drawn_the_same_twice(plan):
    assert thread_picture_svg(plan) == thread_picture_svg(plan)
    ET.fromstring(thread_picture_svg(plan))


def test_it_is_written_whole(tmp_path):
    write_thread_picture(PLAN, tmp_path / "threads.svg")
    assert (tmp_path / "threads.svg").read_text(encoding="utf-8") == thread_picture_svg(PLAN)
