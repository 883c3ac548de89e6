"""A progress bar on a terminal while the work is long; nothing anywhere else.

The first Ctrl-C ends a search, not the work.
"""

import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stitchpath.compare import Standing
    from stitchpath.planning.schedule import Job

__all__ = ["Phases", "phases", "stoppable"]

_BAR_COLUMNS = 12  # chosen: the words beside it need the room
_OTHER_COLUMNS = 23
"""Spinner, bar and clock with a blank before each: with what is told they fit into 80 columns."""
_STYLES = {
    "bar.complete": "cyan",
    "bar.finished": "cyan",
    "bar.pulse": "cyan",
    "bar.back": "bright_black",
    "progress.spinner": "cyan",
    "progress.elapsed": "default",
}
_STOPPING = "stopping, the best plan is kept; Ctrl-C again: no files"


class Phases:
    """Says what begins now; the phase before it is done.

    Parameters
    ----------
    show
        Takes the text, and how much was done since it was last called: 1 for each phase of no other weight.
    room
        How many letters the text may have.

    Attributes
    ----------
    stopped
        Whether the search for a cheaper plan was asked to end.
    """

    def __init__(self, show: Callable[[str, float], None], room: int = 80 - _OTHER_COLUMNS) -> None:
        self._show, self._room = show, room
        self._text = self._job = ""
        self._weight = self._moved = 0.0
        self.stopped = False

    def __call__(self, text: str, weight: float = 1.0) -> None:
        """Begin a phase, which is so much of the whole bar."""
        left = self._weight - self._moved
        self._text, self._weight, self._moved = text, weight, 0.0
        self._show(text, left)

    def working(self, what: str, share: float) -> None:
        """Say what is being done, and which share of this phase is done."""
        moved = max(share * self._weight - self._moved, 0.0)
        self._moved += moved
        self._job = what or self._job
        self._show(_STOPPING if self.stopped else self._job or self._text, moved)

    def job_begins(self, job: "Job", number: int, count: int) -> None:
        """Say which job is being routed."""
        self._job = f"{job.stage} ({number} of {count})"
        self._tell(self._job)

    def progress(self, cost: float, bound: float) -> bool:
        """Say how a job is coming on; return whether to go on."""
        self._tell(f"{self._job}: {_over(cost, bound)}")
        return not self.stopped

    def made(self, done: int, count: int, name: str) -> None:
        """Say how many plans of several are made, and which one just was."""
        self._show(f"planning: {done} of {count} made, {name} the last", 1 if done < count else 0)

    def stands(self, at: "Standing") -> None:
        """Say how one of several plans is coming on; a name too long for the room is cut short."""
        job = f" ({at.job} of {at.jobs})" if at.job else " made"
        rest = f"{job}: {_over(at.cost, at.bound)}"
        room = max(self._room - len(rest), 5)
        self._tell(f"{at.name if len(at.name) <= room else f'{at.name[: room - 3].rstrip()}...'}{rest}")

    def stop(self) -> None:
        """End the search at its next word, and say so."""
        self.stopped = True
        self._tell("")

    def _tell(self, text: str) -> None:
        self._show(_STOPPING if self.stopped else text, 0)


def _over(cost: float, bound: float) -> str:
    """Say how far a plan so far may be over the least possible."""
    from stitchpath.plan import gap_of
    from stitchpath.words import share

    return f"at most {share(gap_of(cost, bound))} over the least" if bound > 0 else "begun"


@contextmanager
def stoppable(phase: Phases) -> Iterator[None]:
    """Let the first Ctrl-C stop a search, which keeps what it has; the next one ends the work as ever.

    Where Ctrl-C is not heard, or means something else already, it is left alone.
    """
    before = signal.getsignal(signal.SIGINT)
    if before is not signal.default_int_handler or threading.current_thread() is not threading.main_thread():
        yield
        return

    def first(*_: object) -> None:
        signal.signal(signal.SIGINT, before)
        phase.stop()

    signal.signal(signal.SIGINT, first)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


@contextmanager
def phases(count: float, *, quiet: bool = False) -> Iterator[Phases]:
    """Show a bar of so many phases on standard error, if that is a terminal.

    Parameters
    ----------
    count
        How many phases there will be, or what they weigh together.
    quiet
        Whether to show none all the same.
    """
    if quiet or sys.stderr is None or not sys.stderr.isatty():
        yield Phases(lambda _text, _done: None)
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, SpinnerColumn, TextColumn, TimeElapsedColumn
    from rich.theme import Theme

    text = TextColumn("{task.description}", markup=False)
    theme = Theme(_STYLES)
    columns = (SpinnerColumn("line"), text, BarColumn(_BAR_COLUMNS), TimeElapsedColumn())
    told_not_to = bool(os.environ.get("NO_COLOR"))  # older versions of rich heed an empty one, too
    console = Console(stderr=True, theme=theme, no_color=told_not_to)
    with Progress(*columns, console=console, transient=True) as bar:
        task = bar.add_task("", total=count)
        room = console.width - _OTHER_COLUMNS
        yield Phases(lambda text, done: bar.update(task, description=text, advance=done), room)
