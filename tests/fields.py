"""What a design can say, from its models: every number and every length, with its range."""

from collections.abc import Iterator
from types import UnionType
from typing import Annotated, Any, NamedTuple, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from stitchpath.design import Design
from stitchpath.units import LengthIn


class Number(NamedTuple):
    """A number that a field holds, in a list or a rule or by itself: its type, and what limits it."""

    type: type
    limits: tuple[Any, ...]

    @property
    def length(self) -> LengthIn | None:
        return next((limit for limit in self.limits if isinstance(limit, LengthIn)), None)

    @property
    def range(self) -> tuple[float | None, float | None]:
        """The least and the most that it may be; None where nothing limits it. Lengths in millimetres."""
        if self.length is not None:
            return self.length.least_mm, self.length.most_mm
        least = next((limit.ge for limit in self.limits if hasattr(limit, "ge")), None)
        return least, next((limit.le for limit in self.limits if hasattr(limit, "le")), None)


def numbers_of(info: FieldInfo) -> tuple[Number, ...]:
    """Return the numbers that a field may hold, those of other models left out."""
    return tuple(part for part in _parts(info.annotation, tuple(info.metadata)) if isinstance(part, Number))


def models(root: type[BaseModel] = Design) -> tuple[type[BaseModel], ...]:
    """Return every model that a design is made of."""
    found, left = {root: None}, [root]
    while left:
        for info in left.pop().model_fields.values():
            for part in _parts(info.annotation, ()):
                if not isinstance(part, Number) and part not in found:
                    found[part] = None
                    left.append(part)
    return tuple(found)


def _parts(annotation: Any, limits: tuple[Any, ...]) -> Iterator[Any]:
    origin, inner = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        more = [
            m for limit in inner[1:] for m in (limit.metadata if isinstance(limit, FieldInfo) else [limit])
        ]
        yield from _parts(inner[0], (*limits, *more))
    elif origin in (Union, UnionType):
        for part in inner:
            yield from _parts(part, limits)
    elif origin in (tuple, dict):
        for part in inner:
            yield from _parts(part, ())
    elif annotation in (int, float):
        yield Number(annotation, limits)
    elif isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
