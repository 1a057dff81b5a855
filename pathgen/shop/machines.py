"""Machines: a spindle, and slides with handles or a control that reads programs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Literal, TypeAlias, TypeVar

from pathgen.input.getters import Table
from pathgen.input.naming import guard_name
from pathgen.input.units import UNITS, Units
from pathgen.input.where import Where, nearest
from pathgen.shop.lathes import Lathe, read_lathe
from pathgen.shop.rotary import RotaryTable, read_rotary
from pathgen.shop.slides import AXES, Axis, Slide, read_slide
from pathgen.shop.tilts import Tilt, read_tilt

Rigidity: TypeAlias = Literal["light", "medium", "rigid"]
Cycle: TypeAlias = Literal["G81", "G82", "G83", "G85", "G89"]
Arcs: TypeAlias = Literal["centre", "radius", "none"]
Tapping: TypeAlias = Literal["none", "G84", "G33.1"]
Threading: TypeAlias = Literal["none", "G33"]
Rotary: TypeAlias = Literal["none", "A"]
Fluid: TypeAlias = Literal["mist", "flood"]
Words: TypeAlias = Literal["radius", "diameter"]
RIGIDITIES: tuple[Rigidity, ...] = ("light", "medium", "rigid")
CYCLES: tuple[Cycle, ...] = ("G81", "G82", "G83", "G85", "G89")
ARCS: tuple[Arcs, ...] = ("centre", "radius", "none")
TAPPINGS: tuple[Tapping, ...] = ("none", "G84", "G33.1")
THREADINGS: tuple[Threading, ...] = ("none", "G33")
ROTARIES: tuple[Rotary, ...] = ("none", "A")
COOLANTS: tuple[Fluid, ...] = ("mist", "flood")
BY_EYE = 2.0  # mm, by which a height set with a rule may be off; common practice, no source
X_WORDS: tuple[Words, ...] = ("radius", "diameter")
TURNED_AXES: tuple[Axis, ...] = ("x", "z")  # those of a lathe: across and along its spindle
HAND_ROOM = 40.0  # mm, where a machine does not say
Word = TypeVar("Word", bound=str)


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


def read_machine(table: Table) -> Machine | None:
    """Read a machine file's root table; None when anything in it was wrong."""
    table.with_units(table.choice("units", UNITS))
    name = table.text("name")
    guard_name(table, "name", name)
    title = table.text("title", default=name)
    rigidity = table.choice("rigidity", RIGIDITIES, default="light")
    motor = table.optional_number("motor_w", above=0)
    hand_room = table.length("hand_room", default=HAND_ROOM, above=0)
    spindle = _spindle(table.table("spindle"))
    control_table = table.optional_table("control")
    control = _control(control_table) if control_table is not None else None
    tilt_table = table.optional_table("tilt")
    tilt = read_tilt(tilt_table) if tilt_table is not None else None
    rotary_table = table.optional_table("rotary")
    rotary = read_rotary(rotary_table) if rotary_table is not None else None
    slides = tuple(read_slide(each) for each in table.tables("slide"))
    height_table = table.optional_table("height")
    height = _height(height_table) if height_table is not None else None
    lathe_table = table.optional_table("lathe")
    programmed = control_table is not None
    lathe = read_lathe(lathe_table, programmed=programmed) if lathe_table is not None else None
    travel: tuple[float, ...] = () if lathe is None else lathe.travel
    if programmed and lathe is None:
        travel = table.lengths("travel", count=3)
    if not programmed:
        _guard_slides(table, slides, lathe)
    elif rotary_table is not None:
        table.wrong(
            "rotary",
            "a program goes along arcs by itself, and turns no rotary table",
            "leave out [rotary] or [control]",
        )
    elif height_table is not None:
        table.wrong("height", "a control has its own z", "leave out [height] or [control]")
    elif slides:
        table.wrong(
            "slide", "a machine with a control has slides too", "leave out [[slide]] or [control]"
        )
    table.no_more()
    if table.faulty or spindle is None:
        return None
    known = tuple(slide for slide in slides if slide is not None)
    if control is None:
        travel = _travel_of(known, lathe)
    return Machine(
        name=name,
        title=title,
        rigidity=rigidity,
        spindle=spindle,
        travel=(travel[0], travel[1] if lathe is None else 0.0, travel[-1]),
        slides=known,
        control=control,
        motor_w=motor,
        height=height,
        hand_room=hand_room,
        tilt=tilt,
        rotary=rotary,
        lathe=lathe,
        file=table.where().file,
        where=table.where(),
    )


def _travel_of(slides: tuple[Slide, ...], lathe: Lathe | None) -> tuple[float, ...]:
    """Return how far the slides go along each axis, mm: of several the longest."""
    axes = AXES if lathe is None else TURNED_AXES
    return tuple(max(slide.travel for slide in slides if slide.axis == axis) for axis in axes)


