"""What tilts and turns beside the slides: written as steps, and followed."""

from __future__ import annotations

from typing import assert_never

from pathgen.moves.actions import SetAngle, SetSweep
from pathgen.moves.moves import Axis, TurnWork
from postprocessors.dials.hands import Hands
from postprocessors.dials.scribe import Scribe
from postprocessors.dials.steps import AngleStep, SweepStep, TurnStep
from postprocessors.dials.zeroing import by_eye

LOST: tuple[Axis, Axis] = ("x", "z")  # the axes in whose plane something tilts


def write_tilting(scribe: Scribe, item: SetAngle | SetSweep | TurnWork) -> None:
    """Put down the step of something that tilts, is set to a sweep, or turns."""
    match item:
        case SetAngle():
            by_eye(scribe, rises=item.rises)
            scribe.add(
                AngleStep(
                    number=scribe.number,
                    part=item.part,
                    angle_deg=item.angle_deg,
                    towards=item.towards,
                    uncertainty_deg=item.uncertainty_deg,
                )
            )
            for axis in LOST:
                scribe.handles[axis].lose_zero()
        case SetSweep():
            scribe.add(
                SweepStep(
                    number=scribe.number,
                    cutter=item.cutter,
                    sweep=item.sweep,
                    over=item.over,
                    looks=item.looks,
                    uncertainty=item.uncertainty,
                )
            )
        case TurnWork():
            scribe.lock(scribe.handles.values())
            scribe.add(
                TurnStep(
                    number=scribe.number,
                    by=item.by,
                    start_deg=item.start_deg,
                    end_deg=item.end_deg,
                    rate=item.rate,
                    cut=item.cuts,
                    what="" if item.how is None else item.how.what,
                )
            )
        case _:
            assert_never(item)


def follow_tilting(hands: Hands, step: AngleStep | SweepStep | TurnStep) -> None:
    """Do what such a step says."""
    match step:
        case AngleStep():
            for axis in LOST:
                hands.forget(axis)
            hands.record.put(
                SetAngle(
                    part=step.part,
                    angle_deg=step.angle_deg,
                    towards=step.towards,
                    uncertainty_deg=step.uncertainty_deg,
                )
            )
        case SweepStep():
            hands.record.put(
                SetSweep(
                    cutter=step.cutter,
                    sweep=step.sweep,
                    over=step.over,
                    looks=step.looks,
                    uncertainty=step.uncertainty,
                )
            )
        case TurnStep():
            _look_at_slides(hands, step)
            hands.record.put(
                TurnWork(step.by, step.start_deg, step.end_deg, step.rate, cuts=step.cut)
            )
        case _:
            assert_never(step)


def _look_at_slides(hands: Hands, step: TurnStep) -> None:
    """See that all slides are locked, and known, while the work turns under the cutter."""
    for each in hands.slides.values() if step.cut else ():
        if each.slide.lock and not each.locked:
            hands.record.trouble(
                "unlocked",
                f"the work is turned under the cutter, the {each.slide.name} not locked",
                "lock every slide first",
            )
        if not each.zeroed:
            hands.record.trouble(
                "no-zero",
                f"the work is turned under the cutter, and the zero of the {each.slide.name} is"
                " not set",
                "set its zero first",
            )
