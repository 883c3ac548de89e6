"""Bands against every way of closing them, and against cases worked by hand."""

import math
from collections import Counter
from fractions import Fraction
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given
from strategies import picked, rearrangers, units_to_band

from stitchpath.planning.bands import Links, choose_bands
from stitchpath.planning.reach import Reach, too_tall

NEAR_MM = 2e-6
PREFERENCES = ("cheapest", "fewest")
NONE = np.zeros(0, dtype=np.intp)


def rows(*heights):
    """Rows under one another, from 0 down: tops and bottoms."""
    bottoms = np.cumsum(heights)
    return bottoms - heights, bottoms


def links(*triples):
    """Links as (a, b, cost)."""
    a, b, cost = zip(*triples, strict=True)
    return Links(np.array(a), np.array(b), np.array(cost, dtype=float))


def even(reach, bottom):
    """A reach that stays the same."""
    return Reach(reach, reach, 0, bottom)


# Every way of closing the bands, in exact numbers.


def reach_at(reach, y):
    down = min(max(y - reach.top_mm, 0), reach.bottom_mm - reach.top_mm)
    return reach.first_mm + Fraction((reach.last_mm - reach.first_mm) * down, reach.bottom_mm - reach.top_mm)


def fits(units, reach, everything):
    """Whether a window that ends with the lowest of the units, and starts with them or higher, holds them."""
    if reach is None:
        return True
    least, end = min(top for top, _ in units), max(bottom for _, bottom in units)
    highest = min(reach.top_mm, *(top for top, _ in everything))
    return any(y + reach_at(reach, y) >= end for y in (least, highest))


def price(units, closes, lines, groups, half_sewn, advance):
    """What bands that close at these heights cost, counted as they are sewn."""
    total, sewn = 0.0, set()
    for number, end in enumerate(closes):
        taken = {u for u, (_, bottom) in enumerate(units) if bottom <= end} - sewn
        sewn |= taken
        for a, b, cost in lines:
            if (a in taken and b not in sewn) or (b in taken and a not in sewn):
                total += cost
        if number < len(closes) - 1:
            done = {groups[u] for u in sewn} - {-1}
            left = {groups[u] for u in range(len(units)) if u not in sewn}
            total += half_sewn * len(done & left) + advance
    return total


def exhaustive(units, reach, lines, groups, half_sewn, advance):
    """For each preference the cost and the ends of the best of all sets of ends; empty where none will do."""
    *inner, last = sorted({bottom for _, bottom in units})
    found = []
    for count in range(len(inner) + 1):
        for some in combinations(inner, count):
            closes = (*some, last)
            bands = [
                [unit for unit in units if above < unit[1] <= end]
                for above, end in pairwise((-math.inf, *closes))
            ]
            if all(fits(band, reach, units) for band in bands):
                cost = price(units, closes, lines, groups, half_sewn, advance)
                found.append((cost, closes))
    if not found:
        return {}
    return {
        "cheapest": min(found, key=lambda one: (one[0], len(one[1]), [-end for end in one[1]])),
        "fewest": min(found, key=lambda one: (len(one[1]), one[0], [-end for end in one[1]])),
    }


def random_case(seed):
    """A small case: whole heights, costs in quarters, and few of them, so that many ways cost the same."""
    rng = np.random.default_rng(seed)
    count, height = int(rng.integers(1, 11)), int(rng.integers(8, 20))
    bottom = rng.integers(0, height + 1, count)
    tall = int(rng.integers(1, 5))
    top = np.maximum(bottom - rng.integers(0, tall + 1, count), 0)
    first = int(rng.integers(3, 10 if seed % 3 else height + 2))
    last = first if seed % 4 == 0 else int(rng.integers(2, first + 1 if seed % 4 < 3 else 12))
    reach = Reach(first, last, int(rng.integers(-2, 1)), height + int(rng.integers(0, 3)))
    number = int(rng.integers(0, 2 * count))
    lines = list(
        zip(
            rng.integers(0, count, number).tolist(),
            rng.integers(0, count, number).tolist(),
            (rng.integers(0, 9, number) / 4).tolist(),
            strict=True,
        )
    )
    groups = rng.integers(-1, 4, count).tolist()
    half_sewn, advance = (rng.integers(0, (5, 3)) / 4).tolist()
    units = list(zip(top.tolist(), bottom.tolist(), strict=True))
    return units, reach, lines, groups, half_sewn, advance


