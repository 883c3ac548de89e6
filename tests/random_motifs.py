"""Motifs drawn by lot, as a design file writes them: tangent, touching, coincident and nearly so.

Lengths are written in millimetres, centimetres and inches mixed, so that lines that are meant to be the same
may lie a thousandth of a millimetre apart, as they do in files that people write.
"""

import random
from collections.abc import Callable
from dataclasses import dataclass, field
from math import floor
from typing import Any

__all__ = ["NEAR_MM", "Cloth", "Lot", "Motif", "Pen", "Said", "sewn"]

NEAR_MM = (1e-6, 1e-5, 1e-4, 5e-4, 0.001, 0.0015, 0.002, 0.003, 0.004, 0.005, 0.008, 0.02, 0.05, 0.1, 0.2)
"""How far apart lines lie that nearly coincide."""

ANGLES = (0, 90, 45, -45, 30, 60, 12.3, -35, 135, 70, 89.999, 1e-4, 0.01)
_PER = {"mm": 1.0, "cm": 10.0, "in": 25.4}
_DECIMALS = {"mm": 1, "cm": 2, "in": 4}

Said = str | float
Motif = dict[str, Any]


class Lot:
    """What is left to chance. Of `random.Random` it uses only what is promised never to change."""

    def __init__(self, seed: str) -> None:
        self._next = random.Random(seed).random

    def chance(self, share: float) -> bool:
        """Say yes, in a share of all cases."""
        return self._next() < share

    def between(self, low: float, high: float) -> float:
        """Return a number between two others."""
        return low + (high - low) * self._next()

    def pick(self, *options: Any) -> Any:
        """Return one of some options."""
        return options[floor(len(options) * self._next())]

    def maybe(self, share: float, **told: Any) -> dict[str, Any]:
        """Return what is told, in a share of all cases, else nothing."""
        return told if self.chance(share) else {}


@dataclass
class Pen:
    """Writes lengths as people do: bare in the design's unit, in another one, or in sixteenths of an inch."""

    lot: Lot
    unit: str

    def about(self, mm: float) -> tuple[float, Said]:
        """Return a round length that is at most so long, and how it is written."""
        way = self.lot.pick("bare", "bare", "mm", "cm", "in", "sixteenths")
        if way == "sixteenths":
            whole = floor(mm / 25.4 * 16)
            return (whole * 25.4 / 16, f"{whole}/16 in") if whole else self.exactly(mm)
        unit = self.unit if way == "bare" else way
        step = 10 ** _DECIMALS[unit]
        number = floor(mm / _PER[unit] * step) / step
        if not number:
            return self.exactly(mm)
        return number * _PER[unit], number if way == "bare" else f"{number:.{_DECIMALS[unit]}f} {unit}"

    def say(self, mm: float) -> Said:
        """Write a round length that is at most so long."""
        return self.about(mm)[1]

    def exactly(self, mm: float) -> tuple[float, Said]:
        """Return a length, and how it is written to a billionth of a millimetre."""
        mm = round(mm, 9)
        sixteenths = mm / 25.4 * 16
        if abs(sixteenths - round(sixteenths)) < 1e-10 and sixteenths >= 1 and self.lot.chance(0.7):
            return mm, f"{round(sixteenths)}/16 in"
        if self.unit == "mm" and self.lot.chance(0.5):
            return mm, mm
        way = self.lot.pick("mm", "mm", "cm")
        return mm, f"{mm / _PER[way]:.{9 if way == 'mm' else 10}f} {way}"

    def just(self, mm: float) -> Said:
        """Write a length to a billionth of a millimetre."""
        return self.exactly(mm)[1]


