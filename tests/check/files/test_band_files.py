"""Files of bands, and every way of spoiling them that comes to mind."""

import re
from dataclasses import replace

import pytest
from banded_plans import banded
from plans import TWO_LEAVES

from stitchpath.check import check_folder
from stitchpath.check.files.band_files import bands_fit
from stitchpath.check.folder import _TURNS, _turns
from stitchpath.design import read_design
from stitchpath.drawing import draw
from stitchpath.files import manifest_name, write_files
from stitchpath.formats.read_svg import read_svg
from stitchpath.formats.read_table import read_csv
from stitchpath.formats.sewing_svg import sewing_svg
from stitchpath.formats.stitch_table import stitch_table
from stitchpath.lines import Role
from stitchpath.outputs import HowToWrite, file_names, file_texts
from stitchpath.plan import Move, Plan, RoutedJob, Span, StitchPath


def write(plan, folder, *, spoil=None, y_up=False, unit="mm"):
    contents = file_texts(plan, "f", HowToWrite(table_unit=unit, y_up=y_up))
    for name, change in (spoil or {}).items():
        before = contents.pop(name)
        after = change(before)
        assert after != before
        contents |= {} if after is None else {name: after}
    write_files(folder, contents, manifest=manifest_name("f"))


def findings(plan, folder):
    paths = read_csv(folder / "f.csv")
    return list(
        bands_fit(
            folder, "f", paths, plan.windows, plan.drawing, sideways=plan.machine.sideways,
            turns=_turns(read_svg(folder / "f.svg"), paths),
        )
    )  # fmt: skip


@pytest.mark.parametrize("sideways", [False, True])
@pytest.mark.parametrize("options", [{}, {"unit": "in"}, {"y_up": True}])
def test_files_as_written_hold(tmp_path, sideways, options):
    plan = banded(sideways=sideways)
    write(plan, tmp_path, **options)
    assert findings(plan, tmp_path) == []


def without_path(number):
    return lambda text: re.sub(rf"^2,[a-z]+,{number},.*\r\n", "", text, flags=re.MULTILINE)


def mirrored(text):
    """Turn x about: the F is none any more."""
    plan = banded()
    flipped = [replace(p, coordinates_mm=p.coordinates_mm * (-1, 1) + (406.4, 0)) for p in plan]
    return stitch_table(replace(plan, paths=tuple(flipped)), band=2)


def mirrored_svg(text):
    return sewing_svg(banded(), band=2, y_up=True)


FIRST_PATH = re.compile(r"<path [^>]*/>\n")


@pytest.mark.parametrize(
    ("name", "change", "kind", "words"),
    [
        ("f-band-2.csv", lambda t: None, "csv", "f-band-2.csv"),
        ("f-band-2.svg", lambda t: None, "svg", "f-band-2.svg"),
        ("f-bands.csv", lambda t: None, "bands", "f-bands.csv"),
        ("f-band-2.csv", without_path(24), "csv", "has 11 paths, band 2 of the whole table 12"),
        ("f-band-2.csv", lambda t: t.replace("203.200,10.000", "203.200,10.004"), "csv",
         "path 14 of f-band-2.csv, point 1"),
        ("f-band-2.csv", lambda t: t.replace("2,seams,16,sew,101.600,111.600\r\n", ""), "csv", "path 16"),
        ("f-band-2.csv", lambda t: t.replace("seams", "detail"), "csv", "other bands, stages or moves"),
        ("f-band-2.csv", lambda t: t.replace("travel", "sew"), "csv", "other bands, stages or moves"),
        ("f-band-2.csv", mirrored, "csv", "path 13"),
        ("f-band-2.csv", lambda t: stitch_table(banded(), band=3), "csv", "begins with path 25"),
        ("f-band-2.csv", lambda t: stitch_table(banded(sideways=True), band=2), "csv", "begins with path 10"),
        ("f-band-3.csv", lambda t: t[:-20], "csv", "f-band-3.csv"),
        ("f-band-2.svg", lambda t: FIRST_PATH.sub("", t, count=1), "svg", "has 11 paths"),
        ("f-band-2.svg", lambda t: t.replace("M 101.600,10.000", "M 101.604,10.000"), "svg", "path 13"),
        ("f-band-2.svg", mirrored_svg, "svg", "path 13 of f-band-2.svg"),
        ("f-band-2.svg", lambda t: t.replace("</svg>", "<text>2</text></svg>"), "svg", "only paths"),
        ("f-bands.csv", lambda t: t.replace("2,end,", "2,note,"), "bands", "band 2 starts and ends"),
        ("f-bands.csv", lambda t: t.replace("2,A,", "2,B,"), "bands", "two places of band 2 alike"),
        ("f-bands.csv", lambda t: re.sub("2,[AB],.*\r\n", "", t), "bands", "under two places"),
        ("f-bands.csv", lambda t: f"{t}4,note,more,,,,\r\n", "bands", "more bands than the plan"),
        ("f-bands.csv", lambda t: t.replace(",101.600,10.000", ",101.600,10.100"), "bands", "A of band 2 is"),
        ("f-bands.csv", lambda t: t.replace("91.600,0.000,0.000", "91.700,0.000,0.100"), "bands", "window"),
        ("f-bands.csv", lambda t: t.replace("101.600,101.600,101.600,10.000",
                                            "121.600,171.600,121.600,80.000"), "bands", "no earlier band"),
        ("f-bands.csv", lambda t: t.replace("101.600,101.600,101.600,10.000",
                                            "101.600,171.600,101.600,80.000"), "bands", "no earlier band"),
        ("f-bands.csv", lambda t: t.replace("101.600,101.600,101.600,10.000",
                                            "101.600,71.600,101.600,-20.000"), "bands", "out of reach"),
        ("f-bands.csv", lambda t: t.replace("mark", "sign"), "bands", "the header is"),
    ],
)  # fmt: skip
def test_a_fault_is_found(tmp_path, name, change, kind, words):
    plan = banded()
    write(plan, tmp_path, spoil={name: change})
    found = findings(plan, tmp_path)
    assert kind in {finding.kind for finding in found}
    assert any(words in finding.message for finding in found), found


