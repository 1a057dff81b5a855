"""The sums of a sheet that follow a found value, with blanks to fill in."""

from __future__ import annotations

from postprocessors.dials.faces import figures
from postprocessors.dials.faces.paper_sum import (
    PaperSum,
    Unit,
    in_divisions,
    in_lengths,
    paper_sum,
)
from postprocessors.dials.faces.words import times
from postprocessors.dials.steps import Dial, SetDialStep, Sheet, TouchStep, WindStep


def rule_lines(step: WindStep | SetDialStep, sheet: Sheet) -> list[str]:
    """Return the sum that gives the figure of a wind, or of a dial, from what was found."""
    if step.rule is None:
        return []
    rule, dial = step.rule, sheet.dial(step.slide)
    unit = _unit_of(rule.measure, dial, sheet)
    total = paper_sum(rule, dial, unit)
    start = figures.fixed(total.start, total.start_decimals)
    nearest = f"to the nearest {dial.judged:g}"
    doing = "set" if isinstance(step, SetDialStep) else "stop"
    lines = [
        _difference(step, total, dial, sheet),
        f"{start} + ________ = ________ , {nearest}: {doing} the dial there",
    ]
    results = [total.reading(each) - total.turn for each in unit.between(rule.low, rule.high)]
    if not 0 <= min(results) <= max(results) < dial.counts_per_turn:
        whole = f"{dial.divisions:g}"
        lines.append(f"({whole} or more: take {whole} off; below 0: add {whole})")
    expected = figures.figure(dial, step.dial)
    if isinstance(step, SetDialStep):
        return [*lines, f"with {rule.measure} just as expected: {expected}, of turn {step.turn}"]
    turns = f"{step.reading // dial.counts_per_turn} t {expected}"
    lines.append(
        f"with {rule.measure} just as expected: {expected} (total {turns},"
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


def _unit_of(measure: str, dial: Dial, sheet: Sheet) -> Unit:
    """Return how the value of a quantity is written: noted off the dial, or measured."""
    noted = {each.note.name for each in sheet.steps if isinstance(each, TouchStep) and each.note}
    return in_divisions(dial) if measure in noted else in_lengths(sheet.units)


def _difference(step: WindStep | SetDialStep, total: PaperSum, dial: Dial, sheet: Sheet) -> str:
    """Return the difference from what was expected, in divisions."""
    assert step.rule is not None
    name = step.rule.measure
    factor = figures.fixed(total.factor, total.factor_decimals)
    if _unit_of(name, dial, sheet) == in_divisions(dial):
        turns, parts = divmod(round(total.expected / dial.judged), dial.counts_per_turn)
        return (
            f"{name}: how far its figure is above {figures.figure(dial, parts)} of turn {turns}"
            f" (minus: below) ________ ; x {factor} = ________ divisions"
        )
    units = sheet.units
    expected = figures.fixed(total.expected, figures.SUM_DECIMALS[units])
    return (
        f"{name} found ________ - {expected} = ________ {units} ; x {factor} = ________ divisions"
    )


def _at(found: float, step: WindStep, dial: Dial, sheet: Sheet) -> str:
    """Return from which written value on a count holds: the first that is not below the edge."""
    unit = _unit_of(step.measure, dial, sheet)
    first = unit.first_from(found)
    if unit == in_divisions(dial):
        turns, parts = divmod(round(first / dial.judged), dial.counts_per_turn)
        return f"{step.measure} is {turns} t {figures.figure(dial, parts)} or more"
    decimals = figures.SUM_DECIMALS[sheet.units]
    return f"{step.measure} is {figures.fixed(first, decimals)} {sheet.units} or more"
