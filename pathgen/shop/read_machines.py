"""Reading machine files: what each key may be, and what has to fit together."""

from __future__ import annotations

from typing import TypeVar

from pathgen.input.getters import Table
from pathgen.input.naming import guard_name
from pathgen.input.units import UNITS
from pathgen.input.where import nearest
from pathgen.shop.lathes import Lathe, read_lathe
from pathgen.shop.machines import (
    HAND_ROOM,
    TURNED_AXES,
    Arcs,
    Control,
    Cycle,
    Fluid,
    HeightWay,
    Machine,
    Rigidity,
    Rotary,
    Spindle,
    Tapping,
    Threading,
    Words,
)
from pathgen.shop.rotary import read_rotary
from pathgen.shop.slides import AXES, Axis, Slide, read_slide
from pathgen.shop.tilts import read_tilt

RIGIDITIES: tuple[Rigidity, ...] = ("light", "medium", "rigid")
CYCLES: tuple[Cycle, ...] = ("G81", "G82", "G83", "G85", "G89")
ARCS: tuple[Arcs, ...] = ("centre", "radius", "none")
TAPPINGS: tuple[Tapping, ...] = ("none", "G84", "G33.1")
THREADINGS: tuple[Threading, ...] = ("none", "G33")
ROTARIES: tuple[Rotary, ...] = ("none", "A")
COOLANTS: tuple[Fluid, ...] = ("mist", "flood")
X_WORDS: tuple[Words, ...] = ("radius", "diameter")
Word = TypeVar("Word", bound=str)


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
    if lathe.carriage_stop and lathe.carriage_stop not in along:
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
