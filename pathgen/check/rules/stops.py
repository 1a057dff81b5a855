"""What hands need where they come near: a spindle that stands, and a first move straight up."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from math import isnan

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.metal.sweeps import SAME
from pathgen.moves.actions import (
    Clamp,
    Coolant,
    FitCutter,
    FitTouching,
    Measure,
    Pause,
    SetDiameter,
    SetHeight,
    Spindle,
    Zero,
)
from pathgen.moves.moves import Arc, Drill, Feed, Rapid, end_of
from pathgen.moves.plan import Item

MOVES = Rapid | Feed | Arc | Drill


def stop_findings(context: Context) -> Iterator[Finding]:
    """Yield hands near a turning spindle, what still runs at the end, and ways on from a stop."""
    yield from _hands(context)
    yield from _at_the_end(context)
    if context.run.where == "line":  # a sheet is wound one handle at a time
        yield from _ways_on(context)


def _hands(context: Context) -> Iterator[Finding]:
    """Yield what a person does at the spindle while it turns."""
    rpm = 0.0
    for _, item, number in context.actions:
        rpm = item.rpm if isinstance(item, Spindle) else rpm
        doing = _doing(item)
        if doing and rpm > 0:
            yield context.finding_by(
                "spindle", f"{doing} while the spindle turns", number, "stop the spindle first"
            )


def _doing(item: Item) -> str:
    """Return what a person does at the work or the spindle at an item; empty for nothing."""
    match item:
        case FitCutter():
            doing = "a cutter is changed"
        case FitTouching():
            doing = f"the {item.name} is put in"
        case SetDiameter():
            doing = f"the {item.head} is set"
        case Measure():
            doing = "work is measured"
        case Clamp():
            doing = "the blank is clamped"
        case Pause():
            doing = "the work stops for a person"
        case Zero() if item.axis == "z":
            doing = "the top face is touched"
        case _:
            doing = ""
    return doing


def _at_the_end(context: Context) -> Iterator[Finding]:
    """Yield what still runs when all is done, and chips are brushed away."""
    rpm, fluid = 0.0, "off"
    for _, item, _ in context.actions:
        rpm = item.rpm if isinstance(item, Spindle) else rpm
        fluid = item.kind if isinstance(item, Coolant) else fluid
    last = context.run.numbers[-1] if context.run.numbers else None
    if rpm > 0:
        yield context.finding_by(
            "spindle", "the spindle still turns at the end", last, "stop it before the last words"
        )
    if fluid != "off":
        yield context.finding_by(
            "coolant", "the cutting fluid still runs at the end", last, "turn it off"
        )


def _ways_on(context: Context) -> Iterator[Finding]:
    """Yield first moves after a change of cutter or a depth zero that do not go straight up.

    A person may have left the spindle anywhere, and the cutter is longer or shorter than the last.
    """
    highest = max([context.box[1][2], *(each.high[2] for each in context.setup.hold.keepouts)])
    for index in sorted(set(_first_moves(context))):
        move = context.run.items[index]
        assert isinstance(move, MOVES), "it was looked for as one"
        at = _left_at(context, index)
        x, y, z = end_of(move)
        stays = (isnan(x) or _same(at, 0, x)) and (isnan(y) or _same(at, 1, y))
        if not (isinstance(move, Rapid) and stays and z > highest + SAME):
            yield context.finding_by(
                "way on",
                "the first move after a stop does not go straight up, clear of all",
                context.run.numbers[index],
                f"go to a height above {highest:.2f} mm first, in z alone",
            )


def _first_moves(context: Context) -> Iterator[int]:
    """Yield which item is the first move after each change of cutter, of height, or depth zero."""
    items = context.run.items
    for index, item, _ in context.actions:
        if isinstance(item, FitCutter | SetHeight) or (isinstance(item, Zero) and item.axis == "z"):
            after = range(index + 1, len(items))
            yield from islice((row for row in after if isinstance(items[row], MOVES)), 1)


def _left_at(context: Context, index: int) -> tuple[float, float] | None:
    """Return where the move before an item was to, in plan; None where there is none."""
    items = context.run.items
    before = (items[row] for row in range(index - 1, -1, -1))
    move = next((item for item in before if isinstance(item, MOVES)), None)
    return None if move is None else end_of(move)[:2]


def _same(at: tuple[float, float] | None, axis: int, to: float) -> bool:
    """Return whether a coordinate is the one before."""
    return at is not None and abs(at[axis] - to) <= SAME
