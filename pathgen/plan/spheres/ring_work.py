"""A dish or dome by a round-ended mill in level rings: which mill, roughing steps, last rings."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, TypeAlias

from pathgen.input.where import Refusal
from pathgen.job.spheres import Sphere, farthest_corner
from pathgen.plan.bench import Bench, even_depths
from pathgen.plan.cutting import slot_depth
from pathgen.plan.heights import reaches
from pathgen.reckon.sphere_rings import (
    Ring,
    RoundEnd,
    finishing_rings,
    least_touch,
    pitch_for_cusp,
    spiral,
)
from pathgen.reckon.sphere_steps import depth_of_dome_rim
from pathgen.reckon.spheres import sign
from pathgen.shop.cutters import Cutter

ALLOWANCE = 0.3  # mm that roughing leaves all over (common practice, no source)
# How far apart the rings of one step lie: of the corner's radius, and of the diameter at most
# (common practice, no source)
ROUGH_PITCH, ROUGH_SHARE = 0.6, 0.5
# How deep a step is at most, of the diameter and of the corner's radius: the finish cuts what it
# leaves (common practice, no source)
ROUGH_STEP, ROUGH_CORNER = 0.12, 0.75
SMALLER = 0.8  # of a dish's radius, at most, that of the corner
CUSP, CUSP_BY_HAND = 0.005, 0.02  # mm, the highest ridge, where a job does not say


RoundEnded: TypeAlias = Literal["ball-nose", "round-nose"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """One dish or dome, its mill and its figures; lengths in mm."""

    sphere: Sphere
    bench: Bench
    cutter: Cutter
    end: RoundEnd
    radius: float
    depth: float
    half: float  # of the width that is cut

    @property
    def dish(self) -> bool:
        """Return whether it is hollow."""
        return self.sphere.form == "dish"

    @property
    def middle(self) -> float:
        """Return the height of the lowest place of a dish, or of the top of a dome."""
        return -self.depth if self.dish else 0.0

    @property
    def centre(self) -> float:
        """Return the height of the sphere's centre."""
        return self.middle + sign(self.sphere.form) * self.radius

    @property
    def path(self) -> float:
        """Return the radius of the sphere that the middle of the corner stays on."""
        return self.radius - sign(self.sphere.form) * self.end.corner

    @property
    def cusp(self) -> float:
        """Return the highest ridge that may be left."""
        usual = CUSP if self.bench.machine.interpolates else CUSP_BY_HAND
        return self.sphere.ways.cusp or usual

    @property
    def pitch(self) -> float:
        """Return how far apart the last rings are at most, along the surface."""
        return pitch_for_cusp(self.end.corner, self.radius, self.cusp, self.sphere.form)

    @property
    def rings(self) -> tuple[Ring, ...]:
        """Return the last rings, from the axis outwards: radius, and height of the cutter's end."""
        reach = (self.half, self.middle)
        form, corner = self.sphere.form, self.end.corner
        return tuple(
            (radius, height - corner)
            for radius, height in finishing_rings(self.radius, self.end, form, reach, self.pitch)
        )

    def spiral(self, chord: float) -> tuple[tuple[float, float, float], ...]:
        """Return places along the last spiral, from the axis: x, y, height of the cutter's end.

        Args:
            chord: how far straights from place to place lie off it at most, seen from above; mm.
        """
        reach, steps = (self.half, self.middle), (self.pitch, chord)
        places = spiral(self.radius, self.end, self.sphere.form, reach, steps)
        return tuple((x, y, height - self.end.corner) for x, y, height in places)

    @property
    def rough_pitch(self) -> float:
        """Return how far apart the rings of one roughing step are at most."""
        wide = 2 * self.end.flat + ROUGH_PITCH * self.end.corner
        return min(wide, ROUGH_SHARE * self.cutter.diameter)

    @property
    def step(self) -> float:
        """Return the most depth of one roughing step."""
        deepest = slot_depth(self.bench.machine, self.cutter, self.bench.material)
        low = min(ROUGH_STEP * self.cutter.diameter, ROUGH_CORNER * self.end.corner)
        return self.sphere.ways.depth_of_cut or min(deepest, low)

    @property
    def levels(self) -> tuple[float, ...]:
        """Return the heights of the roughing steps."""
        bottom = -self.depth
        if self.dish:
            path = self.path - ALLOWANCE
            bottom = self.centre - math.sqrt(path**2 - self.end.flat**2) - self.end.corner
        return even_depths(0.0, bottom, self.step)

    def level_radii(self, z: float) -> list[float]:
        """Return the radii of a step's rings: in a dish from the axis outwards, else inwards."""
        way = sign(self.sphere.form)
        path = self.path - way * ALLOWANCE
        up = self.centre - (z + self.end.corner)
        corner = math.sqrt(max(path**2 - up**2, 0.0)) if abs(up) < path else 0.0
        limit = max(corner - way * self.end.flat, 0.0)
        beside = self.half + max(self.cutter.radius / 2, self.end.flat)
        first = 0.0 if self.dish else max(beside, limit)
        count = math.ceil(abs(limit - first) / self.rough_pitch - 1e-9)
        return [first + (limit - first) * step / max(count, 1) for step in range(count + 1)]

    def place(self, ring: Ring) -> tuple[float, float]:
        """Return how far off the axis a ring touches the surface, and how deep below the face."""
        radius, tip = ring
        way = sign(self.sphere.form)
        corner = max(radius + way * self.end.flat, 0.0)
        share = self.radius / self.path
        return corner * share, -self.centre - (tip + self.end.corner - self.centre) * share


