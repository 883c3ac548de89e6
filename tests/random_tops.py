"""Designs drawn by lot, as the text of design files: a number gives its text, the same on every machine.

They are small, and full of what goes wrong: lines that touch, are tangent, or lie 1e-6 to 0.2 mm apart; tiny
and huge blocks; every motif with all its options; and, in a good third of them, bands, hands, threads, groups
and stages.
"""

import json
import re
from math import floor
from typing import Any

from plans import _value
from random_motifs import ANGLES, Cloth, Lot, Motif, Pen, sewn

__all__ = ["random_top", "toml_text"]

Table = dict[str, Any]

_BLOCKS_MM = (
    (14.0, 14.0), (25.0, 30.0), (60.0, 60.0), (100.0, 80.0), (100.0, 100.0), (152.4, 152.4), (150.0, 260.0),
    (254.0, 304.8), (300.0, 300.0), (320.0, 120.0), (3000.0, 2000.0),
)  # fmt: skip
_LAYOUTS = (
    ("A",), ("AA",), ("AB",), ("A", "A"), ("A.",), ("A", "B"), ("ABA",), ("AB", "BA"), ("AA", "A."),
    ("A", ".", "B"), ("ABC", "CBA"),
)  # fmt: skip
_KINDS = (("A", "kind A"), ("B", "Größe B"), ("C", "c-3"))
_APART = [
    {"name": "baste", "roles": ["baste"]},
    {"name": "seams", "roles": ["ditch"]},
    {"name": "outlines", "roles": ["outline", "strip"]},
    {"name": "fill", "roles": ["fill", "echo", "drawn"]},
]
_LINES_FIRST = [
    {"name": "lines", "roles": ["strip", "outline", "echo"]},
    {"name": "the rest", "roles": ["baste", "ditch", "fill", "drawn"]},
]


def random_top(number: int) -> str:
    """Return the text of the design file of a number."""
    return toml_text(random_design(number))


def random_design(number: int) -> Table:
    """Return the design of a number as a design file's tables."""
    lot = Lot(f"top {number}")
    design: Table = {"name": f"random {number}", "unit": lot.pick("mm", "cm", "in")}
    pen, rich = Pen(lot, design["unit"]), lot.chance(0.45)
    rows = lot.pick(*_LAYOUTS)
    design["layout"] = list(rows)
    whole = [*lot.maybe(0.6, motif="ditch").items(), *lot.maybe(0.35, other="basting").items()]
    design["motifs"] = [{"motif": motif} for _, motif in whole]
    by_hand = lot.chance(0.08 if rich else 0.15)
    threads = (
        lot.pick((), ("red", "blue"), ("cotton", "Seide", "blue"))
        if lot.chance(0.5 if rich else 0.15)
        else ()
    )
    top, widths, heights = _top(lot, pen, rows)
    least = min(*widths, *heights)
    clearance = 25.4 / (16 if by_hand else 8)
    if least < 45 or lot.chance(0.2):
        clearance, design["clearance"] = pen.about(least / lot.pick(40, 60))
    design |= lot.maybe(
        0.15, tolerance=lot.pick("0.001 mm" if least < 120 else "0.01 mm", "0.1 mm", "0.02 mm")
    )
    about: Table = {"clearance": clearance, "threads": threads}
    kinds: Table = {}
    for letter, name in _KINDS:
        if any(letter in row for row in rows):
            cloth = Cloth(
                lot,
                pen,
                min(widths),
                min(heights),
                grid=(len(rows), len(rows[0])),
                alike=_alike(kinds),
                **about,
            )
            kinds[name] = {"letter": letter, "motifs": sewn(cloth)}
    _strips(lot, pen, top, min(widths), min(heights), about)
    design |= {"top": top, "kinds": kinds, "changes": _changes(lot, pen, rows, kinds, least)}
    if threads:
        design["threads"] = {name: {"tex": lot.pick(40, 27.0, 60.5)} for name in threads}
    size = [_across(sizes, top, pen.unit) for sizes in (widths, heights)]
    design["machine"] = _machine(
        lot, pen, size, (widths, heights), banded=rich and not by_hand and lot.chance(0.95)
    )
    design["machine"] |= {"sewn_by": "hand"} if by_hand else {}
    design["schedule"] = _schedule(lot, design, rich=rich)
    design["cost"] = _cost(lot, 0.3 if rich else 0.12)
    design["batting"] = lot.maybe(0.2, thickness="2 mm") | lot.maybe(0.2, gap=lot.pick("4 in", "10 cm"))
    if threads:
        _thread(Lot(f"threads {number}"), design, threads)
    return {key: value for key, value in design.items() if value not in ({}, [])}


