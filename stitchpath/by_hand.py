"""What a frame leaves to be guided by hand: the settings with which the hand sews its part.

The hand's part is a plan of its own over the same drawing. On the frame it has the frame's bands; off it,
everything is in reach. The frame advances the quilt for both, so the hand's part takes no time for that.
"""

from stitchpath.lines import ROLES, UNASKED_ROLES
from stitchpath.settings import MachineSettings, ScheduleSettings, Stage

__all__ = ["hand_machine", "hand_schedule"]

_OF_THREAD = (
    "thread_change_s", "stitch_length", "basting_length", "bobbin_m", "bobbin_change_s", "tail",
    "thread_waste", "needle_thread_per_yard", "bobbin_thread_per_yard",
)  # fmt: skip
"""What belongs to thread and cloth, whoever sews."""

_OF_FRAME = ("reach", "last_reach", "width", "sideways")


def hand_machine(machine: MachineSettings, schedule: ScheduleSettings) -> MachineSettings:
    """Return the settings of whoever sews what a frame leaves to the hand.

    Speeds are a hand's. Ends are secured by small stitches, or by buried tails where the frame's are.

    Parameters
    ----------
    machine
        The frame.
    schedule
        Whether the hand sews on it.

    Examples
    --------
    >>> frame = MachineSettings(reach=400, cuts_thread=True, bobbin_m=70)
    >>> on = hand_machine(frame, ScheduleSettings(by_hand=["ditch"]))
    >>> (on.sewn_by, on.reach, on.bobbin_m, on.ends, on.advance_s)
    ('hand', 400.0, 70.0, 'small stitches', 0.0)
    >>> hand_machine(frame, ScheduleSettings(by_hand=["ditch"], by_hand_when="after the frame")).reach
    """
    names = (*_OF_THREAD, *(_OF_FRAME if schedule.hand_on_frame else ()))
    kept = {name: getattr(machine, name) for name in names}
    secured = machine.secured if machine.secured == "buried tails" else None
    return MachineSettings(sewn_by="hand", secured=secured, advance_s=0.0, **kept)


def hand_schedule(schedule: ScheduleSettings) -> ScheduleSettings:
    """Return the schedule of what is left to the hand: roles in no stage come last, in one of their own.

    Examples
    --------
    >>> [stage.name for stage in hand_schedule(ScheduleSettings()).stages]
    ['baste', 'seams', 'detail']
    >>> fill = ScheduleSettings(stages=[Stage(name="fill", roles=["fill"])], by_hand=["outline"])
    >>> [stage.name for stage in hand_schedule(fill).stages]
    ['fill', 'by hand']
    """
    staged = {role for stage in schedule.stages for role in stage.roles}
    others = tuple(role for role in ROLES if role not in staged | UNASKED_ROLES)
    if not others:
        return schedule
    taken = {stage.name for stage in schedule.stages}
    free = (name for name in ("by hand", *(f"by hand {n}" for n in range(2, 99))) if name not in taken)
    last = Stage(name=next(free), roles=others)
    return schedule.model_copy(update={"stages": (*schedule.stages, last)})
