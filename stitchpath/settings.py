"""Settings of cost, machine, schedule and effort: frozen, with the trade's usual values as defaults."""

from collections.abc import Mapping
from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, Field, model_validator

from stitchpath.frozen import Frozen
from stitchpath.limits import MOST_ACROSS_MM, MOST_NAMED
from stitchpath.lines import BASTING_LENGTH_MM, ROLES, UNASKED_ROLES, Block, Line, Role, RoleRule, motif_name
from stitchpath.sewing_order import (
    DEFAULT_STAGES,
    NAME_PATTERN,
    BlockGroup,
    BlockNames,
    Groups,
    RoleName,
    Stage,
    Turn,
    or_named,
    staged,
)
from stitchpath.units import MM_PER_INCH, MM_PER_YARD, LengthIn, length_field

__all__ = [
    "NAME_PATTERN",
    "BattingSettings",
    "BlockGroup",
    "CostSettings",
    "Effort",
    "Frozen",
    "HandWhen",
    "MachineSettings",
    "RoleChange",
    "ScheduleSettings",
    "Stage",
]

Effort = Literal["quick", "standard", "proof"]
HandWhen = Literal["before each band", "after each band", "before the frame", "after the frame"]

_AFTER_THE_FRAME = frozenset({Role.FILL, Role.ECHO, Role.DRAWN})
"""Seams and basting hold the layers, and fill stops at outlines and strips: those the hand sews first, by
default. Common practice, no source."""


_FRAME_MM_S, _HAND_MM_S = 50.0, 25.0
"""A frame's speed, needle down, and a hand's: 15 to 20 mm/s along rulers, 25 to 40 freehand; common practice,
no source. By hand one speed serves both, to keep costs simple: chosen, the slower end of freehand."""

_BACK_SHOWS = 5
"""What travel counts at least on a contrasting backing: as over an outline; common practice, no source."""

_OTHER_THREAD_SHOWS = 5.0
"""How much more travel shows in another thread than the line's: as much as from a seam to a strip or an
outline, by the table of roles. Common practice, no source."""


class RoleChange(Frozen):
    """What to change in the table of roles (`stitchpath.lines.ROLES`) for one role."""

    shows: float | None = Field(None, ge=0.001, le=1000, description="how much travel over it counts")
    most_times: int | None = Field(None, ge=1, le=9, description="the most times it may be sewn")
    end_shows: float | None = Field(None, ge=0.001, le=1000, description="how much an end on it counts")
    builds_up: float | None = Field(
        None, ge=0, le=100, description="by how many times shows each time after the second counts more"
    )


class CostSettings(Frozen):
    """What a plan's cost is made of; it weighs what shows, so it is not a time."""

    path_cost_s: float | None = Field(
        None, ge=1e-9, le=1e5, description="what a path's two ends cost, in seconds; by default the machine's"
    )
    roles: dict[RoleName, RoleChange] = Field(
        default_factory=dict, description="changes to the table of roles"
    )
    leaving_block_s: float = Field(
        2.0, ge=0, le=1e5, description="what leaving a block for the one beside it costs, in seconds"
    )
    open_ends: bool = Field(
        True, description="whether paths may end in open cloth; if not, they end in seams wherever they can"
    )
    hidden_seams: bool = Field(
        True, description="seams that nobody stitches may be sewn unseen; false where they are pressed open"
    )
    open_travel: Annotated[float, LengthIn(0, 100, "a step over open cloth")] = length_field(
        "1/2 in",
        description="how far the needle may step over open cloth, from one ring of an echo or of nested "
        "ovals to the next; 0: it never does",
    )
    backing: Literal["matching", "contrasting"] = Field(
        "matching", description="whether travel shows on the quilt's back, in seams too"
    )
    other_thread_shows: float = Field(
        _OTHER_THREAD_SHOWS,
        ge=1,
        le=100,
        description="how many times as much travel shows over a line sewn in another thread; 1: no more",
    )

    def rules(self) -> Mapping[Role, RoleRule]:
        """Return the table of roles with these changes made."""
        return {role: self._rule(role, rule) for role, rule in ROLES.items()}

    def _rule(self, role: Role, rule: RoleRule) -> RoleRule:
        change = self.roles.get(role, RoleChange())
        shows = max(change.shows or rule.shows, _BACK_SHOWS if self.backing == "contrasting" else 0)
        most_times, end_shows = change.most_times or rule.most_times, change.end_shows or rule.end_shows
        builds_up = rule.builds_up if change.builds_up is None else change.builds_up
        return RoleRule(rule.stage, shows, most_times, end_shows, builds_up)


