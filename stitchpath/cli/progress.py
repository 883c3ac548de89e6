"""A bar on a terminal while the work is long; silence everywhere else."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

__all__ = ["Steps", "steps"]


class Steps:
    """Says what begins now; the step before it is done.

    Parameters
    ----------
    show
        Takes the text, and how many steps are done since it was last called.
    """

    def __init__(self, show: Callable[[str, int], None]) -> None:
        self._show = show
        self._text = ""

    def __call__(self, text: str) -> None:
        """Begin a step."""
        self._show(text, 1 if self._text else 0)
        self._text = text

    def progress(self, cost: float, bound: float, *_: object) -> bool:
        """Say how a plan is coming on; never stops it."""
        self._show(f"{self._text}: a stage at cost {cost:,.1f} s, proven bound {bound:,.1f} s", 0)
        return True


@contextmanager
def steps(count: int) -> Iterator[Steps]:
    """Show a bar of so many steps on standard error, if that is a terminal.

    Parameters
    ----------
    count
        How many steps there will be.
    """
    if not sys.stderr.isatty():
        yield Steps(lambda _text, _done: None)
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, SpinnerColumn, TextColumn, TimeElapsedColumn

    text = TextColumn("{task.description}", markup=False)
    columns = (SpinnerColumn("line"), text, BarColumn(), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=count)
        yield Steps(lambda text, done: bar.update(task, description=text, advance=done))
