"""One trial of a design or a drawing made by lot: planned, written, read back, checked, proven once more."""

import tempfile
import traceback
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import shapely_oracle

from stitchpath.check import check_folder, check_plan
from stitchpath.design import read_design
from stitchpath.drawing import Drawing, draw
from stitchpath.errors import DesignError
from stitchpath.files import manifest_name, write_files
from stitchpath.outputs import file_texts
from stitchpath.planner import make_plan

__all__ = ["FINE", "Outcome", "try_drawing", "try_top"]

FINE = ("planned", "refused")


@dataclass(frozen=True)
class Outcome:
    """What a trial came to: "planned", "refused", or what failed, and one sentence."""

    kind: str
    said: str = ""


def try_top(text: str, *, files: bool = True) -> Outcome:
    """Plan the design of a text, and prove the plan and, where asked, its files."""
    with tempfile.TemporaryDirectory() as name:
        folder, file = Path(name), Path(name) / "lot.toml"
        file.write_text(text, encoding="utf-8")
        try:
            design = read_design(file)
            drawing = draw(design)
            plan = make_plan(design, effort="quick")
        except DesignError as error:
            return Outcome("refused", str(error).replace(str(file), "lot.toml"))
        except Exception as error:  # noqa: BLE001  (that is what is looked for)
            return _crashed(error)
        try:
            return (
                _proven(plan, drawing)
                or (_written(plan, file, folder) if files else None)
                or Outcome("planned")
            )
        except Exception as error:  # noqa: BLE001
            return _crashed(error)


def try_drawing(drawn: dict[str, Any], settings: dict[str, Any]) -> Outcome:
    """Plan a drawing made from lines, and prove the plan."""
    try:
        drawing = Drawing.from_lines(**drawn)
        plan = make_plan(drawing, effort="quick", **settings)
    except DesignError as error:
        return Outcome("refused", str(error))
    except Exception as error:  # noqa: BLE001
        return _crashed(error)
    try:
        return _proven(plan, drawing) or Outcome("planned")
    except Exception as error:  # noqa: BLE001
        return _crashed(error)


def _proven(plan: Any, drawing: Any) -> Outcome | None:
    """Return what check or oracle has against a plan."""
    findings = [
        f"{finding.kind}: {finding.message} {finding.place_mm}" for finding in check_plan(plan, drawing)
    ]
    faults = shapely_oracle.faults(plan, drawing)
    if findings and faults:
        return Outcome("accused by both", f"{findings[0]} ({len(findings)}) | {faults[0]} ({len(faults)})")
    if findings:
        return Outcome("accused by the check alone", f"{findings[0]} ({len(findings)})")
    return Outcome("accused by the oracle alone", f"{faults[0]} ({len(faults)})") if faults else None


def _written(plan: Any, file: Path, folder: Path) -> Outcome | None:
    """Return what is wrong with a plan's files as they are read back."""
    manifest = manifest_name(file.stem)
    texts, digest = file_texts(plan, file.stem), plan.drawing.design_sha256
    write_files(folder, texts, manifest=manifest, design_sha256=digest)
    findings = check_folder(file, folder, file.stem)
    return Outcome("files accused", f"{findings[0].kind}: {findings[0].message}") if findings else None


def _crashed(error: Exception) -> Outcome:
    last = traceback.extract_tb(error.__traceback__)[-1]
    return Outcome("crashed", f"{type(error).__name__}: {error} ({Path(last.filename).name}:{last.lineno})")
