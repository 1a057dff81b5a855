"""The passes of a thread: of even chip area, then measured, and to size in equal cuts."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.moves.actions import HalfNuts, Measure, Note, Spindle
from pathgen.moves.moves import NAN, How, Rapid, Rule, Term, ThreadCut
from pathgen.moves.plan import Item
from pathgen.plan.turning.bench import CLEAR
from pathgen.plan.turning.figures import TurningFigures
from pathgen.plan.turning.outside import across, along
from pathgen.plan.turning.thread_gear import Gear
from pathgen.plan.turning.thread_tool import ThreadCutting
from pathgen.reckon.screw_cutting import even_areas, first_depth, over_wires, pitch_diameter_at

RUN_IN = 3.0  # leads to the right of the face where a cut begins: common practice, no source
LEFT = 0.06  # mm on the radius left when the thread is measured; more than half of OFF
OFF = 0.08  # mm by which the size over wires may be off what the dial says
CUTS_TO_SIZE = 3  # equal ones, from what was measured: about the chip of the passes before
SPRING_PASSES = 2  # at the last setting once more; common practice, no source
SCREW_CUTTING = (
    "Screw-cutting: the carriage goes by itself, fast, towards the shoulder. Rehearse it first, the"
    " tool well out, the chuck turning at the speed said: cross slide out, half-nuts or spindle"
    " as the steps say. Spindle stopped and isolated before the wheels' cover comes off, the cover"
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


def pass_items(
    cutting: ThreadCutting, gear: Gear, figures: TurningFigures, name: str
) -> Iterator[Item]:
    """Yield the cautions, the passes, the measurement and the passes to size."""
    passes = _Passes(cutting=cutting, gear=gear, rpm=figures.rpm)
    yield from _cautions(cutting, gear)
    yield along(passes.start)
    if gear.nuts == "closed":  # the carriage goes whenever the spindle turns: each pass starts it
        yield from (Spindle(rpm=0.0), HalfNuts(closed=True))
    depth = cutting.outside - cutting.tip
    rough = even_areas(depth - LEFT, first_depth(cutting.bench.machine.rigidity))
    for number, each in enumerate(rough, start=1):
        how = How(makes="size", what=f"pass {number} of {len(rough)}")
        yield from passes.one(cutting.outside - each, how)
    if gear.nuts == "closed":
        yield _measure(cutting, name)
    elif name:
        yield from (Spindle(rpm=0.0), _measure(cutting, name), Spindle(rpm=figures.rpm))
    for count in range(1, CUTS_TO_SIZE + SPRING_PASSES + 1):
        number = min(count, CUTS_TO_SIZE)
        x = cutting.tip + LEFT * (CUTS_TO_SIZE - number) / CUTS_TO_SIZE
        yield from passes.one(x, _finishing(cutting, name, count))
    if gear.nuts == "closed":
        yield HalfNuts(closed=False)


def _cautions(cutting: ThreadCutting, gear: Gear) -> Iterator[Note]:
    """Yield what a person should know before the first pass."""
    yield Note(text=IN_STEP if gear.nuts == "control" else SCREW_CUTTING, caution=True)
    if gear.nuts == "closed":
        yield Note(text=REVERSING, caution=True)
    if cutting.screwed.thread.form.round_crests:
        yield Note(text=ROUND_CRESTS, caution=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Passes:
    """The passes of a thread: in, along, out at once, and back; mm."""

    cutting: ThreadCutting
    gear: Gear
    rpm: float

    @property
    def start(self) -> float:
        """Return where a pass begins."""
        return max(CLEAR, RUN_IN * self.gear.lead)

    @property
    def out(self) -> float:
        """Return the x to which the tool is drawn out."""
        return self.cutting.outside + CLEAR

    def one(self, x: float, how: How) -> Iterator[Item]:
        """Yield one pass with the tip at an x.

        A control comes in along the flank that trails, by its places along the axis; a cross slide
        comes straight in, since the leadscrew alone says where the tool is along the axis.
        """
        gear = self.gear
        aside = 0.0
        if gear.nuts == "control":
            half = math.radians(self.cutting.screwed.thread.form.angle_deg / 2)
            aside = (x - self.cutting.tip) * math.tan(half)
            yield along(self.start + aside)
        yield Rapid(x, 0.0, NAN, how)
        end = self.cutting.end + aside
        cut = How(makes="stop", what="along the thread; draw the tool out there at once")
        yield ThreadCut(x, 0.0, end, gear.lead, gear.nuts, gear.every, self.rpm, cut)
        yield across(self.out, "out of the thread, at once")
        if gear.nuts == "closed":
            back = How(what="back to the start")
            yield ThreadCut(self.out, 0.0, self.start, gear.lead, "reversed", 0, self.rpm, back)
        elif gear.nuts == "dial":
            yield along(self.start, "back to the start, the half-nuts open")
        else:
            yield along(self.start, "back to the start")


def _measure(cutting: ThreadCutting, name: str) -> Measure:
    """Return the measurement over three wires, before the cuts to size."""
    screwed, thread = cutting.screwed, cutting.screwed.thread
    found = pitch_diameter_at(
        cutting.tip + LEFT, thread.pitch, thread.form, cutting.tool.nose_radius
    )
    expected = over_wires(found, thread.pitch, thread.form.angle_deg, screwed.wire)
    return Measure(
        name=name,
        what=f"over three wires of {screwed.wire:.3f} mm, two in neighbouring grooves and one"
        " opposite",
        expected=expected,
        low=expected - OFF,
        high=expected + OFF,
        found_by="spring",
        advice="a reading or a turn was missed, or the wires are others: find out which",
    )


def _finishing(cutting: ThreadCutting, name: str, count: int) -> How:
    """Return how one of the passes to size is set: by its share of what was found."""
    number = min(count, CUTS_TO_SIZE)
    left = LEFT * (CUTS_TO_SIZE - number) / CUTS_TO_SIZE
    terms = [Term("the tip at the depth of the thread", cutting.tip)]
    if left:
        terms.append(Term("left for the passes after this", left))
    rules = (Rule(axis="x", measure=name, factor=-number / (2 * CUTS_TO_SIZE)),) if name else ()
    spring = "at the same setting once more: it takes out the spring"
    what = spring if count > CUTS_TO_SIZE else f"cut {number} of {CUTS_TO_SIZE} to size"
    return How(makes="size", what=what, sums=(("x", tuple(terms)),), rules=rules)
