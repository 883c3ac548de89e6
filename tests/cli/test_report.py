"""The table of figures, read back cell by cell, against figures worked out by hand."""

import re
from dataclasses import replace

import pytest

from stitchpath.cli.report import exceptions_text, figures_text, notes_text
from stitchpath.drawing import Drawing
from stitchpath.errors import Finding
from stitchpath.lines import Block, Line, Role
from stitchpath.plan import Laps, Move, OrderException, Plan, RoutedJob, Span, StitchPath
from stitchpath.settings import CostSettings, MachineSettings


@pytest.fixture
def corner_plan():
    """Two fills that meet at a corner in one path, with 100 mm of retrace, and a seam of its own."""
    lines = (
        Line([(0, 0), (100, 0)], Role.FILL),
        Line([(100, 0), (100, 400)], Role.FILL),
        Line([(500, 0), (500, 1000)], Role.DITCH),
    )
    seam = StitchPath([(500, 0), (500, 1000)], (Span(Move.SEW, 0, 1, 3, "seams"),))
    corner = StitchPath(
        [(0, 0), (100, 0), (100, 400), (100, 300)],
        (
            Span(Move.SEW, 0, 1, 1, "detail"),
            Span(Move.SEW, 1, 2, 2, "detail"),
            Span(Move.TRAVEL, 2, 3, 2, "detail"),
        ),
    )
    jobs = (
        RoutedJob(1, "seams", 60.0, 60.0, 60.0, 1, False, 0.001),
        RoutedJob(1, "detail", 280.0, 240.0, 240.0, 1, False, 0.001),
    )
    sudden = MachineSettings(acceleration_mm_s2=1e6)  # times are lengths over speeds
    return Plan(Drawing(lines), (seam, corner), jobs, 300.0, laps=Laps(4, 3), machine=sudden)


def cells(text):
    """Each row's cells by its label; cells stand at least two blanks apart."""
    rows = [re.split(r"\s{2,}", row.strip()) for row in text.splitlines() if row.strip()]
    return {row[0]: row[1:] for row in rows}


def test_the_plan_stands_beside_sewing_without_one(corner_plan):
    """One by one: six ends, 4 x 4 + 2 x 1 at 30 s; next nearest: four ends, 2 x 4 + 2 x 1."""
    rows = cells(figures_text(corner_plan))
    assert rows["this plan"] == ["one by one", "nearest end next"]
    assert rows["paths"] == ["2", "3", "2"]
    assert rows["tie-offs"] == ["4", "6", "4"]
    assert rows["sewn"] == ["1.50 m"] * 3
    assert rows["travel along other sewn lines"] == ["100 mm"]
    assert rows["longest visible retrace"] == ["100 mm"]
    assert rows["outlines in one lap"] == ["3 of 4"]
    assert rows["weighed by what shows"] == ["340.0 s", "540.0 s", "300.0 s"]
    assert rows["tie-offs, weighed"] == ["300.0 s", "540.0 s", "300.0 s"]
    assert rows["travel, weighed"] == ["40.0 s", "0.0 s", "0.0 s"]
    assert rows["least possible, at least"] == ["300.0 s"]
    assert rows["over the least, at most"] == ["13.33 %"]
    assert rows["time"][0] == "2 min 39 s"  # 1600 / 50 + hypot(500, 1000) / 150 + 2 x 60 = 159.45 s


def test_steps_over_open_cloth_are_told_where_there_are_any(corner_plan):
    assert "steps over open cloth" not in cells(figures_text(corner_plan))
    stepped = StitchPath([(0, 0), (100, 0), (100, 10)], (Span(Move.SEW, 0, 1, 1), Span(Move.STEP, 1, 2)))
    rows = cells(figures_text(replace(corner_plan, paths=(*corner_plan.paths, stepped))))
    assert (rows["travel over open cloth"], rows["steps over open cloth"]) == (["10 mm"], ["1"])
    assert rows["travel"][0] == "110 mm"


def test_each_job_says_its_gap_and_whether_it_is_proven(corner_plan):
    rows = cells(figures_text(corner_plan))
    assert rows["seams"] == ["1", "60.0 s", "60.0 s", "0 %", "0 %", "proven least"]
    assert rows["detail"] == ["1", "280.0 s", "240.0 s", "16.67 %", "100.00 %", "not proven"]


