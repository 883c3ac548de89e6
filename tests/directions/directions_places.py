"""What directions of a plan say of lengths, ways, lines and places, held against its coordinates."""

import re
from dataclasses import dataclass
from functools import cache

import numpy as np
import shapely

LEN = r"(?:less than )?(?:\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d)?) (?:in|mm|cm)"
WAY = r"(?:(?:up|down)(?: to the (?:right|left))?|left|right|clockwise|anticlockwise)"
NAME = r'"[^"]*"'
CORNER = r"the (?:upper|lower) (?:left|right) corner of "
_NEAR = 0.03
_ROUNDED = 1e-2  # points are snapped and rounded: 2.5 mm apart may be drawn a hair less, and still said as 3


@dataclass
class Stretch:
    """A path as little steps: where each begins, its move and its line; small stitches left out."""

    points: np.ndarray
    moves: list
    lines: list
    stages: list

    def __post_init__(self):
        steps = np.diff(self.points, axis=0)
        self.sizes = np.hypot(*steps.T)
        self.along = np.concatenate(([0.0], np.cumsum(self.sizes)))
        with np.errstate(invalid="ignore"):
            self.ways = np.where(self.sizes[:, None] > 0, steps / self.sizes[:, None], 0.0)
        key = list(zip(self.moves, self.lines, self.stages, strict=True))
        last = len(key)
        self.stops = [
            i for i in range(1, last)
            if key[i] != key[i - 1] or self.ways[i] @ self.ways[i - 1] < 0.95
        ] + [last]  # fmt: skip

    def length(self, a, b):
        return self.along[b] - self.along[a]

    def at(self, along):
        return np.column_stack([np.interp(along, self.along, axis) for axis in self.points.T])


def stretch_of(path):
    points, moves, lines, stages = [], [], [], []
    for span in path.spans:
        if span.move.value == "secure":
            continue
        part = path.coordinates_mm[span.first : span.last + 1]
        points.append(part if not points else part[1:])
        count = len(part) - 1
        moves += [span.move.value] * count
        lines += [span.line] * count
        stages += [span.stage] * count
    return Stretch(np.concatenate(points), moves, lines, stages)


class Wrong(Exception):
    pass


@cache
def bounds(said, half):
    """Return between what a length lies that is said to the nearest two halves, in millimetres."""
    bare, unit = said.removeprefix("less than ").rsplit(" ", 1)
    parts = (p.split("/") if "/" in p else (p, 1) for p in bare.split())
    value = sum(float(whole) / int(part) for whole, part in parts) * {"in": 25.4, "mm": 1.0, "cm": 10.0}[unit]
    if said.startswith("less"):
        must(abs(value - 2 * half) < _ROUNDED, "less than what is never told")
        return (0.0, half)
    return (value - half, value + half)


def must(true, said):
    if not true:
        raise Wrong(said)


