"""What a lathe has besides its slides and spindle: chucks, room, leadscrew and change wheels."""

from __future__ import annotations

from dataclasses import dataclass, field

from pathgen.input.getters import Table
from pathgen.input.where import Where


@dataclass(frozen=True, slots=True, kw_only=True)
class Chuck:
    """A chuck, its jaws as they stand out beyond its body; lengths in mm.

    What holds work of a diameter takes up two rectangles of the half plane: the jaws, from the
    work's surface out by ``jaw_depth``, and behind them the body.
    """

    name: str
    jaws: int
    least: float  # outside diameter that it holds, least and most
    most: float
    jaw_length: float  # along the axis, in front of the body
    jaw_depth: float  # outwards from the work
    body: float  # diameter
    most_rpm: float  # as marked on it
    where: Where = field(compare=False, repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadDial:
    """A dial that the leadscrew turns while the half-nuts are open, with one of its wheels."""

    teeth: int  # of the wheel on the leadscrew
    marks: int  # numbered from 1, at which the half-nuts may be closed


@dataclass(frozen=True, slots=True, kw_only=True)
class Lathe:
    """The room a lathe has, what it holds work in, and how its carriage is fed; lengths in mm."""

    swing: float  # largest diameter over the bed
    between_centres: float
    spindle_bore: float
    chucks: tuple[Chuck, ...]
    tailstock: str = ""  # the name of the slide that is its quill; empty: it has none with a dial
    drills_in_post: bool = False  # of a programmed one: the post holds drills, on the axis
    compound: str = ""  # the name of the slide that may be swung; empty: none
    leadscrew_pitch: float | None = None
    travel: tuple[float, ...] = ()  # of a programmed one: across, along
    change_wheels: tuple[int, ...] = ()  # teeth of each wheel at hand
    thread_dials: tuple[ThreadDial, ...] = ()

    def chuck(self, name: str) -> Chuck | None:
        """Return the chuck of a name, None when there is none."""
        return next((chuck for chuck in self.chucks if chuck.name == name), None)


def read_lathe(table: Table, *, programmed: bool) -> Lathe:
    """Read ``[lathe]``; what is returned is of use only if nothing was wrong."""
    swing = table.length("swing", above=0)
    between = table.length("between_centres", above=0)
    bore = table.length("spindle_bore", default=0.0, least=0)
    tailstock = table.text("tailstock", default="-")
    compound = "" if programmed else table.text("compound", default="-")
    in_post = table.flag("drills_in_post", default=False) if programmed else False
    pitch = table.optional_length("leadscrew_pitch", above=0)
    wheels = table.numbers("change_wheels", default=())
    travel = table.lengths("travel", count=2) if programmed else ()
    dials = [_read_thread_dial(each) for each in table.tables("thread_dial")]
    chucks = [_read_chuck(each) for each in table.tables("chuck", least=1)]
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
        drills_in_post=in_post,
        leadscrew_pitch=pitch,
        travel=travel,
        change_wheels=tuple(int(teeth) for teeth in wheels),
        thread_dials=tuple(dials),
    )


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


def _read_chuck(table: Table) -> Chuck:
    """Read one ``[[lathe.chuck]]``."""
    holds = table.lengths("holds", count=2)
    chuck = Chuck(
        name=table.text("name"),
        jaws=table.whole("jaws", default=3, least=2, most=6),
        least=holds[0],
        most=holds[1],
        jaw_length=table.length("jaw_length", above=0),
        jaw_depth=table.length("jaw_depth", above=0),
        body=table.length("body", above=0),
        most_rpm=table.number("most_rpm", above=0),
        where=table.where(),
    )
    table.no_more()
    if not table.faulty and not 0 <= chuck.least < chuck.most:
        table.wrong("holds", table.say(*holds), "give the smallest diameter it holds first")
    return chuck
