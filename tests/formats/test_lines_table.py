import csv

import pytest
from export_plans import orchard

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.formats.lines_table import write_lines_csv
from stitchpath.lines import Line


def test_every_point_of_every_line(tmp_path):
    drawing = orchard().drawing
    write_lines_csv(drawing, tmp_path / "a.csv")
    with (tmp_path / "a.csv").open(newline="", encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream))
    assert list(rows[0]) == ["line", "role", "thread", "block", "x_mm", "y_mm"]
    assert len(rows) == sum(len(line.points_mm) for line in drawing.lines)
    last = rows[-1]
    assert last["line"] == str(len(drawing.lines))
    assert (last["role"], last["thread"], last["block"]) == ("fill", "cream", "row 2, column 2")
    assert [float(last["x_mm"]), float(last["y_mm"])] == pytest.approx(
        drawing.lines[-1].points_mm[-1], abs=6e-4
    )


def test_a_name_that_is_a_formula(tmp_path):
    with pytest.raises(DesignError, match="formula"):
        write_lines_csv(Drawing((Line([(0, 0), (1, 1)], thread="=1"),)), tmp_path / "a.csv")
    assert list(tmp_path.iterdir()) == []
