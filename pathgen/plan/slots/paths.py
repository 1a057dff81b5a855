"""The paths of a mill in a slot: to and fro on the centre line, along each wall, a closed loop."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from pathgen.moves.moves import Arc, Axis, How, Makes, Move, Rule
from pathgen.plan.slots.track import SAME_PLACE, Track


def centre_line(track: Track) -> Iterator[Move]:
    """Yield the cut to and fro on the centre line, a pass at each depth.

    Each pass comes down at an entry: where the last one stopped if that is one, else by way of the
    clear plane.
    """
    at: float | None = None
    cleared = 0.0
    count = len(track.depths)
    for number, z in enumerate(track.depths, start=1):
        what = f"pass {number} of {count}"
        entry = _nearest(track.entries, at)
        if at is not None and abs(entry - at) <= SAME_PLACE:
            yield track.lowered((at, 0.0), z, How(makes="size", what=f"{what}: down"))
        else:
            if at is not None:
                yield track.rapid(at, 0.0, track.clear)
            makes: Makes = "size" if at is None else track.again(entry)
            yield track.rapid(entry, 0.0, track.clear, track.how(makes, "over the entry", entry))
            yield from track.down((entry, 0.0), (cleared, z), f"{what}: down")
        at = entry
        for end in _ends_from(entry, track.span):
            yield track.feed(end, 0.0, z, track.how("stop", f"{what}: along", end))
            at = end
        cleared = z
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
    far end is opened first, straight down in what roughing has left, depth by depth: coming along,
    the cutter would meet its whole front.
    """
    start, end = track.way
    slot = track.scheme.slot
    far_is_open = slot.open_high if end > start else slot.open_low
    if end in track.entries and not far_is_open and abs(end - start) > SAME_PLACE:
        for above, z in pairwise((0.0, *track.depths)):
            over = track.how("size", "over the far end", end)
            yield track.rapid(end, 0.0, track.clear, over)
            yield from track.down((end, 0.0), (above, z), "far end: down")
            yield track.rapid(end, 0.0, track.clear)
    yield from _one_way(track, (start, end), "finish", "size")


def in_solid(track: Track) -> Iterator[Move]:
    """Yield the whole slot by a cutter of its width, in solid metal, always the same way along.

    No pass goes deeper than a full slot may. It begins at the end from which the slide comes to
    the other from its chosen side, or, where the cutter can come down there alone, at that other
    end; its stop is then as good as the measured slack.
    """
    start, end = track.way
    makes: Makes = "size"
    if start not in track.entries:
        start, end, makes = end, start, "stop"
    yield from _one_way(track, (start, end), "cut", makes)


def _one_way(track: Track, way: tuple[float, float], name: str, makes: Makes) -> Iterator[Move]:
    """Yield passes on the centre line, each down at the same end and along to the other."""
    start, end = way
    count = len(track.depths)
    for number, (above, z) in enumerate(pairwise((0.0, *track.depths)), start=1):
        what = f"{name} {number} of {count}" if count > 1 else name
        over = track.how(track.again(start) if above else "size", "over the first end", start)
        yield track.rapid(start, 0.0, track.clear, over)
        yield from track.down((start, 0.0), (above, z), f"{what}: down")
        if abs(end - start) > SAME_PLACE:
            how = track.how(makes, f"{what}: along to the end", end)
            yield track.feed(end, 0.0, z, how)
        yield track.rapid(end, 0.0, track.clear)


def walls(track: Track, offset: float, measure: str = "") -> Iterator[Move]:
    """Yield cuts down each wall in turn, one handle at a time, against the cutter's turn.

    First the wall along which the slide goes as it comes to a position from its side: the other is
    then begun from where the first has ended, without winding back past it.

    Args:
        track: whose span lies where the cutter can stand off the centre line: in a reamed end, or
            outside an open one.
        offset: of the cutter's centre from the slot's centre line, mm.
        measure: the name of the measurement that the offset follows; empty for none.
    """
    low, high = track.span
    first = 1 if (track.conventional(1) > 0) == (track.way == (low, high)) else -1
    for wall in (first, -first):
        start, end = (low, high) if track.conventional(wall) > 0 else (high, low)
        name = _wall_name(track.scheme.slot.along, wall)
        across = wall * offset
        rules = _rules(track, wall, measure)
        along = replace(track.how("stop", f"{name}: along", end, across), rules=rules)
        for above, z in pairwise((0.0, *track.depths)):
            makes = track.again(start) if above else "size"
            over = track.how(makes, f"{name}: over its start", start, across)
            yield track.rapid(start, across, track.clear, replace(over, rules=rules))
            yield from track.down((start, across), (above, z), f"{name}: down", *rules)
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
    for above, z in pairwise((0.0, *track.depths)):
        yield track.rapid(*start, track.clear, How(makes="size", what="over the middle"))
        yield from track.near(start, above)
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
    for above, z in pairwise((0.0, *track.depths)):
        yield track.rapid(outside, wall * offset, track.clear, How(makes="size", what="outside"))
        yield from track.down((outside, wall * offset), (above, z), "down, outside")
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
