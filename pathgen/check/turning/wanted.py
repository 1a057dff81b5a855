"""The wanted part in the half plane: the least metal there may be, and the most."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import shapely
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from pathgen.check.turning.ball_necks import neck_may_take, neck_takes
from pathgen.check.turning.edges import taken_off
from pathgen.check.turning.fillets import fillet
from pathgen.check.turning.grooves import groove_may_take, groove_takes
from pathgen.check.turning.inside import has_to_be_hollow, may_be_hollow
from pathgen.job.faceplate import Segment
from pathgen.job.turned import Parted, Turned, TurnedJob, TurnedSetup

BEHIND = 1000.0  # mm to the left that the bar may go on: longer than any that stands out


def least_metal(job: TurnedJob, setup: TurnedSetup, comes: BaseGeometry) -> BaseGeometry:
    """Return the metal that has to be there, with every size at its smallest part.

    Of a part that is carried over no more than came: what was hollow before stays so.
    """
    parts = []
    for turned in (each for each in setup.features if isinstance(each, Turned)):
        places = [0.0, *(-step.to.high for step in turned.steps)]
        for (right, left), step in zip(pairwise(places), turned.steps, strict=True):
            parts.append(box(left, 0.0, right, step.diameter.low / 2))
    parts += [_swept(job, each, least=True) for each in _segments(setup)]
    metal = shapely.union_all([*parts, _bar(job, setup, comes, nearest=False)])
    metal = metal if setup.carried is None else metal.intersection(comes)
    metal = metal.difference(may_be_hollow(setup)).difference(taken_off(setup, most=True))
    metal = metal.difference(groove_may_take(setup)).difference(neck_may_take(setup))
    cut_off = _cut_off(setup, longest=False)
    return metal if cut_off is None else metal.intersection(cut_off)


def most_metal(job: TurnedJob, setup: TurnedSetup, comes: BaseGeometry) -> BaseGeometry:
    """Return the metal that may be there, with every size at its largest part, and its corners."""
    parts = []
    for turned in (each for each in setup.features if isinstance(each, Turned)):
        places = [0.0, *(-step.to.low for step in turned.steps)]
        for (right, left), step in zip(pairwise(places), turned.steps, strict=True):
            radius = step.diameter.high / 2
            parts += [
                box(left, 0.0, right, radius),
                fillet(left, radius, turned.corner, along=1, out=1),
            ]
    parts += [_swept(job, each, least=False) for each in _segments(setup)]
    metal = shapely.union_all([*parts, _bar(job, setup, comes, nearest=True)])
    metal = metal.difference(has_to_be_hollow(setup)).difference(taken_off(setup, most=False))
    metal = metal.difference(groove_takes(setup)).difference(neck_takes(setup))
    cut_off = _cut_off(setup, longest=True)
    return metal if cut_off is None else metal.intersection(cut_off)


def _bar(job: TurnedJob, setup: TurnedSetup, comes: BaseGeometry, *, nearest: bool) -> BaseGeometry:
    """Return the bar behind the last shoulder, which is left as it comes."""
    if any(_segments(setup)):
        return Polygon()  # a flat piece on the faceplate: all of it is in front
    steps = [e.steps[-1] for e in setup.features if isinstance(e, Turned)]
    ends = [-(step.to.low if nearest else step.to.high) for step in steps]
    end = min(ends, default=0.0)
    if setup.carried is not None:
        return comes.intersection(box(end - BEHIND, 0.0, end, BEHIND))
    return box(end - BEHIND, 0.0, end, job.blank.diameter / 2)


def _segments(setup: TurnedSetup) -> Iterator[Segment]:
    """Yield the ends of flat pieces that are turned to a radius."""
    return (each for each in setup.features if isinstance(each, Segment))


def _swept(job: TurnedJob, segment: Segment, *, least: bool) -> Polygon:
    """Return what a flat piece sweeps that goes out to a radius, or lies beyond one."""
    size = segment.radius
    if segment.hollow:
        inner = size.high if least else size.low
        return box(-segment.thickness, inner, 0.0, job.blank.diameter / 2)
    return box(-segment.thickness, 0.0, 0.0, size.low if least else size.high)


def _cut_off(setup: TurnedSetup, *, longest: bool) -> BaseGeometry | None:
    """Return where there is metal once the part is cut off; None where it is not."""
    parted = next((each for each in setup.features if isinstance(each, Parted)), None)
    if parted is None:
        return None
    length = parted.length.high if longest else parted.length.low
    return box(-length, 0.0, BEHIND, BEHIND)
