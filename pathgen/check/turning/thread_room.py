"""The room of a thread's passes: where they begin, where the tool is cleared, and what is there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from pathgen.check.turning.in_step import Found
from pathgen.check.turning.metal import Bar
from pathgen.check.turning.outline import swept
from pathgen.job.inside import Recess
from pathgen.job.screwed import Screwed, starting_groove
from pathgen.job.turned import Turned, TurnedSetup
from pathgen.reckon.screw_cutting import flank_beside, overrun
from pathgen.shop.axial_tools import AxialTool
from pathgen.shop.machines import Machine
from pathgen.shop.turning_tools import TurningTool

LEADS_IN = 1.0  # that a pass begins to the right of the face, at least: the train takes up its play
FINE = 1e-6
PLAY = 0.02  # mm by which the tool may lie in metal that it cut just before


@dataclass(frozen=True, slots=True, kw_only=True)
class Pass:
    """One pass as it is met; lengths in mm, the places those of the tool's point."""

    tool: TurningTool | AxialTool | None
    rpm: float
    start: tuple[float, float]  # x, z
    end: tuple[float, float]
    sprung: float  # by which the tool stands off what it should cut
    doubt: float  # of places along the axis
    by_swung: tuple[float, float] = (0.0, 0.0)  # x, z by which a slide that is swung took the tool
    swung_deg: float = 0.0  # what is open of its angle


def late_by(machine: Machine, lead: float, rpm: float) -> float:
    """Return how far the tool goes on while a hand clears it, mm."""
    if machine.lathe is None or machine.control is not None:
        return 0.0
    return overrun(lead, rpm, machine.lathe.reaction_s)


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """What there is about a thread; mm."""

    setup: TurnedSetup
    machine: Machine
    surface: float  # the radius that it is cut on, where it stands furthest to the tool
    brought_back: bool  # by the spindle, the half-nuts closed

    def ends(self, met: Pass, tool: TurningTool, wanted: Screwed, bar: Bar) -> Iterator[Found]:
        """Yield a pass that begins too near, ends short, or runs on too far."""
        lead, nose = wanted.thread.lead, tool.nose_radius
        begins = met.start[1] + nose - met.doubt + wanted.begins
        if begins < LEADS_IN * lead:
            yield (
                "run-in",
                f"a pass begins {begins:.2f} mm to the right of its end",
                f"begin it {LEADS_IN * lead:.1f} mm off or more: the train takes up its play",
                None,
            )
        late = late_by(self.machine, lead, met.rpm)
        furthest = met.end[1] - late - met.doubt
        x = met.end[0] + met.sprung
        if furthest + nose < wanted.end - met.doubt - FINE:
            yield (
                "run-out",
                (
                    f"the tool may run out to {-furthest - nose:.2f} mm, {-wanted.end:.2f} is there"
                    f" for it ({late:.2f} mm of that while a hand draws it out)"
                ),
                "turn slower, or end sooner",
                wanted.end - furthest - nose,
            )
        sweep = swept(tool, (met.start[1], x), (furthest, x))
        if (
            bar.metal.intersection(sweep.whole).intersection(self._in_the_way(wanted, bar)).area
            > FINE
        ):
            yield "run-out", "the tool comes to what stands behind the thread", "end sooner", None
        if wanted.inside and bar.meets(sweep.shank):
            yield "shank", "the bar comes to the wall of the bore", "take a thinner bar", None
        held_by = bar.meets_holding(sweep.whole)
        if held_by is not None:
            yield held_by.code, f"the tool comes to {held_by.what}", "stay off", None

    def leaves(self, met: Pass, tool: TurningTool, wanted: Screwed) -> Iterator[Found]:
        """Yield a left-hand pass that begins beside its groove, or does not come off the end.

        Where it is brought back by the spindle a hand may stop it that much too late.
        """
        groove = starting_groove(wanted, self.setup.features)
        late = 0.0
        if self.brought_back:
            late = late_by(self.machine, wanted.thread.lead, met.rpm)
        beside = flank_beside(self.surface - met.end[0], tool.nose_radius, tool.point_deg)
        middle = met.start[1] + tool.nose_radius
        off = beside + late + met.doubt
        if groove is None or not -groove.left.low <= middle - off < middle + beside + met.doubt <= (
            -groove.right.high
        ):
            yield (
                "run-in",
                f"a pass begins {-middle:.2f} mm from the face (+-{off:.2f}), beside its groove",
                "begin it in the middle of the groove, turn slower, or make that wider",
                None,
            )
        if met.end[1] + tool.nose_radius + wanted.begins < beside:
            yield "run-out", "the tool is not off the end", "let it go on", None

    def _thread_begins(self, wanted: Screwed) -> float:
        """Return the z from which on metal to the right is that of smaller diameters."""
        turned = next(each for each in self.setup.features if isinstance(each, Turned))
        return 0.0 if wanted.step == 1 else -turned.steps[wanted.step - 2].to.low + PLAY

    def _in_the_way(self, wanted: Screwed, bar: Bar) -> BaseGeometry:
        """Return where metal is no thread's: over the surface, or beyond a groove inside."""
        low, _, high, top = bar.metal.bounds
        if not wanted.inside:
            over = box(low, self.surface + PLAY, high, top + 1)
            return shapely.union_all([over, box(self._thread_begins(wanted), 0.0, high + 1, top)])
        nearer = box(low, 0.0, high, self.surface - PLAY)
        grooves = (each for each in self.setup.features if isinstance(each, Recess))
        ends = [-each.end for each in grooves if each.start.low < -wanted.end]
        return shapely.union_all([nearer, *(box(low, 0.0, end, top + 1) for end in ends)])
