"""Bands within the frame's reach: any windows that would do will do, and no others."""

from dataclasses import replace

import numpy as np
import pytest
from banded import SEW, TRAVEL, along, kinds, laid, messages
from hypothesis import example, given, settings
from strategies import segments, whole

from stitchpath.check import check_paths, check_plan
from stitchpath.check.rules.evidence import Asked, look_at
from stitchpath.check.rules.reach import reach_at, within_reach
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.plan import Plan, RoutedJob
from stitchpath.settings import MachineSettings, ScheduleSettings

ROWS = tuple(Line([(0, y), (100, y)], Role.FILL) for y in range(0, 1001, 100))
DRAWING = Drawing(lines=ROWS)
FRAME = MachineSettings(reach=500, last_reach=400)


def in_bands(*counts, lines=ROWS):
    """Each line is a path; so many in the first band, so many in the second."""
    bands = np.repeat(np.arange(1, len(counts) + 1), counts).tolist()
    return [along(line, band=band) for line, band in zip(lines, bands, strict=True)]


def check(paths, machine=FRAME, drawing=DRAWING):
    return check_paths(paths, drawing, machine=machine)


def test_bands_within_the_reach_hold():
    # A window from 0 reaches 500; one from 600 reaches 440, more than enough.
    assert check(in_bands(6, 5)) == ()
    assert check(in_bands(1, 3, 0, 2, 5)) == ()


def test_what_is_in_reach_at_once_needs_no_second_band_and_no_limit_allows_none():
    assert check(in_bands(11), MachineSettings(reach=1000)) == ()
    assert check(in_bands(11), MachineSettings()) == ()
    (finding,) = check(in_bands(6, 5), MachineSettings())
    assert finding.message == "there is a band 2, though the machine reaches everything at once"
    assert finding.kind == "band"


@pytest.mark.parametrize("machine", [FRAME, MachineSettings(reach=499.99), MachineSettings(reach=450)])
def test_a_band_out_of_reach_is_found(machine):
    (finding,) = check(in_bands(7 if machine is FRAME else 6, 4 if machine is FRAME else 5), machine)
    assert finding.kind == "reach"
    assert finding.message.startswith("band 1 takes ")
    assert finding.place_mm[1] == (600 if machine is FRAME else 500)


def test_the_reach_shrinks_down_the_frame():
    # A window from 560 would reach 444 mm; one from 500 reaches 450, and its band ends 500 lower.
    assert kinds(check(in_bands(5, 6))) == {"reach"}
    assert check(in_bands(5, 6), MachineSettings(reach=500)) == ()
    assert check(in_bands(5, 1, 5)) == ()
    taller = MachineSettings(reach=500, last_reach=500)
    assert check(in_bands(5, 5, 1), taller) == ()
    (finding,) = check(in_bands(4, 7), MachineSettings(reach=599, last_reach=589))
    assert finding.message == "band 2 takes 600.000 mm down the frame; 595.000 mm is in reach"


def test_travel_must_be_in_reach_too():
    edge = Line([(100, 0), (100, 1000)], Role.HIDDEN)
    drawing = replace(DRAWING, hidden=(edge,))
    paths = in_bands(6, 5)
    assert check(paths, drawing=drawing) == ()
    there = laid([(0, 500), (100, 500), (100, 510)], [SEW, TRAVEL])
    assert kinds(check([*paths[:5], there, *paths[6:]], drawing=drawing)) == {"reach"}


def test_windows_do_not_go_back():
    paths = [along(line, band=band) for line, band in zip(ROWS, [1] * 5 + [2] * 6, strict=True)]
    paths[0] = replace(paths[0], band=3)
    found = check(sorted(paths, key=lambda path: path.band), MachineSettings(reach=650))
    assert kinds(found) == {"reach"}
    assert "band 3 begins" in found[0].message
    assert "for the band before" in found[0].message


