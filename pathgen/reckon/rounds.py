"""Round noses and ball ends: cusps, step over, and the steps for turning a ball.

Lengths in mm, angles in degrees.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pathgen.reckon.guards import above_zero, not_below_zero, within

__all__ = [
    "BallStep",
    "ball_diameter_at",
    "ball_step",
    "ball_steps",
    "corner_left",
    "corner_radii",
    "cusp",
    "cusp_in_hollow",
    "cusp_on_round",
    "effective_diameter",
    "step_crest",
    "step_over",
]


def cusp(nose_radius: float, pitch: float) -> float:
    """Return the cusp, in mm, that a round nose leaves between passes on a flat or a cylinder.

    Args:
        nose_radius: of the nose or ball, mm.
        pitch: from pass to pass, or the feed per rev in turning; mm.

    Source: h = r - sqrt(r^2 - (s/2)^2).

    >>> round(cusp(3.0, 0.6), 6)
    0.015038
    """
    above_zero(nose_radius=nose_radius, pitch=pitch)
    _pitch_in_reach(pitch, nose_radius)
    half = pitch / 2
    return half**2 / (nose_radius + math.sqrt(nose_radius**2 - half**2))


def step_over(nose_radius: float, scallop: float) -> float:
    """Return the step over, in mm, at which a ball nose leaves a scallop of the wanted height.

    Source: s = 2 sqrt(h (2 R - h)).

    >>> round(step_over(3.0, 0.01), 5)
    0.48949
    """
    above_zero(nose_radius=nose_radius, scallop=scallop)
    if scallop > nose_radius:
        raise ValueError(
            f"scallop {scallop:g} is over the nose radius; give at most {nose_radius:g}"
        )
    return 2 * math.sqrt(scallop * (2 * nose_radius - scallop))


def cusp_on_round(nose_radius: float, pitch: float, work_radius: float) -> float:
    """Return the cusp, in mm, on a convex arc of the work, pitch measured along the arc.

    Source: exact crossing of the two nose circles; about s^2/8 (1/r + 1/R).

    >>> round(cusp_on_round(0.4, 0.2, 6.0), 6)
    0.013594
    """
    return _cusp_on_arc(nose_radius, pitch, work_radius, 1)


def cusp_in_hollow(nose_radius: float, pitch: float, work_radius: float) -> float:
    """Return the cusp, in mm, on a concave arc of the work, pitch measured along the arc.

    Source: exact crossing of the two nose circles; about s^2/8 (1/r - 1/R).

    >>> round(cusp_in_hollow(3.0, 0.6, 12.0), 5)
    0.01126
    """
    above_zero(nose_radius=nose_radius, work_radius=work_radius)
    if nose_radius >= work_radius:
        raise ValueError(
            f"a nose of {nose_radius:g} does not fit a hollow of {work_radius:g}; "
            f"give a smaller one"
        )
    return _cusp_on_arc(nose_radius, pitch, work_radius, -1)


def _cusp_on_arc(nose_radius: float, pitch: float, work_radius: float, side: int) -> float:
    """Return the cusp on an arc; side 1 with the nose outside it, -1 inside."""
    above_zero(nose_radius=nose_radius, pitch=pitch, work_radius=work_radius)
    path = work_radius + side * nose_radius
    half = pitch / (2 * work_radius)
    off = path * math.sin(half) if half < math.pi / 2 else math.inf
    _pitch_in_reach(2 * off, nose_radius)
    # what the crossing falls short of the touching point, without taking near figures from another
    sunk = off**2 / (nose_radius + math.sqrt(nose_radius**2 - off**2))
    return sunk - side * 2 * path * math.sin(half / 2) ** 2


def _pitch_in_reach(pitch: float, nose_radius: float) -> None:
    """Refuse passes so far apart that they do not meet."""
    if pitch > 2 * nose_radius:
        raise ValueError(
            f"passes {pitch:g} apart at the nose do not meet; give at most {2 * nose_radius:g}"
        )


def effective_diameter(diameter: float, depth: float) -> float:
    """Return the diameter, in mm, at which a ball-nosed cutter meets the work at a depth.

    For the cutting speed; the cutter stands upright.

    Source: 2 sqrt(ap (D - ap)).

    >>> round(effective_diameter(6.0, 0.3), 6)
    2.615339
    """
    above_zero(diameter=diameter, depth=depth)
    if depth >= diameter / 2:
        return diameter
    return 2 * math.sqrt(depth * (diameter - depth))


def corner_left(cutter_radius: float) -> float:
    """Return what a round cutter leaves in a square inside corner, in mm along the diagonal.

    >>> round(corner_left(3.0), 6)
    1.242641
    """
    above_zero(cutter_radius=cutter_radius)
    return cutter_radius * (math.sqrt(2) - 1)


def corner_radii(cutter_diameter: float) -> tuple[float, float]:
    """Return the least and a good radius, in mm, of a corner that a cutter turns, not is rammed in.

    Source: M. Viau, Villa Machine (2015): 0.255 and 0.270 in for a cutter of 0.500 in, so 2 and 8
    per cent above the cutter's own radius.

    >>> [round(r, 3) for r in corner_radii(0.5)]
    [0.255, 0.27]
    """
    above_zero(cutter_diameter=cutter_diameter)
    return cutter_diameter / 2 * 1.02, cutter_diameter / 2 * 1.08


# ---------------------------------------------------------------- a ball in steps


@dataclass(frozen=True, slots=True, kw_only=True)
class BallStep:
    """Where a tool stands for one step of a ball end; mm.

    `axial` counts from the end face towards the chuck; `radius` is the reading of a slide zeroed
    on the axis with the tool's front edge, so it is minus where a round nose goes past the axis.
    """

    angle_deg: float
    axial: float
    radius: float


def ball_step(ball_radius: float, angle_deg: float, nose_radius: float = 0.0) -> BallStep:
    """Return where the tool stands to touch a ball at an angle from its end.

    The tool is zeroed by touching the end face and a turned diameter.

    Source: axial = (R + n)(1 - cos a), radius = (R + n) sin a - n.

    >>> step = ball_step(10.0, 30.0, 0.8)
    >>> round(step.axial, 4), round(step.radius, 4)
    (1.4469, 4.6)
    """
    above_zero(ball_radius=ball_radius)
    not_below_zero(nose_radius=nose_radius)
    within(-1e-9, 180, angle_deg=angle_deg)
    path, angle = ball_radius + nose_radius, math.radians(angle_deg)
    return BallStep(
        angle_deg=angle_deg,
        axial=2 * path * math.sin(angle / 2) ** 2,
        radius=path * math.sin(angle) - nose_radius,
    )


def ball_steps(
    ball_radius: float, step_deg: float, nose_radius: float = 0.0
) -> tuple[BallStep, ...]:
    """Return the steps for the outer half of a ball, from its end to its largest diameter.

    Args:
        ball_radius: mm.
        step_deg: from step to step; the last comes at 90 degrees whatever is left.
        nose_radius: of the tool, mm; none for a sharp corner.

    >>> [round(s.axial, 4) for s in ball_steps(12.0, 15.0)]
    [0.0, 0.4089, 1.6077, 3.5147, 6.0, 8.8942, 12.0]
    """
    within(0, 90 + 1e-9, step_deg=step_deg)
    whole = math.ceil(90 / step_deg - 1e-9)
    angles = [*(step_deg * i for i in range(whole)), 90.0]
    return tuple(ball_step(ball_radius, angle, nose_radius) for angle in angles)


def ball_diameter_at(ball_radius: float, axial: float) -> float:
    """Return the diameter, in mm, of a ball at a distance from its end.

    Source: d = 2 sqrt(2 R z - z^2).

    >>> ball_diameter_at(10.0, 2.0)
    12.0
    """
    above_zero(ball_radius=ball_radius)
    if not 0 <= axial <= 2 * ball_radius:
        raise ValueError(
            f"{axial:g} from its end lies off a ball {2 * ball_radius:g} across; give 0 to that"
        )
    return 2 * math.sqrt(axial * (2 * ball_radius - axial))


def step_crest(ball_radius: float, step_deg: float) -> float:
    """Return the highest crest, in mm, that a square-ended tool leaves stepping round a ball.

    About R times half the step in radians, near 45 degrees.

    Source: the largest over the steps a = 0, d, 2 d ... of
    sqrt((R cos a)^2 + (R sin(a + d))^2) - R,
    which is R (sqrt(1 + sin(2 a + d) sin d) - 1) and so largest where 2 a + d is nearest 90.

    >>> round(step_crest(10.0, 5.0), 6)
    0.425086
    """
    above_zero(ball_radius=ball_radius)
    within(0, 90 + 1e-9, step_deg=step_deg)
    steps = round((90 / step_deg - 1) / 2)
    where = math.sin(math.radians((2 * steps + 1) * step_deg))
    return ball_radius * (math.sqrt(1 + where * math.sin(math.radians(step_deg))) - 1)
