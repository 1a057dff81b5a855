"""The paths of a mill in a slot: to and fro on the centre line, along each wall, a closed loop."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from pathgen.moves.moves import Arc, Axis, Feed, How, Makes, Move, Rapid, Rule, Term
from pathgen.plan.cutting import Cutting
from pathgen.plan.slot_scheme import Scheme
from pathgen.shop.cutters import Cutter

SAME_PLACE = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Track:
    """What a path is made with: slot, cutter, feeds, depths and the places it may come down at."""

    scheme: Scheme
    cutter: Cutter
    cutting: Cutting
    depths: tuple[float, ...]  # z of each pass, falling
    clear: float
    span: tuple[float, float]  # of the cutter's centre along the slot, low and high
    entries: tuple[float, ...]  # places along the slot where the cutter can come down
    side: int  # which way the slide that feeds along goes as it comes to a position

    def rapid(self, along: float, across: float, z: float, how: How | None = None) -> Rapid:
        """Return a move in the air, by places along and across the slot."""
        x, y = self.scheme.slot.point(along, self.scheme.slot.centre_line + across)
        return Rapid(x, y, z, how)

    def feed(self, along: float, across: float, z: float, how: How, *, down: bool = False) -> Feed:
        """Return a cutting move, by places along and across the slot."""
        x, y = self.scheme.slot.point(along, self.scheme.slot.centre_line + across)
        return Feed(x, y, z, self.cutting.plunge if down else self.cutting.feed, how)

    @property
    def depth_of_cut(self) -> float:
        """Return the depth of one pass, mm; they are all alike."""
        return -self.depths[0]

    def how(self, makes: Makes, what: str, end: float, offset: float = 0.0) -> How:
        """Return what a move to a place carries: the sums of its places along and across."""
        slot = self.scheme.slot
        across: Axis = "y" if slot.along == "x" else "x"
        sums = ((slot.along, self._along_terms(end)), (across, self._across_terms(offset)))
        return How(makes=makes, what=what, sums=tuple(each for each in sums if each[1]))

    def _along_terms(self, place: float) -> tuple[Term, ...]:
        """Return the sum of one end of the span: the slot's end, the allowance, half the cutter."""
        scheme = self.scheme
        names = ("left", "right") if scheme.slot.along == "x" else ("front", "back")
        ends = (scheme.low, scheme.high)
        opened = (scheme.slot.open_low, scheme.slot.open_high)
        for name, end, limit, out in zip(names, ends, self.span, opened, strict=True):
            if abs(place - limit) > SAME_PLACE:
                continue
            inwards = 1.0 if limit > end else -1.0
            rest = abs(limit - end) - self.cutter.radius
            terms = [
                Term(f"{name} {'face' if out else 'end of the slot'}", end),
                Term(f"half of the {self.cutter.name}", inwards * self.cutter.radius),
            ]
            if abs(rest) > SAME_PLACE:
                terms.append(Term("clear of it" if out else "left to finish", inwards * rest))
            return tuple(terms)
        return ()

    def _across_terms(self, offset: float) -> tuple[Term, ...]:
        """Return the sum of a place off the centre line: wall, half the cutter, what is left."""
        if abs(offset) < SAME_PLACE:
            return ()
        side = 1.0 if offset > 0 else -1.0
        wall = self.scheme.wall
        left = wall - self.cutter.radius - abs(offset)
        terms = [
            Term("centre line", self.scheme.slot.centre_line),
            Term("half of the width", side * wall),
            Term(f"half of the {self.cutter.name}", -side * self.cutter.radius),
        ]
        if abs(left) > SAME_PLACE:
            terms.append(Term("left to finish", -side * left))
        return tuple(terms)

    @property
    def clockwise_sign(self) -> int:
        """Return +1 where across lies to the left of along, seen from above, else -1."""
        return 1 if self.scheme.slot.along == "x" else -1

    def conventional(self, wall: int) -> int:
        """Return which way along to feed down a wall (+1 or -1 across) against the cutter's turn.

        The spindle turns clockwise seen from above, so the wall is to lie on the left of the feed.
        """
        return wall * self.clockwise_sign


