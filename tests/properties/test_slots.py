"""Random slots on the shipped machines: proved, or refused with what would do it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.commands.proving import Proof
from pathgen.moves.moves import Arc, Drill, Feed, Rapid, end_of
from pathgen.moves.plan import Item
from tests.random_jobs import MACHINES, assert_proved, proof_of
from tests.slot_jobs import job_text

SEEDS = st.integers(0, 2**32 - 1)


def proved(seed: int, machine: str) -> Proof | None:
    """Return the proof of a random part, None where it is refused."""
    return proof_of(job_text, seed, machine)


@pytest.mark.parametrize("machine", MACHINES)
@settings(max_examples=40, deadline=None)
@given(seed=SEEDS)
def test_what_is_planned_is_proved(machine: str, seed: int) -> None:
    # A sheet is followed at both extremes of its slack, and with each measurement at both ends.
    assert_proved(proved(seed, machine))


def test_most_random_slots_are_planned() -> None:
    # The test above would hold of a planner that refuses everything.
    proofs = [proved(seed, "converted-mill") for seed in range(60)]
    assert sum(proof is not None for proof in proofs) > 30


def cuts(items: tuple[Item, ...]) -> list[tuple[float, float, float]]:
    """Return where each cut ends, drilled holes at their bottom."""
    ends: list[tuple[float, float, float]] = []
    for item in items:
        if isinstance(item, Drill):
            ends.append((item.x, item.y, item.bottom))
        elif isinstance(item, (Feed, Arc)):
            ends.append(end_of(item))
    return ends


@pytest.mark.parametrize("machine", MACHINES)
@settings(max_examples=15, deadline=None)
@given(seed=SEEDS)
def test_what_is_read_back_cuts_where_it_was_planned(machine: str, seed: int) -> None:
    proof = proved(seed, machine)
    if proof is None:
        return
    assert proof.plan is not None
    made = proof.place.machine
    slack = max((slide.slack + slide.count for slide in made.slides), default=0.002)
    read = cuts(proof.run.items)
    place = 0
    for each in proof.plan.passes:
        for end in cuts(each.items):
            place = next(
                (i for i in range(place, len(read)) if math.dist(read[i], end) <= slack), len(read)
            )
            assert place < len(read), f"{end} is not among what was read back"


@settings(max_examples=15, deadline=None)
@given(seed=SEEDS)
def test_no_rapid_goes_down_or_across_below_the_clear_plane_into_the_blank(seed: int) -> None:
    proof = proved(seed, "converted-mill")
    if proof is None:
        return
    z = math.inf
    for item in proof.run.items:
        if isinstance(item, Rapid):
            assert item.z >= 0 or item.z >= z, "a rapid below the top face that does not go up"
        if isinstance(item, (Rapid, Feed, Arc, Drill)):
            z = end_of(item)[2]
