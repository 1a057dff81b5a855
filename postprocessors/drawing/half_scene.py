"""What is drawn of turned work: the bar and what each pass takes off it, in the half plane.

A place in the half plane is z, along the axis, and x, from the axis; mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Protocol

import shapely
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from pathgen.job.turning.held_on import KeepOut
from pathgen.job.turning.turned import Parted, TurnedJob, TurnedSetup
from postprocessors.drawing.found import FindingLike
from postprocessors.drawing.half_inside import hollow
from postprocessors.drawing.half_outside import outside
from postprocessors.drawing.scale import Extent, Units

FAR = 1e4  # mm: beyond all work
TINY = 1e-6  # mm
BY_CENTRE = 24.0  # mm shown to the right of an end that a centre holds


class TakenLike(Protocol):
    """What the drawing needs of what a step or a line takes: its number, the metal."""

    @property
    def number(self) -> int:
        """Return the step or the line."""

    @property
    def metal(self) -> BaseGeometry:
        """Return the metal."""

    @property
    def thread(self) -> bool:
        """Return whether it is a pass along a thread: the ring that it runs through."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HalfScene:
    """All that one drawing of turned work shows."""

    job: TurnedJob  # with the blank as it comes to the setup
    setup: TurnedSetup
    machine: str
    held: tuple[KeepOut, ...]  # what holds and supports it, above the axis
    comes: BaseGeometry
    taken: tuple[TakenLike, ...]
    left: BaseGeometry
    findings: tuple[FindingLike, ...] = ()
    wanted: BaseGeometry = field(init=False, compare=False)

    def __post_init__(self) -> None:
        """Work out once what every view shows."""
        object.__setattr__(self, "wanted", _wanted(self.setup, self.comes))

    @property
    def units(self) -> Units:
        """Return the units the drawing speaks."""
        return Units(self.job.units)

    def window(self, behind: float, beside: float) -> Extent:
        """Return what is shown above the axis: the bar to behind the jaws, and air about it.

        Args:
            behind: how much of the bar is shown behind the jaws' front, mm.
            beside: how much air to the right of the bar and outside it, mm; where a centre holds
                it, some of that is shown.
        """
        right, radius = (float(each) for each in shapely.bounds(self.comes)[2:])
        more = max(beside, BY_CENTRE) if self.setup.hold.centre else beside
        return Extent(self.setup.jaws_at - behind, 0.0, right + more, radius + beside)

    def removed(self, first: int, end: int, *, threads: bool = True) -> BaseGeometry:
        """Return what steps or lines from the first to before an end take together."""
        return shapely.union_all(
            [
                each.metal
                for each in self.taken
                if first <= each.number < end and (threads or not each.thread)
            ]
        )


def _wanted(setup: TurnedSetup, comes: BaseGeometry) -> BaseGeometry:
    """Return the metal that there should be: the part, and the bar that it is not cut off from."""
    corners = outside(setup)
    left = float(shapely.bounds(comes)[0])
    parted = [each for each in setup.features if isinstance(each, Parted)]
    end = -parted[0].length.middle if parted else max(corners[-1][0], left) if corners else 0.0
    profile = [(max(z, end), x) for z, x in corners]
    metal: list[BaseGeometry] = []
    if corners:
        metal.append(Polygon([(0.0, 0.0), *profile, (end, 0.0)]))
    if not parted:
        metal.append(comes.intersection(box(left, 0.0, end, FAR)))
    edge = [(max(z, left), x) for z, x in hollow(setup, end if parted else -math.inf)]
    void = Polygon([(edge[0][0], 0.0), *edge, (0.0, 0.0)]).buffer(0)
    wanted = shapely.union_all(metal).difference(void)
    return wanted if setup.carried is None else wanted.intersection(comes)


def edges_of(region: BaseGeometry, left: float) -> list[list[tuple[float, float]]]:
    """Return the edges of metal but for the axis and for where the view breaks it off.

    Args:
        region: the metal.
        left: the z at which the view ends.
    """
    lines: list[list[tuple[float, float]]] = []
    for part in shapely.get_parts(region):
        rings = (part.exterior, *part.interiors) if isinstance(part, Polygon) else ()
        for ring in rings:
            lines += _without_axis([(float(z), float(x)) for z, x in ring.coords], left)
    return lines


def _without_axis(
    ring: Sequence[tuple[float, float]], left: float
) -> list[list[tuple[float, float]]]:
    """Return the stretches of a ring that are edges."""

    def no_edge(a: tuple[float, float], b: tuple[float, float]) -> bool:
        return max(abs(a[1]), abs(b[1])) < TINY or max(a[0], b[0]) <= left + TINY

    lines: list[list[tuple[float, float]]] = [[]]
    for a, b in pairwise(ring):
        if no_edge(a, b):
            lines.append([])
        elif lines[-1]:
            lines[-1].append(b)
        else:
            lines[-1] += [a, b]
    if len(lines) > 1 and lines[0] and lines[-1] and lines[-1][-1] == lines[0][0]:
        lines[0] = lines.pop() + lines[0][1:]
    return [line for line in lines if line]
