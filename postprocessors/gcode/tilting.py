"""What tilts and turns beside the axes of a control: the records of it, and what its stops show."""

from __future__ import annotations

from typing import TypeAlias, assert_never

from pathgen.moves.actions import SetAngle, SetSweep, Zero
from pathgen.moves.moves import TurnWork
from postprocessors.gcode.comments import clean
from postprocessors.gcode.numbers import Grid

WHOLE = 360.0
AXIS = "axis"  # in place of a face: the point of a fly cutter stands on the work's own axis
Tilting: TypeAlias = SetAngle | SetSweep | TurnWork


def tilting_text(item: Tilting, grid: Grid) -> str:
    """Return the record of what is tilted, set to a sweep, or turned."""
    match item:
        case SetAngle():
            return (
                f"tilt {item.angle_deg:g} deg to the {item.towards}, within"
                f" {item.uncertainty_deg:g} deg: {clean(item.part)}"
            )
        case SetSweep():
            return (
                f"sweep of cutter {item.cutter}: {grid.finely(item.sweep)} over"
                f" {grid.finely(item.over)}, looks {item.looks}, within"
                f" {grid.finely(item.uncertainty)}"
            )
        case TurnWork():
            how = "cutting" if item.cuts else "clear"
            return (
                f"turn work from {item.start_deg:g} to {item.end_deg:g} deg, {item.rate:.1f} deg a"
                f" minute, {how}: {clean(item.by)}"
            )
        case _:
            assert_never(item)


def tilting_message(item: Tilting, grid: Grid) -> str:
    """Return what the stop shows."""
    match item:
        case SetAngle():
            return f"Tilt {item.angle_deg:g} deg to the {item.towards}: {clean(item.part)}"
        case SetSweep():
            over = grid.finely(item.over)
            return f"Cutter {item.cutter}: sweep {grid.finely(item.sweep)}, over all {over}"
        case TurnWork():
            runs = "spindle on" if item.cuts else "spindle off"
            turn = f"from {item.start_deg:g} to {item.end_deg:g} deg"
            return f"Turn the work {turn}, {runs}, {item.rate:.1f} deg a minute"
        case _:
            assert_never(item)


def axis_messages(zero: Zero, grid: Grid) -> tuple[str, str]:
    """Return how the work's own axis is found by the point of a fly cutter."""
    at = grid.spoken(zero.touches[0].at)
    return (
        "Spindle off, face blued: the point at its foot marks a dot and no ring",
        f"Set {zero.axis} of G54, and {zero.axis} only, to read {at} there",
    )
