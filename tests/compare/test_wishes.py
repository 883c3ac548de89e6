"""Wishes change settings by name, and only those."""

import pickle

import pytest

from stitchpath.compare.wishes import WISHES, Settings, Wish, settings_of, wish_named, wished_settings
from stitchpath.drawing import Drawing
from stitchpath.errors import DesignError
from stitchpath.settings import CostSettings, MachineSettings, ScheduleSettings

PLAIN = settings_of(Drawing(()))


def test_each_wish_of_the_table_can_be_had_and_changes_something():
    reached = PLAIN._replace(machine=MachineSettings(reach=500))
    names = [wish.name for wish in WISHES]
    assert len(set(names)) == len(names)
    for wish in WISHES:
        wished = wished_settings(reached, wish)
        assert wished.as_meant() != reached.as_meant()
        assert wish_named(wish.name) is wish
        assert pickle.loads(pickle.dumps(wish)) == wish
        assert len({wish, wish}) == 1


def test_a_wish_leaves_the_rest_as_it_was():
    asked = Settings(
        CostSettings(path_cost_s=7), MachineSettings(cuts_thread=True), ScheduleSettings(by_hand=("fill",))
    )
    cost, machine, schedule = wished_settings(asked, wish_named("blocks finished in turn"))
    assert (cost, machine) == (asked.cost, asked.machine)
    assert schedule == ScheduleSettings(by_hand=("fill",), groups="blocks", finish="group by group")
    both = Wish("fast and open", (("machine.sewing_speed_mm_s", 80.0), ("cost.open_ends", False)))
    cost, machine, schedule = wished_settings(asked, both)
    assert cost == CostSettings(path_cost_s=7, open_ends=False)
    assert machine == MachineSettings(cuts_thread=True, sewing_speed_mm_s=80.0)
    assert schedule is asked.schedule


def test_settings_that_come_to_the_same_are_equal_as_meant():
    rows = wished_settings(PLAIN, Wish("rows", (("schedule.groups", "rows"),)))
    assert rows != PLAIN
    assert rows.as_meant() == PLAIN.as_meant()
    by_hand = PLAIN._replace(machine=MachineSettings(sewn_by="hand"))
    blocks = wished_settings(by_hand, Wish("blocks", (("schedule.groups", "blocks"),)))
    assert blocks.as_meant() == by_hand.as_meant()
    assert wished_settings(PLAIN, wish_named("fewest advances")).as_meant() == PLAIN.as_meant()


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ((("cost.colour", 1),), 'cost.colour: the wish "odd" changes no setting'),
        ((("fabric.width", 1),), "fabric.width: the wish"),
        ((("cost", 1),), "cost: the wish"),
        ((("cost.path_cost_s", -1.0),), 'cost.path_cost_s: the wish "odd" cannot be had'),
        ((("schedule.bands", "none"),), "schedule.bands: the wish"),
        (
            (("machine.reach", 100.0), ("machine.last_reach", 200.0)),
            "last_reach is 200 mm, above the reach of 100 mm",
        ),
    ],
)
def test_what_cannot_be_wished_is_refused(changes, said):
    with pytest.raises(DesignError, match=said):
        wished_settings(PLAIN, Wish("odd", changes))


def test_an_unknown_wish_names_the_nearest_or_all():
    with pytest.raises(DesignError, match='write "blocks finished in turn"'):
        wish_named("block finished in turn")
    with pytest.raises(DesignError, match='write one of "no ends in the open", "blocks'):
        wish_named("xyzzy")
