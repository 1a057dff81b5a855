"""The notes of a drawing: entries in columns beside or under the views, and on further pages."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal, NamedTuple

from postprocessors.drawing.frame import FRAME, INSET
from postprocessors.drawing.lettering import SMALL, width_of
from postprocessors.drawing.marks import cross, pattern
from postprocessors.drawing.sheet import HEIGHT, NARROW, WIDE, Box, Lettering, Point, Sheet

LINE = 4.2  # from one line to the next, mm
AFTER = 1.2  # after an entry
SWATCH = 13.0  # room for a pass's line pattern
SAME_HEIGHT = 5e-4  # mm
PAGE_COLUMNS = 3  # of a page that has notes alone
Mark = Literal["heading", "cut", "drilled", "finding", "plain"]


class Entry(NamedTuple):
    """An entry of the notes: its mark, which pass or finding it stands for, its lines."""

    mark: Mark
    which: int
    lines: tuple[str, ...]

    @property
    def height(self) -> float:
        """Return the height it takes, mm."""
        return LINE * len(self.lines) + AFTER


def heading(words: str) -> Entry:
    """Return what stands over some entries."""
    return Entry("heading", 0, (words,))


def height_in(found: list[Entry], columns: int) -> float:
    """Return the least height, mm, at which entries find room in so many columns."""
    blocks = [sum(each.height for each in block) for block in _blocks(found)]
    low = max([*blocks, sum(blocks) / columns])
    while _columns(blocks, low) > columns:
        low += LINE
    return low


def _blocks(found: list[Entry]) -> list[list[Entry]]:
    """Return entries in blocks that stay together: a heading with what comes first under it."""
    blocks: list[list[Entry]] = []
    for each in found:
        if blocks and blocks[-1][-1].mark == "heading":
            blocks[-1].append(each)
        else:
            blocks.append([each])
    return blocks


def _columns(blocks: list[float], height: float) -> int:
    """Return how many columns blocks of some heights fill at a height."""
    count, used = 1, 0.0
    for each in blocks:
        if used + each > height + SAME_HEIGHT and used:
            count, used = count + 1, 0.0
        used += each
    return count


def draw_notes(
    sheet: Sheet, told: Callable[[float], list[Entry]], box: Box, columns: int, title: str
) -> None:
    """Write the notes into a box in columns, and what has no room there on pages of their own.

    Args:
        sheet: the drawing.
        told: returns the notes, wrapped to a width.
        box: the room of the notes on its first page.
        columns: how many there are in it.
        title: what those other pages belong to.
    """
    rest = _draw_blocks(sheet, told(box.width / columns - INSET), box, columns)
    while rest:
        sheet.pages += 1
        frame = FRAME.down(HEIGHT * (sheet.pages - 1))
        sheet.rectangle(frame, WIDE)
        head = frame.left + INSET, frame.top + INSET + SMALL
        sheet.text(head, f"{title}: notes, page {sheet.pages}", Lettering(SMALL, bold=True))
        room = Box(head[0], head[1] + LINE, frame.right - INSET, frame.bottom - INSET)
        found = told(room.width / PAGE_COLUMNS - INSET)
        rest = _draw_blocks(sheet, found[-rest:], room, PAGE_COLUMNS)


def _draw_blocks(sheet: Sheet, found: list[Entry], box: Box, columns: int) -> int:
    """Write entries into a box in columns; return how many had no room, saying where they stand.

    On a page of notes alone the first has room, whatever its height.
    """
    width, blocks = box.width / columns, _blocks(found)
    column, y = 0, box.top
    for index, block in enumerate(blocks):
        height = sum(each.height for each in block)
        if y + height > box.bottom + SAME_HEIGHT and y > box.top and column < columns - 1:
            column, y = column + 1, box.top
        left = box.left + width * column
        line = 0.0 if column < columns - 1 or index == len(blocks) - 1 else LINE
        if y + height + line > box.bottom + SAME_HEIGHT and (index or sheet.pages == 1):
            words = f"more notes on page {sheet.pages + 1}"
            sheet.text((left, y + SMALL), words, Lettering(SMALL, bold=True))
            return sum(map(len, blocks[index:]))
        for each in block:
            _draw_entry(sheet, each, (left, y))
            y += each.height
    return 0


def _draw_entry(sheet: Sheet, each: Entry, left_top: Point) -> None:
    """Write one entry with its mark."""
    x, y = left_top[0], left_top[1] + SMALL
    middle = y - SMALL / 2
    plain = each.mark in ("heading", "plain")
    for line, words in enumerate(each.lines):
        at = (x if plain else x + SWATCH, y + LINE * line)
        sheet.text(at, words, Lettering(SMALL, bold=each.mark == "heading"))
    if each.mark == "cut":
        sheet.line((x, middle), (x + SWATCH - 2, middle), pattern(each.which))
    elif each.mark == "drilled":
        sheet.circle((x + 5, middle), 1.6, NARROW)
        cross(sheet, (x + 5, middle), 0.8)
    elif each.mark == "finding":
        number = str(each.which + 1)
        half = width_of(number, SMALL) / 2 + 0.6
        sheet.text((x + 5, y), number, Lettering(SMALL, "middle"))
        sheet.rectangle(Box(x + 5 - half, y - SMALL - 0.7, x + 5 + half, y + 0.7), WIDE)
