"""Random bores on the shipped machines: proved, or refused with what would do it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.bore_random import job_text
from tests.random_jobs import MACHINES, assert_proved, proof_of


@pytest.mark.parametrize("machine", MACHINES)
@settings(max_examples=1, deadline=None)
@given(seed=st.integers(0, 2**32 - 1))
def test_what_is_planned_is_proved(machine: str, seed: int) -> None:
    assert_proved(proof_of(job_text, seed, machine))


def test_many_random_bores_are_planned() -> None:
    # The test above would hold of a reader or a planner that refuses everything.
    proofs = [proof_of(job_text, seed, "converted-mill") for seed in range(4)]
    assert sum(proof is not None for proof in proofs) >= 2
