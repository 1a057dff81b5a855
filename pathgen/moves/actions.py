"""What a person or a control does between moves: a closed union of frozen values."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from pathgen.moves.moves import Axis, Term

CoolantKind: TypeAlias = Literal["off", "mist", "flood"]
FoundBy: TypeAlias = Literal[
    "cutter", "setting", "touch", "first touch", "spring", "angle", "nothing"
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clamp:
    """Hold the blank: what to do, in the order of doing."""

    lines: tuple[str, ...]


def called(face: str, terms: tuple[Term, ...]) -> str:
    """Return what a person calls a face that is touched, as its place is labelled in the sum.

    >>> called("left", (Term("face marked left", 0.0), Term("paper", -0.05)))
    'face marked left'
    """
    return next((term.label for term in terms if face in term.label), f"{face} face")


@dataclass(frozen=True, slots=True, kw_only=True)
class Touch:
    """One touch that finds a face or a wall: with what, from which side, what it adds up to.

    What is picked up is a wall of a feature (``of``), on the side of a face; or its "centre", where
    an indicator swung in the spindle reads alike all round, come to at last going ``towards``.
    """

    face: str  # of the blank's own: "left", "right", "front", "back", "bottom", "top"
    towards: int  # +1 when the tool goes the plus way of the axis as it comes to the face, else -1
    tool: str  # "3 mm cutter", "edge finder 10 mm", or the cutter in the spindle
    radius: float  # of what touches, mm; 0 for a depth touch
    paper: float  # thickness of the paper between, mm; 0 for none
    at: float  # where the cutter's axis (or its end) is at the touch, in the setup's frame, mm
    terms: tuple[Term, ...] = ()  # one is where the face lies, under what it is called
    over: tuple[float, float] | None = None  # where a depth is touched; None: any whole metal
    rpm: float = 0.0  # of the spindle meanwhile: an edge finder that kicks has to turn
    of: str = ""  # the feature that is picked up; empty for the blank's own face
    found_as: str = ""  # on a lathe: the Measure that tells later where the face really was
    under: float = 0.0  # mm below the upper face that the tool's end has to be; 0: a little

    @property
    def called(self) -> str:
        """Return what a person calls the face: "left face", "face marked left"."""
        return called(self.face, self.terms)


@dataclass(frozen=True, slots=True, kw_only=True)
class Zero:
    """Set the zero of one axis by one touch, or by the middle of two.

    One touch: after it the axis stands at ``touches[0].at``, and the zero is that far off. Two: the
    zero is half-way between the two touches. ``uncertainty`` is half the width of what the touching
    leaves open, mm. ``dial_reads`` is what a dial that cannot be set shows when the axis stands at
    its zero, mm from the dial's own 0.
    """

    axis: Axis
    touches: tuple[Touch, ...]
    uncertainty: float
    dial_reads: float | None = None
    why: str = ""

    def __post_init__(self) -> None:
        """Guard the number of touches."""
        if len(self.touches) not in (1, 2):
            raise ValueError(f"{len(self.touches)} touches; a zero takes one, or two for a middle")


@dataclass(frozen=True, slots=True, kw_only=True)
class FitTouching:
    """Put what finds the zeros of x and y into the spindle; no depth is known with it."""

    name: str  # as the job names it: "3 mm cutter", "edge finder"
    diameter: float  # of the end that touches, mm; 0 for an indicator, which is swung


@dataclass(frozen=True, slots=True, kw_only=True)
class SetHeight:
    """Bring work and spindle together by what stands still in cuts, the depth's slide right up.

    Either the tool's end or the spindle's nose is set to a height above z 0; the depth zero is
    lost by it, and x and y too where it ``swings``.
    """

    by: str  # "knee", "head"
    above: float  # z, mm
    of: Literal["end", "nose"]
    within: float  # half width of what a rule and the eye leave open, mm
    swings: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FitCutter:
    """Put a cutter into the spindle; the depth zero is lost by it where lengths are not kept."""

    number: int  # its number in this setup, from 1
    name: str  # as the crib or the drill series names it
    diameter: float  # as measured, mm: what the moves were worked out with


@dataclass(frozen=True, slots=True, kw_only=True)
class Spindle:
    """Run the spindle, clockwise seen from above, or stop it with 0."""

    rpm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Coolant:
    """Turn the cutting fluid on or off."""

    kind: CoolantKind
    by_hand: bool = field(default=False, compare=False)  # at a stop of a program, not by a word


@dataclass(frozen=True, slots=True, kw_only=True)
class Lock:
    """Nip a slide's lock."""

    slide: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Unlock:
    """Free a slide's lock."""

    slide: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """Measure a quantity: what it should be now, and between what the work may go on; mm.

    ``found_by`` tells the check what makes the found value differ from the expected one:
    ``"cutter"`` that the cutter cuts that much wider (in diameter) than was measured off it;
    ``"setting"`` that the boring head does than its dial says;
    ``"touch"`` that what was touched stood that much (in diameter) further out;
    ``"first touch"`` that a dish was begun higher or lower, so that its chord is wider all along;
    ``"spring"`` that work and tool give way, so that all that the tool turns is that much thicker;
    ``"angle"`` that the slide that was swung last stands at another angle, whose tangent it is.
    """

    name: str  # "M1": what a Rule refers to
    what: str  # "width of the slot across the middle"
    expected: float
    low: float
    high: float
    found_by: FoundBy = "nothing"
    advice: str = ""  # what to do outside the range


