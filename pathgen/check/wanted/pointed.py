"""Which legs are those of countersinks, whose edge is no wall."""

from __future__ import annotations

import numpy as np

from pathgen.check.context import Context
from pathgen.check.metal.legs import Ints, Mask


def pointed(context: Context, rows: Ints) -> Mask:
    """Return a mask of the legs of countersinks among some."""
    kinds = [t.cutter is not None and t.cutter.kind == "countersink" for t in context.legs.tools]
    mask: Mask = np.array([*kinds, False])[context.legs.tool[rows]]
    return mask
