"""Reads directions back from their text alone and walks them over a plan's coordinates.

It shares no code with the writer. A step may end only where the plan's needle goes over to another line or
move, or turns. Where several such places are within the rounding of what is said, all are followed, and one
must come out at the path's end: so every bit of every path is told once, in order.
"""

import re
from dataclasses import dataclass, field, replace

import numpy as np
from directions.directions_places import LEN, NAME, WAY, Places, Wrong, is_round, is_way, must


@dataclass
class Step:
    number: int
    path: int
    band: int
    stage: str
    block: str
    text: str


@dataclass
class Told:
    steps: list = field(default_factory=list)
    paths: list = field(default_factory=list)  # number, of how many, thread, length


def outside_names(pattern, text):
    """Split a text, but not within quotation marks."""
    names = re.findall(NAME, text)
    parts = re.split(pattern, re.sub(NAME, '""', text))
    left = iter(names)
    return [re.sub('""', lambda _: next(left), part) for part in parts]


def read(text, blocks):
    """Return what a text of directions says; `blocks` are the names that headings may have."""
    told = Told()
    head = {"".join((b[:1].upper(), b[1:])): b for b in blocks if b} | {"The whole top": ""}
    band, stage, path, block = 1, "", 0, ""
    for paragraph in _paragraphs(text)[2:]:
        if found := re.fullmatch(r"BAND (\d+) of \d+", paragraph):
            band = int(found[1])
        elif found := re.fullmatch(r"STAGE: (.*?)(, path \d+ runs on)?", paragraph):
            stage = found[1]
        elif found := re.fullmatch(rf"Path (\d+) of (\d+)(?: with ({NAME}))?, ({LEN}) in all", paragraph):
            path = int(found[1])
            told.paths.append((path, int(found[2]), found[3], found[4]))
        elif found := re.fullmatch(r" *(\d+)\. (.*)", paragraph):
            told.steps.append(Step(int(found[1]), path, band, stage, block, found[2]))
        elif paragraph in head:
            block = head[paragraph]
        else:
            must(paragraph.startswith(("Align on ", "Band ")), f"cannot be read: {paragraph}")
    return told


def _paragraphs(text):
    lines = text.split("\n")
    width = max((len(found[1]) for line in lines if (found := re.match(r" *(\d+)\. ", line))), default=1)
    found, fresh = [], True
    for line in lines:
        begins = fresh or (line[:width].strip().isdigit() and line[width : width + 2] == ". ")
        fresh = not line.strip()
        if line.strip() and begins:
            found.append(line.strip())
        elif line.strip():
            found[-1] += f" {line.strip()}"
    return found


def faults(text, plan):
    """Return what is wrong with directions of a plan, in words; nothing where all is true."""
    try:
        return list(_Walk(text, plan).faults())
    except Wrong as error:
        return [str(error)]


