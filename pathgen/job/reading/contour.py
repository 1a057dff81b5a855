"""Reading closed contours: corner by corner, round, rectangular, or from a layer of a drawing."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pathgen.input.getters import Table
from pathgen.job.contour import (
    Bend,
    Contour,
    Segment,
    Spot,
    Straight,
    anticlockwise,
    circle,
    crossing,
    rectangle,
)

MOST = 20_000  # corners of one contour
WAYS = ("clockwise", "anticlockwise")
SAME = 1e-6  # mm: two places nearer than this are one


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """One corner of a contour as it is given, and how the way to it goes; mm."""

    at: Spot
    rounded: float  # radius of the corner; 0 for a sharp one
    centre: Spot | None  # of the arc that leads here; None: straight
    clockwise: bool


def read_corners(table: Table, key: str, origin: Spot = (0.0, 0.0)) -> Contour | None:
    """Read a closed contour from its corners, ``KEY = [{ at = [x, y], round = r }, ...]``.

    A corner may say that an arc leads to it: ``arc_centre`` and ``way``. The last corner is joined
    to the first. None when anything was wrong.

    Args:
        table: of the feature.
        key: of the list of corners.
        origin: what the corners' places are counted from, mm.
    """
    tables = table.tables(key, least=2)
    corners = [_corner(each) for each in tables]
    if table.faulty or len(corners) > MOST:
        if len(corners) > MOST:
            table.wrong(key, f"{len(corners)} corners", f"give {MOST} at most")
        return None
    wrong = _doubled(corners) or _not_arcs(corners)
    if wrong:
        table.wrong(key, *wrong)
        return None
    try:
        contour = joined(corners)
    except ValueError as error:
        what, _, right = str(error).partition("; ")
        table.wrong(key, what, right)
        return None
    return sound(table, key, contour.moved(*origin))


def _corner(table: Table) -> Corner:
    x, y = table.lengths("at", count=2)
    rounded = table.length("round", default=0.0, least=0)
    centre = table.lengths("arc_centre", count=2) if table.has("arc_centre") else None
    way = table.choice("way", WAYS) if table.has("way") else None
    table.no_more()
    if (centre is None) != (way is None):
        missing = "arc_centre" if centre is None else "way"
        table.wrong(missing, "missing", "an arc to a corner has both arc_centre and way")
    return Corner(
        at=(x, y),
        rounded=rounded,
        centre=None if centre is None else (centre[0], centre[1]),
        clockwise=way == "clockwise",
    )


def sound(table: Table, key: str, contour: Contour) -> Contour | None:
    """Return a contour the anticlockwise way round; record one that crosses itself."""
    place = crossing(contour)
    if place is not None:
        table.wrong(
            key,
            f"the contour crosses or touches itself near {place[0]:.4g}, {place[1]:.4g}",
            "give the corners in their order round the shape, each once",
        )
        return None
    return anticlockwise(contour)


def _doubled(corners: Sequence[Corner]) -> tuple[str, str] | None:
    """Return what is wrong where two corners that follow one another are the same place."""
    if len(corners) == 2 and not any(corner.centre for corner in corners):
        return "two corners with straights between", "give three corners or more, or an arc"
    for row, corner in enumerate(corners):
        if math.dist(corner.at, corners[row - 1].at) < SAME:
            x, y = corner.at
            return (
                f"corner {row + 1} is the same place as the one before it, {x:g}, {y:g}",
                "leave one out; the last corner is joined to the first by itself",
            )
    return None


def _not_arcs(corners: Sequence[Corner]) -> tuple[str, str] | None:
    """Return what is wrong where an arc's centre is not as far from both of its ends."""
    for row, corner in enumerate(corners):
        if corner.centre is None:
            continue
        radii = [math.dist(end, corner.centre) for end in (corners[row - 1].at, corner.at)]
        if abs(radii[0] - radii[1]) > 0.005 or radii[1] < SAME:
            where = f"begins {radii[0]:.4g} mm from its centre and ends {radii[1]:.4g} mm from it"
            return (
                f"the arc to corner {row + 1} {where}",
                "mend arc_centre or the corner: both must be the radius",
            )
    return None


