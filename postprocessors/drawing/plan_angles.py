"""What is written in the plan of slots at an angle: their sizes and their angle, with a leader."""

from __future__ import annotations

from pathgen.job.slot import Slot
from postprocessors.drawing.area_words import limited
from postprocessors.drawing.lettering import SMALL
from postprocessors.drawing.marks import CLEAR, leader, place_label
from postprocessors.drawing.plan_holes import DEGREES, TIMES
from postprocessors.drawing.scale import Extent, Units, View, sheet_box
from postprocessors.drawing.scene import Scene
from postprocessors.drawing.sheet import LABEL, Box, Point, Sheet, box_of


def name_slots_at_an_angle(sheet: Sheet, view: View, scene: Scene, room: Box) -> None:
    """Write beside each slot at an angle what dimensions along the axes cannot say."""
    blank = sheet_box(view, scene.plan_blank())
    for slot in scene.slots:
        if slot.turned is None:
            continue
        words = slot_in_short(slot, slot.turned.angle_deg, scene.units)
        around = sheet_box(view, Extent(*slot.box))
        places = [at for at in _beside(around) if not _on_outline(blank, words, at)]
        box = place_label(sheet, words, places or _beside(around), room)
        side = slot.width.nominal / 2 * (1.0 if box.centre[1] < around.centre[1] else -1.0)
        leader(sheet, box, view.at(*slot.point(0.0, slot.centre_line + side)))


def _beside(around: Box) -> list[Point]:
    """Return places for the words about a slot, best first."""
    x, off = around.centre[0], 4.0 + SMALL
    near = [(x, around.top - 4.0), (x, around.bottom + off)]
    far = [(x, around.top - 4.0 - off), (x, around.bottom + 2 * off)]
    return [*near, *far, (around.right + 18.0, around.top), (around.left - 18.0, around.bottom)]


def _on_outline(blank: Box, words: str, at: Point) -> bool:
    """Tell whether words at a place would cover a line of the blank."""
    own = box_of(at, words, LABEL).grown(CLEAR)
    level = any(own.top < edge < own.bottom for edge in (blank.top, blank.bottom))
    upright = any(own.left < edge < own.right for edge in (blank.left, blank.right))
    return level or upright


def slot_in_short(slot: Slot, angle_deg: float, units: Units) -> str:
    """Return the width, the length over the ends, and the angle to x of a slot."""
    length, width = limited(units, slot.length), limited(units, slot.width)
    return f"{width} {TIMES} {length} at {round(angle_deg, 3):g}{DEGREES} to x"
