"""Whether the lists in a schedule name things that exist: blocks, threads, roles and motifs."""

from collections.abc import Iterable, Sequence
from itertools import chain

from stitchpath.design.drawn import wanted_in_places
from stitchpath.design.faults import nearest, shown
from stitchpath.design.layout import lay_out
from stitchpath.design.model import Design
from stitchpath.design.source import located, parts_of
from stitchpath.errors import DesignError
from stitchpath.lines import motif_name
from stitchpath.settings import BlockGroup, ScheduleSettings

__all__ = ["refuse_groups", "refuse_lists", "refuse_names", "refuse_turns"]


def refuse_lists(design: Design) -> None:
    """Refuse a design whose schedule lists what does not exist, before anything is drawn.

    A motif that turns out to yield no line counts as asked for.

    Raises
    ------
    DesignError
        As `refuse_groups`, `refuse_turns` and `refuse_names`, with file and line where they are known.

    Examples
    --------
    >>> from stitchpath.design import Top
    >>> top = Top(block_width=100, block_height=50)
    >>> refuse_lists(Design(top=top, layout=["."]))
    >>> refuse_lists(Design(top=top, layout=["."], schedule=ScheduleSettings(by_hand=["echo"])))
    Traceback (most recent call last):
    stitchpath.errors.DesignError: schedule.by_hand[0]: no line has the role or the motif "echo"; leave it out
    """
    schedule = design.schedule
    groups = () if isinstance(schedule.groups, str | None) else schedule.groups
    clear = () if isinstance(schedule.kept_clear, str) else schedule.kept_clear
    turns = (*schedule.first_blocks, *schedule.last_blocks)
    if not (groups or schedule.threads or schedule.matching_threads or clear or schedule.by_hand or turns):
        return
    layout = lay_out(design)
    places = [laid.place for laid in layout.pieces if laid.part == "block"]
    wanted = list(wanted_in_places(design, layout))
    names = (name for _, one in wanted for name in (one.motif.role, motif_name(one.motif.title)))
    try:
        if groups:
            refuse_groups(groups, [place.name for place in places])
        kinds = (design.kind_name(row=place.row, column=place.column) for place in places)
        refuse_turns(schedule, list(zip((place.name for place in places), kinds, strict=True)))
        refuse_names(
            schedule,
            threads=(name for place, one in wanted for name in one.motif.threads(place)),
            asked=names,
        )
    except DesignError as error:
        raise located(error, parts_of(error.key), design.source) from None


def refuse_groups(groups: Sequence[BlockGroup], blocks: Sequence[str]) -> None:
    """Refuse groups that name a block that does not exist, name one twice or leave one out.

    Parameters
    ----------
    groups
        As a schedule lists them.
    blocks
        The names of all blocks, one at least.

    Raises
    ------
    DesignError
        With the key.

    Examples
    --------
    >>> refuse_groups([], ["row 1, column 1"])
    Traceback (most recent call last):
    stitchpath.errors.DesignError: schedule.groups: row 1, column 1 is in no group; add it to one
    """
    known, seen = set(blocks), set[str]()
    named = [(n, m, name) for n, group in enumerate(groups) for m, name in enumerate(group.blocks)]
    for n, m, name in named:
        key = f"schedule.groups[{n}].blocks[{m}]"
        if name not in known:
            problem, remedy = f"there is no block {shown(name)}", f'write one such as "{blocks[0]}"'
            raise DesignError(problem, remedy, key=key)
        if name in seen:
            raise DesignError(f"{name} stands in two groups, or twice in one", "name it once", key=key)
        seen.add(name)
    missing = next((name for name in blocks if name not in seen), None)
    if missing is not None:
        raise DesignError(f"{missing} is in no group", "add it to one", key="schedule.groups")


def refuse_turns(schedule: ScheduleSettings, blocks: Sequence[tuple[str, str]]) -> None:
    """Refuse blocks that come first or last and do not exist, stand twice, or come both first and last.

    Parameters
    ----------
    schedule
        Its `first_blocks` and `last_blocks` are looked at.
    blocks
        The name of each block, and that of its kind.

    Raises
    ------
    DesignError
        With the key.

    Examples
    --------
    >>> refuse_turns(ScheduleSettings(), [])
    >>> refuse_turns(ScheduleSettings(last_blocks=["fog"]), [("a", "fig")])
    Traceback (most recent call last):
    stitchpath.errors.DesignError: schedule.last_blocks[0]: no block and no kind is called "fog"; write "fig"
    """
    taken: dict[str, str] = {}
    for key in ("first_blocks", "last_blocks"):
        for n, said in enumerate(getattr(schedule, key)):
            where = f"schedule.{key}[{n}]"
            meant = [name for name, kind in blocks if said in {name, kind} - {""}]
            if not meant:
                known = dict.fromkeys(filter(None, (kind for _, kind in blocks)))
                remedy = nearest(said, [*known, *(name for name, _ in blocks[:1])])
                raise DesignError(f"no block and no kind is called {shown(said)}", remedy, key=where)
            twice = next((name for name in meant if name in taken), None)
            if twice is not None:
                problem = f"{twice} is named by {shown(said)} and by {shown(taken[twice])}"
                raise DesignError(problem, "let each block come first or last once", key=where)
            taken |= dict.fromkeys(meant, said)


def refuse_names(schedule: ScheduleSettings, *, threads: Iterable[str], asked: Iterable[str]) -> None:
    """Refuse threads that no line is sewn with or that stand twice, and hand work that nobody asks for.

    A thread may be left out of the order: it then comes after those that are named. One that stands in two
    lists of threads that match would make all of both match.

    Parameters
    ----------
    schedule
        Its `threads`, `matching_threads`, `kept_clear` and `by_hand` are looked at.
    threads
        The threads that lines are sewn with.
    asked
        The roles of lines, and the names of motifs.

    Raises
    ------
    DesignError
        With the key.

    Examples
    --------
    >>> refuse_names(ScheduleSettings(), threads=[], asked=[])
    >>> refuse_names(ScheduleSettings(by_hand=["fil"]), threads=[], asked=["fill"])
    Traceback (most recent call last):
    stitchpath.errors.DesignError: schedule.by_hand[0]: no line has the role or the motif "fil"; write "fill"
    """
    sewn, named = dict.fromkeys(threads), dict.fromkeys(asked)
    hand = [(f"by_hand[{n}]", name) for n, name in enumerate(schedule.by_hand)]
    lists = _thread_lists(schedule)
    for told, known, said in (
        (tuple(chain(*lists)), sewn, "no line is sewn with a thread"),
        (hand, named, "no line has the role or the motif"),
    ):
        for key, name in told:
            if name not in known:
                remedy = nearest(name, filter(None, known))
                raise DesignError(f"{said} {shown(name)}", remedy, key=f"schedule.{key}")
    for listed in lists:
        seen = set[str]()
        for key, name in listed:
            if name in seen:
                raise DesignError(
                    f"the thread {shown(name)} stands twice", "name it once", key=f"schedule.{key}"
                )
            seen.add(name)


def _thread_lists(schedule: ScheduleSettings) -> list[list[tuple[str, str]]]:
    """Return the schedule's lists of threads, each name with its key; a name may stand once in each."""
    clear = () if isinstance(schedule.kept_clear, str) else schedule.kept_clear
    return [
        [(f"threads[{n}]", name) for n, name in enumerate(schedule.threads)],
        [
            (f"matching_threads[{n}][{m}]", name)
            for n, names in enumerate(schedule.matching_threads)
            for m, name in enumerate(names)
        ],
        [(f"kept_clear[{n}]", name) for n, name in enumerate(clear)],
    ]
