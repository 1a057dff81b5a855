"""Chains of holes round a pocket: their number by hand, their webs, and what drops out."""

from __future__ import annotations

import math
import re
from itertools import pairwise

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from pathgen.input.where import Refusal
from pathgen.job.contour import circle, rectangle
from pathgen.moves.moves import Drill
from pathgen.plan.areas.chain import chain_places, grid_places
from tests.test_area_faults import ISLAND, POCKET, THROUGH, edited, made

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


GRID = POCKET.replace("depth = 4", "depth = 8") + 'ways = { way = "chain drilled" }\n'


@pytest.mark.parametrize("machine", ["converted-mill", "bench-mill-inch"])
def test_a_blind_pocket_is_drilled_in_a_grid_to_just_above_its_floor(machine: str) -> None:
    proof = made(GRID, machine)
    assert proof.plan is not None
    (chain,) = [each for each in proof.plan.passes if each.purpose == "chain drill"]
    holes = [item for item in chain.items if isinstance(item, Drill)]
    # 10 mm drills, half a millimetre to the walls of 40 by 30 and between them at least.
    assert len(holes) == (1 + (40 - 11) // 10.5) * (1 + (30 - 11) // 10.5)
    assert [hole.bottom for hole in holes] == [pytest.approx(-7.7)] * len(holes)
    gaps = [math.dist((a.x, a.y), (b.x, b.y)) for a in holes for b in holes if a is not b]
    assert min(gaps) >= 10.5 - 1e-6
    depth = next(size for size in proof.report.sizes if size.quantity == "depth")
    assert depth.least == pytest.approx(8, abs=0.02)


def test_a_grid_leaves_an_island_alone() -> None:
    proof = made(ISLAND.replace("depth = 4", "depth = 8") + 'ways = { way = "chain drilled" }\n')
    assert proof.plan is not None
    (chain,) = [each for each in proof.plan.passes if each.purpose == "chain drill"]
    holes = [item for item in chain.items if isinstance(item, Drill)]
    assert min(math.dist((hole.x, hole.y), (50, 30)) for hole in holes) >= 4 + 5 + 0.5 - 1e-3


def test_a_pocket_too_shallow_for_a_drill_is_not_drilled() -> None:
    # The point of a 10 mm drill, 118 degrees, is 3.0 mm long.
    shallow = 'ways = { way = "chain drilled", drill = "10 mm drill" }\n'
    with pytest.raises(Refusal, match="the drill's point counted"):
        made(POCKET + shallow)


def test_a_hole_of_a_grid_through_the_floor_is_found() -> None:
    def deeper(lines: list[str]) -> int:
        at = next(i for i, line in enumerate(lines) if "Z-7.7" in line)
        lines[at] = lines[at].replace("Z-7.7", "Z-8.6")
        return at

    found, _ = edited(GRID, deeper)
    assert {each.code for each in found} & {"floor"}


def test_a_grid_of_holes_too_near_to_one_another_is_found() -> None:
    def nearer(lines: list[str]) -> int:
        start = next(i for i, line in enumerate(lines) if line.startswith("(-- chain drill"))
        at = next(i for i in range(start + 1, len(lines)) if lines[i].startswith("X"))
        lines[at] = re.sub(r"X([\d.]+)", lambda x: f"X{float(x[1]) - 0.6:.4f}", lines[at])
        return at

    found, _ = edited(GRID, nearer)
    assert {each.code for each in found} & {"web", "spot", "wander"}


@given(
    long=st.floats(25, 90),
    wide=st.floats(15, 60),
    pitch=st.floats(4, 11),
)
def test_a_grid_fills_its_region_at_no_less_than_its_pitch(
    long: float, wide: float, pitch: float
) -> None:
    places = grid_places(shapely.box(0, 0, long, wide), pitch)
    columns = {round(place.x, 6) for place in places}
    rows = {round(place.y, 6) for place in places}
    assert (len(columns), len(rows)) == (1 + int(long / pitch + 1e-6), 1 + int(wide / pitch + 1e-6))
    assert len(places) == len(columns) * len(rows)
