"""The paper: an A4 sheet that takes lines, outlines and lettering and gives them back as SVG.

Everything here is in millimetres on the printed sheet, x to the right and y *down*, as SVG has it.
Line widths: ISO 128-2 (from memory), the group of 0.5 mm wide and 0.25 mm narrow lines, with 0.7 mm
kept for what is wanted. Lettering: ISO 3098 (from memory), heights of capitals of 3.5 and 2.5 mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import Literal, NamedTuple, TypeAlias

from postprocessors.drawing.lettering import (
    BOLDER,
    CAPITAL,
    CAPITAL_OF_FONT,
    DESCENT,
    FONT,
    HANGING,
    SMALL,
    clean,
    split,
    width_of,
)

Point: TypeAlias = tuple[float, float]
Anchor: TypeAlias = Literal["start", "middle", "end"]

WIDTH, HEIGHT = 297.0, 210.0  # A4, landscape


class Box(NamedTuple):
    """A rectangle on the sheet."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Return its width, mm."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Return its height, mm."""
        return self.bottom - self.top

    @property
    def centre(self) -> Point:
        """Return its middle."""
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2

    def grown(self, by: float) -> Box:
        """Return it grown on all sides."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def down(self, by: float) -> Box:
        """Return it moved down the sheet."""
        return Box(self.left, self.top + by, self.right, self.bottom + by)

    def common(self, other: Box) -> Box:
        """Return what both hold; its right may lie left of its left."""
        lows = (max(a, b) for a, b in zip(self[:2], other[:2], strict=True))
        highs = (min(a, b) for a, b in zip(self[2:], other[2:], strict=True))
        return Box(*lows, *highs)

    def meets(self, other: Box) -> bool:
        """Return whether the two share more than an edge."""
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom

    def holds(self, other: Box) -> bool:
        """Return whether the other lies wholly inside."""
        across = self.left <= other.left and other.right <= self.right
        return across and self.top <= other.top and other.bottom <= self.bottom


class Pen(NamedTuple):
    """A line: its width and, where it is broken, the lengths of strokes and gaps; mm."""

    width: float
    dash: tuple[float, ...] = ()


HEAVY = Pen(0.7)  # what is wanted
WIDE = Pen(0.5)  # visible edges
NARROW = Pen(0.25)  # dimension, extension and leader lines, hatching
HIDDEN = Pen(0.25, (2.0, 0.8))
CENTRE = Pen(0.25, (6.0, 0.9, 0.4, 0.9))
ADJACENT = Pen(0.25, (6.0, 0.9, 0.4, 0.9, 0.4, 0.9))  # jaws, clamps, the cutter itself


class Lettering(NamedTuple):
    """How words stand: height of capitals, what their place means, upright or turned, backed."""

    height: float = CAPITAL
    anchor: Anchor = "start"
    turned: bool = False  # read from the right of the sheet, as beside an upright dimension line
    backed: bool = False  # on white, where there are lines beneath
    bold: bool = False


LABEL = Lettering(SMALL, "middle", backed=True)


def written(value: float) -> str:
    """Return a number as the SVG has it, to 0.001 mm.

    >>> written(12.50000), written(-0.0001)
    ('12.5', '0')
    """
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def box_of(at: Point, words: str, lettering: Lettering) -> Box:
    """Return the room that words take, standing with their foot line's anchor at a place."""
    height = lettering.height
    width = width_of(words, height) * (BOLDER if lettering.bold else 1.0)
    foot = (DESCENT if any(each in HANGING for each in words) else 0.0) * height
    before = {"start": 0.0, "middle": width / 2, "end": width}[lettering.anchor]
    x, y = at
    if lettering.turned:
        return Box(x - height, y - width + before, x + foot, y + before)
    return Box(x - before, y - height, x - before + width, y + foot)


