"""Stretches that are done again: told once, and true in every copy."""

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from directions.directions_parser import faults

import stitchpath
from stitchpath.directions.repeats import _Repeats
from stitchpath.directions.teller import steps_of
from stitchpath.directions.written import directions_text
from stitchpath.lines import Block, Line, Role
from stitchpath.plan import Move, Plan, Span, StitchPath

ROOT = Path(__file__).parents[2]


def comb(*, start):
    """A path of drawn lines down and right again and again; its first step comes out of a line before it."""
    corners = [start, (0, 0)]
    for tooth in range(4):
        x = 40.0 * tooth
        corners += [(x + 20, 0), (x + 20, 50), (x + 40, 50), (x + 40, 0)]
    lines = tuple(Line(pair, Role.DRAWN, "", "comb") for pair in pairwise(corners))
    spans = tuple(Span(Move.SEW, i, i + 1, i + 1, "detail") for i in range(len(lines)))
    return Plan(stitchpath.Drawing(lines), (StitchPath(corners, spans),), (), 0.0)


def test_a_stretch_comes_again_only_where_it_turns_alike():
    again = "Do steps 3 to 6 again, 3 times, each time 40 mm farther right."
    plain, turned = comb(start=(0, 90)), comb(start=(90, 0))
    texts = [[one.text for one in steps_of(plan, unit="mm")] for plan in (plain, turned)]
    assert again in texts[0]
    assert texts[1][2] == 'Turn back and sew right, 20 mm, along a line of "comb".'
    assert again not in texts[1]
    for plan in (plain, turned):
        assert faults(directions_text(plan, unit="mm"), plan) == []
    turned_text = directions_text(plain, unit="mm").replace("\n3. Sew", "\n3. Turn back and sew")
    assert faults(turned_text, plain)


_HOOK = [(0, 90), (0, 0), (20, 0), (20, 50), (45, 50), (45, 20), (60, 20)]


def hooks(*, off=(200.0, 0.0), change=None):
    """A path of a hook, a way round, and the same hook again farther on, or with one corner moved."""
    again = [(x + off[0], y + off[1]) for x, y in _HOOK]
    if change is not None:
        again[change] = (again[change][0] + 3, again[change][1])
    corners = [*_HOOK, (60, 120), (off[0], 120), *again]
    lines = tuple(Line(pair, Role.DRAWN, "", "hook") for pair in pairwise(corners))
    spans = tuple(Span(Move.SEW, i, i + 1, i + 1, "detail") for i in range(len(lines)))
    return Plan(stitchpath.Drawing(lines), (StitchPath(corners, spans),), (), 0.0)


def test_a_stretch_comes_again_later_from_another_place():
    plan = hooks()
    text = directions_text(plan, unit="mm")
    again = "From here do steps 2 to 7 again, 200 mm farther right."
    assert again in text
    assert faults(text, plan) == []
    for good, bad in [
        ("steps 2 to 7", "steps 3 to 7"), ("steps 2 to 7", "steps 2 to 6"), ("200 mm", "190 mm"),
        ("farther right", "farther left"), ("From here do", "Do"),
    ]:  # fmt: skip
        assert faults(text.replace(again, again.replace(good, bad)), plan)


@pytest.mark.parametrize("plan", [hooks(change=3), hooks(off=(200.0, 7.0))])
def test_a_stretch_that_differs_or_lies_askew_is_told_anew(plan):
    text = directions_text(plan, unit="mm")
    assert " again, " not in text
    assert faults(text, plan) == []


def teeth(pitch):
    """A path of teeth down the seam left of four blocks; travel from one to the next along it."""
    blocks = tuple(
        Block(f"row {r + 1}, column 1", (0.0, 100.0 * r, 100.0, 100.0 * r + 100), r + 1, 1) for r in range(4)
    )
    corners, spans, lines = [(0.0, 2.0)], [], []
    for tooth in range(4):
        y = tooth * pitch + 2
        corners += [(20.0, y), (20.0, y + 10), (0.0, y + 10), (0.0, y + pitch)]
        for at in range(4 * tooth, 4 * tooth + 3):
            lines.append(Line(corners[at : at + 2], Role.DRAWN, "", "tooth"))
            spans.append(Span(Move.SEW, at, at + 1, len(lines), "detail"))
        spans.append(Span(Move.TRAVEL, 4 * tooth + 3, 4 * tooth + 4, None, "detail"))
    seam = Line([(0, 0), (0, 500)], Role.HIDDEN)
    drawing = stitchpath.Drawing(tuple(lines), hidden=(seam,), blocks=blocks)
    return Plan(drawing, (StitchPath(corners, tuple(spans)),), (), 0.0)


def test_a_stretch_comes_again_only_where_the_places_that_it_names_move_on(monkeypatch):
    by_rows, within_rows = teeth(100.0), teeth(40.0)
    told = steps_of(by_rows, unit="mm")
    assert "to 2 mm below the top edge of row 2." in told[4].text
    assert told[5].text == "Do steps 2 to 5 again, twice, each time 100 mm farther down."
    text = directions_text(within_rows, unit="mm")
    assert " again, " not in text
    for plan in (by_rows, within_rows):
        assert faults(directions_text(plan, unit="mm"), plan) == []
    monkeypatch.setattr(_Repeats, "_words", lambda *_: "")
    within_rows = teeth(40.0)  # told anew: a plan that was told is not told again
    (fault,) = faults(directions_text(within_rows, unit="mm"), within_rows)
    assert fault.startswith("step 6: step 5 done again: no such place: Travel down, 30 mm")


def test_one_step_that_comes_again_is_called_a_step():
    low_hedge = stitchpath.read_design(ROOT / "examples" / "gallery" / "low_hedge.toml")
    plan = stitchpath.make_plan(low_hedge, effort="quick")
    text = directions_text(plan)
    assert re.search(r"Do\s+step\s+\d+\s+again,\s+(twice|\d+\s+times)", text)
    assert faults(text, plan) == []


def test_a_stretch_that_comes_to_another_thing_is_told_anew():
    """The words of the first one would name a seam where none is."""
    plan = hooks()
    seam = Line([(10, 50), (30, 50)], Role.HIDDEN)
    crossed = replace(plan, drawing=replace(plan.drawing, hidden=(seam,)))
    assert " again, " in directions_text(plan, unit="mm")
    text = directions_text(crossed, unit="mm")
    assert " steps 2 to 7 " not in text
    assert faults(text, crossed) == []
