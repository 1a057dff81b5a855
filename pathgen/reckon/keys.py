"""Keyways for parallel and Woodruff keys, and T-slots: nominal sizes from the standards, in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from pathgen import INCH
from pathgen.reckon.guards import above_zero, nearest_words
from pathgen.reckon.iso286 import grade_width
from pathgen.reckon.tables import table

__all__ = [
    "Keyway",
    "TSlot",
    "WoodruffKeyway",
    "keyway_at_wall",
    "keyway_class",
    "keyway_depth_room",
    "keyway_rise",
    "parallel_keyway",
    "t_slot",
    "t_slot_bolts",
    "woodruff_keyway",
]

# Widths of keyways by how the key is to sit. Source: DIN 6885-1, as reprinted in keyway sheets.
KEYWAY_CLASSES = {
    "shaft": {"normal": "N9", "tight": "P9", "sliding": "H9"},
    "hub": {"normal": "JS9", "tight": "P9", "sliding": "D10"},
}
SHALLOW_ROOM, DEEP_ROOM = 0.1, 0.2  # mm over the depth of the table, DIN 6885-1, from memory
LAST_SHALLOW = 6.0  # mm: the widest key with the smaller of the two, from memory
SAME_KEY = 0.01  # mm: two sizes nearer than this name one key


@dataclass(frozen=True, slots=True, kw_only=True)
class Keyway:
    """A parallel key and its keyways: width b, height h, depth in shaft t1 and in hub t2, mm.

    The depths are at the middle: d - t1 is left of the shaft, d + t2 is the size of the hub.
    """

    width: float
    height: float
    shaft_depth: float
    hub_depth: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodruffKeyway:
    """A Woodruff key and its keyways, mm; the shaft's depth is at the wall of the seat."""

    width: float
    diameter: float
    height: float
    shaft_depth: float
    hub_depth: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TSlot:
    """A T-slot for a size of bolt, mm; pairs are least and largest.

    `holding` is the throat of a slot that only holds bolts, `locating` of one that also lines up
    what is keyed to it. `depth` is the whole depth from the table's face; None where it was not
    read in print.
    """

    bolt: str
    throat: float
    holding: tuple[float, float]
    locating: tuple[float, float]
    head_width: tuple[float, float]
    head_depth: tuple[float, float]
    depth: tuple[float, float] | None
    source: str


def parallel_keyway(shaft: float) -> Keyway:
    """Return the parallel key and its keyways for a shaft diameter, in mm.

    Source: DIN 6885-1, per row in `data/keys.toml`; a diameter on a border takes the smaller key.

    >>> key = parallel_keyway(15.0)
    >>> key.width, key.height, key.shaft_depth, key.hub_depth
    (5.0, 5.0, 3.0, 2.3)
    """
    above_zero(shaft=shaft)
    data = table("keys")
    rows = data["parallel"]["rows"]
    for over, to, *figures, source in rows:
        if over < shaft <= to:
            width, height, shaft_depth, hub_depth = map(float, figures)
            return Keyway(
                width=width,
                height=height,
                shaft_depth=shaft_depth,
                hub_depth=hub_depth,
                source=data["sources"][source],
            )
    raise ValueError(
        f"no parallel key is listed for a shaft of {shaft:g}; "
        f"give one over {rows[0][0]:g} and up to {rows[-1][1]:g}"
    )


def keyway_class(part: str, fit: str) -> str:
    """Return the ISO 286 class of a keyway's width, in "shaft" or "hub", by how the key sits.

    Source: DIN 6885-1, as reprinted in keyway sheets.

    >>> keyway_class("shaft", "normal"), keyway_class("hub", "sliding")
    ('N9', 'D10')
    """
    return KEYWAY_CLASSES[part][fit]


def keyway_depth_room(width: float) -> float:
    """Return by how much, in mm, a keyway may be deeper than the table has it; never less deep.

    Source: DIN 6885-1, from memory.

    >>> keyway_depth_room(6.0), keyway_depth_room(8.0)
    (0.1, 0.2)
    """
    return SHALLOW_ROOM if width <= LAST_SHALLOW else DEEP_ROOM


