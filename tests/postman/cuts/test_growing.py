"""Cuts that grow hold for every plan, and bring a linear program nearer to its end."""

from cutting_cases import both, parts, problems

from stitchpath.postman.cuts.columns import known_cuts
from stitchpath.postman.cuts.cut_sets import first_cuts
from stitchpath.postman.cuts.cutting_program import Book
from stitchpath.postman.cuts.growing import grown_cuts
from stitchpath.postman.cuts.whole_rows import no_rows
from stitchpath.postman.model.net import make_net

NEAR = 1e-6


def test_grown_cuts_hold_for_every_plan_and_raise_what_first_cuts_come_to():
    higher = 0
    for problem, best, copies in problems(150):
        net = make_net(problem)
        grown = known_cuts(net, grown_cuts(net))
        assert (grown.rows @ both(parts(net, copies)) >= grown.least).all()
        values = []
        for cuts in (first_cuts(net), first_cuts(net) + grown_cuts(net)):
            book = Book(net, no_rows(net))
            book.enter_all(cuts)
            values.append(book.solve()[0])
        assert values[0] - NEAR <= values[1] <= best + NEAR
        higher += values[1] > values[0] + NEAR
    assert higher > 40
