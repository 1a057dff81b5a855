"""The cases in which a sheet is replayed: the corners of all that it cannot know."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.shop.machines import Machine
from postprocessors.dials.steps import (
    FitStep,
    MeasureStep,
    SetDialStep,
    Sheet,
    TouchStep,
    WindStep,
)

FEW = 2  # measurements whose ends are all combined; more are tried one at a time


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """What the sheet cannot know: where the slack is at first, how much it is, what is found."""

    play: int  # -1 or +1: the end of its slack at which each slide stands at first
    slack: (
        int  # the true slack: the measured one with its spread taken off (-1), as is (0) or on (+1)
    )
    found: tuple[tuple[str, float], ...] = ()
    apart: tuple[tuple[str, float], ...] = ()  # how much farther apart two touched faces are, mm

    def beyond(self, name: str) -> float:
        """Return how much farther than on the sheet a face is, by the name of what is noted there.

        Minus is nearer; mm.
        """
        return dict(self.apart).get(name, 0.0)

    @property
    def title(self) -> str:
        """Return the case in words."""
        play = "plus" if self.play > 0 else "minus"
        slack = {-1: "at its least", 0: "as measured", 1: "at its most"}[self.slack]
        found = "".join(f", {name} found {value:.3f}" for name, value in self.found)
        apart = "".join(f", faces at {name} {beyond:+.3f}" for name, beyond in self.apart)
        return f"play at the {play} end, slack {slack}{found}{apart}"


def replay_cases(sheet: Sheet, machine: Machine) -> tuple[Case, ...]:
    """Return the cases to replay a sheet in: the corners of all that is not known, each once.

    A measurement that nothing follows, and that says nothing of the cutter, makes no difference;
    it is taken to be as expected.
    """
    names = [dial.slide for dial in sheet.dials]
    slides = [slide for slide in machine.slides if slide.name in names]
    plays = (-1, 1) if any(slide.lag + slide.lag_spread > 0 for slide in slides) else (-1,)
    slacks = (-1, 1) if any(slide.lag_spread > 0 for slide in slides) else (0,)
    followed = {
        step.rule.measure
        for step in sheet.steps
        if isinstance(step, WindStep | SetDialStep) and step.rule
    }
    founds = _founds(
        [
            (step, cutter)
            for step, cutter in _measures(sheet)
            if step.name in followed or step.found_by != "nothing"
        ]
    )
    as_measured = [
        Case(play=play, slack=slack, found=found)
        for found, play, slack in itertools.product(founds, plays, slacks)
    ]
    otherwise = [
        Case(play=plays[0], slack=slack, found=founds[0], apart=apart)
        for apart, slack in itertools.product(_aparts(sheet, machine), slacks)
    ]
    return (*as_measured, *otherwise)


def _aparts(sheet: Sheet, machine: Machine) -> list[tuple[tuple[str, float], ...]]:
    """Return how much nearer and farther apart two touched faces may be, by what is noted there."""
    ends = ends_of_noted(sheet, machine)
    return [tuple((name, sign * end) for name, end in ends.items()) for sign in (-1, 1) if ends]


def ends_of_noted(sheet: Sheet, machine: Machine) -> dict[str, float]:
    """Return how far a touched face may be off, by the name of the reading that is noted there, mm.

    That is as far as the band of the reading allows once the slack's spread and the eye have had
    their share. With a blank just as measured, what follows the reading would never be used.
    """
    by_name = {slide.name: slide for slide in machine.slides}
    ends: dict[str, float] = {}
    for step in sheet.steps:
        if isinstance(step, TouchStep) and step.note is not None and step.slide in by_name:
            slide = by_name[step.slide]
            band = (step.note.high - step.note.low) / 2
            ends[step.note.name] = max(band - slide.lag_spread - slide.count, 0.0)
    return ends


def _measures(sheet: Sheet) -> Iterator[tuple[MeasureStep, int]]:
    """Yield each measuring, with the cutter that is in the spindle meanwhile; 0 for none."""
    cutter = 0
    for step in sheet.steps:
        if isinstance(step, FitStep):
            cutter = step.cutter
        elif isinstance(step, MeasureStep):
            yield step, cutter


def _founds(measures: list[tuple[MeasureStep, int]]) -> list[tuple[tuple[str, float], ...]]:
    """Return the combinations of found values: all ends of a few, one at a time of many.

    What one cutter makes of one size it makes of the next: the two are off alike.
    """
    for found_by in ("spring", "touch"):  # each kind follows from one cause, or bears on one tool
        together = [step for step, _ in measures if step.found_by == found_by]
        if len(together) < 2:
            continue
        others = [pair for pair in measures if pair[0].found_by != found_by]
        rows = [[(m.name, m.expected) for m in together], [(m.name, m.low) for m in together]]
        rows.append([(m.name, m.high) for m in together])
        return [(*found, *row) for found in _founds(others) for row in rows]
    first: dict[int, MeasureStep] = {}
    alike: list[tuple[MeasureStep, MeasureStep]] = []
    ends = {}
    for step, cutter in measures:
        if step.found_by == "cutter" and cutter in first:
            alike.append((step, first[cutter]))
            continue
        if step.found_by == "cutter":
            first[cutter] = step
        ends[step.name] = (step.expected, step.low, step.high)
    return [(*found, *_alike(dict(found), alike)) for found in _combined(ends)]


def _alike(
    found: dict[str, float], alike: list[tuple[MeasureStep, MeasureStep]]
) -> Iterator[tuple[str, float]]:
    """Yield what is found of sizes that are off as much as others, as far as their bands go."""
    for step, like in alike:
        off = found[like.name] - like.expected
        yield step.name, min(max(step.expected + off, step.low), step.high)


def _combined(
    ends: dict[str, tuple[float, float, float]],
) -> list[tuple[tuple[str, float], ...]]:
    """Return the combinations of values: all of a few, one at a time of many."""
    if len(ends) <= FEW:
        combined = itertools.product(*ends.values())
        founds = [tuple(zip(ends, values, strict=True)) for values in combined]
        return list(dict.fromkeys(founds))
    expected = {name: values[0] for name, values in ends.items()}
    one_off = [expected | {name: value} for name, values in ends.items() for value in values]
    return list(dict.fromkeys(tuple(each.items()) for each in one_off))
