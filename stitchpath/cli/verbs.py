"""What each verb does. Heavy modules are imported when a verb runs, so that help comes at once."""

from __future__ import annotations

import os
from argparse import Namespace
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from stitchpath.cli.pages import page_names, pages
from stitchpath.cli.progress import Phases, phases, stoppable
from stitchpath.cli.say import complain, put, say, wrapped
from stitchpath.cli.stems import safe_stem
from stitchpath.errors import DesignError, FileError, Finding

if TYPE_CHECKING:
    from stitchpath.design import Design
    from stitchpath.files import MachineTables
    from stitchpath.plan import Plan
    from stitchpath.settings import ScheduleSettings

__all__ = ["CAUTION", "check", "figures", "lines", "plan", "plan_files", "schema"]

CAUTION = (
    "Before a file is sewn: keep hands and clamps clear of the head, make a first run with the needle up, "
    "and follow the machine's own manual first; where it differs from anything here, the manual is right."
)
_NOTHING_WRITTEN = "this plan does not hold, so nothing is written into {}: what stood there stays as it was"
_FIRST_FINDINGS = 20
_MANIFEST = "-manifest.json"


def plan(arguments: Namespace) -> int:
    """Plan a design, write its files, check them before they take their places, and print the figures."""
    from stitchpath.check import check_folder, tell_of_folder
    from stitchpath.cli.data import plan_record, told_record
    from stitchpath.cli.report import figures_text, notes_text
    from stitchpath.design import read_design
    from stitchpath.figures.alignment import alignment
    from stitchpath.files import design_name, manifest_name, staged_files
    from stitchpath.formats.band_files import band_texts
    from stitchpath.records import json_text

    stem, folder = safe_stem(arguments.design), Path(arguments.out)
    writers = {f"{stem}{ending}": write for ending, write in _formats(arguments).items()}
    names = [*writers, *page_names(arguments, stem), manifest_name(stem)]
    _refuse_before_work(arguments.design, arguments.out, names)
    with phases(5, quiet=arguments.quiet) as phase:
        phase("reading")
        design = read_design(arguments.design)
        made = _planned(design, arguments, phase)
        phase("measuring")
        in_words = not (arguments.json or arguments.quiet)
        table = figures_text(made, unit=arguments.unit or design.unit) if in_words else ""
        measured = plan_record(made, folder / f"{stem}.json") if arguments.json else {}
        phase("writing")
        contents = {name: write(made) for name, write in writers.items()}
        contents |= band_texts(made, stem, formats=_band_formats(arguments), unit=arguments.unit or "mm")
        contents |= pages(made, design, arguments, stem)
        with staged_files(
            folder,
            contents,
            manifest=names[-1],
            design_sha256=made.drawing.design_sha256,
            design=design_name(arguments.design),
            tables=_machine_tables(arguments),
        ) as staged:
            phase("checking what was written")
            findings = check_folder(arguments.design, staged.folder, stem)
            known = tell_of_folder(arguments.design, staged.folder, stem)
            changed = () if findings else staged.take_place()
    written = [] if findings else [*contents, names[-1]]
    unaligned = [told.note for told in alignment(made) if told.note]
    stays = [_NOTHING_WRITTEN.format(folder)] if findings else _strange(folder, stem, changed)
    notes: list[Finding | str] = [*made.drawing.notes, *made.notes, *unaligned, *known, *stays]
    if arguments.json:
        run = {"files": [str(folder / name) for name in written], "stopped": phase.stopped}
        put(json_text({"format": "stitchpath planned 1", **measured, **run, **told_record(notes, findings)}))
    elif not (findings or arguments.quiet):
        into = wrapped(f"Written into {folder}: {', '.join(written)}.")
        say("\n\n".join(filter(None, (table, notes_text(notes), into, wrapped(CAUTION)))))
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

    phase("planning")
    with stoppable(phase):
        made = make_plan(
            design,
            schedule=_schedule(design, arguments),
            effort=arguments.effort,
            seed=arguments.seed,
            progress=phase.progress,
            job_begins=phase.job_begins,
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


def _formats(arguments: Namespace) -> Mapping[str, Callable[[Plan], str]]:
    """Return all formats as they were asked for: by what is added to the stem, what makes the text."""
    from stitchpath.formats.sewing_svg import sewing_svg
    from stitchpath.outputs import FORMATS

    origin = arguments.origin.replace("-", " ")
    sewing = partial(sewing_svg, y_up=arguments.y_up, origin=origin)
    return {**FORMATS, ".svg": sewing, **_tables(arguments)}


def _band_formats(arguments: Namespace) -> Mapping[str, Callable[..., str]]:
    """Return the formats of a band's own files as they were asked for; they have an origin of their own."""
    from stitchpath.formats.sewing_svg import sewing_svg

    return {".svg": partial(sewing_svg, y_up=arguments.y_up), **_tables(arguments)}


def _tables(arguments: Namespace) -> Mapping[str, Callable[..., str]]:
    from stitchpath.formats.stitch_table import stitch_table

    table = partial(stitch_table, unit=arguments.unit or "mm")
    stitches = partial(table, stitch_length_mm=arguments.stitch_length)
    if arguments.basting_length is not None:
        if arguments.stitch_length is None:
            said = "--basting-length tells the length of stitches that nobody asked for"
            raise DesignError(said, "write --stitch-length too")
        stitches = partial(stitches, basting_length_mm=arguments.basting_length)
    return {
        ".csv": table,
        **({} if arguments.stitch_length is None else {"-stitches.csv": stitches}),
        **({"-thin.csv": partial(stitches, thin=True)} if arguments.thin else {}),
    }


def _machine_tables(arguments: Namespace) -> MachineTables:
    """Return what the manifest says of the tables for a machine that were asked for."""
    from stitchpath.files import MachineTables
    from stitchpath.formats.stitch_points import BASTING_LENGTH_MM

    if arguments.stitch_length is None:
        return MachineTables(arguments.thin)
    return MachineTables(
        arguments.thin, arguments.stitch_length, arguments.basting_length or BASTING_LENGTH_MM
    )


def check(arguments: Namespace) -> int:
    """Prove written files against their design."""
    from stitchpath.check import check_folder, tell_of_folder
    from stitchpath.cli.data import told_record
    from stitchpath.cli.report import notes_text
    from stitchpath.records import json_text

    stem = safe_stem(arguments.design)
    _refuse_no_folder(Path(arguments.folder))
    _refuse_no_plan(arguments.design, Path(arguments.folder), stem)
    with phases(1, quiet=arguments.quiet) as phase:
        phase("checking")
        findings = check_folder(arguments.design, arguments.folder, stem)
        known = tell_of_folder(arguments.design, arguments.folder, stem)
    if arguments.json:
        put(json_text({"format": "stitchpath check 1", **told_record(known, findings)}))
    elif known and not arguments.quiet:
        say(notes_text(known))
    return _tell(findings, arguments)


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
                told.append(f"{file}\n\n{figures_text(plan, unit=arguments.unit)}")
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
        raise FileError("--out names no folder; write one, or . for this one")
    folder = Path(out)
    nearest = next((path for path in (folder, *folder.absolute().parents) if os.path.lexists(path)), folder)
    with explained(nearest):
        nearest.stat()
    if not nearest.is_dir():
        raise FileError(f"{folder} cannot be written into: {nearest} is no folder; give another --out")
    if not os.access(nearest, os.W_OK | os.X_OK):
        raise FileError(f"{folder} cannot be written into: {nearest} is read-only; give another --out")
    if os.path.realpath(design) in [os.path.realpath(folder / name) for name in names]:
        raise FileError(f"{design} would be overwritten by the plan's own files; give another --out")
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
        raise FileError(f'{folder} holds no plan; make one with "stitchpath plan DESIGN --out {folder}"')
    return [manifest.with_name(f"{manifest.name.removesuffix(_MANIFEST)}.json") for manifest in manifests]


def _refuse_no_folder(folder: Path) -> None:
    if not folder.is_dir():
        raise FileError(f"{folder} is no folder; name the folder that a plan was written into")


def _refuse_no_plan(design: str, folder: Path, stem: str) -> None:
    """Refuse a folder with none of a plan's files; of a design that is missing its reader tells."""
    files = [folder / f"{stem}{ending}" for ending in (_MANIFEST, ".json", ".csv", ".svg")]
    if Path(design).exists() and not any(file.exists() for file in files):
        remedy = f'make one with "stitchpath plan {design} --out {folder}"'
        raise FileError(f"{folder} holds no plan of {design}; {remedy}")


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
