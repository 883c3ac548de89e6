"""Files of bands put back together, and turned the right way."""

from dataclasses import replace

import numpy as np
import pytest
from banded_plans import ARM, BLOCK_MM, STEM, banded

from stitchpath.errors import DesignError
from stitchpath.figures.band_frames import band_frames, sewn_bands
from stitchpath.formats.bands_table import bands_table
from stitchpath.formats.read_svg import read_svg
from stitchpath.formats.read_table import read_band_csv, read_csv
from stitchpath.formats.sewing_svg import sewing_svg, write_svg
from stitchpath.formats.stitch_table import stitch_table, write_csv
from stitchpath.outputs import file_names, file_texts


def together(plan, tmp_path, unit="mm"):
    """Read each band's table, un-turn and un-shift it by hand, and set one after another as a table."""
    left, bottom = (0.0, max(path.coordinates_mm[:, 1].max() for path in plan))
    rows = []
    for band, window in enumerate(plan.windows, 1):
        start = round(window[0], 3)
        file = tmp_path / f"{band}.csv"
        write_csv(plan, file, unit=unit, band=band)
        number, paths = read_band_csv(file)
        assert read_csv(file) == paths
        for path in paths:
            u, v = path.coordinates_mm.T
            points = np.column_stack(
                [v + start, bottom - u] if plan.machine.sideways else [u + left, v + start]
            )
            rows.append((number, path.band, path.spans, points))
            number += 1
    return rows


@pytest.mark.parametrize("sideways", [False, True])
@pytest.mark.parametrize("outline", [False, True])
@pytest.mark.parametrize("shift_mm", [0.0, 0.001, 0.0004])
def test_bands_put_together_are_the_whole_table(tmp_path, sideways, outline, shift_mm):
    plan = banded(sideways=sideways, outline=outline)
    halves = np.concatenate([path.coordinates_mm for path in plan]) * 2000 % 2
    assert (np.abs(halves - 1) < 1e-6).any(axis=0).all()
    plan = replace(plan, windows=tuple((start + shift_mm, end) for start, end in plan.windows))
    write_csv(plan, tmp_path / "whole.csv")
    whole = read_csv(tmp_path / "whole.csv")
    back = together(plan, tmp_path)
    assert [number for number, *_ in back] == list(range(1, len(plan) + 1))
    for (_, band, spans, points), path in zip(back, whole, strict=True):
        assert (band, spans) == (path.band, path.spans)
        assert np.round(points, 3).tolist() == path.coordinates_mm.tolist()


@pytest.mark.parametrize("sideways", [False, True])
def test_in_inches_to_the_last_digit(tmp_path, sideways):
    plan = banded(sideways=sideways)
    write_csv(plan, tmp_path / "whole.csv", unit="in")
    back = together(plan, tmp_path, unit="in")
    for (*_, points), path in zip(back, read_csv(tmp_path / "whole.csv"), strict=True):
        assert np.abs(points - path.coordinates_mm).max() <= 25.4 * 1.01e-5


def test_an_f_lying_on_its_back_is_still_an_f(tmp_path):
    """The left side uppermost: what points to the right hangs down, and the F's foot is to the left."""
    plan = banded(sideways=True)
    write_csv(plan, tmp_path / "a.csv", band=2)
    stem, arm = [path for path in read_csv(tmp_path / "a.csv") if path.stage == "detail"][:2]
    foot, _, head, beak = stem.coordinates_mm
    assert head[0] > foot[0]
    assert head[1] == foot[1]
    assert beak[1] > head[1]
    assert beak[0] == head[0]
    # From the foot up to the head the arms are on the right hand, as they are in the F that stands.
    for (a, _, b, c), name in ((STEM, "standing"), (stem.coordinates_mm, "lying")):
        assert np.linalg.det([b - a, c - b]) > 0, name
    assert np.hypot(*(beak - head)) == pytest.approx(np.hypot(*(STEM[3] - STEM[2])), abs=2e-3)
    assert np.hypot(*np.diff(arm.coordinates_mm[:2], axis=0)[0]) == pytest.approx(
        np.hypot(*(ARM[1] - ARM[0])), abs=2e-3
    )
    # Row 1 of column 2: its foot is 57/16 in under the top's upper edge, 2 x 4 in + 7/16 in over the lower.
    np.testing.assert_allclose(foot, (3 * BLOCK_MM - STEM[0, 1], 10 + STEM[0, 0]), atol=1e-3)


