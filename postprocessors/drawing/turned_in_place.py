"""A round shaft in the plan: its section through a keyway, turned in place on the plain part."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pathgen.job.slot import Slot
from postprocessors.drawing.marks import hatch
from postprocessors.drawing.scale import View
from postprocessors.drawing.scene import Scene
from postprocessors.drawing.sheet import NARROW, Box, Point, Sheet

AROUND = 1.4  # times its diameter: the plain part has to be so long for the section to be clear
EDGES = 72  # straights round the section


def draw_turned_in_place(sheet: Sheet, view: View, scene: Scene) -> None:
    """Draw the round with its first keyway, thin, as it looks turned up where the shaft is plain.

    It is left out where no part of the shaft is plain for long enough.
    """
    if not scene.job.blank.is_shaft or not scene.slots:
        return
    diameter = scene.job.blank.thickness
    low, high = max(_plain(scene), key=lambda span: span[1] - span[0])
    if high - low < AROUND * diameter:
        return
    x, y = (low + high) / 2, (scene.low[1] + scene.high[1]) / 2
    ring = [view.at(x + u, y + v) for u, v in outline(diameter, scene.slots[0])]
    with sheet.group("turned-in-place"):
        sheet.lines(hatched(ring), NARROW)
        sheet.polyline([*ring, ring[0]], NARROW)


def _plain(scene: Scene) -> Iterator[tuple[float, float]]:
    """Yield the stretches of x, from end to end, in which nothing is cut."""
    place = scene.low[0]
    for low, high in sorted((slot.low_end, slot.high_end) for slot in scene.slots):
        yield place, low
        place = max(place, high)
    yield place, scene.high[0]


def outline(diameter: float, slot: Slot) -> list[Point]:
    """Return the corners of the section about its middle, the crown turned to the right; mm."""
    assert slot.depth is not None, "a keyway in a shaft has a floor"
    radius, half = diameter / 2, slot.width.nominal / 2
    floor, mouth = radius - slot.depth.nominal, math.asin(half / radius)
    arc = [mouth + (2 * math.pi - 2 * mouth) * step / EDGES for step in range(EDGES + 1)]
    round_it = [(radius * math.cos(angle), radius * math.sin(angle)) for angle in arc]
    return [*round_it, (floor, -half), (floor, half)]


def hatched(ring: list[Point]) -> list[tuple[Point, Point]]:
    """Return the hatching of the region within an outline."""
    import shapely  # noqa: PLC0415 - heavy; only drawings of shafts need it

    region = shapely.Polygon(ring)
    left, top, right, bottom = region.bounds
    parts = (
        part
        for line in hatch(Box(left, top, right, bottom), 1)
        for part in shapely.get_parts(shapely.LineString(line).intersection(region))
    )
    ends = (part.coords for part in parts if part.length > 0)
    return [((a[0], a[1]), (b[0], b[1])) for a, b in ((each[0], each[-1]) for each in ends)]
