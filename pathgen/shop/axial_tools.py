"""Tools that work on a lathe's axis, held in the tailstock or in line with it: drills and reamers.

The drills and reamers of mills serve; centre drills are of lathes alone.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Literal, TypeAlias

from pathgen.input.getters import Table
from pathgen.input.where import Where
from pathgen.shop.cutters import Cutter

AxialKind: TypeAlias = Literal["centre drill", "spotting drill", "drill", "reamer"]
CENTRE_DEG = 60.0  # included angle of a lathe centre, and of the seat that a centre drill leaves
PILOT_POINT_DEG = 118.0


@dataclass(frozen=True, slots=True, kw_only=True)
class AxialTool:
    """A tool that cuts round the axis; its place is that of its end. Lengths in mm.

    ``edge`` goes from its end outwards: how far above the end it has which radius. It is straight
    between those, and of the last radius up to its reach.
    """

    name: str
    kind: AxialKind
    diameter: float
    edge: tuple[tuple[float, float], ...]
    reach: float  # how deep it goes into the work before its shank does
    shank: float  # diameter
    pilot: float = 0.0  # diameter of the pilot of a centre drill
    material: str = "HSS"
    where: Where = field(compare=False, repr=False)

    @property
    def nose_radius(self) -> float:
        """Return half of its diameter: what stands for a tool's size in a head, mm."""
        return self.diameter / 2

    @property
    def point_length(self) -> float:
        """Return how far above its end it has its full diameter, mm."""
        return self.edge[-1][0]

    def meets_rim(self, mouth: float) -> float:
        """Return how far its end is inside a hole whose rim it just touches, mm.

        Args:
            mouth: diameter of the hole at the face, mm; 0 for whole metal.
        """
        for (low, inner), (high, outer) in pairwise(self.edge):
            if inner <= mouth / 2 < outer:
                return low + (high - low) * (mouth / 2 - inner) / (outer - inner)
        return self.point_length if mouth >= self.diameter else 0.0

    def mouth_at(self, depth: float) -> float:
        """Return how wide a hole it leaves at the face when its end is that deep, mm across."""
        for (low, inner), (high, outer) in pairwise(self.edge):
            if low <= depth < high:
                return 2 * (inner + (outer - inner) * (depth - low) / (high - low))
        return self.diameter


def axial_tool(cutter: Cutter) -> AxialTool | None:
    """Return a drill, spotting drill or reamer as it works on the axis; None for other cutters."""
    if cutter.kind not in ("spotting drill", "drill", "reamer"):
        return None
    kind: AxialKind = cutter.kind
    return AxialTool(
        name=cutter.name,
        kind=kind,
        diameter=cutter.diameter,
        edge=((0.0, cutter.tip / 2), (cutter.point_length, cutter.radius)),
        reach=cutter.reach,
        shank=cutter.shank,
        material=cutter.material,
        where=cutter.where,
    )


def read_centre_drill(table: Table) -> AxialTool | None:
    """Read one ``[[centre_drill]]``."""
    pilot = table.length("pilot", above=0)
    body = table.length("body", above=0)
    long = table.length("pilot_length", above=0)
    reach = table.length("length", above=0)
    name = table.text("name")
    table.no_more()
    if table.faulty:
        return None
    if body <= pilot:
        table.wrong("body", table.say(body), "give the thicker diameter, of the body")
        return None
    point = pilot / 2 / math.tan(math.radians(PILOT_POINT_DEG / 2))
    cone = (body - pilot) / 2 / math.tan(math.radians(CENTRE_DEG / 2))
    if long <= point or reach <= long + cone:
        table.wrong("length", table.say(reach), "give that of pilot, cone and body together")
        return None
    return AxialTool(
        name=name,
        kind="centre drill",
        diameter=body,
        edge=((0.0, 0.0), (point, pilot / 2), (long, pilot / 2), (long + cone, body / 2)),
        reach=reach,
        shank=body,
        pilot=pilot,
        where=table.where(),
    )
