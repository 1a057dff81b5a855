"""Threads of turned work, as its half section is drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pathgen.job.dies import DieThread
from pathgen.job.inside import Bored
from pathgen.job.screwed import Screwed
from pathgen.job.turned import Parted, Turned, TurnedSetup


def threads(setup: TurnedSetup) -> Iterator[tuple[str, float, float, float]]:
    """Yield each thread: its name, length, the radius that it is cut on, and at the root; mm.

    One inside may be cut beyond the part's end; it is drawn as long as the part.
    """
    end = min((e.length.middle for e in setup.features if isinstance(e, Parted)), default=math.inf)
    for each in setup.features:
        if isinstance(each, DieThread):
            on = next(e for e in setup.features if isinstance(e, Turned) and e.name == each.of)
            outer = on.steps[0].diameter.middle / 2
            yield each.thread.designation, each.length, outer, each.root
        if isinstance(each, Screwed):
            thread = each.thread
            root = thread.major if each.inside else thread.minor_external
            words = f"{thread.designation} inside" if each.inside else thread.designation
            yield words, min(each.length, end), _surface(each, setup), root / 2


def _surface(screwed: Screwed, setup: TurnedSetup) -> float:
    """Return the radius that a thread is cut on, mm."""
    kind = Bored if screwed.inside else Turned
    return next(e for e in setup.features if isinstance(e, kind)).steps[0].diameter.middle / 2
