import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest
import shapely
from banded_plans import banded
from export_plans import orchard
from hypothesis import given, settings
from strategies import plans

from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.figures.alignment import alignment
from stitchpath.lines import KeepOut, Line
from stitchpath.pictures.colours import order_colours
from stitchpath.pictures.labels import boxes_around
from stitchpath.pictures.picture import picture_svg, write_picture
from stitchpath.plan import Move, Plan, Span, StitchPath
from stitchpath.planning.paths.securing import secure
from stitchpath.settings import BattingSettings, MachineSettings

SPACE = "{http://www.w3.org/2000/svg}"


def elements(plan, tag):
    return list(ET.fromstring(picture_svg(plan)).iter(f"{SPACE}{tag}"))


def width(element):
    return float(element.get("stroke-width"))


def drawn_mm(drawn):
    lines = [line for element in drawn for line in element.get("d").split("M ")[1:]]
    return sum(
        shapely.LineString(np.array(re.findall(r"-?[\d.]+", line), float).reshape(-1, 2)).length
        for line in lines
    )


def grey(colour):
    red, green, blue = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return 0.2126 * (red / 255) ** 2.2 + 0.7152 * (green / 255) ** 2.2 + 0.0722 * (blue / 255) ** 2.2


def words(plan):
    return [element.text for element in elements(plan, "text")]


def test_every_path_has_its_number_once_and_in_its_colour():
    plan = orchard()
    shown = [word for word in words(plan) if word.isdigit()]
    assert shown[: len(plan)] == [str(number) for number in range(1, len(plan) + 1)]
    frames = [element.get("stroke") for element in elements(plan, "rect")]
    dots = [element.get("stroke") for element in elements(plan, "circle")]
    assert frames[1 : len(plan) + 1] == dots[: len(plan)]
    assert len(set(dots[: len(plan)])) == len(plan)


def test_numbers_keep_off_end_bars():
    """Each path ends where the number of its neighbour would lie first."""
    starts = np.array([[x, 40.0] for x in range(0, 240, 24)])
    stops = starts + np.array([4.0, -4.0])
    spans = (Span(Move.SEW, 0, 1, 1, "detail"),)
    paths = zip(starts.tolist(), stops.tolist(), strict=True)
    plan = Plan(Drawing(()), tuple(StitchPath(both, spans) for both in paths), (), 0.0)
    dots = [[float(dot.get(key)) for key in ("cx", "cy")] for dot in elements(plan, "circle")][: len(plan)]
    scale = np.ptp(np.array(dots)[:, 0]) / np.ptp(starts[:, 0])
    bars = np.array(dots) + (stops - starts) * scale
    tags = [[float(tag.get(key)) for key in ("x", "y", "width", "height")]
            for tag in elements(plan, "rect") if tag.get("rx")][: len(plan)]  # fmt: skip
    low, high = np.array(tags)[:, :2], np.array(tags)[:, :2] + np.array(tags)[:, 2:]
    frames, taken = shapely.box(*low.T, *high.T), shapely.box(*boxes_around(bars).T)
    assert shapely.area(shapely.intersection(frames[:, None], taken[None])).max() < 0.01


def test_colours_rise_in_lightness_along_the_plan_and_along_a_path():
    plan = orchard()
    strokes = [e.get("stroke") for e in elements(plan, "path") if e.get("fill") == "none"]
    scale = sorted(set(strokes) - {"#000000", "#868686", "#a8a8a8"}, key=grey)
    assert len(scale) > 3 * len(plan)
    drawn = list(dict.fromkeys(colour for colour in strokes if colour in scale))
    assert drawn == scale


def test_travel_is_told_without_colour():
    plan = orchard()
    greys = {"#000000", "#868686", "#a8a8a8"}
    lines = [e for e in elements(plan, "path") if e.get("fill") == "none" and e.get("stroke") not in greys]
    dashed = [e for e in lines if e.get("stroke-dasharray")]
    solid = [e for e in lines if not e.get("stroke-dasharray") and width(e) < 0.6]
    assert max(width(e) for e in dashed) < min(width(e) for e in solid)
    travel = sum(path.travel_mm for path in plan)
    sewn = sum(path.length_mm for path in plan) - travel
    assert drawn_mm(dashed) / drawn_mm(solid) == pytest.approx(travel / sewn, rel=0.05)


def test_legend_says_the_figures():
    plan = orchard()
    said = " ".join(words(plan))
    sewn = sum(path.length_mm - path.travel_mm for path in plan) / 1000
    assert "9 paths, 18 tie-offs" in said
    assert f"sewn {sewn:.1f} m" in said
    assert "540.5" in said
    assert "530.2" in said
    assert f"at most {100 * (540.5 - 530.25) / 530.25:.2f} % over the least" in said
    assert "path 1: seams" in said
    assert "paths 2 to 9: detail" in said
    assert "needle up" in said
    assert "manual" in said
    assert "proven least" not in said
    assert "proven least" in " ".join(words(replace(plan, bound=plan.cost)))