def _guard_slides(table: Table, slides: tuple[Slide | None, ...], lathe: Lathe | None) -> None:
    """Record an axis without a slide, or with too many, and a name used twice."""
    known = [slide for slide in slides if slide is not None]
    if len(known) < len(slides):
        return
    for axis in AXES:
        count = sum(slide.axis == axis for slide in known)
        right = _wrong_count(axis, count, lathe)
        if right:
            table.wrong("slide", f"{count} slides for axis {axis}", right)
    if lathe is not None:
        for key in ("tailstock", "compound"):
            _guard_named(table, key, getattr(lathe, key), known)
    if lathe is not None and lathe.carriage_stop:
        _guard_stop(table, lathe, known)
    names = [slide.name for slide in known]
    for name in sorted({name for name in names if names.count(name) > 1}):
        table.wrong("slide", f"two slides are called {name!r}", "give each handle its own name")


def _height(table: Table) -> HeightWay | None:
    """Read ``[height]``."""
    swings = table.flag("swings", default=False)
    height = HeightWay(
        name=table.text("name"),
        travel=table.length("travel", above=0),
        lock=table.flag("lock", default=True),
        swings=swings,
        collet=table.length("collet", least=0) if swings else 0.0,
        chuck=table.length("chuck", least=0) if swings else 0.0,
    )
    table.no_more()
    return None if table.faulty else height


def _wrong_count(axis: Axis, count: int, lathe: Lathe | None) -> str:
    """Return what would be right where an axis has a wrong number of slides; else nothing."""
    if lathe is None or axis == "x":
        return "" if count == 1 else f"give one [[slide]] with axis {axis}"
    if axis == "y":
        return "a lathe has slides for x and z" if count else ""
    return "" if count else "give the carriage, and what else goes along the axis"


def _guard_named(table: Table, part: str, name: str, slides: list[Slide]) -> None:
    """Record a tailstock or a compound whose slide is not there, or is the first along the axis."""
    along = [slide.name for slide in slides if slide.axis == "z"]
    if name and (name not in along or along[0] == name):
        what = "its quill" if part == "tailstock" else "it"
        table.wrong(
            "lathe",
            f"no slide {name!r} for the {part} after that of the carriage",
            f"give {what} as a [[slide]] with axis z, after the carriage",
        )


def _guard_stop(table: Table, lathe: Lathe, slides: list[Slide]) -> None:
    """Record a stop for a slide that does not go along the bed."""
    along = [slide.name for slide in slides if slide.axis == "z" and slide.name != lathe.tailstock]
    if lathe.carriage_stop not in along:
        table.wrong(
            "lathe",
            f"no slide {lathe.carriage_stop!r} along the axis for carriage_stop",
            nearest(lathe.carriage_stop, along),
        )


def _spindle(table: Table) -> Spindle | None:
    """Read ``[spindle]``: either ``speeds`` or ``lowest`` and ``highest``."""
    speeds = table.numbers("speeds", default=())
    if speeds:
        table.no_more()
        if any(speed <= 0 for speed in speeds):
            table.wrong("speeds", "a speed of nought or less", "give speeds in rev/min above 0")
        if table.faulty:
            return None
        rising = tuple(sorted(speeds))
        return Spindle(speeds=rising, lowest=rising[0], highest=rising[-1])
    lowest = table.number("lowest", above=0)
    highest = table.number("highest", above=0)
    table.no_more()
    if not table.faulty and highest < lowest:
        table.wrong("highest", f"{highest:g} is below the lowest, {lowest:g}", "swap the two")
    return None if table.faulty else Spindle(lowest=lowest, highest=highest)


def _control(table: Table) -> Control | None:
    """Read ``[control]``."""
    units = table.choice("units", UNITS, default=table.units)
    control = Control(
        units=units,
        decimals=table.whole("decimals", default=4 if units == "mm" else 5, least=2, most=6),
        cycles=_chosen(table, "cycles", CYCLES),
        threading=table.choice("threading", THREADINGS, default="none"),
        tapping=table.choice("tapping", TAPPINGS, default="none"),
        rotary=table.choice("rotary", ROTARIES, default="none"),
        tool_change=table.flag("tool_change", default=False),
        tool_length=table.flag("tool_length", default=False),
        spindle_speed=table.flag("spindle_speed", default=True),
        arcs=table.choice("arcs", ARCS, default="centre"),
        full_circle=table.flag("full_circle", default=True),
        helix=table.flag("helix", default=True),
        rapid_straight=table.flag("rapid_straight", default=True),
        coolant=_chosen(table, "coolant", COOLANTS),
        comments=table.flag("comments", default=True),
        line_length=table.whole("line_length", default=80, least=40, most=256),
        line_numbers=table.flag("line_numbers", default=False),
        percent=table.flag("percent", default=False),
        rapid_rate=table.length("rapid_rate", above=0),
        feed_most=table.length("feed_most", above=0),
        repeatability=table.length("repeatability", default=0.01, least=0),
        x_words=table.choice("x_words", X_WORDS, default="radius"),
        feed_per_turn=table.flag("feed_per_turn", default=False),
        acceleration=table.length("acceleration", above=0) if table.has("acceleration") else 0.0,
    )
    table.no_more()
    return None if table.faulty else control


def _chosen(table: Table, key: str, options: tuple[Word, ...]) -> tuple[Word, ...]:
    """Return those of the options that a list names, in the options' order."""
    named = table.words(key, options)
    return tuple(option for option in options if option in named)
