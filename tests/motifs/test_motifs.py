"""One contract over all motifs: every entry of the list, in every kind of place."""

from dataclasses import replace

import numpy as np
import pytest
from places import block, drawn_in
from plans import toml_of
from pydantic import TypeAdapter, ValidationError
from strategies.text import HOSTILE

from stitchpath.check import check_folder
from stitchpath.design import Design, read_design
from stitchpath.drawing import draw
from stitchpath.errors import DesignError
from stitchpath.files import manifest_name, write_files
from stitchpath.lines import Role
from stitchpath.motifs import MOTIFS, Ellipse, Motif
from stitchpath.outputs import file_texts
from stitchpath.planner import make_plan

LEAST = {
    "ellipse": {"height": "4 in", "ratio": "3:2"},
    "strip": {"width": "1 in"},
    "echo": {"spacing": "1/2 in", "count": 2},
    "fill": {"spacing": "1 in"},
    "ditch": {},
    "basting": {},
}
"""What has to be written of each kind."""

SHAPE = Ellipse(height="6 in", ratio="3:2", applique=True)
"""What an echo goes around, and fills and strips stop at."""

PLACES = {
    "a block": block(),
    "a tiny block": block(30.0),
    "a huge block": block(5_000.0),
    "no seams": block(seams=()),
}
KINDS = pytest.mark.parametrize("kind", MOTIFS, ids=lambda kind: kind.__name__)


def tag_of(kind):
    return kind.model_fields["motif"].default


def asked(kind, **more):
    return kind(**LEAST[tag_of(kind)], **more)


def lines_of(motif, place):
    """What a motif draws in a place where a shape was drawn, unless it is one itself."""
    return motif.lines(around_of(motif, place))


def around_of(motif, place):
    """The place with a shape in it that is no motif's own, where it has room for one."""
    bare = isinstance(motif, Ellipse) or (place == PLACES["a tiny block"] and motif.motif != "echo")
    return drawn_in(place, [] if bare else [SHAPE])[1]


def design_of(kind, **more):
    """A top of one block with one motif, and a shape if it needs one."""
    motif = {"motif": tag_of(kind), **LEAST[tag_of(kind)], **more}
    motifs = [motif]
    if tag_of(kind) == "echo":
        motifs.insert(0, {"motif": "ellipse", **LEAST["ellipse"]})
    whole = tag_of(kind) in {"ditch", "basting"}
    return {
        "name": "One",
        "unit": "mm",
        "layout": "A" if tag_of(kind) != "ditch" else "AA",
        "top": {"block_width": "10 in", "block_height": "10 in"},
        "threads": {"grey": {"tex": 27}, "red": {"tex": 40}},
        "motifs": motifs if whole else [],
        "kinds": {"a": {"letter": "A", "motifs": [] if whole else motifs}},
    }


def test_the_list_names_each_kind_once_and_so_does_the_union():
    tags = [tag_of(kind) for kind in MOTIFS]
    assert len(set(tags)) == len(tags)
    assert set(LEAST) == set(tags)
    for kind in MOTIFS:
        made = TypeAdapter(Motif).validate_python({"motif": tag_of(kind), **LEAST[tag_of(kind)]})
        assert type(made) is kind


@KINDS
def test_it_is_frozen_and_refuses_what_it_does_not_know(kind):
    motif = asked(kind)
    with pytest.raises(ValidationError):
        motif.name = "other"
    with pytest.raises(ValidationError):
        asked(kind, colour="red")
    assert isinstance(motif.role, Role)
    assert all(field.description for name, field in kind.model_fields.items() if name != "motif")


@pytest.mark.parametrize("name", PLACES)
@KINDS
def test_lines_are_the_same_twice_finite_and_no_more_than_foretold(kind, name):
    motif, place = asked(kind, name="own", thread="red"), PLACES[name]
    if name == "a tiny block" and tag_of(kind) in {"ellipse", "echo"}:
        with pytest.raises(DesignError, match="; "):
            lines_of(motif, place)
        return
    one, other = lines_of(motif, place), lines_of(motif, place)
    assert repr(one) == repr(other)
    assert len(one.lines) <= motif.predicted_lines(around_of(motif, place))
    for line, again in zip(one.lines, other.lines, strict=True):
        assert np.isfinite(line.points_mm).all()
        assert line.points_mm.tobytes() == again.points_mm.tobytes()
        assert line.length_mm > 0
        assert line.role is motif.role
        assert line.thread == "red"
        assert line.motif.startswith("own")
        assert line.block == place.name
    assert one.lines or [note.kind for note in one.notes] == ["no line"]


@KINDS
def test_a_thread_left_out_is_the_places(kind):
    place = replace(block(), thread="blue")
    assert {line.thread for line in lines_of(asked(kind), place).lines} == {"blue"}


@pytest.mark.parametrize("name", HOSTILE)
@KINDS
def test_a_name_is_kept_as_it_is_or_refused_in_a_sentence(kind, name):
    if name[0] in "=+-@" or not name.isprintable() or name != name.strip():
        with pytest.raises(ValidationError, match="name"):
            asked(kind, name=name)
        return
    motif = asked(kind, name=name)
    assert all(line.motif.startswith(motif.title) for line in lines_of(motif, block()).lines)
    assert motif.title.isprintable()
    assert motif.title == motif.title.strip()


@pytest.mark.parametrize("reach", [None, "6 in"])
@KINDS
def test_it_is_read_planned_written_and_proven_by_itself(kind, reach, tmp_path):
    """A top of one block, in one thread of two; in bands where the frame reaches no more."""
    more = {} if reach is None else {"machine": {"reach": reach}, "schedule": {"cuts": "anywhere"}}
    file = tmp_path / "one.toml"
    file.write_text(toml_of(Design.model_validate(design_of(kind, thread="red") | more)), encoding="utf-8")
    design = read_design(file)
    plan = make_plan(design, effort="quick")
    assert {path.thread for path in plan} <= {"red", "grey"}
    assert "red" in {path.thread for path in plan}
    contents = file_texts(plan, "one")
    digest = plan.drawing.design_sha256
    write_files(tmp_path / "out", contents, manifest=manifest_name("one"), design_sha256=digest)
    assert check_folder(file, tmp_path / "out", "one") == ()


def test_nothing_asked_for_is_refused_in_a_sentence():
    top = {"block_width": 10, "block_height": 10}
    empty = Design.model_validate({"top": top, "layout": "A", "kinds": {"a": {"letter": "A"}}})
    with pytest.raises(DesignError, match="the design asks for no line; give a kind of block a motif"):
        draw(empty)
