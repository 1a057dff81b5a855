"""Crowned, rounded and chamfered edges as the check sees them: in regions of the half plane.

It works out their line by itself, from what the job says of them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import assert_never

import shapely
from shapely.geometry import Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from pathgen.check.findings import FinishedSize
from pathgen.check.measured.finished import finished_size
from pathgen.check.turning.measured import EDGE, Measured
from pathgen.check.turning.tapers import taper_sizes
from pathgen.job.sizes import Size
from pathgen.job.turning.edges import LINE, Bevel, Crown, Rounded, TurnedEdge
from pathgen.job.turning.turned import Turned, TurnedSetup

FAR = 1000.0  # mm: beyond all that stands out
ROUND = 720  # chords in a quarter of a circle: within 0.001 mm of a radius of 400


def taken_off(setup: TurnedSetup, *, most: bool) -> BaseGeometry:
    """Return what edges take off: at most, down to the deepest line; else what has to go."""
    edges = [each for each in setup.features if isinstance(each, TurnedEdge)]
    return shapely.union_all(
        [_beyond(edge, -edge.beside if most else edge.most_left) for edge in edges]
    )


def _window(edge: TurnedEdge) -> BaseGeometry:
    """Return where an edge is: from its face along the diameter, from its foot outwards."""
    return box(edge.face - edge.along, edge.foot, edge.face + FAR, edge.out + LINE)


def _inside(edge: TurnedEdge, off: float) -> BaseGeometry:
    """Return what lies inside of a line that is so far outside of the edge's."""
    match edge.shape:
        case Crown(radius=radius):
            return Point(edge.face - radius, 0.0).buffer(radius + off, quad_segs=ROUND)
        case Rounded(radius=radius):
            centre = Point(edge.face - radius, edge.out - radius)
            return centre.buffer(radius + off, quad_segs=ROUND)
        case Bevel(width=width, rise=rise):
            length = math.hypot(width, rise)
            right, out = rise / length, width / length  # square to the line, out of the metal
            z, x = edge.face + off * right, edge.foot + off * out
            along = [(z - way * out, x + way * right) for way in (-FAR, FAR)]
            behind = [(far_z - FAR * right, far_x - FAR * out) for far_z, far_x in along]
            return Polygon([*along, *reversed(behind)])
        case _:
            assert_never(edge.shape)


def _beyond(edge: TurnedEdge, off: float) -> BaseGeometry:
    """Return what lies beyond such a line, where the edge is.

    A line that lies under the edge's meets its face nearer to the axis than the edge's foot.
    """
    beneath = box(edge.face - edge.along, max(edge.foot + 2 * off, 0.0), edge.face, edge.foot)
    window = _window(edge) if off >= 0 else shapely.union_all([_window(edge), beneath])
    return window.difference(_inside(edge, off))


def edge_size(edge: TurnedEdge, measured: Measured) -> Iterator[FinishedSize]:
    """Yield how far what is left of an edge stands over its line, at its least and at its most."""
    if edge.way != "steps":
        yield from taper_sizes(edge, measured)
        return
    window = _window(edge)
    metal, void = measured.part.intersection(window), window.difference(measured.part)
    if metal.is_empty or void.is_empty:
        return
    offs = [_off(edge, (float(z), float(x))) for z, x in shapely.get_coordinates(metal)]
    least = _nearest(edge, void)
    doubt = math.hypot(measured.open("turning", "x"), measured.open("turning", "z"))
    wanted = Size(nominal=0.0, low=-LINE, high=edge.most_left, basis="what may be filed")
    yield finished_size(edge.name, "to file", wanted, (least, max(offs)), doubt)


def _off(edge: TurnedEdge, point: tuple[float, float]) -> float:
    """Return how far a point stands over the line of an edge, mm."""
    match edge.shape:
        case Crown(radius=radius):
            return math.dist(point, (edge.face - radius, 0.0)) - radius
        case Rounded(radius=radius):
            return math.dist(point, (edge.face - radius, edge.out - radius)) - radius
        case Bevel(width=width, rise=rise):
            along, up = point[0] - edge.face, point[1] - edge.foot
            return (along * rise + up * width) / math.hypot(width, rise)
        case _:
            assert_never(edge.shape)


def _nearest(edge: TurnedEdge, void: BaseGeometry) -> float:
    """Return how near to the line, or how far under it, the metal ends at its least, mm."""
    match edge.shape:
        case Crown(radius=radius):
            return float(void.distance(Point(edge.face - radius, 0.0))) - radius
        case Rounded(radius=radius):
            centre = Point(edge.face - radius, edge.out - radius)
            return float(void.distance(centre)) - radius
        case Bevel():
            return min(_off(edge, (float(z), float(x))) for z, x in shapely.get_coordinates(void))
        case _:
            assert_never(edge.shape)


def beside_edge(setup: TurnedSetup, turned: Turned, step: int) -> tuple[float, float]:
    """Return from where on a diameter is whole, z, and how far out its face is whole, x.

    Args:
        setup: the setup with its edges.
        turned: the profile.
        step: which of its diameters, from 1 at the right.
    """
    for edge in setup.features:
        if isinstance(edge, TurnedEdge) and (edge.of, edge.step) == (turned.name, step):
            return edge.face - edge.along - EDGE, edge.foot - EDGE
    return math.inf, math.inf
