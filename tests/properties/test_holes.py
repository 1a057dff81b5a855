"""Random holes on the shipped machines: proved, or refused with what would do it."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.commands.milled import of_mill
from pathgen.commands.workplace import Proof
from pathgen.moves.moves import Drill
from pathgen.plan.holes.order import by_hand, shortest
from tests.hole_jobs import job_text
from tests.random_jobs import MACHINES, assert_proved, proof_of

SEEDS = st.integers(0, 2**32 - 1)


def proved(seed: int, machine: str) -> Proof | None:
    """Return the proof of a random part, None where it is refused."""
    return proof_of(job_text, seed, machine)


@pytest.mark.parametrize("machine", MACHINES)
@settings(max_examples=40, deadline=None)
@given(seed=SEEDS)
def test_what_is_planned_is_proved(machine: str, seed: int) -> None:
    assert_proved(proved(seed, machine))


@pytest.mark.parametrize("machine", MACHINES)
def test_many_random_holes_are_planned(machine: str) -> None:
    # The test above would hold of a reader or a planner that refuses everything.
    proofs = [proved(seed, machine) for seed in range(40)]
    assert sum(proof is not None for proof in proofs) > 10


@settings(max_examples=25, deadline=None)
@given(seed=SEEDS)
def test_each_wanted_hole_is_drilled_where_it_should_be(seed: int) -> None:
    proof = proved(seed, "converted-mill")
    if proof is None:
        return
    drilled = [(item.x, item.y) for item in proof.run.items if isinstance(item, Drill)]
    for holes in of_mill(proof.place)[1].holes:
        for place in holes.places:
            assert min(math.dist(place.at, at) for at in drilled) < 1e-3


coordinates = st.integers(-500, 500).map(lambda each: each / 10)
patterns = st.lists(st.tuples(coordinates, coordinates), min_size=1, max_size=12, unique=True)


def length(way: tuple[tuple[float, float], ...]) -> float:
    return sum(math.dist(a, b) for a, b in itertools.pairwise(way))


@settings(max_examples=60, deadline=None)
@given(patterns)
def test_an_order_visits_each_hole_once_and_the_short_way_cannot_be_uncrossed(
    places: list[tuple[float, float]],
) -> None:
    way = shortest(places)
    assert sorted(way) == sorted(places)
    for first in range(1, len(way)):
        for last in range(first + 1, len(way) + 1):
            turned = (*way[:first], *reversed(way[first:last]), *way[last:])
            assert length(way) <= length(turned) + 1e-6


@settings(max_examples=60, deadline=None)
@given(patterns, st.sampled_from([1, -1]), st.sampled_from([1, -1]))
def test_by_hand_the_handles_go_back_no_oftener_than_in_rows(
    places: list[tuple[float, float]], side_x: int, side_y: int
) -> None:
    way = by_hand(places, {"x": side_x, "y": side_y})
    assert sorted(way) == sorted(places)
    steps = list(itertools.pairwise(way))
    back_x = sum((b[0] - a[0]) * side_x < 0 for a, b in steps)
    back_y = sum((b[1] - a[1]) * side_y < 0 for a, b in steps)
    rows = min(len({y for _, y in places}), len({x for x, _ in places}))
    assert back_x + back_y <= rows - 1
