"""What a run does, as it is drawn: holes in order, and the ways of the cutter in each pass."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from pathgen.moves.actions import FitCutter, SetDiameter
from pathgen.moves.moves import Arc, Drill, Feed, Rapid, end_of
from pathgen.moves.plan import Heading, Item, Run

Place = tuple[float, float]
ARC_STEP_DEG = 3.0  # arcs are drawn as chords of at most so much
SAME = 0.01  # places nearer than this are one on paper, mm
NOWHERE = (math.nan, math.nan, math.nan)


@dataclass(frozen=True, slots=True)
class Edge:
    """A straight stretch of a cut, and whether it is cut that way, the other way, or both."""

    start: Place
    end: Place
    forth: bool
    back: bool


@dataclass(frozen=True, slots=True)
class Hole:
    """A place where a cutter goes straight down; ``bottom`` is its lowest point, mm."""

    x: float
    y: float
    bottom: float


@dataclass(slots=True)
class Work:
    """All that one pass does, as its heading has it; without headings, one fitting of a cutter."""

    number: int
    name: str
    diameter: float  # of a boring head the widest that it is set to
    order: int = 0  # of the pass in its setup, from 1; 0 without headings
    purpose: str = ""
    cuts: int = 0  # moves that cut across
    deepest: float = math.inf
    deepest_x: float = math.nan  # where it is so deep first
    holes: list[Hole] = field(default_factory=list)
    _edges: dict[tuple[Place, Place], tuple[bool, bool]] = field(default_factory=dict)
    _plunges: list[Hole] = field(default_factory=list)
    _made: tuple[Edge, ...] = ()  # of all the stretches so far, once somebody has asked

    @property
    def edges(self) -> tuple[Edge, ...]:
        """Return the stretches cut, each once, in the order of cutting."""
        if len(self._made) != len(self._edges):
            self._made = tuple(Edge(a, b, *ways) for (a, b), ways in self._edges.items())
        return self._made

    @property
    def radius(self) -> float:
        """Return half the cutter's diameter, mm."""
        return self.diameter / 2

    def shown_at(self, index: int) -> Place:
        """Return where to draw the cutter of a pass: by turns at its start, and far from it."""
        start = self.edges[0].start
        if index % 2 == 0:
            return start
        return max(
            (place for e in self.edges for place in (e.start, e.end)),
            key=lambda place: math.dist(place, start),
        )

    def cut(self, points: list[Place]) -> None:
        """Add a cut along points."""
        self.cuts += 1
        for a, b in pairwise(points):
            if (b, a) in self._edges:
                self._edges[b, a] = (self._edges[b, a][0], True)
            else:
                self._edges[a, b] = (True, self._edges.get((a, b), (True, False))[1])

    def plunge(self, hole: Hole) -> None:
        """Add a way straight down: a hole, if the cutter never cuts across."""
        self._plunges.append(hole)

    def close(self) -> None:
        """Take the plunges for holes when nothing was cut across (a program without cycles)."""
        if not self.cuts:
            deepest: dict[Place, float] = {}
            for hole in self._plunges:
                place = _near((hole.x, hole.y))
                deepest[place] = min(hole.bottom, deepest.get(place, math.inf))
            self.holes.extend(Hole(x, y, bottom) for (x, y), bottom in deepest.items())


def works_of(run: Run) -> tuple[Work, ...]:
    """Return what each pass does, in order, leaving out those that cut nothing.

    A pass begins at its heading; where a run has none, with the fitting of its cutter. Cuts before
    any cutter is named are shown under the name "no cutter named".
    """
    works = [Work(0, "no cutter named", 0.0)]
    place: tuple[float, float, float] = NOWHERE
    first, under = run.head.passes_before + 1, 0
    for number, item in zip(run.numbers, run.items, strict=True):
        while under < len(run.headings) and number >= run.headings[under].number:
            works.append(_headed(works[-1], run.headings[under], first + under))
            under += 1
        if isinstance(item, FitCutter):
            works.append(_fitted(works[-1], item))
        elif isinstance(item, SetDiameter):
            works[-1].diameter = max(works[-1].diameter, item.diameter)
        elif isinstance(item, Rapid | Feed | Arc | Drill):
            _take(works[-1], place, item)
            place = end_of(item)
    for work in works:
        work.close()
    return tuple(work for work in works if work.cuts or work.holes)


