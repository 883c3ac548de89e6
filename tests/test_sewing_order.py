"""What a schedule can say of the order: places, turns of blocks and what they are called."""

import pytest
from pydantic import TypeAdapter, ValidationError

from stitchpath.lines import Block
from stitchpath.settings import BlockGroup, MachineSettings, ScheduleSettings
from stitchpath.sewing_order import SewingPlace, Turn, group_name


@pytest.mark.parametrize("place", ["upper left", "lower right", "row 12, column 3", (3.0, -4.0)])
def test_places(place):
    assert TypeAdapter(SewingPlace).validate_python(place) == place
    assert ScheduleSettings(start=place, end=place).end == place


def test_a_point_is_read_in_the_designs_unit():
    inches = ScheduleSettings.model_validate({"start": [1, "2 mm"]}, context={"unit": "in"})
    assert inches.start == (25.4, 2.0)


@pytest.mark.parametrize(
    ("place", "said"),
    [
        ("uper left", '"uper left" is no place on a top; write "upper left", "upper right", "lower left"'),
        ("row 0, column 3", '"row 0, column 3" is no place on a top'),
        ([1, 2, 3], "a list is no place on a top; write .*, or a point"),
        (7, "7 is no place on a top"),
        ([1, 1e9], "is too large for a place on the top"),
    ],
)
def test_what_is_no_place_is_refused(place, said):
    with pytest.raises(ValidationError, match=said):
        ScheduleSettings(start=place)


def test_blocks_have_their_turn_by_name_or_by_kind():
    schedule = ScheduleSettings(first_blocks=["pear"], last_blocks=["row 1, column 2"])
    blocks = (
        Block("row 1, column 1", (0, 0, 1, 1), 1, 1, "pear"),
        Block("row 1, column 2", (1, 0, 2, 1), 1, 2),
    )
    assert [schedule.turn(block) for block in blocks] == [Turn.FIRST, Turn.LAST]
    assert {ScheduleSettings().turn(block) for block in blocks} == {Turn.OTHER}
    assert ScheduleSettings(first_blocks=[""]).turn(blocks[1]) is Turn.FIRST  # refused before it is planned


def test_parts_of_groups_have_names_of_their_own():
    assert [group_name("row 1", turn) for turn in (Turn.FIRST, Turn.OTHER, Turn.LAST)] == [
        "row 1, first blocks", "row 1", "row 1, last blocks"
    ]  # fmt: skip
    assert group_name("", Turn.LAST) == "last blocks"


def test_borders_wait_by_hand_where_nothing_else_is_asked():
    hand = MachineSettings(sewn_by="hand")
    assert ScheduleSettings().from_the_middle(hand)
    assert ScheduleSettings(groups="rows").from_the_middle(hand)
    group = BlockGroup(name="all", blocks=("row 1, column 1",))
    for asked in ({"groups": "none"}, {"groups": (group,)}, {"order": "from the middle"}):
        assert not ScheduleSettings(**asked).from_the_middle(hand)
    assert not ScheduleSettings().from_the_middle(MachineSettings(sewn_by="hand", reach=400))
    assert not ScheduleSettings().from_the_middle(MachineSettings())
