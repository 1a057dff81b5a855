"""Reading the outside of a part: the contour that is left standing, and its bridges."""

from __future__ import annotations

import math

from pathgen.input.getters import Table
from pathgen.job.areas import Bridge, Corners, Outside
from pathgen.job.contour import Contour, Spot, nearest_place
from pathgen.job.read_concentric import read_concentric
from pathgen.job.reading.areas import (
    CORNERS,
    contours,
    read_departure,
    read_file_to_line,
    read_ways,
    spot_words,
)
from pathgen.job.reading.depth import read_depth
from pathgen.job.sizes import read_position
from pathgen.job.stock import Workpiece

OFF_CONTOUR = 1.0  # mm that a bridge's place may lie off the contour and still be meant for it


def read_outside(table: Table, workpiece: Workpiece, tolerance_class: str) -> Outside | None:
    """Read an outside; positions are in the setup's frame. None when anything was wrong."""
    name = table.text("name")
    x, y = table.lengths("centre", count=2, default=(0.0, 0.0))
    found = contours(table, (x, y))
    departure = read_departure(table, "walls", found, tolerance_class)
    depth = read_depth(table, workpiece, tolerance_class, "outside")
    cleared = table.flag("cleared", default=False)
    corners: Corners = table.choice("corners", CORNERS, default="refused")
    file_to_line = read_file_to_line(table)
    places = [_bridge(each) for each in table.tables("bridge")]
    position = [read_position(table, "position", each, tolerance_class) for each in (x, y)]
    ways = read_ways(table)
    concentric = read_concentric(table)
    table.no_more()
    if table.faulty or not found:
        return None
    if len(found) > 1:
        key = "dxf" if table.has("dxf") else "contour"
        table.wrong(
            key,
            f"{len(found)} contours on the layer; an outside is one",
            "put what lies inside on a layer of its own, and cut it as a pocket or holes",
        )
    _guard(table, found[0], workpiece)
    bridges = _on_contour(table, found[0], places, workpiece)
    if places and depth is None and cleared:
        table.wrong("bridge", "bridges where all round is cleared", "leave out one of the two")
    if table.faulty:
        return None
    return Outside(
        name=name,
        contour=found[0],
        departure=departure,
        x=position[0],
        y=position[1],
        depth=depth,
        cleared=cleared,
        bridges=bridges,
        corners=corners,
        file_to_line=file_to_line,
        ways=ways,
        concentric=concentric,
        where=table.where(),
    )


def _bridge(table: Table) -> Bridge:
    """Read one ``[[...bridge]]``."""
    x, y = table.lengths("at", count=2)
    bridge = Bridge(
        at=(x, y),
        width=table.length("width", above=0),
        height=table.length("height", above=0),
    )
    table.no_more()
    return bridge


def _on_contour(
    table: Table, contour: Contour, places: list[Bridge], workpiece: Workpiece
) -> tuple[Bridge, ...]:
    """Return bridges moved on to the contour; records those that lie off it, or too high."""
    moved: list[Bridge] = []
    for row, bridge in enumerate(places):
        at: Spot = nearest_place(contour, bridge.at)
        if math.dist(at, bridge.at) > OFF_CONTOUR:
            table.wrong(
                "bridge",
                f"bridge {row + 1} lies {table.say(math.dist(at, bridge.at))} off the contour",
                f"put it at {spot_words(table, at)}",
            )
        if bridge.height >= workpiece.height:
            table.wrong("bridge", f"bridge {row + 1} is as high as the blank", "make it less high")
        moved.append(Bridge(at=at, width=bridge.width, height=bridge.height))
    return tuple(moved)


def _guard(table: Table, contour: Contour, workpiece: Workpiece) -> None:
    """Record a part that does not lie within the blank."""
    low, high = workpiece.box.low[:2], workpiece.box.high[:2]
    box = contour.box
    inside = (
        box[0] >= low[0] - 1e-9
        and box[1] >= low[1] - 1e-9
        and box[2] <= high[0] + 1e-9
        and box[3] <= high[1] + 1e-9
    )
    if not inside:
        table.wrong(
            "centre",
            f"the part goes from {spot_words(table, box[:2])} to {spot_words(table, box[2:])}, "
            f"the blank from {spot_words(table, low)} to {spot_words(table, high)}",
            "move it, or take a larger blank",
        )
