"""The finished sizes of a dish or dome cut in rings: the exact envelope of the balls."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from pathgen.check.context import Context
from pathgen.check.findings import FinishedSize, Quantity
from pathgen.check.rings import Way, under_ball
from pathgen.check.sphere_sizes import sphere_sizes, through
from pathgen.job.spheres import Sphere, farthest_corner
from pathgen.reckon.arcs import depth_of_arc
from pathgen.reckon.sphere_profile import Place, departure
from pathgen.reckon.sphere_rings import crossing, touching
from pathgen.reckon.sphere_steps import chord_at
from pathgen.reckon.spheres import sign

ON_AXIS = 1e-3  # mm
LOOKED_AT = 4000  # places from the axis outwards, to find which ring is the lowest where


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedRings:
    """A dish or dome as rings leave it."""

    sphere: Sphere
    ways: tuple[Way, ...]
    touches: tuple[Place, ...]  # where balls come deepest, from the axis outwards
    ridges: tuple[Place, ...]  # where they cross
    rim: float | None  # half the chord in the face; of a dome half of what is wanted
    sizes: tuple[FinishedSize, ...]


def measure_rings(context: Context, sphere: Sphere, ways: tuple[Way, ...]) -> FinishedRings:
    """Return a dish or dome as the rings of a run leave it."""
    rings = [(way.centre, way.ball) for way in ways if _cuts(way)]
    rim = _rim(rings) if sphere.form == "dish" else sphere.chord.nominal / 2
    half = min(rim or 0.0, farthest_corner(sphere, context.box))
    touches, ridges = _surface(rings, sphere, half) if rim else ((), ())
    finished = FinishedRings(
        sphere=sphere, ways=ways, touches=touches, ridges=ridges, rim=rim, sizes=()
    )
    if rim is None or len(touches) < 2:
        return finished
    return replace(finished, sizes=tuple(_sizes(context, finished, rim)))


def _cuts(way: Way) -> bool:
    """Return whether a way leaves the ball's round all about the axis: a ring, or a place on it."""
    on_axis = not way.rapid and way.radius < ON_AXIS
    return way.ball > 0 and not way.rapid and (way.ring or on_axis)


Ringed = tuple[tuple[float, float], float]


def _rim(rings: Sequence[Ringed]) -> float | None:
    """Return half the chord of a dish in the face, mm; None where no ball comes up to it."""
    reached = [
        radius + math.sqrt(ball**2 - height**2)
        for (radius, height), ball in rings
        if abs(height) < ball
    ]
    return max(reached, default=None)


def _surface(
    rings: Sequence[Ringed], sphere: Sphere, half: float
) -> tuple[tuple[Place, ...], tuple[Place, ...]]:
    """Return the places of the surface that lie farthest in and out: touches and crossings."""
    radii = np.linspace(0.0, half, LOOKED_AT)
    lows = np.array([under_ball(radii, ring, ball) for ring, ball in rings])
    if not len(lows):
        return (), ()
    lowest = np.argmin(lows, axis=0)
    first = np.flatnonzero(np.diff(lowest, prepend=-1))
    order = [rings[index] for index in lowest[first].tolist()]
    middle = float(lows.min(axis=0)[0])
    centre = (middle if sphere.form == "dish" else 0.0) + sign(sphere.form) * sphere.aim[0]
    places = [touching(ring, ball, centre, sphere.form) for ring, ball in order]
    crossings = [crossing(one[0], other[0], one[1]) for one, other in pairwise(order)]
    return _within(places, sphere, half), _within(crossings, sphere, half)


def _within(places: Sequence[Place | None], sphere: Sphere, half: float) -> tuple[Place, ...]:
    """Return those places where a surface is wanted, from the axis outwards."""
    found = (place for place in places if place is not None)
    return tuple(sorted(p for p in found if sphere.hole / 2 <= p[0] <= half + 1e-6))


def _sizes(context: Context, finished: FinishedRings, rim: float) -> list[FinishedSize]:
    """Return the sizes beside those wanted, with what the machine leaves open."""
    sphere, touches = finished.sphere, finished.touches
    surface = (*touches, *finished.ridges)
    deep, setting = context.depth_doubt, max(context.run.doubt.setting)
    inner, outer = touches[0], (rim, 0.0) if sphere.form == "dish" else touches[-1]
    radius = through(inner, outer, sphere.form) or math.inf
    depth = -inner[1]
    if sphere.hole and math.isfinite(radius):  # the middle, if there were no hole
        depth += radius - math.sqrt(radius**2 - inner[0] ** 2)
    if sphere.form == "dome":
        depth = depth_of_arc(radius, sphere.chord.nominal)
    chord = 2 * rim if sphere.form == "dish" else chord_at(radius, sphere.depth.nominal)
    open_chord = 2 * deep * (sphere.radius.nominal - depth) / max(rim, 1e-9)
    found: dict[Quantity, tuple[float, float]] = {
        "radius": (radius, setting * sphere.radius.nominal / max(depth, 1e-9)),
        "chord": (chord, open_chord),
        "depth": (depth, deep),
        "departure": (departure(surface, sphere.aim[0], sphere.form).worst, setting),
        "pip": (_pip(finished), 0.0),
    }
    return sphere_sizes(sphere, found)


def _pip(finished: FinishedRings) -> float:
    """Return how high what stands on the axis is over the ring about it, mm; 0 where it is cut."""
    on_axis = finished.touches[0][0] < ON_AXIS
    if finished.sphere.hole or on_axis or finished.sphere.form == "dome":
        return 0.0
    rings = [(way.centre, way.ball) for way in finished.ways if _cuts(way)]
    at_axis = min(float(under_ball(np.zeros(1), ring, ball)[0]) for ring, ball in rings)
    return max(min(at_axis, 0.0) - finished.touches[0][1], 0.0)
