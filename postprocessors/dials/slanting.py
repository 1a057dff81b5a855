"""Tapers by a slide that is swung: written as winds of its one handle, and followed.

Winding it moves the tool across and along at once. So the places at which the dials of the others
read 0 go along with it, both as the sheet is written and as it is followed.
"""

from __future__ import annotations

import math

from pathgen.moves.actions import SwingSlide
from pathgen.moves.moves import Feed, Makes, Rapid
from postprocessors.dials import steps
from postprocessors.dials.handles import Cutting, Handle
from postprocessors.dials.hands import Hands
from postprocessors.dials.moving import moves
from postprocessors.dials.readings import Reading
from postprocessors.dials.scribe import Scribe
from postprocessors.dials.slides_in_play import SlideInPlay
from postprocessors.dials.swung import SwungHandle, SwungSlide, shares
from postprocessors.dials.winding import EMPTY, Going, approach

TOWARDS_CHUCK = -1  # which way a slide that is swung cuts, and comes to its readings
SAME = 1e-6  # mm, or degrees: less is no difference


def write_swing(scribe: Scribe, action: SwingSlide) -> None:
    """Put down the swinging of a slide, by which every place is lost but the one along itself."""
    handle = next((each for each in scribe.idle if each.slide.name == action.slide), None)
    if handle is None:
        raise ValueError(f"the {action.slide} is swung, and is no slide that may be")
    scribe.free([handle])
    scribe.add(
        steps.SwingStep(
            number=scribe.number,
            slide=action.slide,
            angle_deg=action.angle_deg,
            over=action.over,
            rise=action.rise,
            against=action.against,
            uncertainty_deg=action.uncertainty_deg,
            measure=action.follows,
            expected=action.expected,
            factor=action.factor,
        )
    )
    for each in scribe.handles.values():
        each.lose_zero()
        each.forget_slack()
    handle.side = TOWARDS_CHUCK
    handle.reading = Reading(base=0.0)
    handle.origin = handle.asked = 0.0
    handle.out = {TOWARDS_CHUCK: 0.0, -TOWARDS_CHUCK: handle.most_slack}
    scribe.swung = SwungHandle(handle=handle, angle_deg=action.angle_deg)
    scribe.lock([handle])


def write_slant(scribe: Scribe, move: Rapid | Feed) -> bool:
    """Put down a move across and along by the slide that is swung; tell whether it was one.

    Raises:
        Refusal: it does not go the way that the slide goes.
    """
    across, along, swung = scribe.handles.get("x"), scribe.handles.get("z"), scribe.swung
    if swung is None or across is None or along is None:
        return False
    if not (moves(across, move.x) and moves(along, move.z)):
        return False
    share = shares(swung.angle_deg)
    way = (move.z - along.asked) / share["z"]
    if abs(move.x - across.asked - way * share["x"]) > SAME:
        raise scribe.refusal(
            f"a cut across and along that is not along the {swung.handle.slide.name} as it stands",
            "swing it to that angle",
        )
    before = swung.handle.place(swung.handle.reading)
    _wind_along(scribe, swung.handle, move, swung.handle.asked + way)
    gone = swung.handle.place(swung.handle.reading) - before
    for handle, place in ((across, move.x), (along, move.z)):
        assert handle.origin is not None, "both have a zero, since both know what was asked"
        handle.origin += gone * share[handle.slide.axis]
        handle.asked = place
    return True


def _wind_along(scribe: Scribe, handle: Handle, move: Rapid | Feed, to: float) -> None:
    """Put down the winds of a slide that is swung, to a place along itself."""
    how = move.how or EMPTY
    makes: Makes = how.makes
    cutting = None
    if isinstance(move, Feed):
        makes = "stop" if makes == "air" else makes
        cutting = Cutting(feed=move.feed)
        if to > handle.asked:
            raise ValueError("a taper is cut towards the chuck")
    going = Going(axis="z", place=to, how=how, makes=makes, cutting=cutting, over=cutting is None)
    approach(scribe, handle, going, handle.aim(to))
    handle.asked = to


