"""Picking up a zero from what is gone already: the middle of a hole, a slot or a pocket."""

from __future__ import annotations

from typing import NamedTuple

from pathgen.job.areas import Pocket, Rectangular, Round
from pathgen.job.frame import Lie, Point
from pathgen.job.gone import Sunk
from pathgen.job.holes import Holes
from pathgen.job.slot import Slot, Turned
from pathgen.job.t_slot import TSlot


class Middle(NamedTuple):
    """The middle between two walls, in the blank's axes, and how far off they are; mm."""

    at: Point
    half: float


def middle_of(sunk: Sunk, lie: Lie, axis: int, number: int | None) -> Middle:
    """Return the middle of a feature along one of a setup's level axes.

    Args:
        sunk: the feature, gone before the setup.
        lie: how the blank lies in the setup.
        axis: 0 for x, 1 for y.
        number: which of several holes, from 1; None if it was not said.

    Raises:
        ValueError: it cannot be picked up so; what is wrong and what would be right.
    """
    own, up = sunk.frame.lie, lie.ways[2]
    if up.axis != own.ways[2].axis or (up.sign != own.ways[2].sign and not sunk.feature.through):
        raise ValueError(
            f"{sunk.feature.name!r} does not open upwards here; name what opens at {lie.up}"
        )
    along = next(i for i, way in enumerate(own.ways) if way.axis == lie.ways[axis].axis)
    (x, y), half = _plan(sunk, along, number)
    return Middle(sunk.frame.out_of((x, y, sunk.box.high[2])), half)


def _plan(sunk: Sunk, along: int, number: int | None) -> tuple[tuple[float, float], float]:
    """Return the middle in the feature's own frame, and half of the way between its walls, mm."""
    feature = sunk.feature
    feature = feature.neck if isinstance(feature, TSlot) else feature
    if number is not None and not isinstance(feature, Holes):
        raise ValueError(f"{feature.name!r} is but one; leave hole out")
    match feature:
        case Holes():
            return _hole(feature, number), feature.bore.nominal / 2
        case Slot(turned=Turned()):
            raise ValueError(
                f"the walls of {feature.name!r} stand at an angle to the axes; take this zero from "
                "a face, or another feature"
            )
        case Slot():
            if feature.along == ("x", "y")[along]:
                raise ValueError(
                    f"along the slot {feature.name!r} there are no walls to touch; take this zero "
                    "from a face, or another feature"
                )
            middle = (feature.low_end + feature.high_end) / 2
            return feature.point(middle, feature.centre_line), feature.width.nominal / 2
        case Pocket(shape=Round(diameter=diameter)):
            return (feature.x.nominal, feature.y.nominal), diameter.nominal / 2
        case Pocket(shape=Rectangular() as shape):
            size = (shape.length, shape.width)[along]
            return (feature.x.nominal, feature.y.nominal), size.nominal / 2
        case _:
            raise ValueError(
                f"{feature.name!r} has no middle between two walls; name a hole, a slot, or a "
                "round or rectangular pocket"
            )


def _hole(holes: Holes, number: int | None) -> tuple[float, float]:
    """Return the place of the hole that is meant."""
    count = len(holes.places)
    if number is None and count > 1:
        raise ValueError(f"{holes.name!r} are {count} holes; say which, hole = 1 to {count}")
    if number is not None and number > count:
        raise ValueError(f"hole {number} of {holes.name!r}; there are {count}")
    return holes.places[(number or 1) - 1].at