def test_the_bar_runs_through_all_colours_as_the_paths_do_even_one_alone():
    plan = orchard()
    alone = replace(plan, paths=plan.paths[:1])
    first, last = order_colours(2)
    for shown, ends in ((plan, ["path 1", "path 9"]), (alone, ["its start", "its end"])):
        assert [word for word in words(shown) if word in ends] == ends
        bar = [e.get("fill") for e in elements(shown, "rect") if e.get("height") == "4.000"]
        assert (bar[0], bar[-1]) == (first, last)


def test_the_title_is_the_drawings_name_and_cannot_break_out():
    plan = orchard(name='<script>"&\x00')
    root = ET.fromstring(picture_svg(plan))
    assert root.find(f"{SPACE}title").text == '<script>"&'
    assert words(plan)[0] == '<script>"&'
    assert {child.tag.removeprefix(SPACE) for child in root} == {"title", "rect", "text", "path", "circle"}


def test_it_prints_on_a4_and_on_letter():
    # A4 is 210 x 297 mm (ISO 216), Letter 8.5 x 11 in; printers leave 5 mm and more.
    for rows, columns in ((1, 6), (6, 1), (3, 3)):
        root = ET.fromstring(picture_svg(orchard(rows=rows, columns=columns)))
        width, height = (float(root.get(key).removesuffix("mm")) for key in ("width", "height"))
        assert root.get("viewBox") == f"0 0 {width:.3f} {height:.3f}"
        assert width <= 210 - 10
        assert height <= 11 * 25.4 - 10


def test_words_can_be_read_at_arms_length():
    # 16 minutes of arc at 0.6 m (ISO 9241-303, from memory) are 2.8 mm; a capital is some 0.73 of the type.
    sizes = [float(element.get("font-size")) for element in elements(orchard(rows=6, columns=4), "text")]
    assert min(sizes) * 0.73 >= 0.6 * np.tan(np.radians(16 / 60)) * 1000 * 0.8


def test_all_that_is_drawn_lies_on_the_sheet():
    root = ET.fromstring(picture_svg(orchard(rows=2, columns=3)))
    width, height = (float(root.get(key).removesuffix("mm")) for key in ("width", "height"))
    for element in root.iter(f"{SPACE}path"):
        numbers = np.array(re.findall(r"-?\d+\.\d+", element.get("d")), dtype=float).reshape(-1, 2)
        assert (numbers >= 0).all()
        assert (numbers <= (width, height)).all()
    for element in root.iter(f"{SPACE}rect"):
        x, y, w, h = (float(element.get(key, 0)) for key in ("x", "y", "width", "height"))
        assert min(x, y) >= 0
        assert x + w <= width + 1e-9
        assert y + h <= height + 1e-9


@pytest.mark.parametrize("sideways", [False, True])
def test_bands_are_shown_where_they_start_and_what_they_reach(sideways):
    plan = banded(sideways=sideways)
    count = len(plan.windows)
    shown = elements(plan, "text")
    labels = [e for e in shown if re.fullmatch(r"band \d+", e.text)]
    assert [e.text for e in labels] == [f"band {number}" for number in range(1, count + 1)]
    along, off = ("x", "y") if sideways else ("y", "x")
    assert [float(e.get(along)) for e in labels] == sorted(float(e.get(along)) for e in labels)
    dashed = [e for e in elements(plan, "path") if e.get("stroke-dasharray") == "4.000 4.000"]
    lines = [np.array(re.findall(r"-?[\d.]+", e.get("d")), float).reshape(2, 2) for e in dashed]
    axis = 0 if sideways else 1
    assert len(lines) == count - 1 + 1  # the legend's
    starts = [line[0, axis] for line in lines[:-1]]
    assert all((line[:, axis] == line[0, axis]).all() for line in lines[:-1])
    scale = np.diff(starts) / np.diff([start for start, _ in plan.windows[1:]])
    np.testing.assert_allclose(scale, scale[0], rtol=1e-4)
    assert (np.ptp([line[:, 1 - axis] for line in lines[:-1]], axis=1) > scale[0] * 101.6 * 3).all()
    assert max(float(e.get(off)) for e in labels) < min(line[:, 1 - axis].min() for line in lines[:-1])


