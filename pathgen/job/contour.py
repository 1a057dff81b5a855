"""Contours: closed lines of straights and arcs, as the walls of a pocket or an outside are."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

Spot: TypeAlias = tuple[float, float]
FULL = 2 * math.pi
ON_AXIS = 1e-6  # mm: a straight whose ends differ by less goes along an axis


@dataclass(frozen=True, slots=True, kw_only=True)
class Straight:
    """A straight to a place; mm."""

    to: Spot


@dataclass(frozen=True, slots=True, kw_only=True)
class Bend:
    """An arc to a place, less than a whole turn; mm."""

    to: Spot
    centre: Spot
    clockwise: bool


Segment: TypeAlias = Straight | Bend


@dataclass(frozen=True, slots=True, kw_only=True)
class Contour:
    """A closed line that does not cross itself: it begins at ``start`` and comes back to it; mm.

    It runs anticlockwise, so that what it encloses lies to its left.
    """

    start: Spot
    segments: tuple[Segment, ...]

    def legs(self) -> Iterator[tuple[Spot, Segment]]:
        """Yield each segment with the place where it begins."""
        at = self.start
        for segment in self.segments:
            yield at, segment
            at = segment.to

    @property
    def area(self) -> float:
        """Return what it encloses, mm2; below 0 if it runs clockwise.

        >>> round(circle((5.0, 0.0), 2.0).area, 6) == round(4 * math.pi, 6)
        True
        """
        return sum(_share_of_area(start, segment) for start, segment in self.legs())

    @property
    def length(self) -> float:
        """Return the length of the way round, mm."""
        return sum(_length(start, segment) for start, segment in self.legs())

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Return least x and y, greatest x and y, arcs bulging out included; mm."""
        spots = [spot for start, segment in self.legs() for spot in _outermost(start, segment)]
        xs, ys = zip(*spots, strict=True)
        return min(xs), min(ys), max(xs), max(ys)

    @property
    def tightest(self) -> float:
        """Return the least radius of an inside corner (a left turn), mm; 0 for a sharp one.

        Infinite where it has none. A cutter that is to follow it from within must not be larger.
        """
        return min((radius for _, radius in self.inside_corners()), default=math.inf)

    def inside_corners(self) -> Iterator[tuple[Spot, float]]:
        """Yield each left turn: where it is, and its radius, 0 for a sharp one; mm."""
        rows = list(self.legs())
        for row, (start, segment) in enumerate(rows):
            if isinstance(segment, Bend) and not segment.clockwise:
                yield _middle(start, segment), math.dist(start, segment.centre)
            after = rows[(row + 1) % len(rows)]
            turn = _turn(_heading(start, segment, at_end=True), _heading(*after, at_end=False))
            if turn > 1e-6:
                yield segment.to, 0.0

    def off_axes(self) -> Iterator[tuple[Spot, Segment]]:
        """Yield the arcs, and the straights that go along neither x nor y, each with its start."""
        for start, segment in self.legs():
            across = [abs(segment.to[axis] - start[axis]) for axis in (0, 1)]
            if isinstance(segment, Bend) or min(across) > ON_AXIS:
                yield start, segment

    def moved(self, x: float, y: float) -> Contour:
        """Return the same contour elsewhere."""
        return Contour(
            start=(self.start[0] + x, self.start[1] + y),
            segments=tuple(_moved(segment, x, y) for segment in self.segments),
        )

    def points(self, error: float) -> list[Spot]:
        """Return the corners of a polygon whose chords lie within an error of the arcs, mm."""
        corners = [self.start]
        for start, segment in self.legs():
            corners.extend(chords(start, segment, error))
        return corners[:-1]


def circle(centre: Spot, radius: float) -> Contour:
    """Return a circle as a contour: two half turns; mm."""
    x, y = centre
    left, right = (x - radius, y), (x + radius, y)
    halves = (
        Bend(to=left, centre=centre, clockwise=False),
        Bend(to=right, centre=centre, clockwise=False),
    )
    return Contour(start=right, segments=halves)


