"""What a lathe has besides its slides and spindle: chucks, room, leadscrew and change wheels."""

from __future__ import annotations

from dataclasses import dataclass

from pathgen.input.getters import Table
from pathgen.reckon.screw_cutting import REACTION_S
from pathgen.shop.holding import (
    Centre,
    Chuck,
    Collets,
    Dog,
    DrivingPlate,
    Faceplate,
    Steady,
    read_centre,
    read_chuck,
    read_collets,
    read_dog,
    read_driving_plate,
    read_faceplate,
    read_steady,
)

QUICKEST_S = 0.2  # that a hand may be said to clear a tool in: common practice, no source
SLOWEST_S = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadDial:
    """A dial that the leadscrew turns while the half-nuts are open, with one of its wheels."""

    teeth: int  # of the wheel on the leadscrew
    marks: int  # numbered from 1, at which the half-nuts may be closed


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """What a lathe holds and supports work with besides its chucks; lengths in mm."""

    collets: tuple[Collets, ...] = ()
    driving_plate: DrivingPlate | None = None
    faceplate: Faceplate | None = None
    dogs: tuple[Dog, ...] = ()
    centres: tuple[Centre, ...] = ()
    steadies: tuple[Steady, ...] = ()
    quill: float = 0.0  # diameter of the tailstock's quill; 0: not known
    set_over: float = 0.0  # how far the tailstock can be set over across, to either side


@dataclass(frozen=True, slots=True, kw_only=True)
class Lathe:
    """The room a lathe has, what it holds work in, and how its carriage is fed; lengths in mm."""

    swing: float  # largest diameter over the bed
    between_centres: float
    spindle_bore: float
    chucks: tuple[Chuck, ...]
    tailstock: str = ""  # the name of the slide that is its quill; empty: it has none with a dial
    carriage_stop: str = ""  # the slide that runs against a stop on the bed; empty: it has none
    drills_in_post: bool = False  # of a programmed one: the post holds drills, on the axis
    compound: str = ""  # the name of the slide that may be swung; empty: none
    leadscrew_pitch: float | None = None
    travel: tuple[float, ...] = ()  # of a programmed one: across, along
    change_wheels: tuple[int, ...] = ()  # teeth of each wheel at hand
    thread_dials: tuple[ThreadDial, ...] = ()
    reaction_s: float = REACTION_S  # from seeing a reading to having cleared the tool of a thread
    holding: Holding = Holding()
    spindle_length: float = 0.0  # from the chuck's face to the back end; 0: not known


def read_lathe(table: Table, *, programmed: bool) -> Lathe:
    """Read ``[lathe]``; what is returned is of use only if nothing was wrong."""
    swing = table.length("swing", above=0)
    between = table.length("between_centres", above=0)
    bore = table.length("spindle_bore", default=0.0, least=0)
    long = table.length("spindle_length", default=0.0, least=0)
    tailstock = table.text("tailstock", default="-")
    compound = "" if programmed else table.text("compound", default="-")
    stop = table.text("carriage_stop", default="-") if not programmed else "-"
    in_post = table.flag("drills_in_post", default=False) if programmed else False
    pitch = table.optional_length("leadscrew_pitch", above=0)
    wheels = table.numbers("change_wheels", default=())
    travel = table.lengths("travel", count=2) if programmed else ()
    reaction_s = REACTION_S
    if not programmed:
        reaction_s = table.number(
            "reaction_s", default=REACTION_S, least=QUICKEST_S, most=SLOWEST_S
        )
    dials = [_read_thread_dial(each) for each in table.tables("thread_dial")]
    chucks = [read_chuck(each) for each in table.tables("chuck", least=1)]
    holding = _read_holding(table)
    table.no_more()
    if not table.faulty and any(teeth < 1 or teeth != int(teeth) for teeth in wheels):
        table.wrong("change_wheels", "a wheel without whole teeth", "give whole numbers of teeth")
    return Lathe(
        swing=swing,
        between_centres=between,
        spindle_bore=bore,
        chucks=tuple(chucks),
        tailstock="" if tailstock == "-" else tailstock,
        compound="" if compound == "-" else compound,
        carriage_stop="" if stop == "-" else stop,
        drills_in_post=in_post,
        leadscrew_pitch=pitch,
        travel=travel,
        change_wheels=tuple(int(teeth) for teeth in wheels),
        thread_dials=tuple(dials),
        reaction_s=reaction_s,
        holding=holding,
        spindle_length=long,
    )


def _read_holding(table: Table) -> Holding:
    """Read what else work is held and supported with."""
    plate = table.optional_table("driving_plate")
    faceplate = table.optional_table("faceplate")
    holding = Holding(
        collets=tuple(read_collets(each) for each in table.tables("collets")),
        driving_plate=None if plate is None else read_driving_plate(plate),
        faceplate=None if faceplate is None else read_faceplate(faceplate),
        dogs=tuple(read_dog(each) for each in table.tables("dog")),
        centres=tuple(read_centre(each) for each in table.tables("centre")),
        steadies=tuple(read_steady(each) for each in table.tables("steady")),
        quill=table.length("quill_diameter", default=0.0, least=0),
        set_over=table.length("set_over", default=0.0, least=0),
    )
    if holding.centres and not holding.quill and not table.faulty:
        table.wrong(
            "quill_diameter",
            "not given, and the tool is to keep off the quill that a centre is in",
            "measure the tailstock's quill across",
        )
    if holding.dogs and plate is None and not table.faulty:
        table.wrong("dog", "a dog and nothing that drives it", "give [lathe.driving_plate]")
    return holding


def _read_thread_dial(table: Table) -> ThreadDial:
    """Read one ``[[lathe.thread_dial]]``: one wheel of the dial, and the marks that go with it."""
    dial = ThreadDial(
        teeth=table.whole("teeth", least=2, most=100),
        marks=table.whole("marks", least=1, most=32),
    )
    table.no_more()
    if not table.faulty and dial.teeth % dial.marks:
        table.wrong(
            "marks",
            f"{dial.marks} marks on a dial whose wheel has {dial.teeth} teeth",
            "give a number that divides the teeth: the half-nuts close at whole pitches alone",
        )
    return dial
