"""Chains of holes round a pocket: their number by hand, their webs, and what drops out."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from pathgen.input.where import Refusal
from pathgen.job.contour import circle, rectangle
from pathgen.moves.moves import Drill
from pathgen.plan.area_chain import chain_places
from tests.test_area_faults import ISLAND, POCKET, THROUGH, made

CHAINED = THROUGH + 'ways = { way = "chain drilled", drill = "6 mm drill" }\n'


def ring(radius: float) -> shapely.LinearRing:
    return shapely.LinearRing(circle((0.0, 0.0), radius).points(0.0001))


@pytest.mark.parametrize(("radius", "drill", "web"), [(20, 6, 0.5), (12, 4, 0.25), (40, 10, 0.5)])
def test_as_many_holes_on_a_circle_as_chords_leave_the_web(
    radius: float, drill: float, web: float
) -> None:
    # The chord between two of n holes is 2 R sin(180/n); it has to hold a drill and a web.
    most = math.floor(math.pi / math.asin((drill + web) / (2 * radius)))
    assert len(chain_places(ring(radius), drill, web)) == most


@given(
    long=st.floats(30, 120),
    wide=st.floats(20, 80),
    drill=st.floats(3, 8),
    web=st.floats(0.2, 1.0),
)
def test_every_web_is_wide_enough_and_the_last_meets_the_first(
    long: float, wide: float, drill: float, web: float
) -> None:
    line = shapely.LinearRing(rectangle((0.0, 0.0), (long, wide), 2.0).points(0.001))
    places = [(target.x, target.y) for target in chain_places(line, drill, web)]
    gaps = [math.dist(a, b) - drill for a, b in pairwise([*places, places[0]])]
    assert min(gaps) >= web - 1e-6
    # No room for one hole more: that would want a longer line, but for the corners cut off.
    assert line.length < (len(places) + 4) * (drill + max(gaps))


def test_too_short_a_line_has_no_chain() -> None:
    assert chain_places(ring(3.0), 6.0, 0.5) == []


@pytest.mark.parametrize("machine", ["converted-mill", "bench-mill-inch"])
def test_a_chain_drilled_opening_is_proved_and_what_drops_out_is_told_of(machine: str) -> None:
    proof = made(CHAINED, machine)
    assert proof.plan is not None
    items = [item for each in proof.plan.passes for item in each.items]
    drilled = {(move.x, move.y) for move in items if isinstance(move, Drill)}
    # Their line lies half the drill and half a millimetre within the walls, 40 by 30.
    low, high = 50 - 20 + 3.5, 50 + 20 - 3.5
    assert min(x for x, _ in drilled) == pytest.approx(low, abs=0.03)
    assert max(x for x, _ in drilled) == pytest.approx(high, abs=0.03)
    loose = [each for each in proof.report.findings if each.code == "loose"]
    assert len(loose) == 1
    assert loose[0].severity == "caution"
    assert loose[0].amount is not None
    assert loose[0].amount < (40 - 2 * 8) * (30 - 2 * 8)  # the chain and the mill's groove are off


@pytest.mark.parametrize("feature", [POCKET, ISLAND])
def test_a_blind_pocket_is_not_chain_drilled(feature: str) -> None:
    with pytest.raises(Refusal, match="goes through"):
        made(feature + 'ways = { way = "chain drilled" }\n')
