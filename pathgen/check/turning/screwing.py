"""The check of screw-cutting: each pass as it is met.

A groove is no body of revolution, so that the bar of the half plane keeps its outside; the section
of the groove through the axis is that of the tool itself, at the depth of the deepest pass.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

import shapely
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from pathgen.check.turning.in_step import Found, InStep
from pathgen.check.turning.metal import Bar
from pathgen.check.turning.outline import swept
from pathgen.job.inside import Bored, Recess
from pathgen.job.screwed import Screwed, starting_groove
from pathgen.job.sizes import Size
from pathgen.job.turned import Turned, TurnedSetup
from pathgen.moves.moves import ThreadCut
from pathgen.reckon.cutting import cutting_data
from pathgen.reckon.screw_cutting import (
    first_depth,
    flank_beside,
    overrun,
)
from pathgen.shop.axial_tools import AxialTool
from pathgen.shop.machines import Machine
from pathgen.shop.turning_tools import TurningKind, TurningTool

ANGLE_OFF = 0.5  # degrees by which a tool may be off its thread's angle
TWICE = 2.0  # a chip, or a speed, of more than twice the usual is a slip, not a choice
LEADS_IN = 1.0  # that a pass begins to the right of the face, at least: the train takes up its play
IN_GROOVE = 0.02  # mm along the axis by which a pass may be off the flanks of the one before
FINE = 1e-6
ROUNDED = 0.01  # mm of depth that a dial rounds
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


@dataclass(slots=True)
class ScrewCutting:
    """The passes so far, and how they keep step."""

    setup: TurnedSetup
    machine: Machine
    material: str
    in_step: InStep = field(init=False)
    deepest: float = -math.inf  # of the tip, counted the way that passes go deeper
    first_z: float = math.nan  # where the deepest pass began
    nose: float = 0.0
    full_to: float = math.nan  # z of the middle of the tool at the end of the deepest pass
    last: tuple[float, float] = (math.nan, math.nan)  # x, z where the last pass ended
    passes: int = 0

    def __post_init__(self) -> None:
        """Begin with nothing put up."""
        self.in_step = InStep(machine=self.machine)

    @property
    def wanted(self) -> Screwed | None:
        """Return the thread that the setup asks for."""
        return next((each for each in self.setup.features if isinstance(each, Screwed)), None)

    @property
    def way(self) -> int:
        """Return which way passes go deeper: +1 away from the axis, -1 towards it."""
        return -1 if self.wanted is None else self.wanted.way

    @property
    def inside(self) -> bool:
        """Return whether the thread is cut in a bore."""
        return self.way > 0

    @property
    def tip(self) -> float:
        """Return how far from the axis the tip was at its deepest, mm."""
        return self.way * self.deepest

    @property
    def _cut_on(self) -> Size:
        """Return the diameter that the thread is cut on."""
        kind = Bored if self.inside else Turned
        return (
            next(each for each in self.setup.features if isinstance(each, kind)).steps[0].diameter
        )

    @property
    def surface(self) -> float:
        """Return the radius that the thread is cut on, where it stands furthest to the tool."""
        return (self._cut_on.low if self.inside else self._cut_on.high) / 2

    @property
    def aimed(self) -> float:
        """Return that radius as it is aimed at."""
        return self._cut_on.middle / 2

    def draws_out(self, start: tuple[float, float], end: tuple[float, float]) -> bool:
        """Return whether a move draws the tool straight out of the groove that it has just cut."""
        return start == self.last and end[1] == start[1] and self.way * (start[0] - end[0]) > 0

    # ------------------------------------------------------------------ passes

    def cut(self, item: ThreadCut, met: Pass, bar: Bar) -> Iterator[Found]:
        """Yield what is wrong with a pass, and take note of it."""
        wanted = self.wanted
        if wanted is None:
            yield "thread", "a thread is cut where none is wanted", "turn it", None
            return
        yield from self.in_step.engaged(item)
        if met.rpm <= 0:
            yield "spindle", "a thread is cut with the spindle stopped", "start it first", None
        if item.nuts == "reversed":
            yield from self._back(met, bar)
            return
        kind: TurningKind = "inside threading" if self.inside else "threading"
        if not isinstance(met.tool, TurningTool) or met.tool.kind != kind:
            yield "thread tool", f"a thread is cut with no tool of kind {kind}", "fit one", None
            return
        if (met.end[1] - met.start[1]) * wanted.along < 0:
            hand = "left" if wanted.thread.left_hand else "right"
            yield "way", f"a {hand}-hand thread is cut the other way", "turn it about", None
            return
        yield from self._by_the_tool(met, met.tool, wanted)
        yield from self.in_step.lead(item, wanted)
        if wanted.along > 0:
            yield from self._leaves(met, met.tool, wanted)
        else:
            yield from self._ends(met, met.tool, wanted, bar)
        yield from self._chip(item, met, met.tool, wanted)

    def _back(self, met: Pass, bar: Bar) -> Iterator[Found]:
        """Yield that the tool is not drawn out on the way back."""
        deepest = max(self.way * met.start[0], self.way * met.end[0])
        if deepest > self.way * self.surface and self.passes:
            yield (
                "rapid",
                "goes back in the groove, the spindle reversed",
                "draw it out first",
                None,
            )

        if self.wanted is None or self.wanted.along < 0 or not isinstance(met.tool, TurningTool):
            return
        furthest = met.end[1] - self._late(self.wanted.thread.lead, met.rpm) - met.doubt
        if bar.meets(swept(met.tool, met.start[::-1], (furthest, met.end[0])).whole):
            yield "run-out", "the tool comes to the shoulder on its way back", "turn slower", None

    def _by_the_tool(self, met: Pass, tool: TurningTool, wanted: Screwed) -> Iterator[Found]:
        """Yield a wrong angle, or a speed far too high."""
        angle = wanted.thread.form.angle_deg
        if abs(tool.point_deg - angle) > ANGLE_OFF:
            yield (
                "thread tool",
                f"a tool of {tool.point_deg:g} degrees for a thread of {angle:g}",
                "fit the tool of its angle",
                abs(tool.point_deg - angle),
            )
        data = cutting_data(self.material, "threading", tool.material)
        speed = math.pi * 2 * self.surface * met.rpm / 1000
        if speed > TWICE * data.surface_speed_m_min:
            yield "speed", f"{speed:.0f} m/min in screw-cutting", "turn slower", speed

    def _ends(self, met: Pass, tool: TurningTool, wanted: Screwed, bar: Bar) -> Iterator[Found]:
        """Yield a pass that begins too near, ends short, or runs on too far."""
        lead, nose = wanted.thread.lead, tool.nose_radius
        begins = met.start[1] + nose - met.doubt
        if begins < LEADS_IN * lead:
            yield (
                "run-in",
                f"a pass begins {begins:.2f} mm to the right of the face",
                f"begin it {LEADS_IN * lead:.1f} mm off or more: the train takes up its play",
                None,
            )
        late = self._late(lead, met.rpm)
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
        if bar.metal.intersection(sweep.whole).intersection(self._in_the_way(bar)).area > FINE:
            yield "run-out", "the tool comes to what stands behind the thread", "end sooner", None
        if self.inside and bar.meets(sweep.shank):
            yield "shank", "the bar comes to the wall of the bore", "take a thinner bar", None
        held_by = bar.meets_holding(sweep.whole)
        if held_by is not None:
            yield held_by.code, f"the tool comes to {held_by.what}", "stay off", None

    def _leaves(self, met: Pass, tool: TurningTool, wanted: Screwed) -> Iterator[Found]:
        """Yield a left-hand pass that begins beside its groove, or does not come off the end.

        Where it is brought back by the spindle a hand may stop it that much too late.
        """
        groove = starting_groove(wanted, self.setup.features)
        late = self._late(wanted.thread.lead, met.rpm) if self.in_step.closed else 0.0
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
        if met.end[1] + tool.nose_radius < beside:
            yield "run-out", "the tool is not off the end", "let it go on", None

    def _late(self, lead: float, rpm: float) -> float:
        """Return how far the tool goes on while a hand clears it, mm."""
        lathe = self.machine.lathe
        if lathe is None or self.machine.control is not None:
            return 0.0
        return overrun(lead, rpm, lathe.reaction_s)

    def _in_the_way(self, bar: Bar) -> BaseGeometry:
        """Return where metal is no thread's: over the surface, or beyond a groove inside."""
        low, _, high, top = bar.metal.bounds
        if not self.inside:
            return box(low, self.surface + PLAY, high, top + 1)
        nearer = box(low, 0.0, high, self.surface - PLAY)
        wanted = self.wanted
        grooves = (each for each in self.setup.features if isinstance(each, Recess))
        ends = [-each.end for each in grooves if wanted and each.start.low < -wanted.end]
        return shapely.union_all([nearer, *(box(low, 0.0, end, top + 1) for end in ends)])

    def _chip(
        self, item: ThreadCut, met: Pass, tool: TurningTool, wanted: Screwed
    ) -> Iterator[Found]:
        """Yield a pass that takes too much, or that is beside its groove; take note of it."""
        tip = met.end[0] + met.sprung
        depth = max(self.way * (tip - self.aimed), 0.0)
        before = max(self.deepest - self.way * self.aimed, 0.0)
        self.passes += 1
        self.last = met.end
        usual = first_depth(self.machine.rigidity) ** 2
        if depth > math.sqrt(before**2 + TWICE * usual) + ROUNDED:
            most = math.sqrt(before**2 + usual)
            yield (
                "depth",
                f"a pass down to {depth:.3f} mm after {before:.3f}",
                f"go to {most:.3f} mm at most",
                depth - most,
            )
        deeper = self.way * tip - self.deepest
        if item.nuts == "control" and not math.isnan(self.first_z):
            yield from self._in_groove(met, deeper, wanted)
        if deeper > -FINE:
            left_end = met.start[1] if wanted.along > 0 else met.end[1]
            self.full_to = left_end + tool.nose_radius
        if deeper > 0:
            self.deepest, self.first_z = self.way * tip, met.start[1]
            self.nose = tool.nose_radius

    def _in_groove(self, met: Pass, deeper: float, wanted: Screwed) -> Iterator[Found]:
        """Yield a pass of a control that begins where it meets a flank or cuts another groove."""
        half = math.radians(wanted.thread.form.angle_deg / 2)
        lead = wanted.thread.lead
        off = (met.start[1] - self.first_z + lead / 2) % lead - lead / 2
        if abs(off) > abs(deeper) * math.tan(half) + IN_GROOVE:
            yield (
                "groove",
                f"a pass begins {off:+.3f} mm beside the groove of the one before",
                "begin all passes at one place, or along one flank",
                abs(off),
            )
