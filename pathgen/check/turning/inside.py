"""What is wanted inside turned work, in the half plane: the least that is hollow, and the most."""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from pathgen.check.turning.centre_holes import has_to_be_seat, may_be_seat
from pathgen.check.turning.dished import dish_at_least, dish_at_most
from pathgen.check.turning.fillets import fillet
from pathgen.check.turning.tapers import taper_at_least, taper_at_most
from pathgen.job.turning.bored_tapers import BoredTaper
from pathgen.job.turning.centre_holes import CentreHole
from pathgen.job.turning.dish import TurnedDish
from pathgen.job.turning.inside import AxialHole, Bored, Recess
from pathgen.job.turning.turned import TurnedSetup
from pathgen.reckon.drills import point_length

FAR = 1000.0  # mm: further than any part goes to the left
AIR = 1.0  # mm to the right of the face that a hole begins with, so that its rim is no edge
BLUNTER_DEG = 140.0  # the bluntest drill point that is usual; it need not be cleared beyond that


def has_to_be_hollow(setup: TurnedSetup) -> BaseGeometry:
    """Return what has to be hollow: every size at its least, and corners that may stay."""
    parts: list[BaseGeometry] = []
    for feature in setup.features:
        match feature:
            case AxialHole():
                left = -FAR if feature.depth is None else -feature.depth.low
                parts.append(box(left, 0.0, AIR, feature.diameter.low / 2))
            case Bored():
                parts += _bored_at_least(feature)
            case Recess():
                parts.append(_recess_at_least(feature))
            case TurnedDish():
                parts.append(dish_at_least(feature))
            case BoredTaper():
                parts.append(taper_at_least(feature))
            case CentreHole():
                parts.append(has_to_be_seat(feature))
            case _:
                pass
    return shapely.union_all(parts)


def may_be_hollow(setup: TurnedSetup) -> BaseGeometry:  # noqa: C901 - a case a kind
    """Return what may be hollow: every size at its most, and the points of drills beyond."""
    parts: list[BaseGeometry] = []
    for feature in setup.features:
        match feature:
            case AxialHole():
                left = FAR if feature.depth is None else feature.depth.high
                on = feature.beyond - point_length(feature.diameter.high)
                parts.append(_pointed(left + on, feature.diameter.high / 2))
            case Bored():
                for step in feature.steps:
                    left = FAR if step.to is None else step.to.high
                    last = step is feature.steps[-1]
                    radius = step.diameter.high / 2
                    parts.append(_pointed(left, radius) if last else box(-left, 0.0, AIR, radius))
            case TurnedDish():
                parts.append(dish_at_most(feature))
            case BoredTaper():
                parts.append(taper_at_most(feature))
            case Recess():
                parts.append(box(-feature.end, 0.0, -feature.start.low, feature.diameter.high / 2))
            case CentreHole():
                parts.append(may_be_seat(feature))
            case _:
                pass
    return shapely.union_all(parts)


def _pointed(deep: float, radius: float) -> Polygon:
    """Return a hole with the hollow that a drill's point leaves at its floor."""
    tip = -deep - point_length(2 * radius)
    return Polygon([(AIR, 0.0), (AIR, radius), (-deep, radius), (tip, 0.0)])


def _bored_at_least(bored: Bored) -> Iterator[BaseGeometry]:
    """Yield each diameter of a bore, but for the corner at its shoulder or floor."""
    for step in bored.steps:
        radius = step.diameter.low / 2
        if step.to is None:
            yield box(-FAR, 0.0, AIR, radius)
        else:
            left = -step.to.low
            yield box(left, 0.0, AIR, radius).difference(
                fillet(left, radius, bored.corner, along=1, out=-1)
            )


def _recess_at_least(recess: Recess) -> BaseGeometry:
    """Return a recess but for the corners at its bottom."""
    radius, right = recess.diameter.low / 2, -recess.start.high
    left = -(recess.start.low + recess.width.low)
    corners = [
        fillet(z, radius, recess.corner, along=along, out=-1)
        for z, along in ((left, 1), (right, -1))
    ]
    return box(left, 0.0, right, radius).difference(shapely.union_all(corners))