def centre_line(track: Track) -> Iterator[Move]:
    """Yield the cut to and fro on the centre line, a pass at each depth.

    Each pass comes down at an entry: where the last one stopped if that is one, else by way of the
    clear plane.
    """
    at: float | None = None
    count = len(track.depths)
    for number, z in enumerate(track.depths, start=1):
        entry = _nearest(track.entries, at)
        if at is None or abs(entry - at) > SAME_PLACE:
            if at is not None:
                yield track.rapid(at, 0.0, track.clear)
            yield track.rapid(entry, 0.0, track.clear, track.how("size", "over the entry", entry))
        what = f"pass {number} of {count}"
        yield track.feed(entry, 0.0, z, How(makes="size", what=f"{what}: down"), down=True)
        at = entry
        for end in _ends_from(entry, track.span):
            yield track.feed(end, 0.0, z, track.how("stop", f"{what}: along", end))
            at = end
    if at is not None:
        yield track.rapid(at, 0.0, track.clear)


def _nearest(entries: tuple[float, ...], at: float | None) -> float:
    """Return the entry nearest to a place, or the first."""
    return entries[0] if at is None else min(entries, key=lambda entry: abs(entry - at))


def _ends_from(entry: float, span: tuple[float, float]) -> Iterator[float]:
    """Yield the ends to go to from an entry: the nearer first, if it is not there already."""
    nearer, farther = sorted(span, key=lambda end: abs(end - entry))
    if abs(nearer - entry) > SAME_PLACE:
        yield nearer
    if abs(farther - nearer) > SAME_PLACE:
        yield farther


def full_width(track: Track) -> Iterator[Move]:
    """Yield the finishing cut with a cutter of the slot's width: always the same way along.

    The slide comes to both ends from its chosen side, so that no slack is in the length. A round
    far end is opened first, straight down: coming along, the cutter would meet its whole front.
    """
    start, end = track.span if track.side > 0 else (track.span[1], track.span[0])
    count = len(track.depths)
    slot = track.scheme.slot
    far_is_open = slot.open_high if end > start else slot.open_low
    if end in track.entries and not far_is_open and abs(end - start) > SAME_PLACE:
        over = track.how("size", "over the far end", end)
        yield track.rapid(end, 0.0, track.clear, over)
        down = How(makes="size", what="far end: down")
        yield track.feed(end, 0.0, track.depths[-1], down, down=True)
        yield track.rapid(end, 0.0, track.clear)
    for number, z in enumerate(track.depths, start=1):
        what = f"finish {number} of {count}" if count > 1 else "finish"
        over = track.how("size", "over the first end", start)
        yield track.rapid(start, 0.0, track.clear, over)
        yield track.feed(start, 0.0, z, How(makes="size", what=f"{what}: down"), down=True)
        if abs(end - start) > SAME_PLACE:
            how = track.how("size", f"{what}: along to the end", end)
            yield track.feed(end, 0.0, z, how)
        yield track.rapid(end, 0.0, track.clear)


def walls(track: Track, offset: float, measure: str = "") -> Iterator[Move]:
    """Yield cuts down each wall in turn, one handle at a time, against the cutter's turn.

    Args:
        track: whose span lies where the cutter can stand off the centre line: in a reamed end, or
            outside an open one.
        offset: of the cutter's centre from the slot's centre line, mm.
        measure: the name of the measurement that the offset follows; empty for none.
    """
    for wall in (1, -1):
        way = track.conventional(wall)
        start, end = track.span if way > 0 else (track.span[1], track.span[0])
        name = _wall_name(track.scheme.slot.along, wall)
        across = wall * offset
        rules = _rules(track, wall, measure)
        over = replace(track.how("size", f"{name}: over its start", start, across), rules=rules)
        down = How(makes="size", what=f"{name}: down", rules=rules)
        along = replace(track.how("stop", f"{name}: along", end, across), rules=rules)
        for z in track.depths:
            yield track.rapid(start, across, track.clear, over)
            yield track.feed(start, across, z, down, down=True)
            yield track.feed(end, across, z, along)
            yield track.rapid(end, across, track.clear, How(rules=rules))


def _rules(track: Track, wall: int, measure: str) -> tuple[Rule, ...]:
    """Return how a wall's place follows a measurement: half of what was found too wide, inwards."""
    if not measure:
        return ()
    axis: Axis = "y" if track.scheme.slot.along == "x" else "x"
    return (Rule(axis=axis, measure=measure, factor=-0.5 * wall),)


