"""What `rural_postman` refuses: each in one sentence of graphs with the place, the value and the remedy."""

import pickle

import networkx as nx
import numpy as np
import pytest

from stitchpath.postman import NoPlanError, PostmanError, rural_postman


def town():
    graph = nx.MultiGraph()
    for one, other in ["AB", "AB", "AC", "BC"]:
        graph.add_edge(one, other, cost=10, required=True)
    return graph


def changed(**data):
    graph = town()
    graph.edges["A", "B", 1].update(data)
    return graph


def lacking(name):
    graph = town()
    del graph.edges["A", "B", 1][name]
    return graph


def one_edge(**data):
    return nx.Graph([("pear", "leaf", {"cost": 1, "required": True} | data)])


def two_islands():
    graph = one_edge()
    graph.add_edge("seam", "rim", cost=1, required=True)
    return graph


EDGE = "edge ('A', 'B', 1)"
MUST_BE = "it must be"

WRONG_GRAPHS = {
    "no cost": (lacking("cost"), (EDGE, "has no cost", "set the attribute to a number >= 0")),
    "no required": (lacking("required"), (EDGE, "required = None", "True or False")),
    "negative": (changed(cost=-1), (EDGE, "is -1", MUST_BE, ">= 0")),
    "minus infinite": (changed(cost=-np.inf), (EDGE, "is -inf", MUST_BE, "finite")),
    "nan": (changed(cost=float("nan")), (EDGE, "is nan", MUST_BE, "finite")),
    "numpy nan": (changed(cost=np.float32("nan")), (EDGE, "is nan", MUST_BE, "finite")),
    "infinite": (changed(cost=float("inf")), (EDGE, "is inf", MUST_BE, "finite")),
    "huge": (changed(cost=1e308), (EDGE, "beyond 1e+100", "greater unit")),
    "huge and whole": (changed(cost=10**400), (EDGE, "beyond 1e+100", "greater unit")),
    "huge and negative": (changed(cost=-(10**400)), (EDGE, "beyond 1e+100", "greater unit")),
    "text": (changed(cost="7"), (EDGE, "is '7'", "a number")),
    "yes or no": (changed(cost=True), (EDGE, "is True", "a number")),
    "none": (changed(cost=None), (EDGE, "is None", "a number")),
    "extra too large": (changed(extra=3), (EDGE, "extra = 3", "0, 1 or 2")),
    "extra negative": (changed(extra=-1), (EDGE, "extra = -1", "0, 1 or 2")),
    "extra a fraction": (changed(extra=1.5), (EDGE, "extra = 1.5", "0, 1 or 2")),
    "required two": (changed(required=2), (EDGE, "required = 2", "True or False")),
    "required a half": (changed(required=0.5), (EDGE, "required = 0.5", "True or False")),
    "required one, no whole number": (changed(required=1.0), (EDGE, "required = 1.0", "True or False")),
    "required an array": (changed(required=np.ones(2)), (EDGE, "required = array([1., 1.])", "or False")),
    "extra an array": (changed(extra=np.array([1, 2])), (EDGE, "extra = array([1, 2])", "0, 1 or 2")),
    "extra a table": (changed(extra=np.eye(3)), (EDGE, "extra = array([[1., 0., 0.], [0.", "0, 1 or 2")),
    "extra nan": (changed(extra=float("nan")), (EDGE, "extra = nan", "0, 1 or 2")),
    "extra yes or no": (changed(extra=True), (EDGE, "extra = True", "0, 1 or 2")),
    "simple graph": (one_edge(cost=-2), ("edge ('pear', 'leaf')", "is -2")),
    "directed": (nx.DiGraph(), ("directed", "give an undirected Graph or MultiGraph")),
    "directed multigraph": (nx.MultiDiGraph(), ("directed", "give an undirected Graph or MultiGraph")),
    "no graph": ([("A", "B")], ("[('A', 'B')] is no graph", "give a networkx Graph")),
    "nothing": (None, ("None is no graph", "give a networkx Graph")),
    "empty": (nx.Graph(), ("no edge is required",)),
    "nothing required": (one_edge(required=False), ("no edge is required",)),
}  # fmt: skip


def refused(graph, told, kind=PostmanError, **options):
    """Say that a sentence has all the parts, and return the error."""
    with pytest.raises(kind) as caught:
        rural_postman(graph, **options)
    sentence = str(caught.value)
    assert [part for part in told if part not in sentence] == []
    assert "\n" not in sentence
    assert "vertex" not in sentence
    return caught.value


@pytest.mark.parametrize("name", WRONG_GRAPHS)
@pytest.mark.parametrize("trail_cost", [None, 3.0])
def test_a_wrong_graph(name, trail_cost):
    refused(*WRONG_GRAPHS[name], trail_cost=trail_cost)


