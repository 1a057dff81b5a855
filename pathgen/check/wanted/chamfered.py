"""Where features are measured whose upper edge is chamfered: under the chamfer."""

from __future__ import annotations

from pathgen.check.context import Context
from pathgen.job.chamfer import BLANK, Chamfer
from pathgen.job.job import Feature

UNDER = 0.02  # mm below the deepest that a chamfer may go


def chamfer_foot(chamfer: Chamfer, top: float) -> float:
    """Return the z just under a chamfer, however wide it is within its limits."""
    return top - chamfer.depth(chamfer.width.high) - UNDER


def under_chamfers(context: Context, feature: Feature) -> float:
    """Return the z of the upper face, or that just under the chamfers at a feature's edge.

    Those along the blank's own edges may run across it.
    """
    top = context.box.high[2]
    own = [each for each in context.setup.chamfers if each.of in (feature.name, BLANK)]
    return min([top, *(chamfer_foot(each, top) for each in own)])
