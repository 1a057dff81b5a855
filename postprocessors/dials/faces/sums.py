"""The sums of a sheet that follow a found value, with blanks to fill in."""

from __future__ import annotations

from pathgen.input.units import in_units
from postprocessors.dials.faces import figures
from postprocessors.dials.faces.paper_sum import (
    PaperSum,
    Unit,
    as_read,
    in_lengths,
    paper_sum,
)
from postprocessors.dials.faces.words import times
from postprocessors.dials.steps import Correction, Dial, SetDialStep, Sheet, TouchStep, WindStep

HAIR = 500  # parts of a step, within which a figure is the same
NEARLY = 1e-6  # of a ratio


def rule_lines(step: WindStep | SetDialStep, sheet: Sheet) -> list[str]:
    """Return the sum that gives the figure of a wind, or of a dial, from what was found."""
    if step.rule is None:
        return []
    rule, dial = step.rule, sheet.dial(step.slide)
    if isinstance(step, SetDialStep) and _is_itself(rule, dial, sheet):
        nearest = f"to the nearest {dial.shown:g} (just between two: the higher one)"
        expected = figures.figure(dial, step.dial)
        return [
            f"the figure is {rule.measure} itself, {nearest}",
            f"with {rule.measure} just as expected: {expected}",
        ]
    unit = _unit_of(rule.measure, dial, sheet)
    total = paper_sum(rule, dial, unit)
    start = figures.fixed(total.start, total.start_decimals)
    nearest = f"to the nearest {dial.shown:g}"
    stop = "wind on until the readout shows that" if dial.readout else "stop the dial there"
    if isinstance(step, SetDialStep):
        stop = "set the dial there"
    lines = [
        _difference(step, total, dial, sheet),
        f"{start} + ________ = ________ , {nearest}: {stop}",
    ]
    results = [total.reading(each) - total.turn for each in unit.between(rule.low, rule.high)]
    if not dial.readout and not 0 <= min(results) <= max(results) < dial.counts_per_turn:
        whole = f"{dial.divisions:g}"
        lines.append(f"({whole} or more: take {whole} off; below 0: add {whole})")
    expected = figures.figure(dial, step.dial)
    if isinstance(step, SetDialStep):
        turn = "" if dial.readout else f", of turn {step.turn}"
        return [*lines, f"with {rule.measure} just as expected: {expected}{turn}"]
    total_of_it = "" if dial.readout else f"total {figures.whole_figure(dial, step.reading)}, "
    lines.append(
        f"with {rule.measure} just as expected: {expected} ({total_of_it}"
        f"{figures.shown_place(dial, step.place)} {dial.units})"
    )
    return lines


def _is_itself(rule: Correction, dial: Dial, sheet: Sheet) -> bool:
    """Return whether a readout is set to the very figure that is measured."""
    if not dial.readout or sheet.units != dial.units or _is_noted(rule.measure, sheet):
        return False
    shown = rule.base * dial.shown
    at_expected = abs(shown - in_units(rule.expected, dial.units)) < dial.shown / HAIR
    return at_expected and abs(rule.per_mm * dial.shown / in_units(1.0, dial.units) - 1) < NEARLY


def readout_lines(step: SetDialStep, sheet: Sheet) -> list[str]:
    """Return how the figure of a readout follows: half of what was noted, or what was measured."""
    if step.rule is None:
        return []
    if not _is_noted(step.rule.measure, sheet):
        return rule_lines(step, sheet)
    dial = sheet.dial(step.slide)
    name, expected = step.rule.measure, figures.figure(dial, step.dial)
    half = (
        f"half of {name}: ________ / 2 = ________ , to the nearest {dial.shown:g} (just between"
        " two: the higher one): key that in"
    )
    return [half, f"with {name} just as expected: {expected}"]


def passes_lines(step: WindStep, sheet: Sheet) -> list[str]:
    """Return how the count of passes follows what was found, if it does."""
    if not step.passes_from:
        return []
    dial = sheet.dial(step.slide)
    first, *others = step.passes_from
    edges = [_at(each.found, step, dial, sheet) for each in others]
    below = f" if {step.measure} is below {edges[0]}" if edges else ""
    parts = [f"0 passes {times(first.passes)}{below}"]
    parts += [
        f"{times(each.passes)} if {step.measure} is {edge} or more"
        for each, edge in zip(others, edges, strict=True)
    ]
    return ["; ".join(parts)]


def _unit_of(measure: str, dial: Dial, sheet: Sheet) -> Unit:
    """Return how the value of a quantity is written: noted off the dial, or measured."""
    return as_read(dial) if _is_noted(measure, sheet) else in_lengths(sheet.units)


def _is_noted(measure: str, sheet: Sheet) -> bool:
    """Return whether a quantity is a reading that is noted at a touch."""
    return any(
        isinstance(each, TouchStep) and each.note is not None and each.note.name == measure
        for each in sheet.steps
    )


def _difference(step: WindStep | SetDialStep, total: PaperSum, dial: Dial, sheet: Sheet) -> str:
    """Return the difference from what was expected, in the figures that are read."""
    assert step.rule is not None
    name = step.rule.measure
    factor = figures.fixed(total.factor, total.factor_decimals)
    read_in = figures.unit_of_figures(dial)
    if _is_noted(name, sheet):
        turns, parts = dial.split(round(total.expected / dial.shown))
        return (
            f"{name}: how far its figure is above {figures.figure(dial, parts)}"
            f"{'' if dial.readout else f' of turn {turns}'}"
            f" (minus: below) ________ ; x {factor} = ________ {read_in}"
        )
    units = sheet.units
    expected = figures.fixed(total.expected, figures.SUM_DECIMALS[units])
    return (
        f"{name} found ________ - {expected} = ________ {units} ; x {factor} = ________ {read_in}"
    )


def _at(found: float, step: WindStep, dial: Dial, sheet: Sheet) -> str:
    """Return from which written value on a count holds: the first that is not below the edge."""
    unit = _unit_of(step.measure, dial, sheet)
    first = unit.first_from(found)
    if _is_noted(step.measure, sheet):
        turns, parts = dial.split(round(first / dial.shown))
        return f"{turns} t {figures.figure(dial, parts)}"
    decimals = figures.SUM_DECIMALS[sheet.units]
    return f"{figures.fixed(first, decimals)} {sheet.units}"
