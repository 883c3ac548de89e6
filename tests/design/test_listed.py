"""Lists of a schedule that name what there is not: told when the file is read, with file, line and key."""

import pytest
from hypothesis import given
from strategies import groupings

from stitchpath.cli import main
from stitchpath.design import Design, Kind, Top, read_design
from stitchpath.design.listed import refuse_groups, refuse_lists
from stitchpath.drawing import draw
from stitchpath.errors import DesignError
from stitchpath.motifs import Basting, Ditch, Echo, Ellipse, Fill, Strip
from stitchpath.settings import BlockGroup, ScheduleSettings

GOOD = """\
layout = ["PP", ".P"]
motifs = [{ motif = "ditch", thread = "grey" }]
changes = [{ block = "row 1, column 1", motif = "line: thin", to = { thread = "blue" } }]
[top]
block_width = 90
block_height = 90
sashing = { width = 10, cornerstone_motifs = [{ motif = "fill", spacing = 3, thread = "gold" }] }
[threads]
white = { tex = 40 }
grey = { tex = 40 }
blue = { tex = 40 }
gold = { tex = 40 }
idle = { tex = 40 }
[kinds.pear]
letter = "P"
motifs = [{ motif = "strip", name = "line: thin", width = 9 }]
[kinds.nowhere]
letter = "N"
motifs = [{ motif = "echo", spacing = 9, thread = "idle" }]
[schedule]
threads = ["grey", "white"]
matching_threads = [["grey", "blue"]]
kept_clear = ["gold"]
by_hand = ["fill", "line"]
[[schedule.groups]]
name = "left"
blocks = ["row 1, column 1", "row 2, column 1"]
[[schedule.groups]]
name = "right"
blocks = [
    "row 1, column 2",
    "row 2, column 2",
]
"""
THREADS, HAND = 'threads = ["grey", "white"]', '"fill", "line"'
MATCHING, CLEAR = '[["grey", "blue"]]', '["gold"]'
LAST = '    "row 2, column 2",\n'


@pytest.fixture
def file(tmp_path):
    return tmp_path / "pears.toml"


def test_a_good_file_is_read_and_every_thread_and_name_that_is_used_may_be_listed(file):
    file.write_text(GOOD, encoding="utf-8")
    read_design(file)
    lists = GOOD.replace(THREADS, 'threads = ["gold", "blue", "grey", "white"]')
    file.write_text(lists.replace(HAND, '"strip", "ditch", "fill", "line"'), encoding="utf-8")
    read_design(file)


# what to replace in the good file, by what, what is told after file and line, and a part of that line
BAD = [
    (LAST, '    "row 3, column 1",\n',
     'schedule.groups[1].blocks[1]: there is no block "row 3, column 1"; write one such as "row 1, column 1"',
     '"row 3, column 1"'),
    (LAST, LAST + '    "row 1, column 1",\n',
     "schedule.groups[1].blocks[2]: row 1, column 1 stands in two groups, or twice in one; name it once",
     '    "row 1, column 1"'),
    (LAST, "", "schedule.groups: row 2, column 2 is in no group; add it to one", "[[schedule.groups]]"),
    (THREADS, 'threads = [\n"grey",\n"wite"]',
     'schedule.threads[1]: no line is sewn with a thread "wite"; write "white"', '"wite"'),
    (THREADS, 'threads = ["idle"]',
     ('schedule.threads[0]: no line is sewn with a thread "idle"; '
      'write one of "grey", "blue", "white", "gold"'),
     '"idle"'),
    (THREADS, 'threads = ["grey", "white", "grey"]',
     'schedule.threads[2]: the thread "grey" stands twice; name it once', "threads = ["),
    (MATCHING, '[["grey", "blue"], ["white",\n"idle"]]',
     ('schedule.matching_threads[1][1]: no line is sewn with a thread "idle"; '
      'write one of "grey", "blue", "white", "gold"'),
     '"idle"'),
    (MATCHING, '[["grey", "blue"], ["white",\n"grey"]]',
     'schedule.matching_threads[1][1]: the thread "grey" stands twice; name it once', '"grey"]]'),
    (CLEAR, '["golt"]', 'schedule.kept_clear[0]: no line is sewn with a thread "golt"; write "gold"', "golt"),
    (CLEAR, '["gold", "gold"]',
     'schedule.kept_clear[1]: the thread "gold" stands twice; name it once', "kept_clear"),
    (HAND, '"fill", "outline"',
     'schedule.by_hand[1]: no line has the role or the motif "outline"; write "line"', '"outline"'),
    (THREADS, 'first_blocks = ["row 3, column 1"]',
     ('schedule.first_blocks[0]: no block and no kind is called "row 3, column 1"; '
      'write "row 1, column 1"'),
     "first_blocks"),
    (THREADS, 'last_blocks = ["row 2, column 1",\n"per"]',
     'schedule.last_blocks[1]: no block and no kind is called "per"; write "pear"', '"per"'),
    (THREADS, 'first_blocks = ["pear"]\nlast_blocks = ["row 1, column 2"]',
     ('schedule.last_blocks[0]: row 1, column 2 is named by "row 1, column 2" and by "pear"; '
      "let each block come first or last once"),
     "last_blocks"),
    (HAND, '"echo"',
     ('schedule.by_hand[0]: no line has the role or the motif "echo"; '
      'write one of "ditch", "strip", "line", "fill"'),
     "by_hand"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "told", "mark"), BAD, ids=[b[2][:40] for b in BAD])