def rectangle(low: Spot, high: Spot, corner: float = 0.0) -> Contour:
    """Return a rectangle along the axes with round corners as a contour; mm.

    Raises:
        ValueError: the corners' radius is more than half the shorter side.

    >>> rectangle((0.0, 0.0), (20.0, 10.0), 5.0).length - (2 * 10 + 2 * math.pi * 5) < 1e-9
    True
    """
    (x0, y0), (x1, y1), r = low, high, corner
    if 2 * r > min(x1 - x0, y1 - y0) + 1e-9:
        raise ValueError(f"corners of {r:g} mm in a rectangle of {x1 - x0:g} by {y1 - y0:g} mm")
    corners = ((x1, y0, 1, -1), (x1, y1, 1, 1), (x0, y1, -1, 1), (x0, y0, -1, -1))
    segments: list[Segment] = []
    for x, y, right, up in corners:
        centre = (x - right * r, y - up * r)
        # Anticlockwise, a corner is come to along x where right and up differ, else along y.
        first = (centre[0], y) if right != up else (x, centre[1])
        last = (x, centre[1]) if right != up else (centre[0], y)
        segments.append(Straight(to=first))
        if r > 0:
            segments.append(Bend(to=last, centre=centre, clockwise=False))
    start = segments[-1].to
    real = [
        s for s, a in zip(segments, [start, *(s.to for s in segments)], strict=False) if s.to != a
    ]
    return Contour(start=start, segments=tuple(real))


def anticlockwise(contour: Contour) -> Contour:
    """Return a contour the anticlockwise way round.

    >>> flat = Contour(start=(0.0, 0.0), segments=(
    ...     Straight(to=(0.0, 1.0)), Straight(to=(1.0, 0.0)), Straight(to=(0.0, 0.0))))
    >>> flat.area, anticlockwise(flat).area
    (-0.5, 0.5)
    """
    return contour if contour.area > 0 else reversed_contour(contour)


def reversed_contour(contour: Contour) -> Contour:
    """Return a contour the other way round."""
    legs = list(contour.legs())[::-1]
    return Contour(
        start=contour.start,
        segments=tuple(
            Straight(to=start)
            if isinstance(segment, Straight)
            else Bend(to=start, centre=segment.centre, clockwise=not segment.clockwise)
            for start, segment in legs
        ),
    )


def crossing(contour: Contour, error: float = 0.001) -> Spot | None:
    """Return a place where a contour crosses or touches itself; None where it does not.

    Args:
        contour: the closed line.
        error: how nearly two stretches may pass and still be apart, mm.
    """
    import shapely  # noqa: PLC0415 - heavy; only jobs with free contours need it

    ring = shapely.LinearRing(contour.points(error))
    if ring.is_simple:
        return None
    words = shapely.is_valid_reason(shapely.Polygon(ring))
    found = re.search(r"\[([-\d.e+]+) ([-\d.e+]+)\]", words)
    return contour.start if found is None else (float(found[1]), float(found[2]))


def nearest_place(contour: Contour, spot: Spot) -> Spot:
    """Return the place on a contour that is nearest to a spot, mm."""
    places = [_nearest_on(start, segment, spot) for start, segment in contour.legs()]
    return min(places, key=lambda place: math.dist(place, spot))


def heading_at(contour: Contour, spot: Spot) -> float:
    """Return which way a contour goes where it is nearest to a spot, radians from x."""
    start, segment = min(
        contour.legs(), key=lambda leg: math.dist(_nearest_on(leg[0], leg[1], spot), spot)
    )
    place = _nearest_on(start, segment, spot)
    if isinstance(segment, Straight):
        return _heading(start, segment, at_end=False)
    return _heading(place, segment, at_end=False)


def _nearest_on(start: Spot, segment: Segment, spot: Spot) -> Spot:
    """Return the place on a segment that is nearest to a spot, mm."""
    if isinstance(segment, Straight):
        along = (segment.to[0] - start[0], segment.to[1] - start[1])
        square = along[0] ** 2 + along[1] ** 2
        share = (spot[0] - start[0]) * along[0] + (spot[1] - start[1]) * along[1]
        share = min(max(share / square, 0.0), 1.0)
        return start[0] + along[0] * share, start[1] + along[1] * share
    radius, away = math.dist(start, segment.centre), math.dist(spot, segment.centre)
    if away > 0:
        x, y = segment.centre
        on = (x + (spot[0] - x) * radius / away, y + (spot[1] - y) * radius / away)
        way = Bend(to=on, centre=segment.centre, clockwise=segment.clockwise)
        if swept_angle(start, way) <= swept_angle(start, segment):
            return on
    return min(start, segment.to, key=lambda end: math.dist(end, spot))