def _wall_name(along: str, wall: int) -> str:
    """Return what a person calls a wall of the slot."""
    if along == "x":
        return "back wall" if wall > 0 else "front wall"
    return "right wall" if wall > 0 else "left wall"


def loop(track: Track, offset: float) -> Iterator[Move]:
    """Yield a cut round the walls with arcs at the round ends, against the cutter's turn.

    The feed is that of the cutting edge: on the arcs the centre goes slower, as its radius is to
    the wall's.
    """
    slot = track.scheme.slot
    if slot.open_low and slot.open_high:
        yield from walls(track, offset)
    elif slot.open_low or slot.open_high:
        yield from _open_loop(track, offset)
    else:
        yield from _closed_loop(track, offset)


def _arc(
    track: Track, along: float, to: tuple[float, float, float], offset: float, what: str
) -> Arc:
    """Return a clockwise arc about a place on the centre line to (along, across, z)."""
    slot = track.scheme.slot
    x, y = slot.point(to[0], slot.centre_line + to[1])
    centre_x, centre_y = slot.point(along, slot.centre_line)
    feed = max(1.0, track.cutting.feed * offset / (offset + track.cutter.radius))
    how = How(makes="size", what=what)
    return Arc(x, y, to[2], centre_x, centre_y, clockwise=True, feed=feed, how=how)


def _closed_loop(track: Track, offset: float) -> Iterator[Move]:
    """Yield loops that begin and end on the centre line, half-way along, by quarter turns."""
    wall = track.clockwise_sign  # the wall along which the cutter goes the plus way
    scheme = track.scheme
    low, high = scheme.low + scheme.wall, scheme.high - scheme.wall
    middle = (low + high) / 2
    start, leave = (middle - offset, 0.0), (middle + offset, 0.0)
    along_back = How(makes="size", what="along the other wall")
    along = How(makes="size", what="along the wall")
    for z in track.depths:
        yield track.rapid(*start, track.clear, How(makes="size", what="over the middle"))
        yield track.feed(*start, z, How(makes="size", what="down in the cleared slot"))
        yield _arc(track, middle, (middle, wall * offset, z), offset, "on to the wall")
        yield track.feed(high, wall * offset, z, along)
        yield _arc(track, high, (high, -wall * offset, z), offset, "round end")
        yield track.feed(low, -wall * offset, z, along_back)
        yield _arc(track, low, (low, wall * offset, z), offset, "round end")
        yield track.feed(middle, wall * offset, z, along)
        yield _arc(track, middle, (*leave, z), offset, "off the wall")
        yield track.rapid(*leave, track.clear)


def _open_loop(track: Track, offset: float) -> Iterator[Move]:
    """Yield a cut in from the open end along one wall, round the end, out along the other."""
    slot = track.scheme.slot
    low, high = track.span
    inwards = 1 if slot.open_low else -1
    outside = low if slot.open_low else high
    scheme = track.scheme
    centre = scheme.high - scheme.wall if slot.open_low else scheme.low + scheme.wall
    wall = inwards * track.clockwise_sign
    for z in track.depths:
        yield track.rapid(outside, wall * offset, track.clear, How(makes="size", what="outside"))
        yield track.feed(outside, wall * offset, z, How(makes="size", what="down, outside"))
        yield track.feed(centre, wall * offset, z, How(makes="size", what="along the wall"))
        yield _arc(track, centre, (centre, -wall * offset, z), offset, "round end")
        yield track.feed(outside, -wall * offset, z, How(makes="size", what="along the other wall"))
        yield track.rapid(outside, -wall * offset, track.clear)


def widening_offsets(first: float, last: float, most: float) -> tuple[float, ...]:
    """Return equal steps off the centre line, the last exactly at ``last``; mm.

    >>> widening_offsets(0.0, 4.0, 2.5)
    (2.0, 4.0)
    """
    if last - first < SAME_PLACE:
        return ()
    count = max(1, -int(-(last - first - SAME_PLACE) // most))
    steps = [first + (last - first) * step / count for step in range(count)] + [last]
    return tuple(after for _, after in pairwise(steps))
