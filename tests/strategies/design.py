"""Whole designs, and how they are to be sewn.

In some an oval touches its block's edge on all sides; in some two ovals are tangent, outline to outline; in
some, lines of two fills or ovals coincide. Blocks are tiny (20 mm) or huge (3 m), motifs turned by round
angles and by odd ones. `test_strategies.py` finds each of these in what is drawn.
"""

from hypothesis import strategies as st

from stitchpath.design import Border, Design, Kind, Sashing, ThreadKind, Top
from stitchpath.motifs import Basting, Ditch, Echo, Ellipse, Fill, Strip
from stitchpath.motifs.sizes import SizeRule
from stitchpath.settings import ScheduleSettings

ANGLES = st.sampled_from([0.0, 90.0, 45.0, -45.0, 30.0, 60.0, 17.3, 135.0, 89.999])
TILTS = st.sampled_from([0.0, 0.0, 90.0, 180.0, 20.0, -35.0, 45.0, 1e-4])
BLOCK_MM = st.sampled_from([(20.0, 20.0), (100.0, 80.0), (254.0, 304.8), (300.0, 300.0), (3000.0, 2000.0)])
CLEARANCE = 1 / 80
"""Of the block's smaller side, so that tiny blocks have room."""


@st.composite
def ellipses(draw, size, *, name=None):
    """Draw one or two ovals in a block; some touch its edge or one another, some lie one on the other."""
    least = min(size)
    clearance = least * CLEARANCE
    applique = draw(st.booleans())
    way = draw(st.sampled_from(["free", "free", "touching", "pair", "round", "twins"]))
    outer = clearance if applique else 0.0
    about = {"applique": applique}
    if applique:
        about["keep_out"] = draw(st.sampled_from([None, "edge", "whole"]))
    elif draw(st.booleans()):
        about["nested"] = (least / 20,)
    if way == "touching":
        return [Ellipse(name=name, height=size[1] - 2 * outer, width=size[0] - 2 * outer, **about)]
    if way == "pair":
        # Tangent to one another along the middle of the block, outline to outline.
        width, height = size[0] / 4, size[1] / 2
        off = width / 2 + outer
        return [
            Ellipse(name=f"{side} oval", height=height, width=width, centre=(x, 0.0), **about)
            for side, x in (("left", -off), ("right", off))
        ]
    height = least * draw(st.sampled_from([0.3, 0.5, 0.7]))
    ratio = 1.0 if way == "round" else draw(st.sampled_from(["3:2", "5:2", 0.8]))
    rule = SizeRule(top=height, bottom=height * 1.1) if draw(st.booleans()) else height
    one = Ellipse(name=name, height=rule, ratio=ratio, tilt=draw(TILTS), **about)
    return [one, one.model_copy(update={"name": "twin"})] if way == "twins" and not applique else [one]


@st.composite
def strips(draw, size):
    """Draw a strip."""
    where = draw(st.sampled_from(["outside", "both", "inside"]))
    about = {"where": where, "pieced": draw(st.booleans()), "least_piece": min(size) / 50}
    return Strip(width=min(size) / draw(st.sampled_from([8, 12, 20])), angle=draw(ANGLES), **about)


@st.composite
def fills(draw, size):
    """Draw a fill, or a fill and another one half as wide, every other line of which coincides with it."""
    least = min(size)
    where = draw(st.sampled_from(["outside", "outside", "inside", "everywhere"]))
    counted_from = draw(st.sampled_from(["middle", "top", "seam"]))
    even = counted_from != "top" and draw(st.booleans())
    gap = draw(st.sampled_from([0.0, least / 40, 6.35]))
    fill = Fill(
        spacing=least / draw(st.sampled_from([4, 5, 8])),
        angle=draw(ANGLES),
        counted_from=counted_from,
        where=where,
        even=even,
        least_gap=gap,
        least_piece=least / draw(st.sampled_from([50, 500])),
        least_room=least / 10,
        through_strips=draw(st.booleans()),
    )
    return [fill, fill.model_copy(update={"spacing": fill.spacing / 2})] if draw(st.booleans()) else [fill]


@st.composite
def echoes(draw, size):
    """Draw one to three echoes around or in each oval."""
    return Echo(
        spacing=min(size) / draw(st.sampled_from([12, 20])),
        count=draw(st.integers(1, 3)),
        direction=draw(st.sampled_from(["outwards", "inwards"])),
        least_piece=min(size) / 50,
    )


@st.composite
def kinds(draw, letter, size):
    """Draw a kind of block with one to six motifs."""
    motifs = list(draw(ellipses(size, name="oval")))
    motifs += [draw(echoes(size))] if draw(st.booleans()) else []
    motifs += [draw(strips(size))] if draw(st.booleans()) else []
    motifs += draw(fills(size)) if draw(st.booleans()) else []
    return Kind(letter=letter, motifs=motifs)


