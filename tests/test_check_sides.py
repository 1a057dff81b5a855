"""Cuts that go with the cutter's turn where nothing asks for it; which way metal lies is hand made.

A cutter turns clockwise seen from above: going along x, metal towards +y lies on its left, and is
cut against the turn.
"""

from __future__ import annotations

import re

import pytest

from pathgen.check.findings import Finding
from pathgen.commands.proving import prove_text
from pathgen.moves.moves import Feed, Rapid
from pathgen.moves.plan import Item
from pathgen.shop.machines import Machine
from tests.builders import (
    CLEAR,
    SLOT_DRILL,
    SMALL_SLOT_DRILL,
    checked,
    codes,
    fit,
    hand_mill,
    mill,
    run,
    setup,
    size,
    slot,
    to_and_fro,
)
from tests.test_area_faults import ISLAND, OUTSIDE, POCKET, STEP, made

WIDE = slot(width=size(10.0), depth=size(2.0))


def wall(side: float, way: float, off: float = 2.0) -> list[Item]:
    """Return a cut along one wall of the wide slot, in one depth, going plus or minus x."""
    ends = (30.0, 70.0) if way > 0 else (70.0, 30.0)
    y = side * off
    return [
        Rapid(ends[0], y, CLEAR),
        Rapid(ends[0], y, 1.0),
        Feed(ends[0], y, -1.0, 30.0),
        Feed(ends[1], y, -1.0, 75.0),
        Rapid(ends[1], y, CLEAR),
    ]


def climbs(items: list[Item], machine: Machine | None = None) -> list[Finding]:
    middle = to_and_fro((-1.0,), ends=(25.0, 75.0))
    what = run(*fit(SLOT_DRILL), *middle, *items, cutters=(SLOT_DRILL,))
    report = checked(what, setup(WIDE), machine)
    return [each for each in report.findings if each.code == "climb"]


@pytest.mark.parametrize("machine", [mill(), hand_mill()], ids=["control", "handles"])
@pytest.mark.parametrize(("side", "way"), [(1.0, -1.0), (-1.0, 1.0)])
def test_a_wall_on_the_right_is_cut_with_the_turn(
    side: float, way: float, machine: Machine
) -> None:
    (found,) = climbs(wall(side, way), machine)
    # The middle was cut 6 wide, the wall's centre lies 2 off: a strip of 2 is left to cut. It is
    # looked at at places a tenth of the radius apart.
    assert found.amount == pytest.approx(2.0, abs=0.15)
    assert found.at is not None
    assert found.at[1] == pytest.approx(side * 2.0)


@pytest.mark.parametrize(("side", "way"), [(1.0, 1.0), (-1.0, -1.0)])
def test_a_wall_on_the_left_is_cut_against_the_turn(side: float, way: float) -> None:
    assert climbs(wall(side, way)) == []


def test_a_cut_as_wide_as_the_cutter_is_neither() -> None:
    assert climbs([]) == []


def test_what_only_rubs_is_no_cut() -> None:
    assert climbs(wall(1.0, -1.0, off=0.015)) == []
    assert climbs(wall(1.0, -1.0, off=0.1))


def test_a_cutter_that_cuts_on_both_sides_does_not_climb() -> None:
    # A groove of 5 is opened out to 6 by a cutter of that width, 0.3 out of the groove's middle: it
    # takes 0.8 off the right wall and 0.2 off the left one.
    groove = to_and_fro((-1.0,), y=0.3, ends=(25.0, 75.0))
    wide = to_and_fro((-1.0,), ends=(25.0, 75.0))
    cutters = (SMALL_SLOT_DRILL, SLOT_DRILL)
    what = run(*fit(SMALL_SLOT_DRILL), *groove, *fit(SLOT_DRILL, number=2), *wide, cutters=cutters)
    assert "climb" not in codes(checked(what, setup(WIDE)))


@pytest.mark.parametrize("feature", [POCKET, ISLAND, OUTSIDE, STEP])
def test_a_program_that_climbs_is_found_where_the_job_does_not_ask(feature: str) -> None:
    own, other = made(feature), made(feature + "ways = { climb = true }\n")
    # The ways of the other job's program, in this job's name.
    head = re.search(r"\(digest: \w+\)", own.text)
    assert head is not None
    text = re.sub(r"\(digest: \w+\)", head.group(), other.text)
    report = prove_text(own.place, text, "edited", lambda _: None).report
    assert {each.code for each in report.findings if each.severity == "finding"} == {"climb"}
