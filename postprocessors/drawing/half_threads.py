"""Threads of turned work, as its half section is drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from pathgen.job.turning.dies import DieThread
from pathgen.job.turning.inside import Bored
from pathgen.job.turning.screwed import Screwed
from pathgen.job.turning.turned import Parted, Turned, TurnedSetup


class DrawnThread(NamedTuple):
    """A thread as it is drawn: its name, from which z to which, and its radii; mm."""

    words: str
    right: float
    left: float
    surface: float  # the radius that it is cut on
    root: float


def threads(setup: TurnedSetup) -> Iterator[DrawnThread]:
    """Yield each thread; one inside may be cut beyond the part's end, and is drawn up to there."""
    end = min((e.length.middle for e in setup.features if isinstance(e, Parted)), default=math.inf)
    for each in setup.features:
        if isinstance(each, DieThread):
            on = next(e for e in setup.features if isinstance(e, Turned) and e.name == each.of)
            outer = on.steps[0].diameter.middle / 2
            yield DrawnThread(each.thread.designation, 0.0, -each.length, outer, each.root)
        if isinstance(each, Screwed):
            thread = each.thread
            yield DrawnThread(
                words=f"{thread.designation} inside" if each.inside else thread.designation,
                right=-each.begins,
                left=-min(each.full_to, end),
                surface=_surface(each, setup),
                root=(thread.major if each.inside else thread.minor_external) / 2,
            )


def _surface(screwed: Screwed, setup: TurnedSetup) -> float:
    """Return the radius that a thread is cut on, mm."""
    kind = Bored if screwed.inside else Turned
    steps = next(each for each in setup.features if isinstance(each, kind)).steps
    return steps[screwed.step - 1].diameter.middle / 2