class Places:
    """A plan's places; `path` is the one that is walked, `heading` the block under which a step stands."""

    def __init__(self, plan, unit):
        self.plan, self.drawing = plan, plan.drawing
        self.blocks = {b.name: b for b in plan.drawing.blocks}
        self.names = {line.block for line in plan.drawing.lines} | set(self.blocks)
        self.block = (
            "|".join(re.escape(n) for n in sorted(self.names - {""}, key=len, reverse=True)) or "(?!)"
        )
        self.step = 25.4 / 8 if unit == "in" else 1.0
        self.paths = [stretch_of(path) for path in plan.paths]
        self.sewn = set()
        lines = (*plan.drawing.lines, *plan.drawing.hidden)
        if plan.drawing.outline is not None:
            self.corner = np.array(plan.drawing.outline.bounds[:2])
        else:
            self.corner = np.min([line.points_mm.min(axis=0) for line in lines], axis=0)

    def is_length(self, said, true):
        low, high = bounds(said, self.step / 2)
        return low - _ROUNDED <= true <= high + _ROUNDED

    def line(self, at):
        number = self.path.lines[at]
        return None if number is None else self.drawing.lines[number - 1]

    def role(self, number):
        return "hidden" if number is None else self.drawing.lines[number - 1].role.value

    def same(self, at):
        end, path = at + 1, self.path
        while end < len(path.moves) and (path.moves[end], path.lines[end]) == (
            path.moves[at],
            path.lines[at],
        ):
            end += 1
        return end

    def is_named(self, name, block, number):
        if number is None:
            return False
        line = self.drawing.lines[number - 1]
        return clean(line) == name and line.block == block

    def goes(self, way, stretch, line):
        if way in {"clockwise", "anticlockwise"}:
            return is_round(way, stretch, line)
        return is_way(way, stretch[-1] - stretch[0])

    def split(self, rest):
        """Part what is followed from what it comes to."""
        for found in re.finditer(", to ", rest):
            if rest[: found.start()].count('"') % 2 == 0:
                return rest[: found.start()], rest[found.end() :]
        return rest, None

    def lies_on(self, what, a, b):
        path = self.path
        lines = set(path.lines[a:b])
        if what is None:
            return False
        said = re.fullmatch(
            rf"(?:the |a )?(sewn |unstitched )?([^\"]*?)({NAME})(?: in (?:the )?({self.block}))?", what
        )
        if said and not what.startswith(("the seam LEN",)):
            state, part, name, block = said.groups()
            block = self.heading if block is None else block
            return all(
                self.is_named(name, block, n) and is_part(part, self.drawing.lines[n - 1]) for n in lines
            ) and (self.is_state(state, lines, a))
        state = re.match(r"the (sewn |unstitched )?", what)[1]
        plain = what.replace("sewn ", "").replace("unstitched ", "")
        roles = {self.role(n) for n in lines}
        if not roles <= {"ditch", "hidden", "baste"} or not self.is_state(state, lines, a):
            return False
        return self.on_seam(plain, path.points[a : b + 1])

    def is_state(self, state, lines, at):
        move = self.path.moves[at]
        if move != "travel":
            return state is None
        if self.it and state is None:
            state = "unstitched " if lines == {None} else "sewn "
        if state == "unstitched ":
            return lines == {None}
        known = self.sewn | {
            n for n, m in zip(self.path.lines[:at], self.path.moves[:at], strict=True) if m == "sew"
        }
        return None not in lines and lines <= known

    def on_seam(self, name, points):
        """Whether points lie on a seam of that name."""
        points = np.atleast_2d(points)
        if re.fullmatch(r"the (seam|basting line|edge line)", name):
            return True
        if found := re.fullmatch(r"the (top|bottom|left|right) (basting|edge) line", name):
            role = {"basting": "baste", "edge": "allowance"}[found[2]]
            box = [
                line.points_mm
                for line in (*self.drawing.lines, *self.drawing.hidden)
                if line.role.value == role
            ]
            axis, pick = {"top": (1, "min"), "bottom": (1, "max"), "left": (0, "min"), "right": (0, "max")}[
                found[1]
            ]
            return bool(np.abs(points[:, axis] - getattr(np.concatenate(box)[:, axis], pick)()).max() < _NEAR)
        if found := re.fullmatch(
            rf"the seam ({LEN}) (right of|below) the (left|top) edge of (the top|all that is sewn)", name
        ):
            axis = 0 if found[2] == "right of" else 1
            off = points[:, axis] - self.corner[axis]
            return self.is_length(found[1], off.min()) and np.ptp(off) < _NEAR
        found = re.fullmatch(
            r"the seam (?:(left of|right of|above|below) (row|column) (\d+)"
            r"|between (rows|columns) (\d+) and (\d+))",
            name,
        )
        must(found, f"no seam: {name}")
        side, word, n, words, m, k = found.groups()
        both = ("right of", "left of") if words == "columns" else ("below", "above")
        wanted = [(side, int(n))] if side else list(zip(both, (int(m), int(k)), strict=True))
        axis = 0 if (word or words).startswith("column") else 1
        for which, number in wanted:
            at = self.edges(axis, number)[0 if which in {"left of", "above"} else 1]
            if np.abs(points[:, axis] - at).max() > 0.5:
                return False
        return True

    def edges(self, axis, number):
        boxes = [b.box_mm for b in self.drawing.blocks if (b.column, b.row)[axis] == number]
        must(boxes, "no such row or column")
        return boxes[0][axis], boxes[0][axis + 2]

    def moved_on(self, said, moved):
        """Return words with the rows and columns that lie so far on in place of those named."""

        def on(found):
            axis = 0 if found[1].startswith("column") else 1
            return re.sub(
                r"\d+", lambda number: str(self.moved_number(int(number[0]), axis, moved)), found[0]
            )

        parts = re.split(rf"({NAME})", said)
        parts[::2] = [re.sub(r"\b(row|column)s? \d+(?: (?:and|to) \d+)?", on, part) for part in parts[::2]]
        return "".join(parts)

    def moved_number(self, number, axis, moved):
        """Return the row or column with an edge so far on from the same edge of that one; else that one."""
        wanted = [edge + moved[axis] for edge in self.edges(axis, number)]
        for side in (0, 1):
            for block in self.drawing.blocks:
                if abs(block.box_mm[axis + 2 * side] - wanted[side]) < 0.5:
                    return (block.column, block.row)[axis]
        return number

    def is_mark(self, mark, point):
        """Whether a point is what a leg is said to come to."""
        if found := re.fullmatch(rf"{CORNER}({self.block})", mark):
            return self.is_corner(mark, found[1], point)
        if mark == "its corner":
            return is_turn(self.ring, point)
        if found := re.fullmatch(r"its (top|bottom|left side|right side)", mark):
            return is_tip(found[1], self.ring, point)
        if found := re.fullmatch(rf"({LEN}) (right|left) of and ({LEN}) (above|below) its middle", mark):
            return self.is_off(found.groups(), point - middle_of(self.ring))
        if '"' in mark:
            return self.on_line(mark, point)
        if re.search(r"edge of (row|column|the top|all)", mark) and not mark.startswith("the seam"):
            return self.is_along(mark, point)
        return self.on_seam(mark, point)

    def on_line(self, said, point):
        found = re.fullmatch(rf"(?:the |a )?([^\"]*?)({NAME})(?: in (?:the )?({self.block}))?", said)
        must(found, f"no line: {said}")
        block = self.nearby if found[3] is None else found[3]
        here = shapely.Point(point)
        for line in self.drawing.lines:
            named = clean(line) == found[2] and line.block == block and is_part(found[1], line)
            if named and shapely.LineString(line.points_mm).distance(here) < _NEAR:
                return line
        return False

    def is_corner(self, said, block, point):
        x0, y0, x1, y1 = self.blocks[block].box_mm
        at = (x0 if " left corner" in said else x1, y0 if "the upper" in said else y1)
        return bool(np.hypot(*(point - np.array(at))) < 0.2)

    def is_along(self, said, point):
        found = re.fullmatch(
            rf"(?:at |({LEN}) (right of|left of|above|below) )?the (left|right|top|bottom) edge of "
            r"(?:(row|column) (\d+)|(the top|all that is sewn))", said)  # fmt: skip
        must(found, f"no such place: {said}")
        size, way, edge, word, number, _ = found.groups()
        axis = 0 if edge in {"left", "right"} else 1
        at = self.edges(axis, int(number))[edge in {"right", "bottom"}] if word else self.corner[axis]
        off = (point[axis] - at) * (-1 if way in {"left of", "above"} else 1)
        return self.is_length(size, off) if size else abs(off) < 0.2

    def is_place(self, said, point):
        if found := re.fullmatch(rf"at {CORNER}({self.block})", said):
            return self.is_corner(said, found[1], point)
        if found := re.fullmatch(r"where (the .*) meets (the .*)", said):
            return self.on_seam(found[1], point) and self.on_seam(found[2], point)
        if found := re.fullmatch(r"at the (top|bottom|left side|right side) of (.*)", said):
            line = self.on_line(found[2], point)
            return bool(line) and is_tip(found[1], line, point)
        if found := re.fullmatch(
            rf'on (.*"[^"]*".*), ({LEN}) (right|left) of and ({LEN}) (above|below) its middle', said
        ):
            line = self.on_line(found[1], point)
            return bool(line) and self.is_off(found.groups()[1:], point - middle_of(line))
        if found := re.fullmatch(
            rf"({LEN}) (right|left) of and ({LEN}) (above|below) the upper left corner of (.*)", said
        ):
            at = self.blocks[found[5]].box_mm[:2] if found[5] in self.blocks else self.corner
            must(found[5] in {*self.blocks, "the top", "all that is sewn"}, "no such corner")
            return self.is_off(found.groups()[:4], point - np.array(at))
        found = re.fullmatch(rf"on (the .*?), (at .*|{LEN} (?:right|left|above|below).*)", said)
        must(found, f"no such place: {said}")
        return self.on_seam(found[1], point) and self.is_along(found[2].removeprefix("at "), point)

    def is_off(self, told, off):
        across, right, down, below = told
        x = off[0] if right == "right" else -off[0]
        y = off[1] if below == "below" else -off[1]
        return self.is_length(across, x) and self.is_length(down, y)


