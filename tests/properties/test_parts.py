"""Random parts of several features on random machines: proved, or refused with what would do it."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.commands.proving import prove_job
from pathgen.commands.workplace import Proof
from pathgen.input.where import Refusal
from tests.part_jobs import by_control, by_handles, machine
from tests.random_jobs import assert_proved, job_of
from tests.read_jobs import the_shop


def proofs(seed: int) -> list[Proof]:
    """Return the proofs of a random part's setups on a random machine, none where it is refused."""
    made_on = machine(random.Random(seed))
    job = job_of(by_handles if made_on.manual else by_control, seed)
    if job is None:
        return []
    shop = replace(the_shop(), machines={made_on.name: made_on})
    try:
        return list(prove_job(job, shop, made_on.name, lambda _: None))
    except Refusal as refusal:
        if not (refusal.cannot and refusal.instead):
            pytest.fail("a refusal that does not say what would do it")
        return []


@settings(max_examples=6, deadline=None)
@given(seed=st.integers(0, 2**32 - 1))
def test_what_is_planned_is_proved(seed: int) -> None:
    for proof in proofs(seed):
        assert_proved(proof)


def test_most_random_parts_are_planned() -> None:
    # The test above would hold of a planner that refuses everything.
    made = [proofs(seed) for seed in range(8)]
    assert sum(bool(each) for each in made) >= 3
    assert any(len(each[0].place.setup.features) > 1 for each in made if each)
