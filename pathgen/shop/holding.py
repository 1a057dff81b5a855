"""What a lathe holds and supports work with: chucks, collets, centres, dogs, steadies."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal, TypeAlias, TypeVar

from pathgen.input.getters import Table
from pathgen.input.where import Where
from pathgen.shop.axial_tools import CENTRE_DEG

CentreKind: TypeAlias = Literal["live", "dead"]
CENTRE_KINDS: tuple[CentreKind, ...] = ("live", "dead")
INDEPENDENT = 4  # jaws of a chuck that moves each of them by itself, set by an indicator
RUNS_TRUE = 0.02  # mm, in all, of work that is set so; common practice, no source
OVER = 0.05  # mm by which a bar may be over its collet's bore; common practice, no source


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
class Collets:
    """A set of collets with what draws them shut; lengths in mm."""

    name: str
    bores: tuple[float, ...]
    closes: float  # by which a bar may be under its collet's bore
    grip: float  # along the axis
    nose: float  # diameter of what stands about the work, to the front
    run_out: float  # that the needle goes on a true bar close to it, in all
    most_rpm: float
    where: Where = field(compare=False, repr=False)

    def collet_for(self, diameter: float) -> float | None:
        """Return the bore of the collet that holds a bar, mm; None where there is none.

        >>> collets = Collets(name="collets", bores=(10.0, 12.0), closes=0.5, grip=20, nose=40,
        ...     run_out=0.02, most_rpm=3000, where=Where("", 0, ""))
        >>> collets.collet_for(11.9), collets.collet_for(10.5)
        (12.0, None)
        """
        fitting = [b for b in self.bores if b - self.closes <= diameter <= b + OVER]
        return min(fitting, default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrivingPlate:
    """What turns a dog: on the spindle's nose, about the centre in it; lengths in mm."""

    diameter: float
    centre_out: float  # the centre's point in front of the plate
    most_rpm: float

    @property
    def name(self) -> str:
        """Return what it is called."""
        return "driving plate"


@dataclass(frozen=True, slots=True, kw_only=True)
class Faceplate:
    """A plate on the spindle's nose that work is clamped on; lengths in mm."""

    diameter: float
    most_rpm: float  # the lowest speeds: work on it is out of balance

    @property
    def name(self) -> str:
        """Return what it is called."""
        return "faceplate"


