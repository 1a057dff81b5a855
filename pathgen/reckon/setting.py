"""Setting up: edges, middles, four jaws, cutter height, a head out of square.

Lengths in mm, angles in degrees. Readings count upwards in the direction of the axis.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pathgen.reckon.guards import above_zero, finite, not_below_zero, within

__all__ = [
    "JawMove",
    "Middle",
    "centring_error_left",
    "edge_reading",
    "four_jaw_move",
    "height_from_pip",
    "middle_of_touches",
    "packing_for_eccentric",
    "radius_at_height",
    "stand_off",
    "tailstock_shift",
    "tram_lean",
    "trough_hollow",
]

# ---------------------------------------------------------------- edges and middles


def stand_off(diameter: float, paper: float = 0.0) -> float:
    """Return how far the spindle axis stands off an edge at the touch, in mm.

    Args:
        diameter: of the cutter or of the edge finder's tip, as measured, mm.
        paper: thickness of the paper between, mm; measure it.

    >>> stand_off(8.0, 0.08)
    4.08
    """
    above_zero(diameter=diameter)
    not_below_zero(paper=paper)
    return diameter / 2 + paper


def edge_reading(touch: float, off: float, side: Literal["low", "high"]) -> float:
    """Return the reading at which the spindle axis stands over an edge that was touched.

    Args:
        touch: the reading at the touch.
        off: the stand-off, mm; see `stand_off`.
        side: of the work that was touched: "low" where readings are lower (the left face in X),
            so that the axis stood below the edge; "high" on the other.

    >>> edge_reading(0.0, 5.0, "low"), edge_reading(60.0, 5.0, "high")
    (5.0, 55.0)
    """
    finite(touch=touch)
    not_below_zero(stand_off=off)
    if side not in ("low", "high"):
        raise ValueError(f"a side is not {side!r}; give 'low' or 'high'")
    return touch + off if side == "low" else touch - off


@dataclass(frozen=True, slots=True, kw_only=True)
class Middle:
    """The middle between two faces, from two touches; lengths in mm.

    `reading` is to be come up to in the direction of the first touch; `if_forgotten` is how far
    out the middle would be if the slack were left out.
    """

    reading: float
    width: float
    if_forgotten: float


def middle_of_touches(first: float, second: float, finder: float, slack: float = 0.0) -> Middle:
    """Return the middle of a block whose low face was touched winding up, its high face back.

    The second touch is made winding the other way, so its reading lacks the slack.

    Args:
        first: reading at the low face, come up to with rising readings.
        second: reading at the high face, come back to with falling readings.
        finder: diameter of the finder or cutter, mm, with twice the paper.
        slack: of the slide, as measured, mm.

    >>> middle_of_touches(0.0, 52.36, 10.0, 0.15)
    Middle(reading=26.255, width=42.51, if_forgotten=0.075)
    """
    finite(first=first, second=second)
    above_zero(finder=finder)
    not_below_zero(slack=slack)
    width = second + slack - first - finder
    if width <= 0:
        raise ValueError(
            f"from {first:g} to {second:g} there is no work between touches of {finder:g}; "
            f"give the low face first"
        )
    return Middle(reading=(first + second + slack) / 2, width=width, if_forgotten=slack / 2)


def centring_error_left(diameter: float, offset: float) -> float:
    """Return what is left, in mm, after centring on round stock by half its diameter each way.

    Touched off its middle by `offset`, a round bar is met that much late; do both axes again.

    Source: left = r - sqrt(r^2 - offset^2).

    >>> centring_error_left(10.0, 3.0)
    1.0
    """
    above_zero(diameter=diameter)
    finite(offset=offset)
    radius = diameter / 2
    if abs(offset) > radius:
        raise ValueError(
            f"{offset:g} off the middle misses a bar of {diameter:g}; come within {radius:g}"
        )
    return offset**2 / (radius + math.sqrt((radius - offset) * (radius + offset)))


# ---------------------------------------------------------------- in the lathe


@dataclass(frozen=True, slots=True, kw_only=True)
class JawMove:
    """How far to move the work in a four-jaw chuck, mm, and away from which of two jaws."""

    away_from: Literal["first", "second", "neither"]
    distance: float


def four_jaw_move(first: float, second: float) -> JawMove:
    """Return the move that centres work between two opposite jaws of a four-jaw chuck.

    Args:
        first: reading of an indicator with the first jaw towards it, mm; it rises as the work
            comes nearer.
        second: reading with the opposite jaw towards it, mm.

    The work stands out on the side of the higher reading, by half the difference.

    >>> four_jaw_move(0.80, 0.30)
    JawMove(away_from='first', distance=0.25)
    """
    finite(first=first, second=second)
    if first == second:
        return JawMove(away_from="neither", distance=0.0)
    return JawMove(
        away_from="first" if first > second else "second", distance=abs(first - second) / 2
    )


def packing_for_eccentric(bar_radius: float, eccentricity: float) -> float:
    """Return the packing under one jaw of a three-jaw chuck, in mm, to turn an eccentric.

    For narrow jaws on the centre line; measure with an indicator, which shows twice the
    eccentricity. A short rule, 1.5 e (1 - e / (8 D)), is too much by 0.8 per cent of the packing
    at e = 0.02 D and by 4 per cent at 0.1 D.

    Source: sqrt(R^2 - (e sin 60)^2) + 1.5 e - R.

    >>> round(packing_for_eccentric(10.0, 2.0), 6)
    2.848858
    """
    above_zero(bar_radius=bar_radius, eccentricity=eccentricity)
    across = eccentricity * math.sqrt(3) / 2
    if eccentricity >= bar_radius:
        raise ValueError(
            f"an eccentric of {eccentricity:g} has the axis outside the bar; "
            f"give less than {bar_radius:g}"
        )
    return math.sqrt(bar_radius**2 - across**2) + 1.5 * eccentricity - bar_radius


def radius_at_height(reading: float, height_error: float) -> float:
    """Return the radius, in mm, that a tool above or below centre turns at a slide's reading.

    Args:
        reading: distance of the edge from the axis as the slide shows it, mm.
        height_error: of the edge above or below the axis, mm.

    >>> radius_at_height(4.0, -3.0)
    5.0
    """
    not_below_zero(reading=reading)
    finite(height_error=height_error)
    return math.hypot(reading, height_error)


def height_from_pip(pip_diameter: float) -> float:
    """Return how far a facing tool is off centre height, in mm, from the pip that it leaves.

    >>> height_from_pip(0.5)
    0.25
    """
    not_below_zero(pip_diameter=pip_diameter)
    return pip_diameter / 2


def tailstock_shift(at_head: float, at_tail: float) -> float:
    """Return how far to move the tailstock, in mm, so that a test bar comes out parallel.

    Args:
        at_head: diameter turned at the headstock end, mm.
        at_tail: diameter turned at the tailstock end, mm, under the same setting.

    Plus is towards the tool: the bar came out thick at the tail. Turn close to both centres.

    >>> round(tailstock_shift(20.0, 20.04), 6)
    0.02
    """
    above_zero(at_head=at_head, at_tail=at_tail)
    return (at_tail - at_head) / 2


# ---------------------------------------------------------------- a head out of square


def tram_lean(difference: float, swing: float) -> float:
    """Return the lean of a head, in degrees, from an indicator swung from one side to the other.

    Args:
        difference: of the two readings, mm.
        swing: distance between the two places touched, mm: twice the arm.

    >>> round(tram_lean(0.05, 200.0), 4)
    0.0143
    """
    finite(difference=difference)
    above_zero(swing=swing)
    return math.degrees(math.atan(difference / swing))


def trough_hollow(cutter: float, lean_deg: float, width: float) -> float:
    """Return how hollow, in mm, a face cutter leaves a surface when its axis leans along the feed.

    Args:
        cutter: diameter of its circle of teeth, mm.
        lean_deg: of its axis in the direction of feed, degrees.
        width: of the surface, in the middle of the pass, mm.

    Source: h = (D/2 - sqrt((D/2)^2 - (w/2)^2)) sin(lean).

    >>> round(trough_hollow(80.0, 0.1, 60.0), 6)
    0.023636
    """
    above_zero(cutter=cutter, width=width)
    within(-90, 90, lean=lean_deg)
    if width > cutter:
        raise ValueError(f"a cutter of {cutter:g} does not face {width:g} in one pass; give less")
    sagitta = (cutter - math.sqrt((cutter - width) * (cutter + width))) / 2
    return sagitta * math.sin(math.radians(abs(lean_deg)))
