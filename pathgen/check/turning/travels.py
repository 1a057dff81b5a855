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
    swung: Slide | None = None  # one that takes the tool across and along at once
    along_it: tuple[float, float, float] = (0.0, 0.0, 0.0)  # where it stands; its least, its most
    by_it: tuple[float, float] = (0.0, 0.0)  # how far it has taken the tool, x and z
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

    def swing(self, name: str) -> None:
        """Swing a slide, which is set anew by it, as all others are."""
        self.spans.clear()
        self.swung = self.machine.slide_named(name)
        self.along_it, self.by_it = (0.0, 0.0, 0.0), (0.0, 0.0)

    def go(self, start: tuple[float, float], to: tuple[float, float]) -> Iterator[TooFar]:
        """Take the tool from a place to another, x and z; yield each slide that goes less, once."""
        across, along = to[0] - start[0], to[1] - start[1]
        if self.swung is not None and abs(across) > NEARLY and abs(along) > NEARLY:
            self.by_it = self.by_it[0] + across, self.by_it[1] + along
            yield from self._along_it(self.swung, math.copysign(math.hypot(across, along), along))
            return
        x, z = to[0] - self.by_it[0], to[1] - self.by_it[1]
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

    def _along_it(self, slide: Slide, way: float) -> Iterator[TooFar]:
        """Go along a slide that is swung."""
        at, low, high = self.along_it
        at += way
        low, high = min(low, at), max(high, at)
        self.along_it = at, low, high
        if high - low > slide.travel + NEARLY and slide.name not in self.told:
            self.told.add(slide.name)
            yield slide.name, high - low, slide.travel

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