def test_a_top_laid_sideways_is_measured_across():
    turned = Drawing(lines=tuple(Line(line.points_mm[:, ::-1], line.role) for line in ROWS))
    sideways = MachineSettings(reach=500, last_reach=400, sideways=True)
    paths = in_bands(6, 5, lines=turned.lines)
    assert check(paths, sideways, turned) == ()
    assert kinds(check(paths, FRAME, turned)) == set()
    assert kinds(check(in_bands(7, 4, lines=turned.lines), sideways, turned)) == {"reach"}
    assert kinds(check(in_bands(6, 5), sideways, DRAWING)) == set()


def test_a_top_wider_than_the_frame_is_found():
    assert check(in_bands(6, 5), MachineSettings(reach=500, width=100)) == ()
    (finding,) = check(in_bands(6, 5), MachineSettings(reach=500, width=99.9))
    assert finding.message == "the paths take 100.000 mm across the frame; it takes 99.900 mm"
    assert messages(check(in_bands(6, 5), MachineSettings(reach=500, width=600, sideways=True)))[-1] == (
        "the paths take 1000.000 mm across the frame; it takes 600.000 mm"
    )


def plan(windows, machine=FRAME):
    paths = tuple(in_bands(6, 5))
    paths = tuple(replace(p, spans=(replace(p.spans[0], line=i),)) for i, p in enumerate(paths, 1))
    costs = [path_count * 2 * 30 * 4.0 for path_count in (6, 5)]
    jobs = tuple(
        RoutedJob(band, "detail", cost, cost, 0.0, count, False, 0.001)
        for band, cost, count in zip((1, 2), costs, (6, 5), strict=True)
    )
    return Plan(
        DRAWING, paths, jobs, sum(costs), machine=machine, schedule=ScheduleSettings(), windows=windows
    )


@pytest.mark.parametrize(
    ("windows", "said"),
    [
        (((0, 500), (567, 1000)), None),
        (((0, 500), (567, 1011)), "takes 444.000 mm; 443.300 mm is in reach"),
        (((0, 500),), "states no window for band 2"),
        ((), "states no window for band 2"),
        (((0, 500), (-10, 400)), "starts above the one before"),
        (((0, 490), (567, 1000)), "band 1 goes 10.000 mm beyond"),
        (((0, 500), (610, 1000)), "band 2 goes 10.000 mm beyond"),
        (((0, float("nan")), (567, 1000)), "takes nan mm"),
    ],
)
def test_stated_windows_hold_their_bands(windows, said):
    found = check_plan(plan(windows), DRAWING)
    if said is None:
        assert found == ()
    else:
        assert kinds(found) == {"window"}
        assert any(said in message for message in messages(found))


@settings(deadline=None, derandomize=True, max_examples=300)
@given(
    segments((0, 0), (0, 1000), points_too=True, fewest=1, up_to=4),
    whole(25, 1200),
    whole(25, 1200),
)
@example([((0, 0), (0, 1000))], 1000, 900)
@example([((0, 0), (0, 10)), ((0, 0), (0, 1000))], 1100, 25)
def test_windows_are_found_wherever_there_are_any(spans, first, last):
    """Beside a search over all windows that start at whole millimetres, with some room and without."""
    machine = MachineSettings(reach=max(first, last), last_reach=min(first, last))
    lines = tuple(Line([(0, min(a, b)), (10, max(a, b))], Role.FILL) for (_, a), (_, b) in spans)
    asked = Asked(Drawing(lines=lines), machine=machine)
    paths = [along(line, band=band) for band, line in enumerate(lines, 1)]
    found = list(within_reach(look_at(paths, asked)))
    starts = np.arange(-1300.0, 1001.0)
    reaches = np.array([reach_at(asked, start) for start in starts])

    def feasible(room):
        before = -np.inf
        for line in lines:
            low, high = line.points_mm[:, 1].min(), line.points_mm[:, 1].max()
            fits = (starts >= before) & (starts <= low + room) & (starts + reaches >= high - room)
            if not fits.any():
                return False
            before = starts[fits][0] - room
        return True

    if feasible(0.0):
        assert found == []
    if not feasible(2.0):
        assert found != []
