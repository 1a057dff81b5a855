"""The sizes of a taper that is cut along its line: where its flank lies, and how steep it is."""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from pathgen.check.findings import FinishedSize
from pathgen.check.measured.finished import finished_size
from pathgen.check.turning.measured import EDGE, Measured, ToolKind
from pathgen.job.sizes import Size
from pathgen.job.turning.bored_tapers import BoredTaper
from pathgen.job.turning.edges import TurnedEdge

FAR = 1e4  # mm: beyond all work


def taper_sizes(edge: TurnedEdge | BoredTaper, measured: Measured) -> Iterator[FinishedSize]:
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
    if isinstance(edge, BoredTaper):
        yield _mouth(edge, measured.part, doubt)


def _mouth(edge: BoredTaper, part: BaseGeometry, doubt: float) -> FinishedSize:
    """Return the diameter at the mouth of a taper in a bore, by a place just within; mm.

    Source: a line so far beside another, square to it, is further on the diameter by 2 / cos.
    """
    lean = math.radians(edge.angle_deg)
    wide, off = 2 * (edge.foot + edge.along * math.tan(lean)), 2 * edge.beside / math.cos(lean)
    wanted = Size(nominal=wide, low=wide - off, high=wide + off, basis="its line")
    found = 2 * (_radius_at(part, -EDGE, inside=True) + EDGE * math.tan(lean))
    doubt *= 2 / math.cos(lean)
    name = f"{edge.name}, at its mouth"
    return finished_size(name, "diameter", wanted, (found, found), doubt)


def _growth_wanted(edge: TurnedEdge | BoredTaper) -> Size:
    """Return how much the diameter is to grow over the length, mm, by the limits of the angle."""
    nominal, low, high = (
        2 * edge.along * math.tan(math.radians(edge.angle_deg + off))
        for off in (0.0, -edge.angle_within_deg, edge.angle_within_deg)
    )
    return Size(nominal=nominal, low=low, high=high, basis="the limits of its angle")


def _place_open(edge: TurnedEdge | BoredTaper, measured: Measured) -> float:
    """Return what the zeros and the dials leave open of the flank, square to it, mm."""
    kind: ToolKind = "boring" if isinstance(edge, BoredTaper) else "turning"
    if ("swung", "x") in measured.opens:
        kind = "swung"
    lean = math.radians(edge.angle_deg)
    across, along = measured.open(kind, "x"), measured.open(kind, "z")
    return across * math.cos(lean) + along * math.sin(lean)


def _offs(edge: TurnedEdge | BoredTaper, part: BaseGeometry) -> tuple[float, float]:
    """Return how far the flank stands over its line at its least, and at its most, square to it.

    It is straight from corner to corner, so that these and its ends tell.
    """
    lean, right = math.radians(edge.angle_deg), edge.face - EDGE
    left, inside = edge.face - edge.along + EDGE, isinstance(edge, BoredTaper)
    corners = {float(z) for z, _ in shapely.get_coordinates(part) if left < z < right}
    over = []
    for z in sorted({left, right, *corners}):
        way = z - edge.face + edge.along if inside else edge.face - z  # from its small end
        beyond = _radius_at(part, z, inside=inside) - edge.foot - way * math.tan(lean)
        over.append((-beyond if inside else beyond) * math.cos(lean))
    return min(over), max(over)


def _growth(edge: TurnedEdge | BoredTaper, part: BaseGeometry) -> tuple[float, float]:
    """Return how much the diameter grows over the length, by two places near its ends; mm."""
    near = edge.face - edge.along / 10, edge.face - edge.along + edge.along / 10
    inside = isinstance(edge, BoredTaper)
    right, left = (_radius_at(part, z, inside=inside) for z in near)
    growth = 2 * (left - right) / (near[0] - near[1]) * edge.along * (-1 if inside else 1)
    return growth, growth


def _radius_at(part: BaseGeometry, z: float, *, inside: bool) -> float:
    """Return the radius of the outside, or of the bore, at a place along the axis, mm; or nan."""
    across = part.intersection(LineString([(z, -EDGE), (z, FAR)]))
    return math.nan if across.is_empty else float(across.bounds[1 if inside else 3])


def taper_at_least(taper: BoredTaper) -> BaseGeometry:
    """Return what has to be hollow for a taper in a bore."""
    return _hollow(taper, -taper.beside, taper.along)


def taper_at_most(taper: BoredTaper) -> BaseGeometry:
    """Return what may be hollow for a taper in a bore: as far in as its line may run out."""
    return _hollow(taper, taper.beside, taper.runs_out)


def _hollow(taper: BoredTaper, beside: float, deep: float) -> BaseGeometry:
    """Return what a taper hollows to a depth, its side so far beside its line, square to it."""
    lean = math.radians(taper.angle_deg)
    foot = taper.foot + beside / math.cos(lean)
    right, left = (foot + (z + taper.along) * math.tan(lean) for z in (EDGE, -deep))
    return Polygon([(EDGE, 0.0), (EDGE, right), (-deep, left), (-deep, 0.0)])
