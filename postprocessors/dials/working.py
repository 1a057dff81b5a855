"""Which slides of a lathe are worked by: those of the tool post, or the quill of the tailstock."""

from __future__ import annotations

from pathgen.moves.actions import WorkBy
from pathgen.moves.moves import Axis, Drill
from postprocessors.dials.handles import Handle
from postprocessors.dials.hands import Hands
from postprocessors.dials.moving import SinkWords, sink
from postprocessors.dials.scribe import Scribe
from postprocessors.dials.steps import ClearStep, WorkByStep


def write_work_by(scribe: Scribe, action: WorkBy) -> None:
    """Take other slides in hand; the chosen side is that of the work.

    Every place is lost but that of a slide which stays in hand and comes up the same way: the tool
    is drawn off to the right then, where the new slide finds the end.
    """
    every = [*scribe.handles.values(), *scribe.idle]
    stays = [handle for handle in scribe.handles.values() if _stays(handle, action)]
    scribe.add(WorkByStep(number=scribe.number, slides=action.slides, outwards=action.outwards))
    for handle in every:
        if handle in stays:
            continue
        handle.lose_zero()
        handle.forget_slack()
        handle.side = side_of_work(handle.slide.axis, outwards=action.outwards)
    taken = [handle for handle in every if handle.slide.name in action.slides]
    scribe.handles = {handle.slide.axis: handle for handle in taken}
    scribe.idle = [handle for handle in every if handle.slide.name not in action.slides]
    scribe.lock(scribe.idle)
    if any(handle.slide.axis == "x" and handle.origin is not None for handle in stays):
        scribe.free([scribe.handles["z"]])
        off_to_the_right(scribe)


def _stays(handle: Handle, action: WorkBy) -> bool:
    """Return whether a slide that is in hand stays in hand, coming up the same way."""
    side = side_of_work(handle.slide.axis, outwards=action.outwards)
    return handle.slide.name in action.slides and handle.side == side


def off_to_the_right(scribe: Scribe) -> None:
    """Wind the tool by eye along the work until it is clear of its end; its count is lost."""
    along = scribe.handles["z"]
    scribe.add(ClearStep(number=scribe.number, slide=along.slide.name, way=along.slide.way(1)))
    along.lose_zero()
    along.out = {1: 0.0, -1: along.most_slack}


def side_of_work(axis: Axis, *, outwards: bool) -> int:
    """Return which way the tool goes as it comes to its sizes: +1 outwards, as inside work does."""
    return 1 if axis == "x" and outwards else -1


def follow_work_by(hands: Hands, step: WorkByStep) -> None:
    """Take other slides in hand, as a step says."""
    for name in step.slides:
        slide = hands.slide(name)
        if slide is not None and hands.swung is not None and hands.swung.slide is slide:
            hands.record.trouble(
                "swung", f"the {name} is worked by along the axis, and is swung", "use another"
            )
    before = hands.worked_by()
    hands.working = step.slides
    for name, slide in hands.slides.items():
        side = side_of_work(slide.slide.axis, outwards=step.outwards)
        if not (slide in before and name in step.slides and slide.side == side):
            slide.forget()
        slide.side = side
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
