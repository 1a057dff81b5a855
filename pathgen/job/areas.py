"""Areas sunk from the top face: pockets, outsides, steps and faces, each with its own sizes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal, TypeAlias, assert_never

from pathgen.input.where import Where
from pathgen.job.contour import Contour, circle, rectangle
from pathgen.job.read_concentric import Concentric
from pathgen.job.sizes import Size

Way: TypeAlias = Literal["chain drilled", "ring by ring"]
Entry: TypeAlias = Literal["helix", "ramp"]
Corners: TypeAlias = Literal["refused", "left"]
Strip: TypeAlias = tuple[float, float, float, float]  # least x and y, greatest x and y
Edge: TypeAlias = Literal["left", "right", "front", "back"]


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaWays:
    """What the job says of how an area is to be cut; None where the planner chooses."""

    way: Way | None = None
    entry: Entry | None = None
    drill: str | None = None  # of the chain
    least_web: float | None = None
    allowance: float | None = None  # left for finishing on each wall, mm
    rough: str | None = None  # a cutter's name
    finish: str | None = None
    depth_of_cut: float | None = None
    width_of_cut: float | None = None  # the most that a roughing cut takes sideways, mm
    climb: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """A round pocket's size."""

    diameter: Size


@dataclass(frozen=True, slots=True, kw_only=True)
class Rectangular:
    """A rectangular pocket's sizes: along x and along y, with corners of a radius."""

    length: Size  # along x
    width: Size  # along y
    corner: float  # radius, mm
    corner_low: float  # the least radius that a corner may have, 0 for sharp
    corner_high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Free:
    """Any closed contour: its walls lie within limits of where they should be.

    ``departure`` is 0 between its limits, out of the metal below 0, into it above.
    """

    departure: Size


Shape: TypeAlias = Round | Rectangular | Free


@dataclass(frozen=True, slots=True, kw_only=True)
class Pocket:
    """What lies within a contour, but for islands, is taken away to a depth; setup's frame, mm.

    ``x`` and ``y`` are those of its middle (of a free contour: of the place that the job gives it
    by), with the limits of its position.
    """

    name: str
    contour: Contour  # at nominal size
    shape: Shape
    islands: tuple[Contour, ...]  # at nominal size, within the contour and apart
    island_departure: Size | None  # as ``Free.departure``, above 0 into the islands
    x: Size
    y: Size
    depth: Size | None  # None: through
    corners: Corners  # tighter than any cutter: refused, or left to be filed, and shown
    file_to_line: float | None  # left to file on walls off the axes at most, cut by hand
    ways: AreaWays
    concentric: Concentric | None = None  # of a round one
    where: Where = field(compare=False, repr=False)

    @property
    def through(self) -> bool:
        """Return whether it goes through the blank."""
        return self.depth is None

    @property
    def box(self) -> Strip:
        """Return its box seen from above: least x and y, greatest x and y; mm."""
        return self.contour.box

    @property
    def strips(self) -> tuple[Strip, ...]:
        """Return its box, as the one strip that it lies in, mm."""
        return (self.contour.box,)


def contour_with(pocket: Pocket, pick: Callable[[Size], float], corner: float) -> Contour | None:
    """Return the contour of a round or rectangular pocket at picked sizes, about its place; mm.

    None for a free contour, which has no sizes but a departure.

    Args:
        pocket: what is wanted.
        pick: takes one figure of each size: its middle, or a limit.
        corner: radius of the corners of a rectangle, at most half its shorter side.
    """
    x, y = pocket.x.nominal, pocket.y.nominal
    match pocket.shape:
        case Round(diameter=diameter):
            return circle((x, y), pick(diameter) / 2)
        case Rectangular(length=length, width=width):
            half = pick(length) / 2, pick(width) / 2
            corner = min(corner, *half)
            return rectangle((x - half[0], y - half[1]), (x + half[0], y + half[1]), corner)
        case Free():
            return None
        case _:
            assert_never(pocket.shape)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bridge:
    """Metal left standing across the cut round an outside, so that the part does not come loose."""

    at: tuple[float, float]  # on the contour, mm
    width: float  # along the contour, mm
    height: float  # from the floor of the cut, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Outside:
    """What lies outside a contour is cut away from it; setup's frame, mm.

    Either all of it up to the blank's edges (``cleared``), or only as wide as the cutter, so that
    the rest drops or breaks off.
    """

    name: str
    contour: Contour  # of the part, at nominal size
    departure: Size  # of its walls: below 0 outside the part (too large), above 0 into it
    x: Size
    y: Size
    depth: Size | None  # None: through
    cleared: bool
    bridges: tuple[Bridge, ...]
    corners: Corners  # inside corners of the part's outline
    file_to_line: float | None  # as a pocket's
    ways: AreaWays
    concentric: Concentric | None = None  # of a round boss
    where: Where = field(compare=False, repr=False)

    @property
    def through(self) -> bool:
        """Return whether it goes through the blank."""
        return self.depth is None

    @property
    def box(self) -> Strip:
        """Return the box of the part's contour seen from above, mm."""
        return self.contour.box

    @property
    def strips(self) -> tuple[Strip, ...]:
        """Return no strips: what is taken away lies all round the part."""
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A strip along one edge of the blank, or two, taken down to a depth, or cut away through.

    ``width`` is from that edge of the blank to the wall. ``at_most`` limits a cut sideways, so that
    "2 mm off each side, at most 1 mm at a time" comes out as equal passes.
    """

    name: str
    edges: tuple[Edge, ...]  # one, or two opposite ones: both alike about the middle
    faces: tuple[str, ...]  # what the blank's faces there are called, edge by edge
    width: Size  # of what is taken off at each edge
    left: Size | None  # what is left between two opposite steps, where that is what is wanted
    middle: Size | None  # how far the middle between two is off that of the blank's faces
    depth: Size | None  # None: through, a side cut
    at_most: float | None
    ways: AreaWays
    strips: tuple[Strip, ...]  # one an edge, as wide as it may be, up to the blank's ends
    where: Where = field(compare=False, repr=False)

    @property
    def through(self) -> bool:
        """Return whether it goes through the blank."""
        return self.depth is None

    @property
    def box(self) -> Strip:
        """Return the box of all strips seen from above, mm."""
        return around(self.strips)


@dataclass(frozen=True, slots=True, kw_only=True)
class Facing:
    """The whole top face is taken down until the blank has a thickness; mm."""

    name: str
    thickness: Size  # what is left
    off: float  # what is taken off, nominally
    at_most: float | None  # depth of a cut
    ways: AreaWays
    strips: tuple[Strip, ...]  # one: the blank's whole top
    trial: str = ""  # how it is tried before the work is taken out, besides measuring
    where: Where = field(compare=False, repr=False)

    through = False

    @property
    def box(self) -> Strip:
        """Return the box of the top seen from above, mm."""
        return around(self.strips)


def around(strips: tuple[Strip, ...]) -> Strip:
    """Return the box round strips, mm.

    >>> around(((0.0, 0.0, 5.0, 20.0), (25.0, 0.0, 30.0, 20.0)))
    (0.0, 0.0, 30.0, 20.0)
    """
    x0, y0, x1, y1 = zip(*strips, strict=True)
    return min(x0), min(y0), max(x1), max(y1)