def keyway_rise(shaft: float, width: float) -> float:
    """Return by how much, in mm, a keyway is deeper at its middle than at its wall.

    Source: f = R - sqrt(R^2 - (b/2)^2), US Navy NAVEDTRA 14345.

    >>> round(keyway_rise(15.0, 5.0), 6)
    0.428932
    """
    above_zero(shaft=shaft, width=width)
    if width > shaft:
        raise ValueError(f"a keyway {width:g} wide is wider than its shaft; give at most {shaft:g}")
    return (shaft - math.sqrt((shaft - width) * (shaft + width))) / 2


def keyway_at_wall(shaft: float, width: float, depth: float) -> float:
    """Return the depth of a keyway at its wall, in mm, from that at its middle.

    >>> round(keyway_at_wall(15.0, 5.0, 3.0), 3)
    2.571
    """
    above_zero(depth=depth)
    rise = keyway_rise(shaft, width)
    if depth <= rise:
        raise ValueError(
            f"a keyway {depth:g} deep has no wall; give more than {rise:.4g}, the rise of the shaft"
        )
    return depth - rise


def woodruff_keyway(width: float, diameter: float) -> WoodruffKeyway:
    """Return the keyways of a Woodruff key of a width and a diameter, in mm.

    Source: a key maker's table of inch sizes, in `data/keys.toml`.

    >>> round(woodruff_keyway(3.175, 12.7).shaft_depth, 4)
    3.4417
    """
    data = table("keys")
    known = []
    for wide, across, height, shaft_depth, hub_depth in data["woodruff"]["rows"]:
        key_width, key_diameter = float(Fraction(wide)) * INCH, float(Fraction(across)) * INCH
        known.append(f"{wide} x {across} in")
        if max(abs(width - key_width), abs(diameter - key_diameter)) < SAME_KEY:
            return WoodruffKeyway(
                width=key_width,
                diameter=key_diameter,
                height=height * INCH,
                shaft_depth=shaft_depth * INCH,
                hub_depth=hub_depth * INCH,
                source=data["sources"]["woodruff"],
            )
    raise ValueError(
        f"no Woodruff key {width:g} x {diameter:g} mm is listed; known: {', '.join(known)}"
    )


def t_slot_bolts() -> tuple[str, ...]:
    """Return the sizes of bolts for which T-slots are listed.

    >>> t_slot_bolts()[0], t_slot_bolts()[-1]
    ('M4', '1 1/2 in')
    """
    data = table("keys")
    return tuple(row[0] for name in ("t_slot", "t_slot_inch") for row in data[name]["rows"])


def t_slot(bolt: str) -> TSlot:
    """Return the T-slot for a bolt, "M10" or "1/2 in".

    Source: ANSI/ASME B5.1M and ISO 299, per row in `data/keys.toml`.

    >>> t_slot("M10").throat, t_slot("M10").head_width
    (12.0, (19.0, 21.0))
    """
    data = table("keys")
    for name, unit in (("t_slot", 1.0), ("t_slot_inch", INCH)):
        for row in data[name]["rows"]:
            if row[0].casefold() == bolt.strip().casefold():
                return _t_slot(row, unit, data)
    raise ValueError(f"no T-slot is listed for {bolt!r}; {nearest_words(bolt, t_slot_bolts())}")


def _t_slot(row: list[float | str], unit: float, data: dict[str, Any]) -> TSlot:
    """Return a T-slot from a row of figures in a unit."""
    bolt, *figures, source = row
    throat, *pairs = (float(figure) * unit for figure in figures)
    couples = list(zip(pairs[::2], pairs[1::2], strict=True))
    wider = [
        grade_width(throat, grade) if unit == 1.0 else data["t_slot_inch"][use] * unit
        for use, grade in (("holding", 12), ("locating", 8))
    ]
    return TSlot(
        bolt=str(bolt),
        throat=throat,
        holding=(throat, throat + wider[0]),
        locating=(throat, throat + wider[1]),
        head_width=couples[0],
        head_depth=couples[1],
        depth=couples[2] if len(couples) > 2 else None,
        source=data["sources"][str(source)],
    )
