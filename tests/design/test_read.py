"""Bad design files: each says file, line, key, what is wrong and what to write instead."""

import hashlib
import json
import os

import pytest
from hypothesis import HealthCheck, given, settings
from strategies import damages

from stitchpath.design import design_schema, read_design
from stitchpath.drawing import draw
from stitchpath.errors import DesignError, LimitError

GOOD = """\
name = "Small"
unit = "in"
layout = [
    "P.",
    ".P",
]
[top]
block_width = 10
block_height = 12
[kinds.pear]
letter = "P"
[[kinds.pear.motifs]]
motif = "ellipse"
name = "pear"
applique = true
height = 6
ratio = "3:2"
[[kinds.pear.motifs]]
motif = "strip"
name = "branch"
width = 1
[[kinds.pear.motifs]]
motif = "fill"
spacing = 0.5
[threads.cotton]
tex = 40
"""


@pytest.fixture
def file(tmp_path):
    return tmp_path / "small.toml"


def refused(file, text, *, drawing=False, kind=DesignError):
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    with pytest.raises(kind) as caught:
        draw(read_design(file)) if drawing else read_design(file)
    error = caught.value
    assert error.file == str(file)
    assert "\n" not in str(error)
    assert str(error).startswith(f"{file}:{error.line}: " if error.line else f"{file}: ")
    return error


def test_a_good_file_is_read_in_its_unit(file):
    file.write_text(GOOD, encoding="utf-8")
    design = read_design(file)
    # 1 in = 25.4 mm exactly (international yard and pound agreement 1959; NIST SP 811).
    assert (design.top.block_width, design.top.block_height) == (254.0, 304.8)
    assert design.kinds["pear"].motifs[0].height == 152.4
    assert design.top.binding_allowance == 25.4 / 4
    assert design.tolerance == 0.02
    assert design.source.sha256 == hashlib.sha256(GOOD.encode()).hexdigest()


def line_with(text, part):
    return next(n for n, line in enumerate(text.splitlines(), 1) if part in line)


# what to replace in the good file, by what, the key, a part of what is wrong, a part of the remedy
BAD = [
    ("height = 6", "hieght = 6", "kinds.pear.motifs[0].hieght", "not known", 'write "height"'),
    ("block_width = 10", "blok_width = 10", "top.blok_width", "not known", 'write "block_width"'),
    ("height = 6", "height = true", "kinds.pear.motifs[0].height", "true is not a length", "write a number"),
    ("height = 6", 'height = "tall"', "kinds.pear.motifs[0].height", '"tall" is not a length', "1 1/4 in"),
    ("height = 6", "height = [6]", "kinds.pear.motifs[0].height", "a list is not a length", "write a number"),
    (
        "applique = true",
        "applique = 2",
        "kinds.pear.motifs[0].applique",
        "2 is neither",
        "write true or false",
    ),
    ("block_width = 10", "block_width = 0", "top.block_width", "0 in is too small", "1 mm or more"),
    ("block_width = 10", "block_width = -3", "top.block_width", "-3 in is too small", "1 mm or more"),
    ("block_width = 10", "block_width = nan", "top.block_width", "nan is not a length", "finite"),
    ("block_width = 10", "block_width = inf", "top.block_width", "inf is not a length", "finite"),
    ("block_width = 10", f"block_width = 1{'0' * 400}", "top.block_width", "huge", "smaller"),
    ("block_width = 10", "block_width = 0.01", "top.block_width", "0.01 in is too small", "1 mm or more"),
    ("block_width = 10", "block_width = 900000", "top.block_width", "too large", "100000 mm or less"),
    ("spacing = 0.5", "spacing = 0", "kinds.pear.motifs[2].spacing", "0 in is too small", "0.1 mm"),
    ("width = 1\n", "width = -1\n", "kinds.pear.motifs[1].width", "-1 in is too small", "0.5 mm"),
    ('    ".P",', '    ".P.",', "layout[1]", "row 2 has 3 blocks and row 1 has 2", "draw 2 letters"),
    ('    ".P",', '    ".Q",', "layout[1]", '"Q" in row 2', "(P)"),
    ('name = "Small"', 'tolerance = "2 mm"', "tolerance", '"2 mm" is too large', "1 mm or less"),
    ('name = "Small"', 'clearance = "0 mm"', "clearance", '"0 mm" is too small', "0.1 mm or more"),
    ("tex = 40", "tex = -1", "threads.cotton.tex", "-1 is too small", "0.1 or more"),
    ("tex = 40", 'tex = "40"', "threads.cotton.tex", '"40" is not a number', "without quotes"),
    (
        'motif = "strip"\nname = "branch"',
        'name = "pear" # twice\nmotif = "strip"',
        "kinds.pear.motifs[1].name",
        "two motifs",
        "its own name",
    ),
    (
        'name = "branch"',
        'thread = "silk"',
        "kinds.pear.motifs[1].thread",
        "no thread",
        'write one of "cotton"',
    ),
    ('letter = "P"', 'letter = "PP"', "kinds.pear.letter", '"PP" is no letter', "write one letter"),
    ('motif = "fill"', 'motif = "fil"', "kinds.pear.motifs[2].motif", '"fil" is no kind of motif', "'fill'"),
    (
        'motif = "fill"\nspacing = 0.5',
        'motif = "basting"',
        "kinds.pear.motifs[2].motif",
        "whole top",
        "design's own",
    ),
    (
        "spacing = 0.5",
        "spacing = 0.5\neven = 1",
        "kinds.pear.motifs[2].even",
        "1 is neither",
        "true or false",
    ),
    ("tex = 40", "tex = true", "threads.cotton.tex", "true is not a number", "without quotes"),
    ('unit = "in"', 'unit = "inch"', "unit", '"inch" is not known', "'mm', 'cm' or 'in'"),
    ('name = "Small"', 'name = "=cmd"', "name", "begins", "begin"),
    ('name = "Small"', 'name = "a\\u0007"', "name", "", "printable"),
    (
        "height = 6",
        "height = 1979-05-27",
        "kinds.pear.motifs[0].height",
        "1979-05-27 is not",
        "write a number",
    ),
    ("height = 6", "width = 4\nheight = 6", "kinds.pear.motifs[0]", "all three are given", "two of them"),
    ("height = 6", f"height = {'9' * 5000}", "", "a number of 5000 digits", "a shorter one"),
    ('name = "Small"', f'name = "{"a" * 61}"', "name", "too long", "60"),
]

