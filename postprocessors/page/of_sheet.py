"""A sheet of handwheel readings as a page has it: groups of steps, dials, cutters."""

from __future__ import annotations

import math

from pathgen.moves.moves import AXES, Axis
from postprocessors.dials import steps
from postprocessors.dials.faces.cards import cards_of
from postprocessors.dials.faces.counted_from import counted_from
from postprocessors.dials.faces.text import (
    BY_READOUT,
    about_dial,
    figures_of,
    how_to_read,
    numbers_of,
    size_of,
    to_touch_off_with,
)
from postprocessors.dials.faces.words import label
from postprocessors.dials.steps import Sheet
from postprocessors.page.pages import Group, Stand

ONE_STEP = "One step is one handle, wound one way to one stop."
BY_DIAL = (
    (
        "How often 0 passes: the dial's 0 comes to the index line. The 0 on which you stop counts,"
        " the one on which you start does not."
    ),
    (
        "Total: whole turns (t) and divisions from the dial's zero. Turns below zero have a minus,"
        " and divisions count on from the turn."
    ),
)
BY_MILL = ("x, y, z: the same place in the part; lay a rule on the work to catch a lost turn.",)
BY_LATHE = (
    "z: the same place in the part, from the faced end, minus towards the chuck.",
    "diameter: twice how far the tool is from the axis, as a dial has it that shows diameters.",
)
CUTS = "CUT: this step cuts metal. All others are in the air."


def reading_of(sheet: Sheet) -> tuple[str, ...]:
    """Return how a step is read, by the dials and readouts that there are."""
    readouts = [bool(dial.readout) for dial in sheet.dials]
    *_, lost, _ = how_to_read(sheet)
    return (
        ONE_STEP,
        *(() if all(readouts) else BY_DIAL),
        *(BY_READOUT if any(readouts) else ()),
        *(BY_LATHE if sheet.lathe else (*counted_from(sheet), *BY_MILL)),
        CUTS,
        lost,
    )


def groups_of(sheet: Sheet) -> tuple[Group, ...]:
    """Return the steps under their headings; those with a cutter are numbered in order."""
    cards = cards_of(sheet)
    ends = [operation.first for operation in sheet.operations[1:]] + [len(cards) + 1]
    numbers = numbers_of(sheet)
    return tuple(
        Group(
            first=operation.first,
            heading=f"{numbers[operation]}{operation.title}",
            figures=figures_of(operation, sheet),
            why=operation.why,
            cards=cards[operation.first - 1 : end - 1],
        )
        for operation, end in zip(sheet.operations, ends, strict=True)
    )


def stands_of(sheet: Sheet) -> dict[int, Stand]:
    """Return where each step leaves the tool by the readings: x, y, z and its diameter, mm.

    What is not known, before a zero or after a handle was wound by eye, is nan.
    """
    place: dict[Axis, float] = dict.fromkeys(AXES, math.nan)
    diameter = 0.0
    stands: dict[int, Stand] = {}
    for step in sheet.steps:
        match step:
            case steps.WindStep():
                place[sheet.dial(step.slide).axis] = step.place
            case steps.TouchStep() if step.terms:
                place[sheet.dial(step.slide).axis] = sum(term.value for term in step.terms)
            case steps.ClearStep():
                place[sheet.dial(step.slide).axis] = math.nan
            case steps.FitStep() | steps.FitTouchingStep():
                place["z"], diameter = math.nan, step.diameter
            case _:
                pass
        stands[step.number] = (place["x"], place["y"], place["z"], diameter)
    return stands


def dials_of(sheet: Sheet) -> tuple[dict[str, str], ...]:
    """Return the table of the dials."""
    rows = []
    for dial in sheet.dials:
        turn, ways, slack = about_dial(dial, lathe=sheet.lathe)
        rows.append({"name": label(dial), "turn": turn, "ways": ways, "slack": slack})
    return tuple(rows)


def cutters_of(sheet: Sheet) -> tuple[tuple[str, str, str], ...]:
    """Return the table of what is laid out: number, name, size."""
    cutters = [(str(each.number), each.name, size_of(each, sheet)) for each in sheet.head.cutters]
    return (*cutters, *(("", name, what) for name, what in to_touch_off_with(sheet)))
