"""Looking up the jobs and features that mates name."""

from __future__ import annotations

from collections.abc import Mapping

from pathgen.input.where import JobError, Where, listed, nearest
from pathgen.job.job import Feature, Job, JobSetup


def job_named(jobs: Mapping[str, Job], name: str, where: Where) -> Job:
    """Return a job by the name that refers to it.

    Raises:
        JobError: there is none; it names the nearest.
    """
    if name not in jobs:
        right = nearest(name, jobs) or f"use {listed(jobs)}"
        raise JobError(where, f'no job is called "{name}" here', right)
    return jobs[name]


def feature_named(job: Job, name: str, where: Where) -> tuple[JobSetup, Feature]:
    """Return a feature that a job makes, and the setup that it is made in.

    Raises:
        JobError: there is none, naming the nearest; or there are several.
    """
    pairs = [(setup, feature) for setup in job.setups for feature in setup.features]
    named = [pair for pair in pairs if pair[1].name == name]
    if not named:
        names = [feature.name for _, feature in pairs]
        right = nearest(name, names) or f"use {listed(names)}"
        raise JobError(where, f'no feature is called "{name}"', right)
    if len(named) > 1:
        raise JobError(where, f'{len(named)} features are called "{name}"', "name them apart")
    return named[0]
