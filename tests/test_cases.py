"""Designs that were once planned wrongly: each says in its first line what happened."""

from pathlib import Path

import pytest
from random_trials import try_top

CASES = sorted((Path(__file__).parent / "cases").glob("*.toml"))
REFUSED = {"by_hand_all": "schedule.by_hand", "tiny_reach": "machine.last_reach"}
"""What no plan exists for, and the key that the sentence names."""


@pytest.mark.parametrize("file", CASES, ids=lambda file: file.stem)
def test_a_design_that_went_wrong_is_planned_right(file):
    outcome = try_top(file.read_text(encoding="utf-8"))
    if file.stem in REFUSED:
        assert outcome.kind == "refused"
        assert REFUSED[file.stem] in outcome.said
    else:
        assert (outcome.kind, outcome.said) == ("planned", "")