def follow_swing(hands: Hands, step: steps.SwingStep) -> None:
    """Swing a slide, as far as an indicator says; its dial reads 0 then, its slack taken out."""
    slide = hands.slide(step.slide)
    if slide is None:
        return
    if hands.rpm:
        hands.record.trouble(
            "spindle", f"the {step.slide} is swung, the spindle turning", "stop it first"
        )
    hands.look_at_locks(slide, cuts=False)
    swung = _as_set(hands, slide, step)
    if abs(swung.stated_deg - step.angle_deg) > SAME:
        hands.record.trouble(
            "figure",
            f"the indicator sets the {step.slide} to {swung.stated_deg:.4f} degrees, the sheet"
            f" says {step.angle_deg:.4f}",
            "put the rise of the indicator right",
        )
    for each in hands.slides.values():
        each.forget()
    slide.begin_at_zero(TOWARDS_CHUCK)
    hands.swung = swung
    hands.record.put(
        SwingSlide(
            slide=step.slide,
            angle_deg=step.angle_deg,
            over=step.over,
            rise=step.rise,
            against=step.against,
            uncertainty_deg=step.uncertainty_deg,
            follows=step.measure,
            expected=step.expected,
            factor=step.factor,
        )
    )


def _as_set(hands: Hands, slide: SlideInPlay, step: steps.SwingStep) -> SwungSlide:
    """Return how a slide stands once the indicator rises as the step says.

    Against a diameter it rises by the angle itself, against a taper by what the slide is turned.
    What is measured after it tells, in a case, how far that is off.
    """
    rise = step.rise
    if step.measure:
        found = hands.value_of(step.measure, step.expected)
        rise += step.factor * (found - step.expected)
    before = hands.swung
    if step.against != "turned":
        if before is None or before.slide is not slide:
            hands.record.trouble(
                "swung", f"no taper was cut by the {step.slide} before", "swing it first"
            )
            before = SwungSlide(slide=slide, true_deg=step.angle_deg, stated_deg=step.angle_deg)
        return SwungSlide(
            slide=slide,
            true_deg=before.true_deg + _angle(rise, step.over),
            stated_deg=before.stated_deg + _angle(step.rise, step.over),
        )
    told = _angle(rise, step.over)
    slope = math.tan(math.radians(told)) * _as_found(hands, step.number)
    return SwungSlide(
        slide=slide,
        true_deg=math.degrees(math.atan(slope)),
        stated_deg=_angle(step.rise, step.over),
    )


def _angle(rise: float, over: float) -> float:
    """Return the angle at which a slide goes out by so much over a way of its own, degrees."""
    return math.degrees(math.asin(max(-1.0, min(1.0, rise / over))))


def _as_found(hands: Hands, number: int) -> float:
    """Return by what share the slope differs from the one that is set, by what is measured next."""
    for step in hands.sheet.steps[number:]:
        if isinstance(step, steps.SwingStep):
            break
        if isinstance(step, steps.MeasureStep) and step.found_by == "angle" and step.expected:
            return dict(hands.case.found).get(step.name, step.expected) / step.expected
    return 1.0


def carry_along(hands: Hands, slide: SlideInPlay, before: tuple[float, float]) -> None:
    """Let the places of the other slides go along with one that is swung and was wound.

    Args:
        hands: what is known; the wind has been done.
        slide: the one that was wound.
        before: where its tool, and where its dial had it, before; mm.
    """
    swung = hands.swung
    if swung is None or swung.slide is not slide:
        return
    gone, told = slide.tool - before[0], slide.told - before[1]
    true, stated = shares(swung.true_deg), shares(swung.stated_deg)
    for other in hands.worked_by():
        if other is slide or other.frame is None:
            continue
        other.frame += gone * true[other.slide.axis]
        if other.stated is not None:
            other.stated += told * stated[other.slide.axis]
