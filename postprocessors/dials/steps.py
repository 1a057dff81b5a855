"""The sheet of handwheel readings as data: its head, its dials, its steps, a closed union.

The JSON face writes and reads it (version 1). Lengths are in mm; ``dial`` and ``reading`` are whole
numbers of judged parts of a division, counted from the dial's zero the way its figures rise. Of a
readout they are the same whole number of its least steps, and 0 never passes.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from pathgen.input.units import Units, in_units
from pathgen.moves.actions import Against, CoolantKind, FoundBy, called
from pathgen.moves.moves import Axis, Makes, Term
from pathgen.moves.plan import Head
from pathgen.shop.slides import Way

VERSION = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Dial:
    """A slide's dial as the sheet was written for it; a replay compares it with the machine's."""

    slide: str
    axis: Axis
    units: Units
    per_turn: float  # travel for a turn
    divisions: float  # lines on the dial, 0 where a readout is read
    judged: float  # the least part of a division that is asked for
    plus: Way  # takes the tool the plus way of the axis
    rising: Way  # makes the dial's figures rise
    diameter_reading: bool
    resettable: bool
    slack: float
    slack_spread: float
    lock: bool
    side: int  # +1 when readings are come up to going the plus way of the axis, else -1
    readout: float = 0.0  # least step of a readout on the slide, mm; 0: a dial
    scale_error: float = 0.0
    preset: bool = True  # the readout takes any figure; else 0 alone

    @property
    def counts_per_turn(self) -> int:
        """Return how many judged parts a turn of a dial has."""
        return round(self.divisions / self.judged)

    @property
    def count(self) -> float:
        """Return the travel of one judged part, or of a readout's step, mm."""
        return self.readout or self.per_turn / self.counts_per_turn

    @property
    def shown(self) -> float:
        """Return what one count is in the figure that is read: of a division, or of the units."""
        if not self.readout:
            return self.judged
        return in_units(self.readout, self.units) * (2 if self.diameter_reading else 1)

    def split(self, reading: int) -> tuple[int, int]:
        """Return the turn and the figure of a reading; a readout knows no turns."""
        return (0, reading) if self.readout else divmod(reading, self.counts_per_turn)

    @property
    def rise(self) -> int:
        """Return +1 when the figures rise as the tool goes the plus way of the axis, else -1."""
        return 1 if self.plus == self.rising else -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """A group of steps under one heading, from step ``first`` to the next group."""

    first: int
    title: str
    why: str = ""
    cutter: int | None = None  # its number in the head
    rpm: float = 0.0
    feed: float = 0.0
    depth_of_cut: float = 0.0
    width_of_cut: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """A reading that follows what was found: floor(base + per_mm x (found - expected) + 1/2).

    ``base`` is in judged parts. A value below ``low`` or above ``high`` is never put in.
    """

    measure: str
    factor: float  # of the found value, in the coordinate
    expected: float
    low: float
    high: float
    base: float
    per_mm: float  # judged parts for each mm of the found value


@dataclass(frozen=True, slots=True, kw_only=True)
class PassesFrom:
    """How often 0 passes from a found value on, up to the next entry's."""

    found: float
    passes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Noted:
    """A reading to be noted at a touch, in mm on the dial: what it should be, and its range."""

    name: str
    expected: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ClampStep:
    """Hold the blank."""

    number: int
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteStep:
    """Advice, or a caution that must be seen."""

    number: int
    text: str
    caution: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FitStep:
    """Fit a cutter; the depth zero is lost with it."""

    number: int
    cutter: int
    name: str
    diameter: float
    height: float | None = None  # to which its end is then kept, at least, above z 0


@dataclass(frozen=True, slots=True, kw_only=True)
class FitTouchingStep:
    """Put what finds the zeros of x and y into the spindle."""

    number: int
    name: str
    diameter: float  # 0 for an indicator, which is swung
    height: float | None = None  # to which its end is then kept, at least, above z 0


