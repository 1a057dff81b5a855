"""Random T-slots, and chamfers along edges, on the shipped machines: proved, or refused."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.form_jobs import job_text
from tests.random_jobs import MACHINES, assert_proved, job_of, proof_of

SEEDS = st.integers(0, 2**32 - 1)


@pytest.mark.parametrize("machine", MACHINES)
@settings(max_examples=6, deadline=None)
@given(seed=SEEDS)
def test_what_is_planned_is_proved(machine: str, seed: int) -> None:
    assert_proved(proof_of(job_text, seed, machine))


def test_most_random_forms_are_read_and_planned() -> None:
    # The test above would hold of a planner that refuses everything.
    seeds = range(16)
    assert sum(job_of(job_text, seed) is not None for seed in seeds) > 12
    proofs = [proof_of(job_text, seed, "converted-mill") for seed in seeds]
    assert sum(proof is not None for proof in proofs) > 8
