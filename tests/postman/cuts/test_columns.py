"""Columns of singles and pairs: they stand for copies, and rows cut down to them say the same."""

import numpy as np
from scipy.sparse import csr_array

from stitchpath.postman.cuts.columns import Columns, Known, known_cuts, no_cuts
from stitchpath.postman.cuts.cut_sets import CONNECTED, ODD, Cuts, Taken, first_cuts
from stitchpath.postman.model.net import make_net, price
from stitchpath.postman.model.problem import Problem


def test_columns_stand_for_the_copies_of_every_plan(every_plan):
    """Loops aside, which no column has: there and back, at what they cost."""
    for *_, net, plans in every_plan:
        columns = Columns.of(net, np.ones(len(net.tails), bool))
        able = plans[(plans[:, net.tails == net.heads] == 0).all(axis=1)]
        assert (columns.edge == np.append(columns.single, columns.pair)).all()
        for plan in able[::5]:
            values = columns.of_copies(plan)
            assert len(values) == len(columns)
            assert (columns.taken(values).copies == plan).all()
            assert columns.costs @ values == price(net, plan)
            assert (columns.choices() @ values)[0] == plan[net.choices].sum()


def small():
    """A required edge, an optional one, one that may be taken once, one that may not, and a loop."""
    ends = np.array([0, 1, 1, 2, 2]), np.array([1, 2, 2, 0, 2])
    return make_net(Problem(3, *ends, np.arange(1, 6), np.arange(5) == 0, np.array([2, 2, 1, 0, 2]), None))


def test_which_edges_have_singles_and_pairs():
    columns = Columns.of(small(), np.ones(5, bool))
    assert (columns.single.tolist(), columns.pair.tolist()) == ([0, 1, 2], [1])
    assert columns.costs.tolist() == [1, 2, 3, 2 * 2]
    few = Columns.of(small(), np.arange(5) == 2)
    assert (few.single.tolist(), few.pair.tolist(), len(few)) == ([2], [], 1)


def test_rows_are_cut_down_to_columns():
    rows = csr_array(np.arange(1.0, 21.0).reshape(2, 10))
    columns = Columns.of(small(), np.array([True, True, False, True, True]))
    assert columns.of_rows(rows).toarray().tolist() == [[1, 2, 7], [11, 12, 17]]


def test_what_is_kept_leaves_the_rest_to_be_crossed():
    """Twice needed around vertex 2: by nothing kept 2, by one single 1, by a pair nothing."""
    net, able = small(), np.array([True, False, True, True, True])
    known = known_cuts(net, [Cuts(np.array([0, 0, 1]), np.array([1]), CONNECTED)])
    assert known.rows.toarray()[0].tolist() == [0, 1, 1, 0, 0, 0, 2, 2, 0, 0]
    for single, pair, lacks in ((0, 0, [2]), (1, 0, [1]), (0, 1, [])):
        kept = Taken(np.array([0, single, 0, 0, 0.0]), np.array([0, pair, 0, 0, 0.0]))
        rows, lack = Columns.of(net, able).lacking(known, kept)
        assert lack.tolist() == lacks
        assert rows.toarray().tolist() == [[0, 1]] * len(lacks)


def test_a_row_that_may_still_fall_short_is_lacking():
    """One that the columns' own negative entries may take below its least."""
    net = small()
    known = Known(csr_array(np.array([[1.0, 0, -1, 0, 0, 0, 0, 0, 0, 0]])), np.array([0.0]))
    nothing = Taken(np.zeros(5), np.zeros(5))
    assert len(Columns.of(net, np.ones(5, bool)).lacking(known, nothing)[1]) == 1
    assert len(Columns.of(net, np.arange(5) == 0).lacking(known, nothing)[1]) == 0


def test_pairs_count_for_connection_only_and_cuts_add_up():
    net = small()
    odd = known_cuts(net, [Cuts(np.array([0, 0, 1]), np.array([1]), ODD)])
    assert odd.rows.toarray()[0].tolist() == [0, 1, 1, 0, 0, 0, 0, 0, 0, 0]
    more = no_cuts(net).and_more(net, *first_cuts(net)).and_those(odd)
    assert len(more.least) == more.rows.shape[0] == sum(len(cuts.chosen) for cuts in first_cuts(net)) + 1
    assert len(more.learned) == len(first_cuts(net)) + 1
    assert no_cuts(net).rows.shape == (0, 10)