def test_assumptions_are_named_and_the_text_is_plain(corner_plan):
    text = figures_text(corner_plan, unit="in", explain=True)
    assert text.isascii()
    assert "50 mm/s" in text
    assert "that is not the time" in " ".join(text.split())
    assert cells(text)["longest visible retrace"] == ["3 15/16 in"]


def test_ends_are_told_by_place_and_paths_in_open_cloth_by_number(corner_plan):
    text = figures_text(corner_plan)
    rows = cells(text)
    assert rows["ends in seams"] == ["2"]
    assert rows["ends on fill, echo or drawn lines"] == ["2"]
    assert rows["ends in open cloth"] == ["2"]
    assert "ends on strips" not in rows
    assert "Path 2 ends in open cloth: 2 of 4 ends, where no seam" in text
    twice = replace(corner_plan, paths=(*corner_plan.paths, corner_plan.paths[1]))
    assert "Paths 2 and 3 end in open cloth: 4 of 6 ends" in figures_text(twice)
    seams = figures_text(replace(corner_plan, paths=corner_plan.paths[:1]))
    assert cells(seams)["ends in open cloth"] == ["0"]
    assert "open cloth:" not in seams


def test_blocks_that_sewing_wanders_off_are_named(corner_plan):
    """Block a: 100 mm, then 400 mm of b and 100 mm of travel on b, then the seam, then a again."""
    assert "wander" not in figures_text(corner_plan)
    drawing = corner_plan.drawing
    a, b, seam = drawing.lines
    named = Drawing(
        (replace(a, block="a"), replace(b, block="b"), seam),
        blocks=(Block("a", (0, 0, 9, 9), 1, 1), Block("b", (9, 0, 18, 9), 1, 2)),
    )
    corner = corner_plan.paths[1]
    again = StitchPath([(0, 0), (100, 0)], (Span(Move.TRAVEL, 0, 1, 1, "detail"),))
    text = figures_text(replace(corner_plan, drawing=named, paths=(corner, again)))
    rows = cells(text)
    assert rows["wander ratio of blocks, median"] == ["2.2"]  # (700 / 200 + 1) / 2 = 2.25
    assert rows["wander ratio of blocks, greatest"] == ["3.5"]
    assert "Greatest wander ratios: a (3.5), b (1.0)." in text
    assert "1 is ideal" not in text
    wandering = replace(corner_plan, drawing=named, paths=(corner, again))
    assert "1 is ideal" in figures_text(wandering, explain=True)


def test_blocks_that_are_entered_again_are_named(corner_plan):
    """Block a, block b and the seam, then a again; a block that is entered once is not named."""
    assert "Most visits" not in figures_text(corner_plan)
    a, b, seam = corner_plan.drawing.lines
    named = Drawing((replace(a, block="a"), replace(b, block="b"), seam))
    spans = tuple(Span(Move.SEW, at, at + 1, line, "detail") for at, line in enumerate((1, 2, 3, 1)))
    there_and_back = StitchPath([(0, 0), (50, 0), (100, 0), (150, 0), (200, 0)], spans)
    text = figures_text(replace(corner_plan, drawing=named, paths=(there_and_back,)))
    rows = cells(text)
    assert rows["visits of blocks, median"] == ["1.5"]
    assert rows["visits of blocks, mean"] == ["1.5"]
    assert rows["visits of blocks, most"] == ["2"]
    assert "Most visits: a (2), b (1)." in text
    once = replace(there_and_back, coordinates_mm=[(0, 0), (50, 0), (100, 0)], spans=spans[:2])
    text = figures_text(replace(corner_plan, drawing=named, paths=(once,)))
    assert cells(text)["visits of blocks, most"] == ["1"]
    assert "Most visits" not in text


def late(line, share, *, early="fill", block="row 1, column 1", motif="pear: outside outline"):
    return OrderException(line, block, motif, early, share, 7)


def test_exceptions_from_the_order_are_told_a_line_each_the_latest_first():
    told = exceptions_text([late(1, 0.25), late(2, 0.5, early="echoes"), late(3, 0.25, block="", motif="")])
    assert told.splitlines() == [
        "3 exceptions from outlines first, then echoes, then fill:",
        "  row 1, column 1: pear: outside outline: 50.00 % of its echoes come before path 7 finishes it",
        "  row 1, column 1: pear: outside outline: 25.00 % of its fill comes before path 7 finishes it",
        "  line 3: 25.00 % of its fill comes before path 7 finishes it",
    ]