def _thread(lot: Lot, design: Table, threads: tuple[str, ...]) -> None:
    """Give outlines, kinds, borders, sashing and a block threads of their own; say what is free to travel."""
    top, kinds = design["top"], list(design["kinds"].values())
    pieces = [*kinds, *top.get("borders", []), *filter(None, [top.get("sashing")])]
    for piece in pieces:
        piece.update(lot.maybe(0.3, thread=lot.pick(*threads)))
        for oval in (motif for motif in piece.get("motifs", []) if motif.get("applique")):
            sewn = oval.get("outlines", "outside" if oval.get("keep_out") == "whole" else "both")
            for side in ("inside", "outside") if sewn == "both" else (sewn,):
                oval.update(lot.maybe(0.5, **{f"{side}_thread": lot.pick(*threads)}))
    design["changes"] += [
        {"block": f"row {row}, column {column}", "to": {"thread": lot.pick(*threads)}}
        for row, letters in enumerate(design["layout"], 1)
        for column, _ in enumerate(letters, 1)
        if lot.chance(0.1)
    ]
    surely = [threads[0]] if design["motifs"] else []
    surely += [motif["thread"] for kind in kinds[:1] for motif in kind["motifs"] if "thread" in motif]
    surely = [name for name in dict.fromkeys(surely) if len(design["layout"]) > 1]
    said: Table = {}
    if len(surely) > 1:
        said = lot.maybe(0.4, matching_threads=[surely[:2]])
    clear = lot.pick("all", "none", surely[-1:])
    said |= lot.maybe(0.5, kept_clear=clear)
    design["schedule"] |= said
    design["cost"] |= lot.maybe(0.3, other_thread_shows=lot.pick(1, 2.5, 100))


def _alike(kinds: Table) -> tuple[str, ...]:
    """Return the kinds whose first oval has a height that others may take."""
    first = {
        name: next((m for m in kind["motifs"] if m["motif"] == "ellipse"), {}) for name, kind in kinds.items()
    }
    return tuple(
        name for name, oval in first.items() if "height" in oval and "ratio" in oval and len(oval) < 6
    )


def _top(lot: Lot, pen: Pen, rows: tuple[str, ...]) -> tuple[Table, list[float], list[float]]:
    """Return a top without motifs, and the sizes of its columns and rows."""
    width, height = lot.pick(*_BLOCKS_MM)
    top: Table = {}
    sizes = []
    for one, each, count, mm in (
        ("block_width", "column_widths", len(rows[0]), width),
        ("block_height", "row_heights", len(rows), height),
    ):
        if lot.chance(0.75):
            size, top[one] = pen.about(mm)
            sizes.append([size] * count)
        else:
            found = [pen.about(mm * lot.pick(1.0, lot.between(1.0, 1.6))) for _ in range(count)]
            top[each] = [said for _, said in found]
            sizes.append([size for size, _ in found])
    top |= lot.maybe(0.25, binding_allowance=lot.pick("0 mm", "1/2 in", "5 mm"))
    return top, sizes[0], sizes[1]


def _strips(lot: Lot, pen: Pen, top: Table, width: float, height: float, about: Table) -> None:
    """Sew sashing and borders on, some with motifs."""
    least = min(width, height)
    if lot.chance(0.25):
        wide, said = pen.about(least / lot.pick(4, 6))
        sashing: Table = (
            {"width": said} | lot.maybe(0.5, cornerstones=lot.chance(0.6)) | lot.maybe(0.5, around=True)
        )
        if lot.chance(0.5):
            sashing["motifs"] = _in_strip(Cloth(lot, pen, wide, wide, **about))
        if lot.chance(0.4):
            sashing["cornerstone_motifs"] = _in_strip(Cloth(lot, pen, wide, wide, **about))
        top["sashing"] = {key: value for key, value in sashing.items() if value != []}
    for _ in range(lot.pick(1, 1, 2) if lot.chance(0.3) else 0):
        wide, said = pen.about(least / lot.pick(2, 3, 5))
        border: Table = {"width": said}
        if lot.chance(0.6):
            border["motifs"] = _in_strip(Cloth(lot, pen, wide, wide, **about))
        top.setdefault("borders", []).append(border)


