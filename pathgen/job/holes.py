"""Round holes, one or a pattern: drilled, reamed, tapped, bored, with what is at the mouth."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal, TypeAlias

from pathgen.input.where import Where
from pathgen.job.read_concentric import Concentric
from pathgen.job.sizes import Size
from pathgen.reckon.drills import point_length
from pathgen.reckon.threads import Thread

Finish: TypeAlias = Literal["drilled", "reamed", "tapped", "bored"]
BoringWay: TypeAlias = Literal["led round", "boring head"]

# How far a smaller drill may go on below a blind reamed hole, mm: the reamer's lead does not cut to
# size, and chips must find room (common practice, no source).
REAMER_LEAD = 3.0
# mm a side that the hole before a bore leaves for it at least (common practice, no source).
BORED_OUT = 0.5
CHIPS_BELOW = 1.0  # likewise below a blind bore, mm: its bar must not run on to the floor


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a hole's axis lies, between its limits; setup's frame, mm."""

    x: Size
    y: Size

    @property
    def at(self) -> tuple[float, float]:
        """Return the wanted (x, y), mm."""
        return self.x.nominal, self.y.nominal


@dataclass(frozen=True, slots=True, kw_only=True)
class Countersink:
    """A conical mouth: its diameter in the top face, and the whole angle."""

    diameter: Size
    angle_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Counterbore:
    """A wider mouth with a flat floor; a spot-face where it only makes a seat."""

    diameter: Size
    depth: Size
    spotface: bool = False

    @property
    def word(self) -> Literal["counterbore", "spot-face"]:
        """Return what the trade calls it."""
        return "spot-face" if self.spotface else "counterbore"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tapping:
    """A thread to be tapped by hand in the drilled hole."""

    thread: Thread
    engagement: float  # wanted share of a full thread, on the basis of the tapping charts
    depth: float | None  # of full thread, from the top face; None: through


@dataclass(frozen=True, slots=True, kw_only=True)
class Boring:
    """What is asked of a bore besides its sizes."""

    flat: bool  # a blind one, with a flat floor
    concentric: Concentric | None
    way: BoringWay | None  # None: chosen by the machine
    head: str | None  # the boring head, as the crib names it; None: chosen


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """The floor of a pocket of the same setup, in which holes begin; mm."""

    of: str  # the pocket
    depth: Size  # of it, from the top face

    def below(self, depth: Size) -> Size:
        """Return a depth from the floor as one from the top face, the floor as aimed at."""
        return self._shifted(depth, self.depth.middle)

    def above(self, depth: Size) -> Size:
        """Return a depth from the top face as one from the floor, the floor as aimed at."""
        return self._shifted(depth, -self.depth.middle)

    def _shifted(self, depth: Size, by: float) -> Size:
        return replace(depth, nominal=depth.nominal + by, low=depth.low + by, high=depth.high + by)


@dataclass(frozen=True, slots=True, kw_only=True)
class Holes:
    """Holes that are alike, sunk from the top face; lengths in mm.

    ``bore`` is what a gauge finds at the end: the drilled or reamed diameter. Of a tapped hole it
    is the tapping hole, since the thread itself is cut by hand: what the wanted engagement comes
    to, a tenth of a full thread either way, and never under the thread's core.

    ``depth`` is that of the full diameter, from the top face; the drill's point goes deeper. Of a
    tapped hole it is that of the tapping hole, which is deeper than the thread by the tap's lead.
    Holes in the ``floor`` of a pocket are drilled from the top face before it is milled.
    """

    name: str
    places: tuple[Place, ...]
    bore: Size
    depth: Size | None  # None: through
    finish: Finish | None  # None: the planner chooses between drilled and reamed
    tapping: Tapping | None
    countersink: Countersink | None
    counterbores: tuple[Counterbore, ...]  # of one axis, the widest first, each deeper than before
    boring: Boring | None = None  # of a bore
    breaks_into: tuple[str, ...] = ()  # what is gone before, that they are to run into
    floor: Floor | None = None  # of a pocket of the same setup that they begin in
    screw: str | None = None  # "M6 cap screw": what the hole and its mouth were made for
    where: Where = field(compare=False, repr=False)

    @property
    def through(self) -> bool:
        """Return whether the holes go through the blank."""
        return self.depth is None

    @property
    def own_depth(self) -> Size | None:
        """Return the depth of the full diameter from where the holes begin; None: through."""
        if self.depth is None or self.floor is None:
            return self.depth
        return self.floor.above(self.depth)

    @property
    def counterbore(self) -> Counterbore | None:
        """Return the widest counterbore, which is at the top; None where there is none."""
        return self.counterbores[0] if self.counterbores else None

    @property
    def flat(self) -> bool:
        """Return whether it ends in a flat floor, and not where a drill's point did."""
        return self.boring is not None and self.boring.flat

    @property
    def lead(self) -> float:
        """Return how far a smaller drill may go on below the full diameter, mm."""
        if self.finish == "bored":
            return 0.0 if self.flat else CHIPS_BELOW
        return 0.0 if self.finish in ("drilled", "tapped") else REAMER_LEAD

    @property
    def below(self) -> float:
        """Return how far what is gone may go on below the full diameter, a drill's point too; mm.

        Of a bore that is the point of a drill which is smaller than the bore.
        """
        across = self.bore.low - (2 * BORED_OUT if self.finish == "bored" else 0.0)
        return 0.0 if self.flat else self.lead + point_length(across)

    @property
    def mouth(self) -> float:
        """Return the largest diameter that a hole may have in the top face, mm."""
        wider = [each.diameter.high for each in (self.countersink, self.counterbore) if each]
        return max([self.bore.high, *wider])

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Return the holes' box seen from above: least x and y, greatest x and y; mm."""
        xs, ys = zip(*(place.at for place in self.places), strict=True)
        half = self.mouth / 2
        return min(xs) - half, min(ys) - half, max(xs) + half, max(ys) + half
