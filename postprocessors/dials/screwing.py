"""Screw-cutting by a sheet: the leadscrew draws the carriage, and its dial turns with it."""

from __future__ import annotations

import math

from pathgen.moves.actions import ChangeWheels, HalfNuts
from pathgen.moves.moves import STARTS, ThreadCut
from postprocessors.dials import steps
from postprocessors.dials.hands import Hands
from postprocessors.dials.readings import Reading
from postprocessors.dials.scribe import Scribe
from postprocessors.dials.slides_in_play import SlideInPlay

SAME = 1e-6  # mm, or of a lead: less is no difference


def write_screwing(scribe: Scribe, item: ThreadCut | ChangeWheels | HalfNuts) -> None:
    """Put down change wheels, the half-nuts, or a cut along a thread."""
    match item:
        case ChangeWheels():
            scribe.add(
                steps.WheelsStep(
                    number=scribe.number,
                    wheels=item.wheels,
                    lead=item.lead,
                    dial_teeth=item.dial_teeth,
                    dial_marks=item.dial_marks,
                    left_hand=item.left_hand,
                )
            )
        case HalfNuts():
            scribe.add(steps.HalfNutsStep(number=scribe.number, closed=item.closed))
        case ThreadCut():
            _write_cut(scribe, item)


def _write_cut(scribe: Scribe, move: ThreadCut) -> None:
    """Put down the reading at which the tool is drawn out, or the carriage stopped.

    The carriage goes before its handle, which therefore lags on the other side than when it drives.
    """
    if move.nuts == "control":
        raise scribe.refusal("keep step with the spindle by hand", "cut it by the leadscrew")
    handle = scribe.handles["z"]
    direction = 1 if move.z > handle.asked else -1
    shift = -handle.side * handle.slide.lag if direction == handle.side else 0.0
    reading = handle.aim(move.z + shift).at()
    scribe.free(scribe.handles.values())
    scribe.lock(scribe.idle)
    scribe.add(
        steps.ThreadStep(
            number=scribe.number,
            along=handle.slide.name,
            reading=reading,
            place=handle.place(Reading(base=float(reading))) - shift,
            lead=move.lead,
            nuts=move.nuts,
            every=move.every,
            rpm=move.rpm if move.nuts in STARTS else 0.0,
            what=move.how.what if move.how else "",
            left_hand=(direction > 0) != (move.nuts == "reversed"),
            first=move.first,
        )
    )
    handle.reading = Reading(base=float(reading))
    handle.out = {direction: handle.most_slack, -direction: 0.0}
    handle.asked = move.z
    handle.rule = None
    handle.exact = False


def follow_screwing(
    hands: Hands, step: steps.WheelsStep | steps.HalfNutsStep | steps.ThreadStep
) -> None:
    """Do what a step of screw-cutting says."""
    match step:
        case steps.WheelsStep():
            _put_up(hands, step)
        case steps.HalfNutsStep():
            hands.record.put(HalfNuts(closed=step.closed))
        case steps.ThreadStep():
            _cut(hands, step)


def _put_up(hands: Hands, step: steps.WheelsStep) -> None:
    """Put wheels up; what lead they give follows from the leadscrew."""
    if len(step.wheels) % 2 or not step.wheels:
        hands.record.trouble("wheels", "a driver without a driven wheel", "name them in pairs")
        return
    if hands.rpm:
        hands.record.trouble("spindle", "wheels are changed, the spindle turning", "stop it first")
    ratio = math.prod(step.wheels[::2]) / math.prod(step.wheels[1::2])
    hands.lead, hands.left_hand = ratio * hands.leadscrew, step.left_hand
    if abs(hands.lead - step.lead) > SAME:
        hands.record.trouble(
            "figure",
            f"these wheels give a lead of {hands.lead:.5f} mm, not {step.lead:.5f}",
            "put the wheels right",
        )
    hands.record.put(
        ChangeWheels(
            wheels=step.wheels,
            lead=hands.lead,
            dial_teeth=step.dial_teeth,
            dial_marks=step.dial_marks,
            left_hand=step.left_hand,
        )
    )


def _cut(hands: Hands, step: steps.ThreadStep) -> None:
    """Let the leadscrew draw the carriage until its dial reads what the step says."""
    slide = hands.slide(step.along)
    if slide is None:
        return
    if slide.slide.lock and slide.locked is not False:
        hands.record.trouble(
            "locked", f"the {step.along} is drawn along, its lock not freed", "free it first"
        )
    _look_at_the_idle(hands)
    if slide.shown_at is None:
        hands.record.trouble(
            "no-zero", f"the {step.along} has no zero to read from", "set its zero first"
        )
        return
    hands.turned_at = math.nan  # over wires is no diameter at which the tool stood
    if step.left_hand != hands.left_hand:
        way = "away from the chuck" if hands.left_hand else "towards the chuck"
        hands.record.trouble(
            "wheels",
            f"the wheels take the {step.along} {way}, the cut is the other way",
            "turn the tumbler over, or put one idler more between the wheels",
        )
    before = slide.tool
    slide.drawn_to(step.direction, step.reading)
    if (slide.tool - before) * step.direction < 0:
        hands.record.trouble(
            "wrong-way",
            f"the {step.along} has passed that reading before the cut begins",
            "put the reading right",
        )
    _compare(hands, slide, step)
    x, y, z = hands.place()
    rpm = step.rpm if step.nuts in STARTS else hands.rpm
    hands.record.put(ThreadCut(x, y, z, hands.lead, step.nuts, step.every, rpm, first=step.first))


def _look_at_the_idle(hands: Hands) -> None:
    """Record a slide that stands still in the cut and is not locked.

    The cross slide is free: it draws the tool out at once.
    """
    at_work = hands.worked_by()
    for other in hands.slides.values():
        if other not in at_work and other.slide.lock and not other.locked:
            name = other.slide.name
            hands.record.trouble(
                "unlocked", f"a thread is cut, the {name} not locked", "lock it before the cut"
            )


def _compare(hands: Hands, slide: SlideInPlay, step: steps.ThreadStep) -> None:
    """Record a place or a lead that is stated and is not so."""
    if abs(step.lead - hands.lead) > SAME:
        hands.record.trouble(
            "figure",
            f"the cut is said to have a lead of {step.lead:.5f} mm, the wheels give"
            f" {hands.lead:.5f}",
            "put up the wheels for it",
        )
    open_ = slide.slide.count + slide.loose + hands.spread(slide) + SAME
    if slide.zeroed and abs(slide.place - step.place) > open_:
        hands.record.trouble(
            "figure",
            f"the sheet has the {step.along} at z {step.place:.3f} mm, its dial at"
            f" {slide.place:.3f} mm",
            "make the sheet anew",
        )