@dataclass(frozen=True, slots=True, kw_only=True)
class Dog:
    """A carrier that is nipped on the left end of work and driven by its tail; lengths in mm."""

    name: str
    least: float
    most: float
    width: float  # along the work
    reach: float  # from the axis to the outermost that goes round: tail, or screw
    where: Where = field(compare=False, repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Centre:
    """A centre of 60 degrees in the tailstock's quill; lengths in mm."""

    name: str
    kind: CentreKind
    body: float  # diameter behind the cone
    length: float  # from the sharp point, to which the cone goes on, to the quill
    most_rpm: float  # marked on a live one; what the grease of a dead one stands
    where: Where = field(compare=False, repr=False)

    @property
    def cone(self) -> float:
        """Return how long the cone is, from the sharp point, mm."""
        return self.body / 2 / math.tan(math.radians(CENTRE_DEG / 2))


@dataclass(frozen=True, slots=True, kw_only=True)
class Steady:
    """A fixed steady on the bed; lengths in mm."""

    name: str
    least: float
    most: float
    width: float  # along the axis, fingers and frame
    outer: float  # from the axis to the outermost of its frame on the tool's side
    most_rpm: float  # that its fingers, oiled, stand
    where: Where = field(compare=False, repr=False)


Holder: TypeAlias = Chuck | Collets | DrivingPlate | Faceplate
Named: TypeAlias = Chuck | Collets | Dog | Centre | Steady
_Any = TypeVar("_Any", bound=Named)


def by_name(every: tuple[_Any, ...], name: str) -> _Any | None:
    """Return the one of a name, None when there is none."""
    return next((each for each in every if each.name == name), None)


def read_chuck(table: Table) -> Chuck:
    """Read one ``[[lathe.chuck]]``."""
    least, most = _holds(table)
    chuck = Chuck(
        name=table.text("name"),
        jaws=table.whole("jaws", default=3, least=2, most=6),
        least=least,
        most=most,
        jaw_length=table.length("jaw_length", above=0),
        jaw_depth=table.length("jaw_depth", above=0),
        body=table.length("body", above=0),
        most_rpm=table.number("most_rpm", above=0),
        where=table.where(),
    )
    table.no_more()
    return chuck


def _holds(table: Table) -> tuple[float, float]:
    """Read the smallest and the largest diameter that something holds."""
    least, most = table.lengths("holds", count=2)
    if not table.faulty and not 0 <= least < most:
        table.wrong("holds", table.say(least, most), "give the smallest diameter it holds first")
    return least, most


def read_collets(table: Table) -> Collets:
    """Read one ``[[lathe.collets]]``."""
    collets = Collets(
        name=table.text("name"),
        bores=table.lengths("bores"),
        closes=table.length("closes", above=0),
        grip=table.length("grip", above=0),
        nose=table.length("nose", above=0),
        run_out=table.length("run_out", least=0),
        most_rpm=table.number("most_rpm", above=0),
        where=table.where(),
    )
    table.no_more()
    if not table.faulty and not (collets.bores and min(collets.bores) > 0):
        table.wrong("bores", "no bore, or one of 0", "give the bore of each collet of the set")
    return collets


def read_driving_plate(table: Table) -> DrivingPlate:
    """Read ``[lathe.driving_plate]``."""
    plate = DrivingPlate(
        diameter=table.length("diameter", above=0),
        centre_out=table.length("centre_out", above=0),
        most_rpm=table.number("most_rpm", above=0),
    )
    table.no_more()
    return plate


def read_faceplate(table: Table) -> Faceplate:
    """Read ``[lathe.faceplate]``."""
    plate = Faceplate(
        diameter=table.length("diameter", above=0),
        most_rpm=table.number("most_rpm", above=0),
    )
    table.no_more()
    return plate


def read_dog(table: Table) -> Dog:
    """Read one ``[[lathe.dog]]``."""
    least, most = _holds(table)
    dog = Dog(
        name=table.text("name"),
        least=least,
        most=most,
        width=table.length("width", above=0),
        reach=table.length("reach", above=0),
        where=table.where(),
    )
    table.no_more()
    if not table.faulty and dog.reach <= dog.most / 2:
        table.wrong("reach", table.say(dog.reach), "give from the axis to the end of its tail")
    return dog


def read_centre(table: Table) -> Centre:
    """Read one ``[[lathe.centre]]``."""
    centre = Centre(
        name=table.text("name"),
        kind=table.choice("kind", CENTRE_KINDS),
        body=table.length("body", above=0),
        length=table.length("length", above=0),
        most_rpm=table.number("most_rpm", above=0),
        where=table.where(),
    )
    table.no_more()
    if not table.faulty and centre.length < centre.cone:
        table.wrong(
            "length",
            f"{table.say(centre.length)}, and its cone alone is {table.say(centre.cone)} long",
            "give from the sharp point to the quill",
        )
    return centre


def read_steady(table: Table) -> Steady:
    """Read one ``[[lathe.steady]]``."""
    least, most = _holds(table)
    steady = Steady(
        name=table.text("name"),
        least=least,
        most=most,
        width=table.length("width", above=0),
        outer=table.length("outer", above=0),
        most_rpm=table.number("most_rpm", above=0),
        where=table.where(),
    )
    table.no_more()
    if not table.faulty and steady.outer <= steady.most / 2:
        table.wrong("outer", table.say(steady.outer), "give from the axis to the frame's outside")
    return steady