def _in_strip(cloth: Cloth) -> list[Motif]:
    """Return what is sewn in a strip of sashing, a cornerstone or a border."""
    lot, pen = cloth.lot, cloth.pen
    way = lot.pick("fill", "fill", "strip", "oval", "sewn")
    if way == "fill":
        angle = lot.pick("square to the edge", "along the edge", *ANGLES)
        cloth.add(
            "fill",
            spacing=pen.say(cloth.least / lot.pick(1, 2, 3)),
            angle=angle,
            **lot.maybe(0.5, least_gap=0),
        )
    elif way == "strip":
        cloth.add("strip", width=pen.say(cloth.least / 3), angle=lot.pick(0, 0, 90, 45))
    elif way == "oval":
        cloth.add(
            "ellipse", height=pen.say(cloth.least * 0.7), ratio=lot.pick(1, "3:2"), tilt=lot.pick(0, 90, 30)
        )
        cloth.narrowest = cloth.least * 0.4
    elif cloth.least > 12:
        return sewn(cloth, share=0.3)
    return cloth.motifs


def _across(sizes: list[float], top: Table, unit: str) -> float:
    """Return about how far a top runs one way."""
    per = {"mm": 1.0, "cm": 10.0, "in": 25.4}

    def mm(said: Any) -> float:
        if not isinstance(said, str):
            return float(said) * per[unit]
        number, word = said.split()
        above, _, below = number.partition("/")
        return float(above) / float(below or 1) * per[word]

    borders = sum(mm(border["width"]) for border in top.get("borders", []))
    sashing = top.get("sashing")
    between = (
        0.0 if sashing is None else mm(sashing["width"]) * (len(sizes) + (1 if sashing.get("around") else -1))
    )
    return sum(sizes) + between + 2 * borders


def _changes(lot: Lot, pen: Pen, rows: tuple[str, ...], kinds: Table, least: float) -> list[Table]:
    """Have something otherwise in a block."""
    row, column = floor(len(rows) * lot.between(0, 1)), floor(len(rows[0]) * lot.between(0, 1))
    motifs = next((kind["motifs"] for kind in kinds.values() if kind["letter"] == rows[row][column]), [])
    named = [motif for motif in motifs if "name" in motif]
    if not named or not lot.chance(0.25):
        return []
    motif = lot.pick(*named)
    to: Table = {
        "ellipse": {"tilt": lot.pick(*ANGLES)},
        "strip": {"angle": lot.pick(*ANGLES)},
        "fill": {"spacing": pen.say(least / lot.pick(3, 5)), "where": lot.pick("outside", "everywhere")},
        "echo": {"count": lot.pick(1, 2)},
        "ditch": {"name": "other seams"},
    }[motif["motif"]]
    return [{"block": f"row {row + 1}, column {column + 1}", "motif": motif["name"], "to": to}]


def _machine(
    lot: Lot, pen: Pen, size: list[float], sizes: tuple[list[float], list[float]], *, banded: bool
) -> Table:
    """Return who sews: a frame that reaches all, or bands of it."""
    said: Table = lot.maybe(0.3, cuts_thread=True)
    said |= lot.maybe(0.3, secured=lot.pick("by the machine", "small stitches", "buried tails"))
    said |= lot.maybe(0.1, sewing_speed_mm_s=lot.pick(10.0, 120.0)) | lot.maybe(0.1, lift_speed_mm_s=300.0)
    said |= lot.maybe(0.1, advance_s=lot.pick(0.0, 5.0, 600.0)) | lot.maybe(
        0.1, thread_change_s=lot.pick(0.0, 30.0)
    )
    said |= lot.maybe(0.1, stitch_length=lot.pick("2 mm", "1/8 in")) | lot.maybe(
        0.1, tail=lot.pick("0 mm", "5 cm")
    )
    said |= lot.maybe(0.05, needle_thread_per_yard="50 in", bobbin_thread_per_yard="100 cm")
    said |= lot.maybe(0.1, acceleration_mm_s2=lot.pick(50.0, 2000.0)) | lot.maybe(0.1, corner_rounding="1 mm")
    said |= lot.maybe(0.1, stitches_a_minute=600.0) | lot.maybe(0.1, basting_length="6 mm")
    if not banded:
        return said
    said |= lot.maybe(0.35, sideways=True)
    down = 0 if said.get("sideways") else 1
    tallest, whole = max(sizes[down]), size[down]
    reach = max(
        30.0,
        whole / 6,
        lot.pick(
            whole * lot.between(0.25, 0.95),
            whole * lot.between(0.25, 0.95),
            tallest * lot.between(1.0, 1.4),
            tallest,
            whole + lot.pick(0.0, 0.5, 3.0, 10.0),
        ),
    )
    said["reach"] = pen.say(reach)
    said |= lot.maybe(0.45, last_reach=pen.say(max(26.0, reach * lot.between(0.5, 0.98))))
    return said | lot.maybe(0.2, width=pen.say(size[1 - down] + 40))


