"""How files are to be written, from what was typed."""

import argparse

import pytest

from stitchpath.cli.arguments import parser
from stitchpath.cli.how import add_outputs, how_to_write, machine_tables
from stitchpath.errors import DesignError
from stitchpath.lines import BASTING_LENGTH_MM
from stitchpath.outputs import OUTPUTS, HowToWrite


def typed(*words):
    return how_to_write(parser().parse_args(["plan", "a.toml", "--out", "b", *words]))


def test_nothing_typed_is_the_usual_way():
    assert typed() == HowToWrite()
    assert (machine_tables(typed()).thin, machine_tables(typed()).stitch_length_mm) == (False, None)


def test_all_that_can_be_typed():
    how = typed(
        *(
            [
                "--thin",
                "--plan-sheet",
                "--tiles",
                "--templates",
                "--walkthrough",
                "--directions",
                "--y-up",
                "--unit",
                "in",
            ]
        ),
        *("--origin", "sewn-corner", "--paper", "Letter", "--foot-radius", "5", "--stitch-length", "2.5"),
        *("--basting-length", "6"),
    )
    assert how == HowToWrite(
        also=frozenset(["thin", "stitches", "plan sheet", "tiles", "templates", "walkthrough", "directions"]),
        table_unit="in",
        y_up=True,
        origin="sewn corner",
        stitch_length_mm=2.5,
        basting_length_mm=6.0,
        paper="Letter",
        foot_radius_mm=5.0,
    )
    tables = machine_tables(how)
    assert (tables.thin, tables.stitch_length_mm, tables.basting_length_mm) == (True, 2.5, 6.0)


def test_basting_has_its_usual_length_where_stitches_are_asked_for():
    tables = machine_tables(typed("--stitch-length", "2.5"))
    assert (tables.thin, tables.basting_length_mm) == (False, BASTING_LENGTH_MM)
    with pytest.raises(DesignError, match="nobody asked for; write --stitch-length too"):
        typed("--basting-length", "6")


@pytest.mark.parametrize("audience", ["people", "paper", "the machine"])
def test_outputs_are_options_for_their_audience(audience):
    """The length of stitches takes a value, and is added where that is explained."""
    made = argparse.ArgumentParser()
    add_outputs(made.add_argument_group(), audience=frozenset({audience}))
    helps = {option: action.help for action in made._actions for option in action.option_strings}
    options = set(helps) - {"-h", "--help"}
    asked = [one for one in OUTPUTS if one.option and one.text and one.audience == audience]
    assert options == {one.option for one in asked} - {"--stitch-length"}
    for option in options:
        (one,) = (one for one in asked if one.option == option)
        assert helps[option] == f"also write STEM{one.ending}: {one.holds}"