@pytest.mark.parametrize("sideways", [False, True])
@pytest.mark.parametrize("y_up", [False, True])
def test_the_sewing_svg_has_what_the_table_has(tmp_path, sideways, y_up):
    plan = banded(sideways=sideways)
    for band in range(1, len(plan.windows) + 1):
        write_svg(plan, tmp_path / "a.svg", band=band, y_up=y_up)
        write_csv(plan, tmp_path / "a.csv", band=band)
        for points, path in zip(read_svg(tmp_path / "a.svg"), read_csv(tmp_path / "a.csv"), strict=True):
            assert (points * (1, -1 if y_up else 1)).tolist() == path.coordinates_mm.tolist()


def test_an_origin_is_what_the_files_can_say():
    frames = band_frames(replace(banded(), windows=((0.0, 100.0), (91.6004, 200.0))))
    assert [frame.origin_mm for frame in frames] == [(0.0, 0.0), (0.0, 91.6)]


def test_a_band_lies_in_its_window():
    plan = banded()
    for frame in band_frames(plan):
        for path in plan:
            if path.band == frame.number:
                down = frame.laid(path.coordinates_mm)[:, 1]
                assert down.min() >= 0
                assert down.max() <= frame.window_mm[1] - frame.window_mm[0]


def test_which_files_there_are():
    plan = banded(rows=2, columns=1)
    names = ["a-band-1.svg", "a-band-1.csv", "a-band-2.svg", "a-band-2.csv", "a-bands.csv"]
    whole = file_names("a")
    assert sorted(file_texts(plan, "a")) == sorted([*whole, *names])
    assert list(file_texts(replace(plan, windows=plan.windows[:1]), "a")) == whole
    first = tuple(path for path in plan if path.band == 1)
    assert sorted(file_texts(replace(plan, paths=first), "a")) == sorted([*whole, *names[:2], names[-1]])


def test_the_options_of_the_whole_table_go_for_a_bands():
    plan = banded()
    thin = stitch_table(plan, band=2, thin=True, unit="in", stitch_length_mm=2.5)
    assert thin.startswith("x_in,y_in\r\n4.00000,0.39370\r\n")
    points = [line for line in thin.split("\r\n")[1:] if line]
    assert len(points) == stitch_table(plan, band=2, stitch_length_mm=2.5).count("\r\n") - 1


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda plan: sewing_svg(plan, band=4), "no path to sew in band 4"),
        (lambda plan: stitch_table(plan, band=4), "no band 4 with files of its own; it has 3"),
        (lambda plan: stitch_table(replace(plan, windows=()), band=1), "it has 0"),
        (lambda plan: sewing_svg(plan, band=2, origin="middle"), "counts? from its own origin"),
        (lambda plan: sewing_svg(replace(plan, paths=plan.paths[:3]), band=2), "no path to sew in band 2"),
        (lambda plan: sewn_bands(replace(plan, windows=plan.windows[:2])), "band 3 has no window"),
        (lambda plan: bands_table(plan, unit="cm"), "no unit"),
    ],
)
def test_what_cannot_be_written(change, words):
    with pytest.raises(DesignError, match=words):
        change(banded())


def test_a_later_bands_table_may_begin_with_any_path_and_no_other(tmp_path):
    plan = banded()
    write_csv(plan, tmp_path / "a.csv", band=2)
    number, paths = read_band_csv(tmp_path / "a.csv")
    assert (number, len(paths), {path.band for path in paths}) == (13, 12, {2})
