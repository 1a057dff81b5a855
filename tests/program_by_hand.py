"""Setups of one pass with one cutter, and controls, for tests that write programs; mm."""

from dataclasses import replace
from typing import Any

from pathgen.moves.actions import FitCutter
from pathgen.moves.moves import Rapid
from pathgen.moves.plan import Head, HeadCutter, Item, Pass, PlannedSetup, Point3
from pathgen.shop.machines import Control
from postprocessors.gcode.writer import write_program
from tests.program_plans import machine

MILL = HeadCutter(number=1, name="6 mm end mill", diameter=5.98)
FULL = Control(
    units="mm",
    decimals=3,
    cycles=("G81", "G82", "G83"),
    tool_change=True,
    tool_length=True,
    coolant=("flood",),
)
BARE = Control(units="mm", decimals=3, spindle_speed=False)
OVER = Rapid(10, 5, 20)


def control(base: Control = FULL, **changes: Any) -> Control:
    """Return a control that differs in what is given."""
    return replace(base, **changes)


def planned(*items: Item, before: tuple[Item, ...] = (), title: str = "seat") -> PlannedSetup:
    """Return a setup of one pass with its cutter fitted."""
    fit = FitCutter(number=1, name=MILL.name, diameter=MILL.diameter)
    one = Pass(
        purpose="rough",
        feature="seat",
        cutter=MILL,
        rpm=900,
        feed=80,
        why="opens it",
        items=(fit, *items),
    )
    head = Head(title=title, digest="4f1c", setup="top", machine="mill", cutters=(MILL,))
    return PlannedSetup(
        head=head, origin=Point3(0, 0, 0), clear=20, sides=(), before=before, passes=(one,)
    )


def written(*items: Item, told: Control = FULL) -> list[str]:
    """Return the lines from the fitting of the cutter to the last stop of the spindle."""
    lines = write_program(planned(*items), machine(told)).splitlines()
    first = next(n for n, line in enumerate(lines) if line.startswith("(-- rough"))
    return lines[first + 1 : max(n for n, line in enumerate(lines) if line.startswith("M5"))]
