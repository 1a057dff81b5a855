"""The headings of a sheet against the steps that stand under them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from pathgen.moves.plan import Heading, Trouble
from postprocessors.dials.steps import (
    FitStep,
    FitTouchingStep,
    Operation,
    Sheet,
    SpindleStep,
    Step,
    ThreadStep,
    WindStep,
)

PACE = 0.1  # of a turn a minute: a pace is given to this part
ROUNDED = 1.5  # of a judged part: a step of depth lies between two rounded readings
FINE = 1e-4  # mm: a depth in a heading has four decimals
REMEDY = "put it right in the heading, or in the steps under it"


@dataclass(slots=True)
class Spindle:
    """What is in the spindle and how fast it runs, as the steps so far have it."""

    cutter: int | None = None
    rpm: float = 0.0

    def take(self, step: Step) -> None:
        """Go on by one step."""
        if isinstance(step, FitStep):
            self.cutter = step.cutter
        elif isinstance(step, FitTouchingStep):
            self.cutter = None
        elif isinstance(step, SpindleStep):
            self.rpm = step.rpm


def headings_of(sheet: Sheet) -> tuple[Heading, ...]:
    """Return the headings that name a cutter, their titles taken apart."""
    headings = []
    for each in sheet.operations:
        purpose, _, feature = each.title.partition(": ")
        if each.cutter is not None:
            headings.append(
                Heading(number=each.first, purpose=purpose, feature=feature, cutter=each.cutter)
            )
    return tuple(headings)


def compare_headings(sheet: Sheet) -> tuple[Trouble, ...]:
    """Return what headings say that is not so under them: cutter, speed, feed, depth of a pass."""
    spindle = Spindle()
    of_all = [
        Trouble(number=number, what=what, remedy=REMEDY, code="heading")
        for number, what in _clear(sheet)
    ]
    return (*of_all, *_of_operations(sheet, spindle))


def _clear(sheet: Sheet) -> Iterator[tuple[int, str]]:
    """Yield the first way up from the top face, where it is not to the clear plane of the head."""
    if sheet.lathe:
        return
    down = next(dial for dial in sheet.dials if dial.axis == "z")
    winds = [s for s in sheet.steps if isinstance(s, WindStep) and s.slide == down.slide]
    up = [step for step in winds if step.way == down.plus]
    for step in up[:1]:
        if abs(step.place - sheet.clear) > ROUNDED * down.count:
            what = (
                f"the head has the clear plane at {sheet.clear:.3f} mm, the first way up from the"
                f" top face goes to {step.place:.3f} mm"
            )
            yield step.number, what


def _of_operations(sheet: Sheet, spindle: Spindle) -> tuple[Trouble, ...]:
    """Return what the headings of operations say that is not so."""
    return tuple(
        Trouble(number=number, what=what, remedy=REMEDY, code="heading")
        for operation, row in _groups(sheet)
        for number, what in (
            *_in_the_spindle(operation, row, spindle),
            *_feed(operation, row, sheet),
            *_depth(operation, row, sheet),
        )
    )


def _groups(sheet: Sheet) -> Iterator[tuple[Operation, tuple[Step, ...]]]:
    """Yield each heading with its steps; steps before the first stand under an empty one."""
    firsts = [each.first for each in sheet.operations]
    yield Operation(first=1, title=""), sheet.steps[: firsts[0] - 1] if firsts else sheet.steps
    for operation, after in zip(sheet.operations, [*firsts[1:], math.inf], strict=False):
        yield (
            operation,
            tuple(each for each in sheet.steps if operation.first <= each.number < after),
        )


def _in_the_spindle(
    operation: Operation, row: tuple[Step, ...], spindle: Spindle
) -> Iterator[tuple[int, str]]:
    """Yield the steps that fit, run or cut with something else than the heading says; one each."""
    told: set[str] = set()
    for step in row:
        spindle.take(step)
        for what in _not_as_headed(operation, step, spindle):
            if what not in told:
                told.add(what)
                yield step.number, what


def _not_as_headed(operation: Operation, step: Step, spindle: Spindle) -> Iterator[str]:
    """Yield what a step does with another cutter or speed than the heading says."""
    cuts = isinstance(step, WindStep) and step.cut
    if operation.cutter is None:
        if cuts:
            yield f"a cut under the heading {operation.title!r}, which names no cutter"
        return
    if (cuts or isinstance(step, FitStep)) and spindle.cutter != operation.cutter:
        yield (
            f"the heading {operation.title!r} says cutter {operation.cutter}, in the spindle is"
            f" {'none' if spindle.cutter is None else spindle.cutter}"
        )
    # An edge finder that is put in between has a speed of its own.
    runs = isinstance(step, SpindleStep) and step.rpm > 0 and spindle.cutter is not None
    rpm = spindle.rpm
    if isinstance(step, ThreadStep):  # one that finds the spindle turning has no speed of its own
        runs, rpm = True, step.rpm or rpm
    if (cuts or runs) and rpm not in (0.0, operation.rpm):
        yield (
            f"the heading {operation.title!r} says {operation.rpm:g} rev/min, the spindle runs at"
            f" {rpm:g}"
        )


def _cuts(row: tuple[Step, ...]) -> list[WindStep]:
    """Return the cuts of a group."""
    return [step for step in row if isinstance(step, WindStep) and step.cut]


def _feed(operation: Operation, row: tuple[Step, ...], sheet: Sheet) -> Iterator[tuple[int, str]]:
    """Yield the fastest cut of a group where its pace is not that of the heading's feed."""
    cuts = _cuts(row)
    if not operation.feed or not cuts:
        return
    fastest = max(cuts, key=lambda step: step.turns_per_min * sheet.dial(step.slide).per_turn)
    per_turn = sheet.dial(fastest.slide).per_turn
    if abs(fastest.turns_per_min - operation.feed / per_turn) > PACE + FINE:
        what = (
            f"the heading {operation.title!r} says a feed of {operation.feed:.1f} mm a minute, the"
            f" fastest cut under it goes at {fastest.turns_per_min * per_turn:.1f}"
        )
        yield fastest.number, what


def _depth(operation: Operation, row: tuple[Step, ...], sheet: Sheet) -> Iterator[tuple[int, str]]:
    """Yield the deepest step down of a group where the heading says another depth of a pass."""
    if not operation.depth_of_cut or not _cuts(row) or sheet.lathe:
        return
    levels = _levels(row, sheet)
    steps_down = [(upper - lower, number) for (upper, _), (lower, number) in pairwise(levels)]
    deepest, number = max(steps_down, default=(0.0, operation.first))
    down = next(dial for dial in sheet.dials if dial.axis == "z")
    if abs(deepest - operation.depth_of_cut) > ROUNDED * down.count + FINE:
        what = (
            f"the heading {operation.title!r} says {operation.depth_of_cut:.3f} mm deep a pass, the"
            f" cuts under it go {deepest:.3f} mm deeper at a time"
        )
        yield number, what


def _levels(row: tuple[Step, ...], sheet: Sheet) -> list[tuple[float, int]]:
    """Return the heights at which a group cuts, falling from the top face; each with its step."""
    z, first = 0.0, {0.0: row[0].number}
    for step in row:
        if not isinstance(step, WindStep):
            continue
        if sheet.dial(step.slide).axis == "z":
            z = step.place
        if step.cut and z < 0:
            first.setdefault(z, step.number)
    return sorted(first.items(), reverse=True)
