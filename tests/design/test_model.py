"""What holds of every field of a design: defaults in millimetres, finite ranges; and what is too much."""

import hostile
import pytest
from fields import models, numbers_of
from pydantic import ValidationError
from pydantic_core import PydanticUndefined

from stitchpath.design import Border, Design, Kind, Sashing, Top, design_schema
from stitchpath.motifs import Fill
from stitchpath.settings import Frozen
from stitchpath.units import parse_length

UNITS = ("mm", "cm", "in")
LEAST = {
    "Design": {"top": {"block_width": "9 cm", "block_height": "9 cm"}, "layout": ["."]},
    "Top": {"block_width": "9 cm", "block_height": "9 cm"},
    "Kind": {"letter": "A"},
    "Ellipse": {"height": "4 cm", "ratio": 1},
    "Strip": {"width": "1 cm"},
    "Echo": {"spacing": "1 cm"},
    "Fill": {"spacing": "1 cm"},
    "Change": {"block": "row 1, column 1", "motif": "fill", "to": {"tilt": 1}},
    "ThreadKind": {"tex": 40},
    "Stage": {"name": "all", "roles": ["fill"]},
    "BlockGroup": {"name": "all", "blocks": ["row 1, column 1"]},
    "AngleRule": {"rows": [1]},
    "SizeRule": {"rows": ["1 cm"]},
    "Sashing": {"width": "1 cm"},
    "Border": {"width": "1 cm"},
}
"""What must be written of each model; of others nothing."""

FIELDS = [(model, name) for model in models() for name in model.model_fields]


@pytest.mark.parametrize("model", models(), ids=lambda model: model.__name__)
def test_what_is_left_out_is_the_same_in_every_unit(model):
    """5.08 mm of basting, left out in a design in inches, were once read as inches."""
    read = [
        model.model_validate(LEAST.get(model.__name__, {}), context={"unit": unit}).model_dump(
            exclude={"unit"}
        )
        for unit in UNITS
    ]
    assert read[0] == read[1] == read[2]


@pytest.mark.parametrize(("model", "name"), FIELDS, ids=lambda part: getattr(part, "__name__", part))
def test_a_default_is_a_value_that_might_have_been_given(model, name):
    """Defaults are not validated, so that none is read in a unit: text with a unit would stay text."""
    default = model.model_fields[name].get_default(call_default_factory=True)
    given = LEAST.get(model.__name__, {})
    if name in given or default is None or default is PydanticUndefined:
        return
    read = getattr(model.model_validate(given | {name: default}), name)
    assert (read, type(read)) == (default, type(default))


def test_no_model_of_a_design_is_left_out():
    """What has no base in common with the others would have escaped every test here."""
    assert all(issubclass(model, Frozen) for model in models())
    assert set(LEAST) <= {model.__name__ for model in models()}
    assert len(models()) >= 22


@pytest.mark.parametrize(("model", "name"), FIELDS, ids=lambda part: getattr(part, "__name__", part))
def test_every_number_has_a_finite_range(model, name):
    for number in numbers_of(model.model_fields[name]):
        least, most = number.range
        assert least is not None, "nothing says how small it may be"
        assert most is not None, "nothing says how large it may be"
        assert -1e6 <= least < most <= 1e6


def test_the_schema_tells_ranges_and_units_of_defaults():
    about = design_schema()["$defs"]["MachineSettings"]["properties"]
    assert about["basting_length"]["default"] == "5.08 mm"
    number, text, _ = about["reach"]["anyOf"]
    assert (number["minimum"], number["maximum"]) == (25 / 25.4, 100_000)  # true in every unit
    assert "25 mm to 100000 mm" in number["description"]
    assert "25 mm to 100000 mm" in text["description"]
    assert (about["tail"]["default"], about["tail"]["anyOf"][0]["minimum"]) == ("3 in", 0)
    texts = [part["default"] for part in _with_default(design_schema()) if isinstance(part["default"], str)]
    lengths = [text for text in texts if text[0].isdigit()]
    assert len(lengths) >= 13
    assert all(parse_length(text, unit="mm") == parse_length(text, unit="in") for text in lengths)


