"""Bad arguments of public functions: always an error of ours, which names the argument and a remedy."""

from functools import partial

import numpy as np
import pytest
from shapely import LineString

import stitchpath as s
from stitchpath.errors import DesignError, FileError, StitchpathError

DRAWING = s.Drawing.from_lines([LineString([(0, 0), (100, 0)])])
PATHS = [[(0, 0), (1, 0)]]
WRONG = {
    "none": None,
    "text": "pear",
    "bytes": b"\0",
    "truth value": True,
    "nan": float("nan"),
    "negative": -1,
    "array": np.zeros(3),
    "list of none": [None],
    "list of text": ["x"],
    "dict": {"a": 1},
    "object": object(),
}
NO_NUMBER = set(WRONG) - {"negative", "nan"}
SOME = set(WRONG) - {"none"}
NO_TEXT = set(WRONG) - {"text"}


@pytest.fixture(scope="module")
def plan():
    return s.make_plan(DRAWING)


@pytest.fixture
def here(tmp_path, monkeypatch):
    """A folder with a plain table in it."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "xy.csv").write_text("0,0\n100,0\n", encoding="utf-8")


def placed(key, value):
    return s.read_coordinates("xy.csv", **{"unit": "mm", "origin": (0, 0), key: value})


def wished(key, value):
    return s.what_if(DRAWING, [], **{key: value})


def line(key, value):
    return s.Line(**{"points_mm": [(0, 0), (9, 0)], key: value})


CALLS = {
    "check_plan: plan": (lambda plan, bad: s.check_plan(bad, DRAWING), WRONG),
    "check_plan: drawing": (s.check_plan, WRONG),
    "compare_plans: plans": (lambda plan, bad: s.compare_plans(bad), WRONG),
    "compare_plans: names": (lambda plan, bad: s.compare_plans([plan], names=bad), SOME - {"list of text"}),
    "draw": (lambda plan, bad: s.draw(bad), WRONG),
    "make_plan: design": (lambda plan, bad: s.make_plan(bad), WRONG),
    **{
        f"make_plan: {key}": (lambda plan, bad, key=key: s.make_plan(DRAWING, **{key: bad}), SOME)
        for key in (
            "cost",
            "machine",
            "schedule",
            "batting",
            "effort",
            "seed",
            "progress",
            "job_begins",
            "working",
        )
    },
    "measure_foreign: paths": (lambda plan, bad: s.measure_foreign(bad, DRAWING), WRONG),
    "measure_foreign: design": (lambda plan, bad: s.measure_foreign(PATHS, bad), WRONG),
    "measure_foreign: tolerance_mm": (
        lambda plan, bad: s.measure_foreign(PATHS, DRAWING, tolerance_mm=bad),
        WRONG,
    ),
    "plan_figures: plan": (lambda plan, bad: s.plan_figures(bad), WRONG),
    "plan_figures: machine": (lambda plan, bad: s.plan_figures(plan, machine=bad), SOME),
    "read_coordinates: file": (
        lambda plan, bad: s.read_coordinates(bad, unit="mm", origin=(0, 0)),
        WRONG,
    ),
    "read_coordinates: unit": (lambda plan, bad: placed("unit", bad), WRONG),
    "read_coordinates: origin": (lambda plan, bad: placed("origin", bad), WRONG),
    **{
        name: (lambda plan, bad, name=name: getattr(s, name)(bad), WRONG)
        for name in ("read_csv", "read_design", "read_plan", "wish_named", "wish_table")
    },
    "what_if: design": (lambda plan, bad: s.what_if(bad, []), WRONG),
    "what_if: wishes": (lambda plan, bad: s.what_if(DRAWING, bad), WRONG),
    **{
        f"what_if: {key}": (lambda plan, bad, key=key: wished(key, bad), SOME)
        for key in ("executor", "progress", "watch", "effort", "seed")
    },
    "what_if: changes": (lambda plan, bad: s.what_if(DRAWING, [s.Wish("a", bad)]), WRONG),
    "what_if: a pair": (lambda plan, bad: s.what_if(DRAWING, [s.Wish("a", ((bad,),))]), WRONG),
    **{
        f"{name}: plan": (lambda plan, bad, name=name: getattr(s, name)(bad, "out"), WRONG)
        for name in s.__all__
        if name.startswith("write_")
    },
    **{
        f"{name}: file": (
            lambda plan, bad, name=name: getattr(s, name)([plan] if "comp" in name else plan, bad),
            NO_TEXT,
        )
        for name in s.__all__
        if name.startswith("write_")
    },
    **{
        f"{name}: {key}": (
            lambda plan, bad, name=name, key=key: getattr(s, name)(
                [plan] if "comp" in name else plan, "out", **{key: bad}
            ),
            wrong,
        )
        for name, key, wrong in (
            ("write_comparison", "names", SOME - {"list of text"}),
            ("write_comparison", "foreign", SOME),
            ("write_comparison", "paper", WRONG),
            ("write_comparison", "unit", WRONG),
            ("write_csv", "unit", WRONG),
            ("write_csv", "stitch_length_mm", SOME),
            ("write_csv", "band", SOME),
            ("write_directions", "unit", WRONG),
            ("write_plan_sheet", "paper", WRONG),
            ("write_plan_sheet", "unit", WRONG),
            ("write_plan_sheet", "findings", SOME),
            ("write_svg", "origin", WRONG),
            ("write_svg", "band", SOME),
            ("write_templates", "paper", WRONG),
            ("write_templates", "foot_radius_mm", WRONG),
            ("write_tiles", "paper", WRONG),
            ("write_walkthrough", "unit", WRONG),
        )
    },
    **{
        f"Drawing: {key}": (lambda plan, bad, key=key: s.Drawing(**{"lines": (), key: bad}), WRONG)
        for key in ("lines", "hidden", "keep_outs", "threads")
    },
    **{
        f"Drawing.from_lines: {key}": (
            lambda plan, bad, key=key: s.Drawing.from_lines(
                **{"lines": [LineString([(0, 0), (9, 0)])], key: bad}
            ),
            wrong,
        )
        for key, wrong in (
            ("lines", WRONG),
            ("roles", SOME),
            ("threads", SOME - {"text", "list of text"}),
            ("hidden", WRONG),
            ("keep_outs", WRONG),
            ("outline", SOME),
        )
    },
    **{
        f"Line: {key}": (partial(lambda key, plan, bad: line(key, bad), key), wrong)
        for key, wrong in (
            ("points_mm", WRONG),
            ("role", WRONG),
            ("thread", NO_TEXT),
            ("motif", NO_TEXT),
            ("block", NO_TEXT),
        )
    },
    "StitchPath: points": (lambda plan, bad: s.StitchPath(bad, ()), WRONG),
    "StitchPath: spans": (lambda plan, bad: s.StitchPath([(0, 0), (1, 0)], bad), WRONG),
}
"""By function and argument: how it is called with a plan and a bad argument, and which ones are bad."""


@pytest.mark.usefixtures("here")
@pytest.mark.parametrize("name", CALLS)
def test_a_bad_argument_is_an_error_of_ours_in_one_sentence(plan, name):
    call, wrong = CALLS[name]
    for kind in sorted(wrong):
        with pytest.raises(StitchpathError) as caught:
            call(plan, WRONG[kind])
        error, said = caught.value, str(caught.value)
        assert isinstance(error, DesignError | FileError), kind
        assert "\n" not in said, kind
        assert len(said) < 400, kind
        assert error.problem, kind
        assert error.remedy, kind


def test_every_public_function_is_in_the_table():
    functions = {name for name in s.__all__ if name[0].islower()}
    assert functions == {name.partition(":")[0] for name in CALLS} & functions


def test_lists_will_do_for_tuples_and_texts_for_roles():
    line_ = s.Line([(0, 0), (9, 0)], "fill")
    assert line_.role is s.Role.FILL
    assert s.Drawing([line_], hidden=[]) == s.Drawing((line_,))


def test_who_catches_value_errors_still_does():
    for call in (lambda: s.compare_plans([], names=["a"]), lambda: s.Line([1, 2, 3])):
        with pytest.raises(ValueError, match="give"):
            call()


def test_a_seed_may_be_numpy_s(plan):
    other = s.make_plan(DRAWING, seed=np.int64(0))
    assert (other, type(other.seed)) == (plan, int)
