"""What is written in the plan and can be moved: the zero, faces, hole numbers, names, flags."""

from __future__ import annotations

import math

from pathgen.job.frame import Way
from pathgen.job.job import Keepout
from pathgen.job.slot import Slot
from postprocessors.drawing.area_words import name_areas
from postprocessors.drawing.found import flags
from postprocessors.drawing.lettering import SMALL, width_of
from postprocessors.drawing.marks import CLEAR, datum_triangle, flag, leader, place_label, zero_mark
from postprocessors.drawing.plan_angles import name_slots_at_an_angle
from postprocessors.drawing.plan_holes import name_holes
from postprocessors.drawing.scale import Extent, View, sheet_box
from postprocessors.drawing.scene import Scene, plan_of, within
from postprocessors.drawing.sheet import LABEL, Box, Point, Sheet, box_of

# Where along a face its datum is marked, as shares of its length, best first.
ALONG_FACE = (0.86, 0.72, 0.3, 0.5, 0.14)


def label_plan(sheet: Sheet, view: View, scene: Scene, room: Box) -> None:
    """Write what can be moved out of the way; it stays within a room of the sheet."""
    zero_mark(sheet, view.at(0.0, 0.0), room)
    _draw_datums(sheet, view, scene, room)
    name_areas(sheet, view, scene, room)
    name_holes(sheet, view, scene, room)
    _number_holes(sheet, view, scene, room)
    name_slots_at_an_angle(sheet, view, scene, room)
    for keepout in scene.setup.hold.keepouts:
        _name_keepout(sheet, view, scene, (keepout, room))
    window = scene.plan_window(view.scale)
    for number, (x, y) in flags(scene.findings):
        shown = min(max(x, window[0]), window[2]), min(max(y, window[1]), window[3])
        flag(sheet, view.at(*shown), number, room)


def _draw_datums(sheet: Sheet, view: View, scene: Scene, room: Box) -> None:
    """Mark the faces that are touched for the zeros of x and y."""
    for letter, datum in (("X", scene.setup.datum_x), ("Y", scene.setup.datum_y)):
        for face in datum.faces if datum.picked is None else ():
            foot, outward = _face_mark(sheet, view, scene, scene.setup.lie.side(face))
            datum_triangle(sheet, foot, outward, letter, room)


def _face_mark(sheet: Sheet, view: View, scene: Scene, side: Way) -> tuple[Point, Point]:
    """Return where to mark the face on a side, clear of clamps and lettering; which way is out."""
    x0, y0, x1, y1 = scene.plan_blank()
    boxes = [plan_of(keepout) for keepout in scene.setup.hold.keepouts]
    found: list[tuple[bool, bool, int, Point, Point]] = []
    for share in ALONG_FACE:
        x, y = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
        place, outward = {
            Way(0, -1): ((x0, y), (-1.0, 0.0)),
            Way(0, 1): ((x1, y), (1.0, 0.0)),
            Way(1, -1): ((x, y0), (0.0, 1.0)),
            Way(1, 1): ((x, y1), (0.0, -1.0)),
        }[side]
        foot = view.at(*place)
        middle = (foot[0] + 4.0 * outward[0], foot[1] + 4.0 * outward[1])
        free = sheet.free(Box(*middle, *middle).grown(3.4), Box(0.0, 0.0, 297.0, 210.0))
        covered = any(within(box, *place) for box in boxes)
        found.append((covered, not free, len(found), foot, outward))
    return min(found)[3:]


def _number_holes(sheet: Sheet, view: View, scene: Scene, room: Box) -> None:
    """Number the holes in the order of drilling; of very many only every 2nd, 5th, 10th."""
    holes = scene.holes
    free = sum((slot.high_end - slot.low_end) * view.scale for slot in scene.slots)
    needed = width_of("00", SMALL) + 2 * CLEAR
    step = next(
        (each for each in (1, 2, 5, 10, 20, 50) if len(holes) / each * needed <= max(free, 30.0)),
        100,
    )
    for number, (x, y) in enumerate(holes, start=1):
        if number in (1, len(holes)) or number % step == 0:
            _number_hole(sheet, view, scene, (str(number), (x, y), room))


