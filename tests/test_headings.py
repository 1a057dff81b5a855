"""Headings of a sheet against the steps under them: whose speed they tell."""

from __future__ import annotations

import pytest

from pathgen.moves.plan import Head, HeadCutter
from postprocessors.dials import steps
from postprocessors.dials.headings import compare_headings


def sheet(*rows: steps.Step) -> steps.Sheet:
    """Return a sheet with steps under one heading, of cutter 1 at 480 rev/min."""
    down = steps.Dial(
        slide="down feed",
        axis="z",
        units="mm",
        per_turn=2.0,
        divisions=100,
        judged=0.5,
        plus="anticlockwise",
        rising="clockwise",
        diameter_reading=False,
        resettable=True,
        slack=0.2,
        slack_spread=0.0,
        lock=True,
        side=-1,
    )
    cutters = (HeadCutter(number=1, name="16 mm drill", diameter=16.0),)
    head = Head(title="cheek", digest="", setup="bore", machine="mill", cutters=cutters)
    heading = steps.Operation(first=1, title="drill: seat", cutter=1, rpm=480.0)
    return steps.Sheet(
        head=head, units="mm", clear=4.0, dials=(down,), operations=(heading,), steps=rows
    )


def rows(finder: float, drill: float) -> tuple[steps.Step, ...]:
    """Return steps that find a zero anew at one speed, then run a cutter at another."""
    return (
        steps.FitTouchingStep(number=1, name="edge finder", diameter=10.0),
        steps.SpindleStep(number=2, rpm=finder),
        steps.SpindleStep(number=3, rpm=0.0),
        steps.FitStep(number=4, cutter=1, name="16 mm drill", diameter=16.0),
        steps.SpindleStep(number=5, rpm=drill),
    )


def test_an_edge_finder_put_in_between_has_a_speed_of_its_own() -> None:
    assert compare_headings(sheet(*rows(750.0, 480.0))) == ()


@pytest.mark.parametrize("drill", [340.0, 750.0])
def test_the_cutter_runs_at_the_speed_of_its_heading(drill: float) -> None:
    (trouble,) = compare_headings(sheet(*rows(750.0, drill)))
    assert trouble.number == 5
    assert f"says 480 rev/min, the spindle runs at {drill:g}" in trouble.what