def joined(corners: Sequence[Corner]) -> Contour:
    """Return the contour through corners, with those rounded that have a radius.

    Raises:
        ValueError: a rounded corner has no room, or an arc beside it.
    """
    segments: list[Segment] = []
    for row, corner in enumerate(corners):
        after = corners[(row + 1) % len(corners)]
        into, out = _fillet(row, (corners[row - 1], corner, after))
        way = corner.centre
        segments.append(
            Straight(to=into)
            if way is None
            else Bend(to=into, centre=way, clockwise=corner.clockwise)
        )
        if corner.rounded > 0:
            segments.append(_bend(corners[row - 1].at, corner, (into, out)))
    _guard_room(corners)
    start = segments[-1].to
    places = [start, *(segment.to for segment in segments)]
    kept = [s for s, at in zip(segments, places, strict=False) if math.dist(s.to, at) > SAME]
    return Contour(start=start, segments=tuple(kept))


def _fillet(row: int, three: tuple[Corner, Corner, Corner]) -> tuple[Spot, Spot]:
    """Return where the rounding of a corner begins and ends; both the corner if it is sharp."""
    before, corner, after = three
    if corner.rounded == 0:
        return corner.at, corner.at
    if corner.centre is not None or after.centre is not None:
        raise ValueError(f"corner {row + 1} is rounded beside an arc; give the rounding as an arc")
    cut = _cut_off(before, corner, after)
    return _towards(corner.at, before.at, cut), _towards(corner.at, after.at, cut)


def _cut_off(before: Corner, corner: Corner, after: Corner) -> float:
    """Return how much of both straights the rounding of a corner takes, mm."""
    if corner.rounded == 0:
        return 0.0
    angles = [math.atan2(e.at[1] - corner.at[1], e.at[0] - corner.at[0]) for e in (before, after)]
    half = abs((angles[1] - angles[0] + math.pi) % (2 * math.pi) - math.pi) / 2
    if half < 1e-6 or half > math.pi / 2 - 1e-6:
        x, y = corner.at
        raise ValueError(f"the corner at {x:g}, {y:g} is none to be rounded; leave out round")
    return corner.rounded / math.tan(half)


def _guard_room(corners: Sequence[Corner]) -> None:
    """Refuse roundings that take more of a straight than there is of it."""
    count = len(corners)
    cuts = [
        _cut_off(corners[row - 1], corner, corners[(row + 1) % count])
        for row, corner in enumerate(corners)
    ]
    for row, corner in enumerate(corners):
        length = math.dist(corners[row - 1].at, corner.at)
        if cuts[row - 1] + cuts[row] > length + SAME:
            raise ValueError(
                f"the straight to corner {row + 1} is {length:.4g} mm long, and the roundings of "
                f"its ends take {cuts[row - 1] + cuts[row]:.4g} mm; make them smaller"
            )


def _towards(start: Spot, end: Spot, distance: float) -> Spot:
    share = distance / math.dist(start, end)
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def _bend(before: Spot, corner: Corner, ends: tuple[Spot, Spot]) -> Bend:
    """Return the arc that rounds a corner."""
    (x0, y0), (x1, y1) = before, corner.at
    into, out = ends
    turn = (x1 - x0) * (out[1] - y1) - (y1 - y0) * (out[0] - x1)
    side = 1.0 if turn > 0 else -1.0
    length = math.hypot(x1 - x0, y1 - y0)
    centre = (
        into[0] - side * corner.rounded * (y1 - y0) / length,
        into[1] + side * corner.rounded * (x1 - x0) / length,
    )
    return Bend(to=out, centre=centre, clockwise=turn < 0)


def read_round(table: Table, centre: Spot) -> Contour:
    """Read ``round = DIAMETER`` about a centre."""
    return circle(centre, table.length("round", above=0) / 2)


def read_rectangle(table: Table, centre: Spot) -> Contour | None:
    """Read ``rectangle = [along x, along y]`` with ``corner_radius`` about a centre."""
    long, wide = table.lengths("rectangle", count=2)
    corner = table.length("corner_radius", default=0.0, least=0)
    if table.faulty:
        return None
    if min(long, wide) <= 0:
        table.wrong("rectangle", table.say(min(long, wide)), "give lengths above 0")
        return None
    try:
        low = (centre[0] - long / 2, centre[1] - wide / 2)
        return rectangle(low, (centre[0] + long / 2, centre[1] + wide / 2), corner)
    except ValueError as error:
        table.wrong("corner_radius", str(error), "give half the shorter side at most")
        return None
