"""Solid places of the top face, where a cutter's end can be touched down for its depth zero."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from pathgen.job.apart import Stretch, footprint, stretches
from pathgen.job.areas import Facing
from pathgen.job.chamfer import Chamfer
from pathgen.job.gone import openings
from pathgen.job.job import Feature, Job, JobSetup
from pathgen.job.t_slot import TSlot
from pathgen.moves.set_over import turned_by
from pathgen.plan.set_over import in_the_work

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

TRIED = 24  # places are tried at so many parts of the length and of the width


def touch_place(job: Job, setup: JobSetup, diameter: float) -> tuple[float, float] | None:
    """Return (x, y) of the middle of the widest margin round the features, or between them.

    A margin lies between the features' outer box and an edge of the blank. It has to hold half the
    cutter, so that its middle stands over metal; between features there has to be metal under all
    of it. Clamps that stand above the top, and what is gone of the face before, are left out of the
    choice. A round shaft is touched on its crown alone. None if there is no place.
    """
    if setup.set_over is not None:
        place = touch_place(job, in_the_work(job, setup), diameter)
        return None if place is None else turned_by(place, -setup.set_over.angle_deg)
    low, high = job.blank_box(setup)
    if setup.areas:
        return _beside_areas(job, setup, diameter)
    nothing = (high[0], high[1], high[0], high[1])
    boxes = [feature.box for feature in _open_upwards(setup)] or [nothing]
    x0, y0 = min(box[0] for box in boxes), min(box[1] for box in boxes)
    x1, y1 = max(box[2] for box in boxes), max(box[3] for box in boxes)
    middle_x, middle_y = (low[0] + high[0]) / 2, (low[1] + high[1]) / 2
    margins = [
        (x0 - low[0], ((low[0] + x0) / 2, middle_y)),
        (high[0] - x1, ((x1 + high[0]) / 2, middle_y)),
        (y0 - low[1], (middle_x, (low[1] + y0) / 2)),
        (high[1] - y1, (middle_x, (y1 + high[1]) / 2)),
    ]
    if job.blank.is_shaft:
        margins = margins[:2]  # before and behind the keyways, on the crown
    gone = openings(job, setup)
    free = [
        (width, place)
        for width, place in margins
        if width > diameter / 2
        and not _obstructed(setup, place, diameter)
        and _gone(gone, place) > diameter / 2
    ]
    if free:
        return max(free, key=lambda margin: margin[0])[1]
    return None if job.blank.is_shaft else _between(job, setup, diameter)


def _open_upwards(setup: JobSetup) -> list[Feature]:
    """Return what is cut of the top face itself: of a T-slot its throat, not the head under it.

    Chamfers come last, when no cutter but theirs is to be touched down any more.
    """
    cut = [each for each in setup.features if not isinstance(each, Chamfer)]
    return [each.neck if isinstance(each, TSlot) else each for each in cut]


def _between(job: Job, setup: JobSetup, diameter: float) -> tuple[float, float] | None:
    """Return the place between features, and the blank's edges, with most metal all round it."""
    low, high = job.blank_box(setup)
    features = [each for feature in _open_upwards(setup) for each in stretches(feature)]
    gone = openings(job, setup)

    def room(place: tuple[float, float]) -> float:
        here = Stretch(*place, *place, 0.0)
        edges = [place[axis] - low[axis] for axis in (0, 1)]
        edges += [high[axis] - place[axis] for axis in (0, 1)]
        return min(*edges, *(here.gap(each) for each in features), _gone(gone, place))

    shares = [step / TRIED for step in range(1, TRIED)]
    places = [
        (round(low[0] + a * (high[0] - low[0]), 1), round(low[1] + b * (high[1] - low[1]), 1))
        for a in shares
        for b in shares
    ]
    free = [place for place in places if not _obstructed(setup, place, diameter)]
    best = max(free, key=room, default=None)
    return best if best is not None and room(best) > diameter / 2 else None


def _beside_areas(job: Job, setup: JobSetup, diameter: float) -> tuple[float, float] | None:
    """Return the place of the top face with most metal all round it, off all that is cut away.

    Where the whole face is to be cut, nothing of it stays, and it is touched in the middle.
    """
    import shapely  # noqa: PLC0415 - heavy; only setups with areas need it

    low, high = job.blank_box(setup)
    face: BaseGeometry = shapely.box(low[0], low[1], high[0], high[1])
    if not any(isinstance(feature, Facing) for feature in setup.features):
        face = face.difference(
            shapely.union_all([footprint(each) for each in _open_upwards(setup)])
        )
    gone = openings(job, setup)
    face = face if gone is None else face.difference(gone)
    best: tuple[float, tuple[float, float]] = (diameter / 2, (0.0, 0.0))
    for part in shapely.get_parts(face):
        circle = shapely.maximum_inscribed_circle(part, tolerance=0.5)
        place = (round(circle.coords[0][0], 1), round(circle.coords[0][1], 1))
        room = float(shapely.distance(part.boundary, shapely.Point(place)))
        if room > best[0] and not _obstructed(setup, place, diameter):
            best = (room, place)
    return best[1] if best[0] > diameter / 2 else None


def _gone(gone: BaseGeometry | None, place: tuple[float, float]) -> float:
    """Return how far a place is from where the face is gone, or thin: cut or there before; mm."""
    import shapely  # noqa: PLC0415 - heavy; only jobs with something gone need it

    return math.inf if gone is None else float(gone.distance(shapely.Point(place)))


def _obstructed(setup: JobSetup, place: tuple[float, float], diameter: float) -> bool:
    """Return whether a clamp that stands above the top face is in the cutter's way."""
    return any(
        keepout.high[2] > 0
        and all(
            keepout.low[axis] - diameter / 2 < place[axis] < keepout.high[axis] + diameter / 2
            for axis in (0, 1)
        )
        for keepout in setup.hold.keepouts
    )
