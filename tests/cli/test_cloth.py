"""Thread, bobbins, evenness and gaps in rows and sentences."""

from types import SimpleNamespace

from stitchpath.cli.cloth import cloth_explained, cloth_rows, cloth_sentences, spools_text
from stitchpath.figures import BobbinEnd, Spool


def thread(name="white"):
    lengths = {
        "needle_mm": 1000,
        "with_waste_needle_mm": 2000,
        "bobbin_mm": 3000,
        "with_waste_bobbin_mm": 4000,
    }
    return SimpleNamespace(thread=name, bobbins=1234, **lengths)


def end(number, **changes):
    where = {
        "place_mm": (25.4, 50.8),
        "along_mm": 0.0,
        "block": "",
        "in_seam": False,
        "at_path_end": False,
    } | changes
    return BobbinEnd(thread="white", number=number, path=7, **where)


def figures(threads=(), ends=(), uneven=(), gap=None, spools=()):
    """Only what is read of figures."""
    return SimpleNamespace(
        thread=SimpleNamespace(
            threads=threads, spools=spools, bobbin_ends=ends, assumptions=("as measured", "by hand")
        ),
        evenness=SimpleNamespace(blocks=tuple(uneven), uneven=tuple(uneven), assumptions=("block by block",)),
        gap_unquilted=gap,
    )


def gap(allowed=None):
    wide = allowed is not None and allowed < 254
    places = {"x_mm": 25.4, "y_mm": 0.0, "across_mm": 254.0, "error_mm": 0.25}
    return SimpleNamespace(**places, allowed_mm=allowed, too_wide=wide, assumptions=("a circle",))


def neighbours(sewn):
    block = SimpleNamespace
    return block(denser=block(block="A1"), other=block(block="A2", sewn_mm=sewn), ratio=1234.56)


def test_nothing_to_tell():
    assert list(cloth_rows(figures(), "mm")) == []
    assert [*cloth_sentences(figures(), "mm"), *cloth_explained(figures())] == []


def test_threads_are_named_where_there_are_several():
    one = dict(cloth_rows(figures((thread(),)), "in"))
    assert one["bobbins"] == "1,234"
    assert list(one) == [
        "needle thread", "needle thread, with waste", "bobbin thread", "bobbin thread, with waste", "bobbins",
    ]  # fmt: skip
    assert len(set(one.values())) == 5
    two = dict(cloth_rows(figures((thread(), thread("red"))), "in"))
    assert two["bobbins, red"] == "1,234"
    assert len(two) == 10


def test_where_bobbins_run_out():
    ends = (end(1, in_seam=True, block="B2"), end(2, at_path_end=True), end(3))
    (told,) = cloth_sentences(figures((thread(),), ends), "in")
    assert "Bobbin 1 runs out on path 7 in a seam, at x 1 in, y 2 in, B2." in told
    assert "Bobbin 2 is changed after path 7." in told
    assert "Bobbin 3 runs out on path 7 in open cloth, at x 1 in, y 2 in." in told
    assert list(cloth_explained(figures((thread(),), ends))) == ["Thread: as measured; by hand."]
    (named,) = cloth_sentences(figures((thread(), thread("red")), ends), "in")
    assert "Bobbin 1 of white runs out" in named


def test_many_bobbins_are_counted():
    (told,) = cloth_sentences(
        figures((thread(),), tuple(end(n, in_seam=n % 2 > 0) for n in range(1, 12))), "mm"
    )
    assert "Bobbin 8 " in told
    assert "Bobbin 9 " not in told
    assert "And 3 more; 5 of all run out in open cloth." in told


def test_unevenness_and_gaps():
    rows = dict(cloth_rows(figures(uneven=[neighbours(9)] * 5, gap=gap()), "in"))
    assert rows["neighbours quilted more unevenly than 2:1"] == "5"
    assert rows["largest unquilted gap"].startswith("10")
    all_told = figures(uneven=[neighbours(9), *[neighbours(0)] * 4], gap=gap())
    uneven, wide = cloth_sentences(all_told, "in")
    assert uneven.startswith("Uneven: A1 is quilted 1,234.6 times as densely as its neighbour A2.")
    assert uneven.count("is quilted and its neighbour A2 is not") == 2
    assert wide.endswith("the design does not say what the batting allows.")
    assert list(cloth_explained(all_told)) == [
        "Evenness: block by block.",
        "The largest unquilted gap is a circle, to within 0.5 mm across.",
    ]
    assert "too wide, the batting allows" in list(cloth_sentences(figures(gap=gap(100)), "in"))[-1]
    fits = list(cloth_sentences(figures(gap=gap(300)), "in"))[-1]
    assert "too wide" not in fits
    assert "the batting allows" in fits


def test_spools_stand_by_stage_and_thread_and_by_band_where_there_are_several():
    one = [Spool(1, "seams", "white", 100, 200, 300, 400), Spool(1, "detail", "", 500, 600, 700, 800)]
    head, first, second = spools_text(figures([thread(), thread("")], spools=one), "mm").splitlines()
    assert " ".join(head.split()) == "stage thread needle thread, with waste bobbin thread, with waste"
    assert first.split() == ["seams", "white", "300", "mm", "400", "mm"]
    assert second.split() == ["detail", "without", "a", "name", "700", "mm", "800", "mm"]
    two = [*one, Spool(2, "detail", "white", 1, 2, 25.4, 50.8)]
    rows = spools_text(figures([thread()], spools=two), "in").splitlines()
    assert rows[0].split()[:3] == ["band", "stage", "thread"]
    assert rows[-1].split() == ["band", "2", "detail", "white", "1", "in", "2", "in"]
    assert spools_text(figures(spools=one[:1]), "mm") == ""
