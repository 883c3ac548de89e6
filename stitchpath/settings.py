"""Cost, machine, schedule, effort: frozen, with the defaults of the trade."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal, Self

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, Strict, model_validator
from pydantic_core import PydanticCustomError

from stitchpath.lines import HIDDEN_ROLES, ROLES, Role, RoleRule

__all__ = [
    "CostSettings",
    "Effort",
    "Frozen",
    "MachineSettings",
    "RoleChange",
    "ScheduleSettings",
    "Stage",
]

Effort = Literal["quick", "standard", "proof"]


class Frozen(BaseModel):
    """Base of everything that a design file can say: frozen, nothing unknown, nothing infinite."""

    model_config = ConfigDict(
        extra="forbid", frozen=True, allow_inf_nan=False, validate_default=True, strict=True
    )

    @model_validator(mode="before")
    @classmethod
    def _all_known(cls, data: Any) -> Any:
        """Say which keys there are, for whoever names the nearest; take lists, strict as the rest is."""
        unknown = [key for key in data if key not in cls.model_fields] if isinstance(data, dict) else []
        if unknown:
            told = {"key": str(unknown[0]), "known": tuple(cls.model_fields)}
            raise PydanticCustomError("unknown_key", 'there is no key "{key}" here', told)
        if not isinstance(data, dict):
            return data
        return {key: tuple(value) if isinstance(value, list) else value for key, value in data.items()}


_RoleName = Annotated[Role, Strict(strict=False)]


class RoleChange(Frozen):
    """What to change in the table of roles (`stitchpath.lines.ROLES`) for one role."""

    shows: float | None = Field(None, gt=0, le=1000, description="how much travel over it counts")
    most_times: int | None = Field(None, ge=1, le=9, description="the most times it may be sewn")
    end_shows: float | None = Field(None, gt=0, le=1000, description="how much an end on it counts")


class CostSettings(Frozen):
    """What a plan's cost is made of; it weighs what shows, so it is not a time."""

    path_cost_s: float | None = Field(
        None, gt=0, le=1e5, description="what a path's two ends cost, in seconds; left out: the machine's"
    )
    roles: dict[_RoleName, RoleChange] = Field(
        default_factory=dict, description="changes to the table of roles"
    )

    def rules(self) -> Mapping[Role, RoleRule]:
        """Return the table of roles with these changes made."""
        return {role: self._rule(role, rule) for role, rule in ROLES.items()}

    def _rule(self, role: Role, rule: RoleRule) -> RoleRule:
        change = self.roles.get(role, RoleChange())
        return RoleRule(
            rule.stage,
            change.shows or rule.shows,
            change.most_times or rule.most_times,
            change.end_shows or rule.end_shows,
        )


class MachineSettings(Frozen):
    """Who sews. Path costs and clearances are common practice, no source; the machine's manual goes first."""

    sewn_by: Literal["frame", "hand"] = Field("frame", description="a computer-guided frame, or by hand")
    cuts_thread: bool = Field(False, description="the frame cuts its thread by itself")
    tails: Literal["small stitches", "buried"] = Field(
        "small stitches", description="how an end is secured by hand"
    )
    sewing_speed_mm_s: float = Field(50.0, gt=0, le=1e4, description="needle down, mm a second")
    lift_speed_mm_s: float = Field(150.0, gt=0, le=1e4, description="needle up, mm a second")

    @property
    def path_cost_s(self) -> float:
        """What a path's two ends cost, in seconds."""
        if self.sewn_by == "frame":
            return 25.0 if self.cuts_thread else 60.0
        return 150.0 if self.tails == "buried" else 60.0

    @property
    def clearance_mm(self) -> float:
        """How far an outline keeps from an appliqué's edge by default: 1/16 in by hand, 1/8 on a frame."""
        return 25.4 / 16 if self.sewn_by == "hand" else 25.4 / 8


class Stage(Frozen):
    """Lines, by their roles, that are finished before the next stage starts."""

    name: str = Field(min_length=1, max_length=40, pattern=r"^[A-Za-z0-9][A-Za-z0-9 _-]*$")
    roles: tuple[_RoleName, ...] = Field(min_length=1)


_DEFAULT_STAGES = tuple(
    Stage(name=name, roles=tuple(r for r in ROLES if ROLES[r].stage == name and r not in HIDDEN_ROLES))
    for name in ("baste", "seams", "detail")
)
_ONE_STAGE = (Stage(name="all", roles=tuple(r for r in ROLES if r not in HIDDEN_ROLES)),)


def _stages(value: Any) -> Any:
    if value == "default":
        return _DEFAULT_STAGES
    if value == "all in one":
        return _ONE_STAGE
    return value


def _or_named(schema: dict[str, Any]) -> None:
    listed = {key: schema.pop(key) for key in ("type", "items", "minItems") if key in schema}
    schema["anyOf"] = [{"enum": ["default", "all in one"]}, listed]
    schema["default"] = "default"


class ScheduleSettings(Frozen):
    """In which order things are sewn, as far as it is not free."""

    stages: Annotated[tuple[Stage, ...], BeforeValidator(_stages)] = Field(
        _DEFAULT_STAGES,
        min_length=1,
        description='"default" (baste, seams, detail), "all in one", or a list of stages with their roles',
        json_schema_extra=_or_named,
    )
    laps: Literal["free", "always"] | None = Field(
        None,
        description="closed outlines in one unbroken round: where it costs nothing, or always; left out: "
        "always by hand, where free on a frame",
    )

    @model_validator(mode="after")
    def _each_once(self) -> Self:
        names = [stage.name for stage in self.stages]
        roles = [str(role) for stage in self.stages for role in stage.roles]
        for word, said in (("stage", names), ("role", roles)):
            twice = next((x for x in said if said.count(x) > 1), None)
            if twice is not None:
                raise ValueError(f'the {word} "{twice}" stands twice; name each {word} once')
        hidden = next((r for r in roles if r in HIDDEN_ROLES), None)
        if hidden is not None:
            raise ValueError(f'"{hidden}" is nobody\'s asked line; leave it out of the stages')
        return self

    def laps_for(self, machine: MachineSettings) -> Literal["free", "always"]:
        """Return how laps are taken on this machine."""
        return self.laps or ("always" if machine.sewn_by == "hand" else "free")