_LEAST_REACH_MM = 25.0
"""An inch. No frame reaches less, and a cut line alone is taken up again a quarter of it back; no source."""

_Reach = Annotated[float, LengthIn(_LEAST_REACH_MM, MOST_ACROSS_MM, "a frame's reach")]
_ThreadPerYard = Annotated[
    float, LengthIn(MM_PER_YARD, MOST_ACROSS_MM, "a yard sewn, which takes a yard of thread at least")
]


class MachineSettings(Frozen):
    """Who sews. The defaults are common practice, no source; the machine's manual goes first."""

    sewn_by: Literal["frame", "hand"] = Field("frame", description="a computer-guided frame, or by hand")
    cuts_thread: bool = Field(False, description="the frame cuts its thread by itself")
    secured: Literal["by the machine", "small stitches", "buried tails"] | None = Field(
        None,
        description="how ends are secured; by default by the machine on a frame, small stitches by hand. "
        "On a frame the files hold the small stitches",
    )
    sewing_speed_mm_s: float | None = Field(
        None, ge=0.1, le=1e4, description="needle down, mm a second; by default 50 on a frame, 25 by hand"
    )
    lift_speed_mm_s: float = Field(150.0, ge=0.1, le=1e4, description="needle up, mm a second")
    reach: _Reach | None = Field(
        None,
        description="from top to bottom of what the frame reaches at once, also where its head is guided by "
        "hand: the usable depth (with the roller full, unless last_reach tells that), inches less than the "
        "throat; by default the whole top",
    )
    last_reach: _Reach | None = Field(
        None, description="the reach at the bottom of the top, less where the take-up roll has grown"
    )
    width: Annotated[float, LengthIn(_LEAST_REACH_MM, MOST_ACROSS_MM, "a frame's width")] | None = Field(
        None, description="how wide a top the frame can take"
    )
    sideways: bool = Field(False, description="the top lies on the frame with its left side uppermost")
    advance_s: float = Field(180.0, ge=0, le=1e5, description="what advancing the quilt takes")
    thread_change_s: float = Field(90.0, ge=0, le=1e5, description="what changing the thread takes")
    acceleration_mm_s2: float = Field(
        500.0, ge=1, le=1e6, description="how fast it gains and loses speed, mm/s each second"
    )
    corner_rounding: Annotated[float, LengthIn(0.001, 100, "the rounding of corners")] = length_field(
        "0.1 mm",
        description="how far from a corner's point the needle may round it; for the time only",
    )
    stitches_a_minute: float = Field(
        1500.0, ge=1, le=1e5, description="the most; with the stitch length it limits the speed, needle down"
    )
    stitch_length: Annotated[float, LengthIn(0.1, 100, "a stitch")] = length_field(
        "1/10 in", description="for time and thread; the files hold lines"
    )
    basting_length: Annotated[float, LengthIn(0.1, 500, "a stitch of basting")] = length_field(
        BASTING_LENGTH_MM, description="the stitch length of basting"
    )
    bobbin_m: float = Field(100.0, ge=0.01, le=1e5, description="how much thread a bobbin holds, in metres")
    bobbin_change_s: float = Field(60.0, ge=0, le=1e5, description="what putting in a bobbin takes")
    tail: Annotated[float, LengthIn(0, 10_000, "a tail of thread")] = length_field(
        "3 in", description="the thread left at each end of a path, above and below"
    )
    thread_waste: float = Field(
        0.1, ge=0, le=0.9, description="the share of a spool or bobbin that ends up in no seam or tail"
    )
    needle_thread_per_yard: _ThreadPerYard | None = Field(
        None, description="measured: the needle's thread in one yard sewn; by default by the thickness"
    )
    bobbin_thread_per_yard: _ThreadPerYard | None = Field(
        None, description="measured: the bobbin's thread in one yard sewn; write both or neither"
    )

    @model_validator(mode="after")
    def _reaches(self) -> Self:
        if self.last_reach is not None and (self.reach is None or self.last_reach > self.reach):
            said = "without a reach" if self.reach is None else f"above the reach of {self.reach:g} mm"
            raise ValueError(
                f"last_reach is {self.last_reach:g} mm, {said}; the take-up roll takes room away, so write "
                "both, and last_reach as the smaller one"
            )
        return self

    @model_validator(mode="after")
    def _measured(self) -> Self:
        measured = self.needle_thread_per_yard, self.bobbin_thread_per_yard
        if (measured[0] is None) != (measured[1] is None):
            raise ValueError(
                "only one of needle_thread_per_yard and bobbin_thread_per_yard is given; measure both"
            )
        return self

    @property
    def ends(self) -> str:
        """How ends are secured."""
        return self.secured or ("by the machine" if self.sewn_by == "frame" else "small stitches")

    @property
    def speed_mm_s(self) -> float:
        """How fast it sews at most, needle down."""
        return self.sewing_speed_mm_s or (_FRAME_MM_S if self.sewn_by == "frame" else _HAND_MM_S)

    @property
    def secures_in_files(self) -> bool:
        """Whether the files hold the small stitches that secure an end."""
        return self.sewn_by == "frame" and self.ends == "small stitches"

    @property
    def path_cost_s(self) -> float:
        """What a path's two ends cost, in seconds."""
        if self.ends == "buried tails":
            return 150.0
        return 25.0 if self.sewn_by == "frame" and self.cuts_thread else 60.0

    @property
    def clearance_mm(self) -> float:
        """How far an outline keeps from an appliqué's edge by default: 1/16 in by hand, 1/8 on a frame."""
        return MM_PER_INCH / 16 if self.sewn_by == "hand" else MM_PER_INCH / 8


