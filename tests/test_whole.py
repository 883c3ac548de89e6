"""Whole plans of designs drawn by lot, from the design file to files proven against it."""

import os
import subprocess
import sys
import tempfile
from collections import Counter
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, seed, settings
from plans import toml_of
from shapely import LineString
from shapely.affinity import rotate, translate
from strategies import designs, picked

from stitchpath.check import check_folder, check_paths, check_plan
from stitchpath.design import read_design
from stitchpath.drawing import Drawing, draw
from stitchpath.errors import DesignError
from stitchpath.files import manifest_name, write_files
from stitchpath.formats.document import plan_document, write_json
from stitchpath.formats.read_document import read_plan
from stitchpath.formats.read_table import read_csv
from stitchpath.formats.stitch_table import write_csv
from stitchpath.motifs import MOTIFS
from stitchpath.outputs import file_names, file_texts
from stitchpath.plan import Move
from stitchpath.planner import make_plan
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings, Stage

EXAMPLES = 40
OUTLINES_APART = ScheduleSettings(
    stages=[
        Stage(name="baste", roles=["baste"]),
        Stage(name="seams", roles=["ditch"]),
        Stage(name="outlines", roles=["outline", "strip"]),
        Stage(name="fill", roles=["fill", "echo", "drawn"]),
    ]
)
SCHEDULES = [
    ScheduleSettings(stages=stages, laps=laps)
    for stages in ("default", "all in one", OUTLINES_APART.stages)
    for laps in ("free", "always")
]
MACHINES = [MachineSettings(), MachineSettings(cuts_thread=True), MachineSettings(sewn_by="hand")]


@pytest.fixture(scope="module")
def tally():
    return Counter()


def holds(plan, drawing):
    """What must hold of every plan."""
    assert check_plan(plan, drawing) == ()
    assert plan.bound <= plan.cost
    assert all(job.bound <= job.cost for job in plan.jobs)
    assert all(job.forced <= job.bound for job in plan.jobs)
    assert len(plan.paths) == sum(job.paths for job in plan.jobs)


def kinds_of(design):
    pieces = [design, *design.top.borders, *design.kinds.values()]
    return {motif.motif for piece in pieces for motif in piece.motifs}


def test_plans_of_designs_drawn_by_lot_hold_and_so_do_their_files(tally):
    @seed(20)
    @settings(
        deadline=None,
        max_examples=EXAMPLES,
        database=None,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
    )
    @given(designs(), picked(*SCHEDULES), picked(*MACHINES))
    def whole(design, schedule, machine):
        design = design.model_copy(update={"schedule": schedule, "machine": machine})
        tally["designs"] += 1
        tally.update(kinds_of(design))
        try:
            drawing = draw(design)
        except DesignError:
            return
        plan = make_plan(design, effort="quick" if tally["designs"] % 4 else "standard")
        tally["plans"] += 1
        tally["run on"] += any(job.run_on for job in plan.jobs)
        tally["laps"] += plan.laps.in_one_lap > 0
        holds(plan, drawing)
        files_hold(design, plan)

    whole()
    assert tally["designs"] >= EXAMPLES
    assert tally["plans"] >= 0.8 * tally["designs"]
    for motif in ("ellipse", "strip", "fill", "echo", "ditch", "basting"):
        assert tally[motif] >= 0.2 * tally["designs"], motif
    assert tally["run on"] >= 5
    assert tally["laps"] >= 5


def files_hold(design, plan):
    """Write the design's own file and its plan's; prove them as they are read back, the same bytes twice."""
    with tempfile.TemporaryDirectory() as name:
        folder, file = Path(name), Path(name) / "lot.toml"
        file.write_text(toml_of(design), encoding="utf-8")
        read = read_design(file)
        assert read.model_dump() == design.model_dump()
        made = make_plan(read, effort=plan.effort)
        files = file_texts(made, "lot")
        write_files(folder, files, manifest=manifest_name("lot"), design_sha256=made.drawing.design_sha256)
        assert check_folder(file, folder, "lot") == ()
        assert read_plan(folder / "lot.json") == made
        again = replace(made, drawing=plan.drawing)
        assert plan_document(again).encode() == plan_document(plan).encode()


def test_the_kinds_of_motif_counted_are_all_there_are():
    assert {kind.model_fields["motif"].default for kind in MOTIFS} == {
        "ellipse", "strip", "fill", "echo", "ditch", "basting"
    }  # fmt: skip


SMALL = """
name = "Two pears"
layout = ["P."]
motifs = [{ motif = "ditch" }, { motif = "basting" }]
top = { block_width = 120, block_height = 120 }
kinds.pear.letter = "P"
kinds.pear.motifs = [
    { motif = "ellipse", height = 70, ratio = "3:2", tilt = 20, applique = true },
    { motif = "fill", spacing = 12, angle = 45 },
    { motif = "strip", width = 10, angle = 0 },
]
"""


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    file = tmp_path_factory.mktemp("small") / "two_pears.toml"
    file.write_text(SMALL, encoding="utf-8")
    return file


