"""Dishes in the end of turned work as the check sees them: the least and the most that is hollow.

It works their sphere out by itself, from what the job says of them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely
from shapely.geometry import Point, box
from shapely.geometry.base import BaseGeometry

from pathgen.check.findings import FinishedSize
from pathgen.check.measured.finished import finished_size
from pathgen.check.turning.measured import Measured
from pathgen.job.sizes import Size
from pathgen.job.turning.dish import TurnedDish
from pathgen.job.turning.edges import LINE

ROUND = 720  # chords in a quarter of a circle: within 0.001 mm of a radius of 400
FAR = 1000.0  # mm: beyond all that there is
AIR = 1.0  # mm to the right of the face that a dish begins with
BESIDE = 0.5  # mm beyond the chord in which its rim is looked for


def dish_at_least(dish: TurnedDish) -> BaseGeometry:
    """Return what has to be hollow: all but what may stay to be smoothed."""
    return _ball(dish, -dish.most_left)


def dish_at_most(dish: TurnedDish) -> BaseGeometry:
    """Return what may be hollow: a line's width beyond the surface."""
    return _ball(dish, LINE)


def _ball(dish: TurnedDish, more: float) -> BaseGeometry:
    """Return the half of a ball about the dish's centre, so much larger, up to the face."""
    ball = Point(dish.centre, 0.0).buffer(dish.radius + more, quad_segs=ROUND)
    return ball.intersection(box(-FAR, 0.0, AIR, FAR))


def dish_sizes(dish: TurnedDish, measured: Measured) -> Iterator[FinishedSize]:
    """Yield how far what is left stands over the surface, and how wide and how deep it becomes.

    It is smoothed down to its deepest place, so that this tells what comes of it.
    """
    within = box(-FAR, 0.0, 0.0, dish.chord.high / 2 + BESIDE)
    hollow = within.intersection(_ball(dish, BESIDE)).difference(measured.part)
    metal = measured.part.intersection(within).intersection(_ball(dish, 0.0))
    if hollow.is_empty:
        return
    open_x, open_z = measured.open("dishing", "x"), measured.open("dishing", "z")
    wanted = Size(nominal=0.0, low=-LINE, high=dish.most_left, basis="what may be filed")
    most = max((_over(dish, each) for each in _corners(metal)), default=0.0)
    least = min(_over(dish, each) for each in _corners(hollow))
    doubt = math.hypot(open_x, open_z)
    yield finished_size(dish.name, "to file", wanted, (least, max(most, least)), doubt)
    smoothed = dish.radius - least  # down to the deepest place, and no further
    across = 2 * math.sqrt(max(smoothed**2 - dish.centre**2, 0.0))
    steep = dish.radius / (dish.across / 2)  # how much a change of depth does to half of the chord
    open_chord = 2 * (open_x + open_z * steep)
    yield finished_size(dish.name, "chord", dish.chord, (across, across), open_chord)
    deep = smoothed - dish.centre
    yield finished_size(dish.name, "depth", dish.depth, (deep, deep), open_z)


def _corners(area: BaseGeometry) -> list[tuple[float, float]]:
    """Return the corners of an area."""
    return [(float(z), float(x)) for z, x in shapely.get_coordinates(area)]


def _over(dish: TurnedDish, point: tuple[float, float]) -> float:
    """Return how far a point stands over the surface, into the hollow, mm."""
    return dish.radius - math.dist(point, (dish.centre, 0.0))