def chosen(units, reach, lines, groups, half_sewn, advance, prefer):
    top, bottom = zip(*units, strict=True)
    return choose_bands(
        top,
        bottom,
        reach,
        links=links(*lines) if lines else None,
        groups=groups,
        half_sewn=half_sewn,
        advance=advance,
        prefer=prefer,
    )


def test_against_every_set_of_ends():
    kinds = Counter()
    for seed in range(700):
        case = random_case(seed)
        units, reach, lines = case[:3]
        tall = too_tall(*zip(*units, strict=True), reach).tolist()
        best = exhaustive(*case)
        assert bool(best) != bool(tall)
        for prefer in PREFERENCES:
            if tall:
                with pytest.raises(ValueError, match=f"unit {tall[0]},"):
                    chosen(*case, prefer)
                continue
            result = chosen(*case, prefer)
            closes = tuple(end for _, end in result.windows_mm)
            assert (result.cost, closes) == best[prefer]
            where = result.band.tolist()
            assert where == [sum(bottom > end for end in closes) for _, bottom in units]
            assert result.cut.tolist() == [i for i, (a, b, _) in enumerate(lines) if where[a] != where[b]]
            kinds[prefer] += 1
            kinds["several"] += len(closes) > 2
            kinds["long links"] += any(abs(where[a] - where[b]) > 1 for a, b, _ in lines)
            kinds["shrinking"] += reach.first_mm > reach.last_mm
            kinds["growing"] += reach.first_mm < reach.last_mm
            kinds["flat"] += any(top == bottom for top, bottom in units)
        kinds["differ"] += not tall and best["cheapest"] != best["fewest"]
    assert min(kinds[prefer] for prefer in PREFERENCES) >= 300
    assert min(kinds[kind] for kind in ("several", "long links", "shrinking", "growing", "flat")) > 50
    assert kinds["differ"] > 10


def test_a_unit_is_too_tall_where_no_window_holds_it_alone():
    found = 0
    for seed in range(300):
        units, reach, *_ = random_case(seed)
        ends = {bottom for _, bottom in units}
        expected = [
            u
            for u, (top, bottom) in enumerate(units)
            if not any(fits([(top, bottom), (end, end)], reach, units) for end in ends if end >= bottom)
        ]
        assert too_tall(*zip(*units, strict=True), reach).tolist() == expected
        found += len(expected)
    assert found > 20


# Worked by hand.


def test_three_rows_on_a_frame_that_reaches_one():
    """Each band ends with a row and starts as high as 400 mm reach; both links are cut, each once."""
    result = choose_bands(
        *rows(300, 300, 300), even(400, 900), links=links((1, 0, 2), (2, 0, 5), (1, 1, 9)), advance=10
    )
    assert result.windows_mm == ((0, 300), (200, 600), (500, 900))
    assert result.band.tolist() == [0, 1, 2]
    assert result.cut.tolist() == [0, 1]
    assert result.cost == 2 + 5 + 2 * 10


def test_an_advance_more_can_be_cheaper_than_a_dear_cut():
    """Two and two rows cut the middle: 100 + 10. One, two and one cut the others: 1 + 1 + 2 x 10."""
    case = *rows(100, 100, 100, 100), even(250, 400)
    told = {"links": links((0, 1, 1), (1, 2, 100), (2, 3, 1)), "advance": 10}
    cheap, few = (choose_bands(*case, **told, prefer=prefer) for prefer in PREFERENCES)
    assert cheap.windows_mm == ((0, 100), (50, 300), (150, 400))
    assert cheap.cost == 22
    assert cheap.cut.tolist() == [0, 2]
    assert few.windows_mm == ((0, 200), (150, 400))
    assert few.cost == 110
    assert few.cut.tolist() == [1]


