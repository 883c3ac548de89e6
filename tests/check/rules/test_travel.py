"""What is left to the hand, and seams that are pressed open."""

from dataclasses import replace

from banded import SEW, TRAVEL, along, block, fill, kinds, laid
from hypothesis import given, settings
from strategies import rows_of_sets, yes_or_no, yes_or_no_lists

from stitchpath.check import check_paths
from stitchpath.drawing import Drawing
from stitchpath.lines import Line, Role
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings

BLOCK = block(1, 1)
FILL = fill(BLOCK)
PEAR = Line([(0, 20), (100, 20)], Role.OUTLINE, motif="pear: outside outline", block=BLOCK.name)
SEAM = Line([(0, 0), (0, 100)], Role.HIDDEN, motif="seam")
EDGE = Line([(100, 0), (100, 100)], Role.ALLOWANCE, motif="edge line")
DRAWING = Drawing(lines=(PEAR, FILL), hidden=(SEAM, EDGE), blocks=(BLOCK,))
HAND = ScheduleSettings(by_hand=["pear"], travel_by_hand=False)
ALONG = ScheduleSettings(by_hand=["outline"], travel_by_hand=True)
NOT_HIDDEN = CostSettings(hidden_seams=False)


def check(paths, drawing=DRAWING, *, schedule=HAND, machine=None, cost=None):
    return check_paths(paths, drawing, schedule=schedule, machine=machine, cost=cost)


def test_what_is_left_to_the_hand_need_not_be_sewn():
    assert check([along(FILL)]) == ()
    assert check([along(FILL)], schedule=ALONG) == ()
    assert kinds(check([along(FILL)], schedule=ScheduleSettings())) == {"covered"}
    assert kinds(check([along(FILL)], machine=MachineSettings(sewn_by="hand"))) == {"covered"}
    assert kinds(check([])) == {"covered"}


def test_sewing_it_is_found():
    for schedule in (HAND, ALONG):
        (finding,) = check([along(FILL), along(PEAR)], schedule=schedule)
        assert finding.kind == "by hand"
        assert finding.message == "path 2 sews what is left to the hand for 100.000 mm"


def test_travel_on_it_is_found_unless_it_is_allowed():
    there = laid([(0, 20), (100, 20), (100, 50), (0, 50)], [TRAVEL, TRAVEL, SEW])
    (finding,) = check([there])
    assert finding.kind == "by hand"
    assert finding.message == "path 1 travels along what is left to the hand for 99.992 mm"
    assert check([there], schedule=ALONG) == ()
    assert kinds(check([there, along(PEAR)], schedule=ScheduleSettings())) == {"travel"}


def test_where_it_coincides_with_another_line_that_one_counts():
    both = replace(DRAWING, lines=(PEAR, FILL, replace(PEAR, motif="leaf")))
    assert check([along(PEAR), along(FILL)], both) == ()
    assert kinds(check([along(FILL)], both)) == {"covered"}
    back = laid([(0, 50), (100, 50), (100, 20), (0, 20)], [SEW, TRAVEL, TRAVEL])
    assert check([along(PEAR), back], both) == ()
    assert kinds(check([back, along(PEAR)], both)) == {"by hand"}


def test_seams_pressed_open_are_not_travelled_but_the_edge_line_is():
    for x, found in ((0, {"open seam"}), (100, set())):
        path = laid([(100 - x, 50), (x, 50), (x, 60)], [SEW, TRAVEL])
        paths = [along(PEAR), path]
        assert kinds(check(paths, schedule=ScheduleSettings(), cost=NOT_HIDDEN)) == found
        assert check(paths, schedule=ScheduleSettings()) == ()
    path = laid([(100, 50), (0, 50), (0, 60)], [SEW, TRAVEL])
    (finding,) = check([path], cost=NOT_HIDDEN)
    assert finding.message == "path 1 travels along a seam that is pressed open for 10.000 mm"


def test_a_line_sewn_over_a_seam_pressed_open_may_be_travelled():
    lines = (FILL, Line([(0, 40), (0, 70)], Role.FILL))
    drawing = replace(DRAWING, lines=lines)
    back = laid([(100, 50), (0, 50), (0, 60)], [SEW, TRAVEL])
    assert check([along(lines[1]), back], drawing, cost=NOT_HIDDEN) == ()
    assert kinds(check([back, along(lines[1])], drawing, cost=NOT_HIDDEN)) == {"open seam"}


@settings(deadline=None, derandomize=True, max_examples=200)
@given(
    rows_of_sets(["fill", "outline", "hidden", "allowance"], up_to=5),
    yes_or_no_lists(5),
    yes_or_no(),
    yes_or_no(),
    yes_or_no(),
)
def test_a_row_of_lines_finds_the_same(asked, sews, left, allowed, pressed):
    """Lines one behind the other; one path over all of them, which sews some."""
    lines = [(i, Role(role)) for i, roles in enumerate(asked) for role in sorted(roles)]
    drawn = [Line([(9 * i, 0), (9 * i + 9, 0)], role) for i, role in lines]
    hidden = (Role.HIDDEN, Role.ALLOWANCE)
    drawing = Drawing(
        tuple(x for x in drawn if x.role not in hidden), tuple(x for x in drawn if x.role in hidden)
    )
    schedule = ScheduleSettings(by_hand=["outline"] if left else [], travel_by_hand=allowed)
    path = laid(
        [(9 * k, 0) for k in range(len(asked) + 1)], [SEW if s else TRAVEL for s in sews[: len(asked)]]
    )
    wanted = set()
    for roles, sew in zip(asked, sews, strict=False):
        mine = roles & ({"fill"} if left else {"fill", "outline"})
        handed = roles & {"outline"} if left else set()
        if sew:
            wanted |= {"by hand"} if handed and not mine else {"sew"} if not mine else set()
            continue
        wanted |= {"covered"} if mine else set()
        usable = (roles & {"allowance"}) or ("hidden" in roles and not pressed) or (handed and allowed)
        shut = {"open seam"} if "hidden" in roles and pressed else {"by hand"} if handed else {"travel"}
        wanted |= set() if usable else shut
    found = check_paths([path], drawing, schedule=schedule, cost=CostSettings(hidden_seams=not pressed))
    assert kinds(found) == wanted
