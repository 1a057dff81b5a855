"""Whether the tool comes back into its groove: change wheels, half-nuts, and the lead they give."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from pathgen.job.turning.screwed import Screwed
from pathgen.moves.actions import ChangeWheels, HalfNuts
from pathgen.moves.moves import STARTS, ThreadCut
from pathgen.reckon.change_wheels import (
    every_mark,
    exactly,
    goes_together,
    lead_of,
    wheels_are_there,
)
from pathgen.reckon.screw_cutting import widened_by
from pathgen.shop.machines import Machine

Found: TypeAlias = tuple[str, str, str, float | None]  # code, what, remedy, amount

FINE = 1e-6


@dataclass(slots=True)
class InStep:
    """What was put up, and what became of the half-nuts."""

    machine: Machine
    wheels: ChangeWheels | None = None
    closed: bool = False
    opened: bool = False  # between passes that were to keep them closed

    def put_up(self, wheels: ChangeWheels) -> Iterator[Found]:
        """Take note of change wheels; yield what is wrong with them."""
        self.wheels = wheels
        lathe = self.machine.lathe
        if lathe is None or not wheels_are_there(wheels.pairs, lathe.change_wheels):
            yield "wheels", "wheels that the lathe has not", "take those at hand", None
        elif not goes_together(wheels.pairs):
            yield (
                "wheels",
                "a wheel of this train is in the way of a stud",
                "change their order",
                None,
            )

    def nuts(self, item: HalfNuts, rpm: float, passes: int) -> Iterator[Found]:
        """Take note of the half-nuts, met with the spindle turning at a speed or not."""
        if item.closed and rpm:
            yield (
                "half-nuts",
                "the half-nuts are closed to stay so, the spindle turning: the carriage goes off",
                "stop the spindle first; each pass starts it",
                None,
            )
        if item.closed and passes and self.opened:
            yield (
                "half-nuts",
                "the half-nuts were opened between passes and are closed again: the thread is lost",
                "leave them closed, and reverse the spindle",
                None,
            )
        self.opened = self.opened or not item.closed
        self.closed = item.closed

    def started(self, rpm: float) -> Iterator[Found]:
        """Yield that the spindle is started where no pass does it, the half-nuts closed."""
        if self.closed and rpm:
            yield (
                "half-nuts",
                "the spindle is started outside a pass, the half-nuts closed: the carriage goes",
                "let the pass itself start it, the tool at its depth",
                None,
            )

    def wound(self, start: float, end: float) -> Iterator[Found]:
        """Yield that the carriage is wound from a z to another, the half-nuts closed."""
        if self.closed and not math.isnan(start) and abs(end - start) > FINE:
            yield (
                "half-nuts",
                "the carriage is wound along, the half-nuts closed",
                "reverse the spindle instead: opened, the thread is lost",
                None,
            )

    def engaged(self, item: ThreadCut) -> Iterator[Found]:
        """Yield where the tool would not come back into its groove."""
        if item.nuts == "control":
            return
        if self.wheels is None:
            yield "wheels", "a thread is cut, and no change wheels are put up", "put them up", None
            return
        if item.nuts in STARTS:
            if not self.closed:
                yield (
                    "half-nuts",
                    "a pass with the half-nuts to stay closed, and they are open",
                    "close them before the first pass, and leave them so",
                    None,
                )
            return
        every = self._every(self.wheels)
        if every is None:
            yield (
                "half-nuts",
                (
                    "the half-nuts are opened, and no mark of the thread dial brings the tool back"
                    " into its groove"
                ),
                "leave them closed and reverse the spindle",
                None,
            )
        elif item.every % every or not item.every:
            yield (
                "half-nuts",
                f"closed at every {item.every} marks of the thread dial, it takes {every}",
                "close them at the right marks",
                None,
            )

    def start_of(self, item: ThreadCut, wanted: Screwed) -> int | None:
        """Return which start a pass cuts, counted from 0, by the mark that the nuts close at.

        None where the mark is one of none of them.
        """
        starts, wheels, lathe = wanted.thread.starts, self.wheels, self.machine.lathe
        if item.nuts != "dial" or starts == 1:
            return 0
        if wheels is None or lathe is None or lathe.leadscrew_pitch is None:
            return None
        lead = lead_of(lathe.leadscrew_pitch, wheels.pairs)
        step = exactly(lathe.leadscrew_pitch) * wheels.dial_teeth / max(wheels.dial_marks, 1)
        pitches = step * (item.first - 1) / (lead / starts)
        return int(pitches) % starts if pitches.denominator == 1 else None

    def _every(self, wheels: ChangeWheels) -> int | None:
        """Return at every how many marks the nuts may be closed, by the lathe's own dial."""
        lathe = self.machine.lathe
        assert lathe is not None
        dials = [(each.teeth, each.marks) for each in lathe.thread_dials]
        if lathe.leadscrew_pitch is None or (wheels.dial_teeth, wheels.dial_marks) not in dials:
            return None
        lead = lead_of(lathe.leadscrew_pitch, wheels.pairs)
        return every_mark(lead, lathe.leadscrew_pitch, wheels.dial_teeth, wheels.dial_marks)

    def lead(self, item: ThreadCut, wanted: Screwed) -> Iterator[Found]:
        """Yield a lead that is too far off over the length of the thread."""
        lathe, lead = self.machine.lathe, item.lead
        if item.nuts != "control":
            if self.wheels is None or lathe is None or lathe.leadscrew_pitch is None:
                return
            lead = float(lead_of(lathe.leadscrew_pitch, self.wheels.pairs))
        off = (lead / wanted.thread.lead - 1) * wanted.length
        thicker = widened_by(off, wanted.thread.form.angle_deg)
        if thicker > wanted.lead_error_most:
            yield (
                "lead",
                (
                    f"a lead of {lead:.5g} mm, {wanted.thread.lead:.5g} wanted: {off:+.3f} mm off"
                    " over the length"
                ),
                "put up the wheels for it, or say the lead",
                abs(off),
            )