# Where the line to be told does not hold the new text: a part of it.
MARKS = {
    "width = 4\nheight = 6": "[[kinds.pear.motifs]]",
    'name = "pear" # twice\nmotif = "strip"': 'name = "pear" # twice',
    "spacing = 0.5\neven = 1": "even = 1",
}


@pytest.mark.parametrize(
    ("old", "new", "key", "problem", "remedy"), BAD, ids=[b[1][:24].strip() for b in BAD]
)
def test_each_fault_has_its_line_its_key_and_a_remedy(file, old, new, key, problem, remedy):
    text = GOOD.replace(old, new, 1)
    assert text != GOOD
    error = refused(file, text)
    assert error.key.startswith(key)
    assert error.line == line_with(text, MARKS.get(new, new).strip())
    assert problem in error.problem
    assert error.remedy
    assert remedy in error.remedy


def test_missing_keys_are_told_at_what_lacks_them(file):
    error = refused(file, GOOD.replace('motif = "fill"\n', ""))
    assert (error.key, error.line) == ("kinds.pear.motifs[2].motif", line_with(GOOD, 'motif = "fill"') - 1)
    assert "without its kind" in error.problem
    error = refused(file, GOOD.replace("spacing = 0.5\n", ""))
    assert (error.key, error.line) == ("kinds.pear.motifs[2].spacing", line_with(GOOD, 'motif = "strip"') + 3)
    assert "missing" in error.problem
    error = refused(file, GOOD.replace("block_height = 12\n", ""))
    assert "neither" in error.problem
    assert error.line == line_with(GOOD, "[top]")


def test_two_letters_and_two_kinds_alike(file):
    error = refused(file, GOOD + '[kinds.leaf]\nletter = "P"\n')
    assert (error.key, error.line) == ("kinds.leaf.letter", GOOD.count("\n") + 2)
    error = refused(file, GOOD + '[kinds.Pear]\nletter = "Q"\n')
    assert (error.key, error.line) == ("kinds.Pear", GOOD.count("\n") + 1)
    assert 'names alike, "pear" and "Pear"' in error.problem


