"""What each verb does. Heavy modules are imported when a verb runs, so that help comes at once."""

from __future__ import annotations

import os
from argparse import Namespace
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from stitchpath.cli.how import how_to_write, machine_tables
from stitchpath.cli.progress import Phases, phases, stoppable
from stitchpath.cli.say import complain, put, say
from stitchpath.cli.stems import safe_stem
from stitchpath.errors import FileError, Finding
from stitchpath.outputs import file_names, file_texts

if TYPE_CHECKING:
    from stitchpath.design import Design
    from stitchpath.plan import Plan
    from stitchpath.settings import ScheduleSettings

__all__ = ["check", "figures", "lines", "plan", "plan_files", "schema"]

_NOTHING_WRITTEN = "this plan does not hold, so nothing is written into {}: what stood there stays as it was"
_FIRST_FINDINGS = 20  # told before the rest is counted: chosen, less than a screen
_MANIFEST = "-manifest.json"
_WEIGHTS = {"reading": 1, "planning": 20, "measuring": 2, "writing": 2, "checking what was written": 5}
"""What each phase of planning is of the bar: Winter Orchard at "standard", in seconds, roughly, halved."""


def plan(arguments: Namespace) -> int:
    """Plan a design, write its files, check them before they take their places, and say what it comes to."""
    from stitchpath.check import check_plan, prove_folder
    from stitchpath.cli.data import plan_record, told_record
    from stitchpath.cli.summary import summary_text
    from stitchpath.design import read_design
    from stitchpath.figures.alignment import alignment
    from stitchpath.files import design_name, manifest_name, staged_files
    from stitchpath.records import json_text

    stem, folder = safe_stem(arguments.design), Path(arguments.out)
    how = how_to_write(arguments)
    with phases(sum(_WEIGHTS.values()), quiet=arguments.quiet) as phase:
        phase("reading", _WEIGHTS["reading"])
        design = read_design(arguments.design)
        if design.machine.sewn_by == "hand":
            how = replace(how, also=how.also | {"directions"})
        names = [*file_names(stem, how.also), manifest_name(stem)]
        _refuse_before_work(arguments.design, arguments.out, names)
        made = _planned(design, arguments, phase)
        phase("measuring", _WEIGHTS["measuring"])
        measured = plan_record(made, folder / f"{stem}.json") if arguments.json else {}
        phase("writing", _WEIGHTS["writing"])
        checked = check_plan(made, made.drawing) if "plan sheet" in how.also else None
        shown = replace(how, page_unit=arguments.unit or design.unit, findings=checked)
        contents = file_texts(made, stem, shown)
        with staged_files(
            folder,
            contents,
            manifest=names[-1],
            design_sha256=made.drawing.design_sha256,
            design=design_name(arguments.design),
            tables=machine_tables(how),
        ) as staged:
            phase("checking what was written", _WEIGHTS["checking what was written"])
            proof = prove_folder(arguments.design, staged.folder, stem, drawn=(design, made.drawing))
            findings = proof.findings
            changed = () if findings else staged.take_place()
    written = [] if findings else [*contents, names[-1]]
    unaligned = [told.note for told in alignment(made) if told.note]
    stays = [_NOTHING_WRITTEN.format(folder)] if findings else _strange(folder, stem, changed)
    notes: list[Finding | str] = [*made.drawing.notes, *made.notes, *unaligned, *proof.told, *stays]
    if arguments.json:
        run = {"files": [str(folder / name) for name in written], "stopped": phase.stopped}
        put(json_text({"format": "stitchpath planned 1", **measured, **run, **told_record(notes, findings)}))
    elif not (findings or arguments.quiet):
        unit = arguments.unit or design.unit
        say(summary_text(made, folder=folder, names=written, notes=notes, unit=unit))
    code = _tell(findings, arguments)
    if not arguments.json and (findings or arguments.quiet):
        for said in stays:
            complain(said)
    return code


def _strange(folder: Path, stem: str, changed: Sequence[str]) -> list[str]:
    """Return a sentence for each file beside a plan that looks like one of its own, and is not."""
    from stitchpath.check.files.file_names import left_over
    from stitchpath.files import manifest_name, read_manifest

    said = "{} is of an older plan and stays, since it was changed after that; do not sew this plan by it"
    listed = [name for name, _ in read_manifest(folder / manifest_name(stem)).files]
    more = left_over(folder, stem, [*listed, *changed])
    return [*map(said.format, changed), *(finding.message for finding in more)]


def _planned(design: Design, arguments: Namespace, phase: Phases) -> Plan:
    """Plan a design; Ctrl-C ends the search and keeps what it has."""
    from stitchpath.planner import make_plan

    phase("drawing the design", _WEIGHTS["planning"])
    with stoppable(phase):
        made = make_plan(
            design,
            schedule=_schedule(design, arguments),
            effort=arguments.effort,
            seed=arguments.seed,
            progress=phase.progress,
            job_begins=phase.job_begins,
            working=phase.working,
        )
    if phase.stopped and not arguments.quiet:
        complain("stopped before the search was over: the files will hold the best plan found by then")
    return made


def _schedule(design: Design, arguments: Namespace) -> ScheduleSettings:
    """Return the design's schedule with what was typed in its place."""
    from stitchpath.settings import ScheduleSettings

    asked = design.schedule
    stages = arguments.stages.replace("-", " ") if arguments.stages else asked.stages
    return ScheduleSettings(**{**dict(asked), "stages": stages, "laps": arguments.laps or asked.laps})


