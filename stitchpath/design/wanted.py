"""Which motifs a block gets: those of its kind, with the block's changes and its `like` sizes filled in."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from typing import Annotated, Any

from pydantic import TypeAdapter, ValidationError

from stitchpath.design.faults import Path, explain, nearest, shown
from stitchpath.design.model import Change, Design, no_thread
from stitchpath.design.source import located
from stitchpath.errors import DesignError
from stitchpath.motifs import MOTIFS, Motif
from stitchpath.motifs.sizes import Rule

__all__ = ["Wanted", "in_order", "wanted", "wanted_in_blocks"]

_ORDER: dict[type, int] = {model: n for n, model in enumerate(MOTIFS)}


@dataclass(frozen=True)
class Wanted:
    """A motif that is wanted, and where in the design it was asked for.

    Attributes
    ----------
    motif
        The motif.
    path
        Where it stands.
    elsewhere
        Where those of its keys stand that a change to one block gave.
    """

    motif: Motif
    path: Path
    elsewhere: Mapping[str, Path] = field(default_factory=dict)

    def where(self, key: str) -> Path:
        """Return where a key of the motif stands; the motif itself for an empty key."""
        if key in self.elsewhere:
            return self.elsewhere[key]
        return (*self.path, key) if key else self.path


def wanted(motifs: tuple[Motif, ...], path: Path) -> tuple[Wanted, ...]:
    """Return a list of motifs as wanted, where it stands.

    Examples
    --------
    >>> wanted((), ("motifs",))
    ()
    """
    return tuple(Wanted(motif, (*path, n)) for n, motif in enumerate(motifs))


def in_order(motifs: tuple[Wanted, ...]) -> tuple[Wanted, ...]:
    """Return them as they are drawn: shapes, strips, fills; as typed among those of one sort.

    Examples
    --------
    >>> in_order(())
    ()
    """
    return tuple(sorted(motifs, key=lambda one: _ORDER[type(one.motif)]))


def wanted_in_blocks(design: Design) -> dict[tuple[int, int], tuple[Wanted, ...]]:
    """Return what is wanted in each block, by row and column counted from 1, in drawing order.

    Raises
    ------
    DesignError
        If a change fits no motif, or a `like` leads nowhere or round in a circle.

    Examples
    --------
    >>> from stitchpath.design import Kind
    >>> from stitchpath.design import Top
    >>> from stitchpath.motifs import Fill
    >>> plain = {"top": Top(block_width=100, block_height=50), "layout": ["P."]}
    >>> pear = Kind(letter="P", motifs=[Fill(spacing=12.7)])
    >>> wanted = wanted_in_blocks(Design(kinds={"pear": pear}, **plain))
    >>> {block: len(found) for block, found in wanted.items()}
    {(1, 1): 1, (1, 2): 0}
    """
    by_kind = {name: _of_kind(design, name) for name in design.kinds}
    ready = {name: in_order(_looked_up(design, by_kind, found)) for name, found in by_kind.items()}
    blocks = {
        (row, column): ready.get(design.kind_name(row=row, column=column), ())
        for row in range(1, design.rows + 1)
        for column in range(1, design.columns + 1)
    }
    for place, found in _changed(design, by_kind).items():
        blocks[place] = in_order(_looked_up(design, by_kind, found))
    return blocks


def _of_kind(design: Design, name: str) -> tuple[Wanted, ...]:
    return wanted(design.kinds[name].motifs, ("kinds", name, "motifs"))


def _changed(
    design: Design, by_kind: Mapping[str, tuple[Wanted, ...]]
) -> dict[tuple[int, int], tuple[Wanted, ...]]:
    """Return the blocks whose motifs change; several changes to one block add up."""
    blocks: dict[tuple[int, int], tuple[Wanted, ...]] = {}
    for n, change in enumerate(design.changes):
        if change.motif is None:
            continue
        row, column = change.row_column
        before = blocks.get((row, column), by_kind.get(design.kind_name(row=row, column=column), ()))
        blocks[row, column] = _with_change(design, before, change, change.motif, ("changes", n))
    return blocks


def _with_change(
    design: Design, before: tuple[Wanted, ...], change: Change, title: str, path: Path
) -> tuple[Wanted, ...]:
    titles = [one.motif.title for one in before]
    if titles.count(title) != 1:
        found = "two motifs" if title in titles else "no motif"
        remedy = "give each its own name" if title in titles else nearest(title, titles)
        raise located(
            DesignError(f"{change.block} has {found} called {shown(title)}", remedy),
            (*path, "motif"),
            design.source,
        )
    n = titles.index(title)
    return (*before[:n], _replaced(design, before[n], change, (*path, "to")), *before[n + 1 :])


def _replaced(design: Design, one: Wanted, change: Change, path: Path) -> Wanted:
    fields = type(one.motif).model_fields
    for key in change.to:
        if key not in fields or key == "motif":
            keys = [k for k in fields if k != "motif"]
            fault = DesignError("this key cannot be changed here", nearest(key, keys))
            raise located(fault, (*path, key), design.source)
    values = {key: _read(design, one.motif, key, change, path) for key in change.to}
    kept = {key: getattr(one.motif, key) for key in one.motif.model_fields_set}
    try:
        motif = type(one.motif).model_validate(kept | values)
    except ValidationError as error:
        _, fault = explain(error, kept | values)
        raise located(fault, path, design.source) from None
    _check_thread(design, motif, path)
    return replace(one, motif=motif, elsewhere=dict(one.elsewhere) | {key: (*path, key) for key in values})


def _check_thread(design: Design, motif: Motif, path: Path) -> None:
    for key, name in motif.named_threads.items():
        if name not in design.threads:
            raise located(DesignError(*no_thread(name, design)), (*path, key), design.source)


def _read(design: Design, motif: Motif, key: str, change: Change, path: Path) -> Any:
    """Read one changed value in the unit of its file, apart from those that are millimetres already."""
    try:
        return _reader(type(motif), key).validate_python(change.to[key], context={"unit": change.unit})
    except ValidationError as error:
        inner, fault = explain(error, change.to[key])
        raise located(fault, (*path, key, *inner), design.source) from None


@cache
def _reader(model: type[Motif], key: str) -> TypeAdapter[Any]:
    info = model.model_fields[key]
    return TypeAdapter(Annotated[info.annotation, info])  # type: ignore[arg-type]


def _looked_up(
    design: Design, by_kind: Mapping[str, tuple[Wanted, ...]], found: tuple[Wanted, ...]
) -> tuple[Wanted, ...]:
    return tuple(_without_like(design, by_kind, one) for one in found)


def _without_like(design: Design, by_kind: Mapping[str, tuple[Wanted, ...]], one: Wanted) -> Wanted:
    likes = {key: value for key, value in one.motif if isinstance(value, Rule) and value.like is not None}
    if not likes:
        return one
    same = {key: _same_as(design, by_kind, one, key, rule) for key, rule in likes.items()}
    return replace(one, motif=one.motif.model_copy(update=same))


def _same_as(
    design: Design, by_kind: Mapping[str, tuple[Wanted, ...]], one: Wanted, key: str, rule: Rule[float]
) -> Any:
    """Follow `like` from kind to kind to a size or a rule that stands for itself."""
    value: Any = rule
    seen: list[str] = []
    while isinstance(value, Rule) and value.like is not None:
        name = value.like
        if name not in by_kind:
            raise _lost(design, one, key, f"there is no kind {shown(name)}", nearest(name, by_kind))
        if name in seen:
            raise _lost(design, one, key, f"like leads back to {shown(name)}", "write a size in one of them")
        seen.append(name)
        other = _counterpart(by_kind[name], one.motif)
        value = None if other is None else getattr(other, key)
        if value is None:
            problem = f"the kind {shown(name)} has no {key} in a motif of this sort"
            raise _lost(design, one, key, problem, f"give it one, or write the {key} here")
    return value


def _counterpart(found: tuple[Wanted, ...], motif: Motif) -> Motif | None:
    """Return the motif of the same sort with the same name, or the first of the same sort."""
    sort = [one.motif for one in found if type(one.motif) is type(motif)]
    named = [other for other in sort if other.name is not None and other.name == motif.name]
    return next(iter(named + sort), None)


def _lost(design: Design, one: Wanted, key: str, problem: str, remedy: str) -> DesignError:
    return located(DesignError(problem, remedy), (*one.where(key), "like"), design.source)
