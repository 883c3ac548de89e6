"""What passes a gate: lines and strands of stitching, counted by hand."""

import numpy as np
import pytest
from railed import rails, stretches

from stitchpath.check.measuring.gates import NO_RANK, set_gates
from stitchpath.lines import Line, Role

HAIR = 0.002


def across(y=0.0):
    return [(0, y), (100, y)]


def gate(laid, sewn, x=50.0, y=0.0):
    return set_gates(laid, sewn, np.array([(x, y)]), np.array([(1.0, 0.0)]))


FILL, SEAM = Line(across(), Role.FILL), Line(across(HAIR), Role.DITCH)
BOTH = rails(FILL, SEAM)


def test_lines_that_coincide_are_one_to_the_needle():
    one = gate(BOTH, stretches(across()))
    assert one.strands.tolist() == [1]
    assert one.line.tolist() == [0, 1]
    assert one.allowed().tolist() == [4]  # the more patient of the two bears it: a seam 4 times, a fill 2
    assert one.asked().tolist() == [1]
    assert one.stages() == [{1}]
    assert one.visibility().tolist() == [0]


def test_lines_that_the_stitching_tells_apart_are_two():
    two = gate(BOTH, stretches(across(), across(HAIR)))
    assert two.strands.tolist() == [2]
    assert two.allowed().tolist() == [4 + 2]
    assert two.asked().tolist() == [2]
    assert two.stages() == [{1, 2}]
    assert two.visibility().tolist() == [1]


def test_strands_are_believed_up_to_the_number_of_lines():
    laid = rails(FILL, hidden=(Line(across(HAIR), Role.HIDDEN),))
    three = gate(laid, stretches(across(), across(HAIR), across(-HAIR)))
    assert three.strands.tolist() == [3]
    assert three.allowed().tolist() == [2 + 4]
    assert three.asked().tolist() == [1]
    assert three.stages() == [{2}]  # a hidden seam is in no stage


@pytest.mark.parametrize(
    ("line", "passes"),
    [
        (across(0.0069), True),
        (across(0.0071), False),
        (across(-0.0069), True),
        ([(0, 0), (49.9, 0)], False),
        ([(50, -20), (50, 20)], False),
        ([(40, -4), (60, 4)], True),  # 22 degrees: the cosine is 0.93
        ([(40, -6), (60, 6)], False),  # 31 degrees: 0.86
        ([(0, 0), (50, 0), (100, 0)], True),  # two pieces that meet in the gate
    ],
)
def test_what_passes_a_gate(line, passes):
    found = gate(rails(line), stretches(line))
    assert found.line.tolist() == [0] * passes
    assert found.strands.tolist() == [passes]


def test_a_line_there_and_back_passes_twice_and_stitching_sewn_twice_is_one_strand():
    there_and_back = [(0, 0), (100, 0), (0, 0)]
    found = gate(rails([(0, 0), (100, 0), (100, HAIR), (0, HAIR)]), stretches(there_and_back))
    assert found.line.tolist() == [0, 0]
    assert found.strands.tolist() == [1]


def test_gates_where_nothing_runs_and_no_gates():
    lone = gate(BOTH, stretches(across()), y=30.0)
    assert lone.strands.tolist() == lone.allowed().tolist() == lone.asked().tolist() == [0]
    assert (lone.stages(), lone.visibility().tolist()) == ([set()], [NO_RANK])
    none = set_gates(BOTH, stretches(across()), np.zeros((0, 2)), np.zeros((0, 2)))
    assert (none.allowed().tolist(), none.stages(), none.visibility().tolist()) == ([], [], [])
