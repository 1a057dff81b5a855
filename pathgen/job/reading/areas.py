"""Reading pockets, outsides, steps and facings: their contour, where they lie, their limits."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal, cast

from pathgen.input.getters import Table
from pathgen.job.areas import (
    AreaWays,
    Corners,
    Entry,
    Free,
    Pocket,
    Rectangular,
    Round,
    Shape,
    Way,
)
from pathgen.job.contour import Contour, Spot
from pathgen.job.drawn import drawn_contours
from pathgen.job.read_concentric import read_concentric
from pathgen.job.reading.contour import read_corners, read_rectangle, read_round, sound
from pathgen.job.reading.depth import read_depth
from pathgen.job.sizes import Size, general_size, read_position, read_size
from pathgen.job.stock import Workpiece
from pathgen.reckon.general_tolerances import general_chamfer

FORMS = ("round", "rectangle", "contour", "dxf")
WAYS: tuple[Way, ...] = ("chain drilled", "ring by ring")
ENTRIES: tuple[Entry, ...] = ("helix", "ramp")
CORNERS: tuple[Corners, ...] = ("refused", "left")
MOST_FILED = 1.0  # mm that are filed off a wall at most (common practice, no source)
LEAST_CORNER = 0.5  # mm: general tolerances of smaller corners are those of this one
LEAST_WALL_SIZE = 1.0  # mm: general tolerances of smaller lengths are those of this one
EDGE = 1e-9


def read_pocket(table: Table, workpiece: Workpiece, tolerance_class: str) -> Pocket | None:
    """Read a pocket; positions are in the setup's frame. None when anything was wrong."""
    name = table.text("name")
    x, y = table.lengths("centre", count=2, default=(0.0, 0.0))
    found = contours(table, (x, y))
    islands = tuple(
        island for each in table.tables("island") if (island := _island(each)) is not None
    )
    shape = _shape(table, found[:1], tolerance_class)
    walls = read_departure(table, "island_walls", found[:1], tolerance_class)
    depth = read_depth(table, workpiece, tolerance_class, "pocket")
    corners = table.choice("corners", CORNERS, default="refused")
    file_to_line = read_file_to_line(table)
    place = tuple(read_position(table, "position", each, tolerance_class) for each in (x, y))
    ways = read_ways(table)
    concentric = read_concentric(table)
    table.no_more()
    if table.faulty or not found:
        return None
    contour, islands = found[0], (*found[1:], *islands)
    if islands and depth is None:
        table.wrong("island", "islands in a pocket that goes through", "leave them out: they drop")
    _guard_islands(table, contour, islands)
    _guard_within(table, contour, workpiece)
    if table.faulty:
        return None
    return Pocket(
        name=name,
        contour=contour,
        shape=shape,
        islands=islands,
        island_departure=walls if islands else None,
        x=place[0],
        y=place[1],
        depth=depth,
        corners=corners,
        file_to_line=file_to_line,
        ways=ways,
        concentric=concentric,
        where=table.where(),
    )


def contours(table: Table, at: Spot) -> list[Contour]:
    """Return the contour from the one way that it was given, and with a drawing its islands."""
    given = [key for key in FORMS if table.has(key)]
    found: list[Contour | None] = []
    if table.has("round"):
        found.append(read_round(table, at))
    if table.has("rectangle"):
        found.append(read_rectangle(table, at))
    elif table.has("corner_radius"):
        table.wrong("corner_radius", "given without rectangle", "round corners one by one")
    if table.has("contour"):
        found.append(read_corners(table, "contour", at))
    drawing = table.optional_table("dxf")
    if drawing is not None:
        found.extend(read_drawn(drawing, at))
    if len(given) != 1:
        what = f"{' and '.join(given)} given" if given else "missing"
        table.wrong(FORMS[0], what, f"give the shape by one of {', '.join(FORMS)}")
    return [contour for contour in found if contour is not None]


def read_drawn(table: Table, at: Spot) -> list[Contour]:
    """Read ``dxf = { file, layer, units }``: the contours of a layer, the outermost first."""
    file = table.text("file")
    layer = table.text("layer")
    units = table.choice("units", ("mm", "in")) if table.has("units") else None
    table.no_more()
    beside = table.source.path
    if table.faulty or beside is None:
        return []
    try:
        found = drawn_contours(
            beside.parent / file, layer, cast("Literal['mm', 'in'] | None", units)
        )
    except ValueError as error:
        wrong, _, right = str(error).partition("; ")
        table.wrong("file" if "layer" not in wrong else "layer", wrong, right)
        return []
    placed = [each.moved(*at) for each in found]
    return [each for contour in placed if (each := sound(table, "layer", contour)) is not None]


def _island(table: Table) -> Contour | None:
    """Read one island: of the same forms as a pocket, but for a drawing."""
    x, y = table.lengths("centre", count=2, default=(0.0, 0.0))
    given = [key for key in FORMS[:3] if table.has(key)]
    readers: dict[str, Callable[[], Contour | None]] = {
        "round": lambda: read_round(table, (x, y)),
        "rectangle": lambda: read_rectangle(table, (x, y)),
        "contour": lambda: read_corners(table, "contour", (x, y)),
    }
    found = [readers[key]() for key in given]
    table.no_more()
    if len(given) != 1:
        table.wrong("round", f"{len(given)} shapes given", "give round, rectangle or contour")
        return None
    return None if table.faulty else found[0]


