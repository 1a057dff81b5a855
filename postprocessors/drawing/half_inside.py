"""What is hollow in turned work, as its half section is drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from pathgen.job.turning.bored_tapers import BoredTaper
from pathgen.job.turning.centre_holes import CentreHole, cone_length
from pathgen.job.turning.inside import AxialHole, Bored, Recess
from pathgen.job.turning.turned import TurnedSetup
from pathgen.reckon.drills import point_length
from postprocessors.drawing.half_balls import along_dish, dish_of

STAYS_WORDS = {"wanted": "stays", "may": "may stay", "no": "is faced off later"}
Points = list[tuple[float, float]]  # z, x


def hollow(setup: TurnedSetup, end: float) -> Points:
    """Return the edge of what is hollow, from the left end of the part to its right face; mm.

    Without a hole that is the axis.

    Args:
        setup: what is wanted.
        end: z of the left end, -inf where the bar goes on.
    """
    holes = [each for each in setup.features if isinstance(each, AxialHole | Bored)]
    if not holes:
        return [(end, 0.0), *_seat(setup)]
    edge = _of_hole(holes[0], end)
    for recess in (each for each in setup.features if isinstance(each, Recess)):
        edge = _recessed(edge, recess)
    for taper in (each for each in setup.features if isinstance(each, BoredTaper)):
        edge = [(0.0, taper.out), (-taper.along, taper.foot), *edge[1:]]
    return edge[::-1]


def _seat(setup: TurnedSetup) -> Points:
    """Return the edge of the dish or centre hole in the right face from its end on; or the face."""
    dish = dish_of(setup)
    if dish is not None:
        return along_dish(dish)
    own = [each for each in setup.features if isinstance(each, CentreHole)]
    came = None if setup.carried is None or setup.facing else setup.carried.right.hole
    hole = own[0] if own else came
    if hole is None:
        return [(0.0, 0.0)]
    mouth, pilot = hole.diameter.middle, hole.pilot
    cone = cone_length(mouth, pilot)
    straight = cone + pilot  # about as long as the pilot of a centre drill is thick
    point = straight + point_length(pilot)
    return [(-point, 0.0), (-straight, pilot / 2), (-cone, pilot / 2), (0.0, mouth / 2)]


def _of_hole(hole: AxialHole | Bored, end: float) -> Points:
    """Return the edge of a hole from the right face to the left."""
    if isinstance(hole, AxialHole):
        steps = [(hole.diameter.middle / 2, hole.depth)]
    else:
        steps = [(step.diameter.middle / 2, step.to) for step in hole.steps]
    edge: Points = []
    right = 0.0
    for radius, to in steps:
        left = end if to is None else -to.middle
        edge += [(right, radius), (left, radius)]
        right = left
    if steps[-1][1] is not None:
        point = hole.beyond if isinstance(hole, AxialHole) else 0.0
        edge += [(right - point, 0.0), (end, 0.0)]
    return edge


def _recessed(edge: Points, recess: Recess) -> Points:
    """Return an edge, from the right to the left, with a recess sunk into it."""
    right, left = -recess.start.middle, -(recess.start.middle + recess.width.middle)
    for index, ((z1, x1), (z2, x2)) in enumerate(pairwise(edge)):
        if x1 == x2 and z1 >= right and left >= z2:
            deep = recess.diameter.middle / 2
            sunk = [(right, x1), (right, deep), (left, deep), (left, x1)]
            return [*edge[: index + 1], *sunk, *edge[index + 1 :]]
    return edge


def rows_inside(setup: TurnedSetup) -> Iterator[tuple[str, float, float, float]]:
    """Yield what each size inside is, its diameter, and from which depth to which; mm.

    What goes through the part goes to inf.
    """
    for feature in setup.features:
        match feature:
            case AxialHole():
                deep = math.inf if feature.depth is None else feature.depth.nominal
                yield feature.finish, feature.diameter.nominal, 0.0, deep
            case Bored():
                for step in feature.steps:
                    deep = math.inf if step.to is None else step.to.nominal
                    yield "bored", step.diameter.nominal, 0.0, deep
            case Recess():
                start = feature.start.nominal
                end = start + feature.width.nominal
                yield feature.name, feature.diameter.nominal, start, end
            case BoredTaper():
                words = f"{feature.name}, {round(feature.angle_deg, 2):g}\N{DEGREE SIGN}: the mouth"
                yield words, 2 * feature.out, 0.0, feature.along
            case CentreHole():
                stays = STAYS_WORDS[feature.stays]
                words = f"centre hole {feature.designation}, {stays}: the mouth"
                yield words, feature.diameter.nominal, 0.0, cone_length(feature.diameter.nominal)
            case _:
                pass