@dataclass(frozen=True, slots=True, kw_only=True)
class HeightStep:
    """Free what brings work and spindle together, set it by a rule, and lock it again.

    The slide that takes the depth is wound right up before; its zero is lost, and those of x and y
    too where it swings.
    """

    number: int
    by: str
    above: float  # z of the tool's end, or of the spindle's nose, mm
    of: Literal["end", "nose"]
    within: float
    swings: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TouchStep:
    """Wind one way until the tool touches a face; there its axis (or end) stands at a known place.

    The place is ``face_at - towards x (radius + paper)`` in the setup's frame.
    """

    number: int
    slide: str
    way: Way
    face: str
    face_at: float
    towards: int  # +1 when the tool goes the plus way of the axis as it comes to the face, else -1
    tool: str
    running: bool  # spindle running, as an edge finder that kicks wants; else still
    radius: float
    paper: float
    terms: tuple[Term, ...] = ()
    note: Noted | None = None
    passes: int = 0  # of 0 on the way to the reading that should be noted
    dial: int = 0  # that reading's figure
    of: str = ""  # the feature whose wall it is, or whose centre; empty for the blank's own face
    found_as: str = ""  # on a lathe: what is measured later tells where the face really was

    @property
    def called(self) -> str:
        """Return what a person calls the face."""
        return called(self.face, self.terms)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClearStep:
    """Wind a handle by eye: until the tool is clear of all, or down to where it is to touch.

    The handle's count is lost by it.
    """

    number: int
    slide: str
    way: Way
    beside: str = ""  # which face the tool goes down beside, as called
    inside: str = ""  # or the feature into which it goes down
    onto: str = ""  # or what its point just reaches; all three empty: up, clear of all
    across: tuple[str, ...] = ()  # slides without a zero that bring it there before, by eye, too
    height: float | None = None  # of its end above z 0 when it went up, at least, by eye
    under: float = 0.0  # how far below the upper face its end goes beside a face; 0: a little


@dataclass(frozen=True, slots=True, kw_only=True)
class SetDialStep:
    """Hold the handle and turn the dial's ring to a figure; the count of turns starts at ``turn``.

    A dial that cannot be set is read instead: its turn is ``turn``, it shows ``dial``, give or take
    ``within``; ``exact`` is what it reads by the job's figure, not rounded.
    """

    number: int
    slide: str
    turn: int
    dial: int
    zero: bool  # from here on all readings of this slide hold
    uncertainty: float = 0.0  # of the zero, half width
    exact: float | None = None
    within: int = 0  # judged parts by which a figure that is read may be off
    rule: Correction | None = None  # what it is set to follows what was measured, or noted


@dataclass(frozen=True, slots=True, kw_only=True)
class WindStep:
    """Wind one handle one way to one reading."""

    number: int
    slide: str
    way: Way
    passes: int  # how often 0 comes to the index; the 0 stopped on counts, one started on does not
    dial: int  # where the dial stops, in judged parts of a division
    reading: int  # the same from the dial's zero, whole turns included
    place: float  # of the tool in the setup's frame
    makes: Makes
    cut: bool
    turns_per_min: float = 0.0  # pace of a cut by hand
    power: float = 0.0  # feed by power, mm/min, up to a little short of the reading; 0: by hand
    power_a_turn: float = 0.0  # the same in mm a turn of the work, on a lathe
    peck_turns: float = 0.0  # between drawing up clear, 0 for none
    slack: Literal["", "past", "up", "corrected"] = ""  # what the wind does about it
    what: str = ""
    terms: tuple[Term, ...] = ()
    rule: Correction | None = None
    passes_from: tuple[PassesFrom, ...] = ()  # where the count follows the found value
    measure: str = ""  # whose
    to_stop: bool = False  # until the slide meets its stop, where the dial shows the same reading


@dataclass(frozen=True, slots=True, kw_only=True)
class LockStep:
    """Nip the locks of slides."""

    number: int
    slides: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnlockStep:
    """Free the locks of slides."""

    number: int
    slides: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SpindleStep:
    """Run the spindle, or stop it with 0; rev/min."""

    number: int
    rpm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CoolantStep:
    """Turn the cutting fluid on or off."""

    number: int
    coolant: CoolantKind


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureStep:
    """Measure a quantity and write down what was found."""

    number: int
    name: str
    what: str
    expected: float
    low: float
    high: float
    found_by: FoundBy = "nothing"
    advice: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetHeadStep:
    """Turn the dial of a boring head, always out; or out until its tool touches a wall.

    ``out`` is in judged parts of a division from where it stands. With a ``measure`` it follows
    what was found: floor(base - (found - expected) / (per_division x judged) + 1/2).
    """

    number: int
    head: str
    diameter: float  # that it cuts then by its dial, found as expected; or that of the wall
    per_division: float  # by how much a division changes the diameter
    judged: float
    uncertainty: float  # half width of what is open of the diameter
    out: int = 0
    touched: bool = False
    measure: str = ""
    expected: float = 0.0
    base: float = 0.0  # judged parts, before rounding

    @property
    def count(self) -> float:
        """Return by how much a judged part changes the diameter, mm."""
        return self.per_division * self.judged