def swept_angle(start: Spot, bend: Bend) -> float:
    """Return the angle that an arc goes through, radians, always above 0.

    An arc that ends where it begins goes through nothing, and is not a segment.
    """
    first = math.atan2(start[1] - bend.centre[1], start[0] - bend.centre[0])
    last = math.atan2(bend.to[1] - bend.centre[1], bend.to[0] - bend.centre[0])
    return (first - last if bend.clockwise else last - first) % FULL


def _share_of_area(start: Spot, segment: Segment) -> float:
    """Return what a segment adds to the area enclosed, by Green's theorem, mm2."""
    (x0, y0), (x1, y1) = start, segment.to
    chord = (x0 * y1 - x1 * y0) / 2
    if isinstance(segment, Straight):
        return chord
    angle, radius = swept_angle(start, segment), math.dist(start, segment.centre)
    bulge = radius * radius * (angle - math.sin(angle)) / 2
    return chord - bulge if segment.clockwise else chord + bulge


def _length(start: Spot, segment: Segment) -> float:
    if isinstance(segment, Straight):
        return math.dist(start, segment.to)
    return swept_angle(start, segment) * math.dist(start, segment.centre)


def _outermost(start: Spot, segment: Segment) -> Iterator[Spot]:
    """Yield the ends of a segment, and where an arc is furthest out along an axis."""
    yield start
    yield segment.to
    if isinstance(segment, Straight):
        return
    radius, whole = math.dist(start, segment.centre), swept_angle(start, segment)
    for right, up in ((1, 0), (0, 1), (-1, 0), (0, -1)):
        spot = (segment.centre[0] + right * radius, segment.centre[1] + up * radius)
        way = Bend(to=spot, centre=segment.centre, clockwise=segment.clockwise)
        if swept_angle(start, way) < whole:
            yield spot


def _middle(start: Spot, bend: Bend) -> Spot:
    """Return the place half-way along an arc, mm."""
    return _along(start, bend, 0.5)


def _along(start: Spot, bend: Bend, share: float) -> Spot:
    """Return the place at a share of an arc, mm."""
    x, y = bend.centre
    radius = math.dist(start, bend.centre)
    turn = swept_angle(start, bend) * share * (-1 if bend.clockwise else 1)
    angle = math.atan2(start[1] - y, start[0] - x) + turn
    return x + radius * math.cos(angle), y + radius * math.sin(angle)


def _heading(start: Spot, segment: Segment, *, at_end: bool) -> float:
    """Return which way a segment goes at its start or its end, radians from x."""
    if isinstance(segment, Straight):
        return math.atan2(segment.to[1] - start[1], segment.to[0] - start[0])
    at = segment.to if at_end else start
    out = math.atan2(at[1] - segment.centre[1], at[0] - segment.centre[0])
    return out - math.pi / 2 if segment.clockwise else out + math.pi / 2


def _turn(before: float, after: float) -> float:
    """Return the turn from one heading to another, radians, left above 0, at most half a turn."""
    return (after - before + math.pi) % FULL - math.pi


def _moved(segment: Segment, x: float, y: float) -> Segment:
    to = (segment.to[0] + x, segment.to[1] + y)
    if isinstance(segment, Straight):
        return Straight(to=to)
    centre = (segment.centre[0] + x, segment.centre[1] + y)
    return Bend(to=to, centre=centre, clockwise=segment.clockwise)


def chords(start: Spot, segment: Segment, error: float) -> list[Spot]:
    """Return the corners that stand for a segment, without its start."""
    if isinstance(segment, Straight):
        return [segment.to]
    radius, whole = math.dist(start, segment.centre), swept_angle(start, segment)
    count = max(1, math.ceil(whole / (2 * math.acos(max(1 - error / radius, 0.0)))))
    return [*(_along(start, segment, step / count) for step in range(1, count)), segment.to]
