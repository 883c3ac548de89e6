"""Designs drawn: what comes, in which order, and where."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from pydantic import ValidationError
from strategies import designs

from stitchpath.design import Border, Change, Design, Kind, Sashing, ThreadKind, Top, read_design
from stitchpath.design import drawn as drawing_places
from stitchpath.design.drawn import draw_places, wanted_in_places
from stitchpath.design.faults import explain
from stitchpath.design.layout import lay_out
from stitchpath.drawing import draw
from stitchpath.errors import DesignError, LimitError
from stitchpath.lines import UNASKED_ROLES, Role
from stitchpath.motifs import MOTIFS, Basting, Ditch, Ellipse, Fill
from stitchpath.motifs.sizes import AngleRule, SizeRule

ORCHARD = Path(__file__).parents[2] / "examples" / "winter_orchard.toml"
PEAR = Ellipse(name="pear", height=60, ratio="3:2", applique=True)


def small(**about):
    about = {"top": Top(block_width=100, block_height=100), "layout": ["P.", "PP"]} | about
    return Design(**{"kinds": {"pear": Kind(letter="P", motifs=[PEAR])}} | about)


def test_lines_come_block_by_block_and_say_who_asked():
    drawing = draw(small())
    assert [(line.block, line.motif) for line in drawing.lines] == [
        (block, f"pear: {side} outline")
        for block in ("row 1, column 1", "row 2, column 1", "row 2, column 2")
        for side in ("outside", "inside")
    ]
    assert [keep_out.block for keep_out in drawing.keep_outs] == [line.block for line in drawing.lines[::2]]
    assert drawing.outline.bounds == (0, 0, 200, 200)
    assert [(thread.name, thread.tex) for thread in drawing.threads] == [("cotton", 40.0)]


@pytest.mark.parametrize(
    ("motifs", "asked", "hidden"),
    [
        ([], [], [Role.HIDDEN, Role.HIDDEN, Role.ALLOWANCE]),
        ([Ditch()], [Role.DITCH, Role.DITCH], [Role.ALLOWANCE]),
        ([Basting()], [Role.BASTE], [Role.HIDDEN, Role.HIDDEN]),
        ([Basting(), Ditch()], [Role.DITCH, Role.DITCH, Role.BASTE], []),
    ],
)
def test_what_is_not_stitched_is_hidden(motifs, asked, hidden):
    drawing = draw(small(motifs=motifs))
    assert [line.role for line in drawing.lines if line.role is not Role.OUTLINE] == asked
    assert [line.role for line in drawing.hidden] == hidden
    edge = next(line for line in drawing.lines + drawing.hidden if line.role in {Role.BASTE, Role.ALLOWANCE})
    assert edge.closed
    assert edge.points_mm.min() == -25.4 / 8


def test_motifs_are_drawn_in_the_order_shapes_strips_fills_however_typed():
    fill = Fill(spacing=10, angle=0)
    there, back = (
        draw(small(kinds={"pear": Kind(letter="P", motifs=motifs)}))
        for motifs in ([PEAR, fill], [fill, PEAR])
    )
    assert there == back
    pear = next(keep_out.polygon for keep_out in there.keep_outs)
    first = [line for line in there.lines if line.block == "row 1, column 1" and line.role is Role.FILL]
    assert first
    assert all(shapely.LineString(line.points_mm).intersection(pear).length < 0.004 for line in first)


def test_sashing_cornerstones_and_borders_have_motifs_of_their_own():
    line = Fill(spacing=20, angle="along the edge")
    top = Top(
        block_width=100,
        block_height=100,
        sashing=Sashing(width=40, motifs=[line], cornerstone_motifs=[Ellipse(height=20, ratio=1)]),
        borders=[Border(width=50, motifs=[line])],
    )
    blocks = {line.block for line in draw(small(top=top, kinds={}, layout=["..", ".."])).lines}
    assert blocks == {
        "sashing between columns 1 and 2, row 1", "sashing between columns 1 and 2, row 2",
        "sashing between rows 1 and 2, column 1", "sashing between rows 1 and 2, column 2",
        "cornerstone between rows 1 and 2, between columns 1 and 2",
        "top border", "right border", "bottom border", "left border",
    }  # fmt: skip


def heights(drawing):
    return {
        line.block: round(float(np.ptp(line.points_mm[:, 1])), 1)
        for line in drawing.lines
        if line.motif.endswith("outside outline")
    }


def test_sizes_by_row_and_for_one_block():
    pear = Ellipse(name="pear", height=SizeRule(rows=(40, 60)), ratio="3:2", applique=True)
    changes = [Change(block="row 2, column 2", motif="pear", to={"height": 50})]
    design = small(
        kinds={"pear": Kind(letter="P", motifs=[pear])}, changes=changes, clearance=5, tolerance=0.001
    )
    assert heights(draw(design)) == {"row 1, column 1": 50, "row 2, column 1": 70, "row 2, column 2": 60}


def test_a_change_keeps_a_rule_that_it_does_not_touch():
    pear = PEAR.model_copy(update={"tilt": AngleRule(columns=(0, 90))})
    changes = [Change(block="row 2, column 2", motif="pear", to={"height": "2 in"})]
    drawing = draw(small(kinds={"pear": Kind(letter="P", motifs=[pear])}, changes=changes, clearance=5))
    assert heights(drawing)["row 2, column 2"] == pytest.approx(50.8 / 1.5 + 10, abs=0.1)


def test_a_fault_from_python_has_its_key_and_no_file():
    with pytest.raises(DesignError) as caught:
        draw(small(kinds={"pear": Kind(letter="P", motifs=[Ellipse(height=101, ratio=2)])}))
    assert (caught.value.key, caught.value.file, caught.value.line) == ("kinds.pear.motifs[0].height", "", 0)


def test_every_motif_is_wanted_in_its_places_the_whole_tops_first():
    design = small(motifs=[Ditch()])
    layout = lay_out(design)
    found = [(place.name, one.motif.motif, one.path) for place, one in wanted_in_places(design, layout)]
    pear = ("ellipse", ("kinds", "pear", "motifs", 0))
    blocks = "row 1, column 1", "row 2, column 1", "row 2, column 2"
    assert found == [("", "ditch", ("motifs", 0)), *((block, *pear) for block in blocks)]
    laid, drawn = draw_places(design)
    assert laid == layout
    assert [len(one.lines) for one in drawn] == [2, 2, 2, 2]
    assert draw_places(small(kinds={}, layout=[".."]))[1] == ()


@pytest.mark.parametrize(
    ("limit", "most", "said"),
    [("MOST_DESIGN_LINES", 23, "about 24 lines"), ("MOST_DESIGN_POINTS", 41, "over 41 points")],
)
def test_what_would_draw_too_much_is_refused_by_the_motif_that_asks_for_most(monkeypatch, limit, most, said):
    """Three blocks of seven lines each, foretold as eight: 21 lines of two points."""
    fill = Fill(spacing=14, angle=0)
    design = small(kinds={"pear": Kind(letter="P", motifs=[fill])})
    assert sum(len(one.lines) for one in draw_places(design)[1]) == 21
    monkeypatch.setattr(drawing_places, limit, most)
    with pytest.raises(LimitError, match=said) as caught:
        draw_places(design)
    assert caught.value.key == "kinds.pear.motifs[0].spacing"
    monkeypatch.setattr(drawing_places, limit, most + 1)
    assert sum(len(one.lines) for one in draw_places(design)[1]) == 21


def test_threads_by_name():
    silk = {"cotton": ThreadKind(tex=40), "silk": ThreadKind(tex=20)}
    pear = PEAR.model_copy(update={"thread": "silk"})
    drawing = draw(small(kinds={"pear": Kind(letter="P", motifs=[pear])}, threads=silk))
    assert {line.thread for line in drawing.lines} == {"silk"}
    assert [thread.name for thread in drawing.threads] == ["silk"]


def test_winter_orchard():
    design = read_design(ORCHARD)
    drawing = draw(design)
    assert (design.rows, design.columns) == (6, 5)
    assert drawing.outline.bounds == pytest.approx((0, 0, 64 * 25.4, 87.5 * 25.4))
    roles = {role: sum(line.role is role for line in drawing.lines) for role in Role}
    assert all(roles[role] for role in Role if role not in UNASKED_ROLES | {Role.DRAWN})
    assert drawing.hidden == ()
    tall = heights(drawing)
    assert tall["row 1, column 1"] < tall["row 3, column 1"] < tall["row 5, column 1"]
    assert {note.kind for note in drawing.notes} <= {"left out"}
    border = next(line for line in drawing.lines if line.block == "left border")
    assert np.ptp(border.points_mm, axis=0) == pytest.approx((4 * 25.4 + 25.4 / 8, 0))


def test_the_same_lines_whatever_the_hash_seed():
    code = (
        "import hashlib; from stitchpath.design import read_design; from stitchpath.drawing import draw;"
        f"d = draw(read_design({str(ORCHARD)!r}));"
        "said = repr([(l.motif, l.block, l.points_mm.tolist()) for l in d.lines]);"
        "print(hashlib.sha256(said.encode()).hexdigest())"
    )
    said = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(ORCHARD.parents[1])},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(said) == 1


def test_designs_by_lot_are_mostly_drawn_and_have_every_motif():
    seen = {model.__name__: 0 for model in MOTIFS}
    total = drawn = 0

    @settings(
        deadline=None, derandomize=True, max_examples=150, database=None,
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(designs())
    def count(design):
        nonlocal total, drawn
        total += 1
        try:
            drawing = draw(design)
        except DesignError:
            return
        drawn += 1
        asked = {*design.motifs, *(m for kind in design.kinds.values() for m in kind.motifs)}
        for name in {type(motif).__name__ for motif in asked}:
            seen[name] += 1
        for line in drawing.lines + drawing.hidden:
            assert np.isfinite(line.points_mm).all()
            assert line.length_mm > 0

    count()
    assert drawn >= 0.8 * total, (drawn, total)
    assert min(seen.values()) >= 0.2 * total, (seen, total)


THREADS = {name: ThreadKind(tex=40) for name in ("grey", "red", "blue", "gold", "sand")}


def threads_of(design):
    """Each block's lines: what asked for them, and their thread."""
    lines = draw(design).lines
    return {
        block: {line.motif: line.thread for line in lines if line.block == block}
        for block in dict.fromkeys(line.block for line in lines)
    }


