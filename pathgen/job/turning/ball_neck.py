"""The back of a ball at the end of turned work, and the neck that it stands on; lengths in mm.

The ball is as thick as the first diameter of a profile, and its front end is in the right face. The
front is a crown of its radius; behind its middle the ball falls to the neck, which goes on to the
shoulder of that diameter.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from pathgen.input.getters import Table
from pathgen.input.where import Where
from pathgen.job.reading.areas import read_file_to_line
from pathgen.job.sizes import Size, read_outside_size
from pathgen.job.turning.edges import LINE

ROOM = 3.0  # mm of neck between ball and shoulder, for a blade; our choice
THINNEST = 1 / 4  # of the ball, that its neck is thick at least: common practice, no source
DEEPER = 0.5  # mm by which the neck is less than the ball on the radius, at least


@dataclass(frozen=True, slots=True, kw_only=True)
class BallNeck:
    """The back half of a ball, from its middle down to its neck, and the neck."""

    name: str
    of: str  # the profile
    land: Size  # its first diameter: that of the ball
    shoulder: Size  # where that ends
    diameter: Size  # of the neck
    file_to_line: float | None  # left to file at most, cut by hand
    where: Where = field(compare=False, repr=False)

    @property
    def radius(self) -> float:
        """Return the radius of the ball."""
        return self.land.middle / 2

    @property
    def middle(self) -> float:
        """Return the z of the middle of the ball."""
        return -self.radius

    @property
    def neck(self) -> float:
        """Return the radius of the neck."""
        return self.diameter.middle / 2

    @property
    def foot(self) -> float:
        """Return the z at which the ball meets its neck."""
        return self.middle - math.sqrt(max(self.radius**2 - self.neck**2, 0.0))

    @property
    def most_left(self) -> float:
        """Return how far metal may stand over the ball, mm."""
        return LINE if self.file_to_line is None else self.file_to_line


def read_ball_neck(
    table: Table, profile: tuple[str, Size, Size] | None, tolerance_class: str
) -> BallNeck | None:
    """Read the back of a ball and its neck.

    Args:
        table: the feature's.
        profile: the name of the profile, its first diameter and where that ends; None where wrong.
        tolerance_class: of the job.
    """
    name = table.text("name")
    diameter = table.length("diameter", above=0)
    size = read_outside_size(table, "diameter", diameter, tolerance_class)
    granted = read_file_to_line(table)
    table.no_more()
    if table.faulty or profile is None:
        return None
    of, land, shoulder = profile
    neck = BallNeck(
        name=name,
        of=of,
        land=land,
        shoulder=shoulder,
        diameter=size,
        file_to_line=granted,
        where=table.where(),
    )
    _guard_sizes(table, neck)
    return neck


def _guard_sizes(table: Table, neck: BallNeck) -> None:
    """Record a neck that is too thin or too thick for its ball, or without room behind it."""
    if neck.diameter.low < THINNEST * neck.land.middle:
        table.wrong(
            "diameter",
            f"a neck of {table.say(neck.diameter.nominal)} under a ball of"
            f" {table.say(neck.land.nominal)}",
            f"give {table.say(THINNEST * neck.land.middle)} or more: a thinner one bends under"
            " the blade",
        )
    elif neck.neck > neck.radius - DEEPER:
        table.wrong(
            "diameter",
            f"{table.say(neck.diameter.nominal)} is hardly less than the ball",
            f"give {table.say(2 * (neck.radius - DEEPER))} or less",
        )
    elif neck.shoulder.low + neck.foot < ROOM:
        table.wrong(
            "of",
            f"the ball meets its neck {table.say(-neck.foot)} from the face, and its shoulder"
            f" stands {table.say(neck.shoulder.nominal)} from it",
            f"let the first diameter go on to {table.say(-neck.foot + ROOM)} or more",
        )


def guard_balls(
    pairs: Sequence[tuple[Table, BallNeck]],
    crowns: Sequence[tuple[str, float | None]],
    others: Sequence[str],
) -> None:
    """Record necks of balls whose front is no ball, or that something else is cut into.

    Args:
        pairs: the tables of the necks, and these.
        crowns: of each shape of a right end, its profile and, of a crown, its radius.
        others: names of holes, of threads and of what is cut into the ball's diameter.
    """
    for table, neck in pairs:
        if neck is not pairs[0][1]:
            table.wrong("kind", "a second neck", "give one ball")
        if others:
            table.wrong(
                "kind",
                f"a ball with {others[0]!r} in it or in its neck",
                "leave that to a setup of its own, the part turned round or held on the ball",
            )
        fronts = [radius for of, radius in crowns if of == neck.of]
        near = [each is not None and abs(each - neck.radius) <= LINE for each in fronts]
        if not all(near):
            table.wrong(
                "of",
                "a front that is no ball of its first diameter",
                f"give it a crown of radius {table.say(neck.radius)}, or none yet",
            )
