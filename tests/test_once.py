"""A figure of a plan is computed once, and forgotten with the plan."""

import gc

from stitchpath.drawing import Drawing
from stitchpath.once import once
from stitchpath.plan import Plan


def plan(bound):
    return Plan(Drawing(()), (), (), bound)


def counted():
    """A figure, and how often it was computed."""
    seen = []

    @once
    def figure(one):
        """Return its bound."""
        seen.append(one.bound)
        return [one.bound]

    return figure, seen


def test_each_plan_has_its_own_figure_computed_once():
    figure, seen = counted()
    one, two = plan(1.0), plan(2.0)
    assert [figure(p) for p in (one, two, one, two)] == [[1.0], [2.0], [1.0], [2.0]]
    assert figure(one) is figure(one)
    assert seen == [1.0, 2.0]


def test_an_equal_plan_is_another_one():
    figure, seen = counted()
    one, two = plan(1.0), plan(1.0)
    assert one == two
    assert figure(one) is not figure(two)
    assert seen == [1.0, 1.0]


def test_what_was_known_of_a_plan_goes_with_it():
    """Ids are given again, so a figure that outlives its plan would be told of another one."""
    figure, seen = counted()
    told = []
    for bound in range(50):
        passing = plan(float(bound))
        told.append(figure(passing))
        del passing
        gc.collect(0)
    assert told == [[float(bound)] for bound in range(50)]
    assert len(seen) == 50


def test_a_figure_that_fails_is_tried_again_and_keeps_its_name():
    tries = []

    def figure(one):
        """Fail at first."""
        tries.append(one)
        return 1 / (len(tries) - 1)

    looked, one = once(figure), plan(0.0)
    for _ in range(3):
        try:
            assert looked(one) == 1
        except ZeroDivisionError:
            assert len(tries) == 1
    assert len(tries) == 2
    assert (looked.__name__, looked.__doc__) == ("figure", "Fail at first.")