@dataclass(frozen=True, slots=True, kw_only=True)
class AngleStep:
    """Tilt a chuck with the work, or the head; the counts of x and z are lost by it."""

    number: int
    part: str
    angle_deg: float
    towards: Literal["left", "right"]
    uncertainty_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SweepStep:
    """Set the point of a fly cutter to a sweep, measured over point and body; mm."""

    number: int
    cutter: int
    sweep: float
    over: float
    looks: Literal["outwards", "inwards"]
    uncertainty: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnStep:
    """Turn the work, all slides locked."""

    number: int
    by: str
    start_deg: float
    end_deg: float
    rate: float  # degrees a minute
    cut: bool
    what: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkByStep:
    """Work by these slides of a lathe from here on; inside work comes to size going outwards."""

    number: int
    slides: tuple[str, ...]
    outwards: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SwingStep:
    """Swing a slide of a lathe to an angle to the axis; every count is lost by it but its own.

    Its own dial is then set to 0, the slack out towards the chuck. What an indicator rises over a
    way of it proves the angle; with a ``measure`` that is rise + factor x (found - expected).
    """

    number: int
    slide: str
    angle_deg: float  # between its way and the axis; plus: towards the chuck it goes outwards
    over: float  # of its way, mm
    rise: float  # of the indicator meanwhile, outwards plus, mm
    against: Against
    uncertainty_deg: float
    measure: str = ""
    expected: float = 0.0
    factor: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WheelsStep:
    """Put up change wheels, driver and driven from the spindle on, and the thread dial's wheel."""

    number: int
    wheels: tuple[int, ...]
    lead: float  # that they give, mm a turn; compared
    dial_teeth: int = 0  # 0: the thread dial is not looked at
    dial_marks: int = 0
    left_hand: bool = False  # the carriage goes away from the chuck, the spindle forward


@dataclass(frozen=True, slots=True, kw_only=True)
class HalfNutsStep:
    """Close the half-nuts to stay closed, or open them when the thread is done."""

    number: int
    closed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StopStep:
    """Bring the stop on a lathe's bed up to a slide where it stands; or take it away."""

    number: int
    slide: str
    away: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadStep:
    """Let the leadscrew draw a slide along until its dial, which turns with it, comes to a reading.

    Towards the chuck it cuts, left-handed away from it, and the tool is cleared there at once;
    ``reversed`` goes back.
    Where the half-nuts stay closed the step itself starts the spindle, and stops it at its end.
    """

    number: int
    along: str  # the slide
    reading: int
    place: float  # of the tool there
    lead: float
    nuts: Literal["dial", "closed", "reversed"]
    every: int = 0  # at every how many marks of the thread dial the half-nuts may be closed
    rpm: float = 0.0  # at which it starts the spindle; 0 where that turns already
    what: str = ""
    left_hand: bool = False
    first: int = 1  # the first of those marks, numbered from 1

    @property
    def direction(self) -> int:
        """Return which way the slide goes: -1 towards the chuck, +1 away from it."""
        return 1 if (self.nuts == "reversed") != self.left_hand else -1


@dataclass(frozen=True, slots=True, kw_only=True)
class PauseStep:
    """Stop for a reason."""

    number: int
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DwellStep:
    """Stay, spindle turning."""

    number: int
    seconds: float


Step: TypeAlias = (
    ClampStep
    | NoteStep
    | FitTouchingStep
    | FitStep
    | HeightStep
    | TouchStep
    | ClearStep
    | SetDialStep
    | WindStep
    | LockStep
    | UnlockStep
    | SpindleStep
    | CoolantStep
    | MeasureStep
    | SetHeadStep
    | AngleStep
    | SweepStep
    | TurnStep
    | WorkByStep
    | SwingStep
    | WheelsStep
    | HalfNutsStep
    | StopStep
    | ThreadStep
    | PauseStep
    | DwellStep
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A whole sheet: one setup on one machine worked by its handles."""

    head: Head
    units: Units  # the job's
    clear: float  # z at which the cutter may go across anything
    dials: tuple[Dial, ...]
    operations: tuple[Operation, ...]
    steps: tuple[Step, ...]
    lathe: bool = False  # the work turns, the tool stands: x is from the axis, z along it

    def dial(self, slide: str) -> Dial:
        """Return the dial of a slide by the slide's name."""
        return next(dial for dial in self.dials if dial.slide == slide)
