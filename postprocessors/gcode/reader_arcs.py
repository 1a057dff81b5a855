"""Arcs as a control takes them: by the offset of their centre, or by their radius.

Source: NISTIR 6556 (RS274/NGC version 3), 3.5.3.
"""

from __future__ import annotations

import math

from postprocessors.gcode.reader_words import LineError

SLACK = 1e-7  # mm lost in reckoning with floats
ILL_SET = (165.0, 195.0)  # sweeps of arcs by radius whose centre hangs on the last digits, degrees

Plane = tuple[float, float]


def radii_agree(start: Plane, end: Plane, centre: Plane, mismatch: float) -> bool:
    """Return whether an arc's ends are equally far from its centre, to the mismatch (mm)."""
    first = math.hypot(start[0] - centre[0], start[1] - centre[1])
    last = math.hypot(end[0] - centre[0], end[1] - centre[1])
    return abs(first - last) <= mismatch + SLACK and first > SLACK


def radii_apart(start: Plane, end: Plane, centre: Plane, mismatch: float) -> str:
    """Return what is wrong with a centre that is not equally far from both ends; empty if it is.

    A control stops at such an arc. Here it is read all the same, its radius growing along it, so
    that what else is wrong in the program comes out too.

    Raises:
        LineError: the radius is nought.
    """
    if radii_agree(start, end, centre, mismatch):
        return ""
    first = math.hypot(start[0] - centre[0], start[1] - centre[1])
    last = math.hypot(end[0] - centre[0], end[1] - centre[1])
    if first <= SLACK:
        raise LineError("the arc's radius is nought", "give I and J from its start to its centre")
    return (
        f"the arc's radius is {first:.4f} mm at its start, {last:.4f} mm at its end, where they "
        f"may differ by {mismatch:g} mm"
    )


def centre_by_radius(start: Plane, end: Plane, radius: float, *, clockwise: bool) -> Plane:
    """Return the centre of an arc of at most half a turn, or of more for a negative radius; mm.

    >>> centre_by_radius((-3, 4), (3, 4), 5, clockwise=True)
    (0.0, 0.0)
    >>> centre_by_radius((-3, 4), (3, 4), -5, clockwise=True)
    (0.0, 8.0)

    Raises:
        LineError: the end is the start, or is further away than twice the radius.
    """
    across, away = end[0] - start[0], end[1] - start[1]
    chord = math.hypot(across, away)
    if chord <= SLACK:
        raise LineError("an arc by radius that ends where it starts", "give its centre by I and J")
    if chord / 2 > abs(radius) + SLACK:
        raise LineError(
            f"no circle of radius {abs(radius):g} mm has ends {chord:g} mm apart",
            "give its centre by I and J",
        )
    height = math.sqrt(max(0.0, radius**2 - (chord / 2) ** 2))
    left = height if clockwise == (radius < 0) else -height  # from the chord, seen along it
    return (
        (start[0] + end[0]) / 2 - left * away / chord,
        (start[1] + end[1]) / 2 + left * across / chord,
    )


def is_ill_set(start: Plane, end: Plane, radius: float) -> bool:
    """Return whether the last digits of the ends decide where such an arc's centre is."""
    chord = math.hypot(end[0] - start[0], end[1] - start[1])
    sweep = 2 * math.degrees(math.asin(min(1.0, chord / 2 / abs(radius))))
    if radius < 0:
        sweep = 360 - sweep
    return ILL_SET[0] < sweep < ILL_SET[1]
