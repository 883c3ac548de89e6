"""Designs with one value that no one would write, and what reading, drawing and planning them comes to.

All of them, some minutes: ``PYTHONPATH=. python tests/hostile.py``. It writes one line for each that comes to
neither a plan nor one sentence with its key, or takes long, and ends with how many there were of each.
"""

import json
import os
import sys
import tempfile
import traceback
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from fields import Number, models, numbers_of

from stitchpath.design import read_design
from stitchpath.drawing import draw
from stitchpath.errors import DesignError
from stitchpath.figures import plan_figures
from stitchpath.formats.document import write_json
from stitchpath.formats.read_document import read_plan
from stitchpath.planner import make_plan

LIMIT_S, LIMIT_BYTES = 20, 2 * 10**9

VALUES = (
    "1e-308", "1e-12", "1e-6", "0", "-0.0", "-1", "9e11", "1e308", f"1{'0' * 400}", "nan", "inf", "-inf",
    "true", '"1e9 in"', '"0 in"', '"1/0 in"', '"-1/2 in"', '"99999999999 in"', '"1e3"', '""', "[]", "{}",
    "1979-05-27",
)  # fmt: skip
"""As TOML has them."""


class Case(NamedTuple):
    """A design and what was changed in it."""

    key: tuple[str | int, ...]
    value: str
    text: str


def _motifs(kind: str) -> list[dict[str, Any]]:
    fill = {"motif": "fill", "spacing": 16, "angle": 30, "least_gap": 3, "least_piece": 4, "least_room": 9,
            "where": "everywhere"}  # fmt: skip
    strip = {"motif": "strip", "width": 9, "angle": 90, "offset": 2, "least_piece": 4}
    echo = {"motif": "echo", "spacing": 8, "count": 2, "least_piece": 5}
    sewn_on = {"motif": "ellipse", "height": 40, "ratio": 1.5, "centre": [1, 2], "tilt": 10, "applique": True,
               "inside_clearance": 2, "outside_clearance": 3}  # fmt: skip
    quilted = {"motif": "ellipse", "height": 40, "width": 30, "tilt": 5, "nested": [6]}
    return {"a": [sewn_on, echo, fill], "b": [quilted, strip]}[kind]


def _base(**about: Any) -> dict[str, Any]:
    base: dict[str, Any] = {
        "unit": "mm",
        "layout": ["ab", "b."],
        "tolerance": 0.1,
        "clearance": 3,
        "motifs": [{"motif": "basting"}],
        "threads": {"cotton": {"tex": 40}},
        "top": {
            "block_width": 70,
            "block_height": 60,
            "binding_allowance": 7,
            "sashing": {"width": 8},
            "borders": [{"width": 12}],
        },
        "kinds": {kind: {"letter": kind, "motifs": _motifs(kind)} for kind in "ab"},
        "cost": {
            "path_cost_s": 30,
            "other_thread_shows": 5,
            "leaving_block_s": 2,
            "open_travel": 10,
            "roles": {"fill": {"shows": 20, "most_times": 2, "end_shows": 4, "builds_up": 1}},
        },
        "batting": {"thickness": 2, "gap": 80},
    }
    return base | about


def _machine(**about: float) -> dict[str, Any]:
    speeds = {
        "sewing_speed_mm_s": 50,
        "lift_speed_mm_s": 150,
        "acceleration_mm_s2": 500,
        "corner_rounding": 0.1,
    }
    stitches = {"stitches_a_minute": 1500, "stitch_length": 2.5, "basting_length": 5}
    times = {"advance_s": 180, "thread_change_s": 90, "bobbin_change_s": 60}
    thread = {"bobbin_m": 2, "tail": 70, "thread_waste": 0.1}
    return {**speeds, **stitches, **times, **thread, **about}


def bases() -> dict[str, dict[str, Any]]:
    """Return designs that are good; between them they have every number and every length."""
    rules: list[tuple[Any, Any]] = [
        ({"rows": [40, 36]}, {"rows": [10, 20]}),
        ({"columns": [40, 36]}, {"columns": [10, 20]}),
        ({"top": 40, "bottom": 36}, {"top": 10, "bottom": 20}),
        ({"left": 40, "right": 36}, {"left": 10, "right": 20}),
        ({"middle": 40, "edge": 36}, {"middle": 10, "edge": 20}),
    ]
    each = {"column_widths": [70, 60], "row_heights": [60, 70], "borders": []}
    measured = {"needle_thread_per_yard": 1100, "bobbin_thread_per_yard": 1000}
    whole = _base(machine=_machine(), schedule={"bobbins_end": "in seams"})
    banded = _base(machine=_machine(reach=110, last_reach=100, width=400, **measured), top=each)
    found = {"whole": whole, "banded": banded}
    for size, angle in rules:
        oval = {"motif": "ellipse", "height": size, "ratio": "3:2", "tilt": angle}
        kinds = {"a": {"letter": "a", "motifs": [oval]}, "b": {"letter": "b", "motifs": _motifs("b")[1:]}}
        found["-".join(size)] = _base(kinds=kinds)
    return found