def _number_hole(
    sheet: Sheet, view: View, scene: Scene, what: tuple[str, tuple[float, float], Box]
) -> None:
    """Write one hole's number beside its slot, as near as there is room, and lead to the hole."""
    words, place, room = what
    x, y = view.at(*place)
    slot = next((s for s in scene.slots if _holds(s, place)), None)
    half = (slot.width.nominal / 2 if slot else _mouth_at(scene, place)) * view.scale + 1.5
    upright = slot is not None and slot.along == "y"
    places = []
    for away in (half, half + 4.5, half + 9.0):
        for shift in (0.0, 2.0, -2.0, 4.0, -4.0, 6.0, -6.0):
            side = away + width_of(words, SMALL) / 2
            places += (
                [(x + side, y + SMALL / 2 + shift), (x - side, y + SMALL / 2 + shift)]
                if upright
                else [(x + shift, y - away), (x + shift, y + away + SMALL)]
            )
    free = [p for p in places if sheet.free(box_of(p, words, LABEL).grown(CLEAR), room)]
    box = place_label(sheet, words, (free or places)[:1], room)
    leader(sheet, box, (x, y))


def _mouth_at(scene: Scene, place: tuple[float, float]) -> float:
    """Return how far the wanted hole at a place reaches in plan, mm; 0 for none."""
    reaches = [
        holes.mouth / 2
        for holes in scene.wanted_holes
        if any(math.dist(each.at, place) < holes.bore.nominal / 2 for each in holes.places)
    ]
    return max(reaches, default=0.0)


def _holds(slot: Slot, place: tuple[float, float]) -> bool:
    along, across = slot.own(*place)
    inside = slot.low_end <= along <= slot.high_end
    return inside and abs(across - slot.centre_line) <= slot.width.nominal / 2


def _name_keepout(sheet: Sheet, view: View, scene: Scene, named: tuple[Keepout, Box]) -> None:
    """Write the name of a jaw, clamp or parallel on it, or beside it with a leader."""
    keepout, room = named
    shown = plan_of(keepout).common(scene.plan_window(view.scale))
    if shown.empty:
        return
    box = sheet_box(view, shown)
    width = width_of(keepout.name, SMALL)
    on_it = [
        (part.centre[0] + share * (part.width - width - 3.0), part.centre[1] + SMALL / 2)
        for part in (sheet_box(view, each) for each in _open_parts(scene, shown))
        if part.width > width + 3.0 and part.height > SMALL + 1.5
        for share in (0.0, 0.25, -0.25, 0.45, -0.45)
    ]
    x, _ = box.centre
    above = sheet_box(view, scene.plan_blank()).top - 2.0
    beside = [(x, box.bottom + SMALL + 2.0), (x, above), (x, box.bottom + 10.0), (x, box.top - 2.0)]
    beside += [
        (box.right + 2.0 + width / 2, box.centre[1]),
        (box.left - 2.0 - width / 2, box.centre[1]),
    ]
    at = place_label(sheet, keepout.name, [*on_it, *beside], room)
    if not box.meets(at):
        leader(sheet, at, box.centre)


def _open_parts(scene: Scene, shown: Extent) -> list[Extent]:
    """Return the parts of a box before and behind the blank, larger first, or all of it."""
    blank = scene.plan_blank()
    x0, y0, x1, y1 = shown
    parts = [Extent(x0, y0, x1, min(y1, blank[1])), Extent(x0, max(y0, blank[3]), x1, y1)]
    outside = sorted((each for each in parts if not each.empty), key=lambda e: e[1] - e[3])
    inside = Extent(x0, max(y0, blank[1]), x1, min(y1, blank[3]))
    return [*outside, *([] if inside.empty else [inside])]
