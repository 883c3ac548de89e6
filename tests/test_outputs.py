"""One contract over all formats."""

import pytest
from export_plans import orchard

from stitchpath.errors import FileError
from stitchpath.files import manifest_name, verify_files, write_files
from stitchpath.formats.document import write_json
from stitchpath.formats.sewing_svg import write_svg
from stitchpath.formats.stitch_table import write_csv
from stitchpath.outputs import FORMATS, texts
from stitchpath.pictures.picture import write_picture

WRITERS = {".svg": write_svg, "-picture.svg": write_picture, ".csv": write_csv, ".json": write_json}


def test_the_list_and_the_writers_agree():
    assert set(WRITERS) == set(FORMATS)


@pytest.mark.parametrize("ending", FORMATS)
def test_a_writer_writes_its_text_once_and_for_all(tmp_path, ending):
    plan = orchard(rows=1)
    assert WRITERS[ending](plan, tmp_path / f"a{ending}") is None
    assert (tmp_path / f"a{ending}").read_bytes().decode() == FORMATS[ending](plan)
    WRITERS[ending](plan, str(tmp_path / f"a{ending}"))
    assert (tmp_path / f"a{ending}").read_bytes().decode() == FORMATS[ending](plan)
    assert len(list(tmp_path.iterdir())) == 1


@pytest.mark.parametrize("ending", FORMATS)
def test_a_writer_says_where_it_cannot_write(tmp_path, ending):
    with pytest.raises(FileError, match="there is no folder"):
        WRITERS[ending](orchard(rows=1), tmp_path / "none" / f"a{ending}")
    with pytest.raises(FileError, match="it is a folder"):
        WRITERS[ending](orchard(rows=1), tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_all_with_their_manifest(tmp_path):
    contents = texts(orchard(rows=1), "leaf")
    write_files(tmp_path, contents, manifest=manifest_name("leaf"))
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "leaf-manifest.json", "leaf-picture.svg", "leaf.csv", "leaf.json", "leaf.svg",
    ]  # fmt: skip
    assert verify_files(tmp_path / manifest_name("leaf")) == ()
