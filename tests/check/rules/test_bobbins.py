"""No bobbin runs out on the way, as proven from paths and from written files."""

from dataclasses import replace

import pytest
from banded import along, laid

from stitchpath.check import check_folder, check_paths
from stitchpath.design import read_design
from stitchpath.drawing import Drawing
from stitchpath.files import manifest_name, write_files
from stitchpath.lines import Line, Role
from stitchpath.outputs import file_texts
from stitchpath.planner import make_plan
from stitchpath.settings import BattingSettings, MachineSettings, ScheduleSettings

IN_SEAMS = ScheduleSettings(bobbins_end="in seams")
PLAIN = BattingSettings(thickness="2.54 mm")


def found(line, bobbin_mm, *, schedule=IN_SEAMS, batting=PLAIN):
    machine = MachineSettings(bobbin_m=bobbin_mm / 1000, tail="5 mm", thread_waste=0.0)
    drawing = Drawing((line,))
    told = check_paths([along(line)], drawing, machine=machine, schedule=schedule, batting=batting)
    return [finding for finding in told if finding.kind == "bobbin"]


def test_a_path_takes_its_length_its_layers_and_two_tails():
    """1,000 mm: twice that and 10 mm. It runs out where 1,995 mm are used: in the last segment."""
    line = Line([(at, 0) for at in range(0, 1001, 100)])
    assert found(line, 2011) == []
    (finding,) = found(line, 1600)
    assert finding.message == (
        "path 1 takes 2.0 m of the bobbin's thread; "
        "a bobbin has 1.6 m less waste, and runs out before it ends"
    )
    assert finding.place_mm == (800, 0)
    assert found(line, 1600, schedule=ScheduleSettings()) == []
    assert found(line, 1600, batting=BattingSettings(thickness="1 mm")) == []


def test_basting_takes_less_where_nothing_else_is_asked_for():
    """1,000 mm of basting: 1,500 mm and 10 mm of tails."""
    points = [(0, 0), (1000, 0)]
    baste = Line(points, Role.BASTE)
    assert found(baste, 1511) == []
    assert len(found(baste, 1500)) == 1
    drawing = Drawing((baste, Line(points, Role.FILL)))
    machine = MachineSettings(bobbin_m=1.6, tail="5 mm", thread_waste=0.0)
    told = check_paths([laid(points)], drawing, machine=machine, schedule=IN_SEAMS, batting=PLAIN)
    assert "bobbin" in {finding.kind for finding in told}


TOP = """
name = "Two blocks"
unit = "mm"
layout = ["FF"]
motifs = [{ motif = "ditch" }, { motif = "basting" }]
[top]
block_width = 200
block_height = 200
[kinds.lined]
letter = "F"
[[kinds.lined.motifs]]
motif = "fill"
spacing = 20
[machine]
bobbin_m = 4
tail = 20
thread_waste = 0.1
[batting]
gap = 30
[schedule]
bobbins_end = "in seams"
stages = "all in one"
"""


@pytest.mark.parametrize(
    ("bobbins_end", "kinds"), [("in seams", set()), ("anywhere", {"bobbin", "settings"})]
)
def test_written_files_are_proven(tmp_path, bobbins_end, kinds):
    file = tmp_path / "top.toml"
    file.write_text(TOP, encoding="utf-8")
    design = read_design(file)
    schedule = design.schedule.model_copy(update={"bobbins_end": bobbins_end})
    plan = make_plan(design, schedule=schedule)
    contents = file_texts(plan, "top")
    digest = plan.drawing.design_sha256
    write_files(tmp_path / "out", contents, manifest=manifest_name("top"), design_sha256=digest)
    assert {finding.kind for finding in check_folder(file, tmp_path / "out", "top")} == kinds


def test_other_batting_than_the_designs_is_found(tmp_path):
    file = tmp_path / "top.toml"
    file.write_text(TOP, encoding="utf-8")
    plan = make_plan(read_design(file))
    assert plan.batting == BattingSettings(gap="30 mm")
    other = replace(plan, batting=BattingSettings(gap="40 mm"))
    contents = file_texts(other, "top")
    digest = plan.drawing.design_sha256
    write_files(tmp_path / "out", contents, manifest=manifest_name("top"), design_sha256=digest)
    (finding,) = check_folder(file, tmp_path / "out", "top")
    assert finding.message == "the plan states other batting settings than the design"
