"""From a seed to a random job and its proof, for the properties that hold of every kind of part."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest

from pathgen.commands.proving import prove_job
from pathgen.commands.workplace import Proof
from pathgen.input.where import Refusal
from pathgen.job.job import Job
from tests.read_jobs import reading, the_shop

MACHINES = [
    "converted-mill",
    "converted-mill-lean",
    "bench-mill-inch",
    "bench-mill-metric",
    "bench-mill-readout",
    "round-column-mill",
]
JobText = Callable[[random.Random], str]


def job_of(job_text: JobText, seed: int) -> Job | None:
    """Return the job of a seed, None for those whose figures contradict one another."""
    return reading(job_text(random.Random(seed)), "hinge")[0]


def proof_of(job_text: JobText, seed: int, machine: str) -> Proof | None:
    """Return the proof, None where the job is refused: then it says what would do it."""
    job = job_of(job_text, seed)
    if job is None:
        return None
    try:
        (proof,) = prove_job(job, the_shop(), machine, lambda _: None)
    except Refusal as refusal:
        if not (refusal.cannot and refusal.instead):
            pytest.fail("a refusal that does not say what would do it")
        return None
    return proof


def assert_proved(proof: Proof | None) -> None:
    """Assert that what was planned is proved, every size within its limits."""
    if proof is not None:
        assert proof.report.ok, "\n".join(str(each) for each in proof.report.findings)
        assert all(size.ok for size in proof.report.sizes)
