"""Choosing the tilt and the sweep for a dish or dome: what the tools allow, and errs least."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.input.where import Refusal
from pathgen.job.spheres import Sphere, farthest_corner
from pathgen.plan.bench import Bench
from pathgen.reckon.sphere_clearance import body_clearance, inside_room
from pathgen.reckon.sphere_errors import Setting, effects
from pathgen.reckon.spheres import circle_of_sweep, generated_radius, largest_chord
from pathgen.shop.cutters import Cutter
from pathgen.shop.fly_points import FlyPoint
from pathgen.shop.tilts import Tilt

CLEAR = 1.5  # mm that body and arbor stay off the work (common practice, no source)
SPARE = 1.04  # of the chord, that the circle reaches
ROUND_DEG = 5.0  # a scale is best set to whole fives of degrees
DOME_MOST_DEG = 40.0  # steeper, the far side of the circle comes in under the dome
MEASURED = 0.01  # mm: a sweep is set to whole hundredths


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """A tilt, a cutter and its sweep."""

    tilt: Tilt
    cutter: Cutter
    point: FlyPoint
    setting: Setting
    corner: float  # of the work, farthest from its axis; mm


def choose(sphere: Sphere, bench: Bench) -> Chosen:
    """Return the tilt, the cutter and the sweep with which the setting's doubts matter least.

    Raises:
        Refusal: nothing tilts, or no cutter reaches; says what would do it.
    """
    tilt = bench.machine.tilt
    if tilt is None:
        raise Refusal(
            sphere.where,
            f"cut {sphere.name!r} by a fly cutter on {bench.machine.title}: nothing on it tilts",
            "use a machine whose file has a [tilt], or one whose control reads programs, with a "
            "ball-nose",
        )
    cutters = _cutters(sphere, bench)
    missed: list[str] = []
    found = [
        each for cutter in cutters for each in _candidates(sphere, bench, (tilt, cutter), missed)
    ]
    if not found:
        raise Refusal(
            sphere.where,
            f"reach {sphere.name!r} with a fly cutter of the crib: {missed[-1]}",
            "add a fly cutter with other sweeps or more drop to the crib",
        )
    return min(found, key=_rank)


def _cutters(sphere: Sphere, bench: Bench) -> list[Cutter]:
    """Return the fly cutters whose point looks the right way."""
    looks = "outwards" if sphere.form == "dish" else "inwards"
    if sphere.ways.cutter is not None:
        named = bench.named(sphere.ways.cutter, ("fly cutter",), sphere.where.at("ways.cutter"))
        found = [named]
    else:
        found = bench.of_kind("fly cutter")
    fitting = [each for each in found if each.fly is not None and each.fly.looks == looks]
    if not fitting:
        raise Refusal(
            sphere.where,
            f"cut a {sphere.form} without a fly cutter whose point looks {looks}",
            "add one to the crib",
        )
    return fitting


def _rank(chosen: Chosen) -> tuple[bool, float]:
    """Put whole fives of degrees first, then what errs least."""
    angle = chosen.setting.tilt_deg
    uneven = abs(angle / ROUND_DEG - round(angle / ROUND_DEG)) > 1e-9
    tilted = effects(chosen.setting, tilt_off_deg=chosen.tilt.uncertainty_deg).worst
    swept = effects(chosen.setting, sweep_off=chosen.point.uncertainty).worst
    return uneven, round(tilted + swept, 6)


def _angles(sphere: Sphere, tilt: Tilt) -> Iterator[float]:
    """Yield the angles that can be set, or the one that the job asks for."""
    if sphere.ways.tilt_deg is not None:
        yield sphere.ways.tilt_deg
        return
    count = math.floor((tilt.most_deg - tilt.least_deg) / tilt.step_deg + 1e-9)
    fives = {tilt.least_deg + step * tilt.step_deg for step in range(count + 1)}
    yield from sorted(angle for angle in fives if angle > 0 and not angle % (ROUND_DEG / 2))


def _candidates(
    sphere: Sphere, bench: Bench, tools: tuple[Tilt, Cutter], missed: list[str]
) -> Iterator[Chosen]:
    """Yield each tilt with its sweep that a cutter can be set to and that clears."""
    tilt, cutter = tools
    point = cutter.fly
    assert point is not None
    corner = farthest_corner(sphere, bench.job.blank_box(bench.setup))
    for angle in _angles(sphere, tilt):
        setting = _rounded(sphere, angle, point)
        chosen = Chosen(tilt=tilt, cutter=cutter, point=point, setting=setting, corner=corner)
        against = _against(chosen, bench)
        if against:
            missed.append(f"at {angle:g} degrees {against}")
        else:
            yield chosen


def _rounded(sphere: Sphere, angle: float, point: FlyPoint) -> Setting:
    """Return the setting at an angle, its sweep in whole hundredths and the radius that gives."""
    radius, depth = sphere.aim
    chord = 2 * math.sqrt(depth * (2 * radius - depth))
    wanted = Setting(radius=radius, chord=chord, tilt_deg=angle, nose=point.nose, form=sphere.form)
    sweep = round(wanted.sweep / MEASURED) * MEASURED
    circle = circle_of_sweep(sweep, point.nose, sphere.form)
    made = generated_radius(circle, angle, point.nose, sphere.form)
    return Setting(
        radius=made,
        chord=2 * math.sqrt(depth * (2 * made - depth)),
        tilt_deg=angle,
        nose=point.nose,
        form=sphere.form,
    )


def _against(chosen: Chosen, bench: Bench) -> str:
    """Return what is against a setting, empty if nothing."""
    setting, point, tilt = chosen.setting, chosen.point, chosen.tilt
    angle = setting.tilt_deg
    wide = 2 * chosen.corner if setting.form == "dome" else setting.chord
    if not tilt.least_deg <= angle <= tilt.most_deg:
        return f"the {tilt.name} goes from {tilt.least_deg:g} to {tilt.most_deg:g}"
    if not point.sets(setting.sweep):
        return f"the sweep is {bench.say(setting.sweep)}, which the {chosen.cutter.name} has not"
    if largest_chord(setting.radius, angle) < SPARE * wide:
        return "the circle does not reach over all of it"
    return _dome_against(setting, point) or _body_against(chosen, bench)


def _dome_against(setting: Setting, point: FlyPoint) -> str:
    """Return what is against the setting of a dome, empty if nothing."""
    if setting.form == "dish":
        return ""
    if setting.tilt_deg > DOME_MOST_DEG:
        return "the far side of the circle comes in under the dome"
    if point.drop < inside_room(setting.radius, setting.tilt_deg) + CLEAR:
        return "the dome reaches up to the body of the cutter"
    return ""


def _body_against(chosen: Chosen, bench: Bench) -> str:
    """Return that body or arbor come too near the work, empty if they do not."""
    generator = chosen.setting.generator()
    free = body_clearance(generator, chosen.cutter.fly_bodies(), chosen.corner)
    if free < CLEAR:
        return f"the body of the {chosen.cutter.name} comes within {bench.say(free)} of the work"
    return ""
