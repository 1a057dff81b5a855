"""How much a cut in turned work may take, how fast it may go."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely.geometry import Polygon

from pathgen.reckon.cutting import cutting_data
from pathgen.reckon.turning_depths import bench_depth
from pathgen.shop.axial_tools import AxialKind, AxialTool
from pathgen.shop.machines import Rigidity
from pathgen.shop.turning_tools import TurningKind, TurningTool

TWICE = 2.0  # a feed or a cutting speed above twice the reckoned one is a slip, not a choice
DEEPER = 1.25  # of the allowed depth of a cut, beside what the dial rounds
ROUNDED = 0.1  # mm

OPERATIONS: dict[TurningKind | AxialKind, str] = {
    "turning": "turning",
    "parting": "parting",
    "grooving": "parting",
    "boring": "turning",  # no faster; how much slower is the person's choice
    "recessing": "parting",
    "dishing": "parting",
    "threading": "threading",
    "knurling": "threading",
    "inside threading": "threading",
    "centre drill": "spotting",
    "spotting drill": "spotting",
    "drill": "drilling",
    "reamer": "reaming",
}

Found = tuple[str, str, str, float]  # code, what, remedy, amount


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One cut that took metal; lengths in mm."""

    tool: TurningTool | AxialTool
    rpm: float
    feed: float  # mm/min
    removed: tuple[Polygon, ...]

    @property
    def depth(self) -> float:
        """Return how thick the metal was that it took, where that was thickest."""
        circles = [shapely.maximum_inscribed_circle(each, tolerance=0.01) for each in self.removed]
        return 2 * max(circle.length for circle in circles)

    def may_be_deeper(self, than: float) -> bool:
        """Return whether what it took is not surely thinner than that, by its box alone."""
        boxes = [each.bounds for each in self.removed]
        return any(min(high_z - z, high_x - x) > than for z, x, high_z, high_x in boxes)

    @property
    def diameter(self) -> float:
        """Return the largest diameter at which it took metal."""
        return 2 * max(float(each.bounds[3]) for each in self.removed)


def pace_findings(cut: Cut, material: str, rigidity: Rigidity) -> Iterator[Found]:
    """Yield what is wrong with the depth, the feed and the speed of a cut."""
    operation = OPERATIONS[cut.tool.kind]
    data = cutting_data(material, operation, cut.tool.material)
    diameter = cut.diameter
    most = bench_depth(material, rigidity) * DEEPER + ROUNDED
    if cut.tool.kind in ("turning", "boring") and cut.may_be_deeper(most) and cut.depth > most:
        yield (
            "depth",
            f"a cut {cut.depth:.2f} mm deep, {most:.2f} mm is what the lathe takes",
            "take it in more cuts",
            cut.depth - most,
        )
    per_turn, feed = cut.feed / cut.rpm, data.feed(diameter) * TWICE
    if per_turn > feed:
        yield (
            "feed",
            f"{per_turn:.3f} mm a turn, more than twice what is usual",
            f"feed at {feed * cut.rpm / TWICE:.0f} mm a minute",
            per_turn - feed,
        )
    speed = math.pi * diameter * cut.rpm / 1000
    if speed > TWICE * data.surface_speed_m_min:
        yield (
            "speed",
            f"{speed:.0f} m/min, more than twice what {material} takes",
            "turn slower",
            speed,
        )
