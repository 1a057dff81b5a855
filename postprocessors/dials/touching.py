"""How the replay comes to know where the tool stands: touches, and the setting of dials."""

from __future__ import annotations

import math

from pathgen.moves.actions import Touch, Zero, ZeroByMeasure
from postprocessors.dials import steps
from postprocessors.dials.claims import HALVED, compare_touch
from postprocessors.dials.comparing import REWRITE
from postprocessors.dials.hands import Hands
from postprocessors.dials.readings import nearest_count
from postprocessors.dials.slides_in_play import SlideInPlay

CENTRE = "centre"  # in place of a face: what an indicator is swung in
AXIS = "axis"  # in place of a face: the point of a fly cutter stands on the work's own axis
NEARLY = 1e-9  # mm
MIDDLE = 2  # touches, between which a zero lies half-way


def find(hands: Hands, step: steps.TouchStep | steps.ClearStep | steps.SetDialStep) -> None:
    """Touch a face, draw clear of it, or set a dial."""
    slide = hands.slide(step.slide)
    if slide is None:
        return
    match step:
        case steps.SetDialStep():
            _set_dial(hands, slide, step)
        case steps.TouchStep():
            hands.look_at_locks(slide, cuts=False)
            _touch(hands, slide, step)
        case steps.ClearStep():
            hands.look_at_locks(slide, cuts=False)
            _by_eye(hands, slide, step)


def _by_eye(hands: Hands, slide: SlideInPlay, step: steps.ClearStep) -> None:
    """Wind the depth by eye; how high the tool then is, is known after a way up from below alone.

    Down beside a face, or inside a hole, nothing is known of its height.
    """
    for name in step.across:
        other = hands.slide(name)
        if other is not None:
            hands.look_at_locks(other, cuts=False)
            other.forget()
    slide.run_off(step.way)
    for each in hands.slides.values():
        each.at_face = 0
    hands.record.stands_above(math.nan)
    hands.beside, hands.inside = step.beside, step.inside
    where = f"beside the {step.beside}" if step.beside else step.inside and f"into {step.inside}"
    where = where or (step.onto and f"onto {step.onto}")
    up = slide.slide.axis == "z" and slide.direction(step.way) > 0
    down = slide.slide.axis == "z" and slide.direction(step.way) < 0
    if where and not down:
        hands.record.trouble(
            "wrong-way",
            f"{step.way} the {step.slide} does not take the tool down {where}",
            "wind the other way",
        )
    elif not where and not up:
        hands.record.trouble(
            "not-raised",
            f"{step.way} the {step.slide} does not draw the tool up",
            "draw it up to be clear",
        )
    elif not where and step.height is not None:
        hands.record.stands_above(step.height)


def _touch(hands: Hands, slide: SlideInPlay, step: steps.TouchStep) -> None:
    """Wind until the tool touches; note what the dial reads where that is asked for."""
    axis = slide.slide.axis
    place = step.face_at - step.towards * (step.radius + step.paper)
    beyond = 0.0 if step.note is None else hands.case.beyond(step.note.name)
    off = _off_as_found(hands, step)
    if slide.direction(step.way) != step.towards:
        hands.record.trouble(
            "wrong-way",
            f"wound {step.way}, the tool goes away from the {step.face} face",
            "wind the other way",
        )
    compare_touch(hands, slide, step)
    slide.touch(step.way, place + off - step.towards * beyond)
    slide.middle_off = -step.towards * beyond / 2
    slide.loose = hands.spread(slide) if step.note or step.towards != slide.side else 0.0
    slide.loose += abs(off)
    touch = Touch(
        face=step.face,
        towards=step.towards,
        tool=step.tool,
        radius=step.radius,
        paper=step.paper,
        at=place if step.found_as else place + off,
        terms=step.terms,
        over=_seen_from_above(hands) if axis == "z" and not hands.lathe else None,
        rpm=hands.rpm,
        of=step.of,
        found_as=step.found_as,
    )
    _look_at_the_tool(hands, step, sideways=axis != "z" and not hands.lathe)
    hands.touches.setdefault(axis, []).append(touch)
    if axis == "z" or step.face in (CENTRE, AXIS):
        slide.at_face = 0  # it is drawn up from there, the dial being set at once; or stands free
    if step.note is not None:
        _note(hands, slide, step.note, beyond=-step.towards * beyond)