@dataclass
class Cloth:
    """A kind of block, or a piece of sashing or border, of at least `width` by `height` mm, with motifs."""

    lot: Lot
    pen: Pen
    width: float
    height: float
    clearance: float
    threads: tuple[str, ...] = ()
    grid: tuple[int, int] = (0, 0)
    alike: tuple[str, ...] = ()
    motifs: list[Motif] = field(default_factory=list)
    narrowest: float = 0.0
    full: bool = False
    strip: Motif | None = None

    @property
    def least(self) -> float:
        """The smaller side."""
        return min(self.width, self.height)

    def add(self, motif: str, **about: Any) -> None:
        """Write a motif down, with or without a name and a thread."""
        named = self.lot.maybe(0.5, name=f"{motif} {len(self.motifs)}") | self.lot.maybe(
            0.3 if self.threads else 0, thread=self.lot.pick(*self.threads, "")
        )
        self.motifs.append({"motif": motif} | {k: v for k, v in named.items() if v} | about)

    def size(self, mm: float) -> Any:
        """Write a size of at most so much: one, or one that varies over the top."""
        lot, pen = self.lot, self.pen
        if not self.grid[0] or lot.chance(0.75):
            return pen.say(mm)
        less = mm * lot.between(0.7, 1.0)
        pair = [pen.say(mm), pen.say(less)] if lot.chance(0.5) else [pen.say(less), pen.say(mm)]
        names = lot.pick(("top", "bottom"), ("left", "right"), ("middle", "edge"), ("rows",), ("columns",))
        if len(names) == 2:
            return dict(zip(names, pair, strict=True))
        count = self.grid[names[0] == "columns"]
        return {names[0]: [pen.say(lot.between(less, mm)) for _ in range(count)]}

    def angle(self) -> Any:
        """Write an angle: one, or one that varies over the top."""
        angle = self.lot.pick(*ANGLES)
        if self.grid[0] and self.lot.chance(0.15):
            return (
                {"top": angle, "bottom": angle / 2} if self.lot.chance(0.5) else {"left": 0, "right": angle}
            )
        return angle

    def near(self) -> float:
        """Return a distance at which lines nearly coincide, on either side; or none."""
        return self.lot.pick(0.0, 1.0, -1.0, 1.0, -1.0) * self.lot.pick(*NEAR_MM)


def _oval(cloth: Cloth) -> None:
    lot, pen = cloth.lot, cloth.pen
    inside = cloth.full  # an appliqué lies here: stay inside it
    high = cloth.least * (lot.between(0.15, 0.25) if inside else lot.between(0.3, 0.75))
    ratio, share = lot.pick((1, 1.0), ("1:1", 1.0), ("3:2", 1.5), (1.7, 1.7), ("5:2", 2.5), (0.8, 1 / 0.8))
    if ratio == 0.8:
        high /= share
    about: Motif = {"height": cloth.size(high), "ratio": ratio}
    if lot.chance(0.2):
        about = {"height": cloth.size(high), "width": pen.say(high / share)}
    elif lot.chance(0.15):
        about = {"width": cloth.size(high / share), "ratio": ratio}
    elif share == 1 and cloth.alike and not inside and lot.chance(0.4):
        about["height"] = {"like": lot.pick(*cloth.alike)}
        high = cloth.least * 0.3
    about |= lot.maybe(0.5, tilt=cloth.angle() if cloth.grid[0] else lot.pick(*ANGLES))
    if not inside and high < 0.6 * cloth.least:
        far = (cloth.least - high * max(1.0, 1 / share)) / 8
        about |= lot.maybe(0.3, centre=[pen.say(far), pen.say(far / 2)] if far > 1 else [0, 0])
    small = high / max(share, 1.0) * 0.7
    if not cloth.narrowest and small > 5 * cloth.clearance and lot.chance(0.5):
        about |= _applique(cloth)
        cloth.full = True
    elif lot.chance(0.4):
        deep = [lot.pick(0.1, 0.15, 0.2, 0.25), lot.pick(0.3, 0.35)][: lot.pick(1, 2)]
        about["nested"] = [pen.say(small * share) for share in deep]
    cloth.add("ellipse", **about)
    cloth.narrowest = min(cloth.narrowest or small, small)


def _applique(cloth: Cloth) -> Motif:
    lot, pen = cloth.lot, cloth.pen
    about: Motif = {"applique": True} | lot.maybe(0.3, size_is=lot.pick("edge", "line"))
    if lot.chance(0.25):
        about |= {"keep_out": "whole"} | lot.maybe(0.5, outlines="outside")
    else:
        about |= lot.maybe(0.4, outlines=lot.pick("both", "inside", "outside")) | lot.maybe(
            0.2, keep_out="edge"
        )
    about |= lot.maybe(0.2, inside_clearance=pen.say(cloth.clearance * lot.between(0.4, 1.4)))
    return about | lot.maybe(0.2, outside_clearance=pen.say(cloth.clearance * lot.between(0.4, 1.0)))


