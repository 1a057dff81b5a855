"""The finished sizes of holes, as they are listed: one of a sort for all, the places each."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pathgen.check.context import Context
from pathgen.check.findings import FinishedSize, Quantity
from pathgen.check.finished import finished_size, holds
from pathgen.check.finished_holes import FinishedHole, FinishedHoles, Round, near_words
from pathgen.check.hole_legs import cuts_of
from pathgen.check.sweeps import SAME

AXES: tuple[tuple[int, Quantity], ...] = ((0, "x"), (1, "y"))


def sizes_of(context: Context, finished: FinishedHoles) -> tuple[FinishedSize, ...]:
    """Return the finished sizes of holes."""
    return (*_shared(context, finished), *_places(context, finished))


def _shared(context: Context, finished: FinishedHoles) -> Iterator[FinishedSize]:
    """Yield the sizes that all holes of the feature share, least and most over them."""
    holes, each = finished.holes, finished.each
    depth = context.depth_doubt
    bores = [_span(hole.bore) for hole in each]
    # What a drill or a reamer cuts over its size goes one way, and is told by a caution of its own.
    yield finished_size(holes.name, "diameter", holes.bore, _over_all(bores), 0.0)
    if holes.depth is not None:
        depths = [(hole.depth, hole.depth) for hole in each]
        yield finished_size(holes.name, "depth", holes.depth, _over_all(depths), depth)
    if holes.countersink is not None:
        wider = 2 * math.tan(math.radians(holes.countersink.angle_deg / 2)) * depth
        mouths = [_span(hole.countersink) for hole in each]
        yield finished_size(
            holes.name, "countersink", holes.countersink.diameter, _over_all(mouths), wider
        )
    if holes.counterbore is not None:
        mouths = [_span(hole.counterbore) for hole in each]
        depths = [(hole.counterbore_depth, hole.counterbore_depth) for hole in each]
        led = 2 * max(context.run.doubt.setting[:2]) if _led_round(context, each) else 0.0
        word = holes.counterbore.word
        deep: Quantity = "spot-face depth" if holes.counterbore.spotface else "counterbore depth"
        yield finished_size(holes.name, word, holes.counterbore.diameter, _over_all(mouths), led)
        yield finished_size(holes.name, deep, holes.counterbore.depth, _over_all(depths), depth)


def _span(found: Round | None) -> tuple[float, float]:
    return (0.0, 0.0) if found is None else (found.least, found.most)


def _led_round(context: Context, each: tuple[FinishedHole, ...]) -> bool:
    """Return whether a cut goes sideways in a hole, so that two settings make its width."""
    legs = context.legs
    cuts = cuts_of(context)
    across = abs(legs.end[cuts, :2] - legs.start[cuts, :2]).max(axis=1, initial=0.0) > SAME
    ends = legs.end[cuts[across], :2]
    return any(
        bool((abs(ends - hole.centre).max(axis=1, initial=0.0) < hole.counterbore.most / 2).any())
        for hole in each
        if hole.counterbore is not None
    )


def _places(context: Context, finished: FinishedHoles) -> Iterator[FinishedSize]:
    """Yield where each hole lies that is there."""
    doubt = context.run.doubt
    for hole in finished.each:
        if hole.bore is None:
            continue
        name = f"{finished.holes.name}, {near_words(hole.place)}"
        for axis, quantity in AXES:
            found, wanted = round(hole.bore.at[axis], 9) + 0.0, (hole.place.x, hole.place.y)[axis]
            yield FinishedSize(
                feature=name,
                quantity=quantity,
                wanted=wanted,
                least=found,
                most=found,
                uncertainty=doubt.zero[axis] + doubt.setting[axis] + doubt.wander[axis],
                wander=doubt.wander[axis],
                ok=holds(wanted, found, found),
            )


def _over_all(found: list[tuple[float, float]]) -> tuple[float, float]:
    """Return the least and the most over all holes, mm."""
    return min(low for low, _ in found), max(high for _, high in found)