def test_the_reach_shrinks():
    """From 0 it is 200 mm, at 600 it is 100: a window that ends at e starts at 6/5 (e - 200).

    So the first two rows go together; the third starts at 200, and a window that ends with the fourth at 240.
    """
    result = choose_bands(*rows(*[100] * 6), Reach(200, 100, 0, 600))
    expected = [(0, 200), (120, 300), (240, 400), (360, 500), (480, 600)]
    assert list(result.windows_mm) == [pytest.approx(window) for window in expected]


def test_a_group_costs_at_each_advance_while_it_is_half_sewn():
    """Group 7 has rows 0 and 3, so it is half sewn at three advances; group 5 is whole at each."""
    result = choose_bands(*rows(*[100] * 4), even(100, 400), groups=[7, 5, -1, 7], half_sewn=4, advance=1)
    assert len(result.windows_mm) == 4
    assert result.cost == 3 * 4 + 3


def test_a_band_closes_higher_to_keep_a_group_together():
    """Closing at 200 would part group 1; at 100, what is left fits one window just as well."""
    case = *rows(100, 100, 100), even(250, 300)
    assert choose_bands(*case).windows_mm == ((0, 200), (50, 300))
    assert choose_bands(*case, groups=[0, 1, 1], half_sewn=1).windows_mm == ((0, 100), (50, 300))


def test_what_ends_below_the_edge_waits_whole_for_the_next_band():
    """Beside the rows a unit from 50 to 250: closed at 200, the rest starts at 50, just in reach."""
    top, bottom = (np.append(row, other) for row, other in zip(rows(100, 100, 100), (50, 250), strict=True))
    result = choose_bands(top, bottom, even(250, 300))
    assert result.windows_mm == ((0, 250), (50, 300))
    assert result.band.tolist() == [0, 0, 1, 0]
    nearer = choose_bands(top, bottom, even(240, 300), advance=1)
    assert nearer.windows_mm == ((0, 200), (10, 250), (60, 300))
    assert nearer.band.tolist() == [0, 0, 2, 1]


def test_of_equals_the_fewest_and_then_the_lowest():
    for prefer in PREFERENCES:
        result = choose_bands(*rows(*[100] * 7), even(350, 700), prefer=prefer)
        assert [end for _, end in result.windows_mm] == [300, 600, 700]


def test_of_equals_the_fewest_even_where_more_would_start_lower():
    """Closing at 300 and 800 costs 2 + 3; at 600, 700 and 1300, 1 + 1 + 1 and the link from row 4 to row 7.

    At 300, 700 and 1300 it would be 2 + 1 + 1 and that link, at 600 and 800 1 + 3 and that link; 700 mm are
    out of reach from the top, and so are 1300 from 600, and 1400 from 700.
    """
    edge = dict.fromkeys(range(1, 14), 100) | {3: 2, 6: 1, 7: 1, 8: 3, 13: 1}
    lines = links(*[(k - 1, k, cost) for k, cost in edge.items()], (4, 7, 2))
    cheap = choose_bands(*rows(*[100] * 14), even(600, 1400), links=lines)
    assert [end for _, end in cheap.windows_mm] == [300, 800, 1400]
    assert cheap.cost == 5


def test_equal_sums_of_decimals_are_equal_in_any_order():
    """Closing at 100 and at 300 cuts as much, added up in another order: the lower one is taken."""
    for seed in range(50):
        rng = np.random.default_rng(seed)
        costs = rng.integers(1, 1000, 9) / 10
        lines = [(0, 1, c) for c in costs] + [(2, 3, c) for c in rng.permutation(costs)] + [(1, 2, 1e4)]
        result = choose_bands(*rows(100, 100, 100, 100), even(300, 400), links=links(*lines))
        assert [end for _, end in result.windows_mm] == [300, 400]


def test_flat_units_and_units_that_end_together():
    top, bottom = [0, 100, 100, 60, 100, 180], [100, 100, 200, 200, 200, 180]
    result = choose_bands(top, bottom, even(150, 200))
    assert result.windows_mm == ((0, 100), (50, 200))
    assert result.band.tolist() == [0, 0, 1, 1, 1, 1]
    flat = choose_bands([5, 5], [5, 5], even(1, 5))
    assert flat.windows_mm == ((4, 5),)
    assert flat.band.tolist() == [0, 0]