def leaves(value: Any, key: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Yield where numbers stand in a design."""
    if isinstance(value, dict | list):
        for name, part in value.items() if isinstance(value, dict) else enumerate(value):
            yield from leaves(part, (*key, name))
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield key


def toml(value: Any, changes: dict[tuple[str | int, ...], str], key: tuple[str | int, ...] = ()) -> str:
    """Return a value as TOML has it, in one line, some of it as it is given."""
    if key in changes:
        return changes[key]
    if isinstance(value, dict):
        inner = ", ".join(f"{name} = {toml(part, changes, (*key, name))}" for name, part in value.items())
        return f"{{ {inner} }}"
    if isinstance(value, list):
        return f"[{', '.join(toml(part, changes, (*key, n)) for n, part in enumerate(value))}]"
    return json.dumps(value)


def design_text(design: dict[str, Any], changes: dict[tuple[str | int, ...], str]) -> str:
    """Return a design as TOML, one line for each of its own keys."""
    return "".join(f"{name} = {toml(part, changes, (name,))}\n" for name, part in design.items())


def _limits() -> dict[str, tuple[Number, ...]]:
    """Return what numbers keys of each name may hold."""
    by_name: dict[str, tuple[Number, ...]] = {}
    for model in models():
        for name, info in model.model_fields.items():
            by_name[name] = by_name.get(name, ()) + numbers_of(info)
    return by_name


def cases() -> Iterator[Case]:
    """Yield every design with each of its numbers changed to each value, and to the ends of its range."""
    limits, seen = _limits(), set()
    for design in bases().values():
        for key in leaves(design):
            if key in seen:
                continue
            seen.add(key)
            name = next(part for part in reversed(key) if isinstance(part, str))
            ends = {json.dumps(end) for number in limits[name] for end in number.range if end is not None}
            yield from (
                Case(key, value, design_text(design, {key: value})) for value in (*VALUES, *sorted(ends))
            )


def outcome(text: str, folder: Path) -> str:
    """Return ``"plan"``, ``"refused"``, or what went wrong."""
    file = folder / "hostile.toml"
    file.write_text(text, encoding="utf-8")
    try:
        design = read_design(file)
        draw(design)
        plan = make_plan(design, effort="quick")
        plan_figures(plan)
        write_json(plan, folder / "hostile.json")
        return "plan" if read_plan(folder / "hostile.json") == plan else "another plan is read back"
    except DesignError as error:
        told = (
            error.key and error.remedy and error.file == str(file) and error.line and "\n" not in str(error)
        )
        return "refused" if told and len(str(error)) < 500 else f"told badly: {error}"
    except Exception:  # noqa: BLE001  (anything else is what is looked for)
        return f"a traceback: {traceback.format_exc(limit=-3)}"


def limited(text: str, folder: Path) -> tuple[str, float]:
    """Return the same from a child that may take so much time and memory, and its seconds of CPU."""
    import resource
    import signal

    reader, writer = os.pipe()
    child = os.fork()
    if not child:
        os.close(reader)
        signal.alarm(20 * LIMIT_S)
        resource.setrlimit(resource.RLIMIT_CPU, (LIMIT_S, LIMIT_S))
        resource.setrlimit(resource.RLIMIT_AS, (LIMIT_BYTES, LIMIT_BYTES))
        os.write(writer, outcome(text, folder).encode()[:60_000])
        os._exit(0)
    os.close(writer)
    with os.fdopen(reader, "rb") as pipe:
        told = pipe.read().decode()
    _, status, used = os.wait4(child, 0)
    told = told or f"no answer within {LIMIT_S} s and {LIMIT_BYTES} bytes (status {status})"
    return told, used.ru_utime + used.ru_stime


def main(words: list[str]) -> int:
    """Try all, or those whose keys hold a word."""
    counts: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as name:
        for case in cases():
            if words and not any(word in map(str, case.key) for word in words):
                continue
            came_to, took = limited(case.text, Path(name))
            counts[came_to if came_to in {"plan", "refused"} else "wrong"] += 1
            if came_to not in {"plan", "refused"}:
                print(f"{'.'.join(map(str, case.key))} = {case.value[:30]}: {came_to}", flush=True)
            elif took > LIMIT_S / 4:
                print(
                    f"{'.'.join(map(str, case.key))} = {case.value[:30]}: {came_to}, {took:.0f} s", flush=True
                )
    print(", ".join(f"{count} {word}" for word, count in sorted(counts.items())))
    return 1 if counts["wrong"] else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
