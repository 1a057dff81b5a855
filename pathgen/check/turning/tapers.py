"""The sizes of a taper that is cut along its line: where its flank lies, and how steep it is."""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from pathgen.check.findings import FinishedSize
from pathgen.check.finished import finished_size
from pathgen.check.turning.measured import EDGE, Measured, ToolKind
from pathgen.job.sizes import Size
from pathgen.job.turned_edges import TurnedEdge

FAR = 1e4  # mm: beyond all work


def taper_sizes(edge: TurnedEdge, measured: Measured) -> Iterator[FinishedSize]:
    """Yield how far the flank of a taper lies from its line, and how much it grows on its length.

    Args:
        edge: the taper.
        measured: the part.
    """
    turn = 2 * edge.along * math.radians(measured.swung_deg)  # on the diameter, for a slow taper
    turn /= math.cos(math.radians(edge.angle_deg)) ** 2
    wanted = Size(nominal=0.0, low=-edge.beside, high=edge.beside, basis="beside its line")
    doubt = _place_open(edge, measured) + turn / 4  # off by half of it at either end, on the radius
    yield finished_size(edge.name, "off its line", wanted, _offs(edge, measured.part), doubt)
    found = _growth(edge, measured.part)
    yield finished_size(edge.name, "taper over its length", _growth_wanted(edge), found, turn)


def _growth_wanted(edge: TurnedEdge) -> Size:
    """Return how much the diameter is to grow over the length, mm, by the limits of the angle."""
    nominal, low, high = (
        2 * edge.along * math.tan(math.radians(edge.angle_deg + off))
        for off in (0.0, -edge.angle_within_deg, edge.angle_within_deg)
    )
    return Size(nominal=nominal, low=low, high=high, basis="the limits of its angle")


def _place_open(edge: TurnedEdge, measured: Measured) -> float:
    """Return what the zeros and the dials leave open of the flank, square to it, mm."""
    kind: ToolKind = "swung" if ("swung", "x") in measured.opens else "turning"
    lean = math.radians(edge.angle_deg)
    across, along = measured.open(kind, "x"), measured.open(kind, "z")
    return across * math.cos(lean) + along * math.sin(lean)


def _offs(edge: TurnedEdge, part: BaseGeometry) -> tuple[float, float]:
    """Return how far the flank stands over its line at its least, and at its most, square to it.

    Its outside is straight from corner to corner, so that these and its ends tell.
    """
    lean, right = math.radians(edge.angle_deg), edge.face - EDGE
    left = edge.face - edge.along + EDGE
    corners = {float(z) for z, _ in shapely.get_coordinates(part) if left < z < right}
    over = [
        (_radius_at(part, z) - edge.foot - (edge.face - z) * math.tan(lean)) * math.cos(lean)
        for z in sorted({left, right, *corners})
    ]
    return min(over), max(over)


def _growth(edge: TurnedEdge, part: BaseGeometry) -> tuple[float, float]:
    """Return how much the diameter grows over the length, by two places near its ends; mm."""
    near = edge.face - edge.along / 10, edge.face - edge.along + edge.along / 10
    right, left = (_radius_at(part, z) for z in near)
    growth = 2 * (left - right) / (near[0] - near[1]) * edge.along
    return growth, growth


def _radius_at(part: BaseGeometry, z: float) -> float:
    """Return the radius of the outside at a place along the axis, mm; nan where there is none."""
    across = part.intersection(LineString([(z, -EDGE), (z, FAR)]))
    return math.nan if across.is_empty else float(across.bounds[3])
