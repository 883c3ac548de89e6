"""Plain coordinates: read as they are meant, and refused with the line where they are not."""

import numpy as np
import pytest
from plans import line

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError, FileError
from stitchpath.formats.plain_coordinates import read_coordinates
from stitchpath.formats.stitch_table import write_csv
from stitchpath.planner import make_plan


def read(tmp_path, text, **how):
    file = tmp_path / "other.csv"
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_coordinates(file, **{"unit": "mm", "origin": (0, 0)} | how)


def listed(paths):
    return [path.tolist() for path in paths]


def test_paths_are_parted_by_blank_lines(tmp_path):
    paths = read(tmp_path, "\n0,0\n 10 , 5.5\n\n \t\n-1,.5\r\n+2,3.\r\n1e1,2E-1\n\n")
    assert listed(paths) == [[[0, 0], [10, 5.5]], [[-1, 0.5], [2, 3], [10, 0.2]]]
    assert not any(path.flags.writeable for path in paths)


def test_unit_and_origin_are_as_said(tmp_path):
    assert listed(read(tmp_path, "1,2\n3,2", unit="in", origin=(1, 1))) == [[[0, 25.4], [50.8, 25.4]]]
    assert listed(read(tmp_path, "1,2\n3,5", origin=(0, 10), y_up=True)) == [[[1, 8], [3, 5]]]
    assert listed(read(tmp_path, "\ufeffx_in,y_in\n1,2\n5,2", unit="in")) == [[[25.4, 50.8], [127, 50.8]]]
    assert listed(read(tmp_path, "x,y\r1,2\r3,2")) == [[[1, 2], [3, 2]]]


def test_our_own_thin_table_is_read(tmp_path):
    plan = make_plan(Drawing.from_lines([line((0, 0), (90, 0)), line((0, 50), (90, 70))]))
    write_csv(plan, tmp_path / "thin.csv", unit="in", thin=True)
    paths = read_coordinates(tmp_path / "thin.csv", unit="in", origin=(0, 0))
    assert len(paths) == len(plan.paths)
    for path, own in zip(paths, plan, strict=True):
        assert np.abs(path - own.coordinates_mm).max() < 0.001


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("0,0\n1,1\n\n5,5,5\n", ':4: "5,5,5" is no point; write x,y such as'),
        ("0,0\n1;1\n", ':2: "1;1" is no point'),
        ("0,0\nnan,1\n", ':2: "nan,1" is no point'),
        ("0,0\ninf,1\n", ':2: "inf,1"'),
        ("0,0\n1,0x10\n", ':2: "1,0x10"'),
        ("0,0\n1,1_0\n", ':2: "1,1_0"'),
        ("0,0\n1,١\n", ":2: "),
        ("0,0\n1,\x1b[31m\n", r':2: "1,\?\[31m" is no point'),
        ("0,0\n" + "1" * 5000 + ",1\n", ':2: "1{40}" is no point'),
        ("0,0\nx,y\n", ':2: "x,y" is no point'),
        ("x_mm,y_mm\n0,0\n1,1", None),
        ("x_in,y_in\n0,0\n1,1", ':1: the columns are in in, and the unit is said to be mm; say "in"'),
        ("0,0\n1,1\n\n7,7\n\n", ":4: this path has no two different points"),
        ("\n\n7,7\n7,7\n", ":3: this path has no two different points"),
        ("0,0\n1,1\n2,1e9\n", ":3: the point is over 1 km off; look at the unit and the origin"),
        ("", ": it holds no point"),
        (" \n\n", ": it holds no point"),
        (b"0,0\n1,\xff\n", ":2: this is not UTF-8"),
    ],
)
def test_what_is_wrong_is_told_with_its_line(tmp_path, text, said):
    if said is None:
        assert len(read(tmp_path, text)) == 1
        return
    with pytest.raises(FileError, match=f"other.csv{said}"):
        read(tmp_path, text)


def test_too_much_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr("stitchpath.formats.plain_coordinates.MOST_FOREIGN_POINTS", 2)
    with pytest.raises(FileError, match=":4: there are over 2 points"):
        read(tmp_path, "0,0\n1,1\n\n2,2\n")
    monkeypatch.setattr("stitchpath.formats.plain_coordinates.MOST_FOREIGN_BYTES", 5)
    with pytest.raises(FileError, match="larger than 5 bytes"):
        read(tmp_path, "0,0\n1,1\n")


@pytest.mark.parametrize(
    "how", [{"unit": "yd"}, {"origin": (0, float("inf"))}, {"origin": 0}, {"origin": "ab"}]
)
def test_a_frame_that_is_none_is_refused(tmp_path, how):
    with pytest.raises(DesignError, match=r'unit: "yd" is no unit of length|origin: .* is no place'):
        read(tmp_path, "0,0\n1,1", **how)


def test_a_file_that_is_missing(tmp_path):
    with pytest.raises(FileError, match="no such file"):
        read_coordinates(tmp_path / "none.csv", unit="mm", origin=(0, 0))
