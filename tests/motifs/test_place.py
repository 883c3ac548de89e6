"""Where a motif is drawn: its middle, and what was drawn there so far."""

from places import block, drawn_in

from stitchpath.geometry.curves import EllipseCurve
from stitchpath.motifs import Ellipse, Strip
from stitchpath.motifs.place import Drawn, Place


def test_the_middle_is_that_of_the_finished_outline_not_of_the_room():
    assert block(100).middle_mm == (150, 100)
    assert block(100, room_mm=(90, 40, 200, 150)).middle_mm == (150, 100)
    assert Place("", (-3, 0, 9, 8), (-3, 0, 9, 8)).middle_mm == (3, 4)


def test_what_was_drawn_is_added_in_order_and_the_place_stays_what_it_is():
    place = block(200)
    oval, strip = Ellipse(name="pear", height=90, ratio=2), Strip(width=20)
    first = oval.lines(place)
    then = place.after(first)
    assert (place.shapes, place.strips) == ((), ())
    assert [shape.name for shape in then.shapes] == ["pear"]
    both = then.after(strip.lines(then)).after(Ellipse(name="fig", height=30, ratio=1).lines(then))
    assert [shape.name for shape in both.shapes] == ["pear", "fig"]
    assert len(both.strips) == 1
    assert (both.name, both.seams, both.room_mm) == (place.name, place.seams, place.room_mm)
    assert both.after(Drawn()) == both


def test_only_what_later_motifs_must_know_is_kept():
    """An oval's shape is told by its curve and by what stops a line: lines themselves are not kept."""
    drawn, place = drawn_in(block(200), [Ellipse(name="pear", height=90, ratio=2, applique=True)])
    (shape,) = place.shapes
    assert isinstance(shape.curve, EllipseCurve)
    assert (shape.stop_mm, shape.core_mm) == (3.175, -3.175)
    assert shape.stop.contains(shape.keep_out)
    assert not shape.core.intersects(shape.keep_out.buffer(-1e-6))
    assert drawn.shapes == place.shapes
    assert not hasattr(place, "lines")
