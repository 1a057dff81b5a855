"""The cutting point of a fly cutter: how wide it can be set, its nose, and what it hangs from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from pathgen.input.getters import Table

Looks: TypeAlias = Literal["outwards", "inwards"]
LOOKS: tuple[Looks, ...] = ("outwards", "inwards")
SET_WITHIN = 0.05  # mm, half width: measured over point and body (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class FlyPoint:
    """A single point that is set to a sweep; lengths in mm.

    The sweep is the diameter of the circle that the point's outermost place goes along; of one that
    looks inwards, as a dome wants it, the innermost. ``drop`` is how far the point stands below the
    body, ``body`` how long that is, and above it the arbor goes on.
    """

    least: float  # sweeps that it can be set to
    most: float
    nose: float  # radius of the point
    drop: float
    body: float
    looks: Looks
    uncertainty: float  # half width of what setting and measuring leave open of the sweep

    def sets(self, sweep: float) -> bool:
        """Return whether it can be set to a sweep."""
        return self.least <= sweep <= self.most


def read_fly_point(table: Table, body_diameter: float) -> FlyPoint | None:
    """Read what a crib says of a fly cutter's point; None when anything in it was wrong.

    Args:
        table: of the cutter.
        body_diameter: of its body, mm.
    """
    sweeps = table.lengths("sweeps", count=2)
    nose = table.length("nose", least=0)
    point = FlyPoint(
        least=sweeps[0] if sweeps else 0.0,
        most=sweeps[1] if len(sweeps) > 1 else 0.0,
        nose=nose,
        drop=table.length("drop", above=0),
        body=table.length("body", above=0),
        looks=table.choice("looks", LOOKS, default="outwards"),
        uncertainty=table.length("set_within", default=SET_WITHIN, least=0, most=1),
    )
    if table.faulty:
        return None
    if not point.least < point.most:
        table.wrong(
            "sweeps", table.say(*sweeps), "give the least and the most that it can be set to"
        )
    if point.looks == "outwards" and point.least < body_diameter:
        table.wrong(
            "sweeps",
            f"from {table.say(point.least)} for a body {table.say(body_diameter)} across",
            "its point has to stand outside its body: give a larger least sweep",
        )
    return point
