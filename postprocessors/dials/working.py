"""Which slides of a lathe are worked by: those of the tool post, or the quill of the tailstock."""

from __future__ import annotations

from pathgen.moves.actions import WorkBy
from pathgen.moves.moves import Axis, Drill
from postprocessors.dials.hands import Hands
from postprocessors.dials.moving import SinkWords, sink
from postprocessors.dials.scribe import Scribe
from postprocessors.dials.steps import WorkByStep


def write_work_by(scribe: Scribe, action: WorkBy) -> None:
    """Take other slides in hand; every place is lost, and the chosen side is that of the work."""
    every = [*scribe.handles.values(), *scribe.idle]
    scribe.add(WorkByStep(number=scribe.number, slides=action.slides, outwards=action.outwards))
    for handle in every:
        handle.lose_zero()
        handle.forget_slack()
        handle.side = side_of_work(handle.slide.axis, outwards=action.outwards)
    taken = [handle for handle in every if handle.slide.name in action.slides]
    scribe.handles = {handle.slide.axis: handle for handle in taken}
    scribe.idle = [handle for handle in every if handle.slide.name not in action.slides]
    scribe.lock(scribe.idle)


def side_of_work(axis: Axis, *, outwards: bool) -> int:
    """Return which way the tool goes as it comes to its sizes: +1 outwards, as inside work does."""
    return 1 if axis == "x" and outwards else -1


def follow_work_by(hands: Hands, step: WorkByStep) -> None:
    """Take other slides in hand, as a step says."""
    for name in step.slides:
        hands.slide(name)
    hands.working = step.slides
    for slide in hands.slides.values():
        slide.forget()
        slide.side = side_of_work(slide.slide.axis, outwards=step.outwards)
    hands.record.put(WorkBy(slides=step.slides, outwards=step.outwards))


QUILL = SinkWords(
    air="up to just off the work", feeding="out, the work turning on", out="out, clear of the work"
)


def write_tailstock_drill(scribe: Scribe, move: Drill) -> None:
    """Wind the quill in, drawing clear as often as it pecks, and out again.

    Raises:
        Refusal: the drill is not in the tailstock.
    """
    if "x" in scribe.handles:
        raise scribe.refusal("drill by the tool post", "drill by the tailstock")
    sink(scribe, move, QUILL)
