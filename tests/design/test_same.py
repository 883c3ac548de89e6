"""Designs are the same if they ask for the same, read from a file or built in Python."""

import pytest

from stitchpath.design import Change, Design, Kind, Top, read_design
from stitchpath.motifs import Ditch, Ellipse

TEXT = """\
unit = "in"
layout = ["P"]
motifs = [{ motif = "ditch" }]
top = { block_width = 10, block_height = "10 in" }
kinds.pear = { letter = "P", motifs = [{ motif = "ellipse", name = "pear", width = 4, height = 6 }] }
[[changes]]
block = "row 1, column 1"
motif = "pear"
to = { height = "7 in" }
"""


@pytest.fixture
def read(tmp_path):
    def reader(text=TEXT, name="pear.toml"):
        (tmp_path / name).write_text(text, encoding="utf-8")
        return read_design(tmp_path / name)

    return reader


def change(**to):
    return Change(block="row 1, column 1", motif="pear", to=to)


def built(**other):
    pear = Kind(letter="P", motifs=[Ellipse(name="pear", width="4 in", height="6 in")])
    given = {
        "unit": "in",
        "layout": ["P"],
        "motifs": [Ditch()],
        "top": Top(block_width=254, block_height="10 in"),
        "kinds": {"pear": pear},
        "changes": [change(height="7 in")],
    }
    return Design(**given | other)


def test_read_from_a_file_and_built_in_python_is_the_same(read):
    assert read() == built() == read(TEXT + "\n# a note", "other.toml")
    assert read().source != read(name="other.toml").source


def test_what_asks_for_something_else_is_not_the_same(read):
    for other in ({"name": "Pears"}, {"motifs": []}, {"changes": []}, {"changes": [change(height="8 in")]}):
        assert read() != built(**other)
    assert built() != built().top


def test_a_bare_number_counts_in_its_unit(read):
    bare = read(TEXT.replace('"7 in"', "7"))
    assert bare == read(TEXT.replace('"7 in"', "7"), "other.toml")
    assert bare != built(changes=[change(height=7)])
    assert bare != read(TEXT.replace('"7 in"', "7").replace('"in"', '"mm"', 1))
    assert change(height=7) == change(height=7) != change(height=8)
    assert change(applique=True, height="7 in") != "pear"
