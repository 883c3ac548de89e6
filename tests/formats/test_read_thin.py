import numpy as np
import pytest
from export_plans import orchard

from stitchpath.errors import FileError
from stitchpath.formats.read_thin import read_thin
from stitchpath.formats.stitch_table import write_csv


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_a_thin_table_is_read_back(tmp_path, unit):
    plan = orchard()
    write_csv(plan, tmp_path / "t.csv", thin=True, unit=unit)
    read = read_thin(tmp_path / "t.csv")
    assert len(read) == len(plan.paths)
    for points, path in zip(read, plan.paths, strict=True):
        assert np.abs(points - path.coordinates_mm).max() < 0.000501


def test_a_table_of_no_paths_holds_none(tmp_path):
    (tmp_path / "t.csv").write_text("x_mm,y_mm\r\n")
    assert read_thin(tmp_path / "t.csv") == ()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "t.csv:1: the header is"),
        ("x,y\n1,2\n", "t.csv:1: the header is"),
        ("x_mm,y_mm\n1.0,2.0\n1.0;2.0\n", 't.csv:3: "1.0;2.0" is no point'),
        ("x_mm,y_mm\n1.0,nan\n", "t.csv:2: "),
        ("x_mm,y_mm\n1.0,1e5\n", "t.csv:2: "),
        ("x_mm,y_mm\n\n1.0,2.0\n", 't.csv:2: "" is no point'),
        ("x_mm,y_mm\n1.0,2.0\n\n\n3.0,2.0\n", 't.csv:4: "" is no point'),
        ("x_mm,y_mm\n1.0,2.0\n\n", "t.csv:3: a blank line stands at the end"),
    ],
)
def test_what_is_no_thin_table_is_named_by_its_line(tmp_path, text, said):
    (tmp_path / "t.csv").write_text(text)
    with pytest.raises(FileError) as refused:
        read_thin(tmp_path / "t.csv")
    assert said in str(refused.value)
