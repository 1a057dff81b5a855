"""Which slides of a lathe a setup is done with."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import assert_never

from pathgen.input.where import Refusal
from pathgen.job.ball_neck import BallNeck
from pathgen.job.bored_tapers import BoredTaper
from pathgen.job.centre_holes import CentreHole
from pathgen.job.dies import DieThread
from pathgen.job.faceplate import Segment
from pathgen.job.grooves import Groove
from pathgen.job.inside import AxialHole, Bored, Recess, depth_of
from pathgen.job.knurls import Knurl
from pathgen.job.screwed import Screwed
from pathgen.job.sizes import Size
from pathgen.job.turned import Parted, Turned, TurnedFeature, TurnedSetup
from pathgen.job.turned_dish import TurnedDish
from pathgen.job.turned_edges import TurnedEdge
from pathgen.plan.turning.bench import CLEAR, TurningBench, leaves_open, on_shoulders_by
from pathgen.shop.machines import Machine
from pathgen.shop.slides import Slide

RUN_UP = 3 * CLEAR  # mm of travel to the right of the faced end
LONG = 25.0  # mm: to change over for shorter cuts is not worth it; common practice, no source
MOST_ON_SHOULDERS = 0.5  # mm that one cut then takes off a shoulder: about a roughing cut
SHARE = 0.7  # of half a tolerance of length that a dial may leave open


def slides_for(setup: TurnedSetup, machine: Machine) -> tuple[str, ...]:
    """Return the names of the slides that a setup is done with: the cross slide, and one along.

    Of those along the axis the one that tells lengths the finest, of those that go far enough;
    beside a centre that which goes furthest, so that no other is changed over to there.

    Raises:
        Refusal: none does.
    """
    assert machine.lathe is not None
    if not machine.manual:
        return ()
    span, tightest = _span(setup), _tightest(setup)
    between = math.inf if tightest is None else tightest.high - tightest.low
    lengthwise = [
        slide
        for slide in machine.slides
        if slide.axis == "z" and slide.name != machine.lathe.tailstock
    ]
    swung = swung_slide(setup, machine)  # for which another is better, all the setup through
    finest = None
    for spared in dict.fromkeys((swung, "")):
        reaching = [each for each in lengthwise if each.travel >= span and each.name != spared]
        finest = min(reaching, key=leaves_open, default=None)
        setting = [slide for slide in reaching if _between(slide) <= between]
        if setup.hold.centre and setting:
            finest = max(setting, key=lambda slide: slide.travel)
        if finest is not None and setting:
            return machine.slide("x").name, finest.name
    raise Refusal(
        (tightest and tightest.where) or setup.where,
        f"set a length between limits {between:.3f} mm apart, the slide going"
        f" {span:.1f} mm in all, by the {' or '.join(slide.name for slide in lengthwise)}",
        _what_would_do(finest),
    )


def _what_would_do(finest: Slide | None) -> str:
    """Return what would do instead, with the finest of the slides that go so far."""
    finer = "use a lathe with a finer dial along its axis"
    if finest is None:
        return "turn less far along, or use a lathe whose slides go further"
    least = math.ceil(_between(finest) * 1000) / 1000
    return f"give {least:.3f} mm between its limits or more, or {finer}"


def _between(slide: Slide) -> float:
    """Return how far apart the limits of a length have to be for a slide to set it, mm."""
    return 2 * leaves_open(slide) / SHARE


def _span(setup: TurnedSetup) -> float:
    """Return how far the slide that sets lengths goes in all, mm."""
    ends = [end for each in setup.features if (end := end_by_the_post(each)) is not None]
    return -min(ends, default=0.0) + RUN_UP + setup.facing


def _tightest(setup: TurnedSetup) -> Size | None:
    """Return the length with the least between its limits; None where no length is set."""
    lengths = [size for each in setup.features for size in _lengths(each)]
    if setup.overall is not None:
        lengths.append(setup.overall)
    return min(lengths, key=lambda size: size.high - size.low, default=None)


def swung_slide(setup: TurnedSetup, machine: Machine) -> str:
    """Return the name of the slide that is swung for a setup; empty where none is."""
    wanted = any(is_slanted(each) for each in setup.features)
    return machine.lathe.compound if wanted and machine.manual and machine.lathe else ""


def is_slanted(feature: TurnedFeature) -> bool:
    """Return whether a feature is cut by a compound that is swung, on a lathe with handles."""
    if isinstance(feature, TurnedEdge):
        return feature.way == "compound"
    if isinstance(feature, Screwed):
        return feature.by_compound
    return isinstance(feature, BoredTaper)


def once_swung(bench: TurningBench, machine: Machine, after: TurnedFeature) -> TurningBench:
    """Return the bench as it is once the compound is swung for a feature: lengths by the carriage.

    Raises:
        Refusal: a length that is set after it is finer than the carriage tells.
    """
    across, carriage = machine.slide("x"), machine.slide("z")
    features = bench.setup.features
    for feature in features[features.index(after) + 1 :]:
        for size in _lengths(feature):
            if _between(carriage) > size.high - size.low:
                raise Refusal(
                    feature.where,
                    f"set a length between limits {size.high - size.low:.3f} mm apart by the"
                    f" {carriage.name}, the compound being swung for {after.name!r}",
                    f"put it before {after.name!r}, or give it wider limits",
                )
    by = machine.with_slides((across.name, carriage.name))
    return replace(bench, machine=by, carriage=None)


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
        if slide.axis == "z"
        and slide.power_a_turn
        and slide.travel >= end + RUN_UP
        and on_shoulders_by(slide) <= MOST_ON_SHOULDERS
    )
    return next(fitting, None)


def end_by_the_post(feature: TurnedFeature) -> float | None:
    """Return the z to which the post takes a tool for a feature, mm; None where nothing says."""
    match feature:
        case Turned() | Segment():
            return feature.end
        case Parted():
            return -feature.length.high
        case Screwed():
            return feature.end
        case Bored() | Recess():
            deep = depth_of(feature)
            return None if deep is None else -deep
        case (
            AxialHole()
            | TurnedEdge()
            | Groove()
            | CentreHole()
            | Knurl()
            | DieThread()
            | TurnedDish()
            | BallNeck()
            | BoredTaper()
        ):
            return None
        case _:
            assert_never(feature)


def _lengths(feature: TurnedFeature) -> Iterator[Size]:  # noqa: C901 - a case a kind
    """Yield the lengths of a feature that are set along the axis by the post."""
    match feature:
        case Turned():
            yield from (step.to for step in feature.steps)
        case Parted():
            yield feature.length
        case Bored():
            yield from (step.to for step in feature.steps if step.to is not None)
        case Recess() | Knurl():
            yield from (feature.start, feature.width)
        case Groove():
            yield feature.width
            if not feature.foot:
                yield feature.right
        case (
            TurnedEdge(file_to_line=granted)
            | TurnedDish(file_to_line=granted)
            | BallNeck(file_to_line=granted)
        ):
            if granted is not None:  # else refused where it is planned
                where = feature.where.at("file_to_line")
                yield Size(nominal=0.0, low=0.0, high=granted, basis="to file", where=where)
        case AxialHole() | Screwed() | CentreHole() | Segment() | DieThread() | BoredTaper():
            return
        case _:
            assert_never(feature)
