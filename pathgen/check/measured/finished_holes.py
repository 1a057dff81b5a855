"""Holes as the moves leave them: where each lies, how wide and how deep it is, and its mouth."""

from __future__ import annotations

from dataclasses import dataclass

from pathgen.check.findings import FinishedSize
from pathgen.job.holes import Holes, Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """A round place at some height: its centre, its least and its greatest diameter; mm."""

    x: float
    y: float
    least: float
    most: float

    @property
    def at(self) -> tuple[float, float]:
        """Return its centre, mm."""
        return self.x, self.y


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedHole:
    """One hole as the moves leave it; lengths in mm."""

    place: Place
    bore: Round | None  # None: nothing round lies there
    depth: float  # of the full diameter, below the top face
    countersink: Round | None
    counterbores: tuple[tuple[Round | None, float], ...]  # each with its depth, the widest first

    @property
    def centre(self) -> tuple[float, float]:
        """Return where it lies, or should lie if it is not there, mm."""
        return self.place.at if self.bore is None else self.bore.at


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedHoles:
    """All the holes of a feature as the moves leave them."""

    holes: Holes
    each: tuple[FinishedHole, ...]
    sizes: tuple[FinishedSize, ...]


def near_words(place: Place) -> str:
    """Return a hole by its place, as both job and machine know it."""
    x, y = place.at
    return f"hole at x {x + 0.0:.4g} y {y + 0.0:.4g}"
