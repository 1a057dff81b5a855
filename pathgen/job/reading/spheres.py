"""Reading dishes and domes: two of radius, chord and depth, or all three if they agree."""

from __future__ import annotations

from functools import partial
from itertools import product

from pathgen.input.getters import Table
from pathgen.job.holes import Place
from pathgen.job.sizes import Size, read_position, read_size
from pathgen.job.spheres import (
    FOLLOWS,
    Form,
    Sphere,
    SphereTool,
    SphereWay,
    SphereWays,
    farthest_corner,
)
from pathgen.job.stock import Workpiece
from pathgen.reckon.arcs import depth_of_arc, radius_from_chord
from pathgen.reckon.sphere_steps import chord_at

SIZES = ("radius", "chord", "depth")
TOOLS: tuple[SphereTool, ...] = ("fly cutter", "ball-nose", "round-nose")
WAYS: tuple[SphereWay, ...] = ("rings", "spiral")
DEPARTURE = 0.05  # mm off the sphere, where a job does not say (common practice, no source)
FLOOR = 1.0  # mm of metal that stays under a dish


def read_sphere(
    table: Table, workpiece: Workpiece, tolerance_class: str, form: Form
) -> Sphere | None:
    """Read one dish or dome; None when anything was wrong."""
    name = table.text("name")
    x, y = _pair(table.lengths("at", count=2, default=(0.0, 0.0)))
    sizes = read_sphere_sizes(table, tolerance_class)
    departure = table.length("departure", default=DEPARTURE, above=0, most=1)
    hole = table.length("hole", default=0.0, least=0)
    place = Place(
        x=read_position(table, "at", x, tolerance_class),
        y=read_position(table, "at", y, tolerance_class),
    )
    ways_table = table.optional_table("ways")
    ways = SphereWays() if ways_table is None else _ways(ways_table)
    table.no_more()
    if table.faulty or sizes is None:
        return None
    sphere = Sphere(
        name=name,
        form=form,
        place=place,
        radius=sizes["radius"],
        chord=sizes["chord"],
        depth=sizes["depth"],
        departure=Size(
            nominal=0.0,
            low=0.0,
            high=departure,
            basis="own limits" if table.has("departure") else "common practice",
            where=table.where(),
        ),
        hole=hole,
        ways=ways,
        where=table.where(),
    )
    return sphere if _fits(table, sphere, workpiece) else None


read_dish = partial(read_sphere, form="dish")
read_dome = partial(read_sphere, form="dome")


def _pair(values: tuple[float, ...]) -> tuple[float, float]:
    return (values[0], values[1]) if len(values) == 2 else (0.0, 0.0)


def read_sphere_sizes(table: Table, tolerance_class: str) -> dict[str, Size] | None:
    """Return the three sizes: those given, and what follows from them."""
    given = {key: table.length(key, above=0) for key in SIZES if table.has(key)}
    sizes = {key: read_size(table, key, value, tolerance_class) for key, value in given.items()}
    for key in SIZES:
        if key not in given and table.has(f"{key}_limits"):
            table.wrong(f"{key}_limits", f"limits of a {key} that is not given", f"give {key}")
    if len(given) < 2:
        said = " and ".join(given) or "none"
        table.wrong(
            "radius", f"{said} of radius, chord and depth", "give two of the three, or all three"
        )
    return None if table.faulty else _completed(table, sizes)


def _completed(table: Table, sizes: dict[str, Size]) -> dict[str, Size] | None:
    """Return the sizes with the third that follows from two; None if they do not agree."""
    try:
        if len(sizes) == len(SIZES):
            return sizes if _agreed(table, sizes) else None
        missing = next(key for key in SIZES if key not in sizes)
        return sizes | {missing: _following(sizes, missing)}
    except ValueError as error:
        wrong, _, right = str(error).partition("; ")
        table.wrong(next(iter(sizes)), wrong, right or "give sizes of at most half a ball")
        return None


