"""Where a cutter goes round an arc: how much faster its outer edge goes than its middle."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.metal.legs import Floats
from pathgen.moves.moves import Arc

LEAST_BEND = 1e-3  # radius below which an arc is taken as a turn on the spot, mm


class Bends:
    """The arcs among the legs of a run, each with its centre and radius.

    A feed is that of the cutter's middle. Round an arc of radius r the edge of a cutter of radius
    R goes (r + R) / r times as fast on the outside, as along the wall of a round pocket.

    Args:
        context: what every rule is given.
        radius: of what each leg's cutter cuts, mm.
    """

    def __init__(self, context: Context, radius: Floats) -> None:
        legs = context.legs
        centres = np.full((len(context.run.items), 2), np.nan)
        for index, item in enumerate(context.run.items):
            if isinstance(item, Arc):
                centres[index] = (item.centre_x, item.centre_y)
        self._centre: Floats = centres[legs.item]
        self._radius: Floats = np.hypot(*(legs.start[:, :2] - self._centre).T)
        bend = np.maximum(np.nan_to_num(self._radius, nan=np.inf), LEAST_BEND)
        self.faster: Floats = 1 + radius / bend

    def outside(self, met: BaseGeometry, leg: int) -> bool:
        """Return whether metal lies further from a leg's centre than the way of the middle."""
        if met.is_empty:
            return False
        away = np.hypot(*(shapely.get_coordinates(met) - self._centre[leg]).T)
        return bool(away.max() > self._radius[leg])
