"""The zeroing of a sheet gone through for every figure that may be noted on the way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pathgen.moves.plan import Trouble
from pathgen.shop.machines import Machine
from pathgen.shop.slides import Slide
from postprocessors.dials.cases import Case, ends_of_noted
from postprocessors.dials.follower import follow
from postprocessors.dials.hands import Hands
from postprocessors.dials.steps import SetDialStep, Sheet, Step, TouchStep


def rehearse(sheet: Sheet, machine: Machine) -> tuple[Trouble, ...]:
    """Return what goes wrong on the way to a middle of two touches, whatever figure is noted.

    A whole sheet is replayed with the faces where they should be and at either end of what may be
    noted, the slack at its least and its most. In between, the count of passes changes at some
    figure or other; here each figure is tried, as far as the zero that follows from it.

    Args:
        sheet: the sheet, as read.
        machine: the machine as it is now.
    """
    met: dict[tuple[int, str], Trouble] = {}
    for name, end in ends_of_noted(sheet, machine).items():
        touch = next(
            step for step in sheet.steps if isinstance(step, TouchStep) if _notes(step, name)
        )
        way = _way_to_zero(sheet, touch)
        for case in _every_figure(name, end, machine.slide_named(touch.slide)):
            hands = Hands.at_the_start(sheet, machine, case)
            for step in way:
                follow(hands, step)
            for trouble in hands.record.troubles:
                told = replace(trouble, what=f"{trouble.what} ({case.title})")
                met.setdefault((trouble.number, trouble.code), told)
    return tuple(met.values())


def _notes(touch: TouchStep, name: str) -> bool:
    """Return whether a reading of this name is noted at a touch."""
    return touch.note is not None and touch.note.name == name


def _way_to_zero(sheet: Sheet, touch: TouchStep) -> list[Step]:
    """Return the steps up to the zero of a slide that follows a touch; all if there is none."""
    for index, step in enumerate(sheet.steps):
        later = step.number > touch.number
        if later and isinstance(step, SetDialStep) and step.slide == touch.slide and step.zero:
            return list(sheet.steps[: index + 1])
    return list(sheet.steps)


def _every_figure(name: str, end: float, slide: Slide | None) -> Iterator[Case]:
    """Yield a case for each judged part that a face may be off."""
    parts = 0 if slide is None else int(end / slide.count)
    for off in range(-parts, parts + 1):
        yield Case(play=-1, slack=0, apart=((name, off * end / max(parts, 1)),))
