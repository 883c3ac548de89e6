"""What can be typed: every verb, what it is by default, and refusals that say where help is."""

from importlib import import_module

import pytest

from stitchpath.cli.arguments import parser

TYPED = {
    "plan": ["a.toml", "--out", "b"],
    "check": ["a.toml", "b"],
    "lines": ["a.toml"],
    "figures": ["b"],
    "compare": ["b", "c"],
    "schema": [],
}


@pytest.mark.parametrize("verb", TYPED)
def test_each_verb_runs_something_needs_what_there_is_and_can_be_quiet(verb):
    typed = parser().parse_args([verb, *TYPED[verb]])
    assert callable(typed.run)
    assert (typed.json, typed.quiet) == (False, False)
    assert all(import_module(name) for name in typed.needs)
    loud = parser().parse_args([verb, *TYPED[verb], "--json", "--quiet"])
    assert (loud.json, loud.quiet) == (True, True)


def test_what_is_left_out():
    plan = parser().parse_args(["plan", *TYPED["plan"]])
    assert (plan.effort, plan.seed, plan.stages, plan.laps) == ("standard", 0, None, None)
    assert (plan.unit, plan.paper, plan.origin, plan.y_up) == (None, "A4", "finished-corner", False)
    two = parser().parse_args(["compare", *TYPED["compare"]])
    assert (two.plans, two.wish, two.workers, two.tolerance, two.foreign) == (["b", "c"], [], None, 0.5, None)
    several = parser().parse_args(["compare", "b", "--wish", "one", "--wish", "two", "--origin=-1.5,20"])
    assert (several.wish, several.origin) == (["one", "two"], (-1.5, 20.0))


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ([], "VERB"),
        (["sew"], "'sew'"),
        (["plan", "a.toml"], "--out"),
        (["plan", "a.toml", "--out", "b", "--eff", "quick"], "--eff"),
        (["plan", "a.toml", "--out", "b", "--effort", "heroic"], "'heroic'"),
        (["plan", "a.toml", "--out", "b", "--seed", "-1"], "--seed"),
        (["figures"], "DIR"),
        (["compare"], "PLAN"),
        (["schema", "a.toml"], "a.toml"),
    ],
)
def test_what_cannot_be_typed(words, told, capsys):
    """In one sentence, with exit code 2, and with the place where help is."""
    with pytest.raises(SystemExit) as caught:
        parser().parse_args(words)
    said = capsys.readouterr()
    assert caught.value.code == 2
    assert said.out == ""
    assert said.err.startswith("stitchpath: ")
    assert told in said.err
    assert '--help" shows what can be written\n' in said.err
    assert said.err.count("\n") == 1


@pytest.mark.parametrize("verb", TYPED)
def test_help_names_each_option_and_an_example(verb, capsys):
    with pytest.raises(SystemExit) as caught:
        parser().parse_args([verb, "--help"])
    said = capsys.readouterr().out
    assert caught.value.code == 0
    assert f"Example: stitchpath {verb}" in said
    assert "--quiet" in said
