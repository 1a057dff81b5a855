"""A centre hole in the half plane: the seat that there has to be, the hollow that there may be."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shapely.geometry import Polygon, box

from pathgen.check.findings import FinishedSize
from pathgen.check.measured.finished import finished_size
from pathgen.check.turning.measured import Measured
from pathgen.job.turning.centre_holes import HALF, CentreHole, cone_length

AIR = 1.0  # mm to the right of the face that a hole begins with, so that its rim is no edge
OVER = 0.02  # of its size that a pilot may cut over: common practice, no source
JUST_UNDER = (0.04, 0.02)  # mm below the face, between which the mouth is judged


def has_to_be_seat(hole: CentreHole) -> Polygon:
    """Return the least that is hollow: all of the cone of a sharp centre, so that it never bottoms.

    Of a centre hole at its narrowest; below the seat the pilot's hole takes the centre's point.
    """
    mouth = hole.diameter.low / 2
    apex = -cone_length(hole.diameter.low)
    return Polygon([(AIR, 0.0), (AIR, mouth), (0.0, mouth), (apex, 0.0)])


def may_be_seat(hole: CentreHole) -> Polygon:
    """Return the most that is hollow: the widest seat, and the pilot's hole as deep as it goes."""
    mouth, pilot = hole.diameter.high / 2, hole.pilot * (1 + OVER) / 2
    under = -cone_length(hole.diameter.high, 2 * pilot)
    corners = [(AIR, 0.0), (AIR, mouth), (0.0, mouth), (under, pilot)]
    return Polygon([*corners, (-hole.deepest, pilot), (-hole.deepest, 0.0)])


def centre_hole_size(hole: CentreHole, measured: Measured) -> Iterator[FinishedSize]:
    """Yield how wide the mouth is, told by the seat just below the face."""
    low, high = JUST_UNDER
    strip = box(-low, 0.0, -high, hole.diameter.high)
    hollow = strip.difference(measured.part)
    across = math.nan if hollow.is_empty else 2 * (hollow.bounds[3] + high * HALF)
    doubt = 2 * HALF * measured.open("centre drill", "z")
    yield finished_size(hole.name, "diameter", hole.diameter, (across, across), doubt)
