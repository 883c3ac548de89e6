"""Where bobbins run out is marked in the picture, each by its number."""

from dataclasses import replace

import numpy as np
from banded_plans import banded

from stitchpath.figures import thread_use_of
from stitchpath.pictures import strokes
from stitchpath.pictures.bobbin_signs import bobbin_places
from stitchpath.pictures.picture import picture_svg


def with_bobbins(metres, **threads):
    plan = banded()
    paths = tuple(replace(path, thread=threads.get(f"path{n}", "cream")) for n, path in enumerate(plan.paths))
    machine = plan.machine.model_copy(update={"bobbin_m": metres})
    return replace(plan, paths=paths, machine=machine)


def test_each_bobbin_has_its_number_at_its_place():
    plan = with_bobbins(1.2)
    ends = thread_use_of(plan).bobbin_ends
    assert len(ends) > 2
    assert bobbin_places(plan) == tuple((f"B{end.number}", end.place_mm) for end in ends)
    assert bobbin_places(banded()) == ()


def test_of_several_threads_each_is_named():
    plan = with_bobbins(1.2, path0="very dark blue")
    assert {word.partition(" ")[2] for word, _ in bobbin_places(plan)} <= {"cream", "very dar"}
    assert {word for word, _ in bobbin_places(plan)} >= {"B1 cream"}


def test_too_many_are_not_shown():
    plan = with_bobbins(0.05)
    assert len(thread_use_of(plan).bobbin_ends) > 40
    assert bobbin_places(plan) == ()


def test_the_picture_shows_them_and_the_legend_explains_the_sign():
    text = picture_svg(with_bobbins(1.2))
    assert all(text.count(f">{word}<") >= 1 for word, _ in bobbin_places(with_bobbins(1.2)))
    assert "bobbin 1 runs out" in text
    assert "bobbin 1 runs out" not in picture_svg(banded())
    assert " min" in text
    assert ", 1 bobbin<" in picture_svg(banded())


def test_a_tag_has_corners():
    _, box, _ = strokes.square_tag(np.array([9.0, 5.0]), np.array([5.0, 5.0]), "B1", 3.0)
    assert "rx" not in box.attributes
