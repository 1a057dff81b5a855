"""The passes of a thread: in, along, clear and back; the first ones take even chip areas."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from pathgen.moves.moves import NAN, How, Rapid, ThreadCut
from pathgen.moves.plan import Item
from pathgen.plan.turning.thread_gear import Gear
from pathgen.plan.turning.thread_slant import Slant, slant_for
from pathgen.plan.turning.thread_tool import ThreadCutting
from pathgen.plan.turning.ways import across, along
from pathgen.reckon.screw_cutting import even_areas, first_depth

SLENDER = 0.5  # of the chip outside that a bar takes, which gives way; common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Passes:
    """The passes of a thread: to the depth, along, clear at once, and back; mm."""

    cutting: ThreadCutting
    gear: Gear
    rpm: float

    @property
    def start(self) -> float:
        """Return where a pass begins."""
        return self.cutting.begins(self.gear.lead)

    @property
    def first_depth(self) -> float:
        """Return how deep the first pass goes at most, mm on the radius."""
        depth = first_depth(self.cutting.bench.machine.rigidity)
        return depth * math.sqrt(SLENDER) if self.cutting.screwed.inside else depth

    def at(self, depth: float) -> float:
        """Return the x of the tip at a depth below the surface that the thread is cut on."""
        return self.cutting.surface + self.cutting.screwed.way * depth

    def short_of(self, tip: float, left: float) -> float:
        """Return the x at which so much is left before a place of the tip."""
        return tip - self.cutting.screwed.way * left

    def slant(self, depth: float) -> Slant | None:
        """Return how the compound takes passes down to a depth; None where they go straight in."""
        if not self.cutting.screwed.by_compound or self.gear.nuts == "control":
            return None
        return slant_for(self.cutting, depth, self.first_depth)

    def slanted(self, slant: Slant) -> Iterator[Item]:
        """Yield the passes that the compound takes deeper, from its 0 on.

        The cross slide and the carriage come back to the same readings in every one.
        """
        end, clear, before = self.cutting.ends(self.gear.lead), self.cutting.clear, 0.0
        for number, way in enumerate(slant.ways, start=1):
            x, right = slant.x(way), slant.right(way)
            yield across(slant.x(before), "to this reading in every pass", makes_size=True)
            yield slant.deeper(number, self.start)
            yield self._cut(x, end + right, self.gear.firsts[0])
            yield from self._back(clear + slant.out(way), self.start + right)
            before = way

    def roughing(self, depth: float) -> Iterator[Item]:
        """Yield passes of even chip area down to a depth."""
        rough = even_areas(depth, self.first_depth)
        for number, each in enumerate(rough, start=1):
            how = How(makes="size", what=f"pass {number} of {len(rough)}")
            yield from self.one(self.at(each), how)

    def one(self, x: float, how: How, back: float | None = None) -> Iterator[Item]:
        """Yield one pass with the tip at an x in each start, and the ways back.

        ``back`` is the z to go back to after the last where that is further.
        """
        starts = self.cutting.screwed.thread.starts
        for start in range(starts):
            last = start == starts - 1
            said = f"{how.what}, start {start + 1} of {starts}" if starts > 1 else how.what
            to = self.start if back is None or not last else back
            yield from self._in_start(start, x, replace(how, what=said), to)

    def _in_start(self, start: int, x: float, how: How, back: float) -> Iterator[Item]:
        """Yield a pass in one of the starts, and the way back.

        A control begins each start a pitch further to the right, and comes in along the flank that
        trails, by its places along the axis; out of a groove, and by a cross slide, it comes
        straight in: the leadscrew alone says where the tool is along the axis.
        """
        gear, cutting = self.gear, self.cutting
        aside, first = 0.0, 1
        if gear.nuts == "control":
            aside = self._beside(x)
            yield along(self.start + aside + start * cutting.screwed.thread.pitch)
        else:
            first = gear.firsts[start]
        yield Rapid(x, 0.0, NAN, how)
        yield self._cut(x, cutting.ends(gear.lead) + aside, first)
        yield from self._back(cutting.clear, back)

    def _cut(self, x: float, end: float, first: int) -> ThreadCut:
        """Return the cut along the thread, the half-nuts closed at a mark of the thread dial."""
        gear, how = self.gear, How(makes="stop", what=self._along())
        return ThreadCut(x, 0.0, end, gear.lead, gear.nuts, gear.every, self.rpm, how, first)

    def _back(self, clear: float, back: float) -> Iterator[Item]:
        """Yield the ways out of the thread and back to where a pass begins."""
        gear = self.gear
        yield across(clear, self._cleared())
        if gear.nuts == "closed":
            way = How(what="back to the start")
            yield ThreadCut(clear, 0.0, back, gear.lead, "reversed", 0, self.rpm, way)
        elif gear.nuts == "dial":
            yield along(back, "back to the start, the half-nuts open")
        else:
            yield along(back, "back to the start")

    def _beside(self, x: float) -> float:
        """Return how far to the right of its last pass a control begins one, for its depth."""
        screwed = self.cutting.screwed
        if screwed.along > 0:
            return 0.0
        half = math.radians(screwed.thread.form.angle_deg / 2)
        return abs(x - self.cutting.tip) * math.tan(half)

    def _along(self) -> str:
        """Return the words for going along the thread."""
        if self.cutting.screwed.along > 0:
            return "along the thread, out of its groove and off the end"
        return "along the thread; clear the tool there at once"

    def _cleared(self) -> str:
        """Return the words for clearing the tool."""
        if self.cutting.screwed.inside:
            return "IN, clear of the thread, at once"
        return "out of the thread, at once"
