"""The table of figures, read back cell by cell, against figures worked out by hand."""

import re

import pytest

from stitchpath.cli.report import duration, figures_text, length, notes_text, share
from stitchpath.drawing import Drawing
from stitchpath.errors import Finding
from stitchpath.lines import Line, Role
from stitchpath.plan import Laps, Move, Plan, RoutedJob, Span, StitchPath


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
    return Plan(Drawing(lines), (seam, corner), jobs, 300.0, laps=Laps(4, 3))


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
    assert rows["cost"] == ["340.0 s", "540.0 s", "300.0 s"]
    assert rows["cost of path ends"] == ["300.0 s", "540.0 s", "300.0 s"]
    assert rows["cost of travel"] == ["40.0 s", "0.0 s", "0.0 s"]
    assert rows["proven bound"] == ["300.0 s"]
    assert rows["gap"] == ["13.33 %"]
    assert rows["time"][0] == "2 min 39 s"  # 1600 / 50 + hypot(500, 1000) / 150 + 2 x 60 = 159.45 s


def test_each_job_says_its_gap_and_whether_it_is_proven(corner_plan):
    rows = cells(figures_text(corner_plan))
    assert rows["band 1, seams"] == ["1", "60.0 s", "60.0 s", "0 %", "0 %", "proven cheapest"]
    assert rows["band 1, detail"] == ["1", "280.0 s", "240.0 s", "16.67 %", "100.00 %", "not proven"]


def test_assumptions_are_named_and_the_text_is_plain(corner_plan):
    text = figures_text(corner_plan, unit="in")
    assert text.isascii()
    assert "50 mm/s" in text
    assert "it is not the time" in " ".join(text.split())
    assert cells(text)["longest visible retrace"] == ["3 15/16 in"]


def test_nothing_to_sew_is_no_error():
    rows = cells(figures_text(Plan(Drawing(()), (), (), 0.0)))
    assert rows["paths"] == ["0", "0", "0"]
    assert rows["gap"] == ["0 %"]


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        (0, "mm", "0 mm"),
        (999.9, "mm", "999.9 mm"),
        (1e6, "mm", "1,000.00 m"),
        (914.4, "in", "1.0 yd"),
        (250, "cm", "25 cm"),
    ],
)
def test_lengths(mm, unit, text):
    assert length(mm, unit) == text


def test_only_nothing_reads_nothing():
    assert [share(x) for x in (0, 1e-9, 0.0001, 0.5)] == ["0 %", "< 0.01 %", "0.01 %", "50.00 %"]


@pytest.mark.parametrize(
    ("seconds", "text"),
    [
        (59.6, "1 min 00 s"),
        (3599.4, "59 min 59 s"),
        (3599.6, "1 h 00 min"),
        (7199, "2 h 00 min"),
        (3.6e6, "1,000 h 00 min"),
    ],
)
def test_durations_carry_over(seconds, text):
    assert duration(seconds) == text


def test_notes_are_said_in_short():
    notes = [Finding("short piece", f"piece {n} is left out") for n in range(8)]
    text = notes_text([*notes, "a text"]).splitlines()
    assert text[0] == "9 things to know:"
    assert text[1] == "  piece 0 is left out"
    assert text[-1] == "  and 4 more"
    assert len(text) == 7
