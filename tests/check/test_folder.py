"""Written files, and every way of spoiling them that comes to mind."""

import json
import re
from dataclasses import replace
from functools import partial

import numpy as np
import pytest
from plans import TWO_LEAVES

from stitchpath.by_hand import hand_machine
from stitchpath.check import check_folder, prove_folder
from stitchpath.design import read_design
from stitchpath.drawing import draw
from stitchpath.files import MachineTables, manifest_name, write_files
from stitchpath.formats.document import plan_document
from stitchpath.formats.sewing_svg import sewing_svg
from stitchpath.formats.stitch_table import stitch_table
from stitchpath.lines import UNASKED_ROLES, Role
from stitchpath.outputs import file_texts
from stitchpath.pictures.picture import picture_svg
from stitchpath.plan import Move, Plan, RoutedJob, Span, StitchPath
from stitchpath.planner import make_plan
from stitchpath.settings import ScheduleSettings

LATE = '{"line":2,"block":"","motif":"leaf","early":"fill","share":0.5,"path":2}'

# The seam ends on the edge line (half a seam's end), the four outlines on themselves: 30 s an end.
SEAMS_COST, DETAIL_COST = 30 * (0.5 + 0.5), 4 * 30 * (2 + 2)


@pytest.fixture
def design(tmp_path):
    file = tmp_path / "leaves.toml"
    file.write_text(TWO_LEAVES, encoding="utf-8")
    return file


def made(design, *, one_stage=False):
    """A plan by hand: every line by itself."""
    drawing = draw(read_design(design))
    assert [line.role for line in drawing.lines] == [Role.DITCH, *[Role.OUTLINE] * 4]
    names = ["everything"] * 5 if one_stage else ["seams", *["detail"] * 4]
    paths = tuple(
        StitchPath(x.points_mm, (Span(Move.SEW, 0, len(x.points_mm) - 1, i, name),), x.thread)
        for i, (x, name) in enumerate(zip(drawing.lines, names, strict=True), 1)
    )
    parts = [("seams", SEAMS_COST, 1), ("detail", DETAIL_COST, 4)]
    parts = [("everything", SEAMS_COST + DETAIL_COST, 5)] if one_stage else parts
    jobs = tuple(RoutedJob(1, stage, cost, cost, 0.0, count, False, 0.001) for stage, cost, count in parts)
    settings = {}
    if one_stage:
        roles = [role for role in Role if role not in UNASKED_ROLES]
        settings["schedule"] = ScheduleSettings(stages=[{"name": "everything", "roles": roles}])
    bound = parts[0][1] if one_stage else 100.0
    return Plan(drawing, paths, jobs, bound=bound, **settings)


def write(plan, folder, *, unit="mm", spoil=None, **svg):
    contents = {
        "leaves.svg": sewing_svg(plan, **svg),
        "leaves-picture.svg": picture_svg(plan),
        "leaves.csv": stitch_table(plan, unit=unit),
        "leaves.json": plan_document(plan),
    }
    if plan.by_hand is not None:
        contents["leaves-by-hand-picture.svg"] = picture_svg(plan.by_hand)
        contents["leaves-by-hand.csv"] = stitch_table(plan.by_hand, unit=unit)
    contents = {name: (spoil or {}).get(name, lambda text: text)(text) for name, text in contents.items()}
    write_files(folder, contents, manifest=manifest_name("leaves"), design_sha256=plan.drawing.design_sha256)


def kinds(design, folder):
    return {finding.kind for finding in check_folder(design, folder, "leaves")}


@pytest.mark.parametrize(
    "options",
    [{}, {"unit": "in"}, {"y_up": True}, {"origin": "middle"}, {"y_up": True, "origin": "sewn corner"}],
)
def test_files_as_written_hold(design, tmp_path, options):
    write(made(design), tmp_path / "out", **options)
    assert check_folder(design, tmp_path / "out", "leaves") == ()


def test_other_stages_asked_for_hold(design, tmp_path):
    write(made(design, one_stage=True), tmp_path / "out")
    assert check_folder(design, tmp_path / "out", "leaves") == ()


def test_another_schedule_than_the_design_asks_for_is_found(design, tmp_path):
    plan = made(design)
    write(replace(plan, schedule=ScheduleSettings(by_hand=["outline"])), tmp_path / "out")
    (finding,) = check_folder(design, tmp_path / "out", "leaves")
    assert finding.message == "the plan states other schedule settings than the design"


