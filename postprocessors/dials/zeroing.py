"""Zeroing as steps: touch a face, wind on to the datum, set the dial; or the middle of two."""

from __future__ import annotations

import math
from dataclasses import replace

from pathgen.input.where import Refusal
from pathgen.moves.actions import Touch, Zero
from pathgen.moves.moves import How, Term
from postprocessors.dials.handles import Handle
from postprocessors.dials.readings import Reading, nearest_count
from postprocessors.dials.scribe import Scribe, Wind, correction
from postprocessors.dials.steps import (
    ClearStep,
    MeasureStep,
    Noted,
    SetDialStep,
    SpindleStep,
    TouchStep,
)
from postprocessors.dials.winding import Going, approach

CENTRE = "centre"  # in place of a face: what an indicator is swung in
BLUED = "the blued middle of the face"
AXIS = "axis"  # in place of a face: the point of a fly cutter stands on the work's own axis
BEYOND = 5.0  # mm past the second face before it is touched coming back
OFF = 0.5  # mm by which the faces may be farther apart or nearer than the blank was measured
WHOLE = 1e-6  # of a judged part: a figure that is off a whole one by less is it
HALVING = (
    0.75  # of a judged part: a noted reading is off by half, its half by a quarter, set by half
)


def write_zero(scribe: Scribe, zero: Zero) -> None:
    """Put down the steps that set one axis' zero."""
    handle = scribe.handles[zero.axis]
    sideways = zero.axis != "z"
    down = scribe.handles["z"]
    unknown = [each for each in scribe.others(down) if each.origin is None or each is handle]
    scribe.free([*unknown, down] if sideways else [handle])
    stays = handle.slide.keyed_in  # where the touch left it
    if not handle.slide.resettable:
        _fixed(scribe, handle, zero)
        stays = True
    elif len(zero.touches) == 2:
        if not sideways:
            raise ValueError("a depth is found by one touch, not by two")
        _middle(scribe, handle, zero)
    elif (
        not stays
        and (handle.slide.readout or sideways)
        and zero.touches[0].face not in (CENTRE, AXIS)
    ):
        _from_one_face(scribe, handle, zero)
    else:
        write_touched(scribe, handle, zero)
        touch = zero.touches[0]
        together = zero.axis == "x" and touch.face == CENTRE  # x and y are swung so, y last
        if zero.axis != "z" and not together:
            _raise(scribe, touch)
    moved = sideways or bool(handle.slide.readout)
    stays = stays or zero.touches[0].face == CENTRE
    handle.asked = 0.0 if moved and not stays else zero.touches[-1].at
    handle.rule = None
    handle.exact = True


def write_touched(scribe: Scribe, handle: Handle, zero: Zero) -> None:
    """Set the dial where it touches: the top, by the paper's thickness off 0, or an indicator.

    A readout that takes any figure is set so at a face, too; and a lathe tool on turning work.
    """
    touch = zero.touches[0]
    write_touch(scribe, handle, touch)
    counted = _origin_at(handle, touch)  # where 0 would be if it were set here
    reading = nearest_count(handle.slide.rise * counted / handle.slide.count)
    _set(scribe, handle, reading, zero)
    handle.origin = counted - _travel(handle, reading)


def _from_one_face(scribe: Scribe, handle: Handle, zero: Zero) -> None:
    """Touch a face, wind on to the datum and set the dial to 0 there.

    A depth so only by a readout that cannot be set to the paper's thickness.
    """
    touch = zero.touches[0]
    write_touch(scribe, handle, touch)
    _set(scribe, handle, 0, None)
    over = "the paper drawn out, on to the face"
    if zero.axis != "z":
        _raise(scribe, touch)
        over = "axis over the datum"
    handle.origin = _origin_at(handle, touch)
    on = handle.aim(0.0)
    shift = (Term("at the touch", touch.at), Term("on to the datum", -touch.at))
    how = How(makes="size", what=over, sums=((zero.axis, shift),))
    approach(scribe, handle, Going(axis=zero.axis, place=0.0, how=how, makes="size"), on)
    handle.origin = handle.place(on)
    _set(scribe, handle, 0, zero)


