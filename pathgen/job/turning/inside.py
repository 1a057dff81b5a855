"""What is wanted inside turned work: holes on its axis, bores of several diameters, recesses.

Depths are counted from the finished right face; diameters are those of the finished work; mm.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from pathgen.input.where import Where
from pathgen.job.holes import Tapping
from pathgen.job.sizes import Size
from pathgen.reckon.drills import point_length

AxialFinish: TypeAlias = Literal["drilled", "reamed", "tapped"]
FINISHES: tuple[Literal["drilled", "reamed"], ...] = ("drilled", "reamed")
LEAD_SHARE = 0.3  # of a reamed hole's diameter: how far its drill may go on below it, and chips
LEAD_CHIPS = 2.0  # mm


@dataclass(frozen=True, slots=True, kw_only=True)
class AxialHole:
    """A hole drilled on the axis, then perhaps reamed, or tapped by hand.

    Of a tapped one ``diameter`` is that of the tapping hole, and ``depth`` that of it. A depth is
    that of the full diameter; the drill's point goes deeper.
    """

    name: str
    diameter: Size
    depth: Size | None  # None: through the part
    finish: AxialFinish
    tapping: Tapping | None
    where: Where = field(compare=False, repr=False)

    @property
    def beyond(self) -> float:
        """Return how far below its depth a blind hole may go on, mm: the point, a reamer's lead."""
        on = LEAD_SHARE * self.diameter.high + LEAD_CHIPS if self.finish == "reamed" else 0.0
        return on + point_length(self.diameter.high)


@dataclass(frozen=True, slots=True, kw_only=True)
class BoredStep:
    """One diameter of a bore, and how far from the right face it goes; None: through the part."""

    diameter: Size
    to: Size | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bored:
    """A bore of one diameter or of several, from the right face to the left, each the smaller.

    The floor of a blind one keeps the hollow that the drill's point left in its middle.
    """

    name: str
    steps: tuple[BoredStep, ...]
    corner: float  # the largest radius that may stay in the corner at a shoulder, mm
    where: Where = field(compare=False, repr=False)

    @property
    def through(self) -> bool:
        """Return whether it goes through the part."""
        return self.steps[-1].to is None


@dataclass(frozen=True, slots=True, kw_only=True)
class Recess:
    """A groove inside a bore: its diameter, where its right wall is, how wide it is; mm."""

    name: str
    diameter: Size
    start: Size  # from the right face to its right wall
    width: Size
    corner: float
    where: Where = field(compare=False, repr=False)

    @property
    def end(self) -> float:
        """Return how far from the right face its left wall is at most, mm."""
        return self.start.high + self.width.high


Inside: TypeAlias = AxialHole | Bored | Recess


def depth_of(feature: Inside) -> float | None:
    """Return how deep a feature goes at most, its drill's point too, mm; None: through."""
    match feature:
        case AxialHole():
            return None if feature.depth is None else feature.depth.high + feature.beyond
        case Bored():
            last = feature.steps[-1]
            if last.to is None:
                return None
            return last.to.high + point_length(last.diameter.high)
        case Recess():
            return feature.end


def narrowest(feature: AxialHole | Bored) -> Size:
    """Return the smallest diameter of a hole, that of its far end, mm."""
    return feature.diameter if isinstance(feature, AxialHole) else feature.steps[-1].diameter


def size_at(feature: AxialHole | Bored, depth: float) -> Size | None:
    """Return the diameter of a hole at a depth from the right face, mm; None beneath it."""
    if isinstance(feature, AxialHole):
        within = feature.depth is None or depth < feature.depth.low
        return feature.diameter if within else None
    for step in feature.steps:
        if step.to is None or depth < step.to.low:
            return step.diameter
    return None


def wide_at(feature: AxialHole | Bored, depth: float) -> float:
    """Return the least that a hole is across at a depth from the right face, mm; 0 beneath it."""
    size = size_at(feature, depth)
    return 0.0 if size is None else size.low
