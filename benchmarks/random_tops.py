"""Plans of designs, or of drawings made from lines, drawn by lot: each must hold, and few may be refused.

    python benchmarks/random_tops.py [--first 0] [--count 2000] [--workers 2] [--save DIR] [--drawings]

Each number is a trial in a process that is ended when it takes too long: the design is planned, and the plan
proven by the check and by the oracle in tests/; every fifth one is written as well, and its files are proven.
One line for each that fails, counts at the end; exit code 1 if any failed.
"""

import argparse
import multiprocessing
import re
import sys
import time
import warnings
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "tests"))

from random_drawings import drawing_text, random_drawing
from random_tops import random_top
from random_trials import FINE, Outcome, try_drawing, try_top

LEAST_PLANNED = 0.8


@dataclass
class Worker:
    """A process that does one trial after another, and since when it is at which."""

    process: multiprocessing.process.BaseProcess
    pipe: Connection
    number: int = -1
    since: float = 0.0


def work(pipe: Connection, *, drawings: bool) -> None:
    """Do each trial whose number comes, and send back what it came to."""
    warnings.simplefilter("error")
    pipe.send("ready")
    while (number := pipe.recv()) >= 0:
        if drawings:
            pipe.send(try_drawing(*random_drawing(number)))
        else:
            pipe.send(try_top(random_top(number), files=number % 5 == 0))


def begun(*, drawings: bool) -> Worker:
    """Start a worker; its time begins when all is imported."""
    spawn = multiprocessing.get_context("spawn")
    ours, theirs = spawn.Pipe()
    process = spawn.Process(target=work, args=(theirs,), kwargs={"drawings": drawings}, daemon=True)
    process.start()
    theirs.close()
    ours.recv()
    return Worker(process, ours)


def outcomes(
    numbers: list[int], *, workers: int, limit_s: float, drawings: bool
) -> Iterator[tuple[int, Outcome]]:
    """Yield each number with what its trial came to, as they end."""
    left = iter(numbers)
    team = [begun(drawings=drawings) for _ in range(min(workers, len(numbers)))]
    while team:
        for worker in team:
            if worker.number < 0:
                worker.number, worker.since = next(left, -1), time.monotonic()
                worker.pipe.send(worker.number)
        team = [worker for worker in team if worker.number >= 0]
        ready = wait([worker.pipe for worker in team], timeout=1)
        for place, worker in enumerate(team):
            if worker.pipe in ready:
                found = ended(worker)
            elif time.monotonic() - worker.since > limit_s:
                found = Outcome("timed out", f"over {limit_s:g} s")
                worker.process.kill()
            else:
                continue
            yield worker.number, found
            worker.number = -1
            worker.process.join(timeout=0)
            if found.kind == "timed out" or not worker.process.is_alive():
                team[place] = begun(drawings=drawings)


def ended(worker: Worker) -> Outcome:
    """Return what a worker's trial came to, also where its process is gone."""
    try:
        found: Outcome = worker.pipe.recv()
    except (EOFError, ConnectionError):
        return Outcome("crashed", "the process ended")
    return found


def reason(said: str) -> str:
    """Return why something was refused, without its place and numbers."""
    problem = said.split("; ", maxsplit=1)[0].rsplit(": ", maxsplit=1)[-1]
    return re.sub(r'"[^"]*"', '"..."', re.sub(r"-?\d[\d./]*", "#", problem))


def main() -> int:
    """Do the trials, and tell of them."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--count", type=int, default=2000)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--limit", type=float, default=120.0, help="seconds that a trial may take")
    parser.add_argument("--save", type=Path, help="a folder for what fails")
    parser.add_argument("--drawings", action="store_true", help="drawings made from lines, not designs")
    asked = parser.parse_args()
    counts: Counter[str] = Counter()
    numbers = list(range(asked.first, asked.first + asked.count))
    trials = outcomes(numbers, workers=asked.workers, limit_s=asked.limit, drawings=asked.drawings)
    for number, found in trials:
        counts[f"refused: {reason(found.said)}" if found.kind == "refused" else found.kind] += 1
        if found.kind not in FINE:
            print(f"{number}: {found.kind}: {found.said}", flush=True)
            if asked.save:
                asked.save.mkdir(parents=True, exist_ok=True)
                file = asked.save / f"{number}.{'py' if asked.drawings else 'toml'}"
                text = drawing_text(number) if asked.drawings else random_top(number)
                file.write_text(f"# {found.kind}: {found.said}\n{text}", encoding="utf-8")
    for kind, count in counts.most_common():
        print(f"{count:6} {kind}")
    share = counts["planned"] / max(len(numbers), 1)
    print(f"{share:.1%} planned")
    failed = any(kind not in FINE and not kind.startswith("refused") for kind in counts)
    return int(failed or share < LEAST_PLANNED)


if __name__ == "__main__":
    sys.exit(main())
