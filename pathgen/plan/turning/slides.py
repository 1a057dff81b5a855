"""Which slides of a lathe a setup is done with."""

from __future__ import annotations

from collections.abc import Iterator
from typing import assert_never

from pathgen.input.where import Refusal
from pathgen.job.inside import AxialHole, Bored, Recess, depth_of
from pathgen.job.screwed import Screwed
from pathgen.job.sizes import Size
from pathgen.job.turned import Parted, Turned, TurnedFeature, TurnedSetup
from pathgen.job.turned_edges import TurnedEdge
from pathgen.plan.turning.bench import CLEAR, leaves_open
from pathgen.shop.machines import Machine
from pathgen.shop.slides import Slide

RUN_UP = 3 * CLEAR  # mm of travel to the right of the faced end
LONG = 25.0  # mm: to change over for shorter cuts is not worth it; common practice, no source
SHARE = 0.7  # of half a tolerance of length that a dial may leave open


def slides_for(setup: TurnedSetup, machine: Machine) -> tuple[str, ...]:
    """Return the names of the slides that a setup is done with: the cross slide, and one along.

    Of those along the axis the one that tells lengths the finest, of those that go far enough.

    Raises:
        Refusal: none does.
    """
    assert machine.lathe is not None
    if not machine.manual:
        return ()
    ends = [end for each in setup.features if (end := _end(each)) is not None]
    span = -min(ends, default=0.0) + RUN_UP + setup.facing
    lengths = [size for each in setup.features for size in _lengths(each)]
    if setup.round is not None:
        lengths.append(setup.round.length)
    half = min((size.high - size.low) / 2 for size in lengths) * SHARE
    lengthwise = [
        slide
        for slide in machine.slides
        if slide.axis == "z" and slide.name != machine.lathe.tailstock
    ]
    reaching = [slide for slide in lengthwise if slide.travel >= span]
    finest = min(reaching, key=leaves_open, default=None)
    if finest is not None and leaves_open(finest) <= half:
        return machine.slide("x").name, finest.name
    names = " or ".join(slide.name for slide in lengthwise)
    raise Refusal(
        setup.where,
        f"set lengths to within {2 * half / SHARE:.3f} mm over {span:.1f} mm by the {names}",
        "give wider limits to the lengths (and more as file_to_line to edges in steps), or use a"
        " lathe with a finer dial along its axis",
    )


def carriage_for(setup: TurnedSetup, machine: Machine, slides: tuple[str, ...]) -> Slide | None:
    """Return the slide that roughs by its power feed in place of the one that sets lengths.

    None where that one has a power feed itself, or where the cuts are too short to change over.
    """
    if not slides or machine.lathe is None:
        return None
    own = machine.slide_named(slides[1])
    end = max((-each.end for each in setup.features if isinstance(each, Turned)), default=0.0)
    if end < LONG or (own is not None and own.power_a_turn):
        return None
    fitting = (
        slide
        for slide in machine.slides
        if slide.axis == "z" and slide.power_a_turn and slide.travel >= end + RUN_UP
    )
    return next(fitting, None)


def _end(feature: TurnedFeature) -> float | None:
    """Return the z to which the post takes a tool for a feature, mm; None where nothing says."""
    match feature:
        case Turned():
            return feature.end
        case Parted():
            return -feature.length.high
        case Screwed():
            return feature.end
        case Bored() | Recess():
            deep = depth_of(feature)
            return None if deep is None else -deep
        case AxialHole() | TurnedEdge():
            return None
        case _:
            assert_never(feature)


def _lengths(feature: TurnedFeature) -> Iterator[Size]:
    """Yield the lengths of a feature that are set along the axis by the post."""
    match feature:
        case Turned():
            yield from (step.to for step in feature.steps)
        case Parted():
            yield feature.length
        case Bored():
            yield from (step.to for step in feature.steps if step.to is not None)
        case Recess():
            yield from (feature.start, feature.width)
        case TurnedEdge(file_to_line=granted):
            if granted is not None:  # else refused where it is planned
                yield Size(nominal=0.0, low=0.0, high=granted, basis="what may be filed")
        case AxialHole() | Screwed():
            return
        case _:
            assert_never(feature)