def test_a_key_or_header_that_stands_twice(file):
    text = GOOD.replace("block_width = 10\n", "block_width = 10\nblock_width = 11\n")
    error = refused(file, text)
    assert error.line == line_with(text, "block_width = 11")
    assert "stands twice" in error.problem
    error = refused(file, GOOD + "[top]\n")
    assert error.line == GOOD.count("\n") + 1
    assert "stands twice" in error.problem


CHANGE = """
[[changes]]
block = "row 1, column 1"
motif = "pear"
to = { tilt = 10 }
"""


def test_a_change_names_a_block_in_words(file):
    text = GOOD + CHANGE.replace("row 1, column 1", "1,1")
    error = refused(file, text)
    assert (error.key, error.line) == ("changes[0].block", line_with(text, "block = "))
    assert (error.problem, error.remedy) == ('"1,1" is no block', 'write one such as "row 2, column 3"')


def test_what_is_changed_twice_is_refused_though_not_two_keys_of_one_motif(file):
    text = GOOD + CHANGE + CHANGE.replace("tilt = 10", "height = 5, tilt = 20").replace("pear", "Pear")
    error = refused(file, text)
    assert (error.key, error.line) == ("changes[1].to.tilt", line_with(text, "tilt = 20"))
    assert "tilt is changed twice" in error.problem
    file.write_text(GOOD + CHANGE + CHANGE.replace("tilt = 10", "height = 5"))
    assert len(read_design(file).changes) == 2


def test_a_letter_is_the_same_however_it_is_coded(file):
    # Unicode Standard Annex 15: U+0041 U+0308 is canonically U+00C4.
    for drawn, named in (("A\u0308", "\u00c4"), ("\u00c4", "A\u0308")):
        text = GOOD.replace(".P", f".{drawn}").replace("P.", f"{drawn}.").replace('"P"', f'"{named}"')
        file.write_text(text, encoding="utf-8")
        design = read_design(file)
        assert (design.layout, design.kinds["pear"].letter) == (("\u00c4.", ".\u00c4"), "\u00c4")


# These need the drawing: the same file, line, key and remedy are told.
DRAWN_BAD = [
    ("height = 6", "height = 13", "kinds.pear.motifs[0].height", "block"),
    ("width = 1\n", "width = 7\n", "kinds.pear.motifs[1].width", "oval"),
    ('motif = "fill"', 'of = "nix"\nmotif = "echo"', "kinds.pear.motifs[2].of", 'called "nix"'),
    ("ratio = ", "inside_clearance = 2.1\nratio = ", "kinds.pear.motifs[0].inside_clearance", "clearance"),
]


@pytest.mark.parametrize(("old", "new", "key", "word"), DRAWN_BAD, ids=[b[1][:20] for b in DRAWN_BAD])
def test_what_does_not_fit_its_block(file, old, new, key, word):
    text = GOOD.replace(old, new, 1)
    error = refused(file, text, drawing=True)
    assert error.key == key
    assert error.line == line_with(text, new.splitlines()[0])
    assert word in str(error)
    assert error.problem.count("row 1, column 1") == 1
    assert error.remedy


@pytest.mark.parametrize("spacing", ["0.004", '"0.1 mm"', '"1/250 in"'])
def test_a_spacing_that_would_draw_too_many_lines(file, spacing):
    text = GOOD.replace("spacing = 0.5", f"spacing = {spacing}").replace(
        "block_width = 10", "block_width = 90"
    )
    error = refused(file, text, drawing=True, kind=LimitError)
    assert (error.key, error.line) == ("kinds.pear.motifs[2].spacing", line_with(text, "spacing = "))


def test_the_whole_top_is_counted_before_a_line_is_drawn(file, monkeypatch):
    from stitchpath.motifs import Fill

    monkeypatch.setattr(Fill, "lines", lambda *_: pytest.fail("drawn before counted"))
    monkeypatch.setattr(Fill, "predicted_lines", lambda *_: 150_000)
    error = refused(file, GOOD, drawing=True, kind=LimitError)
    assert error.key == "kinds.pear.motifs[2].spacing"
    assert "300" in error.problem


@pytest.mark.parametrize("text", ["", "\n\n", "# nothing yet\n"])
def test_an_empty_design(file, text):
    error = refused(file, text)
    assert "empty" in error.problem


