"""What comes to a vertex where nothing is required goes on from there."""

import numpy as np
from cutting_cases import both, parts, problems

from stitchpath.postman.cuts.cut_sets import Taken, first_cuts
from stitchpath.postman.cuts.cutting_program import Book
from stitchpath.postman.cuts.dead_ends import onward_rows
from stitchpath.postman.cuts.whole_rows import no_rows
from stitchpath.postman.model.net import make_net, stripped


def test_what_leads_onward_holds_for_every_cheapest_plan():
    """With dead ends stripped; answers of few rounds miss some, and none is left out that is missed."""
    found = 0
    for problem, _, copies in problems(150):
        net = make_net(problem)
        book = Book(net, no_rows(net))
        book.enter_all(first_cuts(net))
        taken = book.solve()[1]
        known = onward_rows(net, taken)
        assert (known.rows @ both(parts(net, stripped(net, copies))) >= known.least).all()
        assert (known.rows @ both(taken) < known.least).all()
        for vertex in np.flatnonzero(~net.must):
            here = net.links[(net.tails[net.links] == vertex) | (net.heads[net.links] == vertex)]
            total = taken.copies[here].sum()
            found += (2 * taken.copies[here] > total + 1e-2).sum()
            assert len(known.least) or (2 * taken.copies[here] <= total + 1e-2).all()
    assert found > 10


def test_what_is_missed_is_a_copy_more_than_all_others_there(every_plan):
    """Counted edge by edge at each vertex where nothing is required."""
    missed = 0
    for seed, (*_, net, _) in enumerate(every_plan):
        rng, m, expected = np.random.default_rng(seed), len(net.tails), []
        taken = Taken(rng.choice([0, 0.5, 1], m), rng.choice([0, 0, 0.5], m))
        for vertex in np.flatnonzero(~net.must).tolist():
            here = [edge for edge in net.links.tolist() if vertex in (net.tails[edge], net.heads[edge])]
            for edge in here:
                others = [one for one in here if one != edge]
                if taken.copies[edge] > taken.copies[others].sum() + 0.01:
                    expected.append((edge, others))
        rows = onward_rows(net, taken).rows.toarray()
        found = [(int(row[:m].argmin()), np.flatnonzero(row[:m] > 0).tolist()) for row in rows]
        assert sorted(found) == sorted(expected)
        assert (rows[:, m:] == 2 * rows[:, :m]).all()
        missed += len(expected)
    assert missed > 20
