"""Machines and plans for the tests of the handwheel sheets, made without any file; mm."""

from __future__ import annotations

from typing import Any

from pathgen.input.where import Where
from pathgen.moves.actions import FitCutter, Touch, Zero
from pathgen.moves.moves import Axis, How
from pathgen.moves.plan import Head, HeadCutter, Item, Pass, PlannedSetup, Point3
from pathgen.shop.machines import Machine
from pathgen.shop.machines import Spindle as Speeds
from pathgen.shop.slides import Slide
from postprocessors.dials.steps import Sheet, WindStep

HERE = Where("mill.toml", 1, "")
NAN = float("nan")
DRILL = HeadCutter(number=1, name="3 mm drill", diameter=3.0)
MILL = HeadCutter(number=2, name="5 mm slot drill", diameter=5.0)
SIZE = How(makes="size")
STOP = How(makes="stop")

INCH: dict[str, Any] = {"per_turn": 2.54, "divisions": 100, "dial_units": "in"}
METRIC_4: dict[str, Any] = {"per_turn": 4.0, "divisions": 80}
METRIC_2: dict[str, Any] = {"per_turn": 2.0, "divisions": 100}
SIXTEENTH: dict[str, Any] = {"per_turn": 25.4 / 16, "divisions": 62.5, "dial_units": "in"}


def slide(axis: Axis, **changes: Any) -> Slide:
    """Return a slide of 2 mm a turn with 100 divisions, its slack 0.2 mm."""
    names: dict[Axis, str] = {"x": "table", "y": "cross slide", "z": "down feed"}
    values: dict[str, Any] = {
        "name": names[axis],
        "axis": axis,
        "travel": 300.0,
        "judged": 0.5,
        "plus": "anticlockwise" if axis == "z" else "clockwise",
        "rising": "clockwise",
        "slack": 0.2,
        "slack_spread": 0.05,
        "where": HERE,
    }
    return Slide(**(values | METRIC_2 | changes))


def machine(*slides: Slide) -> Machine:
    """Return a mill with the given slides, and plain ones for the other axes."""
    by_axis = {each.axis: each for each in (slide("x"), slide("y"), slide("z"), *slides)}
    return Machine(
        name="mill",
        title="mill with handles",
        rigidity="medium",
        spindle=Speeds(lowest=100.0, highest=3000.0),
        travel=(300.0, 300.0, 300.0),
        slides=tuple(by_axis.values()),
        where=HERE,
    )


def touch(face: str, towards: int, at: float, radius: float = 0.0, paper: float = 0.0) -> Touch:
    """Return a touch with a plain cutter."""
    return Touch(face=face, towards=towards, tool="3 mm cutter", radius=radius, paper=paper, at=at)


def zero_at(axis: Axis, towards: int = 1, at: float = 0.0, reads: float | None = None) -> Zero:
    """Return a zero found by one touch of a tool of 3 mm."""
    face = {"x": "left", "y": "front", "z": "top"}[axis]
    radius = 0.0 if axis == "z" else 1.5
    only = touch(face, towards, at, radius=radius)
    return Zero(axis=axis, touches=(only,), uncertainty=0.01, dial_reads=reads)


BEFORE: tuple[Item, ...] = (zero_at("x"), zero_at("y"))
CUTTER: tuple[Item, ...] = (
    FitCutter(number=1, name=DRILL.name, diameter=DRILL.diameter),
    zero_at("z", towards=-1),
)


def planned(
    *items: Item,
    before: tuple[Item, ...] = BEFORE,
    cutter: tuple[Item, ...] = CUTTER,
    sides: tuple[tuple[Axis, int], ...] = (("x", 1), ("y", 1), ("z", -1)),
) -> PlannedSetup:
    """Return a setup with one pass of the given items."""
    return PlannedSetup(
        head=Head(
            title="Fence bar of the nipping press",
            digest="d1",
            setup="slot",
            machine="mill",
            cutters=(DRILL, MILL),
            crib="drawer beside the mill",
        ),
        origin=Point3(0.0, 0.0, 0.0),
        clear=5.0,
        sides=sides,
        before=before,
        passes=(
            Pass(
                purpose="rough",
                feature="slot",
                cutter=DRILL,
                rpm=1000.0,
                feed=60.0,
                why="to be tried",
                items=(*cutter, *items),
            ),
        ),
    )


def winds(sheet: Sheet, name: str) -> list[WindStep]:
    """Return the winds of one slide."""
    return [each for each in sheet.steps if isinstance(each, WindStep) and each.slide == name]
