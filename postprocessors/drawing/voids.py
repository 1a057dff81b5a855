"""What the section finds cut away, as rectangles in x and z, and the cones of holes."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from pathgen.job.holes import Holes, Place
from postprocessors.drawing.area_section import cut_spans, floor_at
from postprocessors.drawing.scene import Scene, chord, cut_by

POINT_DEG = 118.0  # the pointed bottom of a blind hole is drawn with an ordinary drill's point
Corner = tuple[float, float]  # x and z, mm


class Void(NamedTuple):
    """A part of the section that is cut away down to a floor, with walls from a height on; mm."""

    low: float
    high: float
    top: float
    floor: float
    has_floor: bool  # a flat one, to be drawn
    mouth: tuple[float, float] | None = None  # between which it is open upwards, under a roof


def voids_of(scene: Scene, plane: float) -> list[Void]:
    """Return what a plane across y finds cut away."""
    top, under = scene.high[2], scene.low[2]
    found = []
    heads = {each.neck: each.head_height.nominal for each in scene.t_slots}
    for slot in scene.slots:
        cut = cut_by(slot, plane)
        if cut is not None:
            floor = under if slot.depth is None else top - slot.depth.nominal + heads.get(slot, 0.0)
            found.append(Void(*cut, top, floor, slot.depth is not None and slot not in heads))
    for t_slot in scene.t_slots:
        neck, head = cut_by(t_slot.neck, plane), cut_by(t_slot.head, plane)
        if head is not None:
            floor = top - t_slot.depth.nominal
            roof = floor + t_slot.head_height.nominal
            found.append(Void(*head, roof, floor, has_floor=True, mouth=neck or (head[1], head[1])))
    for area in scene.areas:
        floor = floor_at(scene, area)
        found.extend(
            Void(*span, top, floor, not area.through) for span in cut_spans(scene, area, plane)
        )
    for holes in scene.wanted_holes:
        for place in holes.places:
            found.extend(_of_hole(scene, holes, place, plane))
    return found


def _of_hole(scene: Scene, holes: Holes, place: Place, plane: float) -> Iterator[Void]:
    """Yield the bore, and the counterbores where the plane meets them."""
    top = above = scene.high[2]
    for each in holes.counterbores:
        mouth = chord(place.at, each.diameter.nominal / 2, plane)
        if mouth is not None:
            yield Void(*mouth, above, top - each.depth.nominal, has_floor=True)
            above = top - each.depth.nominal
    bore = chord(place.at, holes.bore.nominal / 2, plane)
    if bore is not None:
        blind = holes.depth is not None
        floor = scene.low[2] if holes.depth is None else top - holes.depth.nominal
        if holes.floor is not None:
            above = top - holes.floor.depth.nominal
        yield Void(*bore, above, floor, blind)


def cones_of(scene: Scene, plane: float) -> list[tuple[Corner, ...]]:
    """Return the outlines of countersinks and of pointed bottoms whose axis lies in the plane."""
    cones: list[tuple[Corner, ...]] = []
    top = scene.high[2]
    for holes in scene.wanted_holes:
        for place in holes.places:
            x, y = place.at
            if abs(y - plane) > 1e-6:
                continue
            bore = holes.bore.nominal / 2
            if holes.countersink is not None:
                wide = holes.countersink.diameter.nominal / 2
                slope = math.tan(math.radians(holes.countersink.angle_deg / 2))
                foot = top - (wide - bore) / slope
                cones.append(((x - wide, top), (x - bore, foot), (x + bore, foot), (x + wide, top)))
            if holes.depth is not None and not holes.flat:
                floor = top - holes.depth.nominal
                tip = floor - bore / math.tan(math.radians(POINT_DEG / 2))
                cones.append(((x - bore, floor), (x, tip), (x + bore, floor)))
    return cones