def _headed(before: Work, heading: Heading, order: int) -> Work:
    """Return the pass under a heading; until another cutter is fitted it has the one before."""
    name, size = before.name, before.diameter
    return Work(before.number, name, size, order, heading.purpose)


def _fitted(before: Work, cutter: FitCutter) -> Work:
    """Return the pass that goes on with a cutter."""
    return Work(cutter.number, cutter.name, cutter.diameter, before.order, before.purpose)


def _take(work: Work, start: tuple[float, float, float], move: Item) -> None:
    """Add one move to a work."""
    if isinstance(move, Drill):
        if not all(math.isfinite(each) for each in (move.x, move.y, move.bottom)):
            return
        work.holes.append(Hole(move.x, move.y, move.bottom))
        work.deepest = min(work.deepest, move.bottom)
    elif isinstance(move, Feed | Arc):
        if math.isfinite(move.z) and move.z < work.deepest:
            work.deepest, work.deepest_x = move.z, move.x
        points = list(points_of(start[:2], move))
        if not all(math.isfinite(each) for point in points for each in point):
            return
        if len(points) > 1:
            work.cut(points)
        elif points and move.z < start[2]:
            work.plunge(Hole(move.x, move.y, move.z))


def points_of(start: Place, move: Feed | Arc) -> Iterator[Place]:
    """Yield the places along a cutting move, its start first, without repeats."""
    last = _near(start)
    yield last
    ends = [(move.x, move.y)] if isinstance(move, Feed) else _chords(start, move)
    for each in ends:
        near = _near(each)
        if near != last:
            yield near
            last = near


def _near(place: Place) -> Place:
    """Return a place to the nearest hundredth, so that repeats are known again."""
    if not (math.isfinite(place[0]) and math.isfinite(place[1])):
        return place
    return round(place[0], 2) + 0.0, round(place[1], 2) + 0.0


def _chords(start: Place, arc: Arc) -> list[Place]:
    """Return the ends of the chords that stand for an arc, or for one turn of several."""
    x, y = start[0] - arc.centre_x, start[1] - arc.centre_y
    radius = math.hypot(x, y)
    if not math.isfinite(radius):
        return [(arc.x, arc.y)]
    first = math.degrees(math.atan2(y, x))
    last = math.degrees(math.atan2(arc.y - arc.centre_y, arc.x - arc.centre_x))
    swept = (first - last if arc.clockwise else last - first) % 360.0
    whole = arc.turns > 0 or math.hypot(arc.x - start[0], arc.y - start[1]) < SAME
    swept = 360.0 if whole else swept
    count = max(1, math.ceil(swept / ARC_STEP_DEG))
    sign = -1 if arc.clockwise else 1
    angles = [math.radians(first + sign * swept * i / count) for i in range(1, count)]
    inner = [
        (arc.centre_x + radius * math.cos(a), arc.centre_y + radius * math.sin(a)) for a in angles
    ]
    return [*inner, start if whole and arc.turns else (arc.x, arc.y)]


def chains(edges: tuple[Edge, ...]) -> list[list[Place]]:
    """Return stretches joined end to start, so that a broken line runs on through the corners.

    >>> chains((Edge((0, 0), (9, 0), True, False), Edge((9, 0), (9, 5), True, False)))
    [[(0, 0), (9, 0), (9, 5)]]
    """
    joined: list[list[Place]] = []
    for edge in edges:
        if joined and joined[-1][-1] == edge.start:
            joined[-1].append(edge.end)
        else:
            joined.append([edge.start, edge.end])
    return joined


def places_drilled(works: tuple[Work, ...]) -> tuple[Place, ...]:
    """Return the places where holes are made, each once, in the order of drilling."""
    found: list[Place] = []
    for work in works:
        for hole in work.holes:
            if not any(math.dist(place, (hole.x, hole.y)) < SAME for place in found):
                found.append((hole.x, hole.y))
    return tuple(found)