def middle_of(line):
    return (line.points_mm.min(axis=0) + line.points_mm.max(axis=0)) / 2


def is_tip(said, line, point):
    """Whether a point lies at the outermost point of a line on that side."""
    axis, pick = {
        "top": (1, np.min),
        "bottom": (1, np.max),
        "left side": (0, np.min),
        "right side": (0, np.max),
    }[said]
    values = line.points_mm[:, axis]
    return bool(np.hypot(*(line.points_mm[values == pick(values)] - point).T).min() < 2.0)


def is_turn(line, point):
    """Whether a line turns at a point by 30 degrees or more."""
    here = shapely.LineString(line.points_mm)
    at = here.project(shapely.Point(point))
    before, after = at - 0.05, at + 0.05
    if line.closed:
        before, after = before % here.length, after % here.length
    ends = [np.array(here.interpolate(d).coords[0]) - point for d in (before, after)]
    sizes = [np.hypot(*end) for end in ends]
    return min(sizes) > 0.02 and bool(-ends[0] @ ends[1] < 0.9 * sizes[0] * sizes[1])


def is_way(way, vector):
    """Whether a vector points as said, half a degree given or taken where two words meet."""
    if not np.any(vector):
        return False
    degrees = np.degrees(np.arctan2(vector[1], vector[0]))
    for word, middle in (("right", 0), ("down", 90), ("left", 180), ("up", 270)):
        if way == word:
            return abs((degrees - middle + 180) % 360 - 180) < 5.5
    middle = {
        "down to the right": 45,
        "down to the left": 135,
        "up to the left": 225,
        "up to the right": 315,
    }.get(way)
    return middle is not None and abs((degrees - middle + 180) % 360 - 180) < 40.5


