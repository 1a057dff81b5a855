"""A draughtsman's marks: arrowheads, hatching, breaks, flags, the zero and the scale bar."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import chain

from postprocessors.drawing.lettering import SMALL
from postprocessors.drawing.sheet import (
    LABEL,
    NARROW,
    WIDE,
    Box,
    Lettering,
    Pen,
    Point,
    Sheet,
    box_of,
)

ARROW = 3.0  # length of an arrowhead, mm
ARROW_HALF = 0.5  # half its width
HATCH = 2.2  # from one line of hatching to the next, mm
CLEAR = 0.9  # kept free about lettering that is placed, mm
ROOT_HALF = math.sqrt(0.5)
# One pattern a pass, told apart in black and white; after the sixth they come round again.
PATTERNS: tuple[tuple[float, ...], ...] = (
    (3.5, 1.0),
    (1.2, 0.8),
    (5.0, 0.8, 1.2, 0.8),
    (0.4, 0.7),
    (4.0, 0.8, 0.9, 0.8, 0.9, 0.8),
    (8.0, 1.5),
)


def pattern(index: int) -> Pen:
    """Return the line of a pass, counted from 0 among those that cut across."""
    return Pen(NARROW.width, PATTERNS[index % len(PATTERNS)])


def arrowhead(sheet: Sheet, tip: Point, way: Point, length: float = ARROW) -> None:
    """Draw a filled arrowhead whose tip is at a place and which points along a way."""
    size = math.hypot(*way)
    ux, uy = way[0] / size, way[1] / size
    back = (tip[0] - length * ux, tip[1] - length * uy)
    half = length * ARROW_HALF / ARROW
    sheet.filled(
        [
            tip,
            (back[0] - half * uy, back[1] + half * ux),
            (back[0] + half * uy, back[1] - half * ux),
        ]
    )


def hatch(box: Box, slope: int, spacing: float = HATCH) -> list[tuple[Point, Point]]:
    """Return the hatching of a rectangle: lines at 45 degrees, rising to the right for slope +1.

    The lines of neighbouring rectangles run on into each other.
    """
    # On a line rising to the right x + y is the same all along; on a falling one x - y.
    lows, highs = (box.top, box.bottom) if slope > 0 else (-box.bottom, -box.top)
    step = spacing / ROOT_HALF
    lines = []
    for count in range(
        math.ceil((box.left + lows) / step), math.floor((box.right + highs) / step) + 1
    ):
        total = count * step
        x1, x2 = max(box.left, total - highs), min(box.right, total - lows)
        if x2 - x1 > 0.05:
            lines.append(((x1, slope * (total - x1)), (x2, slope * (total - x2))))
    return lines


def zigzag(sheet: Sheet, start: Point, end: Point) -> None:
    """Draw a break line: narrow, with a zigzag in its middle."""
    length = math.dist(start, end)
    if length < 0.5:
        return
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    size = min(1.5, length / 4)

    def place(along: float, off: float) -> Point:
        return start[0] + along * ux - off * uy, start[1] + along * uy + off * ux

    middle = length / 2
    sheet.polyline(
        [
            start,
            place(middle - size, 0),
            place(middle - size / 2, size),
            place(middle + size / 2, -size),
            place(middle + size, 0),
            end,
        ]
    )


def cross(sheet: Sheet, centre: Point, reach: float, pen: Pen = NARROW) -> None:
    """Draw a centre mark."""
    x, y = centre
    sheet.lines([((x - reach, y), (x + reach, y)), ((x, y - reach), (x, y + reach))], pen)


def place_label(sheet: Sheet, words: str, places: Sequence[Point], within: Box) -> Box:
    """Write a small label at the first of the places that is free, else as near to it as can be."""
    for at in chain(places, _spiral(places[0])):
        if sheet.free(box_of(at, words, LABEL).grown(CLEAR), within):
            return sheet.text(at, words, LABEL)
    return sheet.text(places[0], words, LABEL)


def _spiral(centre: Point) -> Iterator[Point]:
    """Yield places about a place, the nearest first."""
    for r in range(4, 60, 2):
        for a in range(0, 360, 15):
            turn = math.radians(a)
            yield centre[0] + r * math.cos(turn), centre[1] + r * math.sin(turn)


def leader(sheet: Sheet, box: Box, target: Point) -> None:
    """Draw a narrow line from the edge of a label to what it stands for."""
    centre = box.centre
    dx, dy = target[0] - centre[0], target[1] - centre[1]
    reach = max(abs(dx) / max(box.width / 2 + 0.4, 0.1), abs(dy) / max(box.height / 2 + 0.4, 0.1))
    if reach > 1:
        sheet.line((centre[0] + dx / reach, centre[1] + dy / reach), target)


def flag(sheet: Sheet, at: Point, words: str, within: Box) -> None:
    """Set a numbered flag at a place: a cross at the place, a framed number off it."""
    x, y = at
    cross(sheet, at, 1.2, WIDE)
    offs = [(4, -4), (-4, -4), (4, 8), (-4, 8), (9, -9), (-9, -9), (9, 13), (-9, 13)]
    places = [(x + dx, y + dy) for dx, dy in offs]
    box = place_label(sheet, words, places, within).grown(0.35)
    sheet.rectangle(box, WIDE, "white")
    sheet.block(box.grown(0.3))
    leader(sheet, box, at)


def zero_mark(sheet: Sheet, at: Point, within: Box) -> None:
    """Mark the zero of x and y: a quartered circle, and an arrow along each axis, named."""
    x, y = at
    reach, radius = 11.0, 2.0
    sheet.line(at, (x + reach, y), WIDE)
    sheet.line(at, (x, y - reach), WIDE)
    arrowhead(sheet, (x + reach, y), (1, 0))
    arrowhead(sheet, (x, y - reach), (0, -1))
    for first in (0, 180):
        arc = [math.radians(first + each) for each in range(0, 91, 10)]
        sheet.filled([at, *((x + radius * math.cos(a), y + radius * math.sin(a)) for a in arc)])
    sheet.circle(at, radius, WIDE)
    sheet.block(Box(x - radius, y - radius, x + radius, y + radius))
    place_label(
        sheet,
        "x",
        [(x + reach + 0.5, y - 1.4), (x + reach + 2, y + 3.8), (x + reach + 2.5, y)],
        within,
    )
    place_label(
        sheet,
        "y",
        [(x + 2.2, y - reach + 1.5), (x - 2.5, y - reach + 1.5), (x, y - reach - 1.5)],
        within,
    )


def datum_triangle(sheet: Sheet, foot: Point, outward: Point, letter: str, within: Box) -> None:
    """Mark a face that is touched for a zero: a filled triangle on it and a framed letter."""
    (x, y), (ux, uy) = foot, outward
    sheet.filled(
        [(x - 1.6 * uy, y + 1.6 * ux), (x + 1.6 * uy, y - 1.6 * ux), (x + 2.6 * ux, y + 2.6 * uy)]
    )
    places = [(x + off * ux, y + off * uy + SMALL / 2) for off in (6.0, 9.0, 12.0)]
    box = place_label(sheet, letter, places, within).grown(0.6)
    sheet.rectangle(box, NARROW, "white")
    sheet.block(box)
    sheet.line((x + 2.6 * ux, y + 2.6 * uy), _edge_towards(box, foot))


def _edge_towards(box: Box, target: Point) -> Point:
    """Return the middle of the side of a box that faces a place."""
    cx, cy = box.centre
    if abs(target[0] - cx) > abs(target[1] - cy):
        return (box.left if target[0] < cx else box.right), cy
    return cx, (box.top if target[1] < cy else box.bottom)


def scale_bar(sheet: Sheet, at: Point, length: float, words: str) -> None:
    """Draw a bar of a length on the sheet in four parts, black and white by turns, and name it."""
    x, y = at
    for part in range(4):
        left = x + part * length / 4
        box = Box(left, y - 1.2, left + length / 4, y)
        sheet.rectangle(box, NARROW, "black" if part % 2 == 0 else "white")
    sheet.text((x + length + 1.5, y), words, Lettering(SMALL))
