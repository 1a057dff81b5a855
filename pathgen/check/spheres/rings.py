"""A dish or dome by a round-ended mill in level rings: the metal in the plane through its axis.

All that makes the surface goes round the axis, so half a plane tells of the whole: each ring leaves
the lower side of the cutter, and the surface is the lowest of them at every distance from the axis.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from pathgen.check.metal.tools import Tool, tool_of
from pathgen.job.spheres import Sphere
from pathgen.moves.actions import FitCutter, Spindle
from pathgen.moves.moves import Arc, Drill, Feed, Rapid, end_of
from pathgen.moves.plan import Item, Run
from pathgen.reckon.sphere_rings import Ring, RoundEnd
from pathgen.shop.cutters import Cutter

if TYPE_CHECKING:
    from numpy.typing import NDArray

Floats: TypeAlias = "NDArray[np.float64]"
XYZ = tuple[float, float, float]
Cut: TypeAlias = tuple[Ring, RoundEnd]
ROUNDED = 0.002  # mm: two places that differ by less were one before they were rounded
WHOLE = 360.0
NEARLY = 0.01  # degrees
CROSSING = 60.0  # degrees: a straight that goes further round crosses what is cut


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One move of the cutter, seen from the axis: straight, or round it; mm."""

    number: int
    start: XYZ  # of the cutter's lowest place, from the axis and the face
    end: XYZ
    rapid: bool
    tool: Tool | None
    rpm: float
    feed: float
    turned_deg: float = 0.0  # round the axis, with the moves that go on with it
    winds: bool = False  # a straight that goes round the axis, as part of a spiral
    stray: str = ""  # why an arc is no part of a ring

    @property
    def radius(self) -> float:
        """Return how far from the axis it ends."""
        return math.hypot(self.end[0], self.end[1])

    @property
    def round_end(self) -> RoundEnd | None:
        """Return the round end of the cutter; None where it has none."""
        return None if self.tool is None or self.tool.cutter is None else self.tool.cutter.round_end

    @property
    def ring(self) -> bool:
        """Return whether the cutter has gone once round the axis with it."""
        return abs(self.turned_deg) >= WHOLE - NEARLY

    @property
    def cut(self) -> Cut:
        """Return what a whole turn there leaves behind."""
        return self._at(self.radius, self.end[2])

    @property
    def nearest(self) -> Cut:
        """Return what a whole turn would leave where a straight comes nearest to the axis.

        An arc about the axis stays as far from it.
        """
        (a, b, low), (c, d, high) = self.start, self.end
        long = (c - a) ** 2 + (d - b) ** 2
        if not long > 0 or (self.turned_deg and not self.winds):
            return self.cut
        share = min(max(-(a * (c - a) + b * (d - b)) / long, 0.0), 1.0)
        off = math.hypot(a + (c - a) * share, b + (d - b) * share)
        return self._at(off, low + (high - low) * share)

    def _at(self, off: float, tip: float) -> Cut:
        assert self.round_end is not None
        return (off, tip + self.round_end.corner), self.round_end


@dataclass(slots=True)
class _Tracing:
    """Where the cutter stands while a run is followed."""

    sphere: Sphere
    at: XYZ = (math.nan, math.nan, math.nan)
    tool: Tool | None = None
    rpm: float = math.nan
    ways: list[Way] = field(default_factory=list)

    def go(self, end: XYZ, number: int, *, rapid: bool, feed: float = 0.0) -> None:
        """Add a straight move."""
        x, y, z = (b if math.isnan(a) else a for a, b in zip(end, self.at, strict=True))
        to = (x, y, z)
        self.ways.append(
            Way(
                number=number,
                start=self.at,
                end=to,
                rapid=rapid,
                tool=self.tool,
                rpm=self.rpm,
                feed=feed,
            )
        )
        self.at = to

    def turn(self, arc: Arc, number: int) -> None:
        """Add an arc; one that goes on from another about the axis is added to it."""
        stray, swept = _stray(arc, self.at, self.sphere.at), _swept_deg(arc, self.at)
        turned = self._on_with(swept)
        self.go((arc.x, arc.y, arc.z), number, rapid=False, feed=arc.feed)
        self.ways[-1] = replace(self.ways[-1], turned_deg=0.0 if stray else turned, stray=stray)

    def wind(self, feed: Feed, number: int) -> None:
        """Add a straight; one that goes round the axis is part of a spiral, as an arc of a ring."""
        start = self.at
        turned = self._on_with(_wound_deg(start, end_of(feed), self.sphere.at))
        self.go(end_of(feed), number, rapid=False, feed=feed.feed)
        if turned:
            self.ways[-1] = replace(self.ways[-1], turned_deg=turned, winds=True)

    def _on_with(self, swept: float) -> float:
        """Return how far round it is with the moves before that go on the same way, degrees."""
        before = self.ways[-1] if self.ways else None
        if before is not None and before.turned_deg * swept > 0 and not before.ring:
            return swept + before.turned_deg
        return swept