def test_a_motif_without_a_thread_takes_its_blocks_then_its_kinds_then_the_first():
    pear = Ellipse(name="pear", height=60, ratio="3:2", applique=True, inside_thread="gold")
    motifs = [pear, Fill(spacing=30), Fill(name="own", spacing=40, angle=90, thread="blue")]
    design = small(
        threads=THREADS,
        layout=["PQ", "PP"],
        kinds={
            "pear": Kind(letter="P", motifs=motifs, thread="red"),
            "quince": Kind(letter="Q", motifs=motifs),
        },
        changes=[
            Change(block="row 2, column 1", to={"thread": "sand"}),
            Change(block="row 2, column 2", motif="fill", to={"thread": "grey"}),
        ],
    )
    told = threads_of(design)
    assert {block: (found["fill"], found["pear: outside outline"]) for block, found in told.items()} == {
        "row 1, column 1": ("red", "red"),
        "row 1, column 2": ("grey", "grey"),
        "row 2, column 1": ("sand", "sand"),
        "row 2, column 2": ("grey", "red"),
    }
    assert {found["own"] for found in told.values()} == {"blue"}
    assert {found["pear: inside outline"] for found in told.values()} == {"gold"}
    assert {thread.name for thread in draw(design).threads} == {"grey", "red", "blue", "gold", "sand"}