def _middle(scribe: Scribe, handle: Handle, zero: Zero) -> None:
    """Touch two faces and set the dial to 0 half-way between, the slack reckoned in."""
    first, second = zero.touches
    write_touch(scribe, handle, first)
    _set(scribe, handle, 0, None)
    handle.origin = _origin_at(handle, first)
    if (second.at - first.at) * first.towards > 0:  # else the second wall lies across the hole
        _raise(scribe, first)
        over = handle.aim(second.at - second.towards * BEYOND)
        what = "clear beyond the other face"
        scribe.wind(handle, over, Wind(what=what, place=handle.place(over)))
    noted = _note_second(scribe, handle, first, second)
    if handle.slide.keyed_in:
        _half_of_it(scribe, handle, noted, zero)
        _raise(scribe, second)
        return
    _raise(scribe, second)
    middle = _middle_reading(handle, first, second, noted)
    how = How(makes="size", what="half-way between the two touches")
    approach(scribe, handle, Going(axis=zero.axis, place=0.0, how=how, makes="size"), middle)
    handle.origin = 0.0
    _set(scribe, handle, 0, zero, more=HALVING * handle.slide.count)


def _half_of_it(scribe: Scribe, handle: Handle, noted: MeasureStep, zero: Zero) -> None:
    """Set a readout, at the second face, to half of what it shows there: its 0 is the middle."""
    slide = handle.slide
    counts = noted.expected / 2 / slide.count
    follows = correction(handle, noted, 0.5 * slide.rise, counts + WHOLE)
    reading = Reading(base=follows.base, rule=follows)
    _set(scribe, handle, reading.at(), zero, more=HALVING * slide.count)
    last = scribe.steps[-1]
    assert isinstance(last, SetDialStep)
    scribe.steps[-1] = replace(last, rule=follows)
    handle.reading = reading
    handle.origin = 0.0


def _note_second(scribe: Scribe, handle: Handle, first: Touch, second: Touch) -> MeasureStep:
    """Touch the second face and note the dial; return what is noted, as a quantity."""
    slide = handle.slide
    span = second.at - first.at + slide.lag * (second.towards - first.towards) / 2
    expected = nearest_count(slide.rise * span / slide.count) * slide.count  # on the dial, mm
    off = OFF + slide.lag_spread
    low = math.floor((expected - off) / slide.count + WHOLE) * slide.count  # as it can be read
    high = math.ceil((expected + off) / slide.count - WHOLE) * slide.count
    name = _unused(scribe, "F")
    noted = Noted(name=name, expected=expected, low=low, high=high)
    quantity = MeasureStep(
        number=scribe.number,
        name=name,
        what="reading at the second face",
        expected=expected,
        low=low,
        high=high,
    )
    follows = correction(handle, quantity, slide.rise, expected / slide.count + WHOLE)
    reading = Reading(base=follows.base, rule=follows)
    write_touch(scribe, handle, second, noted, reading)
    handle.reading = reading
    scribe.measures[name] = quantity
    return quantity


def _middle_reading(handle: Handle, first: Touch, second: Touch, noted: MeasureStep) -> Reading:
    """Return the reading of the middle: half of (what is noted + the slack that is in it)."""
    slide = handle.slide
    sides = 2 * handle.side - first.towards - second.towards
    counts = (noted.expected / 2 + slide.rise * slide.lag * sides / 4) / slide.count
    follows = correction(handle, noted, 0.5 * slide.rise, counts + WHOLE)
    return Reading(base=follows.base, rule=follows)


def _fixed(scribe: Scribe, handle: Handle, zero: Zero) -> None:
    """Touch a face to know the turn of a dial that cannot be set; its figure was noted before.

    At a depth each cutter is put into its chuck or collet so that the dial shows that figure.
    """
    slide, touch = handle.slide, zero.touches[0]
    if zero.dial_reads is None:
        raise Refusal(
            scribe.where.at("slide"),
            f"the dial of the {slide.name} cannot be set and its figure at the datum is not known",
            f"touch off, note the figure, and put it into the job's datum of {zero.axis} as"
            " `dial_reads`",
        )
    write_touch(scribe, handle, touch)
    handle.origin = -slide.rise * zero.dial_reads
    against = touch.towards != handle.side
    place = touch.at - (handle.side * slide.lag if against else 0.0)
    exact = handle.aim(place).base
    within = max(1, math.ceil(zero.uncertainty / slide.count - WHOLE))
    _set(scribe, handle, nearest_count(exact), zero, more=within * slide.count)
    last = scribe.steps[-1]
    assert isinstance(last, SetDialStep)
    scribe.steps[-1] = replace(last, exact=exact, within=within)
    if zero.axis != "z":
        _raise(scribe, touch)


