"""The finished sizes of a dish or dome cut by a fly cutter, with what the setting leaves open."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from pathgen.check.context import Context
from pathgen.check.findings import FinishedSize, Quantity
from pathgen.check.spheres.generated import Cut, beyond_last, last_turned, rim_of, with_errors
from pathgen.check.spheres.sizes import sphere_sizes, through
from pathgen.job.spheres import Sphere
from pathgen.moves.actions import SetAngle, SetSweep
from pathgen.reckon.arcs import depth_of_arc
from pathgen.reckon.sphere_profile import Generator, Place, departure, pip_height
from pathgen.reckon.sphere_steps import chord_at

TILT = "the tilt"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """What one standing of the circle leaves; lengths in mm."""

    radius: float  # of the sphere through its middle and its rim
    depth: float  # of a dish below the face, of a dome from its top to the foot of its chord
    chord: float
    worst: float  # departure from the wanted sphere, laid in where it fits best
    pip: float  # height of what stands in the middle


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What one doubt of the setting adds to a size, half widths; mm."""

    name: str
    within: float  # the doubt itself, mm; of the tilt in degrees
    unit: Literal["mm", "degrees"]
    radius: float
    depth: float
    chord: float
    worst: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedSphere:
    """A dish or dome as the moves leave it."""

    sphere: Sphere
    cuts: tuple[Cut, ...]
    ways: tuple[Cut, ...]  # those in the air as well
    last: Generator | None  # the circle that makes the surface
    shape: Shape | None
    parts: tuple[Part, ...]
    sizes: tuple[FinishedSize, ...]
    touch_off: float = 0.0  # how much too deep the first touch is taken in this case, mm


def measure_generated(context: Context, sphere: Sphere, ways: tuple[Cut, ...]) -> FinishedSphere:
    """Return a dish or dome as a run leaves it: from its deepest whole turn of the work."""
    cuts = tuple(way for way in ways if not way.rapid)
    last = last_turned(cuts)
    shape = None if last is None else shape_of(last, sphere)
    if last is not None and shape is not None:
        shape = replace(shape, worst=max(shape.worst, *_beyond(cuts, last, sphere)))
    parts: tuple[Part, ...] = ()
    sizes: tuple[FinishedSize, ...] = ()
    if last is not None and shape is not None:
        parts = tuple(_parts(context, last, sphere, shape))
        sizes = tuple(_sizes(sphere, shape, parts))
    return FinishedSphere(
        sphere=sphere, cuts=cuts, ways=ways, last=last, shape=shape, parts=parts, sizes=sizes
    )


def _beyond(cuts: Sequence[Cut], last: Generator, sphere: Sphere) -> list[float]:
    """Return how far each cut went beyond the surface of the last, mm; 0 for the last itself."""
    circles = [cut.generator for cut in cuts if cut.generator is not None]
    return [0.0, *(beyond_last(each, last, sphere) for each in circles if each != last)]


def shape_of(generator: Generator, sphere: Sphere) -> Shape | None:
    """Return what a standing of the circle leaves; None where it leaves no such surface."""
    rim = rim_of(generator) if sphere.form == "dish" else sphere.chord.nominal / 2
    if rim is None or rim <= 0:
        return None
    places = _surface(generator, sphere, 2 * rim)
    if len(places) < 3:
        return None
    inner, outer = places[0], (rim, 0.0) if sphere.form == "dish" else places[-1]
    radius = through(inner, outer, sphere.form)
    if radius is None:
        return None
    worst = departure(places, sphere.aim[0], sphere.form).worst
    return Shape(
        radius=radius,
        depth=_depth(generator) if sphere.form == "dish" else depth_of_arc(radius, 2 * rim),
        chord=2 * rim if sphere.form == "dish" else chord_at(radius, sphere.depth.nominal),
        worst=worst,
        pip=_pip(generator, sphere),
    )


def _surface(generator: Generator, sphere: Sphere, chord: float) -> list[Place]:
    """Return the places of the surface that is wanted: beside any hole in the middle."""
    return [place for place in generator.profile(chord) if place[0] >= sphere.hole / 2]


def _pip(generator: Generator, sphere: Sphere) -> float:
    """Return how high a pip stands, mm; none where a hole takes it away."""
    if 2 * generator.pip_radius <= sphere.hole:
        return 0.0
    return pip_height(generator.nose, generator.pip_radius, max(_depth(generator), 0.0))


def _depth(generator: Generator) -> float:
    """Return how deep below the face the lowest place of the surface is, mm."""
    return generator.nose - generator.foot


def _sizes(sphere: Sphere, shape: Shape, parts: Sequence[Part]) -> list[FinishedSize]:
    """Return the sizes beside those wanted, with the doubts of the setting added up."""
    found: dict[Quantity, tuple[float, float]] = {
        "radius": (shape.radius, sum(part.radius for part in parts)),
        "chord": (shape.chord, sum(part.chord for part in parts)),
        "depth": (shape.depth, sum(part.depth for part in parts)),
        "departure": (shape.worst, sum(part.worst for part in parts)),
        "pip": (shape.pip, 0.0),
    }
    return sphere_sizes(sphere, found)


def _parts(context: Context, last: Generator, sphere: Sphere, shape: Shape) -> list[Part]:
    """Return what each doubt of the setting adds: tilt, sweep, centring, axes, first touch."""
    items = context.run.items
    angle = next(item for item in reversed(items) if isinstance(item, SetAngle))
    sweep = next(item for item in reversed(items) if isinstance(item, SetSweep))
    doubt = context.run.doubt
    tilt = context.machine.tilt
    assert tilt is not None
    centring = doubt.zero[0] + doubt.setting[0]
    meets = max(doubt.zero[1] + doubt.setting[1], tilt.meets_within)
    touch = max(doubt.zero[2], context.setup.datum_z.uncertainty) + doubt.setting[2]
    leans = max(angle.uncertainty_deg, tilt.uncertainty_deg)
    ways = (-1, 1)
    made: dict[str, tuple[float, list[Generator]]] = {
        TILT: (leans, [with_errors(last, tilt_deg=way * leans) for way in ways]),
        "the sweep": (
            sweep.uncertainty,
            [with_errors(last, sweep=way * sweep.uncertainty) for way in ways],
        ),
        "the centring": (centring, [with_errors(last, short=way * centring) for way in ways]),
        "the meeting of the axes": (meets, [replace(last, miss=abs(last.miss) + meets)]),
        "the first touch": (touch, [replace(last, foot=last.foot + way * touch) for way in ways]),
    }
    return [
        _part((name, within), shape, circles, sphere) for name, (within, circles) in made.items()
    ]


def _part(
    doubt: tuple[str, float], shape: Shape, circles: Sequence[Generator], sphere: Sphere
) -> Part:
    """Return the most that a doubt moves each size, over the circles at its ends."""
    found = [each for each in (shape_of(circle, sphere) for circle in circles) if each is not None]

    def most(size: str) -> float:
        return max((abs(getattr(each, size) - getattr(shape, size)) for each in found), default=0.0)

    return Part(
        name=doubt[0],
        within=doubt[1],
        unit="degrees" if doubt[0] == TILT else "mm",
        radius=most("radius"),
        depth=most("depth"),
        chord=most("chord"),
        worst=most("worst"),
    )
