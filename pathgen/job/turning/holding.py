"""How turned work is held and supported, and what of it comes from an earlier setup.

Places along the axis are counted from the finished right face; lengths in mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from pathgen.job.turning.centre_holes import CentreHole
from pathgen.job.turning.faceplate import FaceplateHold


@dataclass(frozen=True, slots=True, kw_only=True)
class SteadyPlace:
    """Where which fixed steady stands: on what was turned round before."""

    steady: str
    at: float  # from the finished right face to the middle of its fingers


@dataclass(frozen=True, slots=True, kw_only=True)
class ChuckHold:
    """How far the bar stands out of which chuck, what supports it, and the person's own words."""

    chuck: str
    stick_out: float  # from the jaws to the work's end
    lines: tuple[str, ...]
    centre: str = ""  # in the tailstock, in the right end; empty: none
    steady: SteadyPlace | None = None
    run_out: float | None = None  # that the needle may go in all, work from an earlier setup

    @property
    def called(self) -> str:
        """Return what holds it, in a word or two."""
        return self.chuck


@dataclass(frozen=True, slots=True, kw_only=True)
class CentresHold:
    """Between the spindle's centre and that of the tailstock, driven by a dog on the left end."""

    dog: str
    driven: float  # of the left end, to the front of the dog
    stick_out: float  # from there to the right end
    centre: str
    lines: tuple[str, ...]
    steady: SteadyPlace | None = None

    @property
    def called(self) -> str:
        """Return what holds it, in a word or two."""
        return "between centres"


Hold: TypeAlias = ChuckHold | CentresHold | FaceplateHold


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """One end of the work: whether it was faced, what is hollow in it; mm."""

    faced: bool = False
    hole: CentreHole | None = None
    deep: float = 0.0  # of that hole or of another, at the most
    mouth: float = 0.0  # how wide that is at the face, at the most


SAWN = End()


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """A part as it comes to a setup from the one before it; lengths in mm."""

    turned_round: bool  # its other end is to the right now
    diameter: float  # at its right end
    length: float  # as it comes
    held: float  # the diameter that is held
    held_turned: bool  # which was turned to its size before
    turned: bool  # whether anything of its outside was
    behind: float  # the diameter of what stands behind all that is turned now
    outside: tuple[tuple[float, float], ...]  # from the left end: how far, which diameter
    mouth: float = 0.0  # how wide its right end is hollow, once it is faced where it is
    right: End = SAWN
    left: End = SAWN
