"""What a shell offers at the Tab key, where argcomplete is installed and turned on."""

import os
from argparse import Action, ArgumentParser
from collections.abc import Iterable, Iterator
from contextlib import suppress
from pathlib import Path

__all__ = ["complete", "offers"]

_ENDINGS: dict[str, tuple[str, ...]] = {
    "DESIGN": (".toml",),
    "PLAN": (".toml", ".json"),
    "DIR": (),
    "FILE": ("",),
}
"""Of what files an argument is, by how help calls it; folders lead to files and are offered for all."""


def complete(parser: ArgumentParser) -> None:
    """Answer a shell that asks what can be typed next, and end; return at once where none asks."""
    if "_ARGCOMPLETE" not in os.environ:
        return
    with suppress(ImportError):
        import argcomplete

        argcomplete.autocomplete(parser, always_complete_options=False, default_completer=offers)  # type: ignore[arg-type]


def offers(*, prefix: str, action: Action, **_: object) -> Iterable[str]:
    """Return what may stand for an argument that has no fixed choices.

    Parameters
    ----------
    prefix
        What is typed of it so far.
    action
        The argument.

    Examples
    --------
    >>> list(offers(prefix="all ", action=Action((), "wish", metavar="NAME")))
    ['all stages in one']
    >>> list(offers(prefix="", action=Action((), "seed", metavar="N")))
    []
    """
    if action.dest == "wish":
        return _wishes(prefix)
    if action.metavar in _ENDINGS:
        return _files(prefix, _ENDINGS[str(action.metavar)])
    return ()


def _wishes(prefix: str) -> list[str]:
    from stitchpath.compare.wishes import WISHES

    return [name for name in (*(wish.name for wish in WISHES), "all") if name.startswith(prefix)]


def _files(prefix: str, endings: tuple[str, ...]) -> Iterator[str]:
    """Yield folders and files that begin so, and end in one of some ways; hidden ones if asked for."""
    folder, slash, begun = prefix.rpartition("/")
    with suppress(OSError, RuntimeError):  # no such folder, no such home
        for found in sorted(Path(f"{folder}{slash}" or ".").expanduser().iterdir()):
            name = found.name
            if not name.startswith(begun) or (name.startswith(".") and not begun):
                continue
            if found.is_dir():
                yield f"{folder}{slash}{name}/"
            elif name.endswith(endings):
                yield f"{folder}{slash}{name}"
