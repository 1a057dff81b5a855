"""What lies before a cutter's edge on its way: how wide it cuts on its right and on its left.

The metal that a cutter takes off at a place of its way lies just before the leading half of its
edge. So that is where it is looked at, at places along the way and at offsets across it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.metal.legs import Floats, Ints, Mask
from pathgen.check.metal.strokes import Stroke
from pathgen.check.metal.sweeps import SAME

RUBBED = 0.02  # mm within its edge that a cutter is looked at first: thinner metal is only rubbed
SHARES = np.arange(0.95, 0.0, -0.1)  # of its radius, where it is looked at then
AHEAD = 0.005  # mm that a place lies before the edge of what the cutter has cleared so far
APART = 0.25  # of the radius: how far places along the way lie from one another at most
BENT_DEG = 5.0  # legs that bend no further together, and are no longer than
TOGETHER = 0.5  # so much of the radius, are one stretch of what was cleared before
LEAST_SLOW = 0.25  # of the fastest feed: what goes slower still counts for so much
RIGHT, LEFT = 0, 1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stand:
    """Places of a cutter's centre along consecutive legs of a stroke, one a row."""

    at: Floats  # (n, 2), mm
    ahead: Floats  # (n, 2), of length 1
    leg: Ints  # (n,)
    length: Floats  # (n,), of the way that each stands for, mm
    radius: float  # of the cutter, mm
    whole: bool  # they are along all the legs of the stroke
    slow: Floats  # (n,), the feed there, in shares of the stroke's fastest, `LEAST_SLOW` at least

    @property
    def offsets(self) -> Floats:
        """Return how far across the way it is looked at, from the cutter's edge inwards, mm."""
        inner = self.radius * SHARES
        edge = max(self.radius - RUBBED, 0.0)
        return np.array([edge, *inner[inner < edge]])

    @property
    def widths(self) -> Floats:
        """Return the width that each offset stands for, mm; their sum is the radius."""
        offsets = self.offsets
        between = (offsets[1:] + offsets[:-1]) / 2
        each: Floats = -np.diff([self.radius, *between, 0.0])
        return each

    def width_of_cut(self, metal: BaseGeometry, before: Before, level: float) -> Floats:
        """Return how wide a cut is at each place, mm, averaged over a radius of the way.

        On a tight bend a cutter's centre goes slowly while its edge goes far, and a cut is as much
        wider before the edge: so what is fed slowly counts for less.

        Args:
            metal: as it was before the stroke.
            before: what the legs of the stroke clear of it.
            level: z of the metal, mm.
        """
        right, left = widths_of_cut(self, engaged(self, metal, before, level))
        return self.averaged((right + left) * self.slow)

    def averaged(self, figures: Floats) -> Floats:
        """Return figures of the places, each averaged over a radius of the way about it.

        What lasts for less, as where a corner's other wall is met, is no heavy cut by itself.
        """
        ends = self.length.cumsum()
        middles = ends - self.length / 2
        sums = np.concatenate([[0.0], (figures * self.length).cumsum()])
        places = np.concatenate([[0.0], ends])
        high, low = (
            np.interp(middles + sign * self.radius / 2, places, sums) for sign in (1.0, -1.0)
        )
        mean: Floats = (high - low) / self.radius
        return mean


def stand(context: Context, stroke: Stroke, rows: Ints) -> Stand:
    """Return places along some consecutive legs of a stroke, equally far from one another."""
    whole_stroke = len(rows) == stroke.last - stroke.first
    start, end = context.legs.start[rows, :2], context.legs.end[rows, :2]
    along = end - start
    length = np.hypot(*along.T)
    rows, start, along, length = (each[length > SAME] for each in (rows, start, along, length))
    radius, ends = stroke.sweep.radius, length.cumsum()
    whole = float(ends[-1]) if len(ends) else 0.0
    count = math.ceil(whole / (APART * radius))
    so_far = (np.arange(count) + 0.5) * (whole / max(count, 1))
    of_leg = np.searchsorted(ends, so_far)
    ahead = along[of_leg] / length[of_leg, None]
    return Stand(
        at=start[of_leg] + ahead * (so_far - (ends - length)[of_leg])[:, None],
        ahead=ahead,
        leg=rows[of_leg],
        length=np.full(count, whole / max(count, 1)),
        radius=radius,
        whole=whole_stroke,
        slow=_slowness(context, stroke, rows)[of_leg],
    )


def _slowness(context: Context, stroke: Stroke, rows: Ints) -> Floats:
    """Return the feed of some legs of a stroke in shares of the fastest of all its legs."""
    feeds = context.legs.feed
    fastest = float(feeds[stroke.first : stroke.last].max())
    shares: Floats = feeds[rows] / fastest if fastest > 0 else np.ones(len(rows))
    return np.clip(shares, LEAST_SLOW, 1.0)


