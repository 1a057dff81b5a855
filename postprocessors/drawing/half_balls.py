"""Dishes, and the backs of balls with their necks, as the half section of turned work is drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pathgen.input.units import Units, spoken
from pathgen.job.turning.ball_neck import BallNeck
from pathgen.job.turning.dish import TurnedDish
from pathgen.job.turning.turned import TurnedSetup
from postprocessors.drawing.lettering import ACROSS

Points = list[tuple[float, float]]  # z, x
CHORDS = 24  # of a drawn arc


def dish_of(setup: TurnedSetup) -> TurnedDish | None:
    """Return the dish in the right end; None where there is none."""
    return next((each for each in setup.features if isinstance(each, TurnedDish)), None)


def along_dish(dish: TurnedDish) -> Points:
    """Return points along a dish, from the axis to its rim."""
    rim = math.asin(min(1.0, dish.across / 2 / dish.radius))
    angles = [rim * share / CHORDS for share in range(CHORDS + 1)]
    return [
        (dish.centre - dish.radius * math.cos(angle), dish.radius * math.sin(angle))
        for angle in angles
    ]


def behind_ball(setup: TurnedSetup, of: str, step: int) -> Points:
    """Return points along the back of a ball and its neck; none where a diameter is no ball."""
    for neck in setup.features:
        if isinstance(neck, BallNeck) and (neck.of, 1) == (of, step):
            last = math.acos(min(1.0, neck.neck / neck.radius))
            angles = [last * share / CHORDS for share in range(CHORDS + 1)]
            back = [
                (neck.middle - neck.radius * math.sin(a), neck.radius * math.cos(a)) for a in angles
            ]
            return [*back, (-neck.shoulder.middle, neck.neck)]
    return []


def rows_of_balls(setup: TurnedSetup, units: Units) -> Iterator[str]:
    """Yield each dish and each back of a ball in words."""
    for each in setup.features:
        if not isinstance(each, TurnedDish | BallNeck):
            continue
        granted = each.file_to_line
        filed = "" if granted is None else f"; by hand at most {spoken(granted, units)} to the line"
        radius = spoken(each.radius, units)
        if isinstance(each, TurnedDish):
            across, deep = spoken(each.across, units), spoken(each.depth.nominal, units)
            yield f"{each.name}: dish R {radius}, {ACROSS}{across}, {deep} deep{filed}"
        else:
            thick = spoken(each.diameter.nominal, units)
            yield f"{each.name}: back of the ball R {radius}, its neck {ACROSS}{thick}{filed}"
