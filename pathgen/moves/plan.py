"""The plan: setups, in each passes, in each moves and actions; and what is read back."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal, NamedTuple, TypeAlias

from pathgen.moves.actions import Action
from pathgen.moves.moves import Axis, Move

Purpose: TypeAlias = Literal[
    "spot",
    "pilot",
    "drill",
    "chain drill",
    "counterbore",
    "spot-face",
    "countersink",
    "ream",
    "tap",
    "rough",
    "semi-finish",
    "finish",
    "undercut",
    "groove",
    "knurl",
    "chamfer",
    "thread",
    "deburr",
    "face",
    "part off",
]
Item: TypeAlias = Move | Action


class Point3(NamedTuple):
    """A point, mm."""

    x: float
    y: float
    z: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadCutter:
    """A cutter as the head of a program or sheet states it."""

    number: int
    name: str
    diameter: float  # as measured, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadFound:
    """What was measured on the way and is reckoned with, as a head states it."""

    quantity: str  # "stud slot: width"
    value: float  # mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """What a program or sheet says of itself, in a form that is read back."""

    title: str
    digest: str  # of the job's meaning, not of its text
    setup: str
    machine: str
    cutters: tuple[HeadCutter, ...]
    crib: str = ""  # the title of the list that the cutters are from, for the person
    begins_at: int = 0  # the pass of the setup, from 1, with which it begins; 0: with the first
    found: tuple[HeadFound, ...] = ()

    @property
    def passes_before(self) -> int:
        """Return how many passes of the setup come before its first, so that numbers agree."""
        return max(self.begins_at - 1, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pass:
    """One operation with one cutter at one speed: why, and the moves and actions of it."""

    purpose: Purpose
    feature: str
    cutter: HeadCutter
    rpm: float
    feed: float  # the main feed of the pass, mm/min
    why: str
    items: tuple[Item, ...]
    depth_of_cut: float = 0.0
    width_of_cut: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedSetup:
    """All that is done at one clamping, on one machine, in one frame.

    ``before`` holds the clamping, the zeroing of x and y and the first cautions; ``after`` the end:
    deburring, what to measure, how to take it out. The zero of z belongs to the cutter and stands
    in the passes, after each FitCutter.
    """

    head: Head
    origin: Point3  # the frame's origin in the blank's own axes (from its left front top corner)
    clear: float  # the z at which the cutter may go across anything in this setup, mm
    sides: tuple[
        tuple[Axis, int], ...
    ]  # which way the tool goes as it comes to a position, +1 or -1
    before: tuple[Item, ...]
    passes: tuple[Pass, ...]
    after: tuple[Item, ...] = ()
    slides: tuple[str, ...] = ()  # of a lathe: those that it is done with; empty: all there are

    def side(self, axis: Axis) -> int:
        """Return +1 when positions on the axis are reached going the plus way, else -1."""
        return dict(self.sides)[axis]


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """How far the machine leaves open where things are, mm (half widths), per axis.

    ``setting`` of a single position (half of what the eye cannot judge), ``zero`` of the datum: it
    moves everything alike, ``stop`` of a feed's end that was corrected by the measured slack.
    ``wander`` is how far a slide without a lock may be pushed by a cut in which it stands still.
    """

    setting: tuple[float, float, float] = (0.0, 0.0, 0.0)
    zero: tuple[float, float, float] = (0.0, 0.0, 0.0)
    stop: tuple[float, float, float] = (0.0, 0.0, 0.0)
    wander: tuple[float, float, float] = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """Something a reader or a replay met that can be read but is not right."""

    number: int
    what: str
    remedy: str = ""
    code: str = "reading"


class LengthInForce(NamedTuple):
    """From which item of a run on a control counts z by a length that it keeps, and by which."""

    item: int  # the first item for which it holds
    number: int  # the line
    cutter: int  # the cutter's number in the setup; 0: by none, so z is that of the bare spindle


class Wider(NamedTuple):
    """What was found of a size put down to the cutter that it was cut with."""

    cutter: int  # its number in the setup
    much: float  # by which it cuts wider than stated, mm
    measure: str  # the name of the measuring


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """What stands above the steps or lines of an operation, as it was read."""

    number: int  # the line that it stands in, or the step under it
    purpose: str
    feature: str
    cutter: int  # its number in the head


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """What a program or a sheet really does, item by item, each with the line or step it is from.

    ``where`` is "line" or "step"; ``numbers[i]`` is the line or step of ``items[i]``. A coordinate
    not known yet (before the first move of its axis) is nan.
    """

    file: str
    where: Literal["line", "step"]
    head: Head
    items: tuple[Item, ...]
    numbers: tuple[int, ...]
    doubt: Doubt = field(default_factory=Doubt)
    troubles: tuple[Trouble, ...] = ()
    case: str = ""  # which case was replayed: "play at the minus end, slack at its most", and so on
    lengths: tuple[LengthInForce, ...] = ()  # in order; before the first of them by none
    wider: tuple[Wider, ...] = ()
    found: tuple[tuple[str, float], ...] = ()  # (measurement, what was found in this case)
    headings: tuple[Heading, ...] = ()  # in order
    # (item, height): from that item on the tool stands so high at least, by eye, until z is known
    heights: tuple[tuple[int, float], ...] = ()


def joined(done: Run, run: Run) -> Run:
    """Return a run with what was done before it put in front, as of line or step 0.

    Args:
        done: what the passes before did, as read back from a text of their own.
        run: what begins after them; its head, doubt and troubles are those of both.
    """
    shift = len(done.items)
    return replace(
        run,
        items=(*done.items, *run.items),
        numbers=(*(0 for _ in done.items), *run.numbers),
        lengths=(
            *done.lengths,
            *(each._replace(item=each.item + shift) for each in run.lengths),
        ),
        heights=(*done.heights, *((item + shift, height) for item, height in run.heights)),
    )
