"""Whether the slides of a lathe go as far as a run asks: by the span of each, tool by tool."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

from pathgen.moves.moves import Axis
from pathgen.shop.machines import Machine
from pathgen.shop.slides import Slide

NEARLY = 1e-6  # mm

TooFar = tuple[str, float, float]  # the slide, how far it would go, how far it goes; mm


@dataclass(slots=True)
class Travels:
    """How far each slide has gone since it was last set: a slide may be set anywhere before.

    A tool that is fitted stands anywhere in its post, and a slide that is taken in hand was wound
    to where it has room; from then on it goes no further than its travel.
    """

    machine: Machine
    working: tuple[str, ...] = ()  # the slides that are worked by; empty: those of a control
    spans: dict[Axis, tuple[float, float]] = field(default_factory=dict)
    told: set[str] = field(default_factory=set)

    def work_by(self, slides: tuple[str, ...]) -> None:
        """Take slides in hand; each that was not is set anew."""
        taken = {self._axis(name) for name in slides if name not in self.working}
        self.working = slides
        for axis in taken:
            self.spans.pop(axis, None)

    def fit(self) -> None:
        """Begin anew with another tool."""
        self.spans.clear()

    def worked_by(self, axis: str) -> Slide | None:
        """Return the slide that is worked by along an axis; None by a control, or before any is."""
        slides = [each for each in self.machine.slides if each.name in self.working]
        return next((each for each in slides if each.axis == axis), None)

    def go(self, x: float, z: float) -> Iterator[TooFar]:
        """Take the tool to a place; yield each slide that does not go so far, once."""
        places: tuple[tuple[Axis, float], ...] = (("x", x), ("z", z))
        for axis, place in places:
            travel = self._travel(axis)
            if math.isnan(place) or travel is None:
                continue
            low, high = self.spans.get(axis, (place, place))
            low, high = min(low, place), max(high, place)
            self.spans[axis] = low, high
            name, most = travel
            if high - low > most + NEARLY and name not in self.told:
                self.told.add(name)
                yield name, high - low, most

    def _axis(self, name: str) -> Axis:
        slide = self.machine.slide_named(name)
        return "z" if slide is None else slide.axis

    def _travel(self, axis: Axis) -> tuple[str, float] | None:
        """Return what goes along an axis and how far, mm; None where nothing says."""
        lathe = self.machine.lathe
        if not self.machine.manual:
            named: dict[Axis, str] = {"x": "cross slide", "z": "carriage"}
            if lathe is None or not lathe.travel:
                return None
            return named[axis], lathe.travel[axis == "z"]
        slide = self.worked_by(axis)
        return None if slide is None else (slide.name, slide.travel)
