"""Solid places of the top face, where a cutter's end can be touched down for its depth zero."""

from __future__ import annotations

from pathgen.job.job import Job, JobSetup


def touch_place(job: Job, setup: JobSetup, diameter: float) -> tuple[float, float] | None:
    """Return (x, y) of the middle of the widest margin round the features; None if none is wide.

    A margin lies between the features' outer box and an edge of the blank. It has to hold half the
    cutter, so that its middle stands over metal; clamps that stand above the top are left out of
    the choice.
    """
    low, high = job.blank_box(setup)
    boxes = [feature.box for feature in setup.features]
    x0, y0 = min(box[0] for box in boxes), min(box[1] for box in boxes)
    x1, y1 = max(box[2] for box in boxes), max(box[3] for box in boxes)
    middle_x, middle_y = (low[0] + high[0]) / 2, (low[1] + high[1]) / 2
    margins = [
        (x0 - low[0], ((low[0] + x0) / 2, middle_y)),
        (high[0] - x1, ((x1 + high[0]) / 2, middle_y)),
        (y0 - low[1], (middle_x, (low[1] + y0) / 2)),
        (high[1] - y1, (middle_x, (y1 + high[1]) / 2)),
    ]
    free = [
        (width, place)
        for width, place in margins
        if width > diameter / 2 and not _obstructed(setup, place, diameter)
    ]
    return max(free, key=lambda margin: margin[0])[1] if free else None


def _obstructed(setup: JobSetup, place: tuple[float, float], diameter: float) -> bool:
    """Return whether a clamp that stands above the top face is in the cutter's way."""
    return any(
        keepout.high[2] > 0
        and all(
            keepout.low[axis] - diameter / 2 < place[axis] < keepout.high[axis] + diameter / 2
            for axis in (0, 1)
        )
        for keepout in setup.hold.keepouts
    )
