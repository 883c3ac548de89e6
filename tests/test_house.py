"""The house in order: rooms seen at a glance, one meaning to a word, tests where they belong."""

import ast
from collections import Counter
from pathlib import Path

import pytest
from house import doctest_share, without_parameters, without_reason

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "stitchpath"
MODULES = sorted(PACKAGE.rglob("*.py"))
MOST_MODULES = 20
MOST_LINES = 400
"""Of a module, docstrings aside."""

DATA_ONLY = {
    "__main__.py",
    "check/measuring/rounding.py",
    "limits.py",
    "pages/cautions.py",
    "postman/cuts/certificate.py",
    "postman/result.py",
    "postman/search/limits.py",
}
"""Modules with nothing in them that could go wrong by itself."""


def tree(file):
    return ast.parse(file.read_text(encoding="utf-8"))


def lines_of_code(file):
    """How many lines a module has besides its docstrings."""
    texts = [
        node.value
        for node in ast.walk(tree(file))
        if isinstance(node, ast.Expr)
        and isinstance(node.value, ast.Constant)
        and isinstance(node.value.value, str)
    ]
    told = sum(text.end_lineno - text.lineno + 1 for text in texts)
    return len(file.read_text(encoding="utf-8").splitlines()) - told


def test_no_room_has_more_modules_than_one_sees_at_a_glance():
    counts = Counter(file.parent for file in MODULES if file.name != "__init__.py")
    assert {str(room): count for room, count in counts.items() if count > MOST_MODULES} == {}


def test_every_module_says_what_it_holds():
    for file in MODULES:
        told = ast.get_docstring(tree(file))
        assert told, file
        assert told.splitlines()[0].endswith((".", "?")) or len(told.splitlines()) > 1, file


def test_no_module_is_longer_than_is_read_at_a_sitting():
    assert [str(file) for file in MODULES if lines_of_code(file) > MOST_LINES] == []


def test_a_class_has_a_name_of_its_own():
    homes = {}
    for file in MODULES:
        for node in tree(file).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                homes.setdefault(node.name, []).append(str(file.relative_to(PACKAGE)))
    assert {name: files for name, files in homes.items() if len(files) > 1} == {}


def test_public_constants_have_one_value_each():
    values = {}
    for file in MODULES:
        for node in tree(file).body:
            if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
                name = node.targets[0].id
                if name.isupper() and not name.startswith("_"):
                    values.setdefault(name, set()).add(ast.unparse(node.value))
    assert {name: found for name, found in values.items() if len(found) > 1} == {}


@pytest.mark.parametrize(
    "module", [str(file.relative_to(PACKAGE)) for file in MODULES if file.name != "__init__.py"]
)
def test_a_module_with_logic_has_its_test_file(module):
    if module not in DATA_ONLY:
        assert (ROOT / "tests" / Path(module).with_name(f"test_{Path(module).name}")).exists()


def test_the_recipe_is_read_without_turning_a_page():
    (recipe,) = (
        node
        for node in tree(PACKAGE / "planner.py").body
        if isinstance(node, ast.FunctionDef) and node.name == "make_plan"
    )
    first = recipe.body[1]  # after the docstring
    assert recipe.end_lineno - first.lineno + 1 <= 25


def test_public_functions_say_what_they_take_and_show_what_they_do():
    """Three parameters or more: a section on them; of all functions four fifths have a doctest."""
    assert without_parameters() == []
    assert doctest_share() >= 0.8


def test_every_number_has_its_reason_beside_it():
    assert without_reason() == []
