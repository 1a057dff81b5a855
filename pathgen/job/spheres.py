"""Dishes and domes: part of a ball, hollow or standing up, about an axis square to the face."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from itertools import product
from typing import Literal, TypeAlias

from pathgen.input.where import Where
from pathgen.job.frame import Box
from pathgen.job.holes import Place
from pathgen.job.sizes import Size
from pathgen.reckon.arcs import depth_of_arc, radius_from_chord
from pathgen.reckon.sphere_steps import chord_at

FOLLOWS = "as the other two allow"  # the basis of a size that the job does not give

Form: TypeAlias = Literal["dish", "dome"]
SphereTool: TypeAlias = Literal["fly cutter", "ball-nose", "round-nose"]

SphereWay: TypeAlias = Literal["rings", "spiral"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SphereWays:
    """How the job wants a dish or dome cut; None: the planner chooses."""

    by: SphereTool | None = None
    way: SphereWay | None = None
    cutter: str | None = None
    tilt_deg: float | None = None
    cusp: float | None = None  # the highest ridge that a ball-nose or round-nose may leave, mm
    depth_of_cut: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sphere:
    """A dish sunk from the upper face, or a dome whose top is in it; lengths in mm.

    The chord is the width in the face of a dish, and at its foot of a dome; the depth goes from the
    face to the middle, or from the top to the foot. ``hole`` is the diameter of what goes through
    the middle, where no surface is wanted; 0: none.
    """

    name: str
    form: Form
    place: Place
    radius: Size
    chord: Size
    depth: Size
    departure: Size  # how far its surface may lie off a sphere of its radius
    hole: float
    ways: SphereWays
    where: Where = field(compare=False, repr=False)

    @property
    def through(self) -> bool:
        """Return False: neither goes through the blank."""
        return False

    @property
    def at(self) -> tuple[float, float]:
        """Return the wanted (x, y) of its axis, mm."""
        return self.place.at

    @property
    def aim(self) -> tuple[float, float]:
        """Return the radius and the depth that a planner aims at: in the middle of the limits."""
        if self.radius.basis == FOLLOWS:
            depth = self.depth.middle
            return radius_from_chord(self.chord.middle, depth), depth
        if self.depth.basis == FOLLOWS:
            return self.radius.middle, depth_of_arc(self.radius.middle, self.chord.middle)
        return self.radius.middle, self.depth.middle

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Return its box seen from above: least x and y, greatest x and y; mm."""
        x, y = self.at
        half = self.chord.high / 2
        return x - half, y - half, x + half, y + half


def farthest_corner(sphere: Sphere, box: Box) -> float:
    """Return how far the farthest corner of a blank is from the axis of a dish or dome, mm."""
    x, y = sphere.at
    corners = product((box.low[0], box.high[0]), (box.low[1], box.high[1]))
    return max(math.hypot(a - x, b - y) for a, b in corners)


def with_radius(sphere: Sphere, radius: Size) -> Sphere:
    """Return a dish or dome with other limits of its radius; what follows from it goes with it."""
    if sphere.depth.basis == FOLLOWS:
        reached = [
            depth_of_arc(one, two)
            for one in (radius.low, radius.high)
            for two in (sphere.chord.low, sphere.chord.high)
        ]
        depth = replace(sphere.depth, low=min(reached), high=max(reached))
        return replace(sphere, radius=radius, depth=depth)
    if sphere.chord.basis == FOLLOWS:
        reached = [
            chord_at(one, two)
            for one in (radius.low, radius.high)
            for two in (sphere.depth.low, sphere.depth.high)
        ]
        chord = replace(sphere.chord, low=min(reached), high=max(reached))
        return replace(sphere, radius=radius, chord=chord)
    return replace(sphere, radius=radius)
