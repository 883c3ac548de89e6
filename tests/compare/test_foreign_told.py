"""What was found of a plan made elsewhere, in words; numbers worked out by hand."""

from dataclasses import replace

import pytest
from figure_plans import SEW, path, plan_of

from stitchpath.compare.foreign_told import foreign_rows, missed_rows, row_words, within_words
from stitchpath.drawing import Drawing
from stitchpath.figures.foreign import EndsFound, Foreign, MissedLine
from stitchpath.settings import MachineSettings

PLAN = plan_of(
    Drawing(()), path([(0, 0), (10, 0)], (SEW, 0, 1, None)), path([(10, 25.4), (0, 25.4)], (SEW, 0, 1, None))
)
MISSED = (
    MissedLine(4, "row 1, column 1", "fill", "fill", 400.0, 400.0),
    MissedLine(2, "row 2, column 1", "pear", "outline", 350.0, 900.0),
    MissedLine(5, "row 1, column 1", "fill", "fill", 200.0, 400.0),
    MissedLine(1, "", "", "ditch", 50.0, 5000.0),
)
FOUND = Foreign(
    length_mm=9000.0, asked_mm=8000.0, covered_mm=7000.0, missed=MISSED, twice_mm=300.0, travel_mm=500.0,
    off_mm=40.0, keep_out_mm=0.0, ends=EndsFound(1, 2, 1), tolerance_mm=1.5, plan=PLAN, strayed=(),
)  # fmt: skip
CLEAN = replace(FOUND, covered_mm=8000.0, missed=())


def test_each_figure_has_its_row():
    rows = dict(foreign_rows(FOUND))
    assert rows["needle-down length"] == "9.00 m"
    assert rows["covered of the lines asked for"] == "7.00 m (87.50 %)"
    assert rows["missed of the lines asked for"] == "1.00 m"
    assert rows["lines missed, whole or in part"] == "4"
    assert rows["sewn twice and more"] == "300 mm"
    assert [rows[f"ends {where}"] for where in ("in seams, basting or binding allowance", "on other lines",
                                                "on no line")] == ["1", "2", "1"]  # fmt: skip
    assert dict(foreign_rows(FOUND, unit="in"))["length of lifts"] == "1 in"
    assert [name for name, _ in foreign_rows(FOUND)] == [name for name, _ in foreign_rows(CLEAN)]


def test_what_is_missed_is_added_up_by_block_motif_and_role_the_longest_first():
    head, *rows = missed_rows(FOUND)
    assert head == ("block", "motif", "role", "lines", "missed")
    assert rows == [
        ("row 1, column 1", "fill", "fill", "2", "600 mm"),
        ("row 2, column 1", "pear", "outline", "1", "350 mm"),
        ("the whole top", "", "ditch", "1", "50 mm"),
    ]
    assert missed_rows(FOUND, most=1)[1:] == [rows[0], ("elsewhere", "", "", "2", "400 mm")]
    assert missed_rows(FOUND, most=3) == missed_rows(FOUND)
    assert missed_rows(CLEAN) == [head]


def test_sentences_say_what_the_figures_leave_out():
    said = row_words(FOUND)
    assert "It misses 1.00 m (12.50 %) of the lines asked for" in said
    assert "misses" not in row_words(CLEAN)
    assert "bands" not in said
    framed = replace(FOUND, plan=replace(PLAN, machine=MachineSettings(reach=300)))
    assert "Its bands are not known" in row_words(framed)
    for found in (FOUND, CLEAN, framed):
        assert row_words(found).endswith("How far it is over the least possible is not known.")


@pytest.mark.parametrize(("mm", "said"), [(1.5, "within 1.5 mm;"), (2.0, "within 2 mm;")])
def test_the_tolerance_is_said(mm, said):
    assert said in within_words(replace(FOUND, tolerance_mm=mm))
