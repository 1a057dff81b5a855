"""What a job asks for: the blank, the setups with their datums and holding, the features."""

from __future__ import annotations

from dataclasses import dataclass, field

from pathgen.input.units import Units
from pathgen.input.where import Where
from pathgen.job.chamfer import Chamfer
from pathgen.job.features import Area, Feature
from pathgen.job.frame import UPRIGHT, AxisName, Box, Face, Frame, Lie, Point
from pathgen.job.holes import Holes
from pathgen.job.mates import Mate
from pathgen.job.set_over import SetOver
from pathgen.job.slot import Slot
from pathgen.job.spheres import Sphere
from pathgen.job.stock import Stock, stock_after
from pathgen.job.t_slot import TSlot
from pathgen.job.thread_mates import ThreadMate
from pathgen.job.touching import SpindleAtTouch

__all__ = [
    "Area",
    "Blank",
    "Box",
    "Datum",
    "Face",
    "Feature",
    "Hold",
    "Job",
    "JobSetup",
    "Keepout",
    "Lie",
    "Picked",
    "Point",
    "There",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """A bar, as measured: length along x, width along y, thickness along z; mm.

    Rectangular, or a round shaft that lies along x: width and thickness are then its diameter.
    """

    length: float
    width: float
    thickness: float
    material: str
    is_shaft: bool = False

    @property
    def box(self) -> Box:
        """Return its box in its own axes: from its left front top corner, mm."""
        return Box((0.0, 0.0, -self.thickness), (self.length, self.width, 0.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Keepout:
    """A jaw, clamp, stop or parallel: a box that the cutter must not enter; setup's frame, mm."""

    name: str
    low: Point
    high: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """How the blank is held, what is in the way, and how much air lies beneath it."""

    how: str  # "vice", "clamps", ...
    lines: tuple[str, ...]  # what to do, in order, in the person's own words; may be empty
    keepouts: tuple[Keepout, ...]
    beneath: float  # air under the blank where it is cut through, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Picked:
    """A hole, slot or pocket, gone before the setup, whose middle is a zero."""

    feature: str
    half: float  # from the middle to either wall, mm
    beside: float  # where its middle lies on the other level axis, in the setup's frame, mm
    indicator: bool  # swung in the spindle until it reads alike; else both walls are touched
    at: float = 0.0  # where its middle lies on the datum's own axis, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Datum:
    """Where an axis has its zero and how it is found: one face, the middle of two, or of a hole."""

    faces: tuple[Face, ...]  # of the blank's own: one, or two opposite ones for the middle
    tool: str  # what touches: "3 mm cutter", "edge finder"; empty for the cutter in the spindle
    tool_diameter: float | None  # None: the cutter in the spindle (depth)
    paper: float  # its thickness; 0 for none
    uncertainty: float  # half width of what touching leaves open
    dial_reads: float | None  # what a dial that cannot be set shows at the zero, mm from its own 0
    spindle: SpindleAtTouch = "stopped"  # an edge finder that kicks sideways has to turn
    picked: Picked | None = None  # then ``faces`` are those towards which its walls lie


@dataclass(frozen=True, slots=True, kw_only=True)
class OnTable:
    """How the work lies on a rotary table: over which place of it, and laid true by what."""

    centre: tuple[float, float]  # x and y in the setup's frame that lie on the table's axis, mm
    laid: tuple[Datum, Datum]  # the faces, for x and y, that the work is laid true by


@dataclass(frozen=True, slots=True, kw_only=True)
class There:
    """A feature that the blank has already, in the frame that it is described in."""

    feature: Feature
    frame: Frame
    box: Box  # of the blank, in that frame


@dataclass(frozen=True, slots=True, kw_only=True)
class JobSetup:
    """One clamping: machine, holding, datums and the features cut in it."""

    name: str
    machine: str
    hold: Hold
    datum_x: Datum
    datum_y: Datum
    datum_z: Datum
    features: tuple[Feature, ...]
    origin: Point  # of the frame, in the blank's own axes (from its left front top corner), mm
    lie: Lie = UPRIGHT
    there: tuple[There, ...] = ()  # what the blank has already: not cut, but gone
    table: OnTable | None = None  # on a rotary table, whose bore is then what is picked up
    set_over: SetOver | None = None  # turned about the zero, a slot along a slide
    where: Where = field(compare=False, repr=False)

    @property
    def frame(self) -> Frame:
        """Return its frame among the blank's axes."""
        return Frame(self.lie, self.origin)

    def touched_going(self, axis: AxisName, face: Face) -> int:
        """Return which way a tool goes as it comes to a face, or from within to a wall."""
        way = self.lie.towards(face)
        return -way if self.datum(axis).picked is not None else way

    def called(self, axis: AxisName, face: Face) -> str:
        """Return what a face of a datum, or a wall of what is picked up, is called."""
        picked = self.datum(axis).picked
        if picked is None:
            return self.lie.called(face)
        if self.lie.upright:
            return f"{face} wall of {picked.feature}"
        return f"wall of {picked.feature} towards the face marked {face}"

    def datum(self, axis: AxisName) -> Datum:
        """Return the datum of one axis."""
        return {"x": self.datum_x, "y": self.datum_y, "z": self.datum_z}[axis]

    @property
    def slots(self) -> tuple[Slot, ...]:
        """Return the slots among the features, and the throats of T-slots."""
        each = (
            feature.neck if isinstance(feature, TSlot) else feature for feature in self.features
        )
        return tuple(feature for feature in each if isinstance(feature, Slot))

    @property
    def t_slots(self) -> tuple[TSlot, ...]:
        """Return the T-slots among the features."""
        return tuple(feature for feature in self.features if isinstance(feature, TSlot))

    @property
    def chamfers(self) -> tuple[Chamfer, ...]:
        """Return the chamfers among the features."""
        return tuple(feature for feature in self.features if isinstance(feature, Chamfer))

    @property
    def areas(self) -> tuple[Area, ...]:
        """Return the areas among the features."""
        return tuple(each for each in self.features if isinstance(each, Area))

    @property
    def spheres(self) -> tuple[Sphere, ...]:
        """Return the dishes and domes among the features."""
        return tuple(feature for feature in self.features if isinstance(feature, Sphere))

    @property
    def holes(self) -> tuple[Holes, ...]:
        """Return the holes among the features."""
        return tuple(feature for feature in self.features if isinstance(feature, Holes))


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A job file, read and checked; lengths in mm whatever it was written in."""

    name: str  # the file's stem: the folder of its outputs
    title: str
    units: Units
    tolerance_class: str
    blank: Blank
    setups: tuple[JobSetup, ...]
    digest: str
    where: Where = field(compare=False, repr=False)
    thinnest_wall: float | None = None  # that may be left standing; None: nothing is asked
    mates: tuple[Mate, ...] = ()  # of its own sizes, with what goes into them
    threads: tuple[ThreadMate, ...] = ()  # of its own tapped holes, with what is screwed in

    def stock_before(self, setup: JobSetup) -> Stock:
        """Return the blank's outer box as it comes to a setup, in the blank's own axes."""
        stock = Stock(box=self.blank.box)
        for earlier in self.setups:
            if earlier.name == setup.name:
                break
            stock = stock_after(stock, earlier.features, earlier.frame, earlier.name)
        return stock

    def blank_box(self, setup: JobSetup) -> Box:
        """Return the box of the blank as it comes to a setup, in the setup's frame, mm."""
        return setup.frame.box_into(self.stock_before(setup).box)
