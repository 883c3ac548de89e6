"""What a schedule can say of the order: turns of blocks and what they are called."""

from stitchpath.lines import Block
from stitchpath.settings import BlockGroup, MachineSettings, ScheduleSettings
from stitchpath.sewing_order import Turn, group_name


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