def check(arguments: Namespace) -> int:
    """Prove written files against their design."""
    from stitchpath.check import prove_folder
    from stitchpath.cli.data import told_record
    from stitchpath.cli.report import notes_text
    from stitchpath.records import json_text

    stem = safe_stem(arguments.design)
    _refuse_no_folder(Path(arguments.folder))
    _refuse_no_plan(arguments.design, Path(arguments.folder), stem)
    with phases(1, quiet=arguments.quiet) as phase:
        phase("checking")
        proof = prove_folder(arguments.design, arguments.folder, stem)
    if arguments.json:
        put(json_text({"format": "stitchpath check 1", **told_record(proof.told, proof.findings)}))
    elif proof.told and not arguments.quiet:
        say(notes_text(proof.told))
    return _tell(proof.findings, arguments)


def lines(arguments: Namespace) -> int:
    """Draw a design and write its lines as CSV, or as JSON."""
    from stitchpath.design import read_design
    from stitchpath.drawing import draw
    from stitchpath.formats.document import lines_document
    from stitchpath.formats.lines_table import lines_table

    drawing = draw(read_design(arguments.design))
    _put(lines_document(drawing) if arguments.json else lines_table(drawing), arguments.out)
    return 0


def figures(arguments: Namespace) -> int:
    """Print what the plans in a folder come to."""
    from stitchpath.cli.data import plan_record
    from stitchpath.cli.report import figures_text
    from stitchpath.formats.read_document import read_plan
    from stitchpath.records import json_text

    files = plan_files(Path(arguments.folder))
    with phases(len(files), quiet=arguments.quiet) as phase:
        told: list[Any] = []
        for file in files:
            phase(f"measuring {file.name}")
            plan = read_plan(file)
            if arguments.json:
                told.append(plan_record(plan, file))
            elif not arguments.quiet:
                text = figures_text(plan, unit=arguments.unit, explain=arguments.explain)
                told.append(f"{file}\n\n{text}")
    if arguments.json:
        put(json_text({"format": "stitchpath figures 1", "plans": told}))
    elif told:
        say("\n".join(told))
    return 0


def schema(arguments: Namespace) -> int:
    """Write the JSON Schema of design files."""
    from stitchpath.design import design_schema
    from stitchpath.records import json_text

    _put(json_text(design_schema()), arguments.out)
    return 0


def _put(content: str, file: str | None) -> None:
    """Write a file, whole or not at all; None: to standard output."""
    from stitchpath.files import write_whole

    if file is None:
        put(content)
    else:
        write_whole(file, content)


def _refuse_before_work(design: str, out: str, names: Sequence[str]) -> None:
    """Say before the long work what would fail after it; the last of the names is the manifest's."""
    from stitchpath.files import design_name, explained, refuse_other_designs

    if not out.strip():
        raise FileError("--out names no folder", "write one, or . for this one", value=out)
    folder = Path(out)
    nearest = next((path for path in (folder, *folder.absolute().parents) if os.path.lexists(path)), folder)
    with explained(nearest):
        nearest.stat()
    if not nearest.is_dir():
        problem = f"{folder} cannot be written into: {nearest} is no folder"
        raise FileError(problem, "give another --out", file=folder, value=nearest)
    if not os.access(nearest, os.W_OK | os.X_OK):
        problem = f"{folder} cannot be written into: {nearest} is read-only"
        raise FileError(problem, "give another --out", file=folder, value=nearest)
    if os.path.realpath(design) in [os.path.realpath(folder / name) for name in names]:
        problem = f"{design} would be overwritten by the plan's own files"
        raise FileError(problem, "give another --out", file=design, value=out)
    refuse_other_designs(folder, names, names[-1], design_name(design))


def plan_files(folder: Path) -> list[Path]:
    """Return the plans in a folder by their manifests.

    Raises
    ------
    FileError
        If there is none, or no folder.
    """
    _refuse_no_folder(folder)
    manifests = sorted(folder.glob(f"*{_MANIFEST}"))
    if not manifests:
        remedy = f'make one with "stitchpath plan DESIGN --out {folder}"'
        raise FileError(f"{folder} holds no plan", remedy, file=folder)
    return [manifest.with_name(f"{manifest.name.removesuffix(_MANIFEST)}.json") for manifest in manifests]


def _refuse_no_folder(folder: Path) -> None:
    if not folder.is_dir():
        remedy = "name the folder that a plan was written into"
        raise FileError(f"{folder} is no folder", remedy, file=folder)


def _refuse_no_plan(design: str, folder: Path, stem: str) -> None:
    """Refuse a folder with none of a plan's files; of a design that is missing its reader tells."""
    files = [folder / f"{stem}{ending}" for ending in (_MANIFEST, ".json", ".csv", ".svg")]
    if Path(design).exists() and not any(file.exists() for file in files):
        remedy = f'make one with "stitchpath plan {design} --out {folder}"'
        raise FileError(f"{folder} holds no plan of {design}", remedy, file=folder, value=design)


def _tell(findings: Sequence[Finding], arguments: Namespace) -> int:
    """Say what a check found, which JSON holds already; return the exit code."""
    if arguments.json:
        return 1 if findings else 0
    for finding in findings[:_FIRST_FINDINGS]:
        complain(f"{finding.kind}: {finding.message}{_at(finding.place_mm)}")
    if len(findings) > _FIRST_FINDINGS:
        complain(f"and {len(findings) - _FIRST_FINDINGS:,} findings more")
    if not (findings or arguments.quiet):
        say("Checked: every line is sewn, nothing else is, and the files are as written.")
    return 1 if findings else 0


def _at(place_mm: Iterable[float] | None) -> str:
    return "" if place_mm is None else " (at x {:.1f} mm, y {:.1f} mm)".format(*place_mm)