def engaged(places: Stand, metal: BaseGeometry, before: Before, level: float) -> Mask:
    """Return where metal lies before a cutter's edge: (places, offsets, right and left).

    Args:
        places: of the cutter.
        metal: as it was before the stroke.
        before: what the legs of the stroke clear of it.
        level: z of the metal, mm.
    """
    across = places.offsets
    on = np.sqrt(places.radius**2 - across**2) + AHEAD
    ahead = places.ahead[:, None, None, :]
    sideways = np.stack([places.ahead[:, 1], -places.ahead[:, 0]], axis=1)  # to the right
    signed = across[:, None] * np.array([1.0, -1.0])[None, :]
    points = (
        places.at[:, None, None, :]
        + ahead * on[None, :, None, None]
        + sideways[:, None, None, :] * signed[None, :, :, None]
    )
    shapely.prepare(metal)
    legs = np.broadcast_to(places.leg[:, None, None], points.shape[:-1])
    cut: Mask
    if places.whole and before.level:
        cut = ~before.ever_cleared(points, legs)
        cut[cut] = shapely.contains_xy(metal, *points[cut].T)
        return cut
    cut = shapely.contains_xy(metal, points[..., 0], points[..., 1])
    if cut.any():
        cut[cut] = ~before.cleared(points[cut], legs[cut], level)
    return cut


def widths_of_cut(places: Stand, cut: Mask) -> tuple[Floats, Floats]:
    """Return how wide a cut is on the right and on the left at each place, mm."""
    widths = places.widths[None, :]
    return (cut[:, :, RIGHT] * widths).sum(axis=1), (cut[:, :, LEFT] * widths).sum(axis=1)


class Before:
    """What the legs of a stroke clear, asked of any point by any later leg of the same stroke."""

    def __init__(self, context: Context, stroke: Stroke) -> None:
        self._legs = context.legs
        self._stroke = stroke
        self._radius = stroke.sweep.radius
        self._made: tuple[Ints, Floats, shapely.STRtree] | None = None

    @property
    def level(self) -> bool:
        """Return whether all legs are at one height."""
        return self._stroke.sweep.flat

    def ever_cleared(self, points: Floats, legs: Ints) -> Mask:
        """Return which points of a level stroke were cleared before a leg comes there.

        Remembered, as the same way is gone at depth after depth.
        """
        sweep, first = self._stroke.sweep, self._legs.start[self._stroke.first, :2]
        forward = bool(np.abs(first - sweep.path[0]).max() < SAME)
        key = (forward, points.shape)
        if key not in sweep.cleared_before:
            flat, of = points.reshape(-1, 2), legs.reshape(-1)
            sweep.cleared_before[key] = self.cleared(flat, of, math.inf).reshape(legs.shape)
        return sweep.cleared_before[key]

    def cleared(self, points: Floats, legs: Ints, level: float) -> Mask:
        """Return which points, (n, 2), just above a level were cleared before a leg comes there.

        Args:
            points: before the cutter's edge, mm.
            legs: that come to them.
            level: z, mm: legs that did not go as low count for nothing.
        """
        self._made = self._made or self._make()
        of_leg, high, tree = self._made
        found, stretch = tree.query(
            shapely.points(points), predicate="dwithin", distance=self._radius
        )
        own = of_leg[legs - self._stroke.first]
        earlier = (stretch < own[found]) & (high[stretch] <= level + SAME)
        gone: Mask = np.zeros(len(points), dtype=np.bool_)
        gone[found[earlier]] = True
        return gone

    def _make(self) -> tuple[Ints, Floats, shapely.STRtree]:
        """Return the stretch of each leg, the height of each stretch, and their lines to ask."""
        legs, rows = self._legs, np.arange(self._stroke.first, self._stroke.last)
        start, end = legs.start[rows, :2], legs.end[rows, :2]
        of_leg = _stretches(start, end, self._radius)
        firsts = np.flatnonzero(np.diff(of_leg, prepend=-1))
        highest = np.maximum(legs.start[rows, 2], legs.end[rows, 2])
        places = np.insert(end, firsts, start[firsts], axis=0)
        owner = np.insert(of_leg, firsts, of_leg[firsts])
        lines = np.atleast_1d(np.asarray(shapely.linestrings(places, indices=owner)))
        high: Floats = np.maximum.reduceat(highest, firsts)
        return of_leg, high, shapely.STRtree(list(lines))


def _stretches(start: Floats, end: Floats, radius: float) -> Ints:
    """Return for each leg the number of the stretch of nearly straight way that it belongs to."""
    along = end - start
    heading = np.unwrap(np.arctan2(along[:, 1], along[:, 0]))
    bent = np.degrees(np.abs(np.diff(heading, prepend=heading[0]))).cumsum()
    gone = np.hypot(*along.T).cumsum()
    marks = np.stack([bent // BENT_DEG, gone // (TOGETHER * radius)])
    numbers: Ints = np.concatenate([[0], np.any(np.diff(marks) != 0, axis=0).cumsum()])
    return numbers
