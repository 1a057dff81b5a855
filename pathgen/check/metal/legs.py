"""A run as straight legs of the cutter's way, in arrays: quick to ask, one row a leg."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from pathgen.check.metal.tools import Tool, set_to, stated_tool
from pathgen.check.metal.widening import widenings, wider_at
from pathgen.moves.actions import FitCutter, SetDiameter, SetHeight, Spindle
from pathgen.moves.moves import Arc, Drill, Feed, Move, Rapid
from pathgen.moves.plan import Run, Wider
from pathgen.shop.cutters import Cutter

if TYPE_CHECKING:
    from numpy.typing import NDArray

Floats: TypeAlias = "NDArray[np.float64]"
Ints: TypeAlias = "NDArray[np.int64]"
Mask: TypeAlias = "NDArray[np.bool_]"

CHORD_ERROR = 0.0005  # of an arc made of chords, and of a disc made of sides, mm; both may meet
LEAST_HEIGHT = 1e-7  # above its end, where a flat cutter has its width already, mm
RAPID, FEED, DRILL = 0, 1, 2
XYZ = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Legs:
    """The legs of a run, in order; coordinates in mm, nan where a place is not known yet."""

    start: Floats  # (n, 3)
    end: Floats  # (n, 3)
    kind: Ints  # (n,): RAPID, FEED or DRILL
    item: Ints  # (n,): which item of the run
    number: Ints  # (n,): its line or step
    tool: Ints  # (n,): which of ``tools``; -1 before the first
    rpm: Floats  # (n,): 0 stopped, nan never set
    feed: Floats  # (n,): mm/min; 0 for rapids
    tools: tuple[Tool, ...]  # in the order they are fitted, a boring head anew at each setting
    radius: Floats  # (n,): of what the tool cuts, mm

    @property
    def low(self) -> Floats:
        """Return the lowest z of each leg, mm."""
        lowest: Floats = np.minimum(self.start[:, 2], self.end[:, 2])
        return lowest

    def radius_at(self, rows: Ints, level: float) -> Floats:
        """Return the radius that the cutters of some legs have at a height, at the lowest, mm.

        Above the head of a T-slot cutter it is that of the neck.
        """
        spread = np.array([*(tool.spread for tool in self.tools), np.inf])[self.tool[rows]]
        tip = np.array([*(tool.tip_radius for tool in self.tools), 0.0])[self.tool[rows]]
        height = np.maximum(level - self.low[rows], LEAST_HEIGHT)
        radius: Floats = np.minimum(self.radius[rows], tip + height * spread)
        for index, tool in enumerate(self.tools):
            if tool.undercut is not None:
                above = (self.tool[rows] == index) & (height >= tool.undercut.height)
                radius = np.where(above, tool.undercut.neck / 2, radius)
        return radius

    @property
    def undercuts(self) -> Mask:
        """Return a mask of the legs whose cutter is narrower above its head."""
        mask: Mask = np.array([*(t.undercut is not None for t in self.tools), False])[self.tool]
        return mask

    def __len__(self) -> int:
        return len(self.kind)


@dataclass(slots=True)
class _Tracing:
    """Where the cutter stands while a run is followed, and the legs so far."""

    at: XYZ = (math.nan, math.nan, math.nan)
    tool: int = -1
    rpm: float = math.nan
    height: float = math.nan  # of the tool at least, by eye, while its z is not known
    rows: list[tuple[float, ...]] = field(default_factory=list)
    marks: list[tuple[int, int, int, int]] = field(default_factory=list)

    tools: list[Tool] = field(default_factory=list)

    def fit(self, tool: Tool) -> None:
        """Put a cutter, or the one in the spindle as it is set from now on, in its place."""
        self.tools.append(tool)
        self.tool = len(self.tools) - 1

    def widen(self, by: Iterable[Wider]) -> None:
        """Let the cutter in the spindle cut wider from now on by what was found of its work."""
        tool = self.tools[-1] if self.tools else None
        for each in by:
            if tool is not None and tool.fit.number == each.cutter:
                tool = replace(tool, diameter=tool.diameter + each.much)
                self.fit(tool)

    def go(self, to: XYZ, kind: int, mark: tuple[int, int], feed: float = 0.0) -> None:
        """Add the leg from where the cutter stands."""
        if not math.isnan(to[2]):
            self.height = math.nan
        elif kind == RAPID:
            to = (*to[:2], self.height)
            self.at = (*self.at[:2], self.height)
        self.rows.append((*self.at, *to, self.rpm, feed))
        self.marks.append((kind, *mark, self.tool))
        self.at = to


def legs_of(run: Run, cutters: Sequence[Cutter]) -> Legs:
    """Return the legs of a run: arcs in chords, a drilled hole as its ways down and up."""
    tracing = _Tracing()
    heights, wider = dict(run.heights), widenings(run)
    for index, (item, number) in enumerate(zip(run.items, run.numbers, strict=True)):
        tracing.height = heights.get(index, tracing.height)
        if wider:
            tracing.widen(each for begin, each in wider if begin == index)
        mark = (index, number)
        if isinstance(item, Feed):  # nearly all of a long run
            tracing.go((item.x, item.y, item.z), FEED, mark, item.feed)
        elif isinstance(item, Rapid):
            tracing.go((item.x, item.y, item.z), RAPID, mark)
        elif isinstance(item, Arc | Drill):
            _curved_or_drilled(tracing, item, mark)
        else:
            _acted(tracing, (run, index), cutters)
    return _arrays(tracing, tuple(tracing.tools))


def _acted(tracing: _Tracing, at: tuple[Run, int], cutters: Sequence[Cutter]) -> None:
    """Take what an action, at an item of a run, changes of the cutter and of where it stands."""
    run, index = at
    match run.items[index]:
        case FitCutter() as fit:
            tool = stated_tool(fit, cutters)
            wider = wider_at(run, index, fit.number)
            tracing.fit(replace(tool, diameter=tool.diameter + wider))
        case SetDiameter() as setting if tracing.tools:
            tracing.fit(set_to(tracing.tools[-1], setting))
        case Spindle(rpm=rpm):
            tracing.rpm = rpm
        case SetHeight(swings=swings):
            across = (math.nan, math.nan) if swings else tracing.at[:2]
            tracing.at = (*across, math.nan)
        case _:
            pass


def _arrays(tracing: _Tracing, tools: tuple[Tool, ...]) -> Legs:
    rows = np.array(tracing.rows, dtype=np.float64).reshape(-1, 8)
    marks = np.array(tracing.marks, dtype=np.int64).reshape(-1, 4)
    radii = np.array([*(tool.radius for tool in tools), 0.0])  # the last is that of no tool, -1
    return Legs(
        start=rows[:, 0:3],
        end=rows[:, 3:6],
        rpm=rows[:, 6],
        feed=rows[:, 7],
        kind=marks[:, 0],
        item=marks[:, 1],
        number=marks[:, 2],
        tool=marks[:, 3],
        tools=tools,
        radius=radii[marks[:, 3]],
    )


def _curved_or_drilled(tracing: _Tracing, move: Move, mark: tuple[int, int]) -> None:
    """Add the legs of an arc or of a drilled hole."""
    if isinstance(move, Drill):
        _drill(tracing, move, mark)
    elif isinstance(move, Arc):
        for point in chords(tracing.at, move):
            tracing.go(point, FEED, mark, move.feed)


def _drill(tracing: _Tracing, drill: Drill, mark: tuple[int, int]) -> None:
    """Add over the hole, down to the clear height, the hole, and back up."""
    x, y, z = tracing.at
    if (x, y) != (drill.x, drill.y):
        tracing.go((drill.x, drill.y, z), RAPID, mark)
    if z != drill.clear:
        tracing.go((drill.x, drill.y, drill.clear), RAPID, mark)
    tracing.go((drill.x, drill.y, drill.bottom), DRILL, mark, drill.feed)
    back = FEED if drill.feed_out else RAPID
    tracing.go((drill.x, drill.y, drill.left_at), back, mark, drill.feed if drill.feed_out else 0.0)


def chords(start: XYZ, arc: Arc) -> list[XYZ]:
    """Return the ends of the chords that stand for an arc, `CHORD_ERROR` off it at most, mm.

    >>> way = chords((1.0, 0.0, 0.0), Arc(-1.0, 0.0, 0.0, 0.0, 0.0, False, 60.0))
    >>> len(way), way[-1]
    (50, (-1.0, 0.0, 0.0))
    """
    centre_x, centre_y = arc.centre_x, arc.centre_y
    radius = math.hypot(start[0] - centre_x, start[1] - centre_y)
    end_radius = math.hypot(arc.x - centre_x, arc.y - centre_y)
    if not (radius > CHORD_ERROR and math.isfinite(end_radius)):
        return [(arc.x, arc.y, arc.z)]
    first = math.atan2(start[1] - centre_y, start[0] - centre_x)
    sweep = _swept_angle(first, start, arc)
    count = max(1, math.ceil(abs(sweep) / (2 * math.acos(1 - CHORD_ERROR / radius))))
    points = []
    for step in range(1, count):
        share = step / count
        angle = first + sweep * share
        reach = radius + (end_radius - radius) * share
        z = start[2] + (arc.z - start[2]) * share
        points.append((centre_x + reach * math.cos(angle), centre_y + reach * math.sin(angle), z))
    return [*points, (arc.x, arc.y, arc.z)]


def _swept_angle(first: float, start: XYZ, arc: Arc) -> float:
    """Return the angle that an arc goes through, in radians, minus when clockwise."""
    last = math.atan2(arc.y - arc.centre_y, arc.x - arc.centre_x)
    whole = 2 * math.pi
    ahead = (first - last if arc.clockwise else last - first) % whole
    if math.hypot(arc.x - start[0], arc.y - start[1]) < CHORD_ERROR / 10:
        ahead = whole  # back where it began: once round
    ahead += whole * arc.turns
    return -ahead if arc.clockwise else ahead
