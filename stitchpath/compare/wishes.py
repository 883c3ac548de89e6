"""Wishes: changes of settings that have a name, to ask what each would cost."""

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import NamedTuple, TypeVar

from pydantic import ValidationError

from stitchpath.design import Design
from stitchpath.design.faults import shown
from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError, all_of, refuse_other
from stitchpath.settings import CostSettings, Frozen, MachineSettings, ScheduleSettings

__all__ = ["WISHES", "Settings", "Wish", "settings_of", "wish_named", "wished_settings"]

F = TypeVar("F", bound=Frozen)


class Settings(NamedTuple):
    """What a plan is made with."""

    cost: CostSettings
    machine: MachineSettings
    schedule: ScheduleSettings

    def as_meant(self) -> "Settings":
        """Return settings that are equal where they come to the same: what was left out is filled in."""
        cost, machine, schedule = self
        machine = machine.model_copy(update={"sewing_speed_mm_s": machine.speed_mm_s})
        meant = {
            "groups": schedule.groups_for(machine),
            "order": schedule.order_for(machine),
            "bobbins_end": schedule.bobbins_for(machine),
            **({} if machine.reach is not None else {"bands": "cheapest", "cuts": "anywhere"}),
        }
        return Settings(cost, machine, schedule.model_copy(update=meant))


@dataclass(frozen=True, slots=True)
class Wish:
    """A named change of settings.

    Attributes
    ----------
    name
        What one wishes, in a few words.
    changes
        Pairs of a key, as in a design file, and its other value: ``("schedule.groups", "rows")``. The keys
        begin with ``cost``, ``machine`` or ``schedule``.
    """

    name: str
    changes: tuple[tuple[str, object], ...]


_BY_BLOCKS = ("schedule.groups", "blocks")
_BY_ROWS = ("schedule.groups", "rows")
_WHOLE_GROUPS = ("schedule.finish", "group by group")

WISHES: tuple[Wish, ...] = (
    Wish("no ends in the open", (("cost.open_ends", False),)),
    Wish("blocks finished in turn", (_BY_BLOCKS, _WHOLE_GROUPS)),
    Wish("rows finished in turn", (_BY_ROWS, _WHOLE_GROUPS)),
    Wish("no groups of blocks", (("schedule.groups", "none"), ("schedule.finish", "stage by stage"))),
    Wish("all stages in one", (("schedule.stages", "all in one"),)),
    Wish("outlines in several parts", (("schedule.laps", "free"),)),
    Wish("hidden seams not used", (("cost.hidden_seams", False),)),
    Wish("backing that contrasts", (("cost.backing", "contrasting"),)),
    Wish("fewest advances", (("schedule.bands", "fewest"),)),
    Wish("lines cut in seams only", (("schedule.cuts", "in seams"),)),
)
"""The wishes that have a name of their own."""


def wish_named(name: str) -> Wish:
    """Return a wish of the table by its name.

    Raises
    ------
    DesignError
        If there is no such wish; the message names the nearest, or all.

    Examples
    --------
    >>> wish_named("no ends in the open").changes
    (('cost.open_ends', False),)
    >>> wish_named("fewest advance")
    Traceback (most recent call last):
    stitchpath.errors.DesignError: there is no wish "fewest advance"; write "fewest advances"
    """
    refuse_other("name", name, str, "name of a wish", f"write one such as {shown(WISHES[0].name)}")
    names = {wish.name: wish for wish in WISHES}
    if name in names:
        return names[name]
    near = get_close_matches(name, names, n=1) or list(names)
    said = ", ".join(f'"{one}"' for one in near)
    raise DesignError(f"there is no wish {shown(name)}", f"write {'' if len(near) == 1 else 'one of '}{said}")


def settings_of(design: Design | Drawing) -> Settings:
    """Return a design's own settings; a drawing's are the defaults.

    Examples
    --------
    >>> settings_of(Drawing(())).cost.open_ends
    True
    """
    refuse_other("design", design, (Design, Drawing), "design", "give a Design or a Drawing")
    if isinstance(design, Drawing):
        return Settings(CostSettings(), MachineSettings(), ScheduleSettings())
    return Settings(design.cost, design.machine, design.schedule)


def wished_settings(asked: Settings, wish: Wish) -> Settings:
    """Return settings with a wish's changes made.

    Raises
    ------
    DesignError
        If a key does not exist, or a value is not allowed.

    Examples
    --------
    >>> wished_settings(settings_of(Drawing(())), wish_named("no ends in the open")).cost.open_ends
    False
    """
    changes: dict[str, dict[str, object]] = {part: {} for part in Settings._fields}
    refuse_other("wish", wish, Wish, "wish", "give a Wish, such as wish_named returns")
    pairs = 'give pairs such as ("schedule.groups", "rows")'
    for place, pair in enumerate(all_of("changes", wish.changes, tuple, "change", pairs)):
        if len(pair) != 2 or not isinstance(pair[0], str):
            raise DesignError(f"{pair!r:.40} is no change", pairs, key=f"changes[{place}]")
        key, value = pair
        part, _, name = key.partition(".")
        if part not in changes or name not in type(getattr(asked, part)).model_fields:
            known = "cost, machine or schedule, a dot, and a setting's name"
            raise DesignError(f"the wish {shown(wish.name)} changes no setting", f"write {known}", key=key)
        changes[part][name] = value
    return Settings(
        _changed(asked.cost, "cost", changes["cost"], wish),
        _changed(asked.machine, "machine", changes["machine"], wish),
        _changed(asked.schedule, "schedule", changes["schedule"], wish),
    )


def _changed(asked: F, part: str, changes: Mapping[str, object], wish: Wish) -> F:
    if not changes:
        return asked
    try:
        return type(asked)(**{**dict(asked), **changes})
    except ValidationError as error:
        first = error.errors(include_url=False, include_context=False)[0]
        key = ".".join([part, *map(str, first["loc"])])
        said = f"the wish {shown(wish.name)} cannot be had: {first['msg']}"
        raise DesignError(said, "give another value", key=key) from None
