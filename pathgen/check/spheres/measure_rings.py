"""The finished sizes of a dish or dome cut in rings: the exact envelope of the cutter's end."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from pathgen.check.context import Context
from pathgen.check.findings import FinishedSize, Quantity
from pathgen.check.spheres.rings import WHOLE, Cut, Way, under
from pathgen.check.spheres.sizes import sphere_sizes, through
from pathgen.job.reading.datums import SWUNG_UNCERTAINTY
from pathgen.job.spheres import Sphere, farthest_corner
from pathgen.reckon.arcs import depth_of_arc
from pathgen.reckon.sphere_profile import Place, departure
from pathgen.reckon.sphere_rings import crossing, touching
from pathgen.reckon.sphere_steps import chord_at
from pathgen.reckon.spheres import sign

ON_AXIS = 1e-3  # mm
BEARINGS = 12  # half planes in which a spiral is looked at
UNEVEN = 7.0  # degrees: none of them goes through where a spiral begins and ends
LOOKED_AT = 4000  # places from the axis outwards, to find which ring is the lowest where


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedRings:
    """A dish or dome as rings leave it."""

    sphere: Sphere
    rings: tuple[Cut, ...]
    touches: tuple[Place, ...]  # where cutters come deepest, from the axis outwards
    ridges: tuple[Place, ...]  # where what two of them leave crosses
    rim: float | None  # half the chord in the face; of a dome half of what is wanted
    sizes: tuple[FinishedSize, ...]


def measure_rings(context: Context, sphere: Sphere, ways: tuple[Way, ...]) -> FinishedRings:
    """Return a dish or dome as the rings of a run leave it."""
    found = [_in_half_plane(context, sphere, ways, bearing) for bearing in _bearings(ways)]
    if not all(each.sizes for each in found):
        return next(each for each in found if not each.sizes)
    sizes = [_spread(each) for each in zip(*(each.sizes for each in found), strict=True)]
    return replace(found[0], sizes=tuple(sizes))


def _bearings(ways: Sequence[Way]) -> list[float]:
    """Return at which angles about the axis a run is looked at: rings are alike at all; degrees."""
    count = BEARINGS if any(way.winds for way in ways) else 1
    return [WHOLE * row / count + UNEVEN for row in range(count)]


def _spread(sizes: Sequence[FinishedSize]) -> FinishedSize:
    """Return one size as it was found in several half planes: from the least to the most."""
    return replace(
        sizes[0],
        least=min(each.least for each in sizes),
        most=max(each.most for each in sizes),
        ok=all(each.ok for each in sizes),
    )


def _in_half_plane(
    context: Context, sphere: Sphere, ways: tuple[Way, ...], bearing: float
) -> FinishedRings:
    """Return a dish or dome as it is left in the half plane at an angle about the axis."""
    rings = [*(way.cut for way in ways if _cuts(way)), *_passing(ways, bearing)]
    rim = _rim(rings) if sphere.form == "dish" else sphere.chord.nominal / 2
    half = min(rim or 0.0, farthest_corner(sphere, context.box))
    touches, ridges = _surface(rings, sphere, half) if rim else ((), ())
    finished = FinishedRings(
        sphere=sphere, rings=tuple(rings), touches=touches, ridges=ridges, rim=rim, sizes=()
    )
    if rim is None or len(touches) < 2:
        return finished
    return replace(finished, sizes=tuple(_sizes(context, finished, rim)))


def _passing(ways: Sequence[Way], bearing: float) -> Iterator[Cut]:
    """Yield where the turns of a spiral pass through the half plane at an angle.

    Each is taken as the ring there. A turn goes a little aslant through it, and so comes nearer to
    a place beside it than its ring: what is left is at most as high as found.
    """
    cos, sin = math.cos(math.radians(bearing)), math.sin(math.radians(bearing))
    for way in ways:
        if not way.winds or way.round_end is None or way.rapid:
            continue
        (a, b, low), (c, d, high) = way.start, way.end
        before, after = b * cos - a * sin, d * cos - c * sin  # off the half plane, to the left
        if (before < 0) == (after < 0):
            continue
        share = before / (before - after)
        off = (a + (c - a) * share) * cos + (b + (d - b) * share) * sin
        if off > 0:
            yield (off, low + (high - low) * share + way.round_end.corner), way.round_end


def _cuts(way: Way) -> bool:
    """Return whether a way leaves a round all about the axis: a ring, or a place on it."""
    on_axis = not way.rapid and way.radius < ON_AXIS
    return way.round_end is not None and not way.rapid and (way.ring or on_axis) and not way.winds


def _rim(rings: Sequence[Cut]) -> float | None:
    """Return half the chord of a dish in the face, mm; None where no cutter comes up to it."""
    reached = [
        radius + end.flat + math.sqrt(end.corner**2 - height**2)
        for (radius, height), end in rings
        if abs(height) < end.corner
    ]
    return max(reached, default=None)


def _surface(
    rings: Sequence[Cut], sphere: Sphere, half: float
) -> tuple[tuple[Place, ...], tuple[Place, ...]]:
    """Return the places of the surface that lie farthest in and out: touches and crossings.

    The innermost is among them: what a flat, or a cutter short of the axis, leaves there.
    """
    radii = np.linspace(sphere.hole / 2, half, LOOKED_AT)
    lows = np.array([under(radii, each) for each in rings])
    if not len(lows):
        return (), ()
    lowest = np.argmin(lows, axis=0)
    first = np.flatnonzero(np.diff(lowest, prepend=-1))
    order = [rings[index] for index in lowest[first].tolist()]
    radius, depth = sphere.aim
    inner = (float(radii[0]), float(lows.min(axis=0)[0]))
    middle = (-depth if sphere.hole else inner[1]) if sphere.form == "dish" else 0.0
    centre = middle + sign(sphere.form) * radius
    places = [touching(ring, end, centre, sphere.form) for ring, end in order]
    across = [(float(radii[row - 1]), float(radii[row])) for row in first[1:].tolist()]
    crossings = [crossing(*each, at) for each, at in zip(pairwise(order), across, strict=True)]
    on_axis, edge = ([], [inner]) if sphere.hole else ([inner], [])
    return _within([*on_axis, *places], sphere, half), _within([*edge, *crossings], sphere, half)


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
    beside = _axis_doubt(context)  # each ring is so much wider or narrower
    flatness = max(depth, 1e-9)
    open_chord = 2 * deep * (sphere.radius.nominal - depth) / max(rim, 1e-9) + 2 * beside
    open_radius = (setting * sphere.radius.nominal + beside * rim) / flatness
    off = departure(surface, sphere.aim[0], sphere.form).worst
    found: dict[Quantity, tuple[float, float]] = {
        "radius": (radius, open_radius),
        "chord": (chord, open_chord),
        "depth": (depth, deep),
        "departure": (off, setting + beside * rim / sphere.radius.nominal),
        "pip": (_pip(finished), 0.0),
    }
    pushed = _pushed(context, rim / sphere.radius.nominal)
    return [
        replace(size, uncertainty=size.uncertainty + pushed, wander=pushed)
        if size.quantity == "departure"
        else size
        for size in sphere_sizes(sphere, found)
    ]


def _axis_doubt(context: Context) -> float:
    """Return how far the spindle may stand off the axis that the work turns about, mm.

    A control goes round an axis of its own making; a rotary table's is found by an indicator.
    """
    return 0.0 if context.setup.table is None else SWUNG_UNCERTAINTY


def _pushed(context: Context, lean: float) -> float:
    """Return how far a turn may push slides without locks off the surface, mm.

    Args:
        context: of the run.
        lean: sine of the angle between the axis and the surface's normal, at the rim.
    """
    if context.setup.table is None:
        return 0.0
    x, _, z = context.run.doubt.wander
    return x * lean + z


def _pip(finished: FinishedRings) -> float:
    """Return how high what stands on the axis is over the ring about it, mm; 0 where it is cut."""
    if finished.sphere.hole or finished.sphere.form == "dome":
        return 0.0
    at_axis = min(float(under(np.zeros(1), each)[0]) for each in finished.rings)
    return max(min(at_axis, 0.0) - min(z for _, z in finished.touches), 0.0)
