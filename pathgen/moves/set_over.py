"""A run on work that is held set over by an angle, as it goes in the work's own axes."""

from __future__ import annotations

import math
from dataclasses import replace

from pathgen.moves.actions import Touch, Zero
from pathgen.moves.moves import Arc, Drill, Feed, Rapid
from pathgen.moves.plan import Item, Run

Place = tuple[float, float]


def turned_by(place: Place, angle_deg: float) -> Place:
    """Return a place turned about the origin, anticlockwise seen from above; mm.

    Of work set over clockwise by the angle this leads from the slides' axes to the work's own; by
    the angle taken minus it leads back.

    >>> [round(each, 3) for each in turned_by((10.0, 0.0), 30.0)]
    [8.66, 5.0]
    """
    x, y = place
    cos, sin = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    return x * cos - y * sin, x * sin + y * cos


def seen_from_set_over(run: Run, angle_deg: float) -> Run:
    """Return a run with its places in the axes of work that is set over about the origin.

    Args:
        run: as it was read back; its places are those of the slides.
        angle_deg: by which the work lies turned clockwise, seen from above.
    """
    return replace(run, items=tuple(_turned(item, angle_deg) for item in run.items))


def _turned(item: Item, angle_deg: float) -> Item:
    """Return a move, or where a depth is touched, in the work's axes; all else as it is."""
    match item:
        case Rapid() | Feed() | Drill():
            x, y = turned_by((item.x, item.y), angle_deg)
            return item._replace(x=x, y=y)
        case Arc():
            x, y = turned_by((item.x, item.y), angle_deg)
            centre_x, centre_y = turned_by((item.centre_x, item.centre_y), angle_deg)
            return item._replace(x=x, y=y, centre_x=centre_x, centre_y=centre_y)
        case Zero(axis="z"):
            return replace(item, touches=tuple(_touch(touch, angle_deg) for touch in item.touches))
        case _:
            return item


def _touch(touch: Touch, angle_deg: float) -> Touch:
    """Return a touch of the depth at its place in the work's axes."""
    return touch if touch.over is None else replace(touch, over=turned_by(touch.over, angle_deg))
