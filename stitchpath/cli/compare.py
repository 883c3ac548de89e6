"""The verb `compare`: plans side by side, one made elsewhere among them, and what wishes cost."""

from __future__ import annotations

import multiprocessing
import os
import signal
from argparse import Namespace
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import BrokenExecutor, Executor, ProcessPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from stitchpath.cli.progress import Phases, phases
from stitchpath.cli.say import put, say, wrapped
from stitchpath.cli.verbs import plan_files
from stitchpath.errors import DesignError, FileError, LimitError

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from stitchpath.compare.side_by_side import SideBySide
    from stitchpath.compare.whatif import PlanTask
    from stitchpath.compare.wishes import Wish
    from stitchpath.plan import Plan
    from stitchpath.units import Unit

__all__ = ["compare"]

_LONGEST_NAME = 40  # letters over a column: chosen, so that two plans fit side by side


def compare(arguments: Namespace) -> int:
    """Put plans side by side, or one design under wishes, and a plan made elsewhere beside them."""
    from stitchpath.compare.side_by_side_data import comparison_csv, comparison_json
    from stitchpath.pages.comparison import comparison_html

    _refuse_before_work(arguments)
    wishes = _wishes(arguments.wish)
    unit: Unit = arguments.unit or "mm"
    count = len(wishes) + 1 if wishes else len(arguments.plans)
    with phases(count + 2, quiet=arguments.quiet) as phase:
        phase("reading")
        told = _put_side_by_side(arguments, wishes, phase)
        phase("writing")
        contents = {
            **(
                {arguments.html: comparison_html(told, paper=arguments.paper, unit=unit)}
                if arguments.html
                else {}
            ),
            **({arguments.csv: comparison_csv(told)} if arguments.csv else {}),
        }
        _write(contents)
    if arguments.json:
        put(comparison_json(told))
    elif not arguments.quiet:
        _say(told, unit, contents)
    return 0


def _say(told: SideBySide, unit: Unit, contents: Iterable[str]) -> None:
    from stitchpath.cli.compare_text import compare_text

    written = wrapped(f"Written: {', '.join(contents)}.") if contents else ""
    say("\n\n".join(filter(None, (compare_text(told, unit=unit), written))))


def _refuse_before_work(arguments: Namespace) -> None:
    """Say before the long work what would fail after it."""
    if arguments.wish and (len(arguments.plans) != 1 or not _is_design(arguments.plans[0])):
        raise DesignError("--wish goes with one design", "name one design file, and no folder")
    if arguments.foreign and (arguments.unit is None or arguments.origin is None):
        missing = "--unit" if arguments.unit is None else "--origin"
        raise DesignError(f"{arguments.foreign} does not say its own {missing[2:]}", f"write {missing}")
    inputs = {os.path.realpath(file) for file in (*arguments.plans, arguments.foreign) if file}
    outputs = [Path(file) for file in (arguments.html, arguments.csv) if file is not None]
    for file in outputs:
        if not str(file).strip(". ") or not file.parent.is_dir() or file.is_dir():
            problem = f"{file} cannot be written: it names no file in a folder that is there"
            raise FileError(problem, file=file)
        if os.path.realpath(file) in inputs:
            remedy = "give the page or the table another name"
            raise FileError(f"{file} would be overwritten", remedy, file=file)
    if len({os.path.realpath(file) for file in outputs}) < len(outputs):
        raise FileError(f"{outputs[0]} cannot be page and table", "give two names", file=outputs[0])


def _is_design(source: str) -> bool:
    return not Path(source).is_dir() and Path(source).suffix != ".json"


def _wishes(names: Sequence[str]) -> tuple[Wish, ...]:
    from stitchpath.compare.wishes import WISHES, wish_named

    if "all" in names:
        return WISHES
    return tuple(wish_named(name) for name in dict.fromkeys(names))


