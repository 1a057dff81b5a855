"""Feeds and speeds at which a cutter breaks or burns in this metal, and feeds that only rub."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from shapely.geometry.base import BaseGeometry

from pathgen.check.bends import Bends
from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.metal.legs import RAPID, Floats, Mask
from pathgen.check.metal.strokes import Stroke, stroke_of
from pathgen.check.metal.tools import Tool
from pathgen.check.paces import Pace, pace_of
from pathgen.moves.moves import Arc
from pathgen.shop.cutters import MILLS

NOISE = 1e-6  # of reckoning, in what is rounded down
UNBOUNDED = Pace(feed=math.inf, down=math.inf, speed=math.inf)


class Paces:
    """The legs of a run whose feed or speed is suspect; whether they cut at all is asked later."""

    def __init__(self, context: Context) -> None:
        self._context = context
        legs, paces = context.legs, _paces(context)
        cuts = (legs.kind != RAPID) & (legs.rpm > 0)
        turn = np.full(len(legs), np.nan)
        turn[cuts] = legs.feed[cuts] / legs.rpm[cuts]
        self._turn = turn
        self._down = _goes_down(context)
        self._most = np.where(
            self._down, _each(context, [p.most_down for p in paces]), self._most_side(paces)
        )
        self._speed = 2 * math.pi * _radius_that_cuts(context) * legs.rpm / 1000
        most_speed = _each(context, [p.most_speed for p in paces])
        least = _each(context, [p.least_feed if p is not UNBOUNDED else 0.0 for p in paces])
        self._too_much = turn > self._most
        self._bends = Bends(context, _radius_that_cuts(context))
        self._edge = turn * self._bends.faster
        self._outside = ~self._down & (self._edge > self._most) & ~self._too_much
        self._too_fast = cuts & (self._speed > most_speed)
        self._rubs = (turn < least) & ~(self._down & self._of_mills())
        self._suspect = self._too_much | self._outside | self._too_fast | self._rubs
        self._paces = paces
        self._told: set[tuple[str, int, float]] = set()  # of what is told once: cutter and speed

    def _most_side(self, paces: list[Pace]) -> Floats:
        return _each(self._context, [pace.most_feed for pace in paces])

    def _of_mills(self) -> Mask:
        kinds = [tool.cutter is not None and tool.cutter.kind in MILLS for tool in self._tools]
        mask: Mask = np.array([*kinds, False])[self._context.legs.tool]
        return mask

    @property
    def _tools(self) -> tuple[Tool, ...]:
        return self._context.legs.tools

    def findings(self, stroke: Stroke) -> Iterator[Finding]:
        """Yield what is wrong with the feeds and speeds of a stroke where it meets metal."""
        row = slice(stroke.first, stroke.last)
        if not self._suspect[row].any():
            return
        for mask, meets, say in (
            (self._too_much, self._meets_metal, self._feed),
            (self._outside, self._meets_outside, self._feed_outside),
            (self._too_fast, self._meets_metal, self._fast),
            (self._rubs, self._meets_metal, self._slow),
        ):
            for leg in (np.flatnonzero(mask[row]) + stroke.first).tolist():
                if meets(leg):
                    yield from say(leg)
                    break

    def _met(self, leg: int) -> BaseGeometry:
        """Return what one leg of a stroke takes off, and does not only rub."""
        context = self._context
        alone = stroke_of(context.legs, leg, leg + 1)
        met, _ = context.metal.met(alone.sweep, alone.low, context.limits.rub)
        return met

    def _meets_metal(self, leg: int) -> bool:
        """Return whether one leg of a stroke takes metal off."""
        return not self._met(leg).is_empty

    def _meets_outside(self, leg: int) -> bool:
        """Return whether one leg of an arc takes metal off outside the way of the centre."""
        return self._bends.outside(self._met(leg), leg)

    def _feed_outside(self, leg: int) -> Iterator[Finding]:
        """Yield that the edge takes too much at a turn on the outside of an arc."""
        tool, pace, (teeth, each) = self._of(leg)
        edge, most, rpm = float(self._edge[leg]), float(self._most[leg]), self._rpm(leg)
        slowest = most * rpm / float(self._bends.faster[leg])
        yield self._context.finding(
            "chip",
            f"feed of {edge / teeth:.3f} mm a {each} at the edge of {tool.fit.name!r}, which goes "
            f"{self._bends.faster[leg]:.1f} times as fast round this arc as its middle, where "
            f"{pace.feed / teeth:.3f} mm is usual in {self._material} and {most / teeth:.3f} mm "
            "is the most",
            leg,
            f"feed at most {_settable(slowest)} mm/min at {rpm:g} rev/min",
            (edge - most) / teeth,
        )

    def _feed(self, leg: int) -> Iterator[Finding]:
        """Yield that the feed takes too much at a turn."""
        tool, pace, (teeth, each) = self._of(leg)
        usual = pace.down if self._down[leg] else pace.feed
        turn, most, rpm = float(self._turn[leg]), float(self._most[leg]), self._rpm(leg)
        way = " straight down" if self._down[leg] else ""
        yield self._context.finding(
            "chip",
            f"feed of {turn / teeth:.3f} mm a {each}{way} with {tool.fit.name!r}, where "
            f"{usual / teeth:.3f} mm is usual in {self._material} and {most / teeth:.3f} mm is the "
            "most",
            leg,
            f"feed at most {_settable(most * rpm)} mm/min at {rpm:g} rev/min",
            (turn - most) / teeth,
        )

    def _fast(self, leg: int) -> Iterator[Finding]:
        """Yield that the cutting edge goes too fast, once for a cutter at a speed.

        It is a caution where the spindle has no slower speed.
        """
        context, (tool, pace, _) = self._context, self._of(leg)
        speed, rpm = float(self._speed[leg]), self._rpm(leg)
        if not self._first("fast", leg):
            return
        slowest = rpm < context.machine.spindle.lowest + 1
        most = rpm * pace.most_speed / speed
        yield context.finding_by(
            "cutting speed",
            f"{speed:.0f} m/min at the edge of {tool.fit.name!r}, where {pace.speed:.0f} m/min is "
            f"usual in {self._material} and {pace.most_speed:.0f} m/min is the most",
            int(context.legs.number[leg]),
            "the spindle has no slower speed: use a smaller cutter, or feed lightly, with oil"
            if slowest
            else f"turn at {_settable(most)} rev/min at most",
            amount=speed - pace.most_speed,
            at=context.end(leg),
            severity="caution" if slowest else "finding",
        )

    def _slow(self, leg: int) -> Iterator[Finding]:
        """Yield the caution that a cutter rubs, once for a cutter at a speed."""
        context, (tool, pace, (teeth, each)) = self._context, self._of(leg)
        arc = isinstance(context.run.items[int(context.legs.item[leg])], Arc)
        if arc or not self._first("slow", leg):  # on an arc the centre goes slower than the edge
            return
        yield context.finding_by(
            "chip",
            f"feed of {self._turn[leg] / teeth:.4f} mm a {each} with {tool.fit.name!r}, where "
            f"{pace.feed / teeth:.3f} mm is usual in {self._material}: it rubs more than it cuts",
            int(context.legs.number[leg]),
            "feed faster, or turn more slowly",
            at=context.end(leg),
            severity="caution",
        )

    # ------------------------------------------------------------ within

    def _first(self, what: str, leg: int) -> bool:
        """Return whether something is told of a leg's cutter at its speed for the first time."""
        tool = self._tools[int(self._context.legs.tool[leg])]
        key = (what, tool.fit.number, self._rpm(leg))
        first = key not in self._told
        self._told.add(key)
        return first

    @property
    def _material(self) -> str:
        return self._context.job.blank.material

    def _rpm(self, leg: int) -> float:
        return float(self._context.legs.rpm[leg])

    def _of(self, leg: int) -> tuple[Tool, Pace, tuple[int, str]]:
        """Return a leg's cutter, its pace, and by what its feed is counted: (how many, word)."""
        index = int(self._context.legs.tool[leg])
        tool = self._tools[index]
        by_tooth = tool.cutter is not None and tool.cutter.kind in (
            *MILLS,
            "reamer",
            "T-slot cutter",
        )
        teeth = tool.cutter.flutes if tool.cutter is not None and by_tooth else 1
        return tool, self._paces[index], (teeth, "tooth" if by_tooth else "turn")


