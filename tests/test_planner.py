"""The recipe: whose settings count, and what is refused."""

import pytest
from plans import ALL_IN_ONE, circle, line

from stitchpath import planner
from stitchpath.design import Design, Kind, ThreadKind, Top, read_design
from stitchpath.drawing import Drawing, draw
from stitchpath.errors import DesignError, InternalError, LimitError
from stitchpath.motifs import Ditch, Ellipse
from stitchpath.planner import make_plan
from stitchpath.planning.router import Router
from stitchpath.postman.errors import PromiseError
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings

CROSS = Drawing.from_lines([line((0, 0), (80, 80)), line((0, 80), (80, 0))])


def design(**about):
    about = {
        "top": Top(block_width=100, block_height=100),
        "layout": ["PP"],
        "kinds": {"pear": Kind(letter="P", motifs=[Ellipse(height=60, ratio="3:2", applique=True)])},
        "motifs": [Ditch()],
    } | about
    return Design(**about)


def test_a_drawing_is_planned_for_a_frame_that_does_not_cut_its_thread_in_default_stages():
    plan = make_plan(CROSS)
    assert (plan.cost_settings, plan.machine, plan.schedule) == (
        CostSettings(),
        MachineSettings(),
        ScheduleSettings(),
    )
    assert (plan.effort, plan.seed, plan.drawing) == ("standard", 0, CROSS)
    assert (plan.machine.sewn_by, plan.machine.cuts_thread) == ("frame", False)


def test_a_designs_own_settings_count_unless_others_are_given():
    own = {
        "cost": CostSettings(path_cost_s=7),
        "machine": MachineSettings(sewn_by="hand"),
        "schedule": ALL_IN_ONE,
    }
    asked = design(**own)
    plan = make_plan(asked)
    assert (plan.cost_settings, plan.machine, plan.schedule) == tuple(own.values())
    assert plan.drawing == draw(asked)
    other = make_plan(
        asked,
        cost=CostSettings(),
        machine=MachineSettings(),
        schedule=ScheduleSettings(),
        effort="quick",
        seed=4,
    )
    assert (other.cost_settings, other.machine, other.schedule) == (
        CostSettings(),
        MachineSettings(),
        ScheduleSettings(),
    )
    assert (other.effort, other.seed) == ("quick", 4)


@pytest.mark.parametrize(
    ("machine", "cost"), [({}, 60), ({"cuts_thread": True}, 25), ({"sewn_by": "hand"}, 60)]
)
def test_who_sews_sets_the_cost_of_a_path(machine, cost):
    """A seam by itself: half a path's cost at each end, in a seam once."""
    drawing = Drawing.from_lines([line((0, 0), (400, 0))], roles="ditch")
    assert make_plan(drawing, machine=MachineSettings(**machine)).cost == cost


def test_nothing_to_sew_is_refused():
    with pytest.raises(DesignError, match="there is no line to sew; ask for at least one motif"):
        make_plan(Drawing.from_lines([], hidden=[line((0, 0), (9, 0))]))


def test_each_path_has_one_thread_and_sews_its_lines_only():
    lines = [line((0, 0), (80, 0)), line((0, 0), (0, 80)), line((0, 80), (80, 80)), line((80, 0), (80, 80))]
    drawing = Drawing.from_lines(lines, threads=["white", "grey", "white", "grey"])
    plan = make_plan(drawing)
    assert [path.thread for path in plan] == ["white", "white", "grey"]
    for path in plan:
        sewn = {drawing.lines[s.line - 1].thread for s in path.spans if s.line and s.move == "sew"}
        assert sewn == {path.thread}
    grey_first = make_plan(drawing, schedule=ScheduleSettings(threads=("grey",)))
    assert [path.thread for path in grey_first] == ["grey", "grey", "white"]
    with pytest.raises(DesignError, match=r'schedule.threads\[1\].*"red".*write one of "white", "grey"'):
        make_plan(drawing, schedule=ScheduleSettings(threads=("white", "red")))


def test_two_threads_of_which_one_is_used_are_one():
    threads = {"grey": ThreadKind(tex=30), "white": ThreadKind(tex=40)}
    plan = make_plan(design(threads=threads))
    assert {path.thread for path in plan} == {"grey"}


def test_a_role_that_no_stage_has_is_refused():
    stages = [{"name": "seams", "roles": ["ditch"]}]
    with pytest.raises(
        DesignError, match='no stage takes drawn lines, such as those of line; add "drawn" to a stage'
    ):
        make_plan(CROSS, schedule=ScheduleSettings(stages=stages))


@pytest.mark.parametrize(
    ("how", "said"),
    [
        ({"effort": "fast"}, "effort: 'fast' is no effort; write one of quick, standard, proof"),
        ({"seed": -1}, "seed: -1 is no seed; write a whole number from 0 up"),
        ({"seed": 1.5}, "seed: 1.5 is no seed"),
        ({"cost": 3}, "cost: 3 is no settings; give CostSettings(...)"),
        ({"machine": CostSettings()}, "machine: "),
        ({"schedule": "default"}, 'schedule: "default" is no settings; give ScheduleSettings(...)'),
    ],
)
def test_an_effort_a_seed_or_settings_that_are_none_is_refused(how, said):
    with pytest.raises(DesignError) as caught:
        make_plan(CROSS, **how)
    assert str(caught.value).startswith(said)


@pytest.mark.parametrize("given", ["leaf.toml", None, 3, [CROSS]])
def test_what_is_no_design_is_refused_in_a_sentence(given):
    with pytest.raises(DesignError, match=r" is no design; give a Design, such as read_design returns$"):
        make_plan(given)


