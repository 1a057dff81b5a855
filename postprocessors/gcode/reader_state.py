"""What a control knows while it reads a program, and what the reader has found so far."""

from __future__ import annotations

import math
from array import array
from collections.abc import Iterator
from dataclasses import dataclass, field

from pathgen import INCH
from pathgen.moves.actions import CoolantKind
from pathgen.moves.plan import Item, LengthInForce, Trouble
from postprocessors.gcode.reader_codes import ARCS
from postprocessors.gcode.reader_planes import LEVEL

NAN = math.nan
FACTOR = {200: INCH, 210: 1.0}  # mm in a unit of the program
# By how much the two radii of an arc may differ, mm: 0.0002 in or 0.002 mm (NISTIR 6556, 3.5.3.2).
MISMATCH = {INCH: 0.0002 * INCH, 1.0: 0.002}


@dataclass(slots=True)
class Cycle:
    """What a canned cycle keeps from line to line; lengths in mm, nan until given."""

    bottom: float = NAN
    clear: float = NAN
    peck: float = NAN
    dwell_s: float = NAN
    by_positions: bool = True  # bottom and clear were given under G90


@dataclass(slots=True)
class State:
    """The modes in force (None: never set in this program), and where the cutter is; mm."""

    x: float = NAN
    y: float = NAN
    z: float = NAN
    turned_deg: float = 0.0  # by A, from where the program begins
    units: int | None = None
    absolute: bool | None = None
    plane: int | None = None  # code in tenths, of G17, G18 or G19; None: not given
    plane_word: str = "G17"  # that a program has to give; G18 of a lathe
    radius_off: bool = False  # G40 was given
    per_minute: bool = False  # G94 was given
    coordinates: bool = False  # G54 was given
    length: int | None = None  # the H of G43 in force, 0 for G49
    to_old_level: bool | None = None  # G98, else G99
    motion: int | None = None  # code in tenths
    feed: float = 0.0  # mm/min
    feed_units: int | None = None  # in force when the feed was given
    rpm: float = 0.0
    turning: bool = False
    coolant: CoolantKind = "off"  # by the program's words; what a person turns on stays on
    chosen: int | None = None  # by T
    fitted: int | None = None
    started: bool = False  # a first move was met, and the modes looked at
    cycle: Cycle = field(default_factory=Cycle)

    @property
    def factor(self) -> float:
        """Return the length of one unit of the program, mm; taken as 1 until it is set."""
        return FACTOR[self.units or 210]

    @property
    def mismatch(self) -> float:
        """Return by how much the radii of an arc may differ, mm."""
        return MISMATCH[self.factor]

    def lose_place(self) -> None:
        """Forget where the cutter is."""
        self.x = self.y = self.z = NAN

    def unset(self) -> Iterator[str]:
        """Yield the modes that a program relies on and this one has not set."""
        for there, name in (
            (self.units is not None, "G20 or G21"),
            (self.absolute is not None, "G90 or G91"),
            (self.plane is not None, self.plane_word),
            (self.radius_off, "G40"),
            (self.length is not None, "G43 or G49"),
            (self.coordinates, "G54"),
            (self.per_minute, "G94"),
        ):
            if not there:
                yield name

    def end(self) -> None:
        """Take back what the end of a program does: G90, the motion word, spindle, coolant."""
        self.absolute, self.motion, self.plane = True, 10, LEVEL
        self.turning, self.coolant = False, "off"

    @property
    def arcs_in_force(self) -> bool:
        """Return whether lines without a motion word are arcs."""
        return self.motion in ARCS


@dataclass(slots=True)
class Found:
    """What was read so far."""

    items: list[Item] = field(default_factory=list)
    numbers: array[int] = field(default_factory=lambda: array("i"))
    troubles: list[Trouble] = field(default_factory=list)
    lengths: list[LengthInForce] = field(default_factory=list)

    def add(self, number: int, *items: Item) -> None:
        """Add items of one line."""
        for item in items:
            self.items.append(item)
            self.numbers.append(number)

    def length(self, number: int, cutter: int) -> None:
        """Add that z is counted by another length from here on, 0 for none."""
        self.lengths.append(LengthInForce(len(self.items), number, cutter))

    def trouble(self, number: int, what: str, remedy: str, code: str = "reading") -> None:
        """Add something that can be read but is not right."""
        self.troubles.append(Trouble(number=number, what=what, remedy=remedy, code=code))