def _off_as_found(hands: Hands, step: steps.TouchStep) -> float:
    """Return how much further out the tool stood than the sheet has it, mm.

    By what is found later; and on a faced end as that truly came out, its dial set to the nearest
    judged part.
    """
    if step.face == "right end" and not step.found_as and not math.isnan(hands.faced_at):
        return hands.faced_at
    found = dict(hands.case.found).get(step.found_as)
    if found is None:
        return 0.0
    slide = hands.slide(step.slide)
    share = 1.0 if slide is not None and slide.slide.axis == "z" else 0.5  # of a length, or across
    return share * (found - hands.expected.get(step.found_as, found))


def _look_at_the_tool(hands: Hands, step: steps.TouchStep, *, sideways: bool) -> None:
    """See that the tool is down at the face that it touches, and turns or stands as it should."""
    due = ("", step.of) if step.of else (step.called, "")
    if step.face == AXIS:
        due = ("", "")  # it stands on the face
    if sideways and (hands.beside, hands.inside) != due:
        stands = "it is up"
        if hands.beside or hands.inside:
            down = f"beside the {hands.beside}" if hands.beside else f"inside {hands.inside}"
            stands = f"it was taken down {down}"
        hands.record.trouble(
            "not-lowered",
            f"the {step.called} is touched, and the tool is not"
            f" {f'inside {step.of}' if step.of else 'beside it'}: {stands}",
            f"take it down {f'inside {step.of}' if step.of else 'beside the face'} first",
        )
    if step.running != (hands.rpm > 0):
        hands.record.trouble(
            "spindle",
            f"a touch for which the spindle {'turns' if step.running else 'stands'}, and it"
            f" {'stands' if step.running else 'turns'}",
            "start or stop it before",
        )


def _seen_from_above(hands: Hands) -> tuple[float, float] | None:
    """Return where the tool stands in plan, None while that is not known."""
    x, y, _ = hands.place()
    return None if math.isnan(x + y) else (x, y)


def _note(hands: Hands, slide: SlideInPlay, noted: steps.Noted, *, beyond: float) -> None:
    """Note what the dial reads; a blank as measured must give what the sheet expects.

    Args:
        hands: what is known.
        slide: the one whose dial is read.
        noted: what the sheet says of it.
        beyond: how far the face is from where the sheet has it, along the axis, mm.
    """
    if slide.shown_at is None:
        hands.record.trouble(
            "no-zero", "a reading is noted, but the dial was not set", "set it first"
        )
        return
    here = slide.slide
    found = math.floor(slide.reading + 0.5) * here.count
    hands.found[noted.name] = found
    if not noted.low <= found <= noted.high:
        hands.record.out_of_range(noted.name, found, noted.low, noted.high)
    measured = found - here.rise * beyond
    if abs(measured - noted.expected) > here.count + hands.spread(slide) + NEARLY:
        hands.record.trouble(
            "figure",
            f"{noted.name} should be {noted.expected:.3f} on the sheet, but a blank as measured"
            f" gives {measured:.3f}",
            "make the sheet anew",
        )


def _set_dial(hands: Hands, slide: SlideInPlay, step: steps.SetDialStep) -> None:
    """Turn the ring; the zero holds from there on if the step says so."""
    reading = _figure_to_set(hands, slide, step)
    if step.rule is not None and hands.lathe:
        slide.loose = 0.0
    fixed = not slide.slide.resettable
    slide.set_ring(step.exact if fixed and step.exact is not None else reading)
    if fixed and step.exact is None:
        hands.record.trouble(
            "machine-changed", f"the dial of the {step.slide} cannot be set", REWRITE
        )
    if slide.frame is None:
        hands.record.trouble(
            "no-zero",
            f"the dial of the {step.slide} is set, but nothing has been touched",
            "touch the face first",
        )
    if step.zero:
        _take_for_zero(hands, slide, step)


