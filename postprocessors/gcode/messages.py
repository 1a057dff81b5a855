"""What a program shows at its stops, which is all that a person at the control sees of a record.

An action takes one stop, or several in a row, each with one thing to do. A message that is too long
for its line is carried on in the stop that follows: it then ends with ``...``, and the next begins
with it.
"""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.moves.actions import FitCutter, Measure, SetDiameter, Zero
from postprocessors.gcode import head
from postprocessors.gcode.comments import clean
from postprocessors.gcode.numbers import Grid
from postprocessors.gcode.rewrites import Setting
from postprocessors.gcode.tilting import AXIS, axis_messages

MORE = "..."
CENTRE = "centre"  # in place of a face: what an indicator is swung round


def fit_message(cutter: FitCutter) -> str:
    """Return which cutter to fit."""
    return f"Fit cutter {cutter.number}: {clean(cutter.name)}"


def measure_messages(measure: Measure, grid: Grid) -> tuple[str, ...]:
    """Return what to measure, and between which sizes to go on."""
    name = clean(measure.name)
    span = f"{grid.finely(measure.low)} to {grid.finely(measure.high)}"
    return (
        f"Measure {name}: {clean(measure.what)}",
        f"{name} should be {grid.finely(measure.expected)}, go on only from {span}",
    )


def setting_messages(setting: SetDiameter, grid: Grid) -> tuple[str, ...]:
    """Return how to touch with a boring head, or how far to turn its dial."""
    name, size = clean(setting.head), grid.finely(setting.diameter)
    if setting.touched:
        return (
            f"{name}: spindle off and turned by hand, dial out until the tool touches the wall",
            f"{name}: note what its dial shows, there it is set to {size}, as wide as the hole",
        )
    out = f"dial out {head.divisions(setting)} divisions, it then cuts {size}"
    if not setting.follows:
        return (f"{name}: {out}",)
    step, expected = grid.finely(setting.per_division), grid.finely(setting.expected)
    follows = clean(setting.follows)
    return (
        f"{name}: if {follows} is {expected}, {out}",
        f"For each {step} that {follows} is larger 1 division less, smaller 1 more",
    )


def zero_messages(zero: Zero, setting: Setting) -> tuple[str, ...]:
    """Return where to touch with what, how, and what the control is to read there.

    Raises:
        Refusal: it is no depth zero; the others are set before the program begins.
    """
    grid, touch = setting.grid, zero.touches[0]
    if touch.face == AXIS:
        return axis_messages(zero, grid)
    if zero.axis != "z" or len(zero.touches) > 1:
        raise setting.refuse(
            "", f"stop for the zero of {zero.axis}", "set it before the program begins"
        )
    near = ""
    if touch.over is not None:
        near = f", x {grid.spoken(touch.over[0])} y {grid.spoken(touch.over[1])}"
    until = (
        f"down on the {clean(touch.called)} until it nips the {grid.finely(touch.paper)} paper"
        if touch.paper
        else f"down until it just touches the {clean(touch.called)}"
    )
    return (
        f"Bring the {clean(touch.tool)} over whole metal{near}",
        f"Spindle off, {until}",
        f"Set z of G54, and z only, to read {grid.spoken(touch.at)} there",
    )


def in_line_messages(zero: Zero, grid: Grid) -> tuple[str, ...]:
    """Return how what a lathe's post holds is brought into line with its spindle."""
    touch = zero.touches[0]
    tool = clean(touch.tool)
    return (
        f"Jog {zero.axis} until an indicator in the chuck reads alike round the {tool}",
        f"Set {zero.axis} of G54, and {zero.axis} only, to read {grid.spoken(touch.at)} there",
    )


def pieces(message: str, room: int) -> Iterator[str]:
    """Yield a message in pieces of at most so many characters, each but the last to be carried on.

    Raises:
        ValueError: a word alone is too long.

    >>> list(pieces("Measure M1: width of the stud slot", 24))
    ['Measure M1: width of ...', '... the stud slot']
    """
    before, rest = "", message
    while len(before + rest) > room:
        at = rest.rfind(" ", 0, room - len(before) - len(MORE))
        if at <= 0:
            raise ValueError(f"{rest!r} does not go into {room} characters")
        yield f"{before}{rest[:at]} {MORE}"
        before, rest = f"{MORE} ", rest[at + 1 :]
    yield before + rest
