"""Arcs: any two of radius, chord, depth, angle and length give the rest.

Lengths in mm, angles in degrees. An arc here is at most half a circle:
past that a chord belongs to two arcs, and a hollow closes in again.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from pathgen.reckon.guards import above_zero

__all__ = [
    "ArcSegment",
    "arc_segment",
    "depth_of_arc",
    "hollow_radius_from_rolls",
    "radius_from_chord",
    "radius_from_rolls",
    "shallow_depth",
]

SAME = 1e-12  # share by which a figure may lie past half a circle through rounding alone


@dataclass(frozen=True, slots=True, kw_only=True)
class ArcSegment:
    """An arc of at most half a circle and its chord; lengths in mm.

    `depth` is the sagitta: from the middle of the chord to the middle of the arc.
    """

    radius: float
    chord: float
    depth: float
    angle_deg: float
    arc_length: float

    @property
    def diameter(self) -> float:
        """Return the diameter of the arc's circle."""
        return 2 * self.radius


def arc_segment(**known: float) -> ArcSegment:
    """Return the whole of an arc from any two of its pieces.

    Args:
        known: two of `radius` (or `diameter`), `chord`, `depth`, `angle_deg` and `arc_length`; mm
            and degrees.

    Raises:
        ValueError: not two pieces, a piece not above zero, or two that make no arc of at most
            half a circle.

    Source: Machinery's Handbook, 31st edition, pages 79 and 83: r = (c^2 + 4 h^2) / (8 h),
    a = 4 atan(2 h / c), l = r a.

    >>> arc = arc_segment(chord=40.0, depth=5.0)
    >>> arc.radius, round(arc.angle_deg, 6), round(arc.arc_length, 6)
    (42.5, 56.144974, 41.646373)
    """
    names = tuple(sorted("radius" if name == "diameter" else name for name in known))
    solve = _PAIRS.get(names)
    if solve is None:
        raise ValueError(
            f"an arc is told by two pieces, not by {', '.join(known) or 'none'}; "
            f"give two of radius (or diameter), chord, depth, angle_deg, arc_length"
        )
    above_zero(**known)
    pieces = {name: value for name, value in known.items() if name != "diameter"}
    if "diameter" in known:
        pieces["radius"] = known["diameter"] / 2
    radius, half = solve(*(pieces[name] for name in names))
    made = ArcSegment(
        radius=radius,
        chord=2 * radius * math.sin(half),
        depth=2 * radius * math.sin(half / 2) ** 2,
        angle_deg=math.degrees(2 * half),
        arc_length=2 * radius * half,
    )
    return ArcSegment(**{n: pieces.get(n, getattr(made, n)) for n in ArcSegment.__slots__})


def depth_of_arc(radius: float, chord: float) -> float:
    """Return the depth (sagitta), in mm, of an arc over a chord: how deep a dish is.

    >>> round(depth_of_arc(60.0, 50.0), 6)
    5.456439
    """
    return arc_segment(radius=radius, chord=chord).depth


def radius_from_chord(chord: float, depth: float) -> float:
    """Return the radius, in mm, of an arc from chord and depth.

    An error of the depth comes out about r / h times as large in the radius: measure over the
    longest chord there is.

    >>> radius_from_chord(8.0, 2.0)
    5.0
    """
    return arc_segment(chord=chord, depth=depth).radius


def shallow_depth(radius: float, chord: float) -> float:
    """Return the depth, in mm, by the shallow rule c^2 / (8 r), which is short by h^2 / (2 r).

    For comparing with tables made by that rule only.

    Source: a telescope makers' page (KTH); `depth_of_arc` is exact.

    >>> round(shallow_depth(192.0, 10.0), 4)
    0.0651
    """
    above_zero(radius=radius, chord=chord)
    return chord**2 / (8 * radius)


# ---------------------------------------------------------------- by pairs of pieces


def _from_angle_and_length(angle_deg: float, arc_length: float) -> tuple[float, float]:
    """Return radius and half the angle, in radians."""
    half = _half(angle_deg)
    return arc_length / (2 * half), half


def _from_angle_and_chord(angle_deg: float, chord: float) -> tuple[float, float]:
    """Return radius and half the angle, in radians."""
    half = _half(angle_deg)
    return chord / (2 * math.sin(half)), half


def _from_angle_and_depth(angle_deg: float, depth: float) -> tuple[float, float]:
    """Return radius and half the angle, in radians."""
    half = _half(angle_deg)
    return depth / (2 * math.sin(half / 2) ** 2), half


def _from_angle_and_radius(angle_deg: float, radius: float) -> tuple[float, float]:
    """Return radius and half the angle, in radians."""
    return radius, _half(angle_deg)


def _from_length_and_chord(arc_length: float, chord: float) -> tuple[float, float]:
    """Return radius and half the angle, in radians; sin a / a = chord / length."""
    if not 2 / math.pi * (1 - SAME) <= chord / arc_length < 1:
        raise ValueError(
            f"an arc {arc_length:g} long does not span a chord of {chord:g}; give a chord below "
            f"{arc_length:g} and at least {2 * arc_length / math.pi:g} (half a circle)"
        )
    half = _solved(lambda a: arc_length / 2 * math.sin(a) / a - chord / 2)
    return arc_length / (2 * half), half