@st.composite
def tops(draw, size):
    """Draw a top of blocks of one size, with or without sashing and borders."""
    least = min(size)
    sashing = None
    if draw(st.booleans()):
        sashing = Sashing(width=least / 5, cornerstones=draw(st.booleans()), around=draw(st.booleans()))
    edge = Fill(spacing=least / 3, angle="square to the edge", least_piece=least / 50, least_gap=least / 40)
    borders = [
        Border(width=least / 3, motifs=[edge] if draw(st.booleans()) else [])
        for _ in range(draw(st.integers(0, 2)))
    ]
    allowance = draw(st.sampled_from([0.0, 6.35, 12.7]))
    return Top(
        block_width=size[0],
        block_height=size[1],
        sashing=sashing,
        borders=borders,
        binding_allowance=allowance,
    )


@st.composite
def carried_on_tops(draw):
    """Draw a top with a fill counted from its middle, slanting, in most of its blocks; ovals in some."""
    size = draw(st.sampled_from([(20.0, 20.0), (100.0, 80.0), (254.0, 304.8)]))
    fill = Fill(
        spacing=min(size) / draw(st.sampled_from([5, 9, 14])),
        angle=draw(st.sampled_from([20.0, 33.3, 45.0, 60.0, 117.0, 135.0])),
        counted_from="top",
        where=draw(st.sampled_from(["outside", "everywhere"])),
        least_piece=min(size) / draw(st.sampled_from([2.0, 4.0, 16.0])),
        least_gap=0.0,
        least_room=0.01,
    )
    other = fill.model_copy(update={"thread": draw(st.sampled_from(["cotton", "cotton", "silk"]))})
    height = min(size) * draw(st.sampled_from([0.4, 0.7]))
    oval = Ellipse(height=height, ratio=draw(st.sampled_from([1.0, 1.4])))
    kinds = {"filled": Kind(letter="F", motifs=[fill]), "oval": Kind(letter="O", motifs=[oval, other])}
    rows, columns = draw(st.integers(1, 3)), draw(st.integers(1, 3))
    cells = st.sampled_from("FFFOO.")
    layout = ["".join(draw(cells) for _ in range(columns)) for _ in range(rows)]
    layout[0] = "F" + layout[0][1:]
    threads = {name: ThreadKind(tex=40) for name in ("cotton", "silk")}
    allowance = draw(st.sampled_from([0.0, 6.35]))
    top = Top(block_width=size[0], block_height=size[1], binding_allowance=allowance)
    return Design(top=top, layout=layout, kinds=kinds, threads=threads)


@st.composite
def designs(draw, most=2):
    """Draw a design of at most `most` by `most` blocks; nearly all can be drawn."""
    size = draw(BLOCK_MM)
    letters = "AB"[: draw(st.integers(1, 2))]
    rows, columns = draw(st.integers(1, most)), draw(st.integers(1, most))
    layout = [
        "".join(draw(st.sampled_from(f"{letters}{letters}.")) for _ in range(columns)) for _ in range(rows)
    ]
    layout[0] = letters[0] + layout[0][1:]
    whole = [Ditch()] if draw(st.booleans()) else []
    whole += [Basting()] if draw(st.booleans()) else []
    return Design(
        name="Drawn by lot",
        top=draw(tops(size)),
        layout=layout,
        kinds={f"kind {letter}": draw(kinds(letter, size)) for letter in letters},
        motifs=whole,
        clearance=min(size) * CLEARANCE,
        tolerance=max(0.02, min(size) / 20000),
    )


def schedules():
    """Settings of groups, the order of blocks, and whether stages or groups are finished first."""
    return st.builds(
        ScheduleSettings,
        groups=st.sampled_from(["none", "rows", "blocks"]),
        finish=st.sampled_from(["stage by stage", "group by group"]),
        order=st.sampled_from(["left to right", "snake", "free", "from the middle"]),
    )


@st.composite
def thread_settings(draw):
    """Draw names of threads, those of some lines, and a schedule: which match, and which are kept clear."""
    names = list("abcd")
    sewn = draw(st.lists(st.sampled_from(names), max_size=6))
    shuffled = draw(st.permutations(names))
    matching = draw(st.sampled_from([[], [shuffled[:2]], [shuffled[:3]], [shuffled[:2], shuffled[2:]]]))
    clear = draw(st.sampled_from(["none", "all"]) | st.lists(st.sampled_from(names), unique=True))
    return names, sewn, ScheduleSettings(matching_threads=matching, kept_clear=clear)
