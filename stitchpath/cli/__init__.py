# PYTHON_ARGCOMPLETE_OK (a shell that completes everything looks for this)
"""The command line: arguments in, text out.

Exit codes: 0 all is well, 1 a check found something, 2 bad input or a file that cannot be read or written
(one sentence says which), 3 a fault of ours, 130 stopped from the keyboard, 141 nobody reads the output any
more. Ctrl-C while a plan is sought ends the search, not the work: the best plan so far is written, and a
second one stops.
"""

import os
import sys
import traceback
from collections.abc import Sequence
from contextlib import suppress

from stitchpath.cli.arguments import parser
from stitchpath.cli.completion import complete
from stitchpath.cli.say import complain
from stitchpath.errors import InternalError, StitchpathError

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
    typed = parser()
    complete(typed)
    arguments = typed.parse_args(argv)
    try:
        code = int(arguments.run(arguments))
        sys.stdout.flush()
    except BrokenPipeError:
        return _nobody_reads()
    except KeyboardInterrupt:
        complain("stopped; what was not yet whole was not written")
        return 130
    except InternalError as error:
        complain(f"a fault of ours, please report it: {error}")
        return 3
    except StitchpathError as error:
        complain(str(error))
        return 2
    except Exception:  # noqa: BLE001  # 1 must always mean a finding, so nothing may reach Python's own exit
        traceback.print_exc()
        complain("a fault of ours, please report it with the lines above")
        return 3
    return code


def _nobody_reads() -> int:
    """Keep Python from complaining when it flushes at exit."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return 141