def work_for(sphere: Sphere, bench: Bench, kind: RoundEnded) -> Work:
    """Return a dish or dome with the mill of a kind that cuts it.

    Raises:
        Refusal: the crib has none that goes in and touches all of it; says what would do.
    """
    cutter = _cutter(sphere, bench, kind)
    end = cutter.round_end
    assert end is not None
    radius, depth = sphere.aim
    half = math.sqrt(depth * (2 * radius - depth))
    if sphere.form == "dome":
        half = farthest_corner(sphere, bench.job.blank_box(bench.setup)) + 1e-3
        depth = depth_of_dome_rim(radius, 2 * half)
    return Work(
        sphere=sphere,
        bench=bench,
        cutter=cutter,
        end=end,
        radius=radius,
        depth=depth,
        half=half,
    )


def _cutter(sphere: Sphere, bench: Bench, kind: RoundEnded) -> Cutter:
    """Return the largest mill of a kind that does, or the one that is named."""
    radius, depth = sphere.aim
    if sphere.ways.cutter is not None:
        where = sphere.where.at("ways.cutter")
        cutter = bench.named(sphere.ways.cutter, (kind,), where)
        unfit = _unfit(cutter, sphere, bench)
        if unfit:
            raise Refusal(where, f"cut {sphere.name!r} with the {cutter.name}: {unfit}", "another")
        return cutter
    missed = [unfit for each in bench.of_kind(kind) if (unfit := _unfit(each, sphere, bench))]
    found = bench.largest((kind,), 2 * radius, lambda each: not _unfit(each, sphere, bench))
    if found is None:
        raise Refusal(
            sphere.where,
            f"the crib has no {kind} for {sphere.name!r}, radius {bench.say(radius)}, "
            f"{bench.say(depth)} deep" + (f": {missed[-1]}" if missed else ""),
            "add one, or use a machine with a [tilt] and a fly cutter",
        )
    return found


def _unfit(cutter: Cutter, sphere: Sphere, bench: Bench) -> str:
    """Return why a mill does not do; empty if it does."""
    radius, depth = sphere.aim
    end = cutter.round_end
    assert end is not None
    if not reaches(cutter, -depth):
        return "its flutes are too short"
    if sphere.form == "dome":
        return ""
    if end.corner > SMALLER * radius:
        return "its round end is too large for the hollow"
    if not cutter.cuts_at_centre:
        return "it does not cut at its centre, and has to go straight down"
    level = 2 * least_touch(radius, end, "dish")
    if not level or level <= sphere.hole:
        return ""
    gone = f"takes away {bench.say(sphere.hole)}" if sphere.hole else "would have to take it away"
    return (
        f"its flat leaves the middle level, {bench.say(round(level, 2))} across, and a hole "
        f"through it {gone}"
    )