def _edge_applique(cloth: Cloth) -> None:
    """Lay an appliqué so near its block's edge that its keep-out reaches over the seam."""
    if cloth.motifs or cloth.least < 12 * cloth.clearance:
        return
    off = cloth.lot.pick(0.0, 1.0, 0.3, 0.01)
    high = cloth.least - off * cloth.clearance
    outlines = cloth.lot.pick("inside", "inside", "both")
    about = {"outlines": outlines} | ({"size_is": "line"} if outlines == "both" else {})
    cloth.add("ellipse", height=cloth.pen.just(high), ratio=1, applique=True, **about)
    cloth.full, cloth.narrowest = True, cloth.least * 0.6


def _touching(cloth: Cloth) -> None:
    """Lay an oval that is tangent to all four sides of its block, or nearly so."""
    if cloth.full:
        return
    off = 2 * cloth.lot.pick(0.0, 1.0) * cloth.lot.pick(*NEAR_MM)
    high, wide = cloth.pen.just(cloth.height - off), cloth.pen.just(cloth.width - off)
    cloth.add("ellipse", height=high, width=wide)
    cloth.narrowest = cloth.narrowest or cloth.least * 0.7


def _pair(cloth: Cloth) -> None:
    """Lay two ovals side by side: tangent, nearly so, or apart."""
    if cloth.motifs:
        return
    lot, pen = cloth.lot, cloth.pen
    wide, high = pen.exactly(cloth.width * 0.2), pen.say(cloth.height * 0.5)
    gap = lot.pick(0.0, 0.0, lot.pick(*NEAR_MM), cloth.width * 0.05)
    about = (
        {"size_is": "line"} | _applique(cloth) if lot.chance(0.4) and wide[0] > 6 * cloth.clearance else {}
    )
    about = {k: v for k, v in about.items() if "clearance" not in k}
    if about:
        about |= {"size_is": "line", "outlines": "both", "keep_out": "edge"}
    for name, side in (("left oval", -1), ("right oval", 1)):
        centre = [pen.just(side * (wide[0] + gap) / 2), 0]
        cloth.add("ellipse", height=high, width=wide[1], centre=centre, **about)
        cloth.motifs[-1]["name"] = name
    cloth.full, cloth.narrowest = bool(about), cloth.width * 0.15


def _twins(cloth: Cloth) -> None:
    """Lay two rounds that nearly coincide, one in place of an echo of another, or one moved a little."""
    if cloth.motifs:
        return
    lot, pen = cloth.lot, cloth.pen
    across, said = pen.exactly(pen.about(cloth.least * lot.between(0.3, 0.6))[0])
    cloth.add("ellipse", height=said, ratio=1, **lot.maybe(0.3, tilt=lot.pick(*ANGLES)))
    way = lot.pick("echo", "larger", "moved", "nested")
    step, step_said = pen.about(cloth.least / lot.pick(12, 16))
    if way == "echo":
        cloth.add("echo", spacing=step_said, count=lot.pick(1, 2), direction=lot.pick("outwards", "inwards"))
        across += lot.pick(2, -2) * step
    if way == "nested":
        cloth.motifs[-1]["nested"] = [step_said]
        across -= 2 * step
    about = {"centre": [pen.just(abs(cloth.near())), 0]} if way == "moved" else {}
    cloth.add("ellipse", height=pen.just(across + (0 if about else 2 * cloth.near())), ratio=1, **about)
    cloth.narrowest = cloth.least * 0.15


def _strip(cloth: Cloth) -> None:
    lot, pen = cloth.lot, cloth.pen
    wide = min(cloth.least / lot.pick(6, 8, 12, 20), (cloth.narrowest or cloth.least) * 0.6)
    about: Motif = {"width": cloth.size(wide)} | lot.maybe(0.7, angle=cloth.angle())
    about |= lot.maybe(0.3, offset=pen.say(cloth.least / 12)) | lot.maybe(0.3, pieced=True)
    about |= lot.maybe(0.3, where=lot.pick("inside", "outside", "both") if cloth.narrowest else "both")
    about |= lot.maybe(0.2, least_piece=pen.say(cloth.least / 40))
    cloth.add("strip", **about)
    if not {"offset", "where"} & set(about):
        cloth.strip = cloth.motifs[-1]


def _strip_by_seam(cloth: Cloth) -> None:
    """Lay a strip one of whose lines nearly coincides with a seam."""
    wide, said = cloth.pen.about(min(cloth.least / 8, (cloth.narrowest or cloth.least) * 0.6))
    off = cloth.pen.just(cloth.height / 2 - wide / 2 - cloth.near())
    cloth.add("strip", width=said, angle=0, offset=off, **cloth.lot.maybe(0.3, pieced=True))