class Sheet:
    """What is drawn so far; lettering is kept apart, so that it ends up on top of all lines."""

    def __init__(self, name: str = "") -> None:
        self._name = name  # begins the names of its parts, where a page holds more than one
        self.boxes: list[Box] = []  # of the lettering, and of what it must not cover
        self._marks: list[str] = []
        self._words: list[str] = []
        self._clips = 0
        self.pages = 1  # A4 each, one under the other

    @contextmanager
    def group(self, kind: str, **attributes: str) -> Iterator[None]:
        """Keep together what is drawn inside, under a class and with attributes."""
        more = "".join(f' {key.replace("_", "-")}="{clean(v)}"' for key, v in attributes.items())
        self._marks.append(f'<g class="{clean(kind)}"{more}>')
        yield
        self._marks.append("</g>")

    @contextmanager
    def kept(self, name: str) -> Iterator[None]:
        """Keep what is drawn inside under a name, to be shown where it is asked for."""
        self._marks.append(f'<defs><g id="{clean(self._name + name)}">')
        yield
        self._marks.append("</g></defs>")

    def show(self, name: str, offset: Point) -> None:
        """Show what was kept under a name, moved by so much."""
        x, y = (written(each) for each in offset)
        self._marks.append(f'<use href="#{clean(self._name + name)}" x="{x}" y="{y}"/>')

    @contextmanager
    def clipped(self, box: Box) -> Iterator[None]:
        """Show only inside a rectangle what is drawn in here (lettering excepted)."""
        self._clips += 1
        name = f"{self._name}window-{self._clips}"
        inside = f"<rect {_rectangle(box)}/>"
        self._marks.append(f'<clipPath id="{name}">{inside}</clipPath>')
        self._marks.append(f'<g clip-path="url(#{name})">')
        yield
        self._marks.append("</g>")

    def line(self, start: Point, end: Point, pen: Pen = NARROW) -> None:
        """Draw a straight line."""
        (x1, y1), (x2, y2) = [(written(x), written(y)) for x, y in (start, end)]
        self._marks.append(f'<line x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}"{_stroke(pen)}/>')

    def lines(self, segments: Iterable[tuple[Point, Point]], pen: Pen = NARROW) -> None:
        """Draw many straight lines as one element."""
        path = "".join(f"M{_pair(a)}L{_pair(b)}" for a, b in segments)
        if path:
            self.path(path, pen)

    def polyline(self, points: Sequence[Point], pen: Pen = NARROW) -> None:
        """Draw straight lines from point to point."""
        path = "L".join(_pair(point) for point in points)
        self.path(f"M{path}", pen)

    def path(self, data: str, pen: Pen = NARROW, kind: str = "") -> None:
        """Draw an outline given in SVG's own path notation."""
        named = f' class="{clean(kind)}"' if kind else ""
        self._marks.append(f'<path{named} d="{data}"{_stroke(pen)}/>')

    def filled(self, points: Sequence[Point], fill: str = "black") -> None:
        """Fill an area."""
        path = " ".join(_pair(point) for point in points)
        self._marks.append(f'<polygon points="{path}" fill="{fill}" stroke="none"/>')

    def circle(self, centre: Point, radius: float, pen: Pen = NARROW, kind: str = "") -> None:
        """Draw a circle."""
        named = f' class="{clean(kind)}"' if kind else ""
        x, y, r = written(centre[0]), written(centre[1]), written(radius)
        self._marks.append(f'<circle{named} cx="{x}" cy="{y}" r="{r}"{_stroke(pen)}/>')

    def rectangle(self, box: Box, pen: Pen = NARROW, fill: str = "none") -> None:
        """Draw a rectangle, filled if wished."""
        self._marks.append(f"<rect {_rectangle(box)}{_stroke(pen, fill)}/>")

    def text(self, at: Point, words: str, lettering: Lettering = Lettering()) -> Box:  # noqa: B008
        """Write words and return the room they take; nothing else may be written there."""
        words = " ".join(split(words))
        box = box_of(at, words, lettering)
        self.boxes.append(box)
        if lettering.backed:
            self._words.append(f'<rect {_rectangle(box.grown(0.3))} fill="white"/>')
        x, y = written(at[0]), written(at[1])
        size = written(lettering.height / CAPITAL_OF_FONT)
        turn = f' transform="rotate(-90 {x} {y})"' if lettering.turned else ""
        weight = ' font-weight="bold"' if lettering.bold else ""
        anchor = "" if lettering.anchor == "start" else f' text-anchor="{lettering.anchor}"'
        self._words.append(
            f'<text x="{x}" y="{y}" font-size="{size}"{anchor}{weight}{turn}>{clean(words)}</text>'
        )
        return box

    def block(self, box: Box) -> None:
        """Keep lettering that can be moved off a place."""
        self.boxes.append(box)

    def free(self, box: Box, within: Box) -> bool:
        """Return whether nothing is written there yet, and the place lies within bounds."""
        return within.holds(box) and not any(box.meets(other) for other in self.boxes)

    def svg(self, title: str) -> str:
        """Return the whole drawing as a self-contained SVG."""
        size = WIDTH, HEIGHT * self.pages
        paper = f'<rect width="{WIDTH:g}" height="{size[1]:g}" fill="white"/>'
        lines = ['<?xml version="1.0" encoding="UTF-8"?>', *self._drawing(title, size, paper)]
        return "\n".join(lines) + "\n"

    def picture(self, title: str, size: Point) -> str:
        """Return what is drawn from the left top corner on, as SVG to stand within a page.

        It has no paper of its own, so that the page's shows through.
        """
        return "\n".join(self._drawing(title, size))

    def _drawing(self, title: str, size: Point, *under: str) -> Iterator[str]:
        """Yield the lines of an SVG of a size, mm, on what lies under it."""
        width, height = (written(each) for each in size)
        yield (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
            f'viewBox="0 0 {width} {height}">'
        )
        yield f"<title>{clean(title)}</title>"
        yield from under
        yield '<g fill="none" stroke="black" stroke-linejoin="round">'
        yield from self._marks
        yield "</g>"
        yield f'<g class="lettering" font-family="{FONT}" fill="black">'
        yield from self._words
        yield "</g>"
        yield "</svg>"


def _pair(point: Point) -> str:
    return f"{written(point[0])},{written(point[1])}"


def _stroke(pen: Pen, fill: str = "") -> str:
    dash = " ".join(written(each) for each in pen.dash)
    broken = f' stroke-dasharray="{dash}"' if dash else ""
    inside = f' fill="{fill}"' if fill else ""
    return f' stroke-width="{written(pen.width)}"{broken}{inside}'


def _rectangle(box: Box) -> str:
    x, y, width, height = (written(v) for v in (box.left, box.top, box.width, box.height))
    return f'x="{x}" y="{y}" width="{width}" height="{height}"'