def _shape(table: Table, found: list[Contour], tolerance_class: str) -> Shape:
    """Return the sizes that a contour is judged by, with their limits."""
    box = found[0].box if found else (0.0, 0.0, 1.0, 1.0)
    if table.has("round"):
        return Round(diameter=read_size(table, "diameter", box[2] - box[0], tolerance_class))
    if table.has("rectangle"):
        corner = table.length("corner_radius", default=0.0, least=0)
        low, high = _corner_limits(corner, tolerance_class)
        return Rectangular(
            length=read_size(table, "length", box[2] - box[0], tolerance_class),
            width=read_size(table, "width", box[3] - box[1], tolerance_class),
            corner=corner,
            corner_low=low,
            corner_high=high,
        )
    return Free(departure=read_departure(table, "walls", found, tolerance_class))


def read_file_to_line(table: Table) -> float | None:
    """Read how much a person agrees to file off walls that handles leave in steps, at most, mm."""
    granted = table.optional_length("file_to_line", above=0)
    if granted is not None and granted > MOST_FILED:
        table.wrong(
            "file_to_line",
            f"{table.say(granted)} to file",
            f"give {table.say(MOST_FILED)} at most: more is work for a cutter",
        )
    return granted


def _corner_limits(radius: float, tolerance_class: str) -> tuple[float, float]:
    """Return the least and the largest radius that a corner may have, mm.

    Source: ISO 2768-1:1989, table 2, external radii; taken for internal ones too (common practice,
    no source).
    """
    plus_minus = general_chamfer(max(radius, LEAST_CORNER), tolerance_class)
    return max(radius - plus_minus, 0.0), radius + plus_minus


def read_departure(table: Table, key: str, found: list[Contour], tolerance_class: str) -> Size:
    """Read how far walls may lie off their contour, plus and minus; else half the general one."""
    plus_minus = table.optional_length(key, above=0)
    if plus_minus is not None:
        return Size(
            nominal=0.0,
            low=-plus_minus,
            high=plus_minus,
            basis="own limits",
            where=table.where(key),
        )
    box = found[0].box if found else (0.0, 0.0, 1.0, 1.0)
    across = max(min(box[2] - box[0], box[3] - box[1]), LEAST_WALL_SIZE)
    try:
        general = general_size(across, tolerance_class)
    except ValueError as error:
        table.wrong(key, str(error), f"give {key}, plus or minus")
        return Size(nominal=0.0, low=-1.0, high=1.0, basis="none")
    half = (general.high - general.low) / 4  # two walls share what a size between them may be off
    return Size(nominal=0.0, low=-half, high=half, basis=general.basis)


def _guard_islands(table: Table, contour: Contour, islands: tuple[Contour, ...]) -> None:
    """Record islands that do not stand within the pocket, apart from each other."""
    import shapely  # noqa: PLC0415 - heavy; only pockets with islands need it

    if not islands:
        return
    pocket = shapely.Polygon(contour.points(0.001))
    shapes = [shapely.Polygon(island.points(0.001)) for island in islands]
    for row, shape in enumerate(shapes):
        if not pocket.contains(shape) or shape.distance(pocket.exterior) < EDGE:
            table.wrong(
                "island", f"island {row + 1} does not lie within the pocket", "move or shrink it"
            )
        elif any(shape.intersects(other) for other in shapes[:row]):
            table.wrong("island", f"island {row + 1} runs into another", "make one of the two")


def _guard_within(table: Table, contour: Contour, workpiece: Workpiece) -> None:
    """Record a pocket that runs out of the blank."""
    low, high = workpiece.box.low[:2], workpiece.box.high[:2]
    box = contour.box
    if box[0] <= low[0] or box[1] <= low[1] or box[2] >= high[0] or box[3] >= high[1]:
        key = next((each for each in FORMS if table.has(each)), "centre")
        table.wrong(
            key,
            f"the pocket goes from {spot_words(table, box[:2])} to {spot_words(table, box[2:])}, "
            f"the blank from {spot_words(table, low)} to {spot_words(table, high)}",
            "move it or make it smaller; what runs out at an edge is a step or an open slot",
        )


def spot_words(table: Table, spot: Sequence[float]) -> str:
    """Return a place in words, in the table's units."""
    return f"x {table.say(spot[0])} y {table.say(spot[1])}"


def read_ways(table: Table) -> AreaWays:
    """Read ``ways = { ... }``: how the job wants an area cut."""
    inner = table.optional_table("ways")
    if inner is None:
        return AreaWays()
    ways = AreaWays(
        way=inner.choice("way", WAYS) if inner.has("way") else None,
        entry=inner.choice("entry", ENTRIES) if inner.has("entry") else None,
        drill=inner.optional_text("drill"),
        least_web=inner.optional_length("least_web", least=0),
        allowance=inner.optional_length("allowance", above=0),
        rough=inner.optional_text("rough"),
        finish=inner.optional_text("finish"),
        depth_of_cut=inner.optional_length("depth_of_cut", above=0),
        width_of_cut=inner.optional_length("width_of_cut", above=0),
        climb=inner.flag("climb", default=False) if inner.has("climb") else None,
    )
    inner.no_more()
    return ways
