"""Counts what the package's house rules ask for: reasons beside constants, Parameters sections, doctests.

`python tests/house.py` prints the counts, and with `-v` each place where something is missing.
"""

import ast
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

__all__ = [
    "Constant",
    "Function",
    "constants",
    "doctest_share",
    "functions",
    "without_doctest",
    "without_parameters",
    "without_reason",
]

PACKAGE = Path(__file__).parents[1] / "stitchpath"

MANY = 3  # parameters; from so many on names alone leave open what shape and unit each has


class Constant(NamedTuple):
    """A number, or a collection of numbers, that a module gives a name in capitals."""

    place: str
    """The file, relative to the package's folder, and the line."""
    name: str
    reasoned: bool
    """Whether a reason stands beside it."""


class Function(NamedTuple):
    """A function that its module's ``__all__`` names."""

    place: str
    """The file, relative to the package's folder, and the line."""
    name: str
    parameters: int
    doc: str


def constants(package: Path = PACKAGE) -> list[Constant]:
    """Every numeric constant at the top of a module, in order of files and lines.

    A reason is a string below the assignment, a comment on one of its lines, or a comment above it: that one
    holds for all lines down to the next empty one, so that a block of a page's sizes needs it only once.
    """
    return [constant for file in _files(package) for constant in _constants_in(file, package)]


def functions(package: Path = PACKAGE) -> list[Function]:
    """Every public function, in order of files and lines."""
    return [function for file in _files(package) for function in _functions_in(file, package)]


def without_reason(package: Path = PACKAGE) -> list[str]:
    """Places and names of the numeric constants that have no reason beside them."""
    return [f"{one.place} {one.name}" for one in constants(package) if not one.reasoned]


def without_parameters(package: Path = PACKAGE) -> list[str]:
    """Places and names of the public functions with many parameters but no section on them."""
    return [
        f"{one.place} {one.name}"
        for one in functions(package)
        if one.parameters >= MANY and "Parameters\n---" not in one.doc
    ]


def without_doctest(package: Path = PACKAGE) -> list[str]:
    """Places and names of the public functions that show no example."""
    return [f"{one.place} {one.name}" for one in functions(package) if ">>> " not in one.doc]


def doctest_share(package: Path = PACKAGE) -> float:
    """The share of public functions that show an example; 1.0 where there is no public function."""
    found = functions(package)
    return 1 - len(without_doctest(package)) / len(found) if found else 1.0


def _files(package: Path) -> list[Path]:
    return sorted(package.rglob("*.py"))


def _constants_in(file: Path, package: Path) -> Iterator[Constant]:
    text = file.read_text(encoding="utf-8")
    lines = text.splitlines()
    body = ast.parse(text).body
    for at, node in enumerate(body):
        names = _names(node)
        if not names or not _numeric(node):
            continue
        reasoned = _is_text(body[at + 1 : at + 2]) or _commented(lines, node)
        for name in names:
            yield Constant(f"{file.relative_to(package)}:{node.lineno}", name, reasoned)


def _names(node: ast.stmt) -> list[str]:
    """The names in capitals that a statement assigns to, those of a tuple each."""
    if isinstance(node, ast.Assign):
        targets = node.targets
    elif isinstance(node, ast.AnnAssign) and node.value is not None:
        targets = [node.target]
    else:
        return []
    each = [one for target in targets for one in (target.elts if isinstance(target, ast.Tuple) else [target])]
    return [one.id for one in each if isinstance(one, ast.Name) and one.id.isupper()]


def _numeric(node: ast.stmt) -> bool:
    """Whether a number stands in what is assigned; true and false are none."""
    value = node.value if isinstance(node, ast.Assign | ast.AnnAssign) else None
    return value is not None and any(
        isinstance(one, ast.Constant) and type(one.value) in {int, float} for one in ast.walk(value)
    )


def _is_text(following: list[ast.stmt]) -> bool:
    return any(
        isinstance(node, ast.Expr)
        and isinstance(node.value, ast.Constant)
        and isinstance(node.value.value, str)
        for node in following
    )


def _commented(lines: list[str], node: ast.stmt) -> bool:
    first, last = node.lineno - 1, node.end_lineno or node.lineno
    if any("  # " in line or line.strip().startswith("# ") for line in lines[first:last]):
        return True
    above = first
    while above and lines[above - 1].strip():
        above -= 1
        if lines[above].startswith("# "):
            return True
    return False


def _functions_in(file: Path, package: Path) -> Iterator[Function]:
    tree = ast.parse(file.read_text(encoding="utf-8"))
    public = {
        one.value
        for node in tree.body
        if isinstance(node, ast.Assign) and any(getattr(t, "id", "") == "__all__" for t in node.targets)
        for one in getattr(node.value, "elts", [])
        if isinstance(one, ast.Constant)
    }
    for node in tree.body:
        if isinstance(node, ast.FunctionDef) and node.name in public:
            asked = node.args
            count = len(asked.posonlyargs) + len(asked.args) + len(asked.kwonlyargs)
            place = f"{file.relative_to(package)}:{node.lineno}"
            yield Function(place, node.name, count, ast.get_docstring(node) or "")


def _print(told: list[str], *, mark: str) -> None:
    for one in told:
        print(mark, one)


if __name__ == "__main__":
    print(f"numeric constants {len(constants())}; without a reason {len(without_reason())}")
    print(f"public functions {len(functions())}; {100 * doctest_share():.1f} % with a doctest")
    print(f"of {MANY} parameters or more without a section on them: {len(without_parameters())}")
    if "-v" in sys.argv:
        _print(without_reason(), mark="C")
        _print(without_parameters(), mark="P")
        _print(without_doctest(), mark="D")