def _put_side_by_side(arguments: Namespace, wishes: Sequence[Wish], phase: Phases) -> SideBySide:
    from stitchpath.compare.side_by_side import side_by_side
    from stitchpath.compare.whatif import what_if
    from stitchpath.design import read_design

    paths = _foreign_paths(arguments)
    if wishes:
        design = read_design(arguments.plans[0])
        phase("planning")
        with _executor(arguments.workers) as executor:
            tried = what_if(
                design,
                wishes,
                executor=executor,
                progress=phase.made,
                watch=phase.stands,
                effort=arguments.effort,
                seed=arguments.seed,
            )
        told = side_by_side(tried)
    else:
        names, plans = _plans(arguments, phase)
        told = side_by_side(plans, names)
    if paths is None:
        return told
    from stitchpath.check.foreign import measure_foreign

    return told.with_foreign(measure_foreign(paths, told.plans[0], tolerance_mm=arguments.tolerance))


def _foreign_paths(arguments: Namespace) -> Sequence[NDArray[np.float64]] | None:
    """Return the paths of a plan made elsewhere, read before the long work; None if none is named."""
    from stitchpath.formats.plain_coordinates import read_coordinates

    if not arguments.foreign:
        return None
    return read_coordinates(
        arguments.foreign, unit=arguments.unit, origin=arguments.origin, y_up=arguments.y_up
    )


def _plans(arguments: Namespace, phase: Phases) -> tuple[list[str], list[Plan]]:
    """Return all plans that are named, with names; designs are planned anew."""
    from stitchpath.compare.whatif import PlanTask, plan_each
    from stitchpath.compare.wishes import settings_of
    from stitchpath.design import read_design
    from stitchpath.formats.read_document import read_plan

    found: list[tuple[str, Plan | PlanTask]] = []
    for source in arguments.plans:
        if Path(source).is_dir():
            files = plan_files(Path(source))
            found += [(source if len(files) == 1 else str(file), read_plan(file)) for file in files]
        elif not _is_design(source):
            found.append((source, read_plan(source)))
        else:
            design = read_design(source)
            task = PlanTask(_short(source), design, settings_of(design), arguments.effort, arguments.seed)
            found.append((source, task))
    tasks = [plan for _, plan in found if isinstance(plan, PlanTask)]
    phase("planning" if tasks else "measuring")
    with _executor(arguments.workers if tasks else None) as executor:
        made = iter(plan_each(tasks, executor=executor, progress=phase.made, watch=phase.stands))
    plans = [next(made) if isinstance(plan, PlanTask) else plan for _, plan in found]
    fault = next((plan for plan in plans if isinstance(plan, DesignError)), None)
    if fault is not None:
        raise fault
    shorts = [_short(source) for source, _ in found]
    names = [
        short if shorts.count(short) == 1 else f"{short} ({number})" for number, short in enumerate(shorts, 1)
    ]
    return names, [plan for plan in plans if not isinstance(plan, DesignError)]


def _short(source: str) -> str:
    """Return the last part of a file's name, such that it can stand in a table.

    Examples
    --------
    >>> _short("quilts/winter_orchard.toml"), _short("=1.toml"), _short("..")
    ('winter_orchard', '1', 'plan')
    """
    name = "".join(letter for letter in Path(source).stem if letter.isprintable())
    return name[:_LONGEST_NAME].strip("=+-@. ") or "plan"


@contextmanager
def _executor(workers: int | None) -> Iterator[Executor | None]:
    """Yield processes to plan in, ended at once if the work is; None for this one."""
    if workers is None:
        yield None
        return
    others = set(multiprocessing.active_children())
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(workers, mp_context=context, initializer=_end_on_interrupt)
    try:
        yield pool
    except BrokenExecutor as error:
        raise LimitError("a worker ended before its plan was made", "give fewer --workers") from error
    except BaseException:
        for child in set(multiprocessing.active_children()) - others:
            child.terminate()
        raise
    finally:
        pool.shutdown(cancel_futures=True)


def _end_on_interrupt() -> None:
    """Let a worker end at Ctrl-C without a word; the process that started it says what there is to say."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def _write(contents: dict[str, str]) -> None:
    from stitchpath.files import write_whole

    for file, content in contents.items():
        write_whole(file, content)
