"""Reading steps along the blank's edges, side cuts, and the facing of its top."""

from __future__ import annotations

from pathgen.input.getters import Table
from pathgen.input.where import listed
from pathgen.job.areas import Edge, Facing, Step, Strip
from pathgen.job.frame import FACES, Face, in_order
from pathgen.job.reading.areas import read_ways
from pathgen.job.reading.depth import read_depth
from pathgen.job.sizes import Size, general_size, read_position, read_size
from pathgen.job.stock import Workpiece

EDGES: tuple[tuple[Edge, Edge], ...] = (("left", "right"), ("front", "back"))  # of x and of y
NOTHING = Size(nominal=1.0, low=1.0, high=1.0, basis="none")


def read_step(table: Table, workpiece: Workpiece, tolerance_class: str) -> Step | None:
    """Read a step or a side cut along one edge, or alike along two opposite ones."""
    name = table.text("name")
    edges, faces = _edges(table, workpiece)
    low, high = workpiece.span(0 if edges[0] in EDGES[0] else 1)
    across = high - low
    width, left = _widths(table, across, len(edges), tolerance_class)
    depth = read_depth(table, workpiece, tolerance_class, "step")
    middle = None if len(edges) == 1 else read_position(table, "position", 0.0, tolerance_class)
    at_most = table.optional_length("at_most", above=0)
    ways = read_ways(table)
    table.no_more()
    if not table.faulty and width.high * len(edges) >= across:
        table.wrong(
            "width",
            f"up to {table.say(width.high)} off each of {len(edges)} edges of {table.say(across)}",
            "leave some of the blank standing",
        )
    if table.faulty:
        return None
    return Step(
        name=name,
        edges=edges,
        faces=tuple(workpiece.lie.called(face) for face in faces),
        width=width,
        left=left,
        middle=middle,
        depth=depth,
        at_most=at_most,
        ways=ways,
        strips=_strips(edges, width.high, workpiece),
        where=table.where(),
    )


def _edges(table: Table, workpiece: Workpiece) -> tuple[tuple[Edge, ...], tuple[Face, ...]]:
    """Return the edge of ``edge``, or the two opposite ones of ``edges``, and the blank's faces.

    The job calls them by the blank's faces, however it lies.
    """
    sides = {
        face: edge
        for axis in (0, 1)
        for face, edge in zip(workpiece.faces(axis), EDGES[axis], strict=True)
    }
    options = in_order(tuple(sides))
    one: Face | None = table.choice("edge", FACES) if table.has("edge") else None
    named = table.words("edges", options, among=FACES)
    if (one is None) == (not table.has("edges")):
        both = "missing" if one is None else "given beside edges"
        table.wrong("edge", both, "give edge, or edges with two opposite ones")
    if one is not None and one not in options:
        table.wrong("edge", f"the {one} face lies up or down", f"name {listed(options)}")
        return EDGES[1], options[:2]
    if one is not None:
        return (sides[one],), (one,)
    chosen = tuple(face for face in options if face in named)
    edges = tuple(sides[face] for face in chosen)
    if table.has("edges") and set(edges) not in (set(EDGES[0]), set(EDGES[1])):
        table.wrong("edges", ", ".join(named) or "none", "name two opposite ones")
        return EDGES[1], options[:2]
    return (edges, chosen) if edges else (EDGES[1], options[:2])


def _widths(
    table: Table, across: float, count: int, tolerance_class: str
) -> tuple[Size, Size | None]:
    """Return what is taken off at each edge and, where that is what is wanted, what is left."""
    if table.has("left") == table.has("width"):
        both = "given beside left" if table.has("left") else "missing"
        table.wrong("width", both, "give what is taken off (width), or what is left (left)")
    left: Size | None = None
    if table.has("left"):
        left = read_size(table, "left", table.length("left", above=0), tolerance_class)
    if table.has("width"):
        width = read_size(table, "width", table.length("width", above=0), tolerance_class)
        return width, left
    if left is None:
        return NOTHING, None
    each = (across - left.middle) / count
    if each <= 0:
        table.wrong(
            "left",
            f"{table.say(left.nominal)} of {table.say(across)}",
            "leave less than there is, as measured",
        )
        return NOTHING, left
    try:
        return general_size(each, tolerance_class), left
    except ValueError as error:
        table.wrong("left", str(error), "give width with its limits")
        return NOTHING, left


def _strips(edges: tuple[Edge, ...], width: float, workpiece: Workpiece) -> tuple[Strip, ...]:
    """Return the strip along each edge seen from above, mm."""
    (x0, x1), (y0, y1) = workpiece.span(0), workpiece.span(1)
    strips: dict[Edge, Strip] = {
        "left": (x0, y0, x0 + width, y1),
        "right": (x1 - width, y0, x1, y1),
        "front": (x0, y0, x1, y0 + width),
        "back": (x0, y1 - width, x1, y1),
    }
    return tuple(strips[edge] for edge in edges)


def read_facing(table: Table, workpiece: Workpiece, tolerance_class: str) -> Facing | None:
    """Read the facing of the whole top to a thickness, or by so much."""
    name = table.text("name")
    if table.has("thickness") == table.has("off"):
        both = "given beside off" if table.has("off") else "missing"
        table.wrong("thickness", both, "give what is left (thickness), or what comes off (off)")
    off = table.optional_length("off", above=0, most=workpiece.height)
    left = table.length("thickness", above=0) if table.has("thickness") else None
    wanted = left if left is not None else workpiece.height - (off or 0.0)
    thickness = read_size(table, "thickness", wanted, tolerance_class)
    at_most = table.optional_length("at_most", above=0)
    ways = read_ways(table)
    table.no_more()
    if not table.faulty and wanted >= workpiece.height:
        table.wrong(
            "thickness",
            f"{table.say(wanted)} of a blank {table.say(workpiece.height)} thick",
            "leave less than there is, as measured",
        )
    if table.faulty:
        return None
    (x0, x1), (y0, y1) = workpiece.span(0), workpiece.span(1)
    return Facing(
        name=name,
        thickness=thickness,
        off=workpiece.height - thickness.middle,
        at_most=at_most,
        ways=ways,
        strips=((x0, y0, x1, y1),),
        where=table.where(),
    )
