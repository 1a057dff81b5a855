"""Areas in words and figures, for the notes and beside the plan."""

from __future__ import annotations

from typing import assert_never

from pathgen.job.areas import Facing, Free, Outside, Pocket, Rectangular, Round, Step
from pathgen.job.job import Area
from pathgen.job.sizes import Size
from postprocessors.drawing.lettering import SMALL
from postprocessors.drawing.marks import place_label
from postprocessors.drawing.plan_holes import DIAMETER, TIMES, concentric_words
from postprocessors.drawing.scale import Extent, Units, View, sheet_box
from postprocessors.drawing.scene import Scene
from postprocessors.drawing.sheet import Box, Sheet


def limited(units: Units, size: Size) -> str:
    """Return a size with limits of its own, else bare."""
    words = units.number(size.nominal)
    if not size.own:
        return words
    return f"{words} ({units.number(size.low)} to {units.number(size.high)})"


def name_areas(sheet: Sheet, view: View, scene: Scene, room: Box) -> None:
    """Write the diameter beside each round pocket, which has no dimension of its own."""
    for area in scene.areas:
        if isinstance(area, Pocket) and isinstance(area.shape, Round):
            box = sheet_box(view, Extent(*area.contour.box))
            words = f"{DIAMETER}{limited(scene.units, area.shape.diameter)}"
            x, _ = box.centre
            places = [(x, box.top - 2.0), (x, box.bottom + 2.0 + SMALL), (x, box.centre[1])]
            place_label(sheet, words, places, room)


def in_full(area: Area, units: Units) -> str:
    """Return an area in words, for the notes."""
    number = units.number
    match area:
        case Pocket():
            parts = [f"{area.name}: pocket {_shape_words(area, units)}"]
            if area.islands:
                count = len(area.islands)
                parts.append(f"{count} island{'s' if count > 1 else ''} left standing")
        case Outside():
            rest = "the rest cleared away" if area.cleared else "cut free"
            parts = [f"{area.name}: outside, {rest}"]
            if area.bridges:
                parts.append(f"{len(area.bridges)} bridges")
        case Step():
            of = f"along {' and '.join(area.edges)}"
            parts = [f"{area.name}: {'side cut' if area.through else 'step'} {of}"]
        case Facing():
            return (
                f"{area.name}: whole top faced, {number(area.off)} off, "
                f"{limited(units, area.thickness)} thick"
            )
        case _:
            assert_never(area)
    parts.append("through" if area.depth is None else f"{limited(units, area.depth)} deep")
    if isinstance(area, Pocket | Outside) and area.concentric is not None:
        parts.append(concentric_words(area.concentric, units))
    return ", ".join(parts)


def _shape_words(pocket: Pocket, units: Units) -> str:
    match pocket.shape:
        case Round(diameter=size):
            return f"{DIAMETER}{limited(units, size)}"
        case Rectangular(length=length, width=width, corner=corner):
            sizes = f"{units.number(length.nominal)} {TIMES} {units.number(width.nominal)}"
            return f"{sizes}, corners R{units.number(corner)}"
        case Free():
            return "to its contour"
        case _:
            assert_never(pocket.shape)