def test_without_a_limit_it_is_one_band():
    told = {"links": links((0, 1, 3)), "groups": [0, 0], "half_sewn": 1, "advance": 1}
    for reach in (None, even(600, 600), even(1e6, 600), Reach(9000, 10, 0, 600)):
        for prefer in PREFERENCES:
            result = choose_bands(*rows(300, 300), reach, **told, prefer=prefer)
            assert result.windows_mm == ((0, 600),)
            assert result.cost == 0
            assert not len(result.cut)


def test_no_units_no_bands():
    for reach in (None, even(10, 0)):
        result = choose_bands([], [], reach, links=Links(NONE, NONE, np.zeros(0)), groups=[])
        assert (result.windows_mm, result.cost) == ((), 0)
        assert len(result.band) == len(result.cut) == 0


def test_units_too_tall_are_named():
    top, bottom = rows(100, 250, 100, 260)
    assert too_tall(top, bottom, even(200, 710)).tolist() == [1, 3]
    assert not len(too_tall(top, bottom, even(260, 710)))
    assert not len(too_tall(top, bottom, None))
    with pytest.raises(ValueError, match=r"unit 1, from 100.0 to 350.0 mm, is taller than the reach"):
        choose_bands(top, bottom, even(200, 710))


def test_a_unit_as_tall_as_the_reach_fits_however_it_was_rounded():
    edges = np.cumsum(np.full(200, 0.1))[::3]
    reach = Reach(edges[1] - edges[0], edges[1] - edges[0], 0.1, edges[-1])
    assert (np.diff(edges) > reach.first_mm).any()
    result = choose_bands(edges[:-1], edges[1:], reach)
    assert result.band.tolist() == list(range(len(edges) - 1))
    starts = [start for start, _ in result.windows_mm]
    assert (starts <= edges[:-1]).all()
    assert starts == sorted(starts)


def test_units_may_stick_out_of_the_quilt():
    reach = Reach(100, 50, 0, 200)
    result = choose_bands([-0.5, 60, 180], [60, 120, 201], reach)
    assert result.windows_mm[0][0] == -0.5
    assert [end for _, end in result.windows_mm] == [60, 120, 201]


def test_reach_and_start_undo_each_other():
    for reach in (Reach(200, 100, 0, 600), Reach(100, 200, -50, 600), even(120, 600)):
        starts = np.linspace(reach.top_mm - 100, reach.bottom_mm + 100, 101)
        assert reach.start(starts + reach.at(starts)) == pytest.approx(starts, abs=1e-9)


def test_starts_never_fall_however_the_ends_are_rounded():
    for first, top in np.random.default_rng(1).integers(1, 99, (200, 2)) / 10:
        for reach in (Reach(first, first / 2, top, 50 + top), Reach(first, first * 99, top, 50 + top)):
            corner = top + first
            ends = [np.nextafter(corner, 0), corner, np.nextafter(corner, np.inf), corner + 1]
            assert (np.diff(reach.start(ends)) >= 0).all()


# Properties.


@given(units_to_band(), picked(*PREFERENCES))
def test_every_unit_lies_in_its_window_and_the_quilt_never_goes_back(case, prefer):
    units, reach, lines, groups, half_sewn, advance = case
    result = chosen(*case, prefer)
    starts, ends = (np.array(side) for side in zip(*result.windows_mm, strict=True))
    top, bottom = (np.array(side) for side in zip(*units, strict=True))
    assert (starts[result.band] <= top).all()
    assert (bottom <= ends[result.band]).all()
    assert (bottom > np.append(-np.inf, ends)[result.band]).all()
    assert (ends - starts <= reach.at(starts) + NEAR_MM).all()
    assert (np.diff(starts) > 0).all()
    assert (np.diff(ends) > 0).all()
    assert set(result.band.tolist()) == set(range(len(ends)))
    cost = price(units, tuple(ends.tolist()), lines, groups, half_sewn, advance)
    assert result.cost == pytest.approx(cost)