def _with_default(schema):
    parts = schema.values() if isinstance(schema, dict) else schema if isinstance(schema, list) else ()
    if isinstance(schema, dict) and "default" in schema and not isinstance(schema["default"], dict):
        yield schema
    for part in parts:
        yield from _with_default(part)


def test_sizes_that_people_have_are_taken():
    """A hoop's reach of 60 mm, lines 1 mm or 1 m apart, a top of 4 m, basting by hand 4 in long."""
    machine = {"reach": 60, "last_reach": 50, "basting_length": "4 in", "sewing_speed_mm_s": 0.5}
    fills = [{"motif": "fill", "name": name, "spacing": size} for name, size in (("a", 1), ("b", 1000))]
    design = Design.model_validate(
        {
            "top": {"block_width": 400, "block_height": 400},
            "layout": ["A" * 10] * 10,
            "kinds": {"a": {"letter": "A", "motifs": fills}},
            "machine": machine,
        }
    )
    assert design.machine.reach == 60


ACROSS = [
    ({"block_width": 50_001, "block_height": 9}, "the top would be 100 m wide", ("top", "block_width")),
    ({"block_width": 9, "row_heights": (99_900, 101)}, "100 m high", ("top", "row_heights")),
    ({"block_width": 9, "block_height": 9, "sashing": Sashing(width=99_995)}, "wide", ("sashing", "width")),
    ({"block_width": 9, "block_height": 9, "borders": [Border(width=50_000)]}, "wide", ("top", "borders")),
]


@pytest.mark.parametrize(("about", "said", "key"), ACROSS, ids=[case[1] for case in ACROSS])
def test_a_top_has_a_limit_in_all(about, said, key):
    """Sizes that are well by themselves may come to a top whose plan cannot be read back."""
    with pytest.raises(ValidationError) as caught:
        Design(top=Top(**about), layout=["..", ".."])
    (error,) = caught.value.errors()
    assert said in error["ctx"]["problem"]
    assert error["ctx"]["path"][-2:] == key
    assert error["ctx"]["remedy"].startswith("write smaller")


def test_motifs_have_a_limit_in_a_list_and_in_all():
    """Of 20,000 motifs in a block it took 19 s to say no."""
    fill = Fill(spacing=50)
    top = Top(block_width=100, block_height=100)
    with pytest.raises(ValidationError, match="at most 200"):
        Kind(letter="A", motifs=[fill] * 201)
    kinds = {"a": Kind(letter="A", motifs=[fill] * 200)}
    assert Design(top=top, layout=["A" * 50], kinds=kinds).columns == 50
    with pytest.raises(
        ValidationError, match="the top has 60,000 motifs, each counted in each of its places"
    ):
        Design(top=top, layout=["A" * 100] * 3, kinds=kinds)
    sashing = Sashing(width=5, cornerstone_motifs=[fill] * 200)
    with pytest.raises(ValidationError, match="the top has 80,800 motifs"):
        Design(top=top.model_copy(update={"sashing": sashing}), layout=["." * 100] * 3)


def test_what_is_tried_with_hostile_values_is_every_number():
    keys = [key for base in hostile.bases().values() for key in hostile.leaves(base)]
    tried = {next(part for part in reversed(key) if isinstance(part, str)) for key in keys}
    assert tried == {name for model, name in FIELDS if numbers_of(model.model_fields[name])}


def test_a_sample_of_hostile_values_comes_to_a_plan_or_to_one_sentence(tmp_path):
    """The whole: ``PYTHONPATH=. python tests/hostile.py``."""
    sample = [case for n, case in enumerate(hostile.cases()) if n % 61 == 7]
    found = {f"{case.key} = {case.value[:40]}": hostile.outcome(case.text, tmp_path) for case in sample}
    assert {name: said for name, said in found.items() if said not in {"plan", "refused"}} == {}
    assert list(found.values()).count("refused") > 20