def test_marks_to_align_on_have_their_band_and_letter_on_black():
    plan = banded()
    told = [f"{one.band}{mark.letter}" for one in alignment(plan) for mark in one.marks]
    tags = [e for e in elements(plan, "text") if e.get("fill") == "#ffffff"]
    assert [e.text for e in tags] == [*told, "2A"]
    boxes = [e for e in elements(plan, "rect") if e.get("fill") == "#000000"]
    rings = [e for e in elements(plan, "circle") if e.get("fill") == "none"]
    assert len(boxes) == len(rings) == len(told) + 1
    assert all(float(e.get("font-size")) >= 2.0 for e in tags)
    assert "sewn place to align band 2 on" in words(plan)
    assert "sewn place to align band 2 on" not in words(replace(plan, windows=()))


@pytest.mark.parametrize("sideways", [False, True])
@pytest.mark.parametrize(("rows", "columns"), [(1, 9), (9, 1), (3, 3)])
def test_bands_stay_on_the_sheet_and_beside_the_top(sideways, rows, columns):
    plan = banded(rows=rows, columns=columns, sideways=sideways)
    root = ET.fromstring(picture_svg(plan))
    width, height = (float(root.get(key).removesuffix("mm")) for key in ("width", "height"))
    assert width <= 210 - 10
    assert height <= 11 * 25.4 - 10
    for element in root.iter(f"{SPACE}path"):
        numbers = np.array(re.findall(r"-?\d+\.\d+", element.get("d")), dtype=float).reshape(-1, 2)
        assert (numbers >= 0).all()
        assert (numbers <= (width, height)).all()
    for element in root.iter(f"{SPACE}text"):
        reach = 0.6 * 3.4 * len(element.text)
        left = {"end": 1.0, "middle": 0.5}.get(element.get("text-anchor"), 0.0) * reach
        assert float(element.get("x")) - left >= 0
        assert 2.5 < float(element.get("y")) < height


def test_keep_outs_keep_their_holes():
    ring = shapely.box(0, 0, 100, 100).difference(shapely.box(20, 20, 80, 80))
    plan = replace(orchard(), drawing=Drawing((), keep_outs=(KeepOut(ring),)))
    (shade,) = [
        e for e in elements(plan, "path") if e.get("fill-rule") == "evenodd" and e.get("d").count("M") == 2
    ]
    assert shade.get("fill") not in {"none", "#ffffff"}


@pytest.mark.parametrize("outline", [None, shapely.box(0, 0, 100, 50)])
def test_a_plan_without_paths(outline):
    said = words(Plan(Drawing((), outline=outline), (), (), 0.0))
    assert "0 paths, 0 tie-offs" in said
    assert said[0] == "Stitch plan"


def test_a_path_that_stays_where_it_is():
    path = StitchPath([(1, 1), (1, 1)], (Span(Move.SEW, 0, 1),))
    assert "1 path, 2 tie-offs" in words(Plan(Drawing(()), (path,), (), 0.0))


def test_small_stitches_at_ends_are_told_and_not_drawn():
    plain = orchard(rows=1, columns=1)
    plan = replace(plain, paths=secure(plain.paths, MachineSettings(secured="small stitches")))
    drawn = [
        [e for e in elements(p, "path") if e.get("stroke-linejoin") and width(e) > 0.3] for p in (plain, plan)
    ]
    assert drawn_mm(drawn[1]) == pytest.approx(drawn_mm(drawn[0]), rel=1e-3)
    starts = [[(e.get("cx"), e.get("cy")) for e in elements(p, "circle")] for p in (plain, plan)]
    assert starts[1] == starts[0]
    told = "small stitches at ends not drawn"
    assert (told in words(plan), told in words(plain)) == (True, False)
    assert [word for word in words(plan) if word != told] == words(plain)


def resumed(plan, *, back_mm=6.35):
    """The same plan with the seam of its first path cut in two, the later part taken up a little back."""
    seam, *others = plan.paths
    points, (span,) = seam.coordinates_mm, seam.spans
    middle = points.mean(axis=0)
    back = middle - back_mm * (points[-1] - points[0]) / seam.length_mm
    later = [replace(span, move=Move.RESUME, first=0, last=1), replace(span, first=1, last=2)]
    cut = (
        replace(seam, coordinates_mm=[points[0], middle], spans=(replace(span, last=1),)),
        replace(seam, coordinates_mm=[back, middle, points[-1]], spans=tuple(later)),
    )
    return replace(plan, paths=(*cut, *others))


AGAIN = "an earlier band's end, sewn again"


def hatched(plan):
    """The ticks across what is sewn again (N, 2, 2), and those of the legend."""
    drawn = [e for e in elements(plan, "path") if e.get("d").count("M ") >= 3]
    drawn = [e for e in drawn if e.get("stroke") == "#000000" and not e.get("stroke-dasharray")]
    return [np.array(re.findall(r"-?[\d.]+", e.get("d")), float).reshape(-1, 2, 2) for e in drawn]


