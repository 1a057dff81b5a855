"""Random slots on the shipped machines: proved, or refused with what would do it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.commands.milled import of_mill
from pathgen.commands.workplace import Proof
from pathgen.moves.moves import Arc, Drill, Feed, Rapid, end_of
from pathgen.moves.plan import Item
from pathgen.plan.heights import ABOVE_CHIPS, WORTH_A_MOVE
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
def test_a_rapid_goes_down_or_across_below_the_top_only_where_it_was_cut(seed: int) -> None:
    proof = proved(seed, "converted-mill")
    if proof is None:
        return
    job, setup = of_mill(proof.place)
    low, high = job.blank_box(setup)
    at = (math.nan, math.nan, math.inf)
    cut: dict[tuple[float, float], float] = {}  # how deep, at the places where cuts end
    for item in proof.run.items:
        if isinstance(item, Rapid) and item.z < 0 and not item.z >= at[2]:
            assert at[:2] == (item.x, item.y), "a rapid goes down and across at once"
            inside = all(a <= here <= b for a, here, b in zip(low, at[:2], high))
            assert not inside or item.z >= cut[at[:2]] + ABOVE_CHIPS - 0.001
        if isinstance(item, (Rapid, Feed, Arc, Drill)):
            assert (
                not (isinstance(item, Rapid) and item.z < 0)
                or item.z >= at[2]
                or (at[:2] == (item.x, item.y))
            ), "a rapid goes across below the top"
            at = end_of(item)
        if isinstance(item, (Feed, Arc)):
            cut[at[:2]] = min(at[2], cut.get(at[:2], 0.0))


@pytest.mark.parametrize("machine", ["converted-mill", "bench-mill-inch"])
@settings(max_examples=25, deadline=None)
@given(seed=SEEDS)
def test_a_mill_goes_straight_down_a_pass_at_a_time_and_fast_through_what_is_cut(
    machine: str, seed: int
) -> None:
    proof = proved(seed, machine)
    if proof is None:
        return
    assert proof.plan is not None
    for each in proof.plan.passes:
        at = (math.nan, math.nan, math.nan)
        cut: dict[tuple[float, float], float] = {}  # how deep this pass has gone at a place
        for item in each.items:
            if isinstance(item, Feed) and at[:2] == (item.x, item.y):
                above = cut.get(at[:2], 0.0)
                assert above - item.z <= each.depth_of_cut + 1e-6
                # At most a tenth of a turn, and what is not worth a move of its own, are fed more.
                assert at[2] - above <= ABOVE_CHIPS + WORTH_A_MOVE + 0.3
            if isinstance(item, (Rapid, Feed, Arc, Drill)):
                at = end_of(item)
            if isinstance(item, (Feed, Arc)):
                cut[at[:2]] = min(at[2], cut.get(at[:2], 0.0))