STAGES = 'schedule.stages = [{ name = "edge", roles = ["baste"] }]'
FILED = f"""\
layout = ["P"]
top = {{ block_width = 90, block_height = 90 }}
motifs = [{{ motif = "ditch" }}, {{ motif = "basting", thread = "grey" }}]
threads = {{ white = {{ tex = 40 }}, grey = {{ tex = 40 }} }}
kinds.leaf.letter = "P"
kinds.leaf.motifs = [{{ motif = "strip", width = 9 }}]
schedule.laps = "free"
{STAGES}
"""


@pytest.mark.parametrize(
    ("text", "line", "key"),
    [
        (FILED, 8, "schedule.stages"),
        (FILED.replace(STAGES, 'schedule.threads = ["red"]'), 8, "schedule.threads[0]"),
    ],
)
def test_what_a_file_asks_for_and_cannot_be_planned_is_told_with_its_line(tmp_path, text, line, key):
    file = tmp_path / "leaf.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(DesignError) as caught:
        make_plan(read_design(file))
    assert str(caught.value).startswith(f"{file}:{line}: {key}: ")


TO_HAND = """\
layout = ["P"]
motifs = [{ motif = "ditch" }, { motif = "basting" }]
[top]
block_width = 100
block_height = 100
[kinds.pear]
letter = "P"
motifs = [{ motif = "fill", spacing = 20 }, { motif = "ellipse", name = "pear", height = 50, ratio = 1.5 }]
[machine]
cuts_thread = true
[schedule]
by_hand = ["fill", "pear", "baste"]
"""
ROLES_TO_HAND = TO_HAND.replace('"pear", "baste"', '"outline", "basting"')


@pytest.mark.parametrize(
    "text",
    [
        TO_HAND,
        ROLES_TO_HAND,
        TO_HAND.replace("[schedule]", "[schedule]\ntravel_by_hand = true"),
        TO_HAND.replace("[machine]", "[machine]\nreach = 60"),
        f'{TO_HAND}by_hand_when = "after the frame"\n',
        TO_HAND.replace("[schedule]", '[schedule]\nstages = "all in one"'),
    ],
)
def test_a_frame_to_which_no_line_is_left_is_told_with_its_line(tmp_path, text):
    """It once ended where the first path was looked for; seams may be travelled, but none was asked for."""
    file = tmp_path / "pear.toml"
    file.write_text(text, encoding="utf-8")
    asked = read_design(file)
    at = next(n for n, row in enumerate(text.splitlines(), 1) if row.startswith("by_hand"))
    with pytest.raises(
        DesignError, match="every line is left to be guided by hand, and none to the frame"
    ) as caught:
        make_plan(asked, effort="quick")
    assert str(caught.value).startswith(f"{file}:{at}: schedule.by_hand: ")
    assert make_plan(asked, machine=MachineSettings(sewn_by="hand"), effort="quick").paths
    left = ScheduleSettings(by_hand=asked.schedule.by_hand[:1])
    assert make_plan(asked, schedule=left, effort="quick").paths


def test_a_drawing_of_which_no_line_is_left_to_the_frame():
    for by_hand in (["drawn"], ["line"]):
        with pytest.raises(DesignError, match="by hand") as caught:
            make_plan(CROSS, schedule=ScheduleSettings(by_hand=by_hand))
        assert (caught.value.key, caught.value.file) == ("schedule.by_hand", "")
    with pytest.raises(DesignError, match="there is no line to sew"):
        make_plan(Drawing.from_lines([], hidden=[line((0, 0), (80, 0))]))


def test_what_is_over_a_budget_is_refused(monkeypatch):
    monkeypatch.setattr("stitchpath.planning.network.MOST_CROSSINGS", 0)
    with pytest.raises(LimitError, match="about 1 crossings, and 0 can be routed at once"):
        make_plan(CROSS)


def test_the_notes_of_the_network_are_kept():
    short = Drawing.from_lines([line((0, 0), (100, 0)), line((50, 0.0625), (50, 50))])
    (note,) = make_plan(short).notes
    assert note.startswith("a line ends 0.062 mm short of line")
    assert make_plan(CROSS).notes == ()


def test_lines_given_twice_and_turned_round_are_sewn_once():
    lines = [circle(count=12), line((-90, 0), (90, 0)), line((90, 0), (-90, 0)), circle(count=12)]
    roles = ["outline", "fill", "fill", "outline"]
    once = make_plan(Drawing.from_lines(lines[:2], roles=roles[:2]))
    twice = make_plan(Drawing.from_lines(lines, roles=roles))
    assert twice.cost == once.cost
    assert sum(path.length_mm for path in twice) == sum(path.length_mm for path in once)


def test_the_recipe_changes_nothing_that_it_was_given():
    before = [piece.points_mm.copy() for piece in CROSS.lines]
    planner.make_plan(CROSS)
    assert all((piece.points_mm == was).all() for piece, was in zip(CROSS.lines, before, strict=True))


def test_effort_seed_and_progress_reach_the_router(monkeypatch):
    told, heard = [], lambda *_: True

    def made(*about, **more):
        told.append(about[2:])
        return Router(*about, **more)

    monkeypatch.setattr(planner, "Router", made)
    make_plan(CROSS, machine=MachineSettings(sewn_by="hand"), effort="quick", seed=4, progress=heard)
    assert told == [("always", "quick", 4, heard, None)]


def test_a_broken_promise_is_ours_to_mend(monkeypatch):
    def broken(*_, **__):
        raise PromiseError("a plan is broken")

    monkeypatch.setattr("stitchpath.planning.solving.solve", broken)
    with pytest.raises(InternalError, match="while routing: a plan is broken"):
        make_plan(CROSS)