@pytest.mark.parametrize("layout", ["layout = []", 'layout = ""', 'layout = [""]'])
def test_an_empty_layout(file, layout):
    text = layout + "\n[top]\nblock_width = 10\nblock_height = 10\n"
    error = refused(file, text)
    assert (error.key.split("[")[0], error.line) == ("layout", 1)


def test_a_design_that_asks_for_no_line(file):
    text = 'layout = ["."]\n[top]\nblock_width = 10\nblock_height = 10\n'
    error = refused(file, text, drawing=True)
    assert "no line" in error.problem


def test_not_toml_and_not_utf8(file):
    error = refused(file, GOOD.replace("[top]", "[top"))
    assert error.line == line_with(GOOD, "[top]")
    assert "not TOML" in error.problem
    error = refused(file, GOOD.encode().replace(b"Small", b"Caf\xe9"))
    assert (error.line, error.remedy) == (1, "save the file as UTF-8")
    error = refused(file, GOOD.encode("utf-16"))
    assert "UTF-8" in str(error)


def test_files_that_cannot_be_read(tmp_path, monkeypatch):
    with pytest.raises(DesignError, match="no such file"):
        read_design(tmp_path / "missing.toml")
    with pytest.raises(DesignError, match="folder"):
        read_design(tmp_path)
    with pytest.raises(DesignError, match="no plain file"):
        read_design(os.devnull)
    with pytest.raises(DesignError, match="cannot be read"):
        read_design("a\0b")
    (tmp_path / "locked.toml").write_text(GOOD, encoding="utf-8")

    def refuse(*_args, **_kwargs):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("pathlib.Path.open", refuse)  # permission bits do not stop root
    with pytest.raises(DesignError, match=r"locked.toml: it cannot be read \(Permission denied\)"):
        read_design(tmp_path / "locked.toml")


HOSTILE = {
    "large": "#" * 1_000_001,
    "header parts": "[" + ".".join("a" * 60_000) + "]\n",
    "key parts": ".".join("a" * 60_000) + " = 1\n",
    "quoted parts": ".".join(['"a"'] * 60_000) + " = 1\n",
    "nested lists": "a = " + "[" * 100_000 + "]" * 100_000,
    "nested tables": "a = " + "{ a = " * 50_000 + "1" + "}" * 50_000,
    "open texts": 'a = """' + "'''" * 200_000,
    "quotes": '"' * 900_000,
    "long number": "a = " + "9" * 900_000,
    "many headers": "[[a]]\n" * 150_000,
    "many keys": "".join(f"k{n} = 1\n" for n in range(70_000)),
}


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE.keys())
def test_hostile_files_are_refused_in_time(file, text):
    refused(file, text)


def test_limits_leave_ordinary_dots_alone(file):
    text = GOOD.replace('name = "Small"', 'name = "a.b.c.d.e.f.g.h.i.j.k.l.m.n.o.p.q.r.s [[[[[[[[[["')
    file.write_text(text + "# " + "a." * 50 + "[" * 50 + "\n", encoding="utf-8")
    assert read_design(file).name.startswith("a.b.c")


def test_crlf_and_a_byte_order_mark_are_taken(file):
    file.write_bytes(b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())
    assert read_design(file).rows == 2
    bad = GOOD.replace("tex = 40", "tex = 0").replace("\n", "\r\n")
    assert refused(file, bad).line == line_with(GOOD, "tex = 40")


def changed(what):
    return GOOD + f'[[changes]]\nblock = "row 2, column 2"\n{what}\n'


def test_a_change_to_one_block(file):
    file.write_text(changed('motif = "pear"\nto = { height = 3, tilt = 20 }'), encoding="utf-8")
    drawing = draw(read_design(file))
    tall = {
        block: max(
            line.points_mm[:, 1].max() - line.points_mm[:, 1].min()
            for line in drawing.lines
            if line.block == block and "outside" in line.motif
        )
        for block in ("row 1, column 1", "row 2, column 2")
    }
    # Both outlines lie 1/8 in outside; an oval tilted by t is 2 sqrt(a^2 cos^2 t + b^2 sin^2 t) tall.
    assert tall["row 1, column 1"] == pytest.approx(6.25 * 25.4, abs=0.1)
    tilted = 2 * 25.4 * ((1.5 * 0.9396926) ** 2 + (1.0 * 0.3420201) ** 2) ** 0.5 + 0.25 * 25.4
    assert tall["row 2, column 2"] == pytest.approx(tilted, abs=0.1)


