"""A light cut that is measured, and the dial set by it: from there on it shows diameters."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.input.where import Refusal
from pathgen.job.turned import Turned
from pathgen.moves.actions import Measure, Spindle, ZeroByMeasure
from pathgen.moves.moves import Feed, How, Rapid
from pathgen.moves.plan import Item
from pathgen.plan.turning.allowances import (
    LEAST_SKIMMED,
    MEASURED,
    OFF,
    SKIM,
    SKIM_AGAIN,
    SKIMMED,
    SPRING,
    TOUCHED,
)
from pathgen.plan.turning.bench import CLEAR, ON_SHOULDERS, Anew, TurningBench
from pathgen.plan.turning.figures import TurningFigures
from pathgen.plan.turning.ways import across, along


def skim_outside(turned: Turned, bench: TurningBench, figures: TurningFigures) -> Iterator[Item]:
    """Yield a light cut that is measured, and the dial set by it: from here it shows diameters.

    Raises:
        Refusal: no stretch is left of the bar that is both thick and long enough.
    """
    reach = _skimmed(turned, bench)
    x = bench.job.blank.diameter / 2 - bench.nearest_count(SKIM)
    measure = Measure(
        name="M1",
        what="diameter of the skim, the cross slide left where it is",
        expected=2 * x,
        low=2 * x - OFF,
        high=2 * x + OFF,
        found_by="touch",
        advice="the bar is another than the job says, or the touch went wrong: begin again",
    )
    back = along(CLEAR, "back, the cross slide left where it is")
    yield from skim(measure, figures, reach, bench.start, back)
    yield across(bench.clear, "out, clear of the work")


def _skimmed(turned: Turned, bench: TurningBench) -> float:
    """Return how far along the work the skim goes, mm: on what is cut away anyhow.

    Raises:
        Refusal: no stretch is left of the bar that is both thick and long enough.
    """
    under = bench.job.blank.diameter / 2 - bench.nearest_count(SKIM) - OFF / 2
    reach = min(SKIMMED, turned.steps[-1].to.low - ON_SHOULDERS)
    right = 0.0
    for step in turned.steps:
        if step.diameter.high / 2 > under:
            reach = min(reach, right - ON_SHOULDERS)
            break
        right = step.to.low
    if reach < LEAST_SKIMMED:
        raise Refusal(
            turned.where,
            f"take a skim to be measured off a bar of {bench.say(bench.job.blank.diameter)}: too"
            " little of it is cut away",
            "take a thicker bar, or turn further along it",
        )
    return reach


def skim_again(
    roughed: float, span: tuple[float, float], bench: TurningBench, figures: TurningFigures
) -> Anew | None:
    """Return how the tool finds its place on what was roughed, after a stop.

    None where too little of it can be skimmed. What is touched is measured first: were it cut to
    size already, a skim would spoil it.

    Args:
        roughed: the diameter, mm.
        span: the z at which it begins and that at which it ends, mm.
        bench: what there is.
        figures: speed and feed.
    """
    right, left = span
    reach = min(SKIMMED, right - left - bench.on_shoulders)
    if reach < LEAST_SKIMMED:
        return None
    roughed = 2 * bench.on_dial(roughed / 2)  # a dial was set to a judged part
    x = bench.on_dial(roughed / 2 - SKIM_AGAIN)
    measure = skimmed_again("M1", "diameter of the skim", x)
    back = along(right + CLEAR, "back, the cross slide left where it is")
    cut = skim(measure, figures, -(right - reach), right + bench.start, back)
    out = across(bench.clear, "out, clear of the work")
    measured = as_roughed("diameter", roughed, bench)
    return Anew(measured=measured, touched=roughed, skim=(*cut, out))


def as_roughed(called: str, roughed: float, bench: TurningBench) -> Measure:
    """Return the measuring of a "diameter" or a "bore" before a tool is touched on it anew."""
    return Measure(
        name="R1",
        what=f"{called} that was roughed to {bench.say(roughed)}",
        expected=roughed,
        low=roughed - SPRING,
        high=roughed + SPRING,
        advice="it is cut further already, or not roughed yet: go on at another pass",
    )


def skimmed_again(name: str, what: str, x: float) -> Measure:
    """Return the measuring of a skim that was set by a touch on what was roughed; to an x, mm."""
    most = SPRING + 2 * TOUCHED
    return Measure(
        name=name,
        what=f"{what}, the cross slide left where it is",
        expected=2 * x,
        low=2 * x - most,
        high=2 * x + most,
        found_by="touch",
        advice="the touch went wrong: do it again on what was roughed and not skimmed",
    )


def skim(
    measure: Measure, figures: TurningFigures, reach: float, start: float, back: Rapid
) -> Iterator[Item]:
    """Yield a light cut, outside or in a bore, that is measured, and the dial set by it.

    Args:
        measure: of the diameter that the dial says is cut.
        figures: speed and feed.
        reach: how far along the work, mm.
        start: how far to the right of the end it begins, mm.
        back: how the tool is drawn back, the cross slide left where it is.
    """
    x = measure.expected / 2
    yield along(start)
    yield across(x, "for a skim", makes_size=True)
    yield Feed(x, 0.0, -reach, figures.feed, How(makes="stop", what="a skim to be measured"))
    yield back
    yield Spindle(rpm=0.0)
    yield measure
    yield ZeroByMeasure(axis="x", measure=measure.name, uncertainty=MEASURED)
    yield Spindle(rpm=figures.rpm)
