"""What the frame sews and what it leaves to the hand, looked at together: all is sewn, and in order."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import chain

from stitchpath.by_hand import hand_machine, hand_schedule
from stitchpath.check.rules.evidence import Asked, Evidence, look_at
from stitchpath.check.rules.stitching import covered, not_too_often, sewn_once
from stitchpath.check.rules.travel import travel_is_sewn
from stitchpath.errors import Finding
from stitchpath.plan import Plan

__all__ = ["both_hold", "hand_is_asked"]


def both_hold(plan: Plan, asked: Asked) -> Iterator[Finding]:
    """Every line is sewn by the frame or by the hand, once, and neither travels where nobody has sewn yet.

    How often a line may be sewn is one limit for both. They sew in turn, as the schedule says: band by band
    where the hand sews on the frame.

    Parameters
    ----------
    plan
        The frame's, with the hand's in it.
    asked
        What was asked of the frame.

    Examples
    --------
    >>> from stitchpath import Drawing, Line, ScheduleSettings
    >>> drawing = Drawing(lines=(Line([(0, 0), (9, 0)], "ditch", motif="ditch"),))
    >>> asked = Asked(drawing, schedule=ScheduleSettings(by_hand=["ditch"]))
    >>> plan = Plan(drawing, (), (), 0.0, schedule=asked.schedule)
    >>> [found.message for found in both_hold(plan, asked)]
    ['ditch is not sewn over 9.000 mm']
    >>> list(both_hold(Plan(Drawing(lines=()), (), (), 0.0), Asked(Drawing(lines=()))))
    []
    """
    if not asked.left.any() and plan.by_hand is None:
        return
    seen = _together(plan, asked)
    rules = (covered,) if plan.by_hand is None else (covered, sewn_once, not_too_often, travel_is_sewn)
    yield from chain(*(rule(seen) for rule in rules))


def _together(plan: Plan, asked: Asked) -> Evidence:
    """Lay the paths of both beside the lines, in the order in which they are sewn."""
    schedule = asked.schedule
    parts = [(not schedule.hand_first, plan.by_hand), (schedule.hand_first, plan)]
    named = [
        (path.band if schedule.hand_on_frame else 0, second, number, part.path_name(number), path)
        for second, part in parts
        if part is not None
        for number, path in enumerate(part.paths, 1)
    ]
    named.sort(key=lambda each: each[:3])
    paths, names = [each[-1] for each in named], [each[-2] for each in named]
    both = replace(asked, schedule=hand_schedule(schedule), part="both")
    return look_at(paths, both, names=names)


def hand_is_asked(plan: Plan) -> Iterator[Finding]:
    """See that the hand's part has settings that follow from the frame's, and its bands if sewn on it.

    Examples
    --------
    >>> from stitchpath import Drawing, ScheduleSettings
    >>> schedule = ScheduleSettings(by_hand=["ditch"])
    >>> hand = Plan(Drawing(()), (), (), 0.0, of_hand=True)
    >>> plan = Plan(Drawing(()), (), (), 0.0, schedule=schedule, by_hand=hand)
    >>> [found.message for found in hand_is_asked(plan)]
    ["the hand's part states other machine, schedule settings than follow from the frame's"]
    >>> list(hand_is_asked(replace(plan, by_hand=None)))
    []
    """
    hand = plan.by_hand
    if hand is None:
        return
    if not hand.of_hand or hand.by_hand is not None:
        yield Finding("by hand", "what the plan holds as the hand's part is none")
    pairs = {
        "cost": (hand.cost_settings, plan.cost_settings),
        "machine": (hand.machine, hand_machine(plan.machine, plan.schedule)),
        "schedule": (hand.schedule, hand_schedule(plan.schedule)),
        "batting": (hand.batting, plan.batting),
    }
    other = ", ".join(name for name, (stated, wanted) in pairs.items() if stated != wanted)
    if other:
        yield Finding(
            "settings", f"the hand's part states other {other} settings than follow from the frame's"
        )
    if hand.windows != (plan.windows if plan.schedule.hand_on_frame else ()):
        yield Finding("window", "the hand's part does not lie in the bands in which it is to be sewn")
