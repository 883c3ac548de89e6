"""Runs one command to its exit code, whatever goes wrong."""

import os
import signal
import sys
import threading
import traceback
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from importlib import import_module
from typing import NoReturn, TextIO

from stitchpath.cli.arguments import parser
from stitchpath.cli.completion import complete
from stitchpath.cli.say import complain, flush
from stitchpath.errors import InternalError, StitchpathError

__all__ = ["run"]


def run(argv: Sequence[str] | None, begins: Callable[[], None]) -> int:
    """Run one command; see `stitchpath.cli.main`.

    Parameters
    ----------
    argv
        What stands after the program's name; None: the process's own.
    begins
        Called when all is imported and the work begins.
    """
    _take_closed_handles()
    try:
        with _ended_in_order():
            return _run(argv, begins)
    except BrokenPipeError:
        return 141
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
        with suppress(OSError):
            traceback.print_exc()
        complain("a fault of ours, please report it with the lines above")
        return 3
    finally:
        _let_go(sys.stdout)
        _let_go(sys.stderr)


def _run(argv: Sequence[str] | None, begins: Callable[[], None]) -> int:
    typed = parser()
    complete(typed)
    try:
        arguments = typed.parse_args(argv)
        for name in arguments.needs:
            import_module(name)
        begins()
        with _named_files_explained():
            code = int(arguments.run(arguments))
    except SystemExit:  # help is a text, too
        flush()
        raise
    flush()
    return code


@contextmanager
def _named_files_explained() -> Iterator[None]:
    """Turn what the system says of a file that was named, wherever it says it, into a sentence."""
    try:
        yield
    except StitchpathError:
        raise
    except OSError as error:
        if not isinstance(error.filename, str | bytes):
            raise
        from stitchpath.files import explained

        with explained(os.fsdecode(error.filename), "used"):
            raise error from None


@contextmanager
def _ended_in_order() -> Iterator[None]:
    """Let the system's wish to end the program unwind it, so that no half-written file is left."""
    names = ("SIGTERM", "SIGHUP")
    ending = [getattr(signal, name) for name in names if hasattr(signal, name)]
    if threading.current_thread() is not threading.main_thread():
        ending = []
    heard = [number for number in ending if signal.getsignal(number) is signal.SIG_DFL]

    def end(number: int, _: object) -> NoReturn:
        for each in heard:
            signal.signal(each, signal.SIG_IGN)
        raise SystemExit(128 + number)

    for number in heard:
        signal.signal(number, end)
    try:
        yield
    finally:
        for number in heard:
            signal.signal(number, signal.SIG_DFL)


def _take_closed_handles() -> None:
    """See that no file of ours gets the handle of a closed stream, into which a library may print."""
    if None in (sys.stdin, sys.stdout, sys.stderr):
        while os.open(os.devnull, os.O_RDWR) <= 2:  # standard error
            pass


def _let_go(stream: TextIO | None) -> None:
    """Keep Python from complaining when it flushes at exit what cannot be written."""
    try:
        if stream is not None:
            stream.flush()
    except (OSError, ValueError):
        with suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())  # type: ignore[union-attr]
