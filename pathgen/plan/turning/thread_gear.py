"""How the carriage is drawn along a thread: change wheels and half-nuts, or a control."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from pathgen.input.where import Refusal
from pathgen.job.turning.screwed import Screwed
from pathgen.moves.actions import ChangeWheels
from pathgen.moves.moves import Nuts
from pathgen.reckon.change_wheels import Train, every_mark, lead_of, marks_of_starts, train_for
from pathgen.reckon.screw_cutting import widened_by
from pathgen.shop.machines import Machine


@dataclass(frozen=True, slots=True, kw_only=True)
class Gear:
    """How the carriage is drawn along; mm."""

    nuts: Nuts
    lead: float
    every: int = 0
    firsts: tuple[int, ...] = (1,)  # of a thread dial: at which mark each start begins
    wheels: ChangeWheels | None = None
    why: str = ""


def gear_for(screwed: Screwed, machine: Machine) -> Gear:
    """Return how the carriage is drawn along.

    Raises:
        Refusal: nothing draws it, or the lead comes out too far off.
    """
    lathe = machine.lathe
    assert lathe is not None
    if not machine.manual:
        return _by_control(screwed, machine)
    if lathe.leadscrew_pitch is None or len(lathe.change_wheels) < 2:
        raise Refusal(
            screwed.where,
            f"cut a thread on {machine.title}: its leadscrew and its change wheels are not known",
            "give leadscrew_pitch and change_wheels in its file",
        )
    train = train_for(screwed.thread.lead, lathe.leadscrew_pitch, lathe.change_wheels)
    _guard_lead(screwed, train, machine)
    lead = lead_of(lathe.leadscrew_pitch, train.pairs)
    every, teeth, marks = _dial(screwed, lead, machine)
    wheels = ChangeWheels(
        wheels=tuple(teeth for pair in train.pairs for teeth in pair),
        lead=train.lead,
        dial_teeth=teeth,
        dial_marks=marks,
        left_hand=screwed.along > 0,
    )
    kept = "" if every else "; no mark of a thread dial brings the tool back into its groove"
    return Gear(
        nuts="dial" if every else "closed",
        lead=train.lead,
        every=every,
        firsts=_firsts(screwed, lead, machine, (teeth, marks)),
        wheels=wheels,
        why=f"lead {train.lead:.6g} mm by the wheels, {_off(screwed, train)}{kept}",
    )


def _dial(screwed: Screwed, lead: Fraction, machine: Machine) -> tuple[int, int, int]:
    """Return at every how many marks the nuts close, and the dial: teeth and marks; or zeros.

    Of the wheels of the thread dial the one that lets them close the oftenest.

    Raises:
        Refusal: it has several starts, and no dial tells them apart.
    """
    lathe, starts = machine.lathe, screwed.thread.starts
    assert lathe is not None
    assert lathe.leadscrew_pitch is not None
    offers = [
        (every, dial.teeth, dial.marks)
        for dial in lathe.thread_dials
        if (every := every_mark(lead, lathe.leadscrew_pitch, dial.teeth, dial.marks))
        and marks_of_starts(lead, starts, lathe.leadscrew_pitch, dial.teeth, dial.marks)
    ]
    if starts > 1 and not offers:
        raise Refusal(
            screwed.where.at("thread"),
            f"cut {starts} starts on {machine.title}: no wheel of its thread dial has a mark for"
            f" each, a pitch of {screwed.thread.pitch:.4g} mm from one to the next",
            "use a lathe with such a dial, or a control; turning the work on by hand between starts"
            " is not planned",
        )
    return min(offers, default=(0, 0, 0))


def _firsts(
    screwed: Screwed, lead: Fraction, machine: Machine, dial: tuple[int, int]
) -> tuple[int, ...]:
    """Return at which mark of a dial, its teeth and marks, each start begins."""
    lathe, (teeth, marks) = machine.lathe, dial
    if not teeth or lathe is None or lathe.leadscrew_pitch is None:
        return (1,)
    starts = screwed.thread.starts
    return marks_of_starts(lead, starts, lathe.leadscrew_pitch, teeth, marks) or (1,)


def _off(screwed: Screwed, train: Train) -> str:
    """Return how far the lead is off over the length, and what that does between screw and nut."""
    if not train.error:
        return "exactly"
    off = train.error * screwed.length
    seems = widened_by(off, screwed.thread.form.angle_deg)
    return (
        f"{off * 1000:+.1f} micrometres off over the length: as much as {seems * 1000:.0f} of the"
        f" pitch diameter, of the {screwed.lead_error_most * 1000:.0f} granted"
    )


def _guard_lead(screwed: Screwed, train: Train, machine: Machine) -> None:
    """Refuse wheels whose lead is too far off over the length of the thread."""
    off = train.error * screwed.length
    tighter = widened_by(off, screwed.thread.form.angle_deg)
    if tighter > screwed.lead_error_most:
        raise Refusal(
            screwed.where,
            f"cut a lead of {screwed.thread.lead:.5g} mm on {machine.title}: its wheels come to"
            f" {train.lead:.5g} mm at the nearest, {off:+.3f} mm over the length, as if the thread"
            f" were {tighter:.3f} mm tighter (at most {screwed.lead_error_most:.3f})",
            "add a change wheel (127 teeth join millimetres and inches), or cut it shorter",
        )


def _by_control(screwed: Screwed, machine: Machine) -> Gear:
    """Return that a control keeps step with the spindle.

    Raises:
        Refusal: it has no word for that.
    """
    assert machine.control is not None
    if machine.control.threading == "none":
        raise Refusal(
            screwed.where,
            f"cut a thread on {machine.title}: its control declares no word to keep step by",
            'say threading = "G33" in its file if the control has it, or use a lathe with wheels',
        )
    return Gear(
        nuts="control",
        lead=screwed.thread.lead,
        why=f"lead {screwed.thread.lead:.5g} mm, in step with the spindle",
    )
