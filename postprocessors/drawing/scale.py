"""True proportion: the standard scales, and where a place of the part comes to lie on the sheet."""

from __future__ import annotations

import math
from typing import NamedTuple

from pathgen import INCH
from pathgen.input.units import Units as UnitName
from pathgen.input.units import figure
from postprocessors.drawing.sheet import Box, Point

# ISO 5455 (from memory), largest first: enlargements, full size, reductions.
SCALES = (10.0, 5.0, 2.0, 1.0, 1 / 2, 1 / 5, 1 / 10, 1 / 20, 1 / 50)
LEAST_BAR = 18.0  # least length of the scale bar on the sheet, mm


def scale_name(scale: float) -> str:
    """Return a scale as a drawing states it.

    >>> scale_name(5.0), scale_name(0.2)
    ('5:1', '1:5')
    """
    return f"{scale:g}:1" if scale > 1 else f"1:{1 / scale:g}"


class Extent(NamedTuple):
    """A rectangle of the part, mm: two axes, low and high."""

    low_across: float
    low_up: float
    high_across: float
    high_up: float

    def joined(self, other: Extent) -> Extent:
        """Return the least extent that holds both."""
        lows = (min(a, b) for a, b in zip(self[:2], other[:2], strict=True))
        highs = (max(a, b) for a, b in zip(self[2:], other[2:], strict=True))
        return Extent(*lows, *highs)

    def common(self, other: Extent) -> Extent:
        """Return what both hold; its high side may lie below its low one."""
        lows = (max(a, b) for a, b in zip(self[:2], other[:2], strict=True))
        highs = (min(a, b) for a, b in zip(self[2:], other[2:], strict=True))
        return Extent(*lows, *highs)

    def grown(self, by: float) -> Extent:
        """Return it grown on all sides."""
        return Extent(self[0] - by, self[1] - by, self[2] + by, self[3] + by)

    @property
    def empty(self) -> bool:
        """Return whether it holds nothing."""
        return self.low_across >= self.high_across or self.low_up >= self.high_up


class View(NamedTuple):
    """A view of the part on the sheet: its scale, and the sheet's place of the part's (0, 0).

    ``across`` and ``up`` are two axes of the setup's frame: x and y in the plan, x and z in
    the section.
    """

    scale: float
    left: float  # sheet's x of the place 0 across
    foot: float  # sheet's y of the place 0 up

    def at(self, across: float, up: float) -> Point:
        """Return the place on the sheet, mm, of a place of the part, mm."""
        return self.left + self.scale * across, self.foot - self.scale * up


def sheet_box(view: View, extent: Extent) -> Box:
    """Return the rectangle on the sheet of a rectangle of the part."""
    left, bottom = view.at(extent.low_across, extent.low_up)
    right, top = view.at(extent.high_across, extent.high_up)
    return Box(left, top, right, bottom)


class Units(NamedTuple):
    """The job's units: how lengths are written on the drawing."""

    name: UnitName

    def number(self, length: float) -> str:
        """Return a length given in mm as a bare number in the units, without idle noughts.

        >>> Units("mm").number(12.50), Units("in").number(9.525)
        ('12.5', '0.375')
        """
        return figure(length, self.name).replace("-", "\N{MINUS SIGN}")

    def bar(self, scale: float) -> float:
        """Return the length, in mm of the part, of a scale bar of a round length in the units.

        >>> Units("mm").bar(1.0), round(Units("in").bar(1.0) / 25.4, 3)
        (20.0, 1.0)
        """
        unit = 1.0 if self.name == "mm" else INCH
        least = LEAST_BAR / scale / unit
        decade = 10.0 ** math.floor(math.log10(least))
        return unit * next(each * decade for each in (1, 2, 5, 10) if each * decade >= least)