def asked_too(design, text):
    design.write_text(TWO_LEAVES.replace("[top]", f"{text}\n[top]"), encoding="utf-8")


def test_the_machine_is_the_designs(design, tmp_path):
    asked_too(design, "[machine]\nreach = 90")
    plan = made(design)
    write(replace(plan, machine=plan.machine.model_copy(update={"reach": 90.0})), tmp_path / "out")
    assert kinds(design, tmp_path / "out") == {"reach"}
    (tmp_path / "out" / "leaves.json").unlink()
    assert kinds(design, tmp_path / "out") == {"manifest", "json", "reach"}


def test_what_is_left_to_the_hand_is_told_and_is_no_finding(design, tmp_path):
    asked_too(design, '[schedule]\nby_hand = ["ellipse"]')
    plan = made(design)
    left = handed_out(plan)
    write(left, tmp_path / "out")
    assert check_folder(design, tmp_path / "out", "leaves") == ()
    warning, told = prove_folder(design, tmp_path / "out", "leaves").told
    assert warning.startswith("WARNING: the design does not say how deep the frame reaches")
    assert told.startswith("left to the hand, before each band: 4 outlines (ellipse), 0.")
    assert prove_folder(design, tmp_path / "nowhere", "leaves").told == ()
    write(replace(left, by_hand=None), tmp_path / "out")
    assert kinds(design, tmp_path / "out") == {"covered"}
    write(plan, tmp_path / "out")
    assert kinds(design, tmp_path / "out") == {"settings", "by hand"}


def handed_out(plan):
    """The plan with its outlines left to the hand."""
    schedule = ScheduleSettings(by_hand=["ellipse"])
    hand = replace(
        plan, paths=plan.paths[1:], jobs=plan.jobs[1:], bound=plan.jobs[1].bound, schedule=schedule,
        machine=hand_machine(plan.machine, schedule), of_hand=True,
    )  # fmt: skip
    return replace(
        plan, paths=plan.paths[:1], jobs=plan.jobs[:1], bound=30.0, schedule=schedule, by_hand=hand
    )


def test_the_table_of_what_is_sewn_by_hand_is_proven_too(design, tmp_path):
    asked_too(design, '[schedule]\nby_hand = ["ellipse"]')
    left, out = handed_out(made(design)), tmp_path / "out"
    write(left, out, spoil={"leaves-by-hand.csv": lambda text: text.replace("1,detail,2,", "1,detail,9,")})
    assert kinds(design, out) == {"csv"}
    fewer = replace(left, by_hand=replace(left.by_hand, paths=left.by_hand.paths[1:]))
    table = stitch_table(fewer.by_hand)
    write(left, out, spoil={"leaves-by-hand.csv": lambda _: table})
    assert kinds(design, out) == {"csv"}
    write(fewer, out)
    assert {"covered", "totals"} <= kinds(design, out)
    write(left, out)
    (out / "leaves-by-hand.csv").unlink()
    assert kinds(design, out) >= {"csv"}
    write(left, out)
    (out / "leaves-by-hand-directions.txt").write_text("old", encoding="utf-8")
    assert kinds(design, out) == {"manifest"}


FIRST_PATH = re.compile(r"<path [^>]*/>")