def _strip_on_fill(cloth: Cloth) -> None:
    """Lay a strip whose lines nearly coincide with a fill's."""
    lot, pen = cloth.lot, cloth.pen
    spacing, said = pen.about(min(cloth.least / lot.pick(5, 8), (cloth.narrowest or cloth.least) * 0.25))
    angle = lot.pick(*ANGLES)
    cloth.add("strip", width=pen.just(2 * spacing + 2 * cloth.near()), angle=angle)
    cloth.add(
        "fill",
        spacing=said,
        angle=angle,
        through_strips=True,
        least_gap=0,
        **lot.maybe(0.5, where="everywhere"),
    )


def _fill(cloth: Cloth) -> None:
    lot, pen = cloth.lot, cloth.pen
    about: Motif = {"spacing": pen.say(cloth.least / lot.pick(3, 3, 4, 4, 5, 6, 8))}
    about |= lot.maybe(
        0.7, angle=lot.pick(cloth.angle(), cloth.angle(), "square to the edge", "along the edge")
    )
    about |= lot.maybe(0.5, counted_from=lot.pick("middle", "top", "seam"))
    if cloth.strip and lot.chance(0.4):
        about = {"spacing": about["spacing"], "counted_from": "strip"}
    about |= lot.maybe(
        0.6, where=lot.pick("outside", "inside", "everywhere") if cloth.narrowest else "everywhere"
    )
    about |= lot.maybe(0.3 if about.get("counted_from") != "top" else 0, even=True) | lot.maybe(
        0.3, through_strips=True
    )
    about |= lot.maybe(0.4, least_gap=lot.pick(0, 0, pen.say(cloth.least / 40)))
    about |= lot.maybe(0.3, least_piece=pen.say(cloth.least / lot.pick(30, 300)))
    cloth.add("fill", **about | lot.maybe(0.5, least_room=pen.say(cloth.least / lot.pick(10, 30))))


def _two_fills(cloth: Cloth) -> None:
    """Lay two fills of nearly the same lines, or one whose lines graze a seam."""
    lot, pen = cloth.lot, cloth.pen
    spacing, said = pen.about(cloth.least / lot.pick(3, 4, 6))
    if lot.chance(0.3):
        angle = lot.pick(89.999, 0.001, 90.0001, -0.01)
        cloth.add("fill", spacing=said, angle=angle, counted_from="seam", least_gap=0, where="everywhere")
        return
    angle = lot.pick(0, 90, 45, 30)
    cloth.add("fill", spacing=said, angle=angle, least_gap=0)
    turned = angle + lot.pick(0, 0, 1e-4, 0.001, 0.01)
    spacing += 0 if turned != angle else cloth.near()
    cloth.add(
        "fill", spacing=pen.just(spacing), angle=turned, least_gap=0, **lot.maybe(0.4, where="everywhere")
    )


def _echo(cloth: Cloth) -> None:
    lot, pen = cloth.lot, cloth.pen
    about: Motif = {"spacing": pen.say(cloth.least / lot.pick(8, 12, 20))}
    about |= {"count": lot.pick(1, 1, 2, 3)} if lot.chance(0.8) else {"spacing": pen.say(cloth.least / 8)}
    about |= lot.maybe(0.4, direction=lot.pick("outwards", "inwards")) | lot.maybe(0.3, through_strips=True)
    about |= lot.maybe(0.2, least_piece=pen.say(cloth.least / 40))
    named = [motif["name"] for motif in cloth.motifs if motif["motif"] == "ellipse" and "name" in motif]
    cloth.add("echo", **about | (lot.maybe(0.4, of=lot.pick(*named)) if named else {}))


def _ditch(cloth: Cloth) -> None:
    cloth.add("ditch")


Recipe = Callable[[Cloth], None]
_SHAPES: tuple[Recipe, ...] = (_oval, _oval, _oval, _touching, _pair, _twins, _edge_applique)
_LINES: tuple[Recipe, ...] = (
    _fill, _fill, _fill, _echo, _strip, _strip_by_seam, _strip_on_fill, _two_fills, _ditch,
)  # fmt: skip


def sewn(cloth: Cloth, *, share: float = 0.8) -> list[Motif]:
    """Lay one to four motifs or so."""
    lot = cloth.lot
    for _ in range(2):
        if lot.chance(share):
            lot.pick(*_SHAPES)(cloth)
        share *= 0.4
    for _ in range(lot.pick(1, 1, 2) if cloth.motifs else lot.pick(1, 2, 2)):
        lot.pick(*_LINES)(cloth)
    return cloth.motifs