def _third(missing: str, first: float, second: float) -> float:
    """Return the size that follows from the other two, given in the order of `SIZES`; mm."""
    if missing == "radius":
        return radius_from_chord(first, second)
    if missing == "chord":
        if second > first:
            raise ValueError("deeper than its radius; give a depth of at most the radius")
        return chord_at(first, second)
    return depth_of_arc(first, second)


def _following(sizes: dict[str, Size], missing: str) -> Size:
    """Return the size that is not given, between what the others allow."""
    first, second = (sizes[key] for key in SIZES if key != missing)
    reached = [
        _third(missing, one, two)
        for one, two in product((first.low, first.high), (second.low, second.high))
    ]
    nominal = _third(missing, first.nominal, second.nominal)
    return Size(
        nominal=nominal,
        low=min(nominal, *reached),
        high=max(nominal, *reached),
        basis=FOLLOWS,
        where=first.where,
    )


def _agreed(table: Table, sizes: dict[str, Size]) -> bool:
    """Tell whether three sizes agree; record that they do not."""
    radius, chord, depth = (sizes[key] for key in SIZES)
    right = depth_of_arc(radius.nominal, chord.nominal)
    agrees = depth.low <= right <= depth.high
    if not agrees:
        table.wrong(
            "depth",
            f"{table.say(depth.nominal)}, while radius and chord make it {table.say(right)}",
            "leave out one of the three, or mend it",
        )
    return agrees


def _ways(table: Table) -> SphereWays:
    """Read how the job wants it cut."""
    ways = SphereWays(
        by=table.choice("by", TOOLS) if table.has("by") else None,
        way=table.choice("way", WAYS) if table.has("way") else None,
        cutter=table.text("cutter") if table.has("cutter") else None,
        tilt_deg=table.optional_number("tilt_deg", above=0, most=80),
        cusp=table.optional_length("cusp", above=0, most=1),
        depth_of_cut=table.optional_length("depth_of_cut", above=0),
    )
    table.no_more()
    return ways


def _fits(table: Table, sphere: Sphere, workpiece: Workpiece) -> bool:
    """Record a dish or dome that the blank has no room for, or a hole as wide as it."""
    x0, y0, x1, y1 = sphere.box
    (low_x, low_y, _), (high_x, high_y, _) = workpiece.box
    if sphere.form == "dome":
        _guard_all_over(table, sphere, workpiece)
    elif x0 < low_x or y0 < low_y or x1 > high_x or y1 > high_y:
        table.wrong(
            "at",
            f"{table.say(sphere.chord.high)} across about x {table.say(sphere.at[0])} y "
            f"{table.say(sphere.at[1])} reaches out of the blank",
            "move it, or give a smaller chord",
        )
    if sphere.depth.high + FLOOR > workpiece.height:
        table.wrong(
            "depth" if table.has("depth") else "radius",
            f"up to {table.say(sphere.depth.high)} deep in a blank "
            f"{table.say(workpiece.height)} thick",
            "give a shallower one, or a thicker blank",
        )
    if sphere.hole >= sphere.chord.low:
        table.wrong("hole", f"{table.say(sphere.hole)} takes away all of it", "give a smaller hole")
    return not table.faulty


def _guard_all_over(table: Table, sphere: Sphere, workpiece: Workpiece) -> None:
    """Record a dome that does not cover the whole of the upper face, corners too."""
    widest = 2 * farthest_corner(sphere, workpiece.box)
    if sphere.chord.low < widest:
        table.wrong(
            "chord",
            f"{table.say(sphere.chord.low)} across at the foot, the blank's corners are "
            f"{table.say(widest)} across",
            "let the dome cover the whole face: a fly cutter's circle would cut what stands round "
            "it, and a round end leaves its own radius in the corner at the foot; one with a "
            "shoulder round it belongs on the lathe",
        )
