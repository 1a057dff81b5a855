"""Whether what follows a found value hangs together: what is noted or measured, rules, counts."""

from __future__ import annotations

import math
from typing import TypeAlias

from pathgen.input.where import Faults, Where
from postprocessors.dials import steps
from postprocessors.dials.readings import nearest_count
from postprocessors.dials.steps import Correction, Dial, Sheet

Found: TypeAlias = steps.MeasureStep | steps.Noted
ALIKE = 1e-6  # figures that are worked out alike agree to this


def guard_following(sheet: Sheet, where: Where, faults: Faults) -> None:
    """Record rules and counts that contradict what they follow, or the reading beside them."""
    known: dict[str, Found] = {}
    dials = {dial.slide: dial for dial in sheet.dials}
    for step in sheet.steps:
        place = where.at(f"step {step.number}")
        match step:
            case steps.MeasureStep():
                known[step.name] = step
            case steps.TouchStep(note=steps.Noted() as note) if step.slide in dials:
                _guard_noted(step, note, dials[step.slide], (place, faults))
                known[note.name] = note
            case steps.WindStep() if step.slide in dials:
                _guard_wind(step, known, dials[step.slide], (place, faults))
            case steps.SetDialStep(rule=Correction() as rule) if step.slide in dials:
                _guard_set(step, rule, known, dials[step.slide], (place, faults))
            case _:
                pass


Told: TypeAlias = tuple[Where, Faults]


def _guard_noted(step: steps.TouchStep, note: steps.Noted, dial: Dial, told: Told) -> None:
    """Record a band of a noted reading that does not hold it, or in which a turn can be lost."""
    place, faults = told
    band = f"from {note.low:.3f} to {note.high:.3f}"
    if not note.low < note.expected < note.high:
        faults.add(place.at("note"), f"{note.expected:.3f} is not within {band}", "let it be")
    if not dial.readout and note.high - note.low >= 2 * dial.per_turn:
        widest = 2 * dial.per_turn
        right = f"let it be narrower than two turns, {widest:.3f}, so that a lost one shows"
        faults.add(place.at("note"), f"goes on {band}", right)
    shown = dial.split(nearest_count(note.expected / dial.count))[1]
    if step.dial != shown:
        faults.add(place.at("dial"), f"{step.dial}", f"{shown}, what {note.name} should show")


def _guard_wind(step: steps.WindStep, known: dict[str, Found], dial: Dial, told: Told) -> None:
    """Record what a wind says twice, and not alike."""
    place, faults = told
    if step.measure and step.measure not in known:
        faults.add(place.at("measure"), f"{step.measure!r} is not measured before", "do so")
        return
    if step.rule is not None:
        if step.rule.measure != step.measure:
            faults.add(place.at("measure"), f"{step.measure!r}", "the one that the rule follows")
            return
        _guard_rule((step.reading, step.dial), step.rule, dial, told)
        _guard_band(step.rule, known[step.measure], (place.at("rule"), faults))
    if step.passes_from:
        if not step.measure:
            faults.add(place.at("passes_from"), "follows nothing", "name what is measured")
            return
        _guard_counts(step, known[step.measure], told)


def _guard_set(
    step: steps.SetDialStep, rule: Correction, known: dict[str, Found], dial: Dial, told: Told
) -> None:
    """Record a setting that follows what is not known before: noted off a readout, or measured."""
    place, faults = told
    followed = known.get(rule.measure)
    if not (isinstance(followed, steps.MeasureStep) or (dial.readout and followed is not None)):
        faults.add(place.at("rule"), f"follows {rule.measure!r}", "a reading noted off a readout")
        return
    turns = 0 if dial.readout else step.turn * dial.counts_per_turn
    _guard_rule((turns + step.dial, step.dial), rule, dial, told)
    _guard_band(rule, known[rule.measure], (place.at("rule"), faults))


def _guard_rule(stated: tuple[int, int], rule: Correction, dial: Dial, told: Told) -> None:
    """Record a rule whose reading at the expected value is not the one printed beside it.

    Args:
        stated: the reading and the figure that are printed.
        rule: what they follow.
        dial: whose they are.
        told: where, and what gathers what is wrong.
    """
    place, faults = told
    reading = nearest_count(rule.base)
    _, shown = dial.split(reading)
    if stated != (reading, shown):
        faults.add(
            place.at("reading"),
            f"{stated[0]}, dial {stated[1]}",
            f"{reading}, dial {shown}, where the rule has it with the expected value",
        )
    per_mm = dial.rise * rule.factor / dial.count
    if not math.isclose(rule.per_mm, per_mm, rel_tol=ALIKE):
        faults.add(
            place.at("rule.per_mm"), f"{rule.per_mm:g}", f"{per_mm:g}, by the factor and the dial"
        )


def _guard_band(rule: Correction, found: Found, told: Told) -> None:
    """Record a rule that has another expected value or band than what it follows."""
    place, faults = told
    for key in ("expected", "low", "high"):
        here, there = getattr(rule, key), getattr(found, key)
        if abs(here - there) > ALIKE:
            faults.add(place.at(key), f"{here:.4f}", f"{there:.4f}, as {found.name} has it")


def _guard_counts(step: steps.WindStep, found: Found, told: Told) -> None:
    """Record counts of passes out of order, or another one at the expected value."""
    place, faults = told
    edges = [entry.found for entry in step.passes_from]
    if edges != sorted(set(edges)) or edges[0] > min(found.low + ALIKE, found.expected):
        right = f"let them rise from {found.low:.4f} on"
        faults.add(place.at("passes_from"), "entries out of order", right)
        return
    reached = [entry.passes for entry in step.passes_from if entry.found <= found.expected]
    if step.passes != reached[-1]:
        right = f"{reached[-1]}, the count with {found.name} as expected"
        faults.add(place.at("passes"), f"{step.passes}", right)
