"""The first touch of a dish by a fly cutter: how far off it was found, and what follows that.

With what was found of the chord in a case, all cuts lie deeper, or less deep, along the work's
axis than the slides count: the first touch was taken as much too low, or too high.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.measured.finished import NOISE
from pathgen.check.spheres.generated import Cut, rim_of
from pathgen.check.spheres.measure_generated import FinishedSphere
from pathgen.moves.actions import Measure
from pathgen.moves.plan import Run
from pathgen.reckon.sphere_profile import Generator

FARTHEST = 1.0  # mm that a first touch may be off for what is found
TRIALS = 50


def all_deeper(cuts: tuple[Cut, ...], off: float) -> tuple[Cut, ...]:
    """Return cuts as they are where the first touch was taken so much too deep, mm."""
    if not off:
        return cuts
    return tuple(
        cut if cut.generator is None else replace(cut, generator=_deeper(cut.generator, off))
        for cut in cuts
    )


def touch_off(run: Run, cuts: Sequence[Cut]) -> float:
    """Return how much deeper than counted a run's case has all cuts along the work's axis, mm."""
    found = dict(run.found)
    for item, number in zip(run.items, run.numbers, strict=True):
        if not isinstance(item, Measure) or item.found_by != "first touch":
            continue
        wider = found.get(item.name, item.expected) - item.expected
        before = [c.generator for c in cuts if c.whole and c.generator and c.number < number]
        if wider and before:
            return _off_for(before[-1], wider)
    return 0.0


def _off_for(generator: Generator, wider: float) -> float:
    """Return how much deeper a circle stands, for a chord as much wider than it leaves, mm."""
    rim = rim_of(generator)
    if rim is None:
        return 0.0
    low, high = -FARTHEST, FARTHEST
    for _ in range(TRIALS):
        middle = (low + high) / 2
        there = rim_of(_deeper(generator, middle))
        if there is not None and 2 * there < 2 * rim + wider:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _deeper(generator: Generator, off: float) -> Generator:
    return replace(generator, foot=generator.foot - off)


def follow_findings(context: Context, finished: FinishedSphere) -> Iterator[Finding]:
    """Yield a last pair of readings that does not follow the chord which was measured before it.

    Then the dish is as much too deep as the first touch was off, or the circle leaves the axis.
    """
    measures = [
        (item, number)
        for item, number in zip(context.run.items, context.run.numbers, strict=True)
        if isinstance(item, Measure) and item.found_by == "first touch"
    ]
    last = finished.last
    if not measures or last is None or finished.sphere.form != "dish":
        return
    item, number = measures[-1]
    across, _, along = context.run.doubt.setting
    open_by = across + along + 2 * NOISE  # a reading of each slide is rounded
    deep = last.nose - last.foot - finished.sphere.aim[1]
    off = max(abs(deep), abs(last.short))
    if off > open_by and not math.isnan(off):
        yield context.finding_by(
            "follows",
            f"{finished.sphere.name}: with {item.name} found {_found(context, item):.3f} mm the "
            f"last cut is {abs(deep):.3f} mm too {'deep' if deep > 0 else 'shallow'} and "
            f"{abs(last.short):.3f} mm off the axis, more than the {open_by:.3f} mm that readings "
            "are rounded by",
            number,
            "let both readings of the last pair follow the chord, in proportion",
            amount=off,
        )


def _found(context: Context, item: Measure) -> float:
    return dict(context.run.found).get(item.name, item.expected)