def _stray(arc: Arc, start: XYZ, axis: tuple[float, float]) -> str:
    """Return why an arc is no level part of a ring about the axis; empty if it is."""
    if math.dist((arc.centre_x, arc.centre_y), axis) > ROUNDED:
        return "an arc that does not go round the axis"
    if abs(arc.z - start[2]) > ROUNDED:
        return "an arc that is not level"
    return ""


def _wound_deg(start: XYZ, end: XYZ, axis: tuple[float, float]) -> float:
    """Return the angle about the axis that a straight goes through, minus when clockwise.

    0 for one that goes straight to or from the axis, or as far round as only a crossing goes.
    """
    (a, b), (c, d) = ((p[0] - axis[0], p[1] - axis[1]) for p in (start, end))
    if (
        any(math.isnan(each) for each in (a, b, c, d))
        or min(math.hypot(a, b), math.hypot(c, d)) < ROUNDED
    ):
        return 0.0
    swept = math.degrees(math.atan2(a * d - b * c, a * c + b * d))
    return swept if NEARLY < abs(swept) < CROSSING else 0.0


def _swept_deg(arc: Arc, start: XYZ) -> float:
    """Return the angle that an arc goes through, minus when clockwise."""
    first = math.atan2(start[1] - arc.centre_y, start[0] - arc.centre_x)
    last = math.atan2(arc.y - arc.centre_y, arc.x - arc.centre_x)
    ahead = math.degrees(first - last if arc.clockwise else last - first) % WHOLE
    if math.hypot(arc.x - start[0], arc.y - start[1]) < ROUNDED:
        ahead = WHOLE
    ahead += WHOLE * arc.turns
    return -ahead if arc.clockwise else ahead


def ways_of(run: Run, sphere: Sphere, cutters: Sequence[Cutter]) -> tuple[Way, ...]:
    """Return the ways of the cutter in a run, its places counted from the axis of the sphere."""
    tracing = _Tracing(sphere=sphere)
    for item, number in zip(run.items, run.numbers, strict=True):
        if isinstance(item, FitCutter):
            tracing.tool = tool_of(item, run, cutters)
        else:
            _follow(tracing, item, number)
    x, y = sphere.at
    return tuple(_from_axis(way, x, y) for way in tracing.ways)


def _follow(tracing: _Tracing, item: Item, number: int) -> None:
    match item:
        case Rapid():
            tracing.go(end_of(item), number, rapid=True)
        case Feed():
            tracing.wind(item, number)
        case Drill():
            tracing.go((item.x, item.y, item.bottom), number, rapid=False, feed=item.feed)
            tracing.go(end_of(item), number, rapid=True)
        case Arc():
            tracing.turn(item, number)
        case Spindle():
            tracing.rpm = item.rpm
        case _:
            pass


def _from_axis(way: Way, x: float, y: float) -> Way:
    start, end = ((p[0] - x, p[1] - y, p[2]) for p in (way.start, way.end))
    return replace(way, start=start, end=end)


def under(radii: Floats, cut: Cut) -> Floats:
    """Return how high a cutter that goes round leaves the metal; inf where it does not reach; mm.

    Args:
        radii: distances from the axis at which it is asked for, mm.
        cut: the ring of the cutter, and its end.
    """
    (radius, height), (corner, flat) = cut
    past = np.maximum(np.abs(radii - radius) - flat, 0.0)
    left = corner**2 - past**2
    lower: Floats = np.where(left >= 0, height - np.sqrt(np.maximum(left, 0.0)), np.inf)
    return lower
