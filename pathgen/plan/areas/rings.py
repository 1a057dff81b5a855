"""The rings by which an area is cleared: its edge moved in, again and again, as a tree."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TypeAlias

import shapely
from shapely.geometry.base import BaseGeometry

Spot: TypeAlias = tuple[float, float]
EVEN = 0.0005  # mm that the corners of a ring lie off the true line at most
SPECK = 1e-6  # mm2: a smaller piece is none
MOST_RINGS = 2000


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Node:
    """A place of the cutter's centre, edge and islands, and what lies within it; mm."""

    region: shapely.Polygon
    inner: tuple[Node, ...]
    specks: tuple[Spot, ...] = ()  # too small to go down in: come to from the ring about them
    reach: BaseGeometry = field(init=False)  # the region, a hair larger, made ready to be asked

    def __post_init__(self) -> None:
        """Make the region ready, once for all depths."""
        object.__setattr__(self, "reach", self.region.buffer(EVEN / 100))
        shapely.prepare(self.reach)

    @property
    def rings(self) -> tuple[shapely.LinearRing, ...]:
        """Return the rings to go round: the outer one, then those round islands."""
        return (self.region.exterior, *self.region.interiors)


def moved_in(region: BaseGeometry, distance: float, *, square: bool = False) -> BaseGeometry:
    """Return a region with its edge moved in; round corners of the cut stay arcs.

    Args:
        region: what is to be cleared, or where a centre may be.
        distance: how far, mm.
        square: keep corners as they are, for handles.
    """
    quarter = max(8, int((2 * max(distance, 0.1) / EVEN) ** 0.5))
    # A little too far and back: what chords leave of an arc as tight as the cutter goes away.
    moved: BaseGeometry = region.buffer(
        -distance - EVEN,
        join_style="mitre" if square else "round",
        mitre_limit=20,
        quad_segs=quarter,
    )
    back: BaseGeometry = moved.buffer(EVEN, join_style="mitre", mitre_limit=20)
    return back


def tree(region: BaseGeometry, step: float, *, square: bool = False) -> tuple[Node, ...]:
    """Return the rings of a region of the cutter's centre, each a step within the next; mm.

    Args:
        region: where the cutter's centre may be; its edge is the outermost ring.
        step: between two rings.
        square: keep corners as they are, for handles.

    Raises:
        ValueError: there would be too many rings.
    """
    return tuple(_nodes(region, step, square=square, left=MOST_RINGS))


def _nodes(region: BaseGeometry, step: float, *, square: bool, left: int) -> Iterator[Node]:
    if left <= 0:
        raise ValueError("too many rings")
    for part in shapely.get_parts(region):
        if part.area < SPECK and part.length < SPECK:
            continue
        within = moved_in(part, step, square=square)
        yield Node(
            region=shapely.remove_repeated_points(part, EVEN / 5),
            inner=tuple(_nodes(within, step, square=square, left=left - 1)),
        )


def without_specks(nodes: tuple[Node, ...], least: float) -> tuple[Node, ...]:
    """Return rings of which the innermost that are shorter than a length, mm, are mere specks.

    A speck has no ring of its own: the ring about it goes out to it and back.
    """
    kept = []
    for node in nodes:
        inner = without_specks(node.inner, least)
        gone = tuple(_middle(each) for each in node.inner if _is_speck(each, least))
        if not _is_speck(node, least):
            kept.append(Node(region=node.region, inner=inner, specks=gone))
    return tuple(kept)


def _is_speck(node: Node, least: float) -> bool:
    """Return whether a node is so small, with nothing within but what is as small."""
    if node.region.exterior.length >= least:
        return False
    return all(_is_speck(each, least) for each in node.inner)


def _middle(node: Node) -> Spot:
    point = node.region.representative_point()
    return float(point.x), float(point.y)


def uncovered(nodes: tuple[Node, ...], wanted: BaseGeometry, radius: float) -> BaseGeometry:
    """Return what a cutter that goes round all rings leaves standing of a region, mm."""
    lines: list[BaseGeometry] = [ring for node in _all(nodes) for ring in node.rings]
    lines += [shapely.Point(speck) for node in _all(nodes) for speck in node.specks]
    swept = shapely.union_all(shapely.buffer(lines, radius, quad_segs=16))
    left: BaseGeometry = wanted.difference(swept)
    return left


def _all(nodes: tuple[Node, ...]) -> Iterator[Node]:
    for node in nodes:
        yield node
        yield from _all(node.inner)


def out_to(corners: list[Spot], specks: tuple[Spot, ...]) -> list[Spot]:
    """Return the corners of a closed way that goes out to specks from where it passes nearest."""
    way = corners
    for speck in specks:
        line = shapely.LineString(way)
        along = float(line.project(shapely.Point(speck)))
        near = line.interpolate(along)
        at = (float(near.x), float(near.y))
        so_far, row = 0.0, 1
        while row < len(way) - 1 and so_far + math.dist(way[row - 1], way[row]) < along:
            so_far += math.dist(way[row - 1], way[row])
            row += 1
        way = [*way[:row], at, speck, at, *way[row:]]
    return way


def beginning_at(ring: shapely.LinearRing, spot: Spot, *, anticlockwise: bool) -> list[Spot]:
    """Return a ring's corners from the place nearest to a spot round and back to it; mm."""
    corners = [(float(x), float(y)) for x, y in ring.coords]
    if bool(ring.is_ccw) != anticlockwise:
        corners.reverse()
    line = shapely.LineString(corners)
    along = float(shapely.line_locate_point(line, shapely.Point(spot)))
    start = shapely.line_interpolate_point(line, along)
    at = (float(start.x), float(start.y))
    so_far = 0.0
    for row in range(len(corners) - 1):
        length = math.dist(corners[row], corners[row + 1])
        if so_far + length >= along - EVEN / 10:
            rest = [*corners[row + 1 :], *corners[1 : row + 1]]
            return _without_doubles([at, *rest, at])
        so_far += length
    return _without_doubles([*corners])


def _without_doubles(corners: list[Spot]) -> list[Spot]:
    kept = corners[:1]
    for corner in corners[1:]:
        if abs(corner[0] - kept[-1][0]) + abs(corner[1] - kept[-1][1]) > EVEN / 10:
            kept.append(corner)
    return kept if len(kept) > 1 else corners[:2]
