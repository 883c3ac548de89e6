"""A frame whose reach is not known is warned about once, wherever people read of a plan, and first."""

import pytest

from stitchpath.check import prove_folder
from stitchpath.cli import main
from stitchpath.cli.report import notes_text
from stitchpath.design import read_design
from stitchpath.errors import Finding
from stitchpath.figures.reach_unknown import reach_warning
from stitchpath.pages.plan_sheet import plan_sheet_html
from stitchpath.planner import make_plan
from stitchpath.settings import MachineSettings
from stitchpath.words import WARNING

TOP = """
unit = "in"
layout = ["."]
motifs = [{ motif = "ditch" }, { motif = "basting" }]
top = { block_width = 9, block_height = 9 }
"""
WHO = {"frame": "", "reach": '[machine]\nreach = "10 in"\n', "hand": '[machine]\nsewn_by = "hand"\n'}


@pytest.mark.parametrize(("who", "times"), [("frame", 1), ("reach", 0), ("hand", 0)])
def test_it_is_told_once(tmp_path, who, times, capsys):
    file = tmp_path / "one.toml"
    file.write_text(TOP + WHO[who], encoding="utf-8")
    assert main(["plan", str(file), "--out", str(tmp_path / "out")]) == 0
    planned = capsys.readouterr().out
    assert planned.count(WARNING) == times
    assert main(["check", str(file), str(tmp_path / "out")]) == 0
    assert capsys.readouterr().out.count(WARNING) == times
    told = reach_warning(read_design(file).machine)
    assert len(told) == times
    assert prove_folder(file, tmp_path / "out", "one").told == told
    assert plan_sheet_html(make_plan(read_design(file))).count(WARNING) == times


def test_it_comes_first():
    (warning,) = reach_warning(MachineSettings())
    notes = [Finding("left out", "a piece")] * 9 + [Finding("keep-out", f"a seam {n}") for n in range(9)]
    assert notes_text([*notes, warning]).splitlines()[1].startswith(f"  {WARNING}the design does not say")
