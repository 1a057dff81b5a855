"""The frame of an A4 drawing with its title block, and the room of what is printed in a page."""

from __future__ import annotations

from typing import TypeAlias

from postprocessors.drawing.lettering import BOLDER, CAPITAL, SMALL, shortened, width_of
from postprocessors.drawing.sheet import NARROW, WIDE, Box, Lettering, Sheet

FRAME = Box(20.0, 10.0, 287.0, 200.0)  # ISO 5457 (from memory): 20 mm to bind on, else 10 mm
TITLE = 22.5  # height of the title block
BAR = 8.0  # room for the scale bar under the views
INSET = 3.0  # from the frame to what is drawn
COLUMN = 68.0  # width of a column of the notes beside the views
PRINTED_WIDE = 184.0  # mm: what A4 and Letter both have between margins of 13 mm
PRINTED_HIGH = 150.0  # a page holds more, but its head stands above
SHARES = (0.46, 0.27, 0.27)  # of the title block's width, its three columns
TitleRows: TypeAlias = tuple[tuple[tuple[str, str], ...], ...]  # captions with what is said


def draw_frame(sheet: Sheet, rows: TitleRows) -> None:
    """Draw the frame with the title block at its foot: three rows of three cells."""
    sheet.rectangle(FRAME, WIDE)
    box = Box(FRAME.left, FRAME.bottom - TITLE, FRAME.right, FRAME.bottom)
    height = box.height / len(rows)
    sheet.rectangle(box, WIDE)
    for row, cells in enumerate(rows):
        left, top = box.left, box.top + row * height
        for share, (caption, words) in zip(SHARES, cells, strict=True):
            cell = Box(left, top, left + share * box.width, top + height)
            sheet.rectangle(cell, NARROW)
            _draw_cell(sheet, cell, caption, words)
            left += share * box.width


def spoken_units(units: str) -> str:
    """Return units as a title block names them."""
    return "inches" if units == "in" else "millimetres"


def _draw_cell(sheet: Sheet, cell: Box, caption: str, words: str) -> None:
    """Write a caption and its words on one line; the part's large, if that has room, and bold.

    What has no room in the small either is shortened.
    """
    start = cell.left + 1.5 + width_of(caption, SMALL) + 2.5
    bold = caption == "Part"
    room = (cell.right - start - 1.0) / (BOLDER if bold else 1.0)
    height = CAPITAL if bold and width_of(words, CAPITAL) <= room else SMALL
    foot = cell.centre[1] + height / 2
    sheet.text((cell.left + 1.5, foot), caption, Lettering(SMALL))
    sheet.text((start, foot), shortened(words, room, height), Lettering(height, bold=bold))
