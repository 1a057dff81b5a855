"""The sums of a sheet that follow a found value, with blanks to fill in."""

from __future__ import annotations

import math

from pathgen import INCH
from pathgen.input.units import in_units
from postprocessors.dials.faces import figures
from postprocessors.dials.faces.words import times
from postprocessors.dials.steps import (
    Correction,
    Dial,
    Noted,
    Sheet,
    TouchStep,
    WindStep,
)

BASE_DECIMALS = 2  # of the figure that a sum starts from
WHOLE = 1e-6  # of a judged part: how far a figure that is whole may be off by floats


def rule_lines(step: WindStep, sheet: Sheet) -> list[str]:
    """Return the sum that gives the figure of a wind from what was found."""
    if step.rule is None:
        return []
    rule, dial = step.rule, sheet.dial(step.slide)
    turn = dial.counts_per_turn
    start = figures.fixed((rule.base % turn) * dial.judged, BASE_DECIMALS)
    noted = next(
        (
            each.note
            for each in sheet.steps
            if isinstance(each, TouchStep) and each.note and each.note.name == rule.measure
        ),
        None,
    )
    difference = _of_size(rule, dial, sheet) if noted is None else _of_reading(rule, dial, noted)
    nearest = f"to the nearest {dial.judged:g}"
    lines = [difference, f"{start} + ________ = ________ , {nearest}: stop the dial there"]
    low, high = sorted(rule.per_mm * (end - rule.expected) for end in (rule.low, rule.high))
    if not 0 <= rule.base % turn + low <= rule.base % turn + high < turn - 0.5:
        whole = f"{dial.divisions:g}"
        lines.append(f"({whole} or more: take {whole} off; below 0: add {whole})")
    expected = figures.figure(dial, step.dial)
    total = f"{step.reading // turn} t {expected}"
    lines.append(
        f"with {rule.measure} just as expected: {expected} (total {total},"
        f" {figures.shown_place(dial, step.place)} {dial.units})"
    )
    return lines


def passes_lines(step: WindStep, sheet: Sheet) -> list[str]:
    """Return how the count of passes follows what was found, if it does."""
    if not step.passes_from:
        return []
    dial = sheet.dial(step.slide)
    first, *others = step.passes_from
    parts = [f"0 passes {times(first.passes)}"]
    parts += [f"{times(each.passes)} if {_at(each.found, step, dial, sheet)}" for each in others]
    return ["; ".join(parts)]


def _of_size(rule: Correction, dial: Dial, sheet: Sheet) -> str:
    """Return the difference of a found size, in divisions."""
    units = sheet.units
    scale = rule.per_mm * dial.judged * (INCH if units == "in" else 1.0)
    expected = figures.fixed(in_units(rule.expected, units), figures.SUM_DECIMALS[units])
    return (
        f"{rule.measure} found ________ - {expected} = ________ {units} ;"
        f" x {figures.fixed(scale, BASE_DECIMALS)} = ________ divisions"
    )


def _of_reading(rule: Correction, dial: Dial, noted: Noted) -> str:
    """Return the difference of a noted reading, in divisions."""
    turn = dial.counts_per_turn
    counts = round(noted.expected / dial.count)
    shown = figures.fixed((noted.expected / dial.count % turn) * dial.judged, BASE_DECIMALS)
    return (
        f"{rule.measure}: how far its figure is above {shown} of turn {counts // turn} (minus:"
        f" below) ________ ; x {figures.fixed(rule.per_mm * dial.count, 1)} = ________ divisions"
    )


def _at(found: float, step: WindStep, dial: Dial, sheet: Sheet) -> str:
    """Return from which found value on a count holds."""
    noted = {
        each.note.name: each.note
        for each in sheet.steps
        if isinstance(each, TouchStep) and each.note
    }
    if step.measure in noted:
        # A noted figure is a whole count: the first that is not below, and never the one before.
        counts = math.ceil(found / dial.count - WHOLE)
        turn = dial.counts_per_turn
        shown = figures.figure(dial, counts % turn)
        return f"{step.measure} is {counts // turn} t {shown} or more"
    units = sheet.units
    return f"{step.measure} is {figures.size(found, units)} or more"