class BattingSettings(Frozen):
    """What lies between top and backing."""

    thickness: Annotated[float, LengthIn(0.01, 100, "the layers' thickness")] = length_field(
        "0.07 in",
        description="of all layers together, pressed as they are sewn: 0.06 to 0.08 in, no source",
    )
    gap: Annotated[float, LengthIn(1, MOST_ACROSS_MM, "a gap in the quilting")] | None = Field(
        None, description="how far apart quilting may lie, such as 4 in; by default there is no limit"
    )


_ThreadNames = Annotated[tuple[str, ...], Field(max_length=MOST_NAMED)]


class ScheduleSettings(Frozen):
    """In which order things are sewn; what is not set here is chosen for the least cost."""

    stages: Annotated[tuple[Stage, ...], BeforeValidator(staged)] = Field(
        DEFAULT_STAGES,
        min_length=1,
        max_length=len(ROLES),
        description='"default" (baste, seams, detail), "all in one", or a list of stages with their roles',
        json_schema_extra=or_named,
    )
    laps: Literal["free", "always"] = Field(
        "always",
        description='closed outlines in one unbroken round "always", or where it is free; "free" trades '
        "exceptions from outlines before fill for fewer tie-offs",
    )
    groups: Literal["none", "rows", "blocks"] | Groups | None = Field(
        None,
        description='blocks that are finished together: "none", "rows", "blocks" or a list; by default '
        "rows on a frame, blocks by hand",
    )
    order: Literal["left to right", "snake", "from the middle", "free"] | None = Field(
        None,
        description="the order of groups; by default snake on a frame, from the middle by hand at a table, "
        "with borders last",
    )
    first_blocks: BlockNames = Field(
        (),
        description='blocks sewn before all others, by name such as "row 1, column 2" or by kind; in each '
        'band and stage, or in all stages where finish is "group by group"',
    )
    last_blocks: BlockNames = Field((), description="blocks sewn after all others, in the same way")
    finish: Literal["stage by stage", "group by group"] = Field(
        "stage by stage",
        description="whether each group goes through all stages before the next one is started",
    )
    bands: Literal["cheapest", "fewest"] = Field(
        "cheapest", description="how a frame's bands are chosen: at the least cost, or with fewest advances"
    )
    cuts: Literal["anywhere", "in seams", "none"] = Field(
        "anywhere", description="where a line that is taller than the reach may be cut"
    )
    bobbins_end: Literal["anywhere", "in seams"] | None = Field(
        None,
        description='where a bobbin may run out; with "in seams" paths end in a seam before it does; by '
        "default in seams by hand, wherever a path comes to one, and anywhere on a frame",
    )
    threads: tuple[str, ...] = Field(
        (),
        max_length=MOST_NAMED,
        description="the order of threads within a stage; others follow with as few changes as possible",
    )
    matching_threads: tuple[Annotated[_ThreadNames, Field(min_length=2)], ...] = Field(
        (),
        max_length=MOST_NAMED,
        description="lists of threads that match: they may travel over each other's lines as over their own",
    )
    kept_clear: Literal["none", "all"] | _ThreadNames = Field(
        "none",
        description="threads over whose lines no other thread may travel, unless it matches: "
        '"none", "all" or a list of names',
    )
    by_hand: tuple[str, ...] = Field(
        (),
        max_length=MOST_NAMED,
        description="roles, or motifs by name, that a frame leaves to be guided by hand",
    )
    by_hand_when: HandWhen | None = Field(
        None,
        description="when the hand sews what is left to it: on the frame, before or after the frame's own "
        "sewing of each band; or off it, before or after all of that. By default before each band, or after "
        "each where only fill, echo or drawn lines are left",
    )
    travel_by_hand: bool | None = Field(
        None,
        description="the frame may travel along what the hand sews; by default where the hand comes first",
    )

    @model_validator(mode="after")
    def _each_once(self) -> Self:
        names = [stage.name for stage in self.stages]
        roles = [str(role) for stage in self.stages for role in stage.roles]
        for word, said in (("stage", names), ("role", roles)):
            twice = next((x for x in said if said.count(x) > 1), None)
            if twice is not None:
                raise ValueError(f'the {word} "{twice}" stands twice; name each {word} once')
        unasked = next((r for r in roles if r in UNASKED_ROLES), None)
        if unasked is not None:
            raise ValueError(f'"{unasked}" is no line that anybody asks for; leave it out of the stages')
        return self

    def matched(self, thread: str) -> str:
        """Return the name that stands for a thread and all that match it."""
        return next((names[0] for names in self.matching_threads if thread in names), thread)

    def keeps_clear(self, thread: str) -> bool:
        """Tell whether no other thread may travel over a thread's lines, unless it matches."""
        return self.kept_clear == "all" or (self.kept_clear != "none" and thread in self.kept_clear)

    def leaves_to_hand(self, line: Line, machine: MachineSettings) -> bool:
        """Tell whether a frame leaves a line to be guided by hand."""
        return machine.sewn_by == "frame" and self.names_for_hand(line)

    def names_for_hand(self, line: Line) -> bool:
        """Tell whether a line's role or motif is among those left to the hand."""
        return line.role in self.by_hand or motif_name(line.motif) in self.by_hand

    def bobbins_for(self, machine: MachineSettings) -> Literal["anywhere", "in seams"]:
        """Return where bobbins may run out on this machine."""
        return self.bobbins_end or ("in seams" if machine.sewn_by == "hand" else "anywhere")

    @property
    def hand_when(self) -> HandWhen:
        """When the hand sews what is left to it."""
        late = all(name in _AFTER_THE_FRAME for name in self.by_hand)
        return self.by_hand_when or ("after each band" if self.by_hand and late else "before each band")

    @property
    def hand_first(self) -> bool:
        """Whether the hand sews before the frame does."""
        return self.hand_when in {"before each band", "before the frame"}

    @property
    def hand_on_frame(self) -> bool:
        """Whether the hand sews on the frame, band by band."""
        return self.hand_when in {"before each band", "after each band"}

    @property
    def travels_by_hand(self) -> bool:
        """Whether the frame may travel along what the hand sews."""
        return self.hand_first if self.travel_by_hand is None else self.travel_by_hand

    def turn(self, block: Block) -> Turn:
        """Return when a block is sewn."""
        if block.name in self.first_blocks or block.kind in self.first_blocks:
            return Turn.FIRST
        last = block.name in self.last_blocks or block.kind in self.last_blocks
        return Turn.LAST if last else Turn.OTHER

    def groups_for(self, machine: MachineSettings) -> str | tuple[BlockGroup, ...]:
        """Return how blocks are grouped on this machine."""
        return self.groups or ("blocks" if machine.sewn_by == "hand" else "rows")

    def order_for(self, machine: MachineSettings) -> str:
        """Return the order of groups on this machine."""
        at_table = machine.sewn_by == "hand" and machine.reach is None
        return self.order or ("from the middle" if at_table else "snake")

    def from_the_middle(self, machine: MachineSettings) -> bool:
        """Tell whether blocks come from the middle outwards, borders last, since nothing else is asked."""
        at_table = machine.sewn_by == "hand" and machine.reach is None
        return at_table and self.order is None and self.groups in {None, "rows", "blocks"}
