"""The jobs of a plan as a table of text: a row for each job or, if there are many, for each stage."""

from collections.abc import Callable, Sequence

from stitchpath.cli.tables import laid_out
from stitchpath.figures import gap_less_forced
from stitchpath.plan import RoutedJob
from stitchpath.words import cost, gap, share

__all__ = ["jobs_text"]

_MOST_JOBS = 12
"""How many jobs have a row each."""

_NAMED: tuple[tuple[str, Callable[[RoutedJob], str]], ...] = (
    ("band", lambda job: f"band {job.band}"),
    ("stage", lambda job: job.stage),
    ("thread", lambda job: job.thread),
    ("group", lambda job: job.group),
)


def jobs_text(jobs: Sequence[RoutedJob]) -> str:
    """Return what each job came to; of over a dozen, what each stage came to, and its worst job.

    Band, thread and group have a column only where there is more than one.

    Examples
    --------
    >>> job = RoutedJob(1, "seams", 60.0, 60.0, 60.0, 1, False, 0.001)
    >>> print(jobs_text([job]))
    stage  paths  weighed  least possible  over it  of what can differ
    seams      1   60.0 s          60.0 s      0 %                 0 %  proven least
    >>> jobs_text([])
    ''
    """
    if not jobs:
        return ""
    told = [(head, name) for head, name in _NAMED if head == "stage" or len({name(job) for job in jobs}) > 1]
    if len(jobs) > _MOST_JOBS:
        names = [name for head, name in told if head != "stage"]
        return laid_out([_STAGE_HEAD, *(_stage_row(stage, names) for stage in _by_stage(jobs))])
    head = (*(head for head, _ in told), *_JOB_HEAD)
    return laid_out(
        [head, *((*(name(job) for _, name in told), *_job_row(job)) for job in jobs)], left=len(told)
    )


_JOB_HEAD = ("paths", "weighed", "least possible", "over it", "of what can differ", "")


def _job_row(job: RoutedJob) -> tuple[str, ...]:
    return (
        f"{job.paths:,}",
        cost(job.cost),
        cost(job.bound),
        share(job.gap),
        share(gap_less_forced(job.cost, job.bound, job.forced)),
        "proven least" if job.optimal else "not proven",
    )


def _by_stage(jobs: Sequence[RoutedJob]) -> list[list[RoutedJob]]:
    stages = dict.fromkeys(job.stage for job in jobs)
    return [[job for job in jobs if job.stage == stage] for stage in stages]


_STAGE_HEAD = ("stage", "jobs", "proven least", "paths", "weighed", "most over the least", "in")


def _stage_row(jobs: Sequence[RoutedJob], names: Sequence[Callable[[RoutedJob], str]]) -> tuple[str, ...]:
    worst = max(jobs, key=lambda job: job.gap)
    return (
        jobs[0].stage,
        f"{len(jobs):,}",
        f"{sum(job.optimal for job in jobs):,}",
        f"{sum(job.paths for job in jobs):,}",
        cost(sum(job.cost for job in jobs)),
        gap(worst.gap, worst.cost - worst.bound),
        ", ".join(filter(None, (name(worst) for name in names))) if worst.gap else "",
    )
