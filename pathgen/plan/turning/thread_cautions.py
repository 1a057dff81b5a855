"""What a person should know before the first pass of a thread."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.moves.actions import Note
from pathgen.plan.turning.boring import BORING
from pathgen.plan.turning.thread_passes import Passes

SCREW_CUTTING = (
    "Screw-cutting: the carriage goes by itself, fast, towards the shoulder. Rehearse it first, the"
    " tool well clear, the chuck turning at the speed said: cross slide, half-nuts or spindle as"
    " the steps say. Spindle stopped and isolated before the wheels' cover comes off, the cover"
    " on again before it turns. Keep fingers, rags and sleeves off the work and the leadscrew;"
    " never file or oil the thread by hand while it turns."
)
REVERSING = (
    "The spindle is reversed: let it come to rest each time, and see that the chuck cannot unscrew"
    " itself (a chuck on a plain screwed nose must be locked, or the spindle turned by hand)."
)
ROUND_CRESTS = (
    "The crests are round by their standard, and the tool leaves them flat with corners, which bind"
    " in a full nut or gauge: ease them before that is tried, the spindle stopped, by a fine file."
)
IN_STEP = (
    "In step with the spindle: feed and speed override at 100 % and never touched in a pass, no"
    " feed hold; the speed is not changed between passes."
)
INWARDS = (
    "Inside, the tool is cleared the other way than outside: cross slide IN, towards the axis, and"
    " only so far as the step says, or the back of the bar meets the far wall. Rehearse that too."
)

AWAY = (
    "LEFT-HAND: it begins in the groove and goes away from the chuck, the spindle forward. Before"
    " the first pass see that the point stands in the groove, clear of both walls, at the place"
    " said. The tool wants its side clearance on the edge that leads, to the right."
)


def cautions_of(passes: Passes) -> Iterator[Note]:
    """Yield the cautions of a thread."""
    gear, screwed = passes.gear, passes.cutting.screwed
    by_hand = gear.nuts != "control"
    yield Note(text=SCREW_CUTTING if by_hand else IN_STEP, caution=True)
    if screwed.inside:
        yield Note(text=BORING, caution=True)
    if screwed.inside and by_hand:
        yield Note(text=INWARDS, caution=True)
    if screwed.along > 0:
        yield Note(text=AWAY, caution=True)
    if gear.nuts == "closed":
        yield Note(text=REVERSING, caution=True)
    if screwed.thread.form.round_crests:
        yield Note(text=ROUND_CRESTS, caution=True)
