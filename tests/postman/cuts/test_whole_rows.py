"""Rows of whole numbers: what they say of plans is what their cuts say."""

import numpy as np
from cutting_cases import problems

from stitchpath.postman.cuts.columns import Columns, no_cuts
from stitchpath.postman.cuts.cut_sets import first_cuts
from stitchpath.postman.cuts.whole_rows import cut_rows, spread_rows
from stitchpath.postman.model.net import make_net


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