def _schedule(lot: Lot, design: Table, *, rich: bool) -> Table:
    """Return in which order things are sewn, and what is left to the hand."""
    share = 0.35 if rich else 0.08
    said: Table = lot.maybe(
        share, stages=lot.pick("default", "all in one", "all in one", _APART, _LINES_FIRST)
    )
    said |= lot.maybe(share, laps=lot.pick("free", "always")) | lot.maybe(share, finish="group by group")
    said |= lot.maybe(share, order=lot.pick("left to right", "snake", "from the middle", "free"))
    said |= lot.maybe(share, bands=lot.pick("cheapest", "fewest"))
    said |= lot.maybe(share / 3, bobbins_end="in seams")
    blocks = [
        f"row {r}, column {c}" for r, row in enumerate(design["layout"], 1) for c in range(1, len(row) + 1)
    ]
    listed = [
        {"name": f"g{n}", "blocks": part} for n, part in enumerate((blocks[::2], blocks[1::2][::-1])) if part
    ]
    said |= lot.maybe(share * 1.5, groups=lot.pick("none", "rows", "blocks", listed))
    machine = design.get("machine", {})
    if machine.get("reach"):
        said |= lot.maybe(0.12, cuts=lot.pick("anywhere", "in seams", "in seams", "none"))
    if said.get("bobbins_end"):
        machine["bobbin_m"] = lot.pick(20.0, 100.0, 400.0)
    if machine.get("sewn_by") == "hand":
        return said
    surely = [motif["motif"] for motif in design["motifs"] if motif["motif"] == "basting" or blocks[1:]]
    first = next(iter(design["kinds"].values()))["motifs"]
    ovals = [motif for motif in first if motif["motif"] == "ellipse"]
    left = [{"basting": "baste"}.get(motif, motif) for motif in surely] + ["outline"] * bool(ovals)
    left += [motif["name"] for motif in ovals if "name" in motif]
    if len(left) > 1 and lot.chance(share):
        said["by_hand"] = [lot.pick(*left)]
        said |= lot.maybe(0.3, travel_by_hand=lot.chance(0.7))
        whens = ("before each band", "after each band", "before the frame", "after the frame")
        said |= lot.maybe(0.7, by_hand_when=lot.pick(*whens))
    threads = [motif["thread"] for motif in ovals if "thread" in motif]
    return said | (lot.maybe(share, threads=threads[:1]) if threads else {})


def _cost(lot: Lot, share: float) -> Table:
    """Return what a plan's cost is made of."""
    said: Table = lot.maybe(share, open_ends=False) | lot.maybe(share, hidden_seams=False)
    said |= lot.maybe(share, backing="contrasting") | lot.maybe(
        share / 2, path_cost_s=lot.pick(0.5, 20.0, 400.0)
    )
    roles = lot.maybe(share, fill={"shows": 3, "most_times": lot.pick(1, 2, 4)})
    roles |= lot.maybe(share, outline={"most_times": lot.pick(1, 3)})
    roles |= lot.maybe(share, ditch={"most_times": lot.pick(1, 2)}) | lot.maybe(share, baste={"end_shows": 2})
    roles |= lot.maybe(share, hidden={"builds_up": lot.pick(0.5, 3)})
    return said | ({"roles": roles} if roles else {})


def toml_text(design: Table) -> str:
    """Return a design's tables as the text of its file."""
    top = design.get("top", {})
    parts = [_pairs(design, "top", "kinds", "changes", "threads", "machine", "schedule", "cost", "batting")]
    parts.append(f"[top]\n{_pairs(top, 'sashing', 'borders')}")
    parts += [f"[top.sashing]\n{_pairs(top['sashing'])}"] if "sashing" in top else []
    parts += [f"[[top.borders]]\n{_pairs(border)}" for border in top.get("borders", [])]
    for name, kind in design.get("kinds", {}).items():
        parts.append(f"[kinds.{_key(name)}]\n{_pairs(kind, 'motifs')}")
        parts += [f"[[kinds.{_key(name)}.motifs]]\n{_pairs(motif)}" for motif in kind.get("motifs", [])]
    parts += [f"[[changes]]\n{_pairs(change)}" for change in design.get("changes", [])]
    parts += [
        f"[threads.{_key(name)}]\n{_pairs(thread)}" for name, thread in design.get("threads", {}).items()
    ]
    tables = ("machine", "schedule", "cost", "batting")
    return "".join(parts + [f"[{name}]\n{_pairs(design[name])}" for name in tables if name in design])


def _key(key: str) -> str:
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else json.dumps(key, ensure_ascii=False)


def _pairs(table: Table, *but: str) -> str:
    return "".join(f"{_key(key)} = {_value(value)}\n" for key, value in table.items() if key not in but)