BAD_CHANGES = [
    ('motif = "paer"\nto = { height = 3 }', "changes[0].motif", 'write "pear"', 2),
    ('motif = "pear"\nto = { hieght = 3 }', "changes[0].to.hieght", 'write "height"', 3),
    ('motif = "pear"\nto = { height = 0 }', "changes[0].to.height", "0.5 mm or more", 3),
    ('motif = "pear"\nto = { motif = "fill" }', "changes[0].to.motif", "write one of", 3),
    ('motif = "pear"\nto = { width = 3 }', "changes[0].to", "write two", 3),
    ('motif = "pear"\nto = { thread = "silk" }', "changes[0].to.thread", '"cotton"', 3),
    ('motif = "pear"\nto = { height = { like = "plum" } }', "changes[0].to.height.like", '"pear"', 3),
    ('motif = "pear"\nto = { height = { like = "pear", rows = [1] } }', "changes[0].to.height", "rows", 3),
    ('motif = "pear"\nto = {}', "changes[0].to", "at least 1", 3),
]


@pytest.mark.parametrize(
    ("what", "key", "remedy", "down"), BAD_CHANGES, ids=[b[1] + b[2] for b in BAD_CHANGES]
)
def test_bad_changes(file, what, key, remedy, down):
    error = refused(file, changed(what))
    assert error.key == key
    assert remedy in error.remedy
    assert error.line == GOOD.count("\n") + 1 + down


def test_changes_to_blocks_that_are_not_there(file):
    text = GOOD + '[[changes]]\nblock = "row 3, column 1"\nmotif = "pear"\nto = { tilt = 1 }\n'
    error = refused(file, text)
    assert (error.key, error.line) == ("changes[0].block", GOOD.count("\n") + 2)
    error = refused(file, text.replace("row 3, column 1", "3/1"))
    assert error.key == "changes[0].block"


def test_a_fault_in_a_changed_value_is_told_where_the_change_stands(file):
    text = changed('motif = "pear"\nto = { height = 20 }')
    error = refused(file, text, drawing=True)
    assert (error.key, error.line) == ("changes[0].to.height", line_with(text, "height = 20"))
    assert "row 2, column 2" in error.problem


def test_like_leads_to_another_kinds_size_in_the_same_place(file):
    leaf = '[kinds.leaf]\nletter = "L"\n[[kinds.leaf.motifs]]\nmotif = "ellipse"\nratio = 2\n'
    good = GOOD.replace('".P"', '"PL"').replace("height = 6", "height = { top = 4, bottom = 6 }")
    file.write_text(good + leaf + 'height = { like = "pear" }\n', encoding="utf-8")
    outline = next(line for line in draw(read_design(file)).lines if line.motif.startswith("ellipse"))
    assert outline.points_mm[:, 1].max() - outline.points_mm[:, 1].min() == pytest.approx(6 * 25.4, abs=0.05)
    round_ = good.replace("{ top = 4, bottom = 6 }", '{ like = "leaf" }')
    error = refused(file, round_ + leaf + 'height = { like = "pear" }\n')
    assert "leads back" in error.problem
    error = refused(file, good + leaf + 'width = { like = "pear" }\n')
    assert "no width" in error.problem


def test_the_schema_knows_what_the_reader_knows():
    schema = design_schema()
    text = json.dumps(schema)
    assert schema["$schema"].endswith("2020-12/schema")
    assert schema["title"] == "stitchpath design"
    assert {"top", "layout", "kinds", "changes", "threads"} <= set(schema["properties"])
    for part in ("Ellipse", "Strip", "Fill", "Echo", "Ditch", "Basting"):
        for key, about in schema["$defs"][part]["properties"].items():
            assert key == "motif" or "description" in about, (part, key)
    refs = {word.split('"')[0] for word in text.split("#/$defs/")[1:]}
    assert refs <= set(schema["$defs"])


@settings(deadline=None, max_examples=100, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(damages())
def test_a_damaged_file_is_read_or_refused_in_one_sentence(file, damage):
    file.write_bytes(damage.done_to(GOOD.encode()))
    said = str(file)
    try:
        read_design(file)
    except DesignError as caught:
        said = str(caught)
    assert said.startswith(str(file))
    assert "\n" not in said