class _Walk(Places):
    def __init__(self, text, plan):
        super().__init__(plan, "in" if "nearest 1/8 in" in text else "mm")
        self.told = read(text, self.names)

    # ------------------------------------------------------------------ the whole

    def faults(self):
        steps = self.told.steps
        if [s.number for s in steps] != list(range(1, len(steps) + 1)):
            yield "numbers out of order"
        if [told[:2] for told in self.told.paths] != [
            (n + 1, len(self.paths)) for n in range(len(self.paths))
        ]:
            yield "paths out of order"
            return
        for number, _, thread, length in self.told.paths:
            path = self.plan.paths[number - 1]
            if not self.is_length(length, path.length_mm):
                yield f"path {number}: its length is not {length}"
            if thread is not None and thread != '"{}"'.format(path.thread.replace('"', "'")):
                yield f"path {number}: its thread is not {thread}"
        for number, path in enumerate(self.paths, 1):
            yield from self.path_faults(number, path, [s for s in steps if s.path == number])
            self.sewn |= {line for line, move in zip(path.lines, path.moves, strict=True) if move == "sew"}

    def path_faults(self, number, path, steps):
        self.path, self.number = path, number
        if len(steps) < 3 or "Bring up" not in steps[0].text or not steps[-1].text.startswith("Tie off"):
            yield f"path {number}: is not told"
            return
        self.steps = {step.number: step for step in steps}
        states = {0: (0,)}
        for at, step in enumerate(steps):
            new, wrong = {}, ""
            for here, starts in states.items():
                self.before = steps[at - 1].text if at else ""
                try:
                    for end in self.ends(
                        step, here, dict(zip((s.number for s in steps), starts, strict=False))
                    ):
                        new.setdefault(end, (*starts, end))
                except Wrong as error:
                    wrong = str(error)
            if not new:
                yield f"step {step.number}: {wrong or 'no such place'}: {step.text}"
                return
            if at < len(steps) - 1 and step.text.startswith("Tie off"):
                yield f"step {step.number}: the path is not at its end"
            states = new
        if len(path.sizes) not in states:
            yield f"path {number}: is not told to its end"
        if self.plan.paths[number - 1].band != steps[0].band:
            yield f"path {number}: is in another band"

    def ends(self, step, here, starts):
        """Return where a step may end that begins at a point of the path."""
        text, path = step.text, self.path
        self.heading = self.nearby = step.block
        if found := re.fullmatch(
            rf"(?:Needle up, move ({LEN}) ({WAY})\. )?Bring up the bobbin thread (.*)\.", text
        ):
            return self.bring_up(here, *found.groups())
        if found := re.fullmatch(r"Tie off (.*)\.", text):
            must(here == len(path.sizes), "the path goes on")
            closed = np.array_equal(path.points[0], path.points[-1])
            must(
                closed if found[1] == "where the path began" else self.is_place(found[1], path.points[-1]),
                "end",
            )
            return [here]
        must(here < len(path.sizes) and path.stages[here] == step.stage, "the stage is another one")
        if text.startswith(("Do step", "From here do step")):
            return self.again(text, here, starts)
        if found := re.fullmatch(
            rf"Sew as path (\d+) in ({self.block}), which is exactly alike: ({LEN})\.", text
        ):
            return self.as_path(here, int(found[1]), found[2], found[3])
        if text.startswith("Sew ") and " to and fro, " in text:
            return self.rows(text, here)
        if found := re.fullmatch(rf"Step ({WAY}), ({LEN}), over open cloth(?:, to (.*))?\.", text):
            return self.step_over(here, *found.groups())
        places, mark = [here], None
        for clause in re.split(r"; (?=hop |sew )", text.removesuffix(".")):
            after, wrong = [], None
            for place in places:
                try:
                    ends, mark = self.leg(clause, place, mark)
                    after += ends
                except Wrong as error:
                    wrong = error
            if not after and wrong:
                raise wrong
            places = after
        return places

    # ------------------------------------------------------------------ kinds of steps

    def bring_up(self, here, far, way, place):
        must(here == 0 and not self.before, "a path begins here")
        point = self.path.points[0]
        before = self.plan.paths[self.number - 2] if self.number > 1 else None
        same_band = before is not None and before.band == self.plan.paths[self.number - 1].band
        moved = point - before.coordinates_mm[-1] if same_band else np.zeros(2)
        if far is None:
            must(not moved.any(), "the needle has to move")
        else:
            must(self.is_length(far, np.hypot(*moved)), "the needle moves another length")
            must(is_way(way, moved), "the needle moves another way")
        must(self.is_place(place, point), f"it does not begin {place}")
        return [0]

    def step_over(self, here, way, size, to):
        path, end = self.path, here + 1
        must(path.moves[here] == "step", "no step over open cloth begins here")
        must(self.is_length(size, path.length(here, end)), "the step has another length")
        must(is_way(way, path.points[end] - path.points[here]), "the step goes another way")
        must(to is None or self.is_mark(to, path.points[end]), "the step goes to another line")
        return [end]

    def leg(self, clause, here, mark):
        back = clause.startswith("Turn back and ")
        clause = clause.removeprefix("Turn back and ")
        path = self.path
        lap = re.fullmatch(
            rf"(sew|travel) once round (.*), ({WAY}), ({LEN}), back to where the round began",
            clause,
            re.IGNORECASE,
        )
        plain = re.fullmatch(
            rf"(sew|travel|hop|go) ({WAY}), ({LEN}), "
            r"(over the end sewn in an earlier band, )?(in the ditch )?"
            rf"along (.*?)(?:, to (.*))?", clause, re.IGNORECASE)  # fmt: skip
        must(lap or plain, "cannot be read")
        if lap:
            verb, what, way, size = lap.groups()
            resume = ditch = to = None
        else:
            verb, way, size, resume, ditch, rest, _ = plain.groups()
            rest = clause[plain.start(6) :]
            what, to = self.split(rest)
        self.it = what == "it"
        what = mark if self.it else what
        own = re.search(rf'" in (?:the )?({self.block})$', what or "")
        self.nearby = own[1] if own else self.heading
        verb = verb.lower()
        move = {"sew": "sew", "travel": "travel", "hop": "travel", "go": "resume"}[verb]
        must((move == "resume") == bool(resume), "what is sewn again is told otherwise")
        ends, self.ring = [], self.line(here)
        for end in path.stops:
            if end <= here or not self.is_length(size, path.length(here, end)):
                continue
            if any(m != move for m in path.moves[here:end]):
                continue
            stretch = path.points[here : end + 1]
            if lap:
                good = np.array_equal(stretch[0], stretch[-1]) and is_round(way, stretch, self.line(here))
            else:
                good = self.goes(way, stretch, self.line(here))
                ok = path.length(here, end) < 25.4
                good = good and (verb not in {"hop", "travel"} or ok == (verb == "hop"))
            good = good and self.lies_on(what, here, end)
            good = good and (to is None or self.is_mark(to, stretch[-1]))
            turned = here > 0 and path.ways[here - 1] @ path.ways[here] < -0.87
            good = good and (bool(lap) or " once round " in self.before or turned == back)
            if ditch:
                roles = {self.role(line) for line in path.lines[here:end]}
                good = good and roles <= {"ditch", "hidden"}
            if good:
                ends.append(end)
        return ends, to

    def rows(self, text, here):
        conn = r"(?:sew|hop|travel) .*?"
        found = re.fullmatch(
            rf"Sew (\d+) lines of ({NAME})(?: in (?:the )?({self.block}))? to and fro, ({LEN}) apart"
            rf"(?:, but (.*?))?, the first ({WAY}), each next one farther ({WAY}): "
            rf"(?:all ({LEN})|first ({LEN}), last ({LEN})(?:, shortest ({LEN}))?"
            rf"(?:, longest ({LEN}))?)\. Between them ({conn})(?:, then ({conn}), by turns)?\."
            r"(?: End at (.*)\.)?",
            text,
        )
        must(found, "cannot be read")
        count, name, block, apart, odd, way, on, every, first, last, least, most, one, other, to = (
            found.groups()
        )
        block = self.heading if block is None else block
        path, ranges, at = self.path, [], here
        hops, self.it = [], False
        for n in range(int(count)):
            end = self.same(at)
            must(
                path.moves[at] == "sew" and self.is_named(name, block, path.lines[at]),
                "a line is another one",
            )
            ranges.append((at, end))
            if n == int(count) - 1:
                break
            at = end
            while at < len(path.moves) and not (
                path.moves[at] == "sew" and self.is_named(name, block, path.lines[at])
            ):
                at += 1
            must(at < len(path.moves), "there are fewer lines")
            hops.append((end, at))
        sizes = [path.length(*r) for r in ranges]
        if every:
            must(all(self.is_length(every, size) for size in sizes), "not all are so long")
        else:
            must(
                self.is_length(first, sizes[0]) and self.is_length(last, sizes[-1]),
                "first or last is not so long",
            )
            must(self.is_length(least or (first if sizes[0] < sizes[-1] else last), min(sizes)), "shortest")
            must(self.is_length(most or (first if sizes[0] > sizes[-1] else last), max(sizes)), "longest")
        chords = [path.points[b] - path.points[a] for a, b in ranges]
        must(is_way(way, chords[0]), "the first line goes another way")
        gaps = self.gaps(apart, odd, int(count))
        for gap, (_, b), (c, _), chord, next_ in zip(
            gaps, ranges, ranges[1:], chords, chords[1:], strict=False
        ):
            must(chord @ next_ < -0.999 * np.hypot(*chord) * np.hypot(*next_), "two lines are not to and fro")
            unit = chord / np.hypot(*chord)
            across = path.points[c] - path.points[b]
            across = across - (across @ unit) * unit
            must(self.is_length(gap, np.hypot(*across)), "they are not so far apart")
            must(is_way(on, across), "the next one lies another way")
        if "the short way" in one:
            self.hops_anyhow(one, hops)
        else:
            self.hops_by_turns(one, other or one, hops)
        self.nearby = block
        must(to is None or self.is_mark(to, path.points[ranges[-1][1]]), f"they do not end at {to}")
        return [ranges[-1][1]]

    def gaps(self, apart, odd, count):
        """Return how far each line is said to lie from the one before."""
        said, last = [apart] * (count - 1), 1
        for part in re.split(", | and ", odd or "")[: None if odd else 0]:
            found = re.fullmatch(rf"({LEN}) before the (\d+)(?:st|nd|rd|th)", part)
            must(found and last < int(found[2]) <= count and found[1] != apart, "cannot be read")
            last = int(found[2])
            said[last - 2] = found[1]
        return said

    def hops_by_turns(self, one, other, hops):
        path = self.path
        for at, hop in enumerate(hops):
            self.hop(other if at % 2 else one, *hop)
        for side, told in ((hops[::2], one), (hops[1::2], other)):
            said = self.range(
                re.search(rf"((?:less than )?[\d ./]+?(?: in| mm| cm)?) to ({LEN})|({LEN})", told)
            )
            lengths = [path.length(*hop) for hop in (side if one != other else hops)]
            must(
                not lengths
                or (self.is_length(said[0], min(lengths)) and self.is_length(said[1], max(lengths))),
                "hops",
            )

    def hops_anyhow(self, told, hops):
        """Each stretch of one move between lines lies on what is said of it, and all that is said is used."""
        path, stretches = self.path, {"sew": [], "travel": []}
        for a, b in hops:
            for i in range(a, b):
                if i == a or path.moves[i] != path.moves[i - 1]:
                    stretches[path.moves[i]].append([i, i])
                stretches[path.moves[i]][-1][1] = i + 1
        for clause in told.split("; and "):
            found = re.fullmatch(r"(sew|hop|travel) (.*?), the short way along (.*)", clause)
            must(found, "cannot be read")
            verb, size, names = found.groups()
            own = stretches.pop("sew" if verb == "sew" else "travel", [])
            must(own, "nothing is sewn so, or travelled")
            lengths = [path.length(*each) for each in own]
            said = self.range(
                re.fullmatch(rf"((?:less than )?[\d ./]+?(?: in| mm| cm)?) to ({LEN})|({LEN})", size)
            )
            must(self.is_length(said[0], min(lengths)) and self.is_length(said[1], max(lengths)), "hops")
            must(verb == "sew" or (verb == "hop") == (max(lengths) < 25.4), "hop or travel")
            left = outside_names(r", (?=the |a |oval |echo )| or ", names)
            used = set()
            for a, b in own:
                for i in range(a, b):
                    fits = {what for what in left if self.lies_on(what, i, i + 1)}
                    must(fits, f"what joins two lines lies on none of {left}")
                    used |= fits
            must(used == set(left), "what joins the lines lies elsewhere")
            must(all(self.is_short_way(a, b) for a, b in own), "the long way round")
        must(not any(stretches.values()), "something between the lines is not told")

    def is_short_way(self, a, b):
        """Whether no closed line is followed for half its length or more."""
        sizes = {}
        for i in range(a, b):
            sizes[self.path.lines[i]] = sizes.get(self.path.lines[i], 0.0) + self.path.sizes[i]
        rings = {n: self.drawing.lines[n - 1] for n in sizes if n is not None}
        return all(not ring.closed or sizes[n] < ring.length_mm / 2 for n, ring in rings.items())

    def range(self, found):
        if found[3]:
            return found[3], found[3]
        unit = found[2].rpartition(" ")[2]
        return found[1] if found[1].endswith((" in", " mm", " cm")) else f"{found[1]} {unit}", found[2]

    def hop(self, told, a, b):
        verb, rest = told.split(" ", 1)
        what = rest.partition(", along ")[2]
        path = self.path
        move = "sew" if verb == "sew" else "travel"
        must(all(m == move for m in path.moves[a:b]), "a hop is sewn, or is not")
        must(verb != "hop" or path.length(a, b) < 25.4, "a hop is too long for one")
        if found := re.match(r"(clockwise|anticlockwise), ", rest):
            must(is_round(found[1], path.points[a : b + 1], self.line(a)), "a hop goes round the other way")
        must(self.lies_on(what, a, b), f"a hop does not lie along {what}")

    def again(self, text, here, starts):
        found = re.fullmatch(
            r"(?:Do|(From here) do) (?:step (\d+)|steps (\d+) to (\d+)) again, "
            rf"(?:(once|twice|\d+ times), (?:each time )?)?({LEN}) farther ({WAY})\.",
            text,
        )
        must(found and bool(found[1]) == (not found[5]), "cannot be read")
        later, only, first, last, often, far, way = found.groups()
        first, last = int(only or first), int(only or last)
        must(first in starts and last + 1 in starts, "other steps are meant")
        must(later or (max(starts) == last + 1 and starts[last + 1] == here), "other steps are meant")
        must(not later or starts[last + 1] < here, "those steps lie no earlier")
        times = {None: 1, "once": 1, "twice": 2}.get(often) or int(often.split()[0])
        path, start = self.path, starts[first]
        size = path.length(start, starts[last + 1])
        sample = np.linspace(0, size, 400)
        once = path.at(path.along[start] + sample)
        end = int(np.abs(path.along - path.along[here] - times * size).argmin())
        must(abs(path.length(here, end) - times * size) < 0.2, "the path does not go on so often")
        moved = path.at([path.along[here] + size / 2])[0] - path.at([path.along[start] + size / 2])[0]
        must(self.is_length(far, np.hypot(*moved)) and is_way(way, moved), "it is not so far on")
        back = self.steps[first].text.startswith("Turn back")
        for n in range(1, times + 1):
            at = int(np.abs(path.along - path.along[here] - (n - 1) * size).argmin())
            must((path.ways[at - 1] @ path.ways[at] < -0.87) == back, "it turns back, or does not")
            there = path.at(path.along[here] + (n - 1) * size + sample)
            must(np.abs(there - once - n * moved).max() < 0.5, "the stretches are not alike")
            middles = (sample[:-1] + sample[1:]) / 2
            moves = [
                self.moves_at(base + middles)
                for base in (path.along[start], path.along[here] + (n - 1) * size)
            ]
            must(np.mean(np.array(moves[0]) != np.array(moves[1])) < 0.02, "they are not sewn alike")
            after = int(np.abs(path.along - path.along[here] - n * size).argmin())
            self.copy([self.steps[number] for number in range(first, last + 1)], at, after, n * moved)
        return [end]

    def copy(self, steps, here, end, moved):
        """Walk steps from another place: all that they say is true there, with rows and columns moved on."""
        places = {here}
        for step in steps:
            there = replace(
                step, text=self.moved_on(step.text, moved), block=self.moved_on(step.block, moved)
            )
            after, wrong = set(), "no such place"
            for place in places:
                try:
                    after |= set(self.ends(there, place, {}))
                except Wrong as error:
                    wrong = str(error)
            must(after, f"step {step.number} done again: {wrong}: {there.text}")
            places, self.before = after, there.text
        must(end in places, "the steps do not end there")

    def moves_at(self, along):
        at = np.clip(np.searchsorted(self.path.along, along, side="right") - 1, 0, len(self.path.moves) - 1)
        return [self.path.moves[i] for i in at]

    def as_path(self, here, number, block, size):
        must(number < self.number and here == 0, "an earlier path is meant")
        one, other = self.paths[number - 1], self.path
        must(len(one.points) == len(other.points) and one.moves == other.moves, "the paths are not alike")
        off = other.points - one.points
        must(np.abs(off - off[0]).max() < 0.02, "the paths are not alike")
        lines = self.drawing.lines
        for a, b in set(zip(one.lines, other.lines, strict=True)) - {(None, None)}:  # a step is on no line
            must(a and b and lines[a - 1].motif == lines[b - 1].motif, "other lines")
            must((lines[a - 1].block, lines[b - 1].block) == (block, self.heading), "another block")
        must(self.is_length(size, other.along[-1]), "it is not so long")
        return [len(other.sizes)]