def _paces(context: Context) -> list[Pace]:
    """Return the pace of each cutter of a run."""
    material = context.job.blank.material
    known = [
        None if tool.cutter is None else pace_of(tool.cutter, material)
        for tool in context.legs.tools
    ]
    return [UNBOUNDED if pace is None else pace for pace in known]


def _each(context: Context, of_tools: list[float]) -> Floats:
    """Return for each leg what goes with its cutter; inf before the first."""
    every: Floats = np.array([*of_tools, math.inf])[context.legs.tool]
    return every


def _goes_down(context: Context) -> Mask:
    """Return a mask of the legs that go down as steeply as straight down, or nearly."""
    step = context.legs.end - context.legs.start
    down: Mask = -step[:, 2] >= np.hypot(step[:, 0], step[:, 1])
    return down


def _radius_that_cuts(context: Context) -> Floats:
    """Return the radius that each leg's cutter has at the top face, where it is widest, mm.

    Below it, where it has a neck there.
    """
    legs = context.legs
    at_top = legs.radius_at(np.arange(len(legs)), context.box[1][2])
    radius: Floats = np.where(legs.undercuts, legs.radius, at_top)
    return radius


def _settable(figure: float) -> str:
    """Return a figure rounded down to what can be set, so that it is within the bound."""
    figure += NOISE
    return f"{math.floor(figure)}" if figure >= 10 else f"{math.floor(figure * 10) / 10:g}"
