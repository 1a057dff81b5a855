"""Walls that are left too thin to stand are told of, with their thickness and height."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pathgen.check.findings import Finding
from tests.builders import SLOT_DRILL, checked, fit, job, run, setup, size, slot, to_and_fro


def thin(across: float, depth: float, thinnest: float | None = None) -> list[Finding]:
    """Return what is told of the wall between two slots of 6 mm, so far from middle to middle."""
    slots = [
        slot(name, centre_line=y, across=size(y, 0.1), depth=size(depth, 0.1))
        for name, y in (("near", 0.0), ("far", across))
    ]
    depths = [-depth] if depth <= 1.5 else [-1.5, -depth]
    items = [*to_and_fro(depths), *to_and_fro(depths, y=across)]
    place = setup(*slots)
    asked = replace(job(place), thinnest_wall=thinnest)
    report = checked(run(*fit(SLOT_DRILL), *items), place, job=asked)
    return [each for each in report.findings if each.code == "thin"]


@pytest.mark.parametrize(("across", "wall"), [(6.3, 0.3), (6.6, 0.6)])
def test_a_thin_wall_between_two_slots_is_told(across: float, wall: float) -> None:
    (found,) = thin(across, 3.0)
    assert found.severity == "caution"
    # Its ends widen round the slots' ends, up to 0.8 mm, so it is a little more on average.
    assert found.amount == pytest.approx(0.8 - wall, abs=0.06)
    assert "3.00 mm tall" in found.what


def test_a_wall_thick_enough_is_not() -> None:
    assert thin(6.9, 3.0) == []


@pytest.mark.parametrize(("across", "found"), [(7.4, True), (7.6, False)])
def test_a_job_may_ask_for_thicker_walls_and_a_thinner_one_is_then_a_finding(
    across: float, found: bool
) -> None:
    told = thin(across, 3.0, thinnest=1.5)
    assert [each.severity for each in told] == (["finding"] if found else [])
    if found:
        assert "where 1.50 mm is the least that the job allows" in told[0].what


def test_a_job_may_let_thinner_walls_stand() -> None:
    assert thin(6.6, 3.0, thinnest=0.5) == []


def test_a_wall_lower_than_it_is_thick_stands() -> None:
    assert thin(6.6, 0.5) == []


def test_a_wall_to_the_blank_edge_is_told() -> None:
    # The bar is 40 wide about y 0: a slot whose wall lies 0.4 from its back.
    edge = slot("edge", centre_line=16.6, across=size(16.6, 0.1), depth=size(3.0, 0.1))
    items = to_and_fro([-1.5, -3.0], y=16.6)
    report = checked(run(*fit(SLOT_DRILL), *items), setup(edge))
    (found,) = (each for each in report.findings if each.code == "thin")
    assert found.amount == pytest.approx(0.4, abs=0.08)
