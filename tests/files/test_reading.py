import pytest

from stitchpath.errors import FileError
from stitchpath.files import read_bytes, read_text, sha256_of


def test_sha256_of_the_published_example():
    # FIPS 180-4 example: SHA-256("abc").
    assert sha256_of("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert sha256_of(b"abc") == sha256_of("abc")


def test_reading_says_what_is_wrong(tmp_path):
    with pytest.raises(FileError, match="there is no such file"):
        read_bytes(tmp_path / "none")
    with pytest.raises(FileError, match="it is a folder"):
        read_bytes(tmp_path)
    (tmp_path / "latin").write_bytes(b"one\ntwo \xe9\n")
    with pytest.raises(FileError, match=r"latin:2: this is not UTF-8"):
        read_text(tmp_path / "latin")
    with pytest.raises(FileError, match="larger than 3 bytes"):
        read_bytes(tmp_path / "latin", most=3)
