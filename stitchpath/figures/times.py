"""How long sewing takes at a machine's speeds, and what that assumes."""

from collections.abc import Iterator
from dataclasses import dataclass

from stitchpath.settings import MachineSettings

__all__ = ["Times", "times_of"]


@dataclass(frozen=True, slots=True)
class Times:
    """How long sewing takes at a machine's speeds, in seconds, and on which assumptions.

    Attributes
    ----------
    sewing_s, travel_s, lifts_s, ends_s
        Needle down for the first time, needle down over what is there, needle up, tie-offs and thread cuts.
    thread_changes_s, advances_s
        Changing the thread between paths, and advancing the quilt between bands.
    assumptions
        One sentence each.
    """

    sewing_s: float
    travel_s: float
    lifts_s: float
    ends_s: float
    thread_changes_s: float
    advances_s: float
    assumptions: tuple[str, ...]

    @property
    def total_s(self) -> float:
        """All of it together."""
        needle_s = self.sewing_s + self.travel_s + self.lifts_s + self.ends_s
        return needle_s + self.thread_changes_s + self.advances_s


def times_of(
    machine: MachineSettings,
    *,
    sewn_mm: float,
    travel_mm: float,
    lifts_mm: float,
    paths: int,
    thread_changes: int = 0,
    advances: int | None = None,
) -> Times:
    """Return the time that lengths and paths take on a machine, and what that assumes.

    Parameters
    ----------
    machine
        Its speeds, and what a path's ends, a change of thread and an advance take.
    sewn_mm, travel_mm, lifts_mm
        Lengths.
    paths, thread_changes
        How many; the first threading is no change.
    advances
        How often the quilt is advanced; None: not known, so not counted.

    Examples
    --------
    >>> times_of(MachineSettings(), sewn_mm=500, travel_mm=50, lifts_mm=300, paths=2).total_s
    133.0
    >>> times_of(MachineSettings(), sewn_mm=0, travel_mm=0, lifts_mm=0, paths=0).total_s
    0.0
    """
    return Times(
        sewing_s=sewn_mm / machine.sewing_speed_mm_s,
        travel_s=travel_mm / machine.sewing_speed_mm_s,
        lifts_s=lifts_mm / machine.lift_speed_mm_s,
        ends_s=paths * machine.path_cost_s,
        thread_changes_s=thread_changes * machine.thread_change_s,
        advances_s=(advances or 0) * machine.advance_s,
        assumptions=tuple(_assumptions(machine, thread_changes, advances)),
    )


def _assumptions(machine: MachineSettings, thread_changes: int, advances: int | None) -> Iterator[str]:
    yield f"needle down at {machine.sewing_speed_mm_s:g} mm/s, needle up at {machine.lift_speed_mm_s:g} mm/s"
    how = machine.ends if machine.ends == "by the machine" else f"with {machine.ends}"
    held = ", which the files hold," if machine.secures_in_files else ""
    ends = f"{machine.path_cost_s:g} s for a path's two tie-offs and the thread cut"
    yield f"ends secured {how}{held} at {ends}"
    if thread_changes:
        yield f"{machine.thread_change_s:g} s for each change of thread, the first threading not counted"
    if advances:
        yield f"{machine.advance_s:g} s for each advance of the quilt"
    advancing = "advancing the quilt, " if advances is None else ""
    yield f"slowing down in corners, {advancing}bobbins and breaks not counted"
