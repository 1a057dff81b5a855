"""The outside of turned work, as its half section is drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pathgen.input.units import Units, spoken
from pathgen.job.turning.edges import Bevel, Crown, Rounded, TurnedEdge
from pathgen.job.turning.faceplate import Segment
from pathgen.job.turning.turned import Parted, Turned, TurnedSetup
from postprocessors.drawing.half_balls import behind_ball
from postprocessors.drawing.half_grooves import with_grooves

Points = list[tuple[float, float]]  # z, x
CHORDS = 24  # of a drawn arc


def outside(setup: TurnedSetup) -> Points:
    """Return the outline that is turned, from the right face to the left, mm."""
    parted = next((each for each in setup.features if isinstance(each, Parted)), None)
    end = -math.inf if parted is None else -parted.length.middle
    edges = {(each.of, each.step): each for each in setup.features if isinstance(each, TurnedEdge)}
    corners: Points = []
    for turned in (each for each in setup.features if isinstance(each, Turned)):
        right = 0.0
        for number, step in enumerate(turned.steps, start=1):
            radius, left = step.diameter.middle / 2, max(-step.to.middle, end)
            edge = edges.get((turned.name, number))
            corners += [(right, radius)] if edge is None else list(_line(edge))
            corners += behind_ball(setup, turned.name, number)
            corners.append((left, radius))
            right = left
    for each in setup.features:
        if isinstance(each, Segment):
            corners += [(0.0, each.radius.middle), (-each.thickness, each.radius.middle)]
    return with_grooves(corners, setup)


def _line(edge: TurnedEdge) -> Iterator[tuple[float, float]]:
    """Yield points along the line of an edge, from its foot outwards."""
    match edge.shape:
        case Bevel():
            yield from ((edge.face, edge.foot), (edge.face - edge.along, edge.out))
        case Crown(radius=radius) | Rounded(radius=radius):
            rise = edge.out - edge.foot
            for share in range(CHORDS + 1):
                height = (rise / radius) * math.sin(math.pi / 2 * share / CHORDS)
                right = radius * (1 - math.sqrt(max(0.0, 1 - height**2)))
                yield edge.face - right, edge.foot + radius * height


def rows_of_edges(setup: TurnedSetup, units: Units) -> Iterator[tuple[TurnedEdge, str]]:
    """Yield each edge with its shape in a few signs, in the units of the job."""
    for edge in setup.features:
        if isinstance(edge, TurnedEdge):
            match edge.shape:
                case Bevel(width=width, rise=rise):
                    angle = math.degrees(math.atan2(rise, width))
                    yield edge, f"{round(angle, 2):g}\N{DEGREE SIGN}"
                case Crown(radius=radius) | Rounded(radius=radius):
                    yield edge, f"R {spoken(radius, units)}"
