import io
import sys

from stitchpath.cli.say import complain, put, say


def test_what_an_encoding_lacks_is_escaped(monkeypatch):
    stream = io.TextIOWrapper(io.BytesIO(), encoding="ascii")
    monkeypatch.setattr(sys, "stdout", stream)
    say("Obstgarten ½ ü")
    stream.flush()
    assert stream.buffer.getvalue() == b"Obstgarten \\xbd \\xfc\n"


def test_files_go_out_as_utf_8_with_their_line_ends(monkeypatch):
    stream = io.TextIOWrapper(io.BytesIO(), encoding="ascii")
    monkeypatch.setattr(sys, "stdout", stream)
    put("a,ü\r\n")
    assert stream.buffer.getvalue() == "a,ü\r\n".encode()


def test_complaints_name_the_program(capsys):
    complain("a.toml:3: top: 0 is not a size")
    assert capsys.readouterr() == ("", "stitchpath: a.toml:3: top: 0 is not a size\n")
