"""Turned work drawn for the person at the machine: its section on A4, and the same for a page."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import NamedTuple

import shapely

from pathgen.input.where import Refusal
from postprocessors.drawing.found import flags
from postprocessors.drawing.frame import (
    BAR,
    COLUMN,
    FRAME,
    INSET,
    PRINTED_HIGH,
    PRINTED_WIDE,
    TITLE,
    draw_frame,
)
from postprocessors.drawing.half_dimensions import (
    HalfStacks,
    draw_half_dimensions,
    half_dimensions,
    room_about,
)
from postprocessors.drawing.half_notes import half_entries, half_title
from postprocessors.drawing.half_scene import FAR, HalfScene
from postprocessors.drawing.half_view import draw_section_of_axis, shown_of
from postprocessors.drawing.marks import datum_triangle, flag, place_label, scale_bar
from postprocessors.drawing.notes import draw_notes
from postprocessors.drawing.scale import SCALES, Extent, View, sheet_box
from postprocessors.drawing.sheet import NARROW, Box, Point, Sheet, written
from postprocessors.drawing.strip import Stage

BEHIND = 14.0  # of the bar behind the jaws' front, mm of the sheet
BESIDE = 5.0  # of air about the bar, mm of the sheet
COLUMNS = (COLUMN, 88.0)  # how wide the notes are, the wider where that costs no scale, mm
NEAR = 0.01  # mm of a face
AXES = (2, 0)  # of a place x, y, z: those that the section shows


class Fitted(NamedTuple):
    """The section at a scale: its view, what it shows, the dimensions, the room of it all."""

    view: View
    window: Extent
    stacks: HalfStacks
    body: Box  # both halves without the dimensions
    room: Box


def draw_turned(scene: HalfScene, stages: Sequence[Stage]) -> str:
    """Return an A4 drawing of one setup of turned work as SVG, lengths in the job's units.

    Raises:
        Refusal: the part does not find room on the sheet at 1:50.
    """
    inner = Box(
        FRAME.left + INSET, FRAME.top + INSET, FRAME.right - INSET, FRAME.bottom - TITLE - INSET
    )
    split, fitted = max(
        (_beside_notes(scene, inner, wide) for wide in COLUMNS),
        key=lambda tried: (tried[1].view.scale, -tried[0]),
    )
    sheet = Sheet()
    draw_frame(sheet, half_title(scene, fitted.view.scale))
    sheet.line((split, FRAME.top), (split, FRAME.bottom - TITLE), NARROW)
    _draw(sheet, scene, stages, fitted)
    _draw_bar(sheet, scene, fitted.view.scale, (inner.left + 1.0, inner.bottom - 3.0))
    title = f"{scene.job.title}: {scene.setup.name}"
    notes = Box(split + INSET, inner.top, inner.right, inner.bottom)
    draw_notes(sheet, partial(half_entries, scene, stages), notes, 1, title)
    return sheet.svg(title)


def _beside_notes(scene: HalfScene, inner: Box, wide: float) -> tuple[float, Fitted]:
    """Return where the notes begin that are so wide, and the section beside them."""
    split = inner.right - wide
    return split, _fitted(scene, Box(inner.left, inner.top, split - INSET, inner.bottom - BAR))


def draw_printed_section(scene: HalfScene, stages: Sequence[Stage]) -> str:
    """Return the section with a scale bar, as SVG of true size to stand in a page.

    The group of class "section" states its scale.

    Raises:
        Refusal: the part does not find room at 1:50.
    """
    fitted = _fitted(scene, Box(0.0, 0.0, PRINTED_WIDE, PRINTED_HIGH))
    fitted = _moved(scene, fitted, 0.0, -fitted.room.top)
    sheet = Sheet("views-")
    _draw(sheet, scene, stages, fitted)
    foot = fitted.room.bottom + BAR
    _draw_bar(sheet, scene, fitted.view.scale, (1.0, foot - 3.0))
    return sheet.picture("Section through the axis, to scale", (PRINTED_WIDE, foot))


def _fitted(scene: HalfScene, room: Box) -> Fitted:
    """Return the section at the largest scale at which it finds room, in the middle of that."""
    for scale in SCALES:
        tried = _at(scene, View(scale, 0.0, 0.0))
        if tried.room.width <= room.width and tried.room.height <= room.height:
            (x, y), (wide, high) = tried.room.centre, room.centre
            return _moved(scene, tried, wide - x, high - y)
    blank = scene.job.blank
    raise Refusal(
        scene.setup.where,
        f"cannot draw a bar of {blank.diameter:g} x {blank.length:g} mm on A4",
        "check the blank's sizes and the job's units; the least scale is 1:50",
    )


def _at(scene: HalfScene, view: View) -> Fitted:
    """Return the section in a view."""
    window = scene.window(BEHIND / view.scale, BESIDE / view.scale)
    above = sheet_box(view, window)
    body = Box(above.left, above.top, above.right, 2 * view.foot - above.top)
    stacks = half_dimensions(scene, view)
    left, top, right, bottom = room_about(stacks, body)
    room = Box(body.left - left, body.top - top, body.right + right, body.bottom + bottom)
    return Fitted(view, window, stacks, body, room)


def _moved(scene: HalfScene, fitted: Fitted, along: float, down: float) -> Fitted:
    """Return the section moved on the sheet, mm."""
    scale, left, foot = fitted.view
    return _at(scene, View(scale, left + along, foot + down))


def _draw(sheet: Sheet, scene: HalfScene, stages: Sequence[Stage], fitted: Fitted) -> None:
    """Draw the section with its dimensions, the faced end's letter and the flags."""
    view, window, stacks, body, room = fitted
    place = {"data_scale": f"{view.scale:g}"}
    place["data_zero"] = f"{written(view.left)} {written(view.foot)}"
    with sheet.group("section", **place):
        draw_section_of_axis(sheet, view, scene, window, stages)
        draw_half_dimensions(sheet, stacks, body)
    datum_triangle(sheet, view.at(0.0, -_on_face(scene)), (1.0, 0.0), "Z", room)
    _name_held(sheet, scene, fitted)
    for number, (z, x) in flags(scene.findings, AXES):
        shown = min(max(z, window[0]), window[2]), min(max(x, window[1]), window[3])
        flag(sheet, view.at(*shown), number, room)


def _name_held(sheet: Sheet, scene: HalfScene, fitted: Fitted) -> None:
    """Write what each thing is that holds the work, once, over the first of its kind."""
    view, room = fitted.view, fitted.room
    for code in dict.fromkeys(each.code for each in scene.held):
        first = next(each for each in scene.held if each.code == code)
        shown = shown_of(first, fitted.window)
        if not shown.is_empty:
            left, top = view.at(shown.bounds[0], shown.bounds[3])
            middle = (left + view.at(shown.bounds[2], 0.0)[0]) / 2
            place_label(sheet, code, [(middle, top - 1.5)], room)


def _on_face(scene: HalfScene) -> float:
    """Return how far from the axis the middle of the faced end's metal is, mm."""
    cut = scene.wanted.intersection(shapely.LineString([(-NEAR, 0.0), (-NEAR, FAR)]))
    parts = [part.bounds for part in shapely.get_parts(cut)]
    return sum(max(parts)[1::2]) / 2 if parts else 0.0


def _draw_bar(sheet: Sheet, scene: HalfScene, scale: float, at: Point) -> None:
    """Draw the scale bar at a place of the sheet."""
    length = scene.units.bar(scale)
    words = f"{scene.units.number(length)} {scene.job.units}"
    scale_bar(sheet, at, length * scale, words)
