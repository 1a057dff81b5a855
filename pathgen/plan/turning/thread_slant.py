"""Threads by the compound: swung a little less than the flank, it takes each pass in along that.

One edge of the tool cuts then, and its chip comes away freely. The cross slide comes back to one
reading in every pass and the compound goes deeper. What is left for the cuts to size is taken
straight in by the cross slide, so that both flanks are cleaned.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pathgen.input.where import Refusal
from pathgen.moves.actions import Note, SwingSlide
from pathgen.moves.moves import How, Rapid
from pathgen.moves.plan import Item
from pathgen.plan.turning.slanted import INDICATED, SWUNG, whole_turns
from pathgen.plan.turning.thread_tool import ThreadCutting
from pathgen.reckon.screw_cutting import even_areas
from pathgen.shop.slides import Slide

LESS_DEG = 0.5  # than half of the thread's angle; common practice, no source
PROVED = 6.0  # mm of the compound, about, over which an indicator proves its angle


@dataclass(frozen=True, slots=True, kw_only=True)
class Slant:
    """The ways of the compound for the passes of a thread; lengths in mm."""

    compound: Slide
    square_deg: float  # between its way and a line square to the axis
    stands: float  # the x of the tip with the cross slide at its reading, the compound at 0
    ways: tuple[float, ...]  # how far the compound has gone for each pass, in whole judged parts

    @property
    def last(self) -> float:
        """Return how far the compound has gone in the end."""
        return self.ways[-1]

    def right(self, way: float) -> float:
        """Return how far to the right of its last place along the axis the tool is at a way."""
        return (self.last - way) * math.sin(math.radians(self.square_deg))

    def out(self, way: float) -> float:
        """Return how far further out than at last the tool is at a way."""
        return (self.last - way) * math.cos(math.radians(self.square_deg))

    def x(self, way: float) -> float:
        """Return the x of the tip at a way, the cross slide at its reading."""
        return self.stands - way * math.cos(math.radians(self.square_deg))

    def swung(self) -> tuple[Item, ...]:
        """Return the swinging of the compound, with its caution."""
        axis_deg = 90.0 - self.square_deg
        lean, over = math.radians(axis_deg), whole_turns(self.compound, PROVED)
        return (
            Note(text=SWUNG, caution=True),
            SwingSlide(
                slide=self.compound.name,
                angle_deg=-axis_deg,
                over=over,
                rise=-over * math.sin(lean),
                uncertainty_deg=math.degrees(2 * INDICATED / over / math.cos(lean)),
            ),
        )

    def deeper(self, number: int, z: float) -> Rapid:
        """Return the way in by the compound for a pass, counted from 1.

        ``z`` is where the tool begins its last pass.
        """
        way = self.ways[number - 1]
        what = f"pass {number} of {len(self.ways)}"
        return Rapid(self.x(way), 0.0, z + self.right(way), How(makes="size", what=what))


def slant_for(cutting: ThreadCutting, depth: float, first: float) -> Slant:
    """Return the ways of the compound down to a depth, in passes of even chip area.

    Args:
        cutting: the thread with its tool.
        depth: below the surface, mm.
        first: what the first pass may take at most, mm.

    Raises:
        Refusal: the lathe has no compound that may be swung.
    """
    bench, screwed = cutting.bench, cutting.screwed
    if bench.compound is None:
        raise Refusal(
            screwed.where.at("way"),
            f"swing a compound on {bench.machine.title}: its file names none",
            'name it as compound in [lathe], or cut the thread straight in: way = "straight in"',
        )
    square_deg = screwed.thread.form.angle_deg / 2 - LESS_DEG
    stands = bench.on_dial(cutting.surface)
    count, steep = bench.compound.count, math.cos(math.radians(square_deg))
    over = stands - cutting.surface
    return Slant(
        compound=bench.compound,
        square_deg=square_deg,
        stands=stands,
        ways=tuple(
            round((each + over) / steep / count) * count for each in even_areas(depth, first)
        ),
    )
