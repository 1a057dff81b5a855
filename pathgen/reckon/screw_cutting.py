"""Screw-cutting with a pointed tool: how deep, in which passes, and the size over three wires."""

from __future__ import annotations

import math

from pathgen.reckon.thread_forms import Form


def tip_radius_at(
    pitch_diameter: float, pitch: float, form: Form, nose: float, *, inside: bool = False
) -> float:
    """Return how far from the axis a tool's tip is when it cuts a pitch diameter, mm.

    Source: geometry. The flanks, run on to a point, meet half of the sharp triangle's height below
    the pitch line, inside above it; a nose of radius r stands r / sin(angle / 2) - r short of that
    point.

    >>> from pathgen.reckon.thread_forms import ISO_60
    >>> round(tip_radius_at(14.701, 2.0, ISO_60, ISO_60.root_radius * 2.0), 3)
    6.773
    >>> round(tip_radius_at(14.701, 2.0, ISO_60, 0.15, inside=True), 3)
    8.067
    """
    half = math.radians(form.angle_deg / 2)
    way = 1 if inside else -1
    point = pitch_diameter / 2 + way * form.height * pitch / 2
    return point - way * nose * (1 / math.sin(half) - 1)


def pitch_diameter_at(
    tip_radius: float, pitch: float, form: Form, nose: float, *, inside: bool = False
) -> float:
    """Return the pitch diameter that a tool leaves whose tip is so far from the axis, mm."""
    return 2 * (tip_radius - tip_radius_at(0.0, pitch, form, nose, inside=inside))


def even_areas(depth: float, first: float) -> tuple[float, ...]:
    """Return the depths, counted from the outside, of passes that take chips of one area, mm.

    Source: geometry, the area of the groove grows with the square of its depth, so pass i of n
    stands at depth x sqrt(i / n).

    Args:
        depth: of the whole thread.
        first: what the first pass may take at most.

    >>> [round(each, 3) for each in even_areas(1.0, 0.5)]
    [0.5, 0.707, 0.866, 1.0]
    """
    count = max(1, math.ceil((depth / first) ** 2 - 1e-9))
    return tuple(depth * math.sqrt(each / count) for each in range(1, count + 1))


# mm of depth that a first pass takes, by how firm the lathe is: common practice, no source.
_FIRST = {"light": 0.3, "medium": 0.35, "rigid": 0.4}


def first_depth(rigidity: str) -> float:
    """Return how deep the first pass of a thread goes, mm on the radius.

    >>> first_depth("light")
    0.3
    """
    return _FIRST[rigidity]


REACTION_S = 0.5  # from seeing a reading to having cleared the tool: common practice, no source


def overrun(lead: float, rpm: float, reaction_s: float = REACTION_S) -> float:
    """Return how much further a hand lets a thread go than it means to, mm.

    >>> overrun(2.0, 60.0)
    1.0
    """
    return reaction_s * rpm / 60 * lead


def speed_to_clear(room: float, lead: float, reaction_s: float = REACTION_S) -> float:
    """Return the speed at which a hand lets a thread go on as far as there is room, rev/min.

    >>> speed_to_clear(1.0, 2.0)
    60.0
    """
    return room / lead / reaction_s * 60


def flank_beside(height: float, nose: float, angle_deg: float) -> float:
    """Return how far to either side of its middle a pointed tool reaches, mm.

    Source: geometry, a flank that touches a nose of radius r, ``height`` above its lowest point:
    (r + (height - r) sin(angle / 2)) / cos(angle / 2).

    >>> round(flank_beside(2.0, 0.0, 60.0), 3)
    1.155
    """
    half = math.radians(angle_deg / 2)
    return (nose + (height - nose) * math.sin(half)) / math.cos(half)


def best_wire(pitch: float, angle_deg: float) -> float:
    """Return the wire that touches the flanks at the pitch line, mm.

    Source: geometry, p / 2 / cos(angle / 2): 0.57735 p at 60 degrees, 0.5637 p at 55.
    """
    return pitch / 2 / math.cos(math.radians(angle_deg / 2))


def over_wires(
    pitch_diameter: float, pitch: float, angle_deg: float, wire: float, lead: float = 0.0
) -> float:
    """Return the size over three wires, mm.

    Source: the standard formula, E + W (1 + 1 / sin(angle / 2)) - p / 2 cot(angle / 2), which is
    E + 3 W - 0.866025 p at 60 degrees; and the term for the slope S of the lead, from memory,
    W S^2 / 2 cos(angle / 2) cot(angle / 2), which counts where there are several starts. Without a
    lead that is left out.

    >>> round(over_wires(14.701, 2.0, 60.0, 1.2), 3)
    16.569
    >>> round(over_wires(22.0, 3.0, 60.0, 1.7, lead=6.0), 3)
    24.512
    """
    half = math.radians(angle_deg / 2)
    slope = lead / (math.pi * pitch_diameter) if lead else 0.0
    aside = slope**2 / 2 * math.cos(half) / math.tan(half)
    return pitch_diameter + wire * (1 + 1 / math.sin(half) + aside) - pitch / 2 / math.tan(half)


def wires_that_measure(pitch: float, form: Form) -> tuple[float, float]:
    """Return the thinnest and the thickest wire that lies on the flanks and stands out, mm.

    Source: geometry. The wire's middle is h above the point where the flanks meet, with
    h sin(angle / 2) half of the wire; it touches them on straight flank, and its top is above the
    crest. ``crest_cut`` is cut off at the crest, as much is taken to be lost at the root.
    """
    half = math.radians(form.angle_deg / 2)
    crest = (form.height - form.crest_cut) * pitch  # above that point
    thinnest = 2 * crest / (1 + 1 / math.sin(half))
    thickest = 2 * crest * math.tan(half) / math.cos(half)
    return thinnest, thickest


def widened_by(lead_error: float, angle_deg: float) -> float:
    """Return by how much a bolt seems thicker to its nut for an error along the axis, mm.

    Source: geometry, the error over the length engaged times cot(angle / 2): 1.732 at 60 degrees.
    """
    return abs(lead_error) / math.tan(math.radians(angle_deg / 2))
