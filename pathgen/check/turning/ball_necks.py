"""The back of a ball and its neck as the check sees them: what is taken off, and their sizes."""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely
from shapely.geometry import Point, box
from shapely.geometry.base import BaseGeometry

from pathgen.check.findings import FinishedSize
from pathgen.check.measured.finished import finished_size
from pathgen.check.turning.measured import EDGE, Measured
from pathgen.check.turning.metal import extent_out
from pathgen.job.sizes import Size
from pathgen.job.turning.ball_neck import BallNeck
from pathgen.job.turning.edges import LINE
from pathgen.job.turning.turned import TurnedSetup
from pathgen.shop.turning_tools import GROOVING

ROUND = 720  # chords in a quarter of a circle: within 0.001 mm of a radius of 400
FAR = 1000.0  # mm: beyond all that stands out
OVER = 1.0  # mm over its diameter that a ball is looked at: there is nothing but air


def necks_of(setup: TurnedSetup) -> list[BallNeck]:
    """Return the necks of balls of a setup."""
    return [each for each in setup.features if isinstance(each, BallNeck)]


def neck_may_take(setup: TurnedSetup) -> BaseGeometry:
    """Return what may be gone behind balls: every size at its most."""
    return shapely.union_all(
        [
            box(-each.shoulder.high, each.diameter.low / 2, each.middle, each.land.high / 2 + OVER)
            - _ball(each, -LINE)
            for each in necks_of(setup)
        ]
    )


def neck_takes(setup: TurnedSetup) -> BaseGeometry:
    """Return what has to be gone behind balls: every size at its least, and what may be filed."""
    return shapely.union_all(
        [
            box(-each.shoulder.low, each.diameter.high / 2, each.middle, FAR)
            - _ball(each, each.most_left)
            for each in necks_of(setup)
        ]
    )


def _ball(neck: BallNeck, more: float) -> BaseGeometry:
    """Return the ball, so much larger."""
    return Point(neck.middle, 0.0).buffer(neck.radius + more, quad_segs=ROUND)


def beside_neck(setup: TurnedSetup, of: str, step: int) -> tuple[float, float] | None:
    """Return where the first diameter of a profile is whole that a ball is of: at its middle."""
    for neck in necks_of(setup):
        if (neck.of, 1) == (of, step):
            return neck.middle - EDGE, neck.middle + EDGE
    return None


def neck_sizes(neck: BallNeck, measured: Measured) -> Iterator[FinishedSize]:
    """Yield how far what is left stands over the back of the ball, and how thick the neck is."""
    window = box(neck.foot, neck.neck, neck.middle, neck.radius + OVER)
    metal, void = measured.part.intersection(window), window.difference(measured.part)
    if metal.is_empty or void.is_empty:
        return
    across, along = (max(measured.open(kind, axis) for kind in GROOVING) for axis in ("x", "z"))
    wanted = Size(nominal=0.0, low=-LINE, high=neck.most_left, basis="what may be filed")
    found = min(_offs(neck, void)), max(_offs(neck, metal))
    yield finished_size(neck.name, "to file", wanted, found, math.hypot(across, along))
    thick = extent_out(measured.part, (-neck.shoulder.low + EDGE, neck.foot - EDGE))
    found = 2 * thick[0], 2 * thick[1]
    yield finished_size(neck.name, "diameter", neck.diameter, found, 2 * across)


def _offs(neck: BallNeck, area: BaseGeometry) -> list[float]:
    """Return how far the corners of an area stand over the ball, mm."""
    points = shapely.get_coordinates(area)
    return [math.dist((float(z), float(x)), (neck.middle, 0.0)) - neck.radius for z, x in points]