@pytest.mark.parametrize(
    ("count", "last"), [(10, "  line 10: "), (11, "  and 1 more"), (1234, "  and 1,224 more")]
)
def test_ten_exceptions_are_told_and_the_rest_counted(count, last):
    exceptions = [late(line, 0.25, block="", motif="") for line in range(1, count + 1)]
    told = exceptions_text(exceptions).splitlines()
    assert len(told) == 1 + min(count, 11)
    assert told[-1].startswith(last)


def test_exceptions_are_told_of_the_paths_themselves(corner_plan):
    """The outline is finished after the line that stops at it, whatever the plan states."""
    ring = Line([(100, 0), (200, 0), (200, 9), (100, 0)], Role.OUTLINE, motif="oval", block="a")
    drawing = Drawing((Line([(0, 0), (100, 0)], Role.FILL, block="a"), ring))
    fill = StitchPath([(0, 0), (100, 0)], (Span(Move.SEW, 0, 1, 1, "detail"),))
    outline = StitchPath(ring.points_mm, (Span(Move.SEW, 0, 3, 2, "detail"),))
    wrong = replace(corner_plan, drawing=drawing, paths=(fill, outline))
    assert "a: oval: 100.00 % of its fill comes before path 2 finishes it" in figures_text(wrong)
    assert "exception" not in figures_text(replace(wrong, paths=(outline, fill)))


def test_changes_of_thread_and_advances_are_told_where_there_are_any(corner_plan):
    assert not {"thread changes", "advances of the quilt"} & set(cells(figures_text(corner_plan)))
    assert "in this plan's time only" not in figures_text(corner_plan, explain=True)
    seam, corner = corner_plan.paths
    paths = replace(seam, thread="cream"), replace(corner, thread="blue")
    plan = replace(corner_plan, paths=paths, windows=((0, 600), (500, 1000)))
    text = " ".join(figures_text(plan, explain=True).split())
    rows = cells(figures_text(plan))
    assert (rows["thread changes"], rows["time of thread changes"]) == (["1"], ["1 min 30 s"])
    assert (rows["advances of the quilt"], rows["time of advances"]) == (["1"], ["3 min 00 s"])
    assert rows["time"][0] == "7 min 09 s"  # 159.45 + 90 + 180 s
    assert "in this plan's time only" in text
    only = cells(figures_text(replace(plan, paths=corner_plan.paths)))
    assert "thread changes" not in only
    assert only["advances of the quilt"] == ["1"]
    text = " ".join(figures_text(replace(plan, paths=corner_plan.paths), explain=True).split())
    assert "for each advance of the quilt; breaks not counted." in text


def test_a_path_cost_of_ones_own_is_named(corner_plan):
    own = replace(corner_plan, cost_settings=CostSettings(path_cost_s=12))
    assert "Weighed with 12 s for a path's two tie-offs, as set." in figures_text(own, explain=True)
    assert "as set" not in figures_text(corner_plan, explain=True)


def test_nothing_to_sew_is_no_error():
    rows = cells(figures_text(Plan(Drawing(()), (), (), 0.0)))
    assert rows["paths"] == ["0", "0", "0"]
    assert rows["over the least, at most"] == ["0 %"]


def test_notes_are_said_in_short():
    notes = [Finding("short piece", f"piece {n} is left out") for n in range(8)]
    text = notes_text([*notes, "a text"]).splitlines()
    assert text[0] == "9 things to know:"
    assert text[1] == "  piece 0 is left out"
    assert text[-1] == "  and 4 more"
    assert len(text) == 7


def test_notes_take_no_more_lines_than_they_may():
    notes = [f"note {n} that is told in a line" for n in range(8)]
    for room in range(3, 10):
        lines = notes_text(notes, most=40, most_lines=room).splitlines()
        assert len(lines) == min(room, 9)
    assert notes_text(notes, most=40, most_lines=0).splitlines()[-1] == "  and 7 more"


def test_what_is_to_be_known_stands_with_the_figures(corner_plan):
    named = replace(corner_plan, notes=("a strip is left to the hand",))
    text = figures_text(named)
    assert "2 things to know:\n  WARNING: the design does not say how deep the frame reaches" in text
    assert text.endswith("\n  a strip is left to the hand")