def test_what_is_sewn_again_has_ticks_across_it_and_a_row_in_the_legend():
    plain = orchard(rows=1)
    plan = resumed(plain)
    in_picture, in_legend = hatched(plan)
    assert len(in_picture) == len(in_legend) == 3
    dots = [[float(e.get(at)) for at in ("cx", "cy")] for e in elements(plan, "circle")]
    (x, y), reach = dots[1], in_picture.mean(axis=(0, 1)) - dots[1]
    assert abs(reach[0]) < 0.01  # the seam is upright, and the stretch lies below its path's start
    assert 0 < reach[1] < 6.35
    # The dot of the path's start reaches 0.27 of the numbers' size: each tick is seen beyond it.
    number = max(float(e.get("font-size")) for e in elements(plan, "text") if e.text == "2")
    assert (np.hypot(*(in_picture - [x, y]).transpose(2, 0, 1)).max(axis=1) > 0.5 * number).all()
    steps = np.diff(in_picture, axis=1)[:, 0]
    assert (np.abs(steps) > 0.2).all()  # neither across the line nor along it: they slant
    assert (AGAIN in words(plan), AGAIN in words(plain)) == (True, False)
    assert hatched(plain) == []


def test_what_is_sewn_again_counts_neither_as_sewn_nor_as_travel():
    plain = orchard(rows=1)
    plan = resumed(plain, back_mm=120.0)
    lengths = [[word for word in words(p) if word.startswith(("sewn ", "travel "))] for p in (plain, plan)]
    assert [word for word in lengths[1] if word not in lengths[0]] == ["sewn again 120 mm (4.72 in)"]
    assert [word for word in lengths[0] if word not in lengths[1]] == []


def test_ticks_run_along_all_that_is_sewn_again():
    plan = resumed(orchard(rows=1), back_mm=120.0)
    ticks, _ = hatched(plan)
    middles = ticks.mean(axis=1)
    dots = [[float(e.get(at)) for at in ("cx", "cy")] for e in elements(plan, "circle")]
    scale = (dots[0][1] - dots[1][1]) / (0 - (127 - 120))
    assert np.ptp(middles[:, 1]) == pytest.approx(120 * scale, rel=0.05)
    assert len(ticks) > 20


def test_what_cannot_be_drawn(tmp_path):
    path = StitchPath([(1, 1), (np.nan, 1)], (Span(Move.SEW, 0, 1),))
    with pytest.raises(DesignError, match="path 1 has a point"):
        write_picture(Plan(Drawing(()), (path,), (), 0.0), tmp_path / "a.svg")
    assert list(tmp_path.iterdir()) == []


@settings(deadline=None, derandomize=True, max_examples=30)
@given(plans())
def test_every_plan_can_be_drawn(plan):
    text = picture_svg(plan)
    ET.fromstring(text)
    assert not re.search(r"\bnan\b|\binf\b|-0\.000\b", re.sub(r"<t.*?</t\w+>", "", text))


def test_same_bytes_in_processes_with_other_hash_seeds():
    code = (
        "import hashlib; from export_plans import orchard; from banded_plans import banded;"
        "from stitchpath.outputs import file_texts;"
        "made = file_texts(orchard(), 'a'), file_texts(banded(), 'b');"
        "print(hashlib.sha256(repr(made).encode()).hexdigest())"
    )
    paths = [path for path in sys.path if path]
    outputs = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": ":".join(paths)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(outputs) == 1
    assert len(outputs.pop().strip()) == 64


def test_a_gap_wider_than_the_batting_allows_is_ringed_and_told():
    """A top of 200 mm with one line through its middle: circles of 100 mm fit beside it."""
    drawing = Drawing((Line([(100, 0), (100, 200)]),), outline=shapely.box(0, 0, 200, 200))
    sewn = StitchPath([(100, 0), (100, 200)], (Span(Move.SEW, 0, 1, 1),))
    told = "gap wider than the batting allows"
    for gap, wide in ((None, False), ("101 mm", False), ("99 mm", True)):
        plan = Plan(drawing, (sewn,), (), 0.0, batting=BattingSettings(gap=gap))
        ringed = [circle for circle in elements(plan, "circle") if circle.get("stroke-dasharray")]
        assert (told in words(plan), "100 mm" in words(plan), len(ringed)) == (wide, wide, 2 * wide)
        if wide:  # in the legend, and over the quilt, half as wide as the top is drawn
            (edge,) = [
                one for one in elements(plan, "path") if "0.800" in (one.get("stroke-dasharray") or "")
            ][:1]
            x = np.array(re.findall(r"-?[\d.]+", edge.get("d")), float)[::2]
            assert 2 * float(ringed[0].get("r")) == pytest.approx((x.max() - x.min()) / 2, abs=0.01)
