"""Whether a chamfer is what was wanted, and by which leg it is not."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.measured.chamfer import FinishedChamfer, crossing, outline_for
from pathgen.check.measured.finished import NOISE
from pathgen.check.metal.legs import RAPID, Ints
from pathgen.check.rules.size import of_good, top_radius
from pathgen.check.wanted.areas import AreaOutline
from pathgen.check.wanted.outline import Allowed
from pathgen.check.wanted.pointed import pointed


def chamfer_places(finished: FinishedChamfer) -> list[Allowed]:
    """Return where a pointed cutter may cut for a chamfer."""
    outline = outline_for(finished)
    return [
        Allowed(name=finished.chamfer.name, outline=outline, floor=finished.floor, pointed=True)
    ]


def chamfer_findings(context: Context, finished: FinishedChamfer, over: Ints) -> Iterator[Finding]:
    """Yield what is wrong with a chamfer.

    Args:
        context: what every rule is given.
        finished: it as the moves leave it.
        over: the legs that may cut the blank.
    """
    (size,) = finished.sizes
    if size.ok:
        yield from of_good(context, size, None)
        return
    if size.least < size.wanted.low - NOISE:
        yield context.finding_by(
            "metal left",
            f"{finished.chamfer.name!r} is {size.least:.3f} mm wide where it is narrowest, "
            f"{size.wanted.low:.3f} mm is the least",
            _last(context, over),
            "cut deeper along all of the edge, or break it by file",
            amount=size.wanted.low - size.least,
        )
    if size.most > size.wanted.high + NOISE:
        yield from _too_wide(context, finished, over)


def _last(context: Context, over: Ints) -> int | None:
    """Return the line or step of the last leg of a pointed cutter."""
    rows = over[pointed(context, over)]
    return int(context.legs.number[rows[-1]]) if len(rows) else None


def _too_wide(context: Context, finished: FinishedChamfer, over: Ints) -> Iterator[Finding]:
    """Yield each leg that takes the chamfer beyond its upper limit, and is of no other one."""
    legs = context.legs
    rows = over[pointed(context, over) & (legs.kind[over] != RAPID)]
    starts, ends = legs.start[rows, :2], legs.end[rows, :2]
    radius = top_radius(context, rows)
    reach = outline_for(finished).reach(starts, ends, radius)
    beyond = (reach > NOISE) & np.isfinite(reach)
    for region in crossing(context, finished.chamfer):
        theirs = AreaOutline(region=region).reach(starts, ends, radius)
        beyond &= (theirs > NOISE) & (reach <= theirs)
    for row in np.flatnonzero(beyond).tolist():
        yield context.finding_at(
            "chamfer",
            f"{finished.chamfer.name!r} cut {reach[row]:.3f} mm beyond the upper limit of its "
            "width",
            (int(rows[row]), context.end(int(rows[row]))),
            "keep the cutter higher, or further from the edge",
            float(reach[row]),
        )
