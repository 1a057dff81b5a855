"""A dish or dome: its round in the plan, its arc in the section, and how a fly cutter is set."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from pathgen.job.frame import Point
from pathgen.job.spheres import Sphere
from pathgen.moves.actions import SetAngle, SetSweep
from pathgen.moves.moves import Feed, TurnWork, end_of
from pathgen.moves.plan import Run
from pathgen.reckon.sphere_rings import RoundEnd
from postprocessors.drawing.scale import Units, View
from postprocessors.drawing.sheet import CENTRE, HEAVY, HIDDEN, NARROW, Sheet

SIDES = 96  # chords of an arc
CORNER_SIDES = 12  # chords of a mill's corner
BEYOND = 200.0  # mm: the trace of the circle goes on beyond what is shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Tilting:
    """How a run has a fly cutter set, and where its slides stand at each turn of the work; mm."""

    angle_deg: float
    towards: str
    sweep: float
    pairs: tuple[tuple[float, float], ...]  # (x, z) of the slides


def tilting_of(run: Run) -> Tilting | None:
    """Return the setting of a run under a tilted cutter; None where nothing is tilted."""
    angle = next((item for item in run.items if isinstance(item, SetAngle)), None)
    sweep = next((item for item in run.items if isinstance(item, SetSweep)), None)
    if angle is None or sweep is None:
        return None
    pairs: list[tuple[float, float]] = []
    x, z = math.nan, math.nan
    for item in run.items:
        if isinstance(item, Feed):
            x, _, z = end_of(item)
        elif isinstance(item, TurnWork) and (x, z) not in pairs:
            pairs.append((x, z))
    return Tilting(
        angle_deg=angle.angle_deg, towards=angle.towards, sweep=sweep.sweep, pairs=tuple(pairs)
    )


def draw_spheres_in_plan(sheet: Sheet, view: View, spheres: tuple[Sphere, ...]) -> None:
    """Draw the rim of each dish, and the hole that comes through it later."""
    for sphere in spheres:
        centre = view.at(*sphere.at)
        if sphere.form == "dish":
            sheet.circle(centre, sphere.chord.nominal / 2 * view.scale, HEAVY, "dish")
        if sphere.hole:
            sheet.circle(centre, sphere.hole / 2 * view.scale, HIDDEN, "hole")


def draw_sphere_in_section(
    sheet: Sheet, view: View, sphere: Sphere, tilting: Tilting | None, half: float
) -> None:
    """Draw the arc of a dish or dome, its axis, and the circle of the point seen on edge.

    Args:
        sheet: to draw on.
        view: of the section.
        sphere: what is wanted.
        tilting: how a fly cutter is set; None where there is none.
        half: of the width that a dome covers, mm.
    """
    x = sphere.at[0]
    arc = [view.at(x + r, z) for r, z in arc_of(sphere, half)]
    ends = [view.at(x + sign * arc_of(sphere, half)[-1][0], 0.0) for sign in (-1, 1)]
    sheet.filled([*arc, ends[1], ends[0]], "white")
    sheet.polyline(arc, HEAVY)
    sheet.line(view.at(x, -BEYOND), view.at(x, BEYOND), CENTRE)
    if tilting is not None:
        foot, far = circle_on_edge(sphere, tilting)
        sheet.line(view.at(x + foot[0], foot[1]), view.at(x + far[0], far[1]), NARROW)


def round_ended(
    view: View, lowest: tuple[float, float], end: RoundEnd, top: float
) -> list[tuple[float, float]]:
    """Return the outline of a round-ended mill on the sheet, from its left side to its right.

    Args:
        view: of the section.
        lowest: (x, z) of its lowest place, mm.
        end: its corner, and the flat within.
        top: y of the sheet up to which it is drawn.
    """
    x, z = lowest
    corner, flat = end
    angles = [math.pi / 2 * step / CORNER_SIDES for step in range(CORNER_SIDES + 1)]
    half = [(flat + corner * math.sin(a), z + corner * (1 - math.cos(a))) for a in angles]
    left = [view.at(x - off, height) for off, height in reversed(half)]
    right = [view.at(x + off, height) for off, height in half]
    return [(left[0][0], top), *left, *right, (right[-1][0], top)]


def arc_of(sphere: Sphere, half: float) -> list[tuple[float, float]]:
    """Return (x, z) of the arc of a dish or dome from left to right, from its axis and the face."""
    radius, depth = sphere.radius.nominal, sphere.depth.nominal
    dish = sphere.form == "dish"
    reach = min(sphere.chord.nominal / 2 if dish else half, radius)
    places = [reach * (2 * step / SIDES - 1) for step in range(SIDES + 1)]
    if dish:
        return [(r, radius - depth - math.sqrt(radius**2 - r**2)) for r in places]
    return [(r, math.sqrt(radius**2 - r**2) - radius) for r in places]


def circle_on_edge(
    sphere: Sphere, tilting: Tilting
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return the two ends of the circle of the point, seen on edge: its foot and its far side."""
    lean = math.radians(tilting.angle_deg)
    side = -1 if tilting.towards == "left" else 1
    dish = sphere.form == "dish"
    up, out = (1, side) if dish else (-1, -side)
    foot = (0.0, -sphere.depth.nominal if dish else 0.0)
    far = (
        foot[0] + out * tilting.sweep * math.cos(lean),
        foot[1] + up * tilting.sweep * math.sin(lean),
    )
    return foot, far


def sphere_in_full(sphere: Sphere, units: Units) -> str:
    """Return what a dish or dome is, in words."""
    number = units.number
    hole = f", round a hole of {number(sphere.hole)}" if sphere.hole else ""
    return (
        f"{sphere.name}: radius {number(sphere.radius.nominal)}, chord "
        f"{number(sphere.chord.nominal)}, depth {number(sphere.depth.nominal)}{hole}"
    )


def setting_words(sphere: Sphere, tilting: Tilting, units: Units) -> list[str]:
    """Return how a fly cutter is set for a dish or dome, and the pairs of readings."""
    number = units.number
    low = "LOW" if sphere.form == "dish" else "HIGH"
    pairs = "; ".join(f"{number(x)}, {number(z)}" for x, z in tilting.pairs)
    steps = [math.hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(tilting.pairs)]
    deepest = f", at most {number(max(steps))} along the work's axis each" if steps else ""
    return [
        (
            f"{sphere.form.upper()} {sphere.name}: tilted {tilting.angle_deg:g} degrees to the "
            f"{tilting.towards}, sweep {number(tilting.sweep)}; spindle over the {low} side. The "
            "slanting line is the circle of the point, on edge."
        ),
        f"Pairs x, z, a whole turn of the work at each{deepest}: {pairs}",
    ]


def half_across(sphere: Sphere, low: Point, high: Point) -> float:
    """Return half the width over which a dome is drawn between two corners of the blank, mm."""
    return max(abs(low[0] - sphere.at[0]), abs(high[0] - sphere.at[0]))
