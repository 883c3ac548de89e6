"""Rows of whole numbers: what they say of plans is what their cuts say."""

import numpy as np
from cutting_cases import both, parts, problems

from stitchpath.postman.cuts.columns import Columns, no_cuts
from stitchpath.postman.cuts.cut_sets import first_cuts, odd_vertices
from stitchpath.postman.cuts.whole_rows import cut_rows, incidence, no_rows, spread_rows, with_rows
from stitchpath.postman.model.net import make_net
from stitchpath.postman.model.problem import Problem


def test_rows_in_whole_numbers_say_what_their_cuts_say():
    """Spread over copies they are the rows of crossings, whichever side of a cut they were made of."""
    for problem, _, _ in problems(60):
        net = make_net(problem)
        for cuts in first_cuts(net):
            rows, least = spread_rows(net, cut_rows(net, cuts))
            known = no_cuts(net).and_more(net, cuts)
            able = Columns.of(net, np.ones(len(net.tails), bool))
            assert (able.of_rows(rows).toarray() == able.of_rows(known.rows).toarray()).all()
            assert (least == known.least).all()


def whole(net, plan):
    """Return singles, pairs, and half of what meets at each vertex beyond what is odd, by counting."""
    taken = parts(net, plan)
    degree = np.zeros(net.size)
    for edge in net.links.tolist():
        degree[[net.tails[edge], net.heads[edge]]] += taken.single[edge]
    return np.concatenate([both(taken), (degree - odd_vertices(net)) / 2])


def test_rows_hold_for_every_plan_there_is(every_plan):
    """As rows of halves and, spread, of singles and pairs, both by as much."""
    rows_in_all = 0
    for *_, net, plans in every_plan:
        rows = cut_rows(net, *first_cuts(net))
        spread, least = spread_rows(net, rows)
        for plan in plans[:: max(1, len(plans) // 40)]:
            values = whole(net, plan)
            assert (values == np.rint(values)).all()
            over = rows.entries @ values - rows.least
            assert (over >= 0).all()
            assert (2 * over == spread @ both(parts(net, plan)) - least).all()
        rows_in_all += len(rows.least)
    assert rows_in_all > 50


def test_rows_are_put_one_below_the_other(every_plan):
    *_, net, _ = every_plan[1]
    first = cut_rows(net, *first_cuts(net))
    twice = with_rows(no_rows(net), first, first)
    assert twice.least.tolist() == [*first.least, *first.least]
    assert (twice.entries.toarray() == np.tile(first.entries.toarray(), (2, 1))).all()
    assert cut_rows(net).entries.shape == (0, 2 * len(net.tails) + net.size)


def test_incidence_counts_links_and_no_loops():
    net = make_net(Problem(3, [0, 1, 2], [1, 2, 2], [1, 1, 1], np.array([1, 0, 0]), [1, 2, 2], None))
    assert incidence(net).toarray().tolist() == [[1, 0, 0], [1, 1, 0], [0, 1, 0]]
