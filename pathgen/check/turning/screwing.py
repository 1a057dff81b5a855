"""The check of screw-cutting: each pass as it is met.

A groove is no body of revolution, so that the bar of the half plane keeps its outside; the section
of the groove through the axis is that of the tool itself, at the depth of the deepest pass.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

from pathgen.check.turning.in_step import Found, InStep
from pathgen.check.turning.metal import Bar
from pathgen.check.turning.outline import swept
from pathgen.check.turning.thread_room import Pass, Room, late_by
from pathgen.job.inside import Bored
from pathgen.job.screwed import Screwed
from pathgen.job.sizes import Size
from pathgen.job.turned import Turned, TurnedSetup
from pathgen.moves.moves import ThreadCut
from pathgen.reckon.cutting import cutting_data
from pathgen.reckon.screw_cutting import (
    first_depth,
)
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
class Slanted:
    """A pass, and how far a slide that is swung had taken the tool by then; mm."""

    depth: float  # of the tip, counted the way that passes go deeper
    by: tuple[float, float]  # x, z
    open_deg: float  # of the angle of that slide


@dataclass(slots=True)
class Start:
    """What the passes of one start have left; mm."""

    deepest: float = -math.inf  # of the tip, counted the way that passes go deeper
    first_z: float = math.nan  # where the deepest pass began
    nose: float = 0.0
    full_to: float = math.nan  # z of the middle of the tool at the left end of the deepest pass
    passes: list[Slanted] = field(default_factory=list)

    def beside(self, angle_deg: float) -> float:
        """Return by how much the passes widened the groove of the deepest one, along the axis, mm.

        That one's flanks hold a pass that stood so much less deep, as long as a slide that is swung
        did not take it further to a side than they lean; by either end of what is open of its
        angle.
        """
        lean, most = math.tan(math.radians(angle_deg / 2)), 0.0
        last = max(self.passes, key=lambda each: each.depth)
        for each in self.passes:
            across, along = (a - b for a, b in zip(each.by, last.by, strict=True))
            for turn in (-last.open_deg, last.open_deg):
                sine, cosine = math.sin(math.radians(turn)), math.cos(math.radians(turn))
                turned = across * cosine - along * sine, across * sine + along * cosine
                less = last.depth - each.depth + abs(turned[0]) - abs(across)
                most = max(most, abs(turned[1]) - max(less, 0.0) * lean)
        return most


@dataclass(slots=True)
class ScrewCutting:
    """The passes so far, and how they keep step."""

    setup: TurnedSetup
    machine: Machine
    material: str
    in_step: InStep = field(init=False)
    starts: dict[int, Start] = field(default_factory=dict)
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
    def _cut_on(self) -> Size:
        """Return the diameter that the thread is cut on."""
        kind, wanted = Bored if self.inside else Turned, self.wanted
        steps = next(each for each in self.setup.features if isinstance(each, kind)).steps
        return steps[0 if wanted is None else wanted.step - 1].diameter

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
        yield from self._room(met, met.tool, bar)
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
        furthest = met.end[1] - late_by(self.machine, self.wanted.thread.lead, met.rpm) - met.doubt
        if bar.meets(swept(met.tool, met.start[::-1], (furthest, met.end[0])).whole):
            yield "run-out", "the tool comes to the shoulder on its way back", "turn slower", None

    def _room(self, met: Pass, tool: TurningTool, bar: Bar) -> Iterator[Found]:
        """Yield a pass that begins or ends where there is no room."""
        room = Room(
            setup=self.setup,
            machine=self.machine,
            surface=self.surface,
            brought_back=self.in_step.closed,
        )
        wanted = self.wanted
        if wanted is None:
            return
        if wanted.along > 0:
            yield from room.leaves(met, tool, wanted)
        else:
            yield from room.ends(met, tool, wanted, bar)

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

    def _chip(
        self, item: ThreadCut, met: Pass, tool: TurningTool, wanted: Screwed
    ) -> Iterator[Found]:
        """Yield a pass that takes too much, or that is beside its groove; take note of it."""
        self.passes += 1
        self.last = met.end
        number = self._start_of(item, met, wanted)
        if number is None:
            yield "half-nuts", "closed at a mark that is none of a start's", "go by the dial", None
            return
        start = self.starts.setdefault(number, Start())
        tip = met.end[0] + met.sprung
        yield from self._depth(tip, start)
        if item.nuts == "control":
            yield from self._in_groove(met, tip, start, wanted)
        deeper = self.way * tip - start.deepest
        start.passes.append(Slanted(depth=self.way * tip, by=met.by_swung, open_deg=met.swung_deg))
        if deeper > -FINE:
            left_end = met.start[1] if wanted.along > 0 else met.end[1]
            start.full_to = left_end + tool.nose_radius
        if deeper > 0:
            start.deepest, start.first_z = self.way * tip, met.start[1]
            start.nose = tool.nose_radius

    def _start_of(self, item: ThreadCut, met: Pass, wanted: Screwed) -> int | None:
        """Return which start a pass cuts, counted from 0; of a control's by where it begins."""
        if item.nuts != "control":
            return self.in_step.start_of(item, wanted)
        if not self.starts:
            return 0
        pitches = (met.start[1] - self.starts[0].first_z) / wanted.thread.pitch
        return round(pitches) % wanted.thread.starts

    def _depth(self, tip: float, start: Start) -> Iterator[Found]:
        """Yield a pass that takes too much."""
        depth = max(self.way * (tip - self.aimed), 0.0)
        before = max(start.deepest - self.way * self.aimed, 0.0)
        usual = first_depth(self.machine.rigidity) ** 2
        if depth > math.sqrt(before**2 + TWICE * usual) + ROUNDED:
            most = math.sqrt(before**2 + usual)
            yield (
                "depth",
                f"a pass down to {depth:.3f} mm after {before:.3f}",
                f"go to {most:.3f} mm at most",
                depth - most,
            )

    def _in_groove(self, met: Pass, tip: float, start: Start, wanted: Screwed) -> Iterator[Found]:
        """Yield a pass of a control that begins where it meets a flank or cuts another groove.

        The first of a start is looked at beside the first of all.
        """
        known = self.starts[0] if math.isnan(start.first_z) else start
        if math.isnan(known.first_z):
            return
        half = math.radians(wanted.thread.form.angle_deg / 2)
        pitch, deeper = wanted.thread.pitch, self.way * tip - known.deepest
        off = (met.start[1] - known.first_z + pitch / 2) % pitch - pitch / 2
        if abs(off) > abs(deeper) * math.tan(half) + IN_GROOVE:
            yield (
                "groove",
                f"a pass begins {off:+.3f} mm beside the groove of the one before",
                "begin all passes at one place, or along one flank",
                abs(off),
            )
