"""What is left of the blank's outer shape when it comes to a setup, and how it lies there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple, assert_never

from pathgen.job.areas import Edge, Facing, Outside, Pocket, Step
from pathgen.job.chamfer import Chamfer
from pathgen.job.frame import OUTWARD, Box, Face, Frame, Lie, Way
from pathgen.job.holes import Holes
from pathgen.job.slot import Slot
from pathgen.job.spheres import Sphere
from pathgen.job.t_slot import TSlot

if TYPE_CHECKING:
    from pathgen.job.features import Feature


SIDES: dict[Edge, Way] = {
    "left": Way(0, -1),
    "right": Way(0, 1),
    "front": Way(1, -1),
    "back": Way(1, 1),
}


class Machined(NamedTuple):
    """A face of the blank that was cut over its whole extent, and in which setup."""

    face: Face
    setup: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """The blank's outer box as setups leave it, in the blank's own axes, mm."""

    box: Box
    machined: tuple[Machined, ...] = ()

    def faced(self, face: Face, depth: float, setup: str) -> Stock:
        """Return what is left when a setup takes so much, in mm, off the whole of a face.

        >>> bar = Stock(box=Box((0.0, 0.0, -8.0), (60.0, 30.0, 0.0)))
        >>> bar.faced("top", 0.5, "facing").box.high
        (60.0, 30.0, -0.5)
        """
        way = OUTWARD[face]
        low, high = list(self.box.low), list(self.box.high)
        (high if way.sign > 0 else low)[way.axis] -= way.sign * depth
        box = Box((low[0], low[1], low[2]), (high[0], high[1], high[2]))
        return Stock(box=box, machined=(*self.machined, Machined(face, setup)))

    def machined_in(self, face: Face) -> str | None:
        """Return the setup that machined a face last, None if none did."""
        return next((each.setup for each in reversed(self.machined) if each.face == face), None)


def stock_after(stock: Stock, features: Iterable[Feature], frame: Frame, setup: str) -> Stock:
    """Return what a setup leaves of the stock's outer box.

    Args:
        stock: as it comes to the setup.
        features: what is cut in it.
        frame: the setup's.
        setup: its name.
    """
    for feature in features:
        match feature:
            case Facing():
                stock = stock.faced(frame.lie.up, feature.off, setup)
            case Step() if feature.through:
                stock = _side_cut(stock, feature, frame, setup)
            case Slot() | TSlot() | Holes() | Pocket() | Outside() | Step() | Chamfer() | Sphere():
                pass  # they take no whole face off
            case _:
                assert_never(feature)
    return stock


def _side_cut(stock: Stock, step: Step, frame: Frame, setup: str) -> Stock:
    """Return what is left when whole sides were cut away."""
    box = frame.box_into(stock.box)
    for edge in step.edges:
        way = SIDES[edge]
        taken = step.width.middle
        if step.left is not None:
            across = box.high[way.axis] - box.low[way.axis]
            taken = (across - step.left.middle) / len(step.edges)
        stock = stock.faced(frame.lie.face(way), taken, setup)
    return stock


@dataclass(frozen=True, slots=True, kw_only=True)
class Workpiece:
    """The blank as it comes to a setup: how it lies, and its box in the setup's frame, mm."""

    lie: Lie
    box: Box
    is_shaft: bool = False  # a round one that lies along x, as high and as wide as its diameter

    @property
    def height(self) -> float:
        """Return how thick it is from its upper to its lower face, mm."""
        return self.box.height

    def span(self, axis: int) -> tuple[float, float]:
        """Return where it begins and ends along one of the setup's axes, mm."""
        return self.box.low[axis], self.box.high[axis]

    def faces(self, axis: int) -> tuple[Face, Face]:
        """Return which of the blank's faces lie at the low and the high end of an axis."""
        return self.lie.faces(axis)
