import pytest
from hypothesis import HealthCheck, given, settings
from strategies import damages

from stitchpath.errors import FileError
from stitchpath.formats.read_table import read_csv

HEAD = "band,stage,path,move,x_mm,y_mm"
GOOD = (HEAD, "1,s,1,lift,0,0", "1,s,1,sew,1.5,-2", "2,s,2,lift,0,0", "2,s,2,sew,1,1")


def read(tmp_path, lines, end="\r\n"):
    (tmp_path / "a.csv").write_text("".join(line + end for line in lines), encoding="utf-8", newline="")
    return read_csv(tmp_path / "a.csv")


@pytest.mark.parametrize("end", ["\r\n", "\n"])
def test_the_good_one(tmp_path, end):
    first, second = read(tmp_path, GOOD, end)
    assert first.coordinates_mm.tolist() == [[0, 0], [1.5, -2]]
    assert (first.band, second.band, first.stage) == (1, 2, "s")
    assert read(tmp_path, [HEAD]) == ()


@pytest.mark.parametrize(
    ("line", "new", "words"),
    [
        (0, "x,y", r':1: the header is "x,y"; write "band,stage'),
        (0, "\ufeff" + HEAD, ":1: the table begins with a byte order mark; save it as UTF-8 without one"),
        (0, HEAD.replace("mm", "cm"), ":1: the header"),
        (1, "1,s,1,lift,0", ":2: there are 5 cells; write 6"),
        (1, "1,s,1,lift,0,0,0", "there are 7 cells"),
        (1, "", "there are 0 cells"),
        (1, "0,s,1,lift,0,0", 'band is "0"'),
        (1, "1,s,one,lift,0,0", 'path is "one"'),
        (1, "1,s,2,lift,0,0", "path 2 with move lift follows path 0"),
        (1, "1,s,1,sew,0,0", "begin each path by a lift"),
        (2, "1,s,1,jump,0,0", 'the move is "jump"; write lift, resume, secure, sew, step, travel'),
        (2, "1,s,1,sew,nan,0", 'x is "nan"'),
        (2, "1,s,1,sew,inf,0", 'x is "inf"'),
        (2, "1,s,1,sew,0,1e5", 'y is "1e5"'),
        (2, '1,s,1,sew,0,"1,5"', 'y is "1,5"'),
        (2, "1,s,1,sew,0,٣", 'y is "٣"'),
        (2, "1,s,1,sew,0," + "9" * 20, "y is"),
        (2, "2,s,1,sew,0,0", "goes from band 1 to 2"),
        (2, "1,t,1,sew,0,0", 'begins in stage "s" and goes on in "t"'),
        (2, '1,"s,1,sew,0,0', "no row of a table"),
        (3, "1,s,1,lift,0,0", "path 1 with move lift follows path 1"),
        (3, "1,s,3,lift,0,0", "follows path 1"),
        (1, "3,s,1,lift,0,0", "band 1 follows band 3"),
    ],
)
def test_every_row_is_checked_and_its_line_named(tmp_path, line, new, words):
    lines = [*GOOD]
    lines[line] = new
    with pytest.raises(FileError, match=words) as caught:
        read(tmp_path, lines)
    assert "\n" not in str(caught.value)


def test_a_path_is_no_point(tmp_path):
    with pytest.raises(FileError, match=":2: path 1 is a single point"):
        read(tmp_path, [GOOD[0], GOOD[1], *GOOD[3:]])


def test_bands_only_rise(tmp_path):
    lines = [line.replace("1,s,1", "3,s,1") for line in GOOD]
    with pytest.raises(FileError, match=":4: band 2 follows band 3"):
        read(tmp_path, lines)


def test_not_utf_8(tmp_path):
    (tmp_path / "a.csv").write_bytes(HEAD.encode() + b"\r\n1,\xe9,1,lift,0,0\r\n")
    with pytest.raises(FileError, match=r"a\.csv:2: this is not UTF-8"):
        read_csv(tmp_path / "a.csv")


def test_a_cell_without_end(tmp_path):
    with pytest.raises(FileError, match="no row of a table"):
        read(tmp_path, [HEAD, "1," + "s" * 200_000 + ",1,lift,0,0"])


@settings(deadline=None, max_examples=100, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(damages())
def test_a_damaged_file_is_read_or_refused_in_one_sentence(tmp_path, damage):
    file = tmp_path / "a.csv"
    file.write_bytes(damage.done_to("\r\n".join(GOOD).encode()))
    said = str(file)
    try:
        read_csv(file)
    except FileError as caught:
        said = str(caught)
    assert said.startswith(str(file))
    assert "\n" not in said