def _from_length_and_depth(arc_length: float, depth: float) -> tuple[float, float]:
    """Return radius and half the angle, in radians; (1 - cos a) / a = 2 depth / length."""
    _at_most(depth, arc_length / math.pi, f"half a circle {arc_length:g} long", "depth")
    half = _solved(lambda a: depth - arc_length * math.sin(a / 2) ** 2 / a)
    return arc_length / (2 * half), half


def _from_length_and_radius(arc_length: float, radius: float) -> tuple[float, float]:
    """Return radius and half the angle, in radians."""
    _at_most(arc_length, math.pi * radius, f"half a circle of radius {radius:g}", "arc length")
    return radius, min(arc_length / (2 * radius), math.pi / 2)


def _from_chord_and_depth(chord: float, depth: float) -> tuple[float, float]:
    """Return radius and half the angle, in radians."""
    _at_most(depth, chord / 2, f"half a circle over a chord of {chord:g}", "depth")
    return (chord**2 + 4 * depth**2) / (8 * depth), 2 * math.atan(2 * depth / chord)


def _from_chord_and_radius(chord: float, radius: float) -> tuple[float, float]:
    """Return radius and half the angle, in radians."""
    _at_most(chord, 2 * radius, f"a circle of radius {radius:g}", "chord")
    return radius, math.asin(min(chord / (2 * radius), 1.0))


def _from_depth_and_radius(depth: float, radius: float) -> tuple[float, float]:
    """Return radius and half the angle, in radians."""
    _at_most(depth, radius, f"half a circle of radius {radius:g}", "depth")
    return radius, 2 * math.asin(math.sqrt(min(depth / (2 * radius), 0.5)))


_PAIRS: dict[tuple[str, ...], Callable[..., tuple[float, float]]] = {
    ("angle_deg", "arc_length"): _from_angle_and_length,
    ("angle_deg", "chord"): _from_angle_and_chord,
    ("angle_deg", "depth"): _from_angle_and_depth,
    ("angle_deg", "radius"): _from_angle_and_radius,
    ("arc_length", "chord"): _from_length_and_chord,
    ("arc_length", "depth"): _from_length_and_depth,
    ("arc_length", "radius"): _from_length_and_radius,
    ("chord", "depth"): _from_chord_and_depth,
    ("chord", "radius"): _from_chord_and_radius,
    ("depth", "radius"): _from_depth_and_radius,
}


def _half(angle_deg: float) -> float:
    """Return half an angle, in radians; half a circle at most."""
    _at_most(angle_deg, 180.0, "half a circle", "angle")
    return math.radians(angle_deg) / 2


def _at_most(value: float, most: float, of_what: str, name: str) -> None:
    """Refuse a piece larger than half a circle has, but for rounding."""
    if value > most * (1 + SAME):
        raise ValueError(f"{name} {value:g} is over that of {of_what}; give at most {most:g}")


def _solved(short: Callable[[float], float]) -> float:
    """Return the half angle, in radians, at which a falling function is zero, by halving."""
    low, high = 0.0, math.pi / 2
    while low < (middle := (low + high) / 2) < high:
        if short(middle) > 0:
            low = middle
        else:
            high = middle
    return high


# ---------------------------------------------------------------- over rolls


def radius_from_rolls(over_rolls: float, roll: float) -> float:
    """Return the radius, in mm, of a convex arc that stands between two equal rolls on a flat.

    Args:
        over_rolls: over the outsides of the two rolls, both touching the arc, mm.
        roll: their diameter, mm.

    Source: r = (L - D)^2 / (8 D), after Walsh, whose reprint has L + D by mistake: the geometry
    demands L - D.

    >>> round(radius_from_rolls(40.641, 6.0), 3)
    25.0
    """
    above_zero(over_rolls=over_rolls, roll=roll)
    if over_rolls <= 2 * roll:
        raise ValueError(
            f"{over_rolls:g} over two rolls of {roll:g} leaves no room for the arc between them; "
            f"give more than {2 * roll:g}"
        )
    return (over_rolls - roll) ** 2 / (8 * roll)


def hollow_radius_from_rolls(over_rolls: float, roll: float, height: float) -> float:
    """Return the radius, in mm, of a hollow in which two equal rolls lie.

    Args:
        over_rolls: over the outsides of the rolls, mm.
        roll: their diameter, mm.
        height: from the lowest point of the hollow to the top of the rolls, mm.

    Source: r = (L - D)^2 / (8 (h - D)) + h / 2, after Walsh, sign put right.

    >>> round(hollow_radius_from_rolls(38.0, 8.0, 10.51437), 4)
    50.0
    """
    above_zero(over_rolls=over_rolls, roll=roll, height=height)
    if over_rolls < 2 * roll:
        raise ValueError(f"two rolls of {roll:g} are {2 * roll:g} wide; give at least that")
    if height <= roll:
        raise ValueError(
            f"rolls of {roll:g} stand higher than {height:g} in any hollow; give more than {roll:g}"
        )
    return (over_rolls - roll) ** 2 / (8 * (height - roll)) + height / 2
