# PYTHON_ARGCOMPLETE_OK (a shell that completes everything looks for this)
"""The command line: arguments in, text out.

Exit codes: 0 all is well, 1 a check found something, 2 bad input or a file that cannot be read or written
(one sentence says which), 3 a fault of ours, 129 and 143 ended by the system (SIGHUP, SIGTERM), 130 stopped
from the keyboard, 141 nobody reads the output any more. Ctrl-C while a plan is sought ends the search, not
the work: the best plan so far is written, and a second one stops.

Nothing heavy is imported before `main` runs, so that Ctrl-C ends the program without a word from the first
moment on.
"""

import os
import signal
from collections.abc import Sequence

__all__ = ["main"]


def main(argv: Sequence[str] | None = None) -> int:
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
    own = argv is None and signal.getsignal(signal.SIGINT) is signal.default_int_handler
    if own:
        signal.signal(signal.SIGINT, lambda *_: os._exit(130))

    def begins() -> None:
        if own:
            signal.signal(signal.SIGINT, signal.default_int_handler)

    from stitchpath.cli.running import run

    return run(argv, begins)
