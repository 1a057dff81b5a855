"""Whether what a sheet says hangs together, beyond the types of its values."""

from __future__ import annotations

from pathgen.input.where import Faults, Where
from postprocessors.dials import steps
from postprocessors.dials.faces.following import guard_following
from postprocessors.dials.steps import Dial, Sheet, Step


def guard_sheet(sheet: Sheet, where: Where, faults: Faults) -> None:
    """Record slides that a sheet does not know, dials that make no sense, rules out of place."""
    for dial in sheet.dials:
        _guard_dial(dial, where.at(f"dial {dial.slide}"), faults)
    names = {dial.slide for dial in sheet.dials}
    along = [dial.axis for dial in sheet.dials]
    axes = sorted(set(along) if sheet.lathe else along)  # several may go along a lathe's axis
    due, said = (["x", "z"], "x and z") if sheet.lathe else (["x", "y", "z"], "x, y and z")
    if axes != due or len(names) != len(sheet.dials):
        faults.add(where.at("dials"), f"slides for {', '.join(axes)}", f"one each for {said}")
    for step in sheet.steps:
        place = where.at(f"step {step.number}")
        for name in sorted(_slides_of(step) - names):
            faults.add(place.at("slide"), f"no slide {name!r} in this sheet", "name one of them")
        _guard_counts(step, sheet, place, faults)
    guard_following(sheet, where, faults)
    _guard_operations(sheet, where, faults)


def _guard_dial(dial: Dial, place: Where, faults: Faults) -> None:
    """Record a dial that cannot be."""
    if dial.readout:
        if not 0 < dial.readout < dial.per_turn:
            faults.add(place.at("readout"), f"{dial.readout:g}", "above 0, less than a turn")
    elif not (dial.per_turn > 0 and dial.divisions > 0 and dial.judged > 0):
        faults.add(place, "a turn, its divisions or their part of nought", "give them above 0")
    elif dial.counts_per_turn < 1:
        faults.add(place, "no judged part in a turn", "judge less than a turn")
    if dial.side not in (-1, 1):
        faults.add(place.at("side"), f"{dial.side}", "1 or -1")


def _guard_counts(step: Step, sheet: Sheet, place: Where, faults: Faults) -> None:
    """Record a figure that the dial does not have, or less than no pass."""
    if not isinstance(step, steps.WindStep | steps.SetDialStep | steps.TouchStep):
        return
    dial = next((each for each in sheet.dials if each.slide == step.slide), None)
    if dial is not None and dial.readout:
        _guard_readout(step, place, faults)
    elif dial is not None and dial.judged > 0 and not 0 <= step.dial < dial.counts_per_turn:
        right = f"judged parts from 0 to {dial.counts_per_turn - 1}"
        faults.add(place.at("dial"), f"{step.dial}", right)
    if not isinstance(step, steps.SetDialStep) and step.passes < 0:
        faults.add(place.at("passes"), f"{step.passes}", "0 or more")
    if isinstance(step, steps.WindStep) and step.cut and step.turns_per_min <= 0:
        faults.add(place.at("turns_per_min"), f"{step.turns_per_min:g}", "above 0 for a cut")


def _guard_readout(
    step: steps.WindStep | steps.SetDialStep | steps.TouchStep, place: Where, faults: Faults
) -> None:
    """Record turns, or two figures, where a readout shows one."""
    if isinstance(step, steps.WindStep) and step.dial != step.reading:
        faults.add(place.at("dial"), f"{step.dial}", f"{step.reading}, its reading")
    turns = step.turn if isinstance(step, steps.SetDialStep) else step.passes
    if turns or (isinstance(step, steps.WindStep) and step.passes_from):
        faults.add(place, "turns of a readout", "leave them at 0: it shows the whole figure")


def _guard_operations(sheet: Sheet, where: Where, faults: Faults) -> None:
    """Record headings that stand at no step."""
    firsts = [operation.first for operation in sheet.operations]
    numbers = {cutter.number for cutter in sheet.head.cutters}
    for operation in sheet.operations:
        if operation.cutter is not None and operation.cutter not in numbers:
            right = "one of the head's"
            faults.add(where.at("operations"), f"cutter {operation.cutter}", right)
    if firsts != sorted(set(firsts)) or any(not 1 <= first <= len(sheet.steps) for first in firsts):
        faults.add(where.at("operations"), "headings out of order", "let each start at a step")


def _slides_of(step: Step) -> set[str]:
    """Return the names of the slides that a step speaks of."""
    if isinstance(step, steps.LockStep | steps.UnlockStep):
        return set(step.slides)
    if isinstance(step, steps.ClearStep):
        return {step.slide, *step.across}
    if isinstance(step, steps.WindStep | steps.TouchStep | steps.SetDialStep | steps.SwingStep):
        return {step.slide}
    if isinstance(step, steps.ThreadStep):
        return {step.along}
    return set()
