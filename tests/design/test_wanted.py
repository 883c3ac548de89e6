"""Which motifs each block has: its kind's, in drawing order, changed, and with sizes like another's."""

import pytest

from stitchpath.design import Change, Design, Kind, Top
from stitchpath.design.wanted import Wanted, in_order, wanted, wanted_in_blocks
from stitchpath.errors import DesignError
from stitchpath.motifs import Ellipse, Fill, Strip
from stitchpath.motifs.sizes import SizeRule

PEAR, BRANCH, LINES = Ellipse(name="pear", height=60, ratio=2), Strip(width=10), Fill(spacing=10)


def design(*motifs, changes=(), layout=("P.", "PP"), **kinds):
    listed = {"p": Kind(letter="P", motifs=motifs or [PEAR])}
    listed |= {name: Kind(letter=name.upper(), motifs=list(found)) for name, found in kinds.items()}
    top = Top(block_width=100, block_height=100)
    return Design(top=top, layout=list(layout), kinds=listed, changes=list(changes))


def change(block="row 2, column 1", motif="pear", **to):
    return Change(block=block, motif=motif, to=to)


def motifs(design, row, column):
    return [one.motif for one in wanted_in_blocks(design)[row, column]]


def test_each_block_has_its_kinds_motifs_in_drawing_order():
    found = wanted_in_blocks(design(LINES, BRANCH, PEAR))
    assert set(found) == {(row, column) for row in (1, 2) for column in (1, 2)}
    assert found[1, 2] == ()
    assert [one.motif for one in found[2, 2]] == [PEAR, BRANCH, LINES]
    assert [one.path for one in found[2, 2]] == [("kinds", "p", "motifs", n) for n in (2, 1, 0)]


def test_motifs_of_one_sort_stay_as_typed():
    other = Ellipse(name="leaf", height=20, ratio=1)
    listed = wanted((LINES, other, PEAR), ("motifs",))
    assert [one.motif for one in in_order(listed)] == [other, PEAR, LINES]
    assert wanted((), ("motifs",)) == in_order(()) == ()


def test_where_a_key_stands():
    one = Wanted(PEAR, ("motifs", 0), {"height": ("changes", 1, "to", "height")})
    assert one.where("height") == ("changes", 1, "to", "height")
    assert one.where("ratio") == ("motifs", 0, "ratio")
    assert one.where("") == ("motifs", 0)


def test_a_change_is_made_in_its_block_alone_and_several_add_up():
    changed = design(changes=[change(height=40), change(motif="pear", tilt=20)])
    assert motifs(changed, 1, 1) == motifs(changed, 2, 2) == [PEAR]
    (one,) = motifs(changed, 2, 1)
    assert (one.height, one.tilt, one.ratio, one.name) == (40, 20, 2, "pear")
    (where,) = wanted_in_blocks(changed)[2, 1]
    assert where.where("tilt") == ("changes", 1, "to", "tilt")
    assert where.where("ratio") == ("kinds", "p", "motifs", 0, "ratio")


@pytest.mark.parametrize(
    ("asked", "key", "said"),
    [
        (change(motif="paer", height=3), "changes[0].motif", 'no motif called "paer"; write "pear"'),
        (change("row 1, column 2", height=3), "changes[0].motif", 'no motif called "pear"; leave it out'),
        (change(hieght=3), "changes[0].to.hieght", 'cannot be changed here; write "height"'),
        (change(motif="pear", width=3), "changes[0].to", "all three are given"),
        (change(height=-3), "changes[0].to.height", "0.5 mm or more"),
        (change(thread="silk"), "changes[0].to.thread", "silk"),
    ],
)
def test_a_change_that_fits_nothing_is_refused(asked, key, said):
    with pytest.raises(DesignError) as caught:
        wanted_in_blocks(design(changes=[asked]))
    assert caught.value.key == key
    assert said in f"{caught.value.problem}; {caught.value.remedy}"


def test_a_name_that_two_motifs_have_is_refused():
    two = Ellipse(height=60, ratio=2), Ellipse(height=30, ratio=2)
    with pytest.raises(DesignError, match='two motifs called "ellipse"; give each its own name'):
        wanted_in_blocks(design(*two, changes=[change(motif="ellipse", height=3)]))


def like(kind, **about):
    return Ellipse(**{"height": SizeRule(like=kind), "ratio": 2} | about)


def test_like_is_followed_from_kind_to_kind():
    chain = design(like("q"), q=[like("r")], r=[Ellipse(height=33, ratio=1)], layout=("P.",))
    assert motifs(chain, 1, 1) == [Ellipse(height=33, ratio=2)]
    # Of several in the kind, the one of the same name counts.
    named = [Ellipse(name="leaf", height=20, ratio=1), Ellipse(name="pear", height=44, ratio=1)]
    assert motifs(design(like("q", name="pear"), q=named), 1, 1)[0].height == 44
    assert motifs(design(like("q", name="plum"), q=named), 1, 1)[0].height == 20
    rule = SizeRule(rows=[10, 20])
    assert motifs(design(like("q"), q=[Ellipse(height=rule, ratio=1)]), 1, 1)[0].height == rule


@pytest.mark.parametrize(
    ("asked", "kinds", "said"),
    [
        (like("pq"), {"pqr": [PEAR]}, 'there is no kind "pq"; write "pqr"'),
        (like("p"), {}, 'like leads back to "p"'),
        (like("q"), {"q": [like("p")]}, "like leads back to"),
        (like("q"), {"q": [LINES]}, 'the kind "q" has no height'),
        (like("q"), {"q": [Ellipse(width=3, ratio=1)]}, 'the kind "q" has no height'),
    ],
)
def test_like_that_leads_nowhere_is_refused(asked, kinds, said):
    top = Top(block_width=100, block_height=100)
    listed = {"p": Kind(letter="P", motifs=[asked])}
    listed |= {
        name: Kind(letter=letter, motifs=found)
        for letter, (name, found) in zip("QR", kinds.items(), strict=False)
    }
    with pytest.raises(DesignError) as caught:
        wanted_in_blocks(Design(top=top, layout=["P"], kinds=listed))
    assert caught.value.key.endswith("motifs[0].height.like")
    assert said in f"{caught.value.problem}; {caught.value.remedy}"
