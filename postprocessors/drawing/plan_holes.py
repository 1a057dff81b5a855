"""Wanted holes in the plan: their circles, their places from the datums, and what they are."""

from __future__ import annotations

import math

from pathgen.job.holes import Holes
from pathgen.job.read_concentric import Concentric
from postprocessors.drawing.dimensions import Dimension
from postprocessors.drawing.lettering import SMALL
from postprocessors.drawing.marks import leader, place_label
from postprocessors.drawing.scale import Units, View
from postprocessors.drawing.scene import Scene
from postprocessors.drawing.sheet import HEAVY, NARROW, WIDE, Box, Sheet

DIAMETER = "\N{LATIN CAPITAL LETTER O WITH STROKE}"
TIMES = "\N{MULTIPLICATION SIGN}"
DEGREES = "\N{DEGREE SIGN}"
MOST_PLACES = 6  # distinct coordinates that are given a dimension each; of more, the outermost
THREAD_FROM_DEG, THREAD_TO_DEG = -10, 260  # the three quarters of a circle that stand for a thread


def draw_wanted_holes(sheet: Sheet, view: View, scene: Scene) -> None:
    """Draw the wanted holes: bore, mouth, and a thread as three quarters of a circle."""
    for holes in scene.wanted_holes:
        for place in holes.places:
            at = view.at(*place.at)
            sheet.circle(at, holes.bore.nominal / 2 * view.scale, HEAVY, "hole")
            for mouth in (holes.countersink, *holes.counterbores):
                if mouth is not None:
                    sheet.circle(at, mouth.diameter.nominal / 2 * view.scale, WIDE, "mouth")
            if holes.tapping is not None:
                _thread(sheet, at, holes.tapping.thread.major / 2 * view.scale)


def _thread(sheet: Sheet, at: tuple[float, float], radius: float) -> None:
    turns = [math.radians(each) for each in range(THREAD_FROM_DEG, THREAD_TO_DEG + 1, 10)]
    points = [(at[0] + radius * math.cos(a), at[1] - radius * math.sin(a)) for a in turns]
    sheet.polyline(points, NARROW)


def hole_boxes(view: View, scene: Scene) -> list[Box]:
    """Return the room of each hole on the sheet."""
    boxes = []
    for holes in scene.wanted_holes:
        half = holes.mouth / 2 * view.scale
        for place in holes.places:
            x, y = view.at(*place.at)
            boxes.append(Box(x - half, y - half, x + half, y + half))
    return boxes


def hole_dimensions(scene: Scene, view: View) -> tuple[list[Dimension], list[Dimension]]:
    """Return the dimensions of the holes' places from the datums: along x, and along y."""
    level: dict[float, float] = {}  # x: the lowest y of a hole there
    upright: dict[float, float] = {}  # y: the least x of a hole there
    for holes in scene.wanted_holes:
        for place in holes.places:
            x, y = (round(each, 6) for each in place.at)
            level[x] = min(y, level.get(x, y))
            upright[y] = min(x, upright.get(y, x))
    return (
        [along_from_zero(scene.units, view, (x, level[x])) for x in _shown(level)],
        [up_from_zero(scene.units, view, (upright[y], y)) for y in _shown(upright)],
    )


def _shown(places: dict[float, float]) -> list[float]:
    """Return the coordinates to be dimensioned."""
    rising = sorted(places)
    return rising if len(rising) <= MOST_PLACES else [rising[0], rising[-1]]


def along_from_zero(units: Units, view: View, place: tuple[float, float]) -> Dimension:
    """Return the dimension of a place from the zero, along x."""
    zero, end = view.at(0.0, 0.0), view.at(*place)
    (low, from_low), (high, from_high) = sorted((zero, end))
    return Dimension(
        low=low,
        high=high,
        from_low=from_low,
        from_high=from_high,
        words=units.number(abs(place[0])),
    )


def up_from_zero(units: Units, view: View, place: tuple[float, float]) -> Dimension:
    """Return the dimension of a place from the zero, along y."""
    zero, end = view.at(0.0, 0.0), view.at(*place)
    (low, from_low), (high, from_high) = sorted((zero[::-1], end[::-1]))
    return Dimension(
        low=low,
        high=high,
        from_low=from_low,
        from_high=from_high,
        words=units.number(abs(place[1])),
        upright=True,
    )


def name_holes(sheet: Sheet, view: View, scene: Scene, room: Box) -> None:
    """Write beside one hole of each feature how many there are and what they are in short."""
    for holes in scene.wanted_holes:
        x, y = view.at(*max((place.at for place in holes.places), key=lambda at: (at[1], at[0])))
        half = holes.mouth / 2 * view.scale
        off = half + 3.0
        places = [(x, y - off), (x, y + off + SMALL), (x + off + 8.0, y - off), (x - off - 8.0, y)]
        box = place_label(sheet, in_short(holes, scene.units), places, room)
        leader(sheet, box, (x, y - half if box.centre[1] < y else y + half))


def in_short(holes: Holes, units: Units) -> str:
    """Return how many holes there are, and their diameter or thread."""
    count = f"{len(holes.places)} {TIMES} " if len(holes.places) > 1 else ""
    if holes.tapping is not None:
        return f"{count}{holes.tapping.thread.designation}"
    bored = " bored" if holes.boring is not None else ""
    return f"{count}{DIAMETER}{units.number(holes.bore.nominal)}{bored}"


def concentric_words(wanted: Concentric, units: Units) -> str:
    """Return on whose axis a feature is to lie, and how near."""
    return f"its axis within {units.number(wanted.within)} of that of {wanted.to}"


def in_full(holes: Holes, units: Units) -> str:
    """Return a hole feature in words, for the notes: depth, mouth, limits of its own."""
    number = units.number
    parts = [f"{holes.name}: {in_short(holes, units)}"]
    if holes.tapping is None and not holes.bore.basis.startswith("ISO 2768"):
        parts[0] += f" ({number(holes.bore.low)} to {number(holes.bore.high)})"
    if holes.screw is not None:
        parts[0] += f" for {holes.screw}s"
    if holes.tapping is not None:
        depth = holes.tapping.depth
        parts[0] += "" if depth is None else f", full thread {number(depth)} deep"
        parts.append(f"tapping hole {DIAMETER}{number(holes.bore.nominal)} wanted")
    begins = "" if holes.floor is None else f" from the floor of {holes.floor.of}"
    deep = "through" if holes.own_depth is None else f"{number(holes.own_depth.nominal)} deep"
    parts.append(f"{deep}{begins}")
    if holes.countersink is not None:
        size, angle = holes.countersink.diameter.nominal, holes.countersink.angle_deg
        parts.append(f"countersunk {DIAMETER}{number(size)}, {angle:g}{DEGREES}")
    for mouth in holes.counterbores:
        wide = mouth.diameter
        across = f"{DIAMETER}{number(wide.nominal)}"
        if wide.own:
            across += f" ({number(wide.low)} to {number(wide.high)})"
        parts.append(f"{mouth.word}d {across}, {number(mouth.depth.nominal)} deep")
    if holes.boring is not None and holes.boring.concentric is not None:
        parts.append(concentric_words(holes.boring.concentric, units))
    return ", ".join(parts)
