"""Dishes and domes by a ball-nose on a machine that goes along arcs: steps first, then rings."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.input.where import Refusal
from pathgen.job.spheres import Sphere, farthest_corner
from pathgen.moves.moves import Arc, Feed, How, Move, Rapid
from pathgen.plan.bench import Bench, Operation, even_depths
from pathgen.plan.cutting import Cutting, cutting, slot_depth
from pathgen.plan.heights import ABOVE_CHIPS, reaches
from pathgen.reckon.sphere_rings import RoundEnd, finishing_rings, pitch_for_cusp
from pathgen.reckon.sphere_steps import depth_of_dome_rim
from pathgen.reckon.spheres import sign
from pathgen.shop.cutters import Cutter

ALLOWANCE = 0.3  # mm that roughing leaves all over (common practice, no source)
ROUGH_PITCH = 0.6  # of the ball's radius, between rings of one step (common practice, no source)
ROUGH_STEP = 0.12  # of the diameter, at most: the finish cuts what a step leaves (common practice)
SMALLER = 0.8  # of a dish's radius, at most, that of the ball
SHALLOW = 1e-6  # mm: a ring with less radius is a place


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """One dish or dome, its ball-nose and its figures; lengths in mm."""

    sphere: Sphere
    bench: Bench
    cutter: Cutter
    radius: float
    depth: float
    half: float  # of the width that is cut

    @property
    def ball(self) -> float:
        """Return the radius of the ball."""
        return self.cutter.ball

    @property
    def middle(self) -> float:
        """Return the height of the lowest place of a dish, or of the top of a dome."""
        return -self.depth if self.sphere.form == "dish" else 0.0

    @property
    def centre(self) -> float:
        """Return the height of the sphere's centre."""
        return self.middle + sign(self.sphere.form) * self.radius


def plan_ball_rings(sphere: Sphere, bench: Bench) -> tuple[Operation, ...]:
    """Return the operations that cut a dish or dome by a ball-nose in rings.

    Raises:
        Refusal: the crib has no ball-nose that goes in; says what would.
    """
    work = _work(sphere, bench, _ball_nose(sphere, bench))
    return (_roughed(work), _finished(work))


def _work(sphere: Sphere, bench: Bench, cutter: Cutter) -> Work:
    radius, depth = sphere.aim
    half = math.sqrt(depth * (2 * radius - depth))
    if sphere.form == "dome":
        half = farthest_corner(sphere, bench.job.blank_box(bench.setup)) + 1e-3
        depth = depth_of_dome_rim(radius, 2 * half)
    return Work(sphere=sphere, bench=bench, cutter=cutter, radius=radius, depth=depth, half=half)


def _ball_nose(sphere: Sphere, bench: Bench) -> Cutter:
    """Return the largest ball-nose that goes in and is long enough, or the one that is named."""
    radius, depth = sphere.aim
    if sphere.ways.cutter is not None:
        where = sphere.where.at("ways.cutter")
        cutter = bench.named(sphere.ways.cutter, ("ball-nose",), where)
        unfit = _unfit(cutter, radius, depth, sphere)
        if unfit:
            raise Refusal(where, f"cut {sphere.name!r} with the {cutter.name}: {unfit}", "another")
        return cutter
    found = bench.largest(
        ("ball-nose",), 2 * radius, lambda each: not _unfit(each, radius, depth, sphere)
    )
    if found is None:
        raise Refusal(
            sphere.where,
            f"the crib has no ball-nose for {sphere.name!r}, radius {bench.say(radius)}, "
            f"{bench.say(depth)} deep",
            "add one, or use a machine with a [tilt] and a fly cutter",
        )
    return found


def _unfit(cutter: Cutter, radius: float, depth: float, sphere: Sphere) -> str:
    """Return why a ball-nose does not do; empty if it does."""
    if sphere.form == "dish" and cutter.ball > SMALLER * radius:
        return "its ball is too large for the hollow"
    return "" if reaches(cutter, -depth) else "its flutes are too short"


# ---------------------------------------------------------------- roughing


def _roughed(work: Work) -> Operation:
    """Return the roughing in level steps, each cleared in rings."""
    bench, cutter = work.bench, work.cutter
    figures = cutting(bench.machine, cutter, bench.material, "slotting")
    most = _step(work)
    bottom = work.middle + ALLOWANCE if work.sphere.form == "dish" else -work.depth
    moves: list[Move] = []
    levels = even_depths(0.0, bottom, most)
    for number, z in enumerate(levels, start=1):
        radii = _radii(work, z)
        moves.extend(_level(work, z, radii, (figures, f"step {number} of {len(levels)}")))
    return Operation(
        purpose="rough",
        cutter=cutter,
        cutting=figures,
        why=f"{len(levels)} level steps, {bench.say(ALLOWANCE)} left all over",
        moves=tuple(moves),
        depth_of_cut=abs(levels[0]),
        width_of_cut=ROUGH_PITCH * work.ball,
    )


