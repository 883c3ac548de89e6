"""The table of bands read back; each wrong row is told with its line."""

import csv

import pytest
from banded_plans import banded

from stitchpath.errors import FileError
from stitchpath.formats.bands_table import NOTE, bands_table, places_header
from stitchpath.formats.read_bands import BandRow, read_bands

HEADER = ",".join(places_header("mm")) + "\r\n"
GOOD = "1,start,here,1.000,-2.500,0.000,0.000\r\n"


@pytest.fixture
def read(tmp_path):
    def reader(text):
        file = tmp_path / "a-bands.csv"
        file.write_bytes(text.encode())
        return read_bands(file)

    return reader


@pytest.mark.parametrize(("unit", "factor"), [("mm", 1.0), ("in", 25.4)])
@pytest.mark.parametrize("sideways", [False, True])
def test_what_is_written_is_read_in_millimetres(read, unit, factor, sideways):
    text = bands_table(banded(sideways=sideways), unit=unit)
    told = list(csv.reader(text.splitlines(keepends=True)))[1:]
    found = read(text)
    assert len(found) == len(told) > 6
    for row, (band, mark, what, *numbers) in zip(found, told, strict=True):
        assert (row.band, row.mark, row.what) == (int(band), mark, what)
        if mark != NOTE:
            x, y, u, v = (float(number) * factor for number in numbers)
            assert row.place_mm == pytest.approx((x, y))
            assert row.file_mm == pytest.approx((u, v))


def test_a_note_has_no_place_and_cells_may_be_quoted(read):
    found = read(HEADER + GOOD + '12,note,"a, ""b"" and c",,,,\r\n')
    assert found == (
        BandRow(1, "start", "here", (1.0, -2.5), (0.0, 0.0)),
        BandRow(12, "note", 'a, "b" and c', None, None),
    )


def test_a_table_without_rows(read):
    assert read(HEADER) == ()


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ("", 1, 'the header is ""'),
        (HEADER.replace("y_mm", "y_in", 1), 1, "the header is"),
        (HEADER.replace(",what", ""), 1, "the header is"),
        (HEADER + GOOD + GOOD.replace(",0.000\r", "\r"), 3, "there are 6 cells; write 7"),
        (HEADER + "\r\n", 2, "there are 0 cells; write 7"),
        (HEADER + GOOD.replace("1,", "0,", 1), 2, 'band is "0"; write a number counted from 1'),
        (HEADER + GOOD.replace("1,", "1.5,", 1), 2, 'band is "1.5"'),
        (HEADER + GOOD.replace("start", "E"), 2, 'mark is "E"; write start, end, a letter from A to D'),
        (HEADER + GOOD.replace("-2.500", "nan"), 2, 'a place has "nan"; write a number such as 12.700'),
        (HEADER + GOOD.replace("-2.500", "1e3"), 2, 'a place has "1e3"'),
        (HEADER + GOOD.replace("-2.500", ""), 2, 'a place has ""'),
        (HEADER + GOOD.replace("here", '"he"re'), 2, "this is no row of a table"),
    ],
)  # fmt: skip
def test_a_wrong_row_is_told_with_its_line(read, text, line, said):
    with pytest.raises(FileError) as caught:
        read(text)
    assert caught.value.line == line
    assert said in f"{caught.value.problem}; {caught.value.remedy}"
    assert "\n" not in str(caught.value)
