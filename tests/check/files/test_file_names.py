"""Which files a plan has: what its manifest must list, and what is left from another plan."""

import pytest
from banded_plans import banded
from export_plans import orchard

from stitchpath.check.files.file_names import left_over, listing_fits
from stitchpath.files import MachineTables, manifest_name, write_files
from stitchpath.formats.stitch_points import BASTING_LENGTH_MM
from stitchpath.outputs import HowToWrite, file_texts

BOTH = MachineTables(True, 2.5, BASTING_LENGTH_MM)


def write(plan, folder):
    """Write the files of a plan and its bands with both tables for a machine; return their names."""
    contents = file_texts(plan, "f", HowToWrite(also=frozenset({"thin", "stitches"}), stitch_length_mm=2.5))
    write_files(folder, contents, manifest=manifest_name("f"), tables=BOTH)
    return set(contents)


def findings(folder, listed, plan, tables=BOTH):
    banded = len(plan.windows) > 1
    return [
        finding.message for finding in listing_fits(folder, "f", listed, tables, plan.paths, banded=banded)
    ]


@pytest.mark.parametrize("plan", [orchard(), banded()], ids=["whole", "banded"])
def test_each_file_that_the_manifest_leaves_out_is_found(tmp_path, plan):
    listed = write(plan, tmp_path)
    assert len(listed) == (18 if len(plan.windows) > 1 else 6) + (len(plan.windows) > 1)
    assert findings(tmp_path, listed, plan) == []
    for name in listed:
        said = f"f-manifest.json does not list {name}; write the files again"
        assert findings(tmp_path, listed - {name}, plan) == [said]


def test_what_the_manifest_lists_and_the_plan_does_not_have_is_found(tmp_path):
    listed = write(banded(), tmp_path)
    (said,) = findings(tmp_path, listed | {"f-band-4.csv"}, banded())
    assert said.startswith("f-manifest.json lists f-band-4.csv, which this plan does not have")
    found = findings(tmp_path, listed, banded(), MachineTables())
    assert len(found) == 2 + 2 * 3
    assert findings(tmp_path, listed | {"f-plan-sheet.html", "else.txt"}, banded()) == []


def test_files_left_from_a_plan_with_more_bands_or_tables_are_found(tmp_path):
    write(banded(rows=4), tmp_path)
    for name in ("f-band-9-thin.csv", "f-walkthrough.html", "f-directions.txt"):
        (tmp_path / name).write_text("")
    for name in ("f-band-old.csv", "f-notes.txt", "ff-thin.csv", "f-thin.csv.bak"):
        (tmp_path / name).write_text("somebody else's")
    plan = banded(rows=3)
    own = write(plan, tmp_path)
    strange = ["f-band-9-thin.csv", "f-directions.txt", "f-walkthrough.html"]
    assert [message.split()[0] for message in findings(tmp_path, own, plan)] == strange
    write_files(tmp_path, {"f-band-9-thin.csv": ""}, manifest=manifest_name("f-band-9-thin"))
    assert [finding.message.split()[0] for finding in left_over(tmp_path, "f", own)] == strange[1:]
