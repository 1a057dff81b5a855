"""The blank as an earlier setup really left it: where a face that it cut lies, and so the zero.

A faced top lies where it was cut, within its thickness's limits, and the depth zero is touched on
it. So the frame moves with it, and what is measured from the top is measured from there.
"""

from __future__ import annotations

from dataclasses import replace

from pathgen.check.metal.left import Left
from pathgen.check.metal.prismatic import SPECK, Metal
from pathgen.job.frame import Box
from pathgen.job.job import Job, JobSetup

NEAR = 0.5  # mm: about so far from where it should be a cut face is looked for


def as_left(job: Job, setup: JobSetup, left: Left | None) -> tuple[JobSetup, Box]:
    """Return a setup with its zero on the top as it was cut, and the blank's box in its frame.

    Args:
        job: what is wanted.
        setup: as the job has it.
        left: the metal that earlier setups left.
    """
    box = job.blank_box(setup)
    up = setup.lie.up
    if left is None or job.stock_before(setup).machined_in(up) is None:
        return setup, box
    if setup.datum_z.faces != (up,):
        return setup, box
    off = _top(setup, box, left) - box.high[2]
    way = setup.lie.ways[2]
    origin = list(setup.origin)
    origin[way.axis] += way.sign * off
    x, y, z = origin
    low = (*box.low[:2], box.low[2] - off)
    return replace(setup, origin=(x, y, z)), Box(low, box.high)


def _top(setup: JobSetup, box: Box, left: Left) -> float:
    """Return where the top lies that was cut, z; where it should be if it was cut only in part."""
    x, y, z = box.high
    metal = Metal(Box(box.low, (x, y, z + NEAR)), setup.frame, (), left)
    for level in metal.levels_before(metal.plan, z - NEAR):
        if metal.plan.difference(metal.gone_before(metal.plan, level)).area < SPECK:
            return level
    return z