def write_touch(
    scribe: Scribe,
    handle: Handle,
    touch: Touch,
    note: Noted | None = None,
    reading: Reading | None = None,
) -> None:
    """Put down one touch, and know on which side the slack is after it."""
    slide = handle.slide
    at = 0 if reading is None else reading.at()
    down = not scribe.lathe
    if handle.slide.axis != "z" and down and not (touch.of and touch.of == scribe.inside):
        _go_down(scribe, touch)
    scribe.add(
        TouchStep(
            number=scribe.number,
            slide=slide.name,
            way=slide.way(touch.towards),
            face=touch.face,
            face_at=touch.at + touch.towards * (touch.radius + touch.paper),
            towards=touch.towards,
            tool=touch.tool,
            running=touch.rpm > 0,
            radius=touch.radius,
            paper=touch.paper,
            terms=touch.terms or _terms(touch),
            note=note,
            passes=0 if note is None else handle.passes_to(at),
            dial=slide.split(at)[1],
            of=touch.of,
            found_as=touch.found_as,
        )
    )
    handle.out = {touch.towards: 0.0, -touch.towards: handle.most_slack}


def _terms(touch: Touch) -> tuple[Term, ...]:
    """Return where the tool is at a touch, term by term."""
    face = touch.at + touch.towards * (touch.radius + touch.paper)
    terms = [Term(touch.called, face)]
    if touch.radius:
        terms.append(Term(f"half of the {touch.tool}", -touch.towards * touch.radius))
    if touch.paper:
        terms.append(Term("paper", -touch.towards * touch.paper))
    return tuple(terms)


def _set(
    scribe: Scribe, handle: Handle, reading: int, zero: Zero | None, *, more: float = 0.0
) -> None:
    """Put down the setting of a dial to a reading."""
    turn, dial = handle.slide.split(reading)
    spread = 0.0
    if zero is not None and len(zero.touches) == 1 and zero.touches[0].towards != handle.side:
        spread = handle.slide.lag_spread
    scribe.add(
        SetDialStep(
            number=scribe.number,
            slide=handle.slide.name,
            turn=turn,
            dial=dial,
            zero=zero is not None,
            uncertainty=0.0 if zero is None else zero.uncertainty + spread + more,
        )
    )
    handle.reading = Reading(base=float(reading))


def _go_down(scribe: Scribe, touch: Touch) -> None:
    """Take the tool down beside the face, or into what is picked up; start the spindle there."""
    if touch.of:
        by_eye(scribe, inside=touch.of)
    elif touch.face == AXIS:
        by_eye(scribe, onto=BLUED)
    else:
        by_eye(scribe, beside=touch.called, under=touch.under)
    if touch.rpm:
        scribe.add(SpindleStep(number=scribe.number, rpm=touch.rpm))


def _raise(scribe: Scribe, touch: Touch) -> None:
    """Draw the tool up until it is clear, and stop the spindle if it turns."""
    by_eye(scribe)
    if touch.rpm:
        scribe.add(SpindleStep(number=scribe.number, rpm=0.0))


def by_eye(
    scribe: Scribe,
    *,
    beside: str = "",
    inside: str = "",
    onto: str = "",
    rises: float = 0.0,
    under: float = 0.0,
) -> None:
    """Wind the depth by eye, down to where a touch is or up clear; its count is lost.

    Args:
        scribe: writes the step.
        beside: the face that the tool goes down beside.
        inside: the feature that it goes down into.
        onto: what its point just reaches.
        rises: how far up the work swings then, mm, so that it goes up by more.
        under: how far below the upper face its end goes beside the face, mm; 0: a little.
    """
    handle = scribe.handles["z"]
    scribe.inside = inside
    down = bool(beside or inside or onto)
    across = [each for each in scribe.others(handle) if down and each.origin is None]
    scribe.free([*across, handle])
    direction = -1 if down else 1
    scribe.add(
        ClearStep(
            number=scribe.number,
            slide=handle.slide.name,
            way=handle.slide.way(direction),
            beside=beside,
            inside=inside,
            onto=onto,
            across=tuple(each.slide.name for each in across),
            height=None if down or scribe.by_eye is None else scribe.by_eye + rises,
            under=under,
        )
    )
    for each in across:
        each.forget_slack()
    handle.lose_zero()
    handle.out = {direction: 0.0, -direction: handle.most_slack}


def _origin_at(handle: Handle, touch: Touch) -> float:
    """Return where the tool stands at reading 0, slack on the chosen side, if 0 is set there."""
    if touch.towards == handle.side:
        return touch.at
    return touch.at - handle.side * handle.slide.lag


def _travel(handle: Handle, reading: int) -> float:
    """Return the way of the tool from reading 0 to a reading, mm."""
    return handle.slide.rise * reading * handle.slide.count


def _unused(scribe: Scribe, letter: str) -> str:
    """Return a name for a quantity that is not taken yet."""
    number = 1
    while f"{letter}{number}" in scribe.measures:
        number += 1
    return f"{letter}{number}"