@dataclass(frozen=True, slots=True, kw_only=True)
class SetDiameter:
    """Set what a boring head cuts, by its dial; always going out, so that its slack is out.

    Its tool first touches the wall of a hole of known diameter (``touched``); from there its dial
    is turned out by divisions. With ``follows`` it is turned so much less as that measurement was
    found larger than ``expected``, and more as it was found smaller.
    """

    head: str  # as the crib names it
    diameter: float  # that it cuts then, by its dial, mm
    per_division: float  # by how much a division changes the diameter, mm
    judged: float  # the part of a division that the eye can judge
    uncertainty: float  # half width of what is open of the diameter, mm
    turned: float = 0.0  # divisions out, from where it stood
    touched: bool = False
    follows: str = ""  # the name of a Measure
    expected: float = 0.0  # what that should be, mm
    off: float = 0.0  # how much wider it truly cuts in the case that is followed, mm

    @property
    def cuts(self) -> float:
        """Return the diameter that it truly cuts, mm."""
        return self.diameter + self.off


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAngle:
    """Tilt what tilts, a chuck with the work in it or the head, and nip it there.

    Where the work or the spindle was before is lost by it: along x, and in height.
    """

    part: str  # as the machine's file names it: "tilting chuck"
    angle_deg: float  # between the spindle and the axis that the work turns about
    towards: Literal["left", "right"]  # the face of the work, or the spindle's nose, looks there
    uncertainty_deg: float  # half width of what setting leaves open
    # mm, for the person: how far up what it holds swings, so that the spindle is drawn up before
    rises: float = field(default=0.0, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class SetSweep:
    """Set the point of a fly cutter to the circle that it is to go along.

    ``over`` is what is measured over the point and the far side of the body: half of both widths.
    """

    cutter: int  # its number in the setup
    sweep: float  # width of the circle of the point's outermost place; innermost, looking inwards
    over: float
    looks: Literal["outwards", "inwards"]
    uncertainty: float  # half width of what is open of the sweep, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class ZeroByMeasure:
    """Set the zero of an axis anew by what was measured: there the tool stands.

    Across that is half of a diameter, along how much longer the work is than it is to become.
    """

    axis: Axis
    measure: str  # the name of the Measure action just before
    less: float = 0.0  # along: the length that the work is to become, mm
    uncertainty: float  # half the width of what measuring leaves open of the axis, mm

    @property
    def share(self) -> float:
        """Return how far the tool stands off for each mm that is found more."""
        return 0.5 if self.axis == "x" else 1.0

    def place(self, found: float) -> float:
        """Return where the tool stands by what was found, mm."""
        return self.share * (found - self.less)


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkBy:
    """Work by these slides of a lathe from here on, all others locked; each is zeroed anew.

    Inside work comes to its sizes going ``outwards``, and so the slack is taken out that way.
    """

    slides: tuple[str, ...]  # by name, at most one along an axis
    outwards: bool = False


Against: TypeAlias = Literal["turned", "taper", "bored taper"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SwingSlide:
    """Swing a slide of a lathe so that its handle takes the tool along a taper, and nip it there.

    An indicator held by the tool post proves it: while the slide is wound ``over`` towards the
    chuck, its foot against a diameter that was turned ("turned") or against a taper that was just
    cut by this slide, outside or in a bore ("taper", "bored taper"), it goes out by ``rise`` more
    than what its foot is on. Every place is lost by it. The slide's dial is
    set to 0 with its slack taken out towards the chuck.

    With ``follows`` the rise goes with that measurement: rise + factor x (found - expected).
    """

    slide: str
    angle_deg: float  # between its way and the axis; plus: towards the chuck it goes outwards
    over: float  # of the slide, mm
    rise: float  # mm; outwards, away from the axis, is plus
    against: Against = "turned"
    uncertainty_deg: float  # half width of what setting leaves open
    follows: str = ""  # the name of a Measure
    expected: float = 0.0  # what that should be, mm
    factor: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeWheels:
    """Put up the wheels between spindle and leadscrew, and the thread dial's wheel."""

    wheels: tuple[int, ...]  # driver, driven, driver, driven, from the spindle on
    lead: float  # that they give, mm a turn
    dial_teeth: int = 0  # of the thread dial's wheel on the leadscrew; 0: it is not looked at
    dial_marks: int = 0
    left_hand: bool = False  # whether the carriage goes away from the chuck, the spindle forward

    @property
    def pairs(self) -> tuple[tuple[int, int], ...]:
        """Return each driver with the wheel that it drives."""
        return tuple(zip(self.wheels[::2], self.wheels[1::2], strict=True))


@dataclass(frozen=True, slots=True, kw_only=True)
class HalfNuts:
    """Close the half-nuts on the leadscrew to stay closed, or open them for good."""

    closed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SetStop:
    """Bring the stop on a lathe's bed up to the slide where it stands and nip it; or take it away.

    A slide is never wound past it.
    """

    slide: str
    away: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Pause:
    """Stop until the person goes on, for a reason."""

    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Words for the person: advice, or a caution that must be seen."""

    text: str
    caution: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Dwell:
    """Stay, spindle turning."""

    seconds: float


Action: TypeAlias = (
    Clamp
    | Zero
    | FitTouching
    | SetHeight
    | FitCutter
    | Spindle
    | Coolant
    | Lock
    | Unlock
    | Measure
    | SetDiameter
    | SetAngle
    | SetSweep
    | ZeroByMeasure
    | WorkBy
    | SwingSlide
    | ChangeWheels
    | HalfNuts
    | SetStop
    | Pause
    | Note
    | Dwell
)
