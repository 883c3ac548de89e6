"""Frozen, the base of everything that a design file can say."""

from typing import Any

from pydantic import BaseModel, ConfigDict, model_validator
from pydantic_core import PydanticCustomError

__all__ = ["Frozen"]


class Frozen(BaseModel):
    """Base of everything that a design file can say: frozen, nothing unknown, nothing infinite.

    Defaults are values as they are once read, lengths in millimetres: they are not validated, so that none is
    ever read in a design's unit.
    """

    model_config = ConfigDict(
        extra="forbid", frozen=True, allow_inf_nan=False, validate_default=False, strict=True
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
        return {key: _plain(value) for key, value in data.items()}


def _plain(value: Any) -> Any:
    """Return a list as a tuple, lists in it as well, and a zero without its sign."""
    if isinstance(value, list):
        return tuple(map(_plain, value))
    return value + 0.0 if isinstance(value, float) else value
