"""A comparison and prices in words."""

from dataclasses import replace

from stitchpath.compare.plans import Comparison
from stitchpath.compare.prices import Price
from stitchpath.compare.told import comparison_table, prices_table
from stitchpath.compare.ways import Way
from stitchpath.compare.wishes import WISHES

WISH = WISHES[0]


def test_figures_and_differences():
    first = Way(20, 19, 9000.0, 1500.0, 800.0, 4000.0, 3600.0, 7, 2.0, 0.05, 27e3, 1.5)
    other = Way(16, 15, 9000.0, 2700.0, 500.0, 3900.0, 3000.0, 0, 2.04, 0.0, 28e3, 4.0)
    head, one, two, more = comparison_table(Comparison.of([("a", first), ("b", other)]), unit="mm")
    assert head == (
        "",
        "paths",
        "ends in open cloth",
        "travel",
        "lifts",
        "time",
        "thread",
        "wander",
        "visits",
        "weighed",
        "over least",
    )
    assert one[:7] == ("a", "20", "7", "1.50 m", "19", "1 h 00 min", "27.00 m")
    assert one[7:] == ("2.0", "1.5", "4,000.0 s", "5.00 %")
    assert two[:7] == ("b", "16", "0", "2.70 m", "15", "50 min 00 s", "28.00 m")
    assert two[7:] == ("2.0", "4.0", "3,900.0 s", "0 %")
    assert more == (
        "against the first", "-4", "-7", "+1.20 m", "-4", "-10 min 00 s", "+1.00 m", "same", "+2.5",
        "-100.0 s", "-5.00 points",
    )  # fmt: skip


def test_what_is_sewn_by_hand_has_columns_where_there_is_any():
    bare = Way(1, 0, 9.0, 0.0, 0.0, 60.0, 60.0)
    some = replace(bare, hand_paths=7, hand_time_s=90.0)
    head, one, two, more = comparison_table(Comparison.of([("a", bare), ("b", some)]))
    assert head[-2:] == ("paths by hand", "time by hand")
    assert (one[-2:], two[-2:], more[-2:]) == (("none", "none"), ("7", "1 min 30 s"), ("", ""))
    assert len(comparison_table(Comparison.of([("a", bare)]))[0]) == len(head) - 2


def test_what_is_not_known_is_left_empty_and_no_bound_has_no_difference():
    bare = Way(1, 0, 9.0, 0.0, 0.0, 60.0, 60.0)
    endless = Way(1, 0, 9.0, 0.0, 0.0, 60.0, 60.0, 2, None, float("inf"))
    rows = comparison_table(Comparison.of([("a", endless), ("b", bare), ("c", endless)]), unit="in")
    assert rows[1][-1] == "not known"
    assert [rows[3][at] for at in (2, 6, 7, 8, 10)] == [""] * 5
    assert rows[5][-1] == "same"
    finite = Comparison.of([("a", endless), ("b", Way(1, 0, 9.0, 0.0, 0.0, 60.0, 60.0, 2, None, 0.1))])
    assert comparison_table(finite)[3][-1] == ""


def test_a_difference_of_gaps_too_small_to_write_is_more_or_less():
    one, other = (Way(1, 0, 9.0, 0.0, 0.0, 60.0, 60.0, 2, None, gap) for gap in (0.0, 0.00001))
    assert comparison_table(Comparison.of([("a", one), ("b", other)]))[3][-1] == "< 0.01 points more"
    assert comparison_table(Comparison.of([("b", other), ("a", one)]))[3][-1] == "< 0.01 points less"


def test_a_wish_planned_already_tells_the_ends_that_are_left():
    left = [Price(WISH, asked_already=True, open_ends_left=count) for count in (1, 1234)]
    assert [row[-1] for row in prices_table(left)[1:]] == [
        "none: it is planned so already; 1 end in open cloth left, where it cannot be avoided",
        "none: it is planned so already; 1,234 ends in open cloth left, where they cannot be avoided",
    ]


def test_prices():
    rows = prices_table(
        [
            Price(
                WISH, cuts=4, open_ends=-1, travel_mm=1200.0, time_s=540, cost_s=-3.0, changed=(2,), paths=9
            ),
            Price(WISH, cuts=-1, travel_mm=-0.01, time_s=-0.4, changed=tuple(range(3, 8)), paths=9),
            Price(WISH, paths=9),
            Price(WISH, asked_already=True),
            Price(WISH, problem="no stage takes fill lines"),
        ]
    )
    assert [row[0] for row in rows[1:]] == ["no ends in the open"] * 5
    assert rows[1][1:] == ("4 more", "1 fewer", "1.20 m more", "9 min 00 s more", "3.0 s less", "2 of 9")
    assert rows[2][1:] == ("1 fewer", "same", "0.01 mm less", "same", "same", "3 to 7 of 9")
    assert rows[3][1:] == ("same",) * 5 + ("none",)
    assert rows[4][1:] == ("",) * 5 + ("none: it is planned so already",)
    assert rows[5][1:] == ("",) * 5 + ("no stage takes fill lines",)
