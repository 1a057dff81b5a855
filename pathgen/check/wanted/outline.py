"""The wanted outline of a slot at its limits, and how far beyond it the cutter reaches."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Protocol, assert_never

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.metal.legs import Floats
from pathgen.check.metal.sweeps import grown
from pathgen.check.wanted.own_axes import into
from pathgen.job.apart import footprint
from pathgen.job.areas import Facing, Outside, Pocket, Step
from pathgen.job.chamfer import Chamfer
from pathgen.job.holes import Holes
from pathgen.job.job import Feature
from pathgen.job.slot import Slot, Turned
from pathgen.job.spheres import Sphere
from pathgen.job.t_slot import TSlot

FAR = 1e5  # an open end goes on beyond the blank's face, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """A slot in plan: everything within ``half_width`` of a line along it; mm."""

    along: int  # axis of its length: 0 for x, 1 for y
    first: float  # where its line begins and ends, along
    last: float
    across: float
    half_width: float
    turned: Turned | None = None  # the axes that these places are in; None for the setup's own

    def beyond(self, points: Floats) -> Floats:
        """Return how far points, (n, 2), lie beyond the outline, mm; minus inside."""
        points = into(self.turned, points)
        s, a = points[:, self.along], points[:, 1 - self.along]
        away = np.maximum(np.maximum(self.first - s, s - self.last), 0.0)
        beyond: Floats = np.hypot(away, a - self.across) - self.half_width
        return beyond

    def reach(self, starts: Floats, ends: Floats, radius: Floats) -> Floats:
        """Return how far legs' cutters reach beyond the outline, (n,), mm; minus inside.

        Args:
            starts: where the legs begin, (n, 2), mm; nan where it is not known.
            ends: where they end.
            radius: of the cutters, (n,).
        """
        beyond: Floats = np.fmax(self.beyond(starts), self.beyond(ends)) + radius
        return beyond

    @property
    def region(self) -> BaseGeometry:
        """Return the outline as a region."""
        ends = [(self.first, self.across), (self.last, self.across)]
        points = [end if self.along == 0 else end[::-1] for end in ends]
        if self.turned is not None:
            points = [self.turned.out_of(*end) for end in ends]
        return grown(shapely.LineString(points), self.half_width)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a slot lies: the middle of its length and its centre line, mm."""

    middle: float
    across: float


def nominal_place(slot: Slot) -> Place:
    """Return where a slot should lie."""
    return Place(middle=(slot.low_end + slot.high_end) / 2, across=slot.centre_line)


def outline_of(slot: Slot, width: float, length: float, place: Place) -> Outline:
    """Return the outline of a slot with a width and a length at a place; all mm.

    An open end stays open however long the slot is.
    """
    half = width / 2
    longer = length - (slot.high_end - slot.low_end)
    shift = place.middle - (slot.low_end + slot.high_end) / 2
    # With one open end the length runs from the face, so only the other end moves with it.
    share = 1.0 if slot.open_low or slot.open_high else 0.5
    first = -FAR if slot.open_low else slot.low_end - longer * share + shift + half
    last = FAR if slot.open_high else slot.high_end + longer * share + shift - half
    if first > last:
        first = last = (first + last) / 2
    return Outline(
        along=0 if slot.along == "x" else 1,
        first=first,
        last=last,
        across=place.across,
        half_width=half,
        turned=slot.turned,
    )


def widest(slot: Slot, place: Place) -> Outline:
    """Return the largest outline that a slot may have where it lies."""
    return outline_of(slot, slot.width.high, slot.length.high, place)


def narrowest(slot: Slot, place: Place) -> Outline:
    """Return the smallest outline that a slot may have where it lies."""
    return outline_of(slot, slot.width.low, slot.length.low, place)


def widest_head(t_slot: TSlot, place: Place) -> Outline:
    """Return the largest outline that the head of a T-slot may have where it lies."""
    outline = widest(t_slot.neck, place)
    return replace(outline, half_width=t_slot.head_width.high / 2)


def narrowest_head(t_slot: TSlot, place: Place) -> Outline:
    """Return the smallest outline that the head of a T-slot may have where it lies."""
    outline = narrowest(t_slot.neck, place)
    return replace(outline, half_width=t_slot.head_width.low / 2)


def deepest(slot: Slot, top: float) -> float:
    """Return the deepest z that a slot may reach, mm; a through slot has no end to it.

    Args:
        slot: what is wanted.
        top: z of the blank's top.
    """
    return -math.inf if slot.depth is None else top - slot.depth.high


class Bounds(Protocol):
    """A region in plan that knows how far the cutter of a leg reaches beyond it."""

    @property
    def region(self) -> BaseGeometry:
        """Return the region."""

    def reach(self, starts: Floats, ends: Floats, radius: Floats) -> Floats:
        """Return how far legs' cutters reach beyond it, (n,), mm; minus inside."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowed:
    """Where a cutter may cut: within an outline, down to a floor."""

    name: str  # of the feature
    outline: Bounds
    floor: float  # z, mm; -inf for what goes through
    shoulder: bool = False  # a cutter's full diameter keeps to the floor, its point goes deeper
    undercut: bool = False  # only the head of a cutter with a neck may
    pointed: bool = False  # only a countersink may


def largest_region(feature: Feature) -> BaseGeometry:
    """Return the largest region, seen from above, that a feature may have where it should lie."""
    match feature:
        case Slot():
            return widest(feature, nominal_place(feature)).region
        case TSlot():
            return footprint(feature)
        case Holes():
            points = shapely.MultiPoint([place.at for place in feature.places])
            return grown(points, feature.mouth / 2)
        case Pocket() | Outside() | Step() | Facing() | Sphere():
            return footprint(feature)
        case Chamfer():
            return shapely.Polygon()
        case _:
            assert_never(feature)