def test_sashing_and_borders_have_threads_of_their_own():
    fill = [Fill(spacing=30, least_piece=1)]
    sashing = Sashing(width=20, motifs=fill, cornerstone_motifs=fill, thread="red")
    borders = [Border(width=40, motifs=fill, thread="blue"), Border(width=40, motifs=fill)]
    top = Top(block_width=100, block_height=100, sashing=sashing, borders=borders)
    told = threads_of(small(threads=THREADS, top=top, motifs=[Ditch()]))
    found = {block: set(threads.values()) for block, threads in told.items()}
    words = {
        word: {name for block, names in found.items() if word in block for name in names}
        for word in ("row 1, column 1", "sashing", "cornerstone", "border 1", "border 2")
    }
    assert words == {
        "row 1, column 1": {"grey"},
        "sashing": {"red"},
        "cornerstone": {"red"},
        "border 1": {"blue"},
        "border 2": {"grey"},
    }
    assert found[""] == {"grey"}


@pytest.mark.parametrize(
    ("about", "key"),
    [
        ({"kinds": {"pear": Kind(letter="P", motifs=[PEAR], thread="silk")}}, "kinds.pear.thread"),
        ({"changes": [Change(block="row 1, column 1", to={"thread": "silk"})]}, "changes[0].to.thread"),
        ({"top": Top(block_width=100, block_height=100, sashing=Sashing(width=9, thread="silk"))},
         "top.sashing.thread"),
        ({"top": Top(block_width=100, block_height=100, borders=[Border(width=9, thread="silk")])},
         "top.borders[0].thread"),
        ({"kinds": {"pear": Kind(letter="P", motifs=[PEAR.model_copy(update={"outside_thread": "silk"})])}},
         "kinds.pear.motifs[0].outside_thread"),
    ],
)  # fmt: skip
def test_a_thread_that_does_not_exist_is_refused_wherever_it_is_named(about, key):
    with pytest.raises(ValidationError) as caught:
        small(**about)
    _, told = explain(caught.value, {})
    assert (told.problem, told.key) == ('there is no thread "silk"', key)


def test_two_threads_for_one_block_are_refused():
    twice = [Change(block="row 1, column 1", to={"thread": name}) for name in ("red", "blue")]
    with pytest.raises(ValidationError, match="thread is changed twice in row 1, column 1"):
        small(threads=THREADS, changes=twice)


def test_threads_in_place_are_those_of_the_lines():
    """What a schedule may list is what is drawn."""
    design = small(
        threads=THREADS,
        kinds={
            "pear": Kind(
                letter="P", motifs=[Ellipse(height=60, ratio=1.5, applique=True, outside_thread="red")]
            )
        },
    )
    layout = lay_out(design)
    listed = {name for place, one in wanted_in_places(design, layout) for name in one.motif.threads(place)}
    assert listed == {line.thread for line in draw(design).lines} == {"grey", "red"}
