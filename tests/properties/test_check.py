"""What the check must always find, and never: gouges, air, and sizes against a fine sampling."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.check.findings import Finding
from pathgen.check.metal.legs import Floats
from pathgen.moves.actions import Spindle
from pathgen.moves.moves import Arc, Drill, Feed, Rapid
from pathgen.moves.plan import Item, Run
from tests.builders import (
    CLEAR,
    DEPTHS,
    SLOT_DRILL,
    checked,
    fit,
    good_run,
    run,
    setup,
    size,
    slot,
    to_and_fro,
)

EXACT = 0.002  # what finished sizes are promised to, mm
BEYOND = 0.02  # how far beyond its limit a wall must lie to be found always, mm
FEW = settings(max_examples=40, deadline=None)


def put_in(run_: Run, at: int, items: tuple[Item, ...]) -> Run:
    """Return a run with items put in before one of its own, all lines counted anew."""
    every = (*run_.items[:at], *items, *run_.items[at:])
    return replace(run_, items=every, numbers=tuple(range(1, len(every) + 1)))


def ways_in() -> list[int]:
    """Return where in the good run the cutter stands at the clear height, spindle turning."""
    items = good_run().items
    turning = next(i for i, each in enumerate(items) if isinstance(each, Spindle) and each.rpm > 0)
    return [turning + 1, len(items) - 1]


@FEW
@given(
    side=st.sampled_from([-1, 1]),
    first=st.floats(27, 70),
    length=st.floats(0.01, 6),
    z=st.floats(-8.0, -0.3),
    at=st.sampled_from(ways_in()),
)
def test_a_wall_displaced_beyond_its_limit_is_always_found_at_its_line(
    side: int, first: float, length: float, z: float, at: int
) -> None:
    # the other wall lies 3 mm off the middle, the width may be 6.05
    y = side * (0.05 + BEYOND)
    gouge = (
        Rapid(first, y, CLEAR),
        Feed(first, y, z, 40),
        Feed(first + length, y, z, 60),
        Rapid(first + length, y, CLEAR),
        Rapid(23, 0, CLEAR),
    )
    walls = [f for f in checked(put_in(good_run(), at, gouge)).findings if f.code == "wall"]
    assert [wall.place for wall in walls] == [at + 2, at + 3]
    for wall in walls:
        assert wall.amount == pytest.approx(BEYOND, abs=1e-6)
        assert wall.at is not None
        assert wall.at[1] == pytest.approx(side * 3.07, abs=1e-6)


@FEW
@given(
    low=st.booleans(),
    z=st.floats(-8.0, -0.3),
    beyond=st.floats(0.003, 0.5),
)
def test_an_end_displaced_beyond_its_limit_is_always_found(
    low: bool, z: float, beyond: float
) -> None:
    far = 0.2 + beyond  # the length may be 60.2, the other end is at its place
    x = 23 - far if low else 77 + far
    gouge = (Rapid(x, 0, CLEAR), Feed(x, 0, z, 40), Rapid(x, 0, CLEAR))
    run_ = put_in(good_run(), ways_in()[1], gouge)
    ends = [f for f in checked(run_).findings if f.code == "end"]
    assert [end.place for end in ends] == [ways_in()[1] + 2]
    assert ends[0].amount == pytest.approx(beyond, abs=1e-6)


xs = st.floats(-60, 160)
ys = st.floats(-60, 60)
air_moves = st.one_of(
    st.builds(Rapid, xs, ys, st.floats(0.32, 30)),
    st.builds(Feed, xs, ys, st.floats(0.0, 30), st.floats(10, 700)),
    # Half a circle from x 0 y 0, so small that it stays within the machine's travel.
    st.builds(
        lambda x, y: Arc(x, y, CLEAR, x / 2, y / 2, clockwise=True, feed=100),
        st.floats(-40, 40),
        st.floats(-40, 40),
    ),
    st.builds(lambda x, y: Drill(x, y, 0.0, 2.0, 100), xs, ys),
)


@FEW
@given(air=st.lists(air_moves, max_size=8), at=st.sampled_from(ways_in()))
def test_moves_in_the_air_never_make_a_finding(air: list[Item], at: int) -> None:
    back = (Rapid(200, 0, CLEAR), Rapid(23, 0, CLEAR))
    lifted = [item for move in air for item in (move, Rapid(0, 0, CLEAR))]
    report = checked(put_in(good_run(), at, (*lifted, *back)))
    assert report.findings == ()
    assert report.sizes == checked(good_run()).sizes


@FEW
@given(
    pitch=st.floats(0.4, 4.0),
    passes=st.lists(
        st.tuples(st.floats(-0.3, 0.3), st.floats(24, 50), st.floats(50, 76)), max_size=5
    ),
)
def test_a_finished_width_is_what_fine_sampling_gives(
    pitch: float, passes: list[tuple[float, float, float]]
) -> None:
    count = math.ceil(54 / pitch)
    row = [23 + 54 * n / count for n in range(count + 1)]
    items: list[Item] = [
        item for x in row for item in (Rapid(x, 0, CLEAR), Feed(x, 0, -8.2, 40), Rapid(x, 0, CLEAR))
    ]
    for y, first, last in passes:
        items += [*to_and_fro([-8.2], y=y, ends=(first, last))]
    wide = setup(slot(width=size(6.0, 2.0), across=size(0.0, 1.0)))
    width = next(
        s for s in checked(run(*fit(SLOT_DRILL), *items), wide).sizes if s.quantity == "width"
    )
    low, high = sampled_walls([(0.0, x, x) for x in row] + passes)
    assert width.most == pytest.approx(high.max() - low.min(), abs=EXACT)
    assert width.least == pytest.approx(high.min() - low.max(), abs=EXACT)


def sampled_walls(cuts: list[tuple[float, float, float]]) -> tuple[Floats, Floats]:
    """Return the walls at many places of the straight part, x 23.2 to 76.8: lower and upper."""
    x = np.linspace(23.2, 76.8, 60_001)
    low, high = np.zeros_like(x), np.zeros_like(x)
    for y, first, last in cuts:
        off = np.maximum(np.maximum(first - x, x - last), 0.0)
        half = np.sqrt(np.maximum(9.0 - off**2, 0.0))
        there = off < 3.0
        high = np.where(there, np.maximum(high, y + half), high)
        low = np.where(there, np.minimum(low, y - half), low)
    return low, high


@FEW
@given(
    y=st.floats(-0.2, 0.2),
    ends=st.tuples(st.floats(22.5, 23.5), st.floats(76.5, 77.5)),
    deepest=st.floats(-8.6, -7.6),
)
def test_a_run_mirrored_makes_the_mirrored_part(
    y: float, ends: tuple[float, float], deepest: float
) -> None:
    def made(sign: int) -> tuple[list[tuple[float, float]], list[tuple[str, int | None]]]:
        depths = (*DEPTHS[:-1], deepest)
        report = checked(run(*fit(SLOT_DRILL), *to_and_fro(depths, y=sign * y, ends=ends)))
        sizes = [(s.least, s.most) for s in report.sizes if s.quantity != "centre line"]
        return sizes, [named(f) for f in report.findings]

    def named(finding: Finding) -> tuple[str, int | None]:
        return finding.code, finding.place

    sizes, findings = made(1)
    mirrored_sizes, mirrored_findings = made(-1)
    assert sizes == [pytest.approx(each, abs=1e-6) for each in mirrored_sizes]
    assert findings == mirrored_findings


@FEW
@given(wanted=st.floats(3.0, 5.0), step=st.floats(0.3, 3.0), plus=st.floats(-0.2, 0.2))
def test_a_floor_is_found_exactly_when_it_leaves_its_limits(
    wanted: float, step: float, plus: float
) -> None:
    depth = wanted + plus
    passes = math.ceil(depth / step)
    depths = [-depth * n / passes for n in range(1, passes)] + [-depth]
    place = setup(slot(depth=size(wanted, 0.1)))
    report = checked(run(*fit(SLOT_DRILL), *to_and_fro(depths)), place)
    found = next(s for s in report.sizes if s.quantity == "depth")
    assert found.least == pytest.approx(depth)
    assert found.most == pytest.approx(depth)
    codes = {finding.code for finding in report.findings}
    assert ("floor" in codes) == (plus > 0.1 + 0.001)
    assert ("metal left" in codes) == (plus < -0.1 - 0.001)
