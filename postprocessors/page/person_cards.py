"""What a person does before a program and at its stops, as cards: in the words of the trade."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.input.units import Units
from pathgen.moves.actions import (
    Clamp,
    FitCutter,
    FitTouching,
    Measure,
    Note,
    Pause,
    SetDiameter,
    Touch,
    Zero,
)
from pathgen.moves.plan import Item
from postprocessors.dials.faces import figures
from postprocessors.dials.faces.cards import Asked, Card


def person_card(item: Item, units: Units, said: tuple[str, ...] = ()) -> Card:
    """Return the card of what a person does, numbered later.

    Args:
        item: what is done.
        units: those that the machine speaks.
        said: what is told of the control beside it.
    """
    loud, title, lines = _words(item, units)
    asked = None
    if isinstance(item, Measure):
        asked = Asked(
            name=item.name,
            what=item.what,
            expected=item.expected,
            low=item.low,
            high=item.high,
            units=units,
            advice=item.advice,
        )
    return Card(
        number=0,
        kind=type(item).__name__.lower(),
        loud=loud,
        title=title,
        lines=(*lines, *said),
        caution=isinstance(item, Note) and item.caution,
        axis=item.axis if isinstance(item, Zero) else None,
        asked=asked,
    )


def _words(item: Item, units: Units) -> tuple[str, str, tuple[str, ...]]:
    """Return what is to be done in a word or two, the rest of it, and what stands below."""
    said: tuple[str, str, tuple[str, ...]] = ("STOP", "do what the control shows", ())
    match item:
        case Clamp():
            said = "CLAMP", "", tuple(f"- {line}" for line in item.lines)
        case Note():
            said = "CAUTION" if item.caution else "", item.text, ()
        case FitTouching() | FitCutter():
            said = "FIT", _fitted(item, units), ("spindle stopped",)
        case Measure():
            said = "MEASURE", f"{item.name}: {item.what}, spindle stopped", _band(item, units)
        case SetDiameter():
            said = "SET HEAD", item.head, ("spindle stopped",)
        case Zero():
            said = f"ZERO {item.axis.upper()}", item.why, tuple(_of_zero(item, units))
        case Pause():
            said = "STOP", item.reason, ()
        case _:
            pass
    return said


def _fitted(item: FitTouching | FitCutter, units: Units) -> str:
    """Return what is put into the spindle."""
    size = f", measured {figures.both_sizes(item.diameter, units)}" if item.diameter else ""
    if isinstance(item, FitCutter):
        return f"cutter {item.number}: {item.name}{size}"
    return f"the {item.name} to touch off with{size or ', to be swung'}"


def _band(item: Measure, units: Units) -> tuple[str, ...]:
    """Return what a measurement should be and within what the work goes on."""
    low, high = figures.size(item.low, units), figures.size(item.high, units)
    return (
        f"should be {figures.both_sizes(item.expected, units)}",
        f"go on only from {low} to {high}",
        *((f"else: {item.advice}",) if item.advice else ()),
    )


def _of_zero(item: Zero, units: Units) -> Iterator[str]:
    """Yield how a zero is found and set on a control, touch by touch with its sum."""
    axis = item.axis
    for touch in item.touches:
        yield _of_touch(touch)
        yield f"there {axis} = {figures.summed(touch.terms, units)}" if touch.terms else ""
    if len(item.touches) == 1:
        yield f"set {axis} of G54 to read {figures.size(item.touches[0].at, units)} there"
        return
    middle = sum(touch.at for touch in item.touches) / 2
    yield (
        f"add what the control reads for {axis} at the two touches and halve it: go there, and set"
        f" {axis} of G54 to read {figures.size(middle, units)}"
    )


def _of_touch(touch: Touch) -> str:
    """Return how a face is touched."""
    of = f" of {touch.of}" if touch.of else ""
    tool = touch.tool if touch.tool.startswith("the ") else f"the {touch.tool}"
    running = f"spindle at {touch.rpm:g} rev/min" if touch.rpm else "spindle off, turned by hand"
    until = "until it nips the paper" if touch.paper else "until it just touches"
    return f"touch the {touch.called}{of} with {tool}, {running}, {until}"
