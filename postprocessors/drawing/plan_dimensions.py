"""The plan's dimensions: ends, centre line, width and length of each slot, from the datums."""

from __future__ import annotations

from typing import NamedTuple

from pathgen.job.slot import Slot
from postprocessors.drawing.dimensions import (
    FIRST,
    STACK,
    Dimension,
    Margins,
    draw_stack,
    sized,
    stacked,
)
from postprocessors.drawing.plan_areas import area_dimensions
from postprocessors.drawing.plan_holes import along_from_zero, hole_dimensions, up_from_zero
from postprocessors.drawing.scale import View, sheet_box
from postprocessors.drawing.scene import Scene
from postprocessors.drawing.sheet import Box, Point, Sheet

MARK_ZONE = 9.0  # room beside the plan for the ends of the cutting plane, mm


class Stacks(NamedTuple):
    """The dimensions about the plan, in rows from the view outwards."""

    left: list[list[Dimension]]
    top: list[list[Dimension]]
    right: list[list[Dimension]]
    bottom: list[list[Dimension]]


def dimensions(scene: Scene, view: View) -> Stacks:
    """Return the dimensions of all slots and holes, each figure once, stacked by side."""
    sides: tuple[list[Dimension], ...] = ([], [], [], [])
    left, top, right, bottom = sides
    for slot in scene.slots:
        if slot.turned is not None:
            middle = slot.turned.x, slot.turned.y
            bottom.append(along_from_zero(scene.units, view, middle))
            left.append(up_from_zero(scene.units, view, middle))
            continue
        along, across = _from_datum(scene, view, slot)
        own_along, own_across = _own_sizes(scene, view, slot)
        level = slot.along == "x"
        bottom.extend(along if level else across)
        left.extend(across if level else along)
        top.extend(own_along if level else own_across)
        right.extend(own_across if level else own_along)
    for t_slot in scene.t_slots:
        _, wide = _own_sizes(scene, view, t_slot.head)
        (right if t_slot.neck.along == "x" else top).extend(wide)
    along_x, along_y = hole_dimensions(scene, view)
    bottom.extend(along_x)
    left.extend(along_y)
    for side, more in zip(sides, area_dimensions(scene, view), strict=True):
        side.extend(more)
    return Stacks(*(stacked(_once(side)) for side in sides))


def _once(found: list[Dimension]) -> list[Dimension]:
    """Leave out repeats, and those that would measure nothing."""
    kept = {(round(d.low, 3), round(d.high, 3), d.words): d for d in reversed(found)}
    return [each for each in kept.values() if each.high - each.low > 1e-3]


def _from_datum(scene: Scene, view: View, slot: Slot) -> tuple[list[Dimension], list[Dimension]]:
    """Return the dimensions from the datums: of the ends, and of the centre line."""
    units = scene.units
    along = [
        _between(view, slot, (0.0, end), units.number(abs(end)))
        for end in (slot.low_end, slot.high_end)
    ]
    words = units.number(abs(slot.centre_line))
    if slot.across.own:
        half = (slot.across.high - slot.across.low) / 2
        words = f"{words} ±{units.number(half)}"
    return along, [_beside(view, slot, (0.0, slot.centre_line), words)]


def _own_sizes(scene: Scene, view: View, slot: Slot) -> tuple[list[Dimension], list[Dimension]]:
    """Return the dimensions of the length and of the width."""
    length = sized(scene.units, slot.length, slot.high_end - slot.low_end)
    width = sized(scene.units, slot.width, slot.width.nominal)
    half = slot.width.nominal / 2
    walls = (slot.centre_line - half, slot.centre_line + half)
    return (
        [_between(view, slot, (slot.low_end, slot.high_end), length)],
        [_beside(view, slot, walls, width)],
    )


def _between(view: View, slot: Slot, ends: tuple[float, float], words: str) -> Dimension:
    """Return a dimension along a slot, its extension lines starting at the centre line."""
    places = [view.at(*slot.point(end, slot.centre_line)) for end in ends]
    starts = [view.at(*slot.point(end, 0.0 if end == 0.0 else slot.centre_line)) for end in ends]
    return _dimension(places, starts, words, upright=slot.along == "y")


def _beside(view: View, slot: Slot, places: tuple[float, float], words: str) -> Dimension:
    """Return a dimension across a slot, its extension lines from the end nearer to the line."""
    from_datum = places[0] == 0.0
    radius = 0.0 if slot.open_low or slot.open_high else slot.width.nominal / 2
    end = slot.low_end if from_datum else slot.high_end - radius
    ends = (0.0 if from_datum else end, end)
    both = [view.at(*slot.point(at, place)) for at, place in zip(ends, places, strict=True)]
    return _dimension(both, both, words, upright=slot.along == "x")


def _dimension(places: list[Point], starts: list[Point], words: str, *, upright: bool) -> Dimension:
    """Return a dimension between two places of the sheet, in order along the line."""
    along, across = (1, 0) if upright else (0, 1)
    pairs = sorted(
        (place[along], start[across]) for place, start in zip(places, starts, strict=True)
    )
    (low, from_low), (high, from_high) = pairs
    return Dimension(
        low=low, high=high, from_low=from_low, from_high=from_high, words=words, upright=upright
    )


def margins(scene: Scene, scale: float) -> Margins:
    """Return the room that the plan's dimensions and marks need about its window."""
    view = View(scale, 0.0, 0.0)
    window = sheet_box(view, scene.plan_window(scale))
    stacks = dimensions(scene, view)
    level = [d.reach for row in (*stacks.top, *stacks.bottom) for d in row]
    upright = [d.reach for row in (*stacks.left, *stacks.right) for d in row]
    left = max([0.0, *(window.left - low for low, _ in level)])
    right = max([0.0, *(high - window.right for _, high in level)])
    top = max([0.0, *(window.top - low for low, _ in upright)])
    bottom = max([0.0, *(high - window.bottom for _, high in upright)])
    return Margins(
        max(left, MARK_ZONE + 2 + _room(stacks.left, 6.0)) + 1,
        max(top, 4.0, FIRST + 5.0 + STACK * (len(stacks.top) - 1) if stacks.top else 0.0) + 1,
        max(right, MARK_ZONE + 2 + _room(stacks.right, 6.0)) + 1,
        max(bottom, 4.0, FIRST + 2.5 + STACK * (len(stacks.bottom) - 1) + 1) + 1,
    )


def _room(rows: list[list[Dimension]], first: float) -> float:
    """Return the room of upright dimension lines beyond the marks of the cutting plane."""
    return first + STACK * (len(rows) - 1) + 3.0 if rows else 0.0


def draw_dimensions(sheet: Sheet, view: View, scene: Scene, window: Box) -> None:
    """Draw the stacked dimensions on the four sides."""
    stacks = dimensions(scene, view)
    beside = MARK_ZONE + 6.0
    draw_stack(sheet, stacks.top, window.top - FIRST, -1)
    draw_stack(sheet, stacks.bottom, window.bottom + FIRST, 1)
    draw_stack(sheet, stacks.left, window.left - beside + 1.5, -1)
    draw_stack(sheet, stacks.right, window.right + beside, 1)