def _figure_to_set(hands: Hands, slide: SlideInPlay, step: steps.SetDialStep) -> int:
    """Return the reading that is set: that of the step, or what follows from what was noted."""
    if step.rule is not None:
        rule = step.rule
        found = hands.value_of(rule.measure, rule.expected)
        if not rule.low <= found <= rule.high:
            hands.record.out_of_range(rule.measure, found, rule.low, rule.high)
        return nearest_count(rule.base + rule.per_mm * (found - rule.expected))
    if slide.slide.readout:
        return step.dial
    return step.turn * slide.slide.counts_per_turn + step.dial


def _take_for_zero(hands: Hands, slide: SlideInPlay, step: steps.SetDialStep) -> None:
    """Let the zero hold; where it lies between two touches, the frame goes with the true middle."""
    axis = slide.slide.axis
    slide.zeroed = True
    hands.zero_doubt[axis] = max(step.uncertainty, hands.zero_doubt.get(axis, 0.0))
    touches = tuple(hands.touches.pop(axis, ()))[-2:]
    if step.rule is not None and len(touches) < MIDDLE:  # else it is half of what was noted
        _zeroed_by_measure(hands, slide, step, step.rule.measure)
        return
    if not touches:
        return
    if len(touches) > 1 and slide.frame is not None:
        slide.frame -= slide.middle_off
    slide.middle_off = 0.0
    reads = _figure_at_zero(hands, slide, touches[0], step)
    left = max(step.uncertainty - _left_by_dial(slide, touches, step), 0.0)
    hands.record.put(Zero(axis=axis, touches=touches, uncertainty=left, dial_reads=reads))
    if slide.slide.resettable:
        _see_that_it_is_zero(hands, slide)


def _zeroed_by_measure(
    hands: Hands, slide: SlideInPlay, step: steps.SetDialStep, measure: str
) -> None:
    """Let a zero hold that was set by a measured size: what its touch left open is gone."""
    axis = slide.slide.axis
    hands.zero_doubt[axis] = step.uncertainty
    left = max(step.uncertainty - slide.slide.count / 2, 0.0)
    hands.record.put(ZeroByMeasure(axis=axis, measure=measure, uncertainty=left))
    _see_that_it_is_zero(hands, slide)


def _left_by_dial(slide: SlideInPlay, touches: tuple[Touch, ...], step: steps.SetDialStep) -> float:
    """Return what the dial and the slack leave open of a zero, beside the touching, mm."""
    here = slide.slide
    if not here.resettable:
        return step.within * here.count + _spread_against(slide, touches)
    if len(touches) > 1:
        return HALVED * here.count
    return _spread_against(slide, touches)


def _spread_against(slide: SlideInPlay, touches: tuple[Touch, ...]) -> float:
    """Return the spread of the slack, where a face was come to against the chosen side, mm."""
    return slide.slide.lag_spread if touches[0].towards != slide.side else 0.0


def _figure_at_zero(
    hands: Hands, slide: SlideInPlay, touch: Touch, step: steps.SetDialStep
) -> float | None:
    """Return what a dial that cannot be set would show at the zero, mm from the dial's own 0.

    It follows from the figure that the sheet gives for the touch. Where the tool came to the face
    against the chosen side, the slack as measured lies between.
    """
    here = slide.slide
    if here.resettable or step.exact is None:
        return None
    stated = step.turn * here.counts_per_turn + step.dial
    if nearest_count(step.exact) != stated:
        hands.record.trouble(
            "figure",
            f"the dial of the {here.name} is to show {stated * here.judged:g} divisions, and its"
            f" figure is {step.exact * here.judged:.2f}",
            REWRITE,
        )
    against = touch.towards != slide.side
    driven = touch.at - (slide.side * here.lag if against else 0.0)
    return step.exact * here.count - here.rise * driven


def _see_that_it_is_zero(hands: Hands, slide: SlideInPlay) -> None:
    """Record a trouble where a dial that reads 0 at the datum would not read so."""
    here = slide.slide
    off = slide.told - here.rise * slide.reading * here.count
    if abs(off) > HALVED * here.count + slide.loose + NEARLY:
        slide.astray = True
        hands.record.trouble(
            "zero",
            f"the zero of the {here.name} is {off:+.3f} mm off the datum",
            "see how this zero was found: the readings, the sum, the slack",
        )
