"""Looking up the jobs and features that mates name."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeAlias

from pathgen.input.where import JobError, Where, listed, nearest
from pathgen.job.job import Feature, Job, JobSetup
from pathgen.job.turning.turned import TurnedFeature, TurnedJob, TurnedSetup

AnyJob: TypeAlias = Job | TurnedJob
AnySetup: TypeAlias = JobSetup | TurnedSetup
AnyFeature: TypeAlias = Feature | TurnedFeature


def job_named(jobs: Mapping[str, AnyJob], name: str, where: Where) -> AnyJob:
    """Return a job by the name that refers to it.

    Raises:
        JobError: there is none; it names the nearest.
    """
    if name not in jobs:
        right = nearest(name, jobs) or f"use {listed(jobs)}"
        raise JobError(where, f'no job is called "{name}" here', right)
    return jobs[name]


def feature_named(job: AnyJob, name: str, where: Where) -> tuple[AnySetup, AnyFeature]:
    """Return a feature that a job makes, and the setup that it is made in.

    Raises:
        JobError: there is none, naming the nearest; or there are several.
    """
    pairs: list[tuple[AnySetup, AnyFeature]] = [
        (setup, feature) for setup in job.setups for feature in setup.features
    ]
    named = [pair for pair in pairs if pair[1].name == name]
    if not named:
        names = [feature.name for _, feature in pairs]
        right = nearest(name, names) or f"use {listed(names)}"
        raise JobError(where, f'no feature is called "{name}"', right)
    if len(named) > 1:
        raise JobError(where, f'{len(named)} features are called "{name}"', "name them apart")
    return named[0]
