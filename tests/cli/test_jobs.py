"""The table of jobs, read back cell by cell."""

import re
from dataclasses import replace

import pytest

from stitchpath.cli.jobs import jobs_text
from stitchpath.plan import RoutedJob

JOB = RoutedJob(1, "seams", 110.0, 100.0, 60.0, 2, False, 0.001)


def rows(text):
    return [re.split(r"\s{2,}", row.strip()) for row in text.splitlines()]


def test_only_what_differs_has_a_column():
    assert rows(jobs_text([JOB, replace(JOB, stage="detail")]))[0][:2] == ["stage", "paths"]
    assert rows(jobs_text([JOB, replace(JOB, band=2)]))[0][:3] == ["band", "stage", "paths"]
    assert rows(jobs_text([JOB, replace(JOB, thread="cream")]))[0][:3] == ["stage", "thread", "paths"]
    table = rows(
        jobs_text([replace(JOB, group="row 1"), replace(JOB, band=2, thread="cream", group="row 2")])
    )
    assert table[0][:5] == ["band", "stage", "thread", "group", "paths"]
    assert table[2] == [
        "band 2", "seams", "cream", "row 2", "2", "110.0 s", "100.0 s", "10.00 %", "20.00 %", "not proven"
    ]  # fmt: skip


def test_names_stand_to_the_left_and_figures_to_the_right():
    text = jobs_text([JOB, replace(JOB, stage="detail", group="row 1, column 1", cost=1000.0)]).splitlines()
    assert text[1].startswith("seams   ")
    assert text[1].index("110.0 s") == text[2].index("1,000.0 s") + 2


def _many(count):
    """Two stages in turn, each a group of its own; gaps grow with the number, the last seams are worst."""
    jobs = [
        RoutedJob(
            1 + at // 8,
            ("seams", "detail")[at % 2],
            100.0 + at,
            100.0,
            60.0,
            at,
            False,
            0.001,
            "",
            f"row {at}",
        )
        for at in range(count)
    ]
    return [*jobs[:-2], replace(jobs[-2], cost=150.0), jobs[-1]]


@pytest.mark.parametrize(("count", "summed"), [(12, False), (13, True)])
def test_over_a_dozen_are_summed_up(count, summed):
    assert (len(jobs_text(_many(count)).splitlines()) == 3) == summed


def test_a_stage_says_its_sums_and_its_worst_job():
    """Of 16: the even ones are seams, 100 + 102 + ... + 112 + 150, the odd ones detail, 101 + ... + 115."""
    table = rows(jobs_text(_many(16)))
    assert table == [
        ["stage", "jobs", "proven least", "paths", "weighed", "most over the least", "in"],
        ["seams", "8", "1", "56", "892.0 s", "50.00 % (50.0 s)", "band 2, row 14"],
        ["detail", "8", "0", "64", "864.0 s", "15.00 % (15.0 s)", "band 2, row 15"],
    ]


def test_where_all_are_proven_none_is_named():
    jobs = [replace(JOB, cost=100.0, group=f"row {at}") for at in range(13)]
    assert rows(jobs_text(jobs))[1] == ["seams", "13", "13", "26", "1,300.0 s", "0 %"]


def test_a_job_without_a_bound_is_the_worst():
    jobs = [replace(JOB, group=f"row {at}", bound=0.0 if at == 5 else 100.0) for at in range(13)]
    assert rows(jobs_text(jobs))[1][-2:] == ["not known (110.0 s)", "row 5"]


def test_a_tiny_bound_is_told_in_seconds_too():
    tiny = replace(JOB, cost=60.0, bound=0.1, forced=0.0, group="row 5")
    jobs = [replace(JOB, group=f"row {at}") for at in range(13)]
    assert rows(jobs_text([*jobs, tiny]))[1][-2:] == ["59,900.00 % (59.9 s)", "row 5"]
