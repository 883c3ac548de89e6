"""The lockstitch's thread against its published example, and from one measured yard."""

import pytest
from figure_plans import SECURE, SEW, TRAVEL, path

from stitchpath.figures.thread_use import lockstitch, usable_bobbin_mm
from stitchpath.lines import Line, Role
from stitchpath.settings import BattingSettings, MachineSettings

THIN = BattingSettings(thickness="0.025 in")
INCH = path([(0, 0), (25.4, 0)], (SEW, 0, 1, 1))


def test_the_published_example():
    """T = 0.025 in and S = 10 to the inch: 2.5 times the seam, half of it above."""
    needle, bobbin = lockstitch(MachineSettings(), THIN).spans(INCH, ())[0]
    assert needle == bobbin
    assert (needle + bobbin) / 25.4 == pytest.approx(2.5)


def test_basting_takes_fewer_stitches_wherever_it_is_passed():
    """S = 5: 2 + 2 x 0.025 x 5 = 2.25."""
    lines = (Line([(0, 0), (25.4, 0)], Role.BASTE),)
    there_and_back = path([(0, 0), (25.4, 0), (0, 0)], (SEW, 0, 1, 1), (TRAVEL, 1, 2, 1))
    spans = lockstitch(MachineSettings(), THIN).spans(there_and_back, lines)
    assert spans.sum(axis=1).tolist() == pytest.approx([2.25 * 25.4] * 2)


def test_small_stitches_are_four():
    """6 mm there and back and four times through the layers, above and below."""
    secured = path([(0, 0), (3, 0), (0, 0), (25.4, 0)], (SECURE, 0, 2, 1), (SEW, 2, 3, 1))
    spans = lockstitch(MachineSettings(), THIN).spans(secured, ())
    assert spans[0].tolist() == pytest.approx([6 + 4 * 0.025 * 25.4] * 2)


def test_a_measured_yard_takes_what_was_measured():
    """40 in above and 38 in below; basting has half of what is more than the seam."""
    machine = MachineSettings(needle_thread_per_yard="40 in", bobbin_thread_per_yard="38 in")
    yard = path([(0, 0), (914.4, 0)], (SEW, 0, 1, 1))
    stitch = lockstitch(machine, BattingSettings())
    assert (stitch.spans(yard, ()) / 25.4).tolist() == [pytest.approx([40, 38])]
    basted = stitch.spans(yard, (Line(yard.coordinates_mm, Role.BASTE),))
    assert (basted / 25.4).tolist() == [pytest.approx([38, 37])]


def test_waste_is_a_share_of_the_bobbin():
    assert usable_bobbin_mm(MachineSettings(bobbin_m=80, thread_waste=0.25)) == pytest.approx(60_000)


@pytest.mark.parametrize(
    ("measured", "said"),
    [
        ({"needle_thread_per_yard": "40 in"}, "only one of needle_thread_per_yard"),
        (
            {"needle_thread_per_yard": "35 in", "bobbin_thread_per_yard": "40 in"},
            "takes a yard of thread at least",
        ),
    ],
)
def test_what_cannot_have_been_measured_is_refused(measured, said):
    with pytest.raises(ValueError, match=said):
        MachineSettings(**measured)
