"""The command line: arguments in, text out.

Exit codes: 0 all is well; 1 a check found something; 2 bad input, or a file that cannot be read or written
(one sentence says which); 3 a fault of ours; 129 and 143 ended by the system (SIGHUP, SIGTERM); 130 stopped
from the keyboard; 141 nobody reads the output any more. Ctrl-C during the search for a plan ends the search,
not the work: the best plan so far is written. A second Ctrl-C stops the work.

Nothing is imported before `main` runs, so that Ctrl-C ends the program quietly from the first moment on.
"""

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

__all__ = ["main"]


def main(argv: "Sequence[str] | None" = None) -> int:
    """Run one command.

    Parameters
    ----------
    argv
        What stands after the program's name; None: the process's own.

    Returns
    -------
    int
        The exit code.
    """
    try:
        begins = _quiet_start() if argv is None else _nothing
        from stitchpath.cli.running import run
    except KeyboardInterrupt:
        return 130
    return run(argv, begins)


def _quiet_start() -> "Callable[[], None]":
    """Let Ctrl-C end the process at once, without a word; return what lets it be heard as ever.

    While modules are imported, Python cannot be relied on to hand an interrupt on: libraries turn it into
    errors of their own.
    """
    import os
    import signal

    if signal.getsignal(signal.SIGINT) is not signal.default_int_handler:
        return _nothing
    signal.signal(signal.SIGINT, lambda *_: os._exit(130))

    def heard_as_ever() -> None:
        signal.signal(signal.SIGINT, signal.default_int_handler)

    return heard_as_ever


def _nothing() -> None: ...
