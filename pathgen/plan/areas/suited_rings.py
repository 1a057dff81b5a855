"""Which rings suit what is cleared: a whole region, the walls of a chain, a groove."""

from __future__ import annotations

import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.input.where import Refusal, Where
from pathgen.plan.areas.rings import Node, moved_in, tree, uncovered, without_specks
from pathgen.plan.areas.walls import LEAD
from pathgen.shop.cutters import Cutter

COVERED_SHARE = 0.99  # of the radius: how far beyond the outermost ring must be covered
TRIES = 12  # so many times they are laid closer
CLOSER = 0.8  # by how much rings are laid closer where a ridge would stay
ROOM = 0.2  # mm more than the arc on to a wall takes
OVERLAP = 0.02  # mm of the radius that are not counted on: a control rounds every place
COVERED = 1e-3  # mm2 that rings may leave uncovered


def covering_rings(
    centre: BaseGeometry, step: float, cutter: Cutter, where: Where
) -> tuple[Node, ...]:
    """Return rings so near to one another that a cutter going round them leaves no ridge.

    Rings too short to go down along are left out.

    Raises:
        Refusal: some place stays uncovered however near the rings are laid.
    """
    reach = cutter.radius - OVERLAP
    whole = moved_in(centre, -reach * COVERED_SHARE)
    for _ in range(TRIES):
        nodes = without_specks(tree(centre, step), cutter.diameter / 2)
        if nodes and uncovered(nodes, whole, reach).area < COVERED:
            return nodes
        step *= CLOSER
    raise Refusal(
        where,
        f"{cutter.name} finds no room to go down somewhere between the walls",
        "name a smaller cutter, or make the area wider",
    )


def along_walls(centre: BaseGeometry) -> tuple[Node, ...]:
    """Return the ring along the walls, and one within that makes room to come on to them.

    What lies further within is drilled free and drops out.
    """
    return tuple(
        Node(
            region=part,
            inner=tuple(
                Node(region=each, inner=())
                for each in shapely.get_parts(moved_in(part, LEAD + ROOM))
                if not each.is_empty
            ),
        )
        for part in shapely.get_parts(centre)
    )


def groove_rings(region: BaseGeometry, distance: float) -> tuple[Node, ...]:
    """Return the one ring round each part that a groove is cut along, and nothing within it.

    Args:
        region: of the groove.
        distance: of the cutter's centre from the part, mm.
    """
    parts = [
        shapely.Polygon(ring) for piece in shapely.get_parts(region) for ring in piece.interiors
    ]
    grown = [moved_in(part, -distance) for part in parts]
    return tuple(
        Node(region=shapely.Polygon(piece.exterior), inner=())
        for each in grown
        for piece in shapely.get_parts(each)
    )