@pytest.mark.parametrize(
    ("name", "spoil", "found"),
    [
        ("leaves.svg", lambda t: t.replace("</svg>", "<text>1</text></svg>"), {"svg"}),
        ("leaves.svg", lambda t: t.replace("</svg>", '<line x1="0" y1="0" x2="9" y2="9"/></svg>'), {"svg"}),
        ("leaves.svg", lambda t: t.replace("</svg>", f"{FIRST_PATH.search(t)[0]}</svg>"), {"svg"}),
        ("leaves.svg", lambda t: FIRST_PATH.sub("", t, count=1), {"svg"}),
        ("leaves.svg", lambda t: t.replace("L 100.000,103.175", "L 100.002,103.175"), {"svg"}),
        ("leaves.csv", lambda t: t.replace("103.175", "103.174"), {"csv"}),
        ("leaves.csv", lambda t: t.replace("103.175", "103.165"), {"csv", "svg", "covered"}),
        ("leaves.csv", lambda t: t.replace("sew,100", "travel,100"), {"csv", "covered", "travel"}),
        ("leaves.csv", lambda t: t.replace("seams", "detail"), {"csv", "stage"}),
        ("leaves.csv", lambda t: t.replace("sew,100", "jump,100"), {"csv"}),
        ("leaves.csv", lambda t: t[: t.index("1,detail,5")], {"csv", "svg", "covered"}),
        ("leaves.json", lambda t: t.replace('"paths":5', '"paths":6'), {"json"}),
        ("leaves.json", lambda t: t.replace(f'"cost":{SEAMS_COST}', '"cost":31.0'), {"json"}),
        ("leaves.json", lambda t: t.replace('"bound": 100.0', '"bound": 1000.0'), {"bound"}),
        ("leaves.json", lambda t: t.replace('"visits_most":0', '"visits_most":1'), {"json"}),
        (
            "leaves.json",
            lambda t: t.replace('"order_exceptions": []', f'"order_exceptions": [{LATE}]'),
            {"order"},
        ),
        (
            "leaves.json",
            lambda t: t.replace('"sewing_speed_mm_s":null', '"sewing_speed_mm_s":60.0'),
            {"settings"},
        ),
        ("leaves.json", lambda t: t.replace('"motif":"ditch"', '"motif":"itch"'), {"lines"}),
        ("leaves.json", lambda t: t[:-20], {"json"}),
    ],
)
def test_a_file_changed_before_its_hash_was_taken_is_found(design, tmp_path, name, spoil, found):
    changed = []

    def checked(text):
        changed.append(spoil(text) != text)
        return spoil(text)

    write(made(design), tmp_path / "out", spoil={name: checked})
    assert changed == [True]
    assert kinds(design, tmp_path / "out") == found


@pytest.mark.parametrize("name", ["leaves.svg", "leaves.csv", "leaves.json"])
def test_a_file_changed_afterwards_is_found(design, tmp_path, name):
    write(made(design), tmp_path / "out")
    file = tmp_path / "out" / name
    file.write_bytes(file.read_bytes() + b"\n")
    assert "manifest" in kinds(design, tmp_path / "out")
    file.unlink()
    assert {"manifest", name[-3:].replace("son", "json")} <= kinds(design, tmp_path / "out")


def test_a_hash_changed_in_the_manifest_is_found(design, tmp_path):
    write(made(design), tmp_path / "out")
    file = tmp_path / "out" / manifest_name("leaves")
    document = json.loads(file.read_text(encoding="utf-8"))
    sha = document["files"]["leaves.csv"]
    document["files"]["leaves.csv"] = sha[:-1] + ("0" if sha[-1] != "0" else "1")
    file.write_text(json.dumps(document), encoding="utf-8")
    assert kinds(design, tmp_path / "out") == {"manifest"}
    document["files"]["leaves.csv"] = sha
    for name in [*document["files"]]:
        left_out = {key: value for key, value in document["files"].items() if key != name}
        file.write_text(json.dumps(document | {"files": left_out}), encoding="utf-8")
        (finding,) = check_folder(design, tmp_path / "out", "leaves")
        assert finding.message == f"leaves-manifest.json does not list {name}; write the files again"
    file.unlink()
    assert kinds(design, tmp_path / "out") == {"manifest"}


def test_a_design_changed_afterwards_is_found(design, tmp_path):
    write(made(design), tmp_path / "out")
    design.write_text(TWO_LEAVES.replace("height = 60", "height = 61"), encoding="utf-8")
    assert {"manifest", "design", "lines", "covered", "open cloth"} <= kinds(design, tmp_path / "out")


def test_files_that_agree_with_each_other_and_not_with_the_design_are_found(design, tmp_path):
    plan = made(design)
    moved = np.array(plan.paths[1].coordinates_mm)
    moved[5] += (0.05, 0.05)
    spoilt = replace(plan.paths[1], coordinates_mm=moved)
    write(replace(plan, paths=(plan.paths[0], spoilt, *plan.paths[2:])), tmp_path / "out")
    assert kinds(design, tmp_path / "out") >= {"covered", "open cloth"}
    fewer = replace(
        plan,
        paths=plan.paths[:4],
        jobs=(plan.jobs[0], replace(plan.jobs[1], paths=3, cost=360.0, bound=360.0)),
    )
    write(fewer, tmp_path / "out")
    assert kinds(design, tmp_path / "out") == {"covered"}


