"""Machines: a spindle, and slides with handles or a control that reads programs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Literal, TypeAlias

from pathgen.input.units import Units
from pathgen.input.where import Where
from pathgen.shop.lathes import Lathe
from pathgen.shop.rotary import RotaryTable
from pathgen.shop.slides import AXES, Axis, Slide
from pathgen.shop.tilts import Tilt

Rigidity: TypeAlias = Literal["light", "medium", "rigid"]
Cycle: TypeAlias = Literal["G81", "G82", "G83", "G85", "G89"]
Arcs: TypeAlias = Literal["centre", "radius", "none"]
Tapping: TypeAlias = Literal["none", "G84", "G33.1"]
Threading: TypeAlias = Literal["none", "G33"]
Rotary: TypeAlias = Literal["none", "A"]
Fluid: TypeAlias = Literal["mist", "flood"]
Words: TypeAlias = Literal["radius", "diameter"]
BY_EYE = 2.0  # mm, by which a height set with a rule may be off; common practice, no source
HAND_ROOM = 40.0  # mm, where a machine does not say
TURNED_AXES: tuple[Axis, ...] = ("x", "z")  # those of a lathe: across and along its spindle


@dataclass(frozen=True, slots=True, kw_only=True)
class Spindle:
    """The speeds a spindle has: fixed ones, or a range; rev/min."""

    speeds: tuple[float, ...] = ()  # rising; empty where the speed is set freely
    lowest: float
    highest: float

    def has(self, rpm: float) -> bool:
        """Return whether the spindle can run at a speed (to 1 rev/min)."""
        if self.speeds:
            return any(abs(rpm - speed) < 1 for speed in self.speeds)
        return self.lowest - 1 < rpm < self.highest + 1


@dataclass(frozen=True, slots=True, kw_only=True)
class HeightWay:
    """What brings work and spindle together beside the slide that takes the depth; mm.

    A knee beside a quill, or the head on its column. It stands still, locked, while metal is cut.
    """

    name: str  # "knee", "head"
    travel: float
    lock: bool = True
    swings: bool = False  # a head on a round column: as it is moved, x and y are lost
    collet: float = 0.0  # how far a collet's face stands below the spindle's nose
    chuck: float = 0.0  # the same of the drill chuck's closed jaws


@dataclass(frozen=True, slots=True, kw_only=True)
class Control:
    """What a control understands; what is not declared is taken as absent."""

    units: Units
    decimals: int  # of a length in a program
    cycles: tuple[Cycle, ...] = ()
    tool_change: bool = False  # a tool-change word; else a stop with a message
    tool_length: bool = False  # lengths kept in a table; else the depth zero is taken again
    spindle_speed: bool = True  # the speed is set by a word; else by hand, at a stop
    arcs: Arcs = "centre"
    full_circle: bool = True
    helix: bool = True
    rapid_straight: bool = True
    coolant: tuple[Fluid, ...] = ()
    tapping: Tapping = "none"  # by which word it taps, the slide in step with the spindle
    rotary: Rotary = "none"  # by which word it turns the work about its own axis
    comments: bool = True
    line_length: int = 80
    line_numbers: bool = False
    percent: bool = False  # fences of % about the program
    rapid_rate: float = 1000.0  # mm/min
    feed_most: float = 1000.0  # mm/min
    repeatability: float = 0.01  # half width of what a position leaves open, mm
    x_words: Words = "radius"  # of a lathe: what an X in a program is
    feed_per_turn: bool = False  # of a lathe: G95, F in lengths a turn; else a minute
    acceleration: float = 0.0  # mm/s2, of the slowest axis; 0: not known
    threading: Threading = "none"  # of a lathe: the word for a cut in step with the spindle


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """A mill, or a lathe; lengths in mm. Manual ones have slides, converted ones a control."""

    name: str
    title: str
    rigidity: Rigidity
    spindle: Spindle
    travel: tuple[float, float, float]
    slides: tuple[Slide, ...] = ()
    control: Control | None = None
    motor_w: float | None = None
    height: HeightWay | None = None
    hand_room: float = HAND_ROOM  # that the cutter goes up for hands: to measure, to change it
    tilt: Tilt | None = None  # a head that tilts, or a chuck for the work that does
    rotary: RotaryTable | None = None  # a table that turns the work about an upright axis
    lathe: Lathe | None = None  # what a lathe has besides; None for a mill
    file: str = ""
    where: Where = field(compare=False, repr=False)

    @property
    def axes(self) -> tuple[Axis, ...]:
        """Return the axes along which its slides go."""
        return AXES if self.lathe is None else TURNED_AXES

    @property
    def manual(self) -> bool:
        """Return whether the machine is worked by its handles."""
        return self.control is None

    @property
    def interpolates(self) -> bool:
        """Return whether two axes can move at once along an arc."""
        return self.control is not None and self.control.arcs != "none"

    @property
    def units(self) -> Units:
        """Return the units the machine speaks: of its programs, or of its table's dial."""
        if self.control is not None:
            return self.control.units
        return self.slides[0].dial_units

    def room_for_hands(self, above: float, lowest: float) -> float:
        """Return how far above a height the cutter goes for hands, mm.

        As far as the machine's file asks, but at most half of its travel, and no more than that
        leaves above the lowest place the cutter goes to. By a handle in whole turns.

        Args:
            above: the height, z; mm.
            lowest: the lowest place, z; mm.
        """
        left = self.travel[2] - (above - lowest) - (2 * BY_EYE if self.height else 0.0)
        room = max(0.0, min(self.hand_room, self.travel[2] / 2, left))
        if not self.manual:
            return room
        per_turn = self.slide("z").per_turn
        return room // per_turn * per_turn

    def slide(self, axis: Axis) -> Slide:
        """Return the slide that serves an axis; of several along a lathe's axis the first."""
        return next(slide for slide in self.slides if slide.axis == axis)

    def with_slides(self, names: Sequence[str]) -> Machine:
        """Return the machine as it is set for a job: with the slides of these names alone."""
        if not names:
            return self
        return replace(self, slides=tuple(each for each in self.slides if each.name in names))

    def slide_named(self, name: str) -> Slide | None:
        """Return the slide with a name, None when there is none."""
        return next((slide for slide in self.slides if slide.name == name), None)
