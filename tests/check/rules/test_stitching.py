"""Each rule of the list by itself: what breaks one of them is found by that one and told by its kind."""

import numpy as np
import pytest
import shapely
from banded import SEW, TRAVEL, laid

from stitchpath.check.rules.evidence import Asked, look_at
from stitchpath.check.rules.stitching import GATES, RULES, gates_beside, kept_out
from stitchpath.drawing import Drawing
from stitchpath.lines import KeepOut, Line, Role

SEAM = Line([(0, 0), (0, 100)], Role.DITCH, motif="ditch")
FILL = Line([(0, 50), (100, 50)], Role.FILL, motif="fill")
HIDDEN = Line([(0, 100), (100, 100)], Role.HIDDEN)
LEAF = KeepOut(shapely.box(40, 60, 60, 80), motif="leaf", block="row 1, column 1")
DRAWING = Drawing((SEAM, FILL), (HIDDEN,), (LEAF,))
SEAM_PATH, FILL_PATH = laid(SEAM.points_mm, stage="seams"), laid(FILL.points_mm)


def look(*paths, drawing=DRAWING):
    return look_at(paths, Asked(drawing))


def broken(seen):
    """The names of the rules that find something, and all their findings."""
    told = {rule.__name__: list(rule(seen)) for rule in RULES}
    return {name for name, found in told.items() if found}, [f for found in told.values() for f in found]


@pytest.mark.parametrize(
    ("paths", "rules"),
    [
        ((SEAM_PATH, FILL_PATH), set()),
        ((SEAM_PATH,), {"covered"}),
        ((FILL_PATH, SEAM_PATH), {"stages_in_order"}),
        ((SEAM_PATH, FILL_PATH, laid([(100, 50), (100, 60)], TRAVEL)), {"open_cloth"}),
        ((SEAM_PATH, laid(HIDDEN.points_mm, stage="seams"), FILL_PATH), {"sewing_is_asked"}),
        ((SEAM_PATH, laid([(0, 50), (60, 50), (100, 50)], [SEW, TRAVEL])), {"covered", "travel_is_sewn"}),
        ((SEAM_PATH, FILL_PATH, FILL_PATH), {"sewn_once"}),
        ((SEAM_PATH, FILL_PATH, *[laid(FILL.points_mm, TRAVEL)] * 2), {"not_too_often"}),
        ((laid(SEAM.points_mm, stage="baste"), FILL_PATH), {"in_its_stage"}),
        ((SEAM_PATH, FILL_PATH, laid([(50, 50), (50, 100)], TRAVEL)), {"open_cloth", "kept_out"}),
    ],
)
def test_what_is_wrong_is_found_by_its_own_rule(paths, rules):
    assert broken(look(*paths))[0] == rules


def test_no_rule_finds_anything_where_nothing_is():
    assert broken(look(drawing=Drawing(()))) == (set(), [])


@pytest.mark.parametrize(("deep", "found"), [(0.0, False), (0.0039, False), (0.0041, True), (5.0, True)])
def test_a_keep_out_is_entered_from_4_thousandths_on(deep, found):
    way = Line([(0, 60 + deep), (100, 60 + deep)])
    told = list(kept_out(look(laid(way.points_mm), drawing=Drawing((way,), (), (LEAF,)))))
    assert bool(told) == found
    for finding in told:
        assert finding.kind == "keep-out"
        assert finding.place_mm == pytest.approx((50, 60 + deep))
        said = f"{max(deep, 0.004):.3f} mm deep and for 20.000 mm"
        assert finding.message == f"path 1 enters the keep-out of row 1, column 1: leaf, {said}"


def test_a_keep_out_without_a_name_has_its_number():
    way = Line([(0, 70), (100, 70)])
    drawing = Drawing((way,), (), (KeepOut(shapely.box(0, 0, 9, 9)), KeepOut(LEAF.polygon)))
    (finding,) = kept_out(look(laid(way.points_mm), drawing=drawing))
    assert "the keep-out of keep-out 2, 10.000 mm deep" in finding.message


def test_gates_stand_along_each_stretch():
    seen = look(SEAM_PATH, FILL_PATH)
    both = seen.stretches.of[[0, 1]]
    gates = gates_beside(seen, both)
    assert gates.strands.tolist() == [1] * 2 * GATES
    assert np.bincount(gates.gate[gates.line == 0], minlength=2 * GATES).tolist() == [1] * GATES + [0] * GATES
    assert gates.allowed().tolist() == [4] * GATES + [2] * GATES
    assert len(gates_beside(seen, both[:0]).strands) == 0
