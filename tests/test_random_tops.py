"""Designs and drawings drawn by lot: none is planned wrongly, none ends in a traceback, few are refused.

`benchmarks/random_tops.py` does twenty times as many.
"""

import tomllib

import pytest
from random_drawings import random_drawing
from random_tops import random_design, random_top
from random_trials import FINE, try_drawing, try_top

from stitchpath.motifs import MOTIFS

LOTS, EACH = 20, 5
LEAST_PLANNED = 0.8


@pytest.mark.parametrize("lot", range(LOTS))
def test_designs_are_planned_right_or_refused(lot):
    failed, planned = [], 0
    for number in range(lot * EACH, (lot + 1) * EACH):
        found = try_top(random_top(number), files=number % EACH == 0)
        planned += found.kind == "planned"
        failed += [(number, found)] if found.kind not in FINE else []
    assert failed == []
    assert planned >= EACH // 2


@pytest.mark.parametrize("lot", range(LOTS))
def test_drawings_are_planned_right_or_refused(lot):
    outcomes = {
        number: try_drawing(*random_drawing(number)) for number in range(lot * EACH, (lot + 1) * EACH)
    }
    assert {number: found for number, found in outcomes.items() if found.kind not in FINE} == {}
    assert sum(found.kind == "planned" for found in outcomes.values()) >= LEAST_PLANNED * EACH


def _motifs(design):
    top = design["top"]
    sashing = top.get("sashing", {})
    pieces = [design, *design.get("kinds", {}).values(), *top.get("borders", []), sashing]
    return [m for piece in pieces for m in piece.get("motifs", [])] + sashing.get("cornerstone_motifs", [])


def test_every_motif_occurs_with_all_its_options():
    said = {motif.model_fields["motif"].default: set() for motif in MOTIFS}
    for number in range(LOTS * EACH):
        for motif in _motifs(random_design(number)):
            said[motif["motif"]] |= set(motif)
    wanted = {motif.model_fields["motif"].default: set(motif.model_fields) for motif in MOTIFS}
    for motif in ("basting", "ditch"):
        wanted[motif] -= {"name", "thread"}
        said[motif] -= {"name", "thread"}
    assert said == wanted


def test_a_third_is_for_frames_that_reach_a_band_or_for_hands():
    tables = [random_design(number) for number in range(LOTS * EACH)]

    def share(key, *table):
        found = [design.get(table[0], {}) if table else design for design in tables]
        return sum(key in one for one in found) / len(tables)

    assert share("reach", "machine") >= 0.3
    assert share("last_reach", "machine") >= 0.1
    assert share("sideways", "machine") >= 0.08
    assert share("by_hand", "schedule") >= 0.05
    assert share("groups", "schedule") >= 0.2
    assert share("threads") >= 0.2
    for key in (
        "cuts",
        "laps",
        "finish",
        "order",
        "stages",
        "bands",
        "threads",
        "travel_by_hand",
        "by_hand_when",
        "bobbins_end",
    ):
        assert share(key, "schedule") > 0, key


def test_a_number_gives_its_text_on_every_machine():
    assert tomllib.loads(random_top(3)) == random_design(3)
    assert random_top(3) == random_top(3) != random_top(4)
