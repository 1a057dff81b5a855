"""A centre hole in an end of turned work: the seat of a lathe centre."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from pathgen.input.getters import Table
from pathgen.input.where import Where
from pathgen.job.sizes import Size, read_size
from pathgen.shop.axial_tools import CENTRE_DEG

Stays: TypeAlias = Literal["wanted", "may", "no"]
STAYS: tuple[Stays, ...] = ("wanted", "may", "no")
MOUTH = 2.12  # pilots: the mouth of form A of ISO 6411, from memory
PLAY = 0.3  # mm by which a mouth may be wider or narrower; common practice, no source
DEEPER = 2.0  # pilots that the pilot's hole may go on below the cone, its point too
HALF = math.tan(math.radians(CENTRE_DEG / 2))


@dataclass(frozen=True, slots=True, kw_only=True)
class CentreHole:
    """A 60 degree seat at the right face, with the pilot's hole below it; lengths in mm.

    ``stays`` says what the drawing asks for: that the hole is there in the finished part, that it
    may be, or that it is not, so that a later setup faces it off.
    """

    name: str
    pilot: float  # diameter of the pilot's hole
    diameter: Size  # of the mouth
    stays: Stays
    where: Where = field(compare=False, repr=False)

    @property
    def designation(self) -> str:
        """Return what a drawing calls it: form, pilot and mouth, as ISO 6411 writes them."""
        return f"A {self.pilot:g}/{self.diameter.nominal:.3g}"

    @property
    def deepest(self) -> float:
        """Return how far below the face it may go, mm."""
        return cone_length(self.diameter.high, self.pilot) + DEEPER * self.pilot


def cone_length(mouth: float, inner: float = 0.0) -> float:
    """Return how long a 60 degree cone is between two diameters, mm.

    >>> round(cone_length(5.3, 2.5), 3)
    2.425
    """
    return (mouth - inner) / 2 / HALF


def read_centre_hole(table: Table, tolerance_class: str) -> CentreHole | None:
    """Read a centre hole: by its pilot, and its mouth where that is another than usual."""
    name = table.text("name")
    pilot = table.length("pilot", above=0)
    mouth = table.length("diameter", default=MOUTH * pilot, above=0)
    stays = table.choice("stays", STAYS, default="may")
    size = Size(nominal=mouth, low=mouth - PLAY, high=mouth + PLAY, basis="of a centre hole")
    if table.has("diameter_limits") or table.has("diameter_fit"):
        size = read_size(table, "diameter", mouth, tolerance_class)
    table.no_more()
    if not table.faulty and size.low <= pilot:
        table.wrong(
            "diameter",
            f"a mouth of {table.say(mouth)} over a pilot of {table.say(pilot)} leaves no seat",
            f"give about {table.say(MOUTH * pilot)}, or a thinner pilot",
        )
    if table.faulty:
        return None
    return CentreHole(name=name, pilot=pilot, diameter=size, stays=stays, where=table.where())
