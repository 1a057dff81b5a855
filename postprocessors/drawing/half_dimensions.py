"""Dimensions of turned work: every length from the faced end, as one would scribe it; diameters.

Lengths of the outside stand below the section, those of the inside above it; diameters stand to the
right, the smallest nearest, where their extension lines run free of the metal.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from pathgen.job.sizes import Size
from pathgen.job.turning.bored_tapers import BoredTaper
from pathgen.job.turning.dies import DieThread
from pathgen.job.turning.edges import TurnedEdge
from pathgen.job.turning.grooves import Groove
from pathgen.job.turning.inside import AxialHole, Bored, BoredStep, Recess
from pathgen.job.turning.knurls import Knurl
from pathgen.job.turning.screwed import Screwed
from pathgen.job.turning.turned import Parted, Turned, TurnedSetup, TurnedStep
from postprocessors.drawing.dimensions import (
    FIRST,
    STACK,
    Dimension,
    Margins,
    draw_stack,
    sized,
    stacked,
)
from postprocessors.drawing.half_scene import HalfScene
from postprocessors.drawing.lettering import ACROSS
from postprocessors.drawing.scale import Units, View
from postprocessors.drawing.sheet import Box, Sheet

OUT = 5.0  # mm of the sheet beyond the outermost dimension line
AXIS_ROOM = 6.0  # from the view to the nearest upright dimension line, mm of the sheet


class Along(NamedTuple):
    """A place that is measured from the faced end: how far, its words, how far from the axis."""

    far: float
    words: str
    radius: float


class Across(NamedTuple):
    """A diameter: where along the axis its extension lines begin, its words."""

    z: float
    diameter: float
    words: str


class HalfStacks(NamedTuple):
    """The dimensions about the section, in rows from the view outwards."""

    above: list[list[Dimension]]
    below: list[list[Dimension]]
    right: list[list[Dimension]]


def outside_lengths(setup: TurnedSetup, units: Units) -> Iterator[Along]:
    """Yield each length of the outside from the faced end."""
    steps = [step for each in setup.features if isinstance(each, Turned) for step in each.steps]
    for feature in setup.features:
        match feature:
            case Turned():
                yield from _shoulders(units, feature.steps)
            case Screwed(inside=False) | DieThread():
                yield _thread_length(units, feature)
            case Knurl():
                end = feature.start.nominal + feature.width.nominal
                yield _depth(units, feature.start, feature.land)
                yield Along(end, units.number(end), feature.land.middle / 2)
            case Groove():
                yield _depth(units, feature.right, feature.land)
                yield _depth(units, feature.left, feature.land)
            case TurnedEdge():
                far = feature.along - feature.face
                yield Along(far, units.number(far), feature.out)
            case Parted():
                radius = steps[-1].diameter.middle / 2 if steps else 0.0
                length = feature.length
                yield Along(length.nominal, sized(units, length, length.nominal), radius)
            case _:
                pass


def inside_lengths(setup: TurnedSetup, units: Units) -> Iterator[Along]:
    """Yield each depth of the inside from the faced end; what goes through has none."""
    for feature in setup.features:
        match feature:
            case AxialHole(depth=Size() as depth):
                yield _depth(units, depth, feature.diameter)
            case Bored():
                yield from _shoulders(units, feature.steps)
            case Recess():
                yield _depth(units, feature.start, feature.diameter)
                end = feature.start.nominal + feature.width.nominal
                yield Along(end, units.number(end), feature.diameter.middle / 2)
            case BoredTaper():
                yield Along(feature.along, units.number(feature.along), feature.foot)
            case Screwed(inside=True):
                yield _thread_length(units, feature)
            case _:
                pass


def _shoulders(units: Units, steps: Sequence[TurnedStep | BoredStep]) -> Iterator[Along]:
    """Yield how far each diameter of a profile goes; what goes through has no such length."""
    for step in steps:
        if step.to is not None:
            yield _depth(units, step.to, step.diameter)


def _thread_length(units: Units, feature: Screwed | DieThread) -> Along:
    to = feature.full_to if isinstance(feature, Screwed) else feature.length
    return Along(to, units.number(to), feature.thread.major / 2)


def _depth(units: Units, depth: Size, across: Size) -> Along:
    return Along(depth.nominal, sized(units, depth, depth.nominal), across.middle / 2)


def diameters(  # noqa: C901 - a case a kind
    setup: TurnedSetup, units: Units
) -> Iterator[Across]:
    """Yield each diameter, of the outside and of the inside, once."""
    for feature in setup.features:
        match feature:
            case Turned() | Bored():
                yield from _of_steps(units, feature.steps)
            case AxialHole():
                yield _across(units, feature.diameter, 0.0)
            case Recess():
                yield _across(units, feature.diameter, -feature.start.middle)
            case Groove():
                yield _across(units, feature.diameter, -feature.right.middle)
            case Screwed():
                yield Across(-feature.begins, feature.thread.major, feature.thread.designation)
            case BoredTaper():
                mouth = 2 * feature.out
                yield Across(0.0, mouth, ACROSS + units.number(mouth))
            case DieThread():
                yield Across(0.0, feature.thread.major, feature.thread.designation)
            case _:
                pass


def _of_steps(units: Units, steps: Sequence[TurnedStep | BoredStep]) -> Iterator[Across]:
    """Yield the diameters of a profile, each from its right-hand edge."""
    right = 0.0
    for step in steps:
        yield _across(units, step.diameter, right)
        right = right if step.to is None else -step.to.middle


def _across(units: Units, size: Size, z: float) -> Across:
    return Across(z, size.nominal, ACROSS + sized(units, size, size.nominal))


def half_dimensions(scene: HalfScene, view: View) -> HalfStacks:
    """Return all dimensions of a section, each figure once, stacked by side."""
    units = scene.units
    return HalfStacks(
        above=stacked(_level(view, inside_lengths(scene.setup, units), 1)),
        below=stacked(_level(view, outside_lengths(scene.setup, units), -1)),
        right=stacked(_upright(view, diameters(scene.setup, units))),
    )


def _level(view: View, places: Iterable[Along], sign: int) -> list[Dimension]:
    """Return lengths from the faced end, above the axis for +1 and below it for -1."""
    found: dict[tuple[float, str], Dimension] = {}
    first = 0.0
    for each in places:
        first = first or each.radius
        low, start = view.at(-each.far, sign * each.radius)
        high, face = view.at(0.0, sign * first)
        one = Dimension(low=low, high=high, from_low=start, from_high=face, words=each.words)
        if high - low > 1e-3:
            found.setdefault((round(each.far, 3), each.words), one)
    return list(found.values())


def _upright(view: View, across: Iterable[Across]) -> list[Dimension]:
    """Return diameters, their dimension lines upright."""
    found: dict[tuple[float, str], Dimension] = {}
    for each in across:
        start, high = view.at(each.z, -each.diameter / 2)
        _, low = view.at(each.z, each.diameter / 2)
        one = Dimension(
            low=low, high=high, from_low=start, from_high=start, words=each.words, upright=True
        )
        found.setdefault((round(each.diameter, 4), each.words), one)
    return list(found.values())


def room_about(stacks: HalfStacks, window: Box) -> Margins:
    """Return the room that the dimensions need about the section, mm of the sheet."""
    level = [each.reach for row in (*stacks.above, *stacks.below) for each in row]
    upright = [each.reach for row in stacks.right for each in row]
    return Margins(
        left=max([OUT, *(window.left - low for low, _ in level)]) + 1.0,
        top=max([_rows(stacks.above, FIRST), *(window.top - low for low, _ in upright)]) + 1.0,
        right=max([_rows(stacks.right, AXIS_ROOM), *(high - window.right for _, high in level)]),
        bottom=max([_rows(stacks.below, FIRST), *(high - window.bottom for _, high in upright)]),
    )


def _rows(rows: list[list[Dimension]], first: float) -> float:
    """Return the room of some rows beside the view."""
    return first + STACK * (len(rows) - 1) + OUT if rows else OUT


def draw_half_dimensions(sheet: Sheet, stacks: HalfStacks, window: Box) -> None:
    """Draw the stacks about a section."""
    draw_stack(sheet, stacks.above, window.top - FIRST, -1)
    draw_stack(sheet, stacks.below, window.bottom + FIRST, 1)
    draw_stack(sheet, stacks.right, window.right + AXIS_ROOM, 1)
