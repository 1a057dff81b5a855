"""A slide of a lathe that is swung to an angle: what its handle does to the places of the others.

Along itself it counts as it would along the axis, plus away from the chuck; its angle is plus where
it takes the tool outwards on the way to the chuck.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from postprocessors.dials.handles import Handle
from postprocessors.dials.slides_in_play import SlideInPlay


def shares(angle_deg: float) -> dict[str, float]:
    """Return how far the tool goes along x and z for each mm of a slide that is swung.

    >>> {axis: round(share, 4) for axis, share in shares(30.0).items()}
    {'x': -0.5, 'z': 0.866}
    """
    angle = math.radians(angle_deg)
    return {"x": -math.sin(angle), "z": math.cos(angle)}


@dataclass(slots=True)
class SwungHandle:
    """The handle of a slide that is swung, as a sheet is written."""

    handle: Handle
    angle_deg: float


@dataclass(slots=True)
class SwungSlide:
    """A slide that is swung, as hands find it: how it truly stands, and how the sheet has it."""

    slide: SlideInPlay
    true_deg: float
    stated_deg: float