WRONG_OPTIONS = {
    "start unknown": ({"start": "Z"}, ("start names 'Z'", "no node", "such as 'A', 'B', 'C'")),
    "start a list": ({"start": ["A"]}, ("start names ['A']", "no node", "such as 'A'")),
    "trail_cost of nobody": ({"trail_cost": {"Z": 1}}, ("trail_cost names 'Z'", "no node", "such as 'A'")),
    "trail_cost negative": ({"trail_cost": -1}, ("trail_cost is -1", ">= 0")),
    "trail_cost nan": ({"trail_cost": {"A": float("nan")}}, ("trail_cost of node 'A' is nan", "finite")),
    "trail_cost infinite": ({"trail_cost": float("inf")}, ("trail_cost is inf", "finite")),
    "trail_cost huge": ({"trail_cost": {"A": 1e200}}, ("trail_cost of node 'A'", "beyond 1e+100", "unit")),
    "trail_cost a text": ({"trail_cost": "5"}, ("trail_cost is '5'", "a number")),
    "effort": ({"effort": "heroic"}, ("'heroic' is no effort", "write one of quick, standard, proof")),
    "seed negative": ({"seed": -1}, ("-1 is no seed", "write a whole number")),
    "seed yes or no": ({"seed": True}, ("True is no seed", "write a whole number")),
    "seed numpy's yes or no": ({"seed": np.True_}, ("True", "is no seed", "write a whole number")),
    "seed numpy's negative": ({"seed": np.int64(-3)}, ("-3", "is no seed", "write a whole number")),
    "effort an array": ({"effort": np.array(["quick", "proof"])}, ("is no effort", "write one of quick")),
    "progress no function": ({"progress": "bar"}, ("'bar' is no function", "give a function")),
    "seed a fraction": ({"seed": 1.5}, ("1.5 is no seed", "write a whole number")),
}  # fmt: skip


@pytest.mark.parametrize("name", WRONG_OPTIONS)
def test_wrong_options(name):
    options, told = WRONG_OPTIONS[name]
    refused(town(), told, **options)


def test_an_error_carries_place_value_and_remedy():
    def parts(graph, **options):
        error = refused(graph, (), **options)
        assert str(error) == "; ".join(filter(None, (error.problem, error.remedy)))
        copied = pickle.loads(pickle.dumps(error))
        assert (str(copied), copied.__dict__) == (str(error), error.__dict__)
        return error.place, error.value, error.remedy

    edge = ("A", "B", 1)
    assert parts(changed(cost=-1)) == (edge, -1, "it must be finite and >= 0")
    assert parts(changed(extra=3)) == (edge, 3, "it must be 0, 1 or 2")
    assert parts(changed(required="yes")) == (edge, "yes", "set the attribute to True or False")
    assert parts(lacking("cost")) == (edge, None, "set the attribute to a number >= 0")
    assert parts(town(), start="Z") == ("start", "Z", "write one such as 'A', 'B', 'C'")
    assert parts(town(), trail_cost={"A": -2}) == ("A", -2, "it must be finite and >= 0")
    assert parts(town(), seed=-1) == ("seed", -1, "write a whole number from 0 up")
    assert parts(two_islands())[0] == "seam"


@pytest.mark.parametrize("yes", [1, np.int8(1), np.True_])
@pytest.mark.parametrize("no", [0, np.int64(0), np.False_])
def test_required_may_be_any_truth_value(yes, no):
    graph, plain = town(), town()
    for one, required in ((graph, yes), (plain, True)):
        nx.set_edge_attributes(one, required, "required")
    graph.edges["A", "B", 1]["required"], plain.edges["A", "B", 1]["required"] = no, False
    assert rural_postman(graph) == rural_postman(plain)


def test_a_seed_may_be_numpy_s():
    assert rural_postman(town(), seed=np.int64(0)) == rural_postman(town(), seed=0)


def test_islands_without_trails():
    error = refused(two_islands(), ("node 'seam' cannot be reached", "add edges", "trail_cost"), NoPlanError)
    assert error.vertex == 2
    assert len(rural_postman(two_islands(), trail_cost=1).walks) == 2


def test_a_start_out_of_reach_of_what_is_required():
    """A closed walk has to pass it."""
    graph = one_edge()
    graph.add_node("rim")
    refused(graph, (), NoPlanError, start="rim")


def test_no_end_in_reach():
    told = ("no trail may end anywhere in reach of node 'seam'", "let one end there", "trail_cost")
    assert refused(two_islands(), told, NoPlanError, trail_cost={"pear": 1, "leaf": 1}).vertex == 2
    refused(town(), ("in reach of node 'A'", "trail_cost"), NoPlanError, trail_cost={})


def test_limits_that_leave_no_walk():
    """One edge cannot be walked back where no copy is allowed; an end at both sides needs none."""
    stuck = one_edge(extra=0)
    refused(stuck, ("node 'pear'",), NoPlanError)
    refused(stuck, (), NoPlanError, trail_cost={"pear": 2})
    assert rural_postman(stuck, trail_cost=2).cost == 3


def test_two_rings_with_a_single_crossing_left():
    """Joining them would take two crossings of the one bridge, and its limit is one."""
    graph = nx.Graph()
    for ring in ("abc", "xyz"):
        nx.add_cycle(graph, ring, cost=1, required=True)
    graph.add_edge("a", "x", cost=1, required=False, extra=1)
    refused(graph, ("within the limits on copies", "allow more (extra)"), NoPlanError)
    graph.edges["a", "x"]["extra"] = 2
    assert rural_postman(graph).cost == 8


@pytest.mark.parametrize("cost", [5e-324, 1e-310, 1e-6, 0.0, 1e17, 2**53 + 1, 1e100])
def test_the_smallest_and_the_greatest_numbers_are_taken(cost):
    """Rounded once, to a unit that is stated."""
    result = rural_postman(one_edge(cost=cost), trail_cost=cost)
    assert result.optimal
    assert result.cost == pytest.approx(2 * float(cost), rel=1e-6)
