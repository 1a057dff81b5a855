"""Room for a fly cutter round a dish or dome: in the air, its body, what holds the work."""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.measured.finished import NOISE
from pathgen.check.spheres.measure_generated import FinishedSphere
from pathgen.job.spheres import farthest_corner
from pathgen.moves.actions import SetAngle, Zero
from pathgen.reckon.sphere_clearance import body_clearance
from pathgen.reckon.sphere_profile import Generator
from pathgen.reckon.spheres import sign

POINT = 0.5  # mm about the first touch where the face has to be whole
OVER = 1e-4  # mm: what sampling a smooth curve leaves open


def first_touch_findings(context: Context) -> Iterator[Finding]:
    """Yield first touches of the point, the work tilted, where no whole metal stands under it."""
    tilted = False
    for item, number in zip(context.run.items, context.run.numbers, strict=True):
        tilted = tilted or isinstance(item, SetAngle)
        if not tilted or not isinstance(item, Zero) or item.axis != "z":
            continue
        over = item.touches[0].over
        if over is None:
            what = "the first touch is taken at no known place"
        else:
            disc = shapely.Point(over).buffer(POINT)
            left = context.metal.metal_in(disc, context.box.high[2] - POINT / 10)
            if left.area >= disc.area * (1 - NOISE):
                continue
            what = f"the first touch, at x {over[0]:.2f} y {over[1]:.2f}, is over no whole metal"
        yield context.finding_by("touch", what, number, "touch where the face is whole")


def air_findings(context: Context, finished: FinishedSphere) -> Iterator[Finding]:
    """Yield ways in the air that take the circle into metal: what no turn has cleared yet."""
    corner = farthest_corner(finished.sphere, context.box)
    cleared: Generator | None = None
    for way in finished.ways:
        if way.generator is None:
            continue
        if way.whole:
            cleared = way.generator
        if not (way.rapid and way.rpm > 0):
            continue
        deep = max(
            (
                _metal_at(cleared, r) - z
                for r, z in way.generator.profile(2 * corner, samples=90)
                if r <= corner
            ),
            default=0.0,
        )
        if deep > NOISE + OVER:
            what = f"a way in the air goes {deep:.2f} mm into metal"
            yield context.finding_by("rapid", what, way.number, "stay above it", amount=deep)


def _metal_at(cleared: Generator | None, r: float) -> float:
    """Return how high the metal stands at a distance from the axis, mm."""
    if cleared is None:
        return 0.0
    form = sign(cleared.form)
    radius = cleared.circle / math.sin(math.radians(cleared.tilt_deg)) + form * cleared.nose
    centre = cleared.foot - cleared.nose + form * radius
    if r >= radius:
        return 0.0
    return min(centre - form * math.sqrt(radius**2 - r**2), 0.0)


def room_findings(context: Context, finished: FinishedSphere) -> Iterator[Finding]:
    """Yield a body or an arbor that meets the work, and what holds it in the way of the circle."""
    last = finished.last
    cutter = next((t.cutter for t in reversed(context.legs.tools) if t.cutter), None)
    if last is None or cutter is None or cutter.fly is None:
        return
    corner = farthest_corner(finished.sphere, context.box)
    free = body_clearance(last, cutter.fly_bodies(), corner)
    number = next(cut.number for cut in finished.cuts if cut.generator == last)
    if free < 0:
        yield context.finding_by(
            "body",
            f"the body of the {cutter.name} is {-free:.2f} mm in the work",
            number,
            "choose another tilt, or a cutter with more drop",
            amount=-free,
        )
    for keepout in context.setup.hold.keepouts:
        reach = _meets(last, (keepout.low, keepout.high))
        if reach:
            yield context.finding_by(
                "keep-out",
                f"the circle of the point comes into {keepout.name!r} as the work turns",
                number,
                "hold the blank lower, below the face",
            )


def _meets(
    generator: Generator, box: tuple[tuple[float, float, float], tuple[float, float, float]]
) -> bool:
    """Tell whether the circle comes into a box that turns with the work."""
    (x0, y0, z0), (x1, y1, z1) = box
    near = math.hypot(max(x0, -x1, 0.0), max(y0, -y1, 0.0))
    far = max(math.hypot(x, y) for x in (x0, x1) for y in (y0, y1))
    places = (generator.surface(math.pi * step / 180) for step in range(181))
    return any(near - NOISE <= r <= far and z0 <= z <= z1 for r, z in places)
