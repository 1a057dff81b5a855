"""A chamfer along the upper edge of a feature, or of the blank itself."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from pathgen.input.where import Where
from pathgen.job.areas import Edge, Strip
from pathgen.job.sizes import Size

BLANK = "blank"  # what a chamfer is said to be of that runs along the blank's own edges


@dataclass(frozen=True, slots=True, kw_only=True)
class Chamfer:
    """What is taken off an edge aslant; its width is measured along the upper face, mm."""

    name: str
    of: str  # the name of a feature of the same setup, or `BLANK`
    edges: tuple[Edge, ...]  # of the blank, as it lies; none where it is of a feature
    width: Size
    angle_deg: float  # between the upper face and the chamfer
    cutter: str | None  # that the job names
    where: Where = field(compare=False, repr=False)

    through = False

    @property
    def box(self) -> Strip:
        """Return no box: it takes up no more than the edge of what it is of."""
        return (0.0, 0.0, 0.0, 0.0)

    def depth(self, width: float) -> float:
        """Return how far down it goes for a width, mm.

        >>> from pathgen.job.sizes import Size
        >>> half = Size(nominal=0.5, low=0.4, high=0.6, basis="own limits")
        >>> edge = Chamfer(name="edge", of="blank", edges=("front",), width=half, angle_deg=45.0,
        ...     cutter=None, where=Where("x", 0, ""))
        >>> round(edge.depth(0.5), 6)
        0.5
        """
        return width * math.tan(math.radians(self.angle_deg))
