"""Warns of a plan for a frame whose reach is not known: it may hold lines that the machine cannot get to."""

from stitchpath.settings import MachineSettings
from stitchpath.words import WARNING

__all__ = ["reach_warning"]


def reach_warning(machine: MachineSettings) -> tuple[str, ...]:
    """Return a sentence if a frame's reach is not known; otherwise nothing.

    Examples
    --------
    >>> reach_warning(MachineSettings())[0].split(", ")[0]
    'WARNING: the design does not say how deep the frame reaches'
    >>> reach_warning(MachineSettings(reach="18 in")), reach_warning(MachineSettings(sewn_by="hand"))
    ((), ())
    """
    if machine.sewn_by == "hand" or machine.reach is not None:
        return ()
    said = (
        f"{WARNING}the design does not say how deep the frame reaches, so the whole top is planned as if it "
        "reached all of it at once; under [machine] write reach, the usable depth with the roller full: "
        "inches less than the throat"
    )
    return (said,)