def test_each_wrong_list_is_told_when_the_file_is_read(file, capsys, old, new, told, mark):
    text = GOOD.replace(old, new, 1)
    assert text != GOOD
    file.write_text(text, encoding="utf-8")
    line = next(n for n, words in enumerate(text.splitlines(), 1) if mark in words and n > 19)
    said = f"{file}:{line}: {told}"
    with pytest.raises(DesignError) as caught:
        read_design(file)
    assert str(caught.value) == said
    for argv in (
        ["lines", str(file)],
        ["plan", str(file), "--out", str(file.parent / "out")],
    ):
        assert main(argv) == 2
        assert capsys.readouterr().err == f"stitchpath: {said}\n"
    assert [path.name for path in file.parent.iterdir()] == [file.name]


def test_check_tells_it_of_a_design_that_has_moved_on(file, capsys):
    plain = GOOD.partition("[schedule]")[0]
    file.write_text(plain, encoding="utf-8")
    assert main(["plan", str(file), "--out", str(file.parent / "out"), "--effort", "quick"]) == 0
    file.write_text(GOOD.replace(THREADS, 'threads = ["idle"]'), encoding="utf-8")
    capsys.readouterr()
    assert main(["check", str(file), str(file.parent / "out")]) == 2
    assert 'no line is sewn with a thread "idle"' in capsys.readouterr().err


ALL = Design(
    top=Top(block_width=200, block_height=200),
    layout=["AB"],
    motifs=[Ditch(), Basting()],
    kinds={
        "all": Kind(
            letter="A",
            motifs=[
                Ellipse(name="oval: big", height=90, width=60),
                Strip(width=20),
                Fill(spacing=20),
                Echo(spacing=9),
            ],
        ),
        "pieced": Kind(letter="B", motifs=[Strip(width=20, pieced=True), Fill(name="bed", spacing=20)]),
    },
)  # fmt: skip


def test_what_is_asked_for_is_what_lines_say():
    """Every role and name that a drawn line has may be listed, and no other."""
    lines = draw(ALL).lines
    names = {name for line in lines for name in (str(line.role), line.motif.split(":")[0])}
    assert names >= {"baste", "ditch", "outline", "strip", "fill", "echo", "oval", "bed"}
    refuse_lists(ALL.model_copy(update={"schedule": ScheduleSettings(by_hand=sorted(names))}))
    for name in ("drawn", "hidden", "oval: big", ""):
        with pytest.raises(DesignError, match=r"^schedule.by_hand\[0\]: no line has the role"):
            refuse_lists(ALL.model_copy(update={"schedule": ScheduleSettings(by_hand=[name])}))


@given(groupings(5))
def test_groups_hold_where_they_part_the_blocks_and_only_there(groups):
    blocks = ["a", "b", "c", "d"]
    named = [number for group in groups for number in group]
    listed = [BlockGroup(name="g", blocks=["abcde"[number] for number in group]) for group in groups]
    if sorted(named) == [0, 1, 2, 3]:
        refuse_groups(listed, blocks)
    else:
        with pytest.raises(DesignError, match=r"^schedule\.groups"):
            refuse_groups(listed, blocks)
