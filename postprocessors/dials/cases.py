"""The cases in which a sheet is replayed: the corners of all that it cannot know."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from pathgen.shop.machines import Machine
from postprocessors.dials.steps import MeasureStep, Sheet, WindStep

FEW = 2  # measurements whose ends are all combined; more are tried one at a time


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """What the sheet cannot know: where the slack is at first, how much it is, what is found."""

    play: int  # -1 or +1: the end of its slack at which each slide stands at first
    slack: (
        int  # the true slack: the measured one with its spread taken off (-1), as is (0) or on (+1)
    )
    found: tuple[tuple[str, float], ...] = ()

    @property
    def title(self) -> str:
        """Return the case in words."""
        play = "plus" if self.play > 0 else "minus"
        slack = {-1: "at its least", 0: "as measured", 1: "at its most"}[self.slack]
        found = "".join(f", {name} found {value:.3f}" for name, value in self.found)
        return f"play at the {play} end, slack {slack}{found}"


def replay_cases(sheet: Sheet, machine: Machine) -> tuple[Case, ...]:
    """Return the cases to replay a sheet in: the corners of all that is not known, each once.

    A measurement that nothing follows, and that says nothing of the cutter, makes no difference;
    it is taken to be as expected.
    """
    slides = machine.slides
    plays = (-1, 1) if any(slide.slack + slide.slack_spread > 0 for slide in slides) else (-1,)
    slacks = (-1, 1) if any(slide.slack_spread > 0 for slide in slides) else (0,)
    followed = {
        step.rule.measure for step in sheet.steps if isinstance(step, WindStep) and step.rule
    }
    founds = _founds(
        [
            step
            for step in sheet.steps
            if isinstance(step, MeasureStep)
            and (step.name in followed or step.found_by == "cutter")
        ]
    )
    return tuple(
        Case(play=play, slack=slack, found=found)
        for found, play, slack in itertools.product(founds, plays, slacks)
    )


def _founds(measures: list[MeasureStep]) -> list[tuple[tuple[str, float], ...]]:
    """Return the combinations of found values: all ends of a few, one at a time of many."""
    ends = {each.name: (each.expected, each.low, each.high) for each in measures}
    if len(ends) <= FEW:
        combined = itertools.product(*ends.values())
        founds = [tuple(zip(ends, values, strict=True)) for values in combined]
        return list(dict.fromkeys(founds))
    expected = {name: values[0] for name, values in ends.items()}
    one_off = [expected | {name: value} for name, values in ends.items() for value in values]
    return list(dict.fromkeys(tuple(each.items()) for each in one_off))