def test_a_symmetric_sewing_svg_may_be_turned_either_way():
    path = StitchPath([(0, 5), (9, 5)], (Span(Move.SEW, 0, 1),))
    assert len(_turns([path.coordinates_mm], [path])) == len(_TURNS)
    bent = StitchPath([(0, 5), (9, 7)], (Span(Move.SEW, 0, 1),))
    assert len(_turns([bent.coordinates_mm], [bent])) == 1


DESIGN = TWO_LEAVES.replace("[top]", "[machine]\nreach = 120\nsideways = true\n[top]")


def test_a_folder_is_checked_with_its_bands(tmp_path):
    (tmp_path / "f.toml").write_text(DESIGN, encoding="utf-8")
    asked = read_design(tmp_path / "f.toml")
    drawing = draw(asked)
    order = [(1, "seams"), (1, "detail"), (1, "detail"), (2, "detail"), (2, "detail")]
    assert [line.role for line in drawing.lines] == [Role.DITCH, *[Role.OUTLINE] * 4]
    paths = tuple(
        StitchPath(x.points_mm, (Span(Move.SEW, 0, len(x.points_mm) - 1, i, stage),), x.thread, band)
        for i, (x, (band, stage)) in enumerate(zip(drawing.lines, order, strict=True), 1)
    )
    jobs = (
        RoutedJob(1, "seams", 30.0, 30.0, 0.0, 1, False, 0.001),
        RoutedJob(1, "detail", 240.0, 240.0, 0.0, 2, False, 0.001),
        RoutedJob(2, "detail", 240.0, 240.0, 0.0, 2, False, 0.001),
    )
    plan = Plan(
        drawing, paths, jobs, bound=100.0, machine=asked.machine, windows=((0.0, 101.0), (99.0, 200.0))
    )
    contents = file_texts(plan, "f")
    assert list(contents) == file_names("f", bands=(1, 2))
    told = {"manifest": manifest_name("f"), "design_sha256": drawing.design_sha256}
    write_files(tmp_path, contents, **told)
    assert check_folder(tmp_path / "f.toml", tmp_path, "f") == ()
    write_files(tmp_path, {**contents, "f-band-2.svg": contents["f-band-1.svg"]}, **told)
    found = check_folder(tmp_path / "f.toml", tmp_path, "f")
    assert {finding.kind for finding in found} == {"svg"}
    assert "f-band-2.svg" in found[0].message
    (tmp_path / "f-band-1.csv").unlink()
    assert {finding.kind for finding in check_folder(tmp_path / "f.toml", tmp_path, "f")} == {
        "manifest", "csv", "svg",
    }  # fmt: skip