def _radii(work: Work, z: float) -> list[float]:
    """Return the radii of the rings of a step: from the axis outwards, or from outside in."""
    sphere, ball = work.sphere, work.ball
    path = work.radius - sign(sphere.form) * (ball + ALLOWANCE)
    up = work.centre - (z + ball)
    limit = math.sqrt(max(path**2 - up**2, 0.0)) if abs(up) < path else 0.0
    pitch = ROUGH_PITCH * ball
    if sphere.form == "dish":
        count = math.ceil(limit / pitch - 1e-9)
        return [limit * step / max(count, 1) for step in range(count + 1)]
    outside = work.half + ball / 2
    count = max(1, math.ceil((outside - limit) / pitch - 1e-9))
    return [outside + (limit - outside) * step / count for step in range(count + 1)]


def _level(work: Work, z: float, radii: list[float], told: tuple[Cutting, str]) -> Iterator[Move]:
    """Yield one step: down at its first ring, then ring by ring."""
    figures, label = told
    x, y = work.sphere.at
    yield Rapid(x + radii[0], y, work.bench.clear, How(what=f"{label}: over its first ring"))
    above = min(work.bench.clear, z + ABOVE_CHIPS + _step(work))
    yield Rapid(x + radii[0], y, max(above, ABOVE_CHIPS))
    yield Feed(x + radii[0], y, z, figures.plunge, How(what=f"{label}: down"))
    for radius in radii:
        yield from _ring(work, (radius, z), figures.feed, label)
    yield Rapid(x + radii[-1], y, work.bench.clear)


def _step(work: Work) -> float:
    """Return the most depth of one step, mm; a way down that is fast stays above so much metal."""
    deepest = slot_depth(work.bench.machine, work.cutter, work.bench.material)
    low = ROUGH_STEP * work.cutter.diameter
    return work.sphere.ways.depth_of_cut or min(deepest, low)


def _ring(work: Work, ring: tuple[float, float], feed: float, label: str) -> Iterator[Move]:
    """Yield the way to a ring, by the radius and the tip's height, and once round it.

    Against the cutter's turn: clockwise within a dish, anticlockwise round a dome.
    """
    radius, z = ring
    x, y = work.sphere.at
    how = How(makes="size", what=label)
    yield Feed(x + radius, y, z, feed, how)
    if radius > SHALLOW:
        clockwise = work.sphere.form == "dish"
        yield Arc(x + radius, y, z, x, y, clockwise=clockwise, feed=feed, how=how)


# ---------------------------------------------------------------- finishing


def _finished(work: Work) -> Operation:
    """Return the finishing, ring by ring from the axis outwards, a cusp apart."""
    bench, sphere = work.bench, work.sphere
    figures = cutting(bench.machine, work.cutter, bench.material, "end milling finish")
    pitch = pitch_for_cusp(work.ball, work.radius, sphere.ways.cusp, sphere.form)
    reach = (work.half, work.middle)
    rings = finishing_rings(work.radius, RoundEnd(work.ball), sphere.form, reach, pitch)
    x, y = sphere.at
    first = rings[0][1] - work.ball
    moves: list[Move] = [
        Rapid(x, y, bench.clear, How(what="over the axis")),
        Rapid(x, y, min(bench.clear, first + ABOVE_CHIPS + ALLOWANCE)),
    ]
    before = rings[0]
    for number, ring in enumerate(rings, start=1):
        label = f"ring {number} of {len(rings)}"
        if sphere.form == "dome" and ring is not before:  # outwards first, clear of the dome
            moves.append(Feed(x + ring[0], y, before[1] - work.ball, figures.feed))
        moves.extend(_ring(work, (ring[0], ring[1] - work.ball), figures.feed, label))
        before = ring
    moves.append(Rapid(x + rings[-1][0], y, bench.clear))
    return Operation(
        purpose="finish",
        cutter=work.cutter,
        cutting=figures,
        why=f"{len(rings)} rings {bench.say(pitch)} apart for a cusp of "
        f"{bench.say(sphere.ways.cusp)}; z is that of the tip of the ball",
        moves=tuple(moves),
        width_of_cut=pitch,
    )