def is_round(way, stretch, line):
    """Whether a stretch goes round as said: clockwise has the inside of a closed line at its right hand."""
    steps = np.diff(stretch, axis=0)
    sizes = np.hypot(*steps.T)
    i = int(sizes.argmax())
    if line is not None and line.closed:
        off = np.array([-steps[i][1], steps[i][0]]) / sizes[i] * min(0.02, sizes[i] / 10)
        middle = (stretch[i] + stretch[i + 1]) / 2
        inside = shapely.Polygon(line.points_mm).contains(shapely.Point(middle + off))
    else:
        inside = (steps[:-1, 0] * steps[1:, 1] - steps[:-1, 1] * steps[1:, 0]).sum() > 0
    return inside == (way == "clockwise")


def clean(line):
    name = line.motif.partition(":")[0] or line.role.value
    return '"{}"'.format(" ".join(name.replace('"', "'").split()))


def is_part(said, line):
    """Whether what stands before a motif's name fits a line's part and role."""
    part, role = line.motif.partition(": ")[2], line.role.value
    wanted = {
        "outline": f"{part} of " if part != "oval" else "oval ",
        "echo": f"{part.replace('round', 'echo')} of ",
        "strip": "line of the strip ", "ditch": "seam of ",
    }.get(role, "line of ")  # fmt: skip
    return said == wanted or (not part and said == "line of ")
