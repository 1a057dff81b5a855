"""What handles leave of a curve or a slant, in steps, for a file to take off."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pathgen.input.where import Refusal, Where
from pathgen.plan.turning.bench import TurningBench

SHARE = 0.25  # of what may be left to file that rounding to the dials may use up
USUAL = 0.1  # mm to file that is asked for, where the dials allow as little


@dataclass(frozen=True, slots=True, kw_only=True)
class Filed:
    """What is left to file, mm."""

    granted: float  # by the job, at most
    rounded: float  # how far the nearest judged parts of two dials may be from where a step stops

    @property
    def least(self) -> float:
        """Return what has to be granted at least, by the dials."""
        return self.rounded / SHARE

    @property
    def crest(self) -> float:
        """Return how high crests may be by the plan, so that rounding makes none too high."""
        return self.granted - 2 * self.rounded


def filed(granted: float | None, bench: TurningBench, where: Where, name: str) -> Filed:
    """Return what steps by handles leave to file, as the job grants it.

    Args:
        granted: what the job says may be filed, mm; None where it does not.
        bench: the lathe.
        where: of the feature.
        name: of the feature.

    Raises:
        Refusal: the job does not say it, or grants less than the dials are coarse.
    """
    across, along = (bench.machine.slide(axis).count for axis in ("x", "z"))
    rounded = math.hypot(across / 2, along)  # along twice: the face was set by these dials too
    least = rounded / SHARE
    if granted is None or granted < least:
        said = "does not say" if granted is None else f"grants {bench.say(granted)}"
        instead = max(USUAL, math.ceil(least * 10) / 10)
        raise Refusal(
            where.at("file_to_line"),
            f"leave no steps along {name!r} by handles, and the job {said} what may be filed",
            f"say file_to_line, such as {bench.say(instead)}, or use a lathe with a control",
        )
    return Filed(granted=granted, rounded=rounded)
