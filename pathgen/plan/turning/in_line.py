"""Whether the tailstock is in line: measured on what was roughed, before anything is finished."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from pathgen.job.turning.turned import Turned
from pathgen.moves.actions import Measure, Note, Spindle
from pathgen.moves.plan import Item
from pathgen.plan.turning.bench import TurnedOperation, TurningBench
from pathgen.reckon.warmth import lengthening

LONG = 25.0  # mm: what is shorter tells nothing of the line; common practice, no source
SHARE = 0.25  # of the tightest diameter's limits that the work may be thicker at one end
MOST = 0.05  # mm: more is no line, however wide the limits; our choice
FINEST = 0.01  # mm: a micrometer tells no finer difference; common practice, no source
WARM = 20.0  # degrees that work may warm by as it is roughed: common practice, no source


def measured_in_line(
    operations: Iterable[TurnedOperation], bench: TurningBench
) -> Iterator[TurnedOperation]:
    """Yield operations, the first that finishes a diameter begun by measuring what was roughed.

    Only where a centre holds the end, and over what is long enough to tell.
    """
    turned = [each for each in bench.setup.features if isinstance(each, Turned)]
    long = _longest(turned[0]) if turned and bench.held.centre is not None else (0.0, 0.0)
    still = long[0] >= LONG
    for operation in operations:
        if still and operation.purpose == "finish" and operation.feature == turned[0].name:
            still = False
            told = (_ease(bench), _measure(bench, turned[0], long))
            yield replace(operation, items=_begun_by(operation, told))
        else:
            yield operation


def _longest(turned: Turned) -> tuple[float, float]:
    """Return how long the longest diameter of a profile is, and its size, mm."""
    ends = [step.to.middle for step in turned.steps]
    return max(
        (to - begins, step.diameter.nominal)
        for step, begins, to in zip(turned.steps, [0.0, *ends], ends, strict=False)
    )


def _begun_by(operation: TurnedOperation, told: tuple[Item, ...]) -> tuple[Item, ...]:
    """Return the items of an operation, begun by something that is done with the spindle still."""
    stop = Spindle(rpm=0.0)
    if operation.items[0] == stop:
        return (stop, *told, *operation.items[1:])
    return (stop, *told, Spindle(rpm=operation.figures.rpm), *operation.items)


def _ease(bench: TurningBench) -> Note:
    """Return what is done about the work that has grown as it was roughed."""
    grown = lengthening(bench.job.blank.material, bench.job.blank.length, WARM)
    return Note(
        text="Let the work cool. Ease the quill, bring the centre up anew and lock it: roughed work"
        f" that is {WARM:g} degrees warmer is {bench.say(grown)} longer."
    )


def _measure(bench: TurningBench, turned: Turned, long: tuple[float, float]) -> Measure:
    """Return the measurement of how much thicker the longest diameter is at its right end."""
    length, diameter = long
    tightest = min(step.diameter.high - step.diameter.low for step in turned.steps)
    most = min(max(FINEST, SHARE * tightest), MOST)
    between = bench.job.blank.length if bench.held.dog else bench.setup.hold.stick_out
    share = between / length / 2
    return Measure(
        name="T1",
        what=f"how much thicker what is to become {bench.say(diameter)} is at its right end than at"
        " its left, as it was roughed; minus where it is thinner",
        expected=0.0,
        low=-most,
        high=most,
        advice=f"the tailstock is out of line: {_put_right(bench, share)}; then the last roughing"
        " cut once more, a little deeper, and measure again",
    )


def _put_right(bench: TurningBench, share: float) -> str:
    """Return what is done where the work comes out thicker at one end."""
    lathe = bench.machine.lathe
    assert lathe is not None
    if not lathe.holding.set_over:
        return "it is not made to be set over, so have bed and headstock looked at"
    return (
        "set it over, towards the tool where the right end is thicker, by"
        f" {share:.2g} times what was found"
    )