def test_a_path_through_an_applique_is_found(design, tmp_path):
    plan = made(design)
    seam = plan.paths[0]
    through = replace(
        seam,
        coordinates_mm=[(100, -3.175), (50, 83.175), (100, 103.175)],
        spans=(replace(seam.spans[0], last=2),),
    )
    write(replace(plan, paths=(through, *plan.paths[1:])), tmp_path / "out")
    assert kinds(design, tmp_path / "out") >= {"keep-out", "open cloth", "covered", "line"}


def test_threads_that_come_in_another_order_than_the_designs_are_found(design, tmp_path):
    """Two planned leaves of a thread each: in order as planned, found where all files have them swapped."""
    asked_too(
        design,
        'schedule = { threads = ["green", "cotton"] }\n'
        "threads = { cotton = { tex = 40 }, green = { tex = 40 } }\n"
        'changes = [{ block = "row 1, column 2", motif = "ellipse", to = { thread = "green" } }]',
    )
    plan = make_plan(read_design(design), effort="quick")
    assert [(path.stage, path.thread) for path in plan] == [
        ("seams", "cotton"), *[("detail", "green")] * 2, *[("detail", "cotton")] * 2
    ]  # fmt: skip
    write(plan, tmp_path / "out")
    assert check_folder(design, tmp_path / "out", "leaves") == ()
    write(replace(plan, paths=(plan.paths[0], *plan.paths[3:], *plan.paths[1:3])), tmp_path / "out")
    found = check_folder(design, tmp_path / "out", "leaves")
    assert [(one.kind, one.message) for one in found] == [
        ("thread", 'path 4 goes back to thread "green" after "cotton" in stage "detail"')
    ]
    (tmp_path / "out" / "leaves.json").unlink()
    assert "thread" in kinds(design, tmp_path / "out")


WITH_TABLES = {"tables": MachineTables(True, 2.54, 5.08)}


def write_with_tables(plan, folder, **more):
    table = partial(stitch_table, plan, stitch_length_mm=2.54)
    contents = file_texts(plan, "leaves")
    contents |= {"leaves-thin.csv": table(thin=True), "leaves-stitches.csv": table()}
    digest = plan.drawing.design_sha256
    contents |= more
    write_files(folder, contents, manifest=manifest_name("leaves"), design_sha256=digest, **WITH_TABLES)
    return contents


@pytest.mark.parametrize("name", ["leaves-thin.csv", "leaves-stitches.csv"])
def test_tables_for_a_machine_are_proven(design, tmp_path, name):
    plan = made(design)
    contents = write_with_tables(plan, tmp_path / "out")
    assert check_folder(design, tmp_path / "out", "leaves") == ()
    changed = contents[name].replace("103.175", "103.170")
    assert changed != contents[name]
    write_with_tables(plan, tmp_path / "out", **{name: changed})
    (finding,) = check_folder(design, tmp_path / "out", "leaves")
    assert (finding.kind, name in finding.message or "path 1" in finding.message) == ("csv", True)


@pytest.mark.parametrize("name", ["leaves-thin.csv", "leaves-stitches.csv"])
def test_a_manifest_that_leaves_out_a_table_for_a_machine_is_found(design, tmp_path, name):
    """It may say that the table was asked for, or nothing at all: the file is there, or it should be."""
    write_with_tables(made(design), tmp_path / "out")
    file = tmp_path / "out" / manifest_name("leaves")
    document = json.loads(file.read_text(encoding="utf-8"))
    sha = document["files"].pop(name)
    file.write_text(json.dumps(document), encoding="utf-8")
    (finding,) = check_folder(design, tmp_path / "out", "leaves")
    assert finding.message == f"leaves-manifest.json does not list {name}; write the files again"
    tables = document.pop("tables")
    file.write_text(json.dumps(document), encoding="utf-8")
    found = [finding.message for finding in check_folder(design, tmp_path / "out", "leaves")]
    assert f"{name} is not of this plan: the manifest does not list it; take it away" in found
    document["files"][name] = sha
    file.write_text(json.dumps(document | {"tables": {**tables, "thin": False}}), encoding="utf-8")
    (finding,) = check_folder(design, tmp_path / "out", "leaves")
    assert finding.message.startswith("leaves-manifest.json lists leaves-thin.csv, which this plan does not")
