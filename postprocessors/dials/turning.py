"""What differs on a lathe: the tool is moved one handle at a time, touched on the work it turns."""

from __future__ import annotations

import math

from pathgen.moves.actions import (
    ChangeWheels,
    HalfNuts,
    SetStop,
    SwingSlide,
    WorkBy,
    Zero,
    ZeroByMeasure,
)
from pathgen.moves.moves import Axis, Drill, Feed, Rapid, ThreadCut
from pathgen.moves.plan import Item
from postprocessors.dials.moving import moves
from postprocessors.dials.readings import Reading
from postprocessors.dials.screwing import write_screwing
from postprocessors.dials.scribe import Scribe, correction
from postprocessors.dials.slanting import write_slant, write_swing
from postprocessors.dials.steps import SetDialStep, StopStep
from postprocessors.dials.winding import EMPTY, Going, reach
from postprocessors.dials.working import off_to_the_right, write_tailstock_drill, write_work_by
from postprocessors.dials.zeroing import write_touched


def write_turned(scribe: Scribe, item: Item) -> bool:  # noqa: C901 - a case a kind
    """Put down the steps of an item that a lathe does in its own way; tell whether it was one."""
    if isinstance(item, Rapid | Feed) and write_slant(scribe, item):
        return True
    match item:
        case Rapid():
            _rapid(scribe, item)
        case Zero():
            _zero(scribe, item)
        case ZeroByMeasure():
            _zero_by_measure(scribe, item)
        case WorkBy() | SwingSlide():
            _take_in_hand(scribe, item)
        case ThreadCut() | ChangeWheels() | HalfNuts():
            write_screwing(scribe, item)
        case SetStop():
            scribe.add(StopStep(number=scribe.number, slide=item.slide, away=item.away))
        case Drill():
            write_tailstock_drill(scribe, item)
        case _:
            return False
    return True


def _take_in_hand(scribe: Scribe, action: WorkBy | SwingSlide) -> None:
    """Work by other slides, or swing one."""
    if isinstance(action, WorkBy):
        write_work_by(scribe, action)
    else:
        write_swing(scribe, action)


def _rapid(scribe: Scribe, move: Rapid) -> None:
    """Go in the air along one axis; the planner has said which way round."""
    how = move.how or EMPTY
    places: tuple[tuple[Axis, float], ...] = (("x", move.x), ("z", move.z))
    changed = [
        (axis, place)
        for axis, place in places
        if axis in scribe.handles
        and not math.isnan(place)
        and (moves(scribe.handles[axis], place) or how.rule_of(axis) is not None)
    ]
    if len(changed) > 1:
        raise ValueError("a rapid along x and z at once: plan one after the other")
    for axis, place in changed:
        going = Going(axis=axis, place=place, how=how, makes=how.makes)
        reach(scribe, going)


def _zero(scribe: Scribe, zero: Zero) -> None:
    """Touch the turning work and set the dial to where the tool is then.

    Raises:
        Refusal: the dial cannot be set, or the readout to no figure but 0.
    """
    handle = scribe.handles[zero.axis]
    if not handle.slide.resettable:
        raise scribe.refusal(
            f"set the dial of the {handle.slide.name}, whose ring cannot be turned",
            "use a lathe whose dials can be set",
        )
    if handle.slide.readout and not handle.slide.preset:
        raise scribe.refusal(
            f"set the readout of the {handle.slide.name} to a diameter or a length: it can be set"
            " to 0 alone",
            "use a lathe whose readouts take any figure, or its dials",
        )
    scribe.free(scribe.handles.values())
    write_touched(scribe, handle, zero)
    handle.asked = zero.touches[-1].at
    handle.rule = None
    handle.exact = True
    if zero.axis == "x":
        off_to_the_right(scribe)


def _zero_by_measure(scribe: Scribe, action: ZeroByMeasure) -> None:
    """Set a dial by the diameter, or the length, that was measured where the tool stands."""
    handle, measure = scribe.handles[action.axis], scribe.measures[action.measure]
    slide = handle.slide
    counts = slide.rise * action.place(measure.expected) / slide.count
    follows = correction(handle, measure, action.share, counts)
    reading = Reading(base=follows.base, rule=follows)
    turn, dial = slide.split(reading.at())
    scribe.add(
        SetDialStep(
            number=scribe.number,
            slide=slide.name,
            turn=turn,
            dial=dial,
            zero=True,
            uncertainty=action.uncertainty + slide.count / 2,
            rule=follows,
        )
    )
    handle.reading = reading
    handle.origin = 0.0
    handle.asked = action.place(measure.expected)
    handle.exact = True
