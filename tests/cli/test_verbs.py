"""What the verbs do with what they are given: nothing is read, drawn or aligned twice."""

from collections import Counter

import pytest
from plans import TWO_LEAVES

from stitchpath.cli import main
from stitchpath.outputs import OUTPUTS

PAGES = [each.option for each in OUTPUTS if each.text and each.option and not each.takes_value]


@pytest.fixture
def counted(monkeypatch):
    """How often a design is parsed, its motifs are drawn, and bands are aligned."""
    from stitchpath import drawing
    from stitchpath.design import read
    from stitchpath.figures import alignment

    counts = Counter()

    def watch(module, name):
        before = getattr(module, name)

        def called(*given, **more):
            counts[name] += 1
            return before(*given, **more)

        monkeypatch.setattr(module, name, called)

    watch(read, "_parsed")
    watch(drawing, "draw_places")
    watch(alignment, "_rays")
    return counts


def test_with_all_pages_a_design_is_read_drawn_and_aligned_once(tmp_path, counted, capsys):
    design = tmp_path / "leaves.toml"
    text = TWO_LEAVES.replace('["LL"]', '["L", "L"]').replace("[top]", "[machine]\nreach = 120\n[top]", 1)
    design.write_text(text, encoding="utf-8")
    out = tmp_path / "out"
    assert main(["plan", str(design), "--out", str(out), "--stitch-length", "2.5 mm", *PAGES]) == 0
    capsys.readouterr()
    assert (out / "leaves-bands.csv").exists()
    assert counted == {"_parsed": 1, "draw_places": 1, "_rays": 1}
    assert main(["check", str(design), str(out)]) == 0
    assert counted["draw_places"] == 2
