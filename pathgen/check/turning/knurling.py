"""What is looked at where a knurl is pressed: wheels, place, depth, pace; and what comes of it.

Nothing is cut: metal is pushed aside. So the bar keeps its outside, whose diameter before the
knurl is judged as that of its profile, and the knurl is judged by where the wheels were pressed in.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

from shapely.geometry import box

from pathgen.check.findings import Finding, FinishedSize
from pathgen.check.measured.finished import finished_size
from pathgen.check.turning.measured import Measured
from pathgen.check.turning.metal import Bar
from pathgen.job.turning.knurls import Knurl
from pathgen.job.turning.turned import TurnedSetup
from pathgen.reckon.cutting import cutting_data
from pathgen.shop.turning_tools import TurningTool

TWICE = 2.0  # a speed above twice the reckoned one is a slip, not a choice
MOST_FEED = 0.6  # mm a turn along the work: common practice, no source
FINE = 0.004  # mm
SAME_PITCH = 0.005  # mm

Found = tuple[str, str, str, float | None]  # code, what, remedy, amount
Place = tuple[float, float]  # x, z


@dataclass(slots=True)
class Knurling:
    """Where wheels were pressed in so far."""

    setup: TurnedSetup
    material: str
    pressed: list[tuple[float, float, float]] = field(default_factory=list)  # z, z, how deep
    last: Place = (math.nan, math.nan)  # x, z where they were last in the work

    @property
    def wanted(self) -> tuple[Knurl, ...]:
        """Return the knurls that the setup asks for."""
        return tuple(each for each in self.setup.features if isinstance(each, Knurl))

    def draws_out(self, start: Place, end: Place) -> bool:
        """Return whether a move draws the wheels straight out of where they were pressed in."""
        return start == self.last and end[1] == start[1] and end[0] > start[0]

    def press(
        self, tool: TurningTool, way: tuple[Place, Place], pace: tuple[float, float], bar: Bar
    ) -> Iterator[Found]:
        """Yield what is wrong with wheels that go along a way, and take note of it.

        Args:
            tool: with the wheels.
            way: from where to where, x and z, mm.
            pace: speed and feed, rev/min and mm/min.
            bar: what there is.
        """
        (from_x, from_z), (x, z) = way
        left, right = min(from_z, z), max(from_z, z) + tool.width
        metal = bar.metal.intersection(box(left, min(from_x, x), right, bar.metal.bounds[3] + 1.0))
        if metal.area <= FINE**2:
            return
        self.last = (x, z)
        left, right = max(left, metal.bounds[0]), min(right, metal.bounds[2])
        within = [each for each in self.wanted if _covers(each, left, right)]
        if not within:
            yield (
                "knurl",
                f"wheels pressed in from {left:.2f} to {right:.2f} mm, where no knurl is wanted",
                "keep to its place",
                None,
            )
            return
        yield from self._by_the_wheels(tool, within[0])
        yield from self._pace(within[0], pace, abs(z - from_z))
        deep = metal.bounds[3] - x
        if deep > within[0].depth.high + FINE:
            yield (
                "depth",
                f"wheels pressed in {deep:.3f} mm, {within[0].depth.high:.3f} at most are usual",
                "press them in less",
                deep - within[0].depth.high,
            )
        self.pressed.append((left, right, deep))

    def _by_the_wheels(self, tool: TurningTool, wanted: Knurl) -> Iterator[Found]:
        """Yield that the wheels are others than are wanted."""
        if tool.pattern != wanted.pattern or abs(tool.pitch - wanted.pitch) > SAME_PITCH:
            yield (
                "knurl tool",
                f"{tool.name} for a {wanted.pattern} knurl of {wanted.pitch:g} mm",
                "fit the tool with its wheels",
                None,
            )

    def _pace(self, wanted: Knurl, pace: tuple[float, float], along: float) -> Iterator[Found]:
        """Yield a spindle that stands, or a speed or a feed along far too high."""
        rpm, feed = pace
        if rpm <= 0:
            yield "spindle", "wheels pressed in with the spindle stopped", "start it first", None
            return
        slow = cutting_data(self.material, "threading", "HSS").surface_speed_m_min
        speed = math.pi * wanted.land.middle * rpm / 1000
        if speed > TWICE * slow:
            yield "speed", f"{speed:.0f} m/min in knurling", "turn slower", speed
        if along > FINE and feed / rpm > MOST_FEED:
            yield (
                "feed",
                f"{feed / rpm:.2f} mm a turn along a knurl",
                f"feed at {MOST_FEED / 2:g} mm a turn",
                feed / rpm - MOST_FEED,
            )


def _covers(knurl: Knurl, left: float, right: float) -> bool:
    """Return whether a stretch lies within a knurl, at its limits."""
    most_right = math.inf if knurl.open_right else -knurl.start.low
    return -knurl.end - FINE <= left and right <= most_right + FINE


def knurl_sizes(knurling: Knurling, measured: Measured) -> Iterator[FinishedSize]:
    """Yield where each knurl begins, how wide it is and how deep the wheels were pressed in."""
    doubt = measured.open("knurling", "z")
    for knurl in knurling.wanted:
        own = [each for each in knurling.pressed if _covers(knurl, each[0], each[1])]
        deepest = max((deep for _, _, deep in own), default=math.nan)
        at_depth = [each for each in own if each[2] > deepest - FINE]
        left = min((each[0] for each in at_depth), default=math.nan)
        right = max((each[1] for each in at_depth), default=math.nan)
        begins = max(-right, knurl.start.middle) if knurl.open_right else -right
        yield finished_size(knurl.name, "length", knurl.start, (begins, begins), doubt)
        wide = -left - begins
        yield finished_size(knurl.name, "width", knurl.width, (wide, wide), doubt)
        open_ = measured.open("knurling", "x")
        yield finished_size(knurl.name, "depth", knurl.depth, (deepest, deepest), open_)


def unpressed(knurling: Knurling, file: str) -> Iterator[Finding]:
    """Yield each wanted knurl that was not pressed, in a program or sheet of a name."""
    for knurl in knurling.wanted:
        if not any(_covers(knurl, left, right) for left, right, _ in knurling.pressed):
            yield Finding(
                code="left",
                what=f"{knurl.name}: no knurl is pressed",
                where="job",
                remedy="press it",
                file=file,
            )
