"""A plan's parts: which paths begin in each band and group."""

from dataclasses import replace

from banded_plans import banded
from export_plans import orchard

from stitchpath.drawing import Drawing
from stitchpath.pages.plan_parts import PlanPart, parts_of
from stitchpath.plan import Plan, RoutedJob


def test_groups_are_told_by_their_jobs():
    plan = orchard()
    seams, detail = plan.jobs
    first, second = (replace(detail, paths=4, group=f"row {row}") for row in (1, 2))
    parts = parts_of(replace(plan, jobs=(seams, first, second)))
    assert [(part.name, len(part.paths)) for part in parts] == [("Seams", 1), ("Row 1", 4), ("Row 2", 4)]
    assert [part.name for part in parts_of(plan)] == ["The whole top"]


def job(band, paths, group):
    return RoutedJob(band, "detail", 1.0, 1.0, 0.0, paths, False, 0.1, group=group)


def test_each_band_is_a_part_in_the_order_of_sewing():
    plan = banded()
    parts = parts_of(plan)
    assert [(part.name, part.band) for part in parts] == [("Band 1", 1), ("Band 2", 2), ("Band 3", 3)]
    assert [number for part in parts for number in part.paths] == list(range(len(plan)))
    for part in parts:
        assert {plan.paths[number].band for number in part.paths} == {part.band}


def test_a_band_is_one_part_whatever_groups_it_has():
    plan = banded(rows=2, columns=2)
    count = sum(path.band == 1 for path in plan)
    rest = len(plan) - count
    jobs = job(1, 2, ""), job(1, count - 2, "row 1"), job(2, rest, "row 2")
    assert parts_of(replace(plan, jobs=jobs)) == (
        PlanPart("Band 1", 1, tuple(range(count))),
        PlanPart("Band 2", 2, tuple(range(count, count + rest))),
    )


def test_blocks_finished_one_by_one_are_told_by_rows():
    plan = orchard()
    groups = "row 2, column 1", "row 1, column 1", "row 2, column 2", "the rest"
    counts = 2, 2, 3, len(plan) - 7
    jobs = tuple(job(1, count, group) for count, group in zip(counts, groups, strict=True))
    parts = parts_of(replace(plan, jobs=jobs))
    assert [part.name for part in parts] == ["Row 2", "Row 1", "The rest"]
    assert parts[0].paths == (0, 1, 4, 5, 6)


def test_no_paths_no_parts():
    assert parts_of(Plan(Drawing(()), (), (), 0.0)) == ()
