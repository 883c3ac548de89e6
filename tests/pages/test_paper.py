"""Papers of the standards, and rules that measure what they say."""

import numpy as np
import pytest
from svg_marks import strokes_of, words_of

from stitchpath.errors import DesignError
from stitchpath.pages.paper import PAPERS, paper_of, rules, rules_mm


def test_papers_have_the_sizes_of_their_standards():
    a4, letter = paper_of("A4"), paper_of("Letter")
    # ISO 216: an area of 1/16 m², sides as 1 to the root of 2; 8.5 in by 11 in of 25.4 mm.
    assert a4.width_mm * a4.height_mm == pytest.approx(1e6 / 16, rel=3e-3)
    assert a4.height_mm / a4.width_mm == pytest.approx(2**0.5, rel=1e-3)
    assert (letter.width_mm, letter.height_mm) == pytest.approx((215.9, 279.4))
    assert a4.room_mm == (190, 277)
    assert {paper.name for paper in PAPERS.values()} == set(PAPERS)


@pytest.mark.parametrize("name", ["", "A5", "a4", None, 4, ["A4"]])
def test_another_paper_is_refused_with_those_there_are(name):
    with pytest.raises(DesignError, match="is no paper; write A4 or Letter") as caught:
        paper_of(name)
    assert caught.value.key == "paper"


def test_rules_are_as_long_as_they_say():
    marks = list(rules(20.0, 50.0))
    drawn = [strokes_of(mark) for mark in marks if mark.tag == "path"]
    bases = [lines[0] for lines in drawn if len(lines) == 1]
    assert [float(np.ptp(base[:, 0])) for base in bases] == pytest.approx([100, 4 * 25.4])
    assert words_of(marks) == ["0", "100 mm", "0", "4 in"]
    assert all(base[0, 0] == 20 for base in bases)
    ticks = [lines for lines in drawn if len(lines) > 1]
    for found, step, tall in zip(ticks, (10, 12.7), (5, 2), strict=True):
        places = [float(tick[0, 0]) for tick in found]
        assert np.diff(places) == pytest.approx([step] * (len(places) - 1), abs=2e-3)
        heights = [float(np.ptp(tick[:, 1])) for tick in found]
        assert [height > 2 for height in heights] == [at % tall == 0 for at in range(len(places))]
    lowest = max(float(mark.attributes["y"]) for mark in marks if mark.tag == "text")
    assert lowest - 50 <= rules_mm()