@pytest.mark.parametrize("schedule", SCHEDULES)
def test_every_schedule_gives_a_plan_that_holds(small, schedule):
    design = read_design(small)
    plan = make_plan(design, schedule=schedule)
    holds(plan, draw(design))
    assert plan.schedule == schedule


def test_more_effort_is_never_dearer(small):
    design = read_design(small)
    quick, standard, proof = (make_plan(design, effort=effort) for effort in ("quick", "standard", "proof"))
    assert quick.cost >= standard.cost >= proof.cost
    assert [plan.effort for plan in (quick, standard, proof)] == ["quick", "standard", "proof"]


def test_a_table_read_back_sews_the_drawing_without_the_plan(small, tmp_path):
    design = read_design(small)
    write_csv(make_plan(design), tmp_path / "pears.csv")
    assert check_paths(read_csv(tmp_path / "pears.csv"), draw(design)) == ()


def test_the_same_input_gives_the_same_bytes_whatever_the_hash_seed(small, tmp_path):
    script = (
        "import sys, stitchpath\n"
        "plan = stitchpath.make_plan(stitchpath.read_design(sys.argv[1]))\n"
        "for write, end in ((stitchpath.write_json, '.json'), (stitchpath.write_picture, '-picture.svg'),\n"
        "                   (stitchpath.write_csv, '.csv'), (stitchpath.write_svg, '.svg')):\n"
        "    write(plan, sys.argv[2] + end)\n"
    )
    made = []
    for hash_seed in ("1", "77"):
        stem = str(tmp_path / hash_seed)
        environment = os.environ | {"PYTHONHASHSEED": hash_seed}
        subprocess.run([sys.executable, "-c", script, str(small), stem], check=True, env=environment)
        made.append([Path(stem + ending).read_bytes() for ending in file_names("")])
    assert made[0] == made[1]
    assert all(map(len, made[0]))


def test_the_seed_is_kept_and_another_one_changes_neither_lines_nor_bound(small):
    design = read_design(small)
    plans = [make_plan(design, seed=number) for number in (0, 5)]
    assert [plan.seed for plan in plans] == [0, 5]
    for plan in plans:
        holds(plan, draw(design))
    assert plans[0].bound == plans[1].bound


def test_turned_and_moved_the_lines_cost_the_same(small):
    """Rigid motions change no length; coordinates are rounded to a grid, so costs agree to a millionth.

    Where steps over open cloth are laid depends on which points rings are flattened to, so there are none.
    """
    plain = draw(read_design(small))
    about = {"roles": [line.role for line in plain.lines]}
    shapes = [LineString(line.points_mm) for line in plain.lines]
    turned = [translate(rotate(shape, 90, origin=(0, 0)), 512, -64) for shape in shapes]
    cost = CostSettings(open_travel=0)
    here, there = (make_plan(Drawing.from_lines(one, **about), cost=cost) for one in (shapes, turned))
    assert here.optimal == there.optimal
    assert there.cost == pytest.approx(here.cost, rel=1e-5)
    assert there.bound == pytest.approx(here.bound, rel=1e-5)


def test_reading_back_gives_arrays_that_nobody_can_break(small, tmp_path):
    plan = make_plan(read_design(small))
    write_json(plan, tmp_path / "plan.json")
    for path in (*plan, *read_plan(tmp_path / "plan.json")):
        with pytest.raises(ValueError, match="read-only"):
            path.coordinates_mm[0] = 0
        assert {span.move for span in path.spans} <= set(Move)
        assert np.isfinite(path.coordinates_mm).all()


@pytest.mark.parametrize(
    "lines",
    [
        [[(50, 80), (60, 10)], [(60.002, 10.002), (0, 20)]],
        [[(0, 70), (90, 60)], [(90.002, 60.002), (0, 70)]],
        [[(60, 10), (60, 60)], [(60.002, 60.002), (60, 10)], [(20, 40), (88, 59)]],
        *(
            [[(0, 0), (400, 0)], rotate(LineString([(0, 0), (400, 0)]), degrees, origin=(0, 0)).coords, *more]
            for degrees in (1e-4, 2e-4, 1e-3)
            for more in ([], [[(37, -30), (60, 40)]])
        ),
    ],
)
def test_lines_a_hair_apart_are_each_sewn_in_their_own_stage(lines):
    drawing = Drawing.from_lines(map(LineString, lines), roles=["ditch", *["fill"] * (len(lines) - 1)])
    holds(make_plan(drawing), drawing)
