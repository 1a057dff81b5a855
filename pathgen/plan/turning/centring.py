"""A centre hole: put in by a centre drill until its mouth is as wide as wanted."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.input.where import Refusal
from pathgen.job.turning.centre_holes import CentreHole
from pathgen.plan.turning.axial import sunk
from pathgen.plan.turning.bench import TurnedOperation, TurningBench
from pathgen.shop.axial_tools import AxialTool

SAME = 0.06  # mm by which a pilot may be off the wanted one: inch and metric centre drills


def plan_centre_hole(hole: CentreHole, bench: TurningBench) -> Iterator[TurnedOperation]:
    """Yield the operation of a centre hole.

    Raises:
        Refusal: no centre drill of the crib leaves such a hole.
    """
    centre = _centre_drill(hole, bench)
    tip = centre.meets_rim(hole.diameter.middle)
    yield sunk(centre, tip, 0.0, bench, (hole.name, hole.where))


def _centre_drill(hole: CentreHole, bench: TurningBench) -> AxialTool:
    """Return the centre drill with the pilot of the hole, and a cone as wide as its mouth.

    Raises:
        Refusal: the crib has none.
    """
    centres = [tool for tool in bench.axial if tool.kind == "centre drill"]
    fitting = [
        tool
        for tool in centres
        if abs(tool.pilot - hole.pilot) <= SAME and tool.diameter > hole.diameter.middle
    ]
    if not fitting:
        has = ", ".join(f"{bench.say(t.pilot)} in {bench.say(t.diameter)}" for t in centres)
        raise Refusal(
            hole.where.at("pilot"),
            f"put in a centre hole with a pilot of {bench.say(hole.pilot)} and a mouth of"
            f" {bench.say(hole.diameter.middle)}: the crib's centre drills have {has or 'none'}",
            "take a pilot of one of them, or put such a [[centre_drill]] into the crib",
        )
    return min(fitting, key=lambda tool: abs(tool.pilot - hole.pilot))
