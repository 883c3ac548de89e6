"""From what was typed to how a plan's files are to be written."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from stitchpath.errors import DesignError
from stitchpath.outputs import OUTPUTS, HowToWrite

if TYPE_CHECKING:
    from argparse import _ArgumentGroup as _Group  # argparse has no public name for it

    from stitchpath.files import MachineTables

__all__ = ["add_outputs", "how_to_write", "machine_tables"]


def _typed(option: str) -> str:
    """Return how argparse calls what an option gives."""
    return option.removeprefix("--").replace("-", "_")


def add_outputs(group: _Group, *, audience: frozenset[str]) -> None:
    """Add an option for each output for some audience that is written only where it is asked for.

    Those that take a value are added where the value is explained.
    """
    for output in OUTPUTS:
        if output.option and output.text and output.audience in audience and not output.takes_value:
            said = f"also write STEM{output.ending}: {output.holds}"
            group.add_argument(output.option, action="store_true", help=said)


def how_to_write(arguments: Namespace) -> HowToWrite:
    """Return how files are to be written.

    Raises
    ------
    DesignError
        If a length is typed of stitches that nobody asked for.
    """
    if arguments.basting_length is not None and arguments.stitch_length is None:
        said = "--basting-length tells the length of stitches that nobody asked for"
        raise DesignError(said, "write --stitch-length too")
    asked = {output.name for output in OUTPUTS if output.option and output.text}
    typed = {output.name: getattr(arguments, _typed(output.option), None) for output in OUTPUTS}
    return HowToWrite(
        also=frozenset(name for name in asked if typed[name]),
        table_unit=arguments.unit or "mm",
        y_up=arguments.y_up,
        origin=arguments.origin.replace("-", " "),
        stitch_length_mm=arguments.stitch_length,
        basting_length_mm=arguments.basting_length,
        paper=arguments.paper,
        foot_radius_mm=arguments.foot_radius,
    )


def machine_tables(how: HowToWrite) -> MachineTables:
    """Return what the manifest says of the tables for a machine."""
    from stitchpath.files import MachineTables
    from stitchpath.lines import BASTING_LENGTH_MM

    thin = "thin" in how.also
    if how.stitch_length_mm is None:
        return MachineTables(thin)
    return MachineTables(thin, how.stitch_length_mm, how.basting_length_mm or BASTING_LENGTH_MM)