@given(units_to_band(), rearrangers(), picked(*PREFERENCES))
def test_the_order_of_units_and_links_does_not_matter(case, random, prefer):
    units, reach, lines, groups, half_sewn, advance = case
    order = random.sample(range(len(units)), len(units))
    place = {old: new for new, old in enumerate(order)}
    turned = [(place[b], place[a], cost) for a, b, cost in random.sample(lines, len(lines))]
    one = chosen(*case, prefer)
    other = chosen(
        [units[u] for u in order], reach, turned, [groups[u] for u in order], half_sewn, advance, prefer
    )
    assert one.windows_mm == other.windows_mm
    assert one.cost == pytest.approx(other.cost)
    assert one.band[order].tolist() == other.band.tolist()


def test_the_same_input_gives_the_same_bands():
    case = random_case(5)
    one, other = chosen(*case, "cheapest"), chosen(*case, "cheapest")
    assert (one.windows_mm, one.cost, one.band.tolist()) == (
        other.windows_mm,
        other.cost,
        other.band.tolist(),
    )


def test_results_cannot_be_changed():
    result = choose_bands(*rows(300, 300), even(400, 600), links=links((0, 1, 1)))
    for array in (result.band, result.cut):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 3


def test_callers_arrays_stay_as_they_are():
    top, bottom = rows(300, 300)
    given_links, groups = links((0, 1, 1)), np.array([0, 1])
    choose_bands(top, bottom, even(400, 600), links=given_links, groups=groups)
    for array in (top, bottom, groups, given_links.a, given_links.b, given_links.cost):
        assert array.flags.writeable
    assert top.tolist() == [0, 300]


def test_costs_of_any_size_are_compared():
    for scale in (1e-300, 1e-9, 1e9, 1e300):
        told = {"links": links((0, 1, scale), (1, 2, 3 * scale), (2, 3, scale))}
        result = choose_bands(*rows(100, 100, 100, 100), even(250, 400), **told)
        assert [end for _, end in result.windows_mm] == [100, 300, 400]
        assert result.cost == 2 * scale


@pytest.mark.parametrize(
    ("told", "message"),
    [
        ({"top": [0]}, "are no units"),
        ({"top": [[0, 1]], "bottom": [[1, 2]]}, "are no units"),
        ({"top": [0, 400]}, r"unit 1 cannot lie from 400.0 down to 300.0 mm"),
        ({"bottom": [100, math.nan]}, "unit 1 cannot lie"),
        ({"bottom": [math.inf, 300]}, "unit 0 cannot lie"),
        ({"links": links((0, 2, 1))}, "links hold 2"),
        ({"links": links((-1, 0, 1))}, "links hold -1"),
        ({"links": links((0, 1, -1))}, "costs of links"),
        ({"links": links((0, 1, math.nan))}, "costs of links"),
        ({"links": Links(np.array([0]), np.array([1, 0]), np.array([1.0, 1.0]))}, "links of shape"),
        ({"groups": [0]}, "groups of shape"),
        ({"groups": [0.5, 1]}, "groups of shape"),
        ({"groups": [-2, 1]}, "groups hold -2"),
        ({"advance": -1}, "advance of -1"),
        ({"half_sewn": math.inf}, "half_sewn of inf"),
        ({"links": links(*[(0, 1, 1e308)] * 9)}, "more than a number can hold"),
        ({"prefer": "best"}, "'best' is no preference"),
    ],
)
def test_what_is_no_input_is_refused(told, message):
    case = {"top": [0, 100], "bottom": [100, 300], "reach": even(200, 300)} | told
    with pytest.raises(ValueError, match=message):
        choose_bands(**case)


@pytest.mark.parametrize(
    "values",
    [
        (0, 1, 0, 1),
        (1, -1, 0, 1),
        (math.nan, 1, 0, 1),
        (1, math.inf, 0, 1),
        (1, 1, 2, 1),
        (1, 1, math.nan, 1),
        (1, 1, 0, math.inf),
    ],
)
def test_what_is_no_reach_is_refused(values):
    with pytest.raises(ValueError, match=r"cannot be|nothing lies"):
        Reach(*values)
