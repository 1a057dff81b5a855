"""What is cut when: each cut of a run as a stretch that is as wide as its cutter."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from pathgen.moves.actions import FitCutter, FitTouching, SetDiameter
from pathgen.moves.moves import Arc, Drill, Feed, Rapid, end_of
from pathgen.moves.plan import Run
from pathgen.shop.cutters import Cutter
from postprocessors.drawing.paths import NOWHERE, Place, points_of

Point3 = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One cutting move: the way of the axis in plan, how low it goes, how wide it cuts; mm."""

    number: int  # of the step or the line
    points: tuple[Place, ...]  # one for a way straight down
    low: float
    width: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """Where the tool is after a step or a line, mm; nan where that is not known."""

    number: int
    place: Point3
    diameter: float  # of what is in the spindle, 0 for nothing


def stages_of(
    run: Run, cutters: Mapping[str, Cutter], top: float
) -> tuple[tuple[Cut, ...], tuple[Stand, ...]]:
    """Return the cuts of a run in order, and where the tool is after each of its steps or lines.

    Args:
        run: what a program or a sheet does.
        cutters: by name, for the points of drills: a spot is no wider than it is deep.
        top: z of the upper face, mm.
    """
    following = _Following(cutters, top)
    for number, item in zip(run.numbers, run.items, strict=True):
        match item:
            case FitCutter() | FitTouching():
                following.fit(item)
            case SetDiameter():
                following.widen(item.diameter)
            case Rapid():
                following.place = end_of(item)
            case Feed() | Arc() | Drill():
                following.cut(number, item)
            case _:
                pass
        following.stands[number] = following.stand(number)
    return tuple(following.cuts), tuple(following.stands.values())


class _Following:
    """Follows a run: where the tool is, what it has cut."""

    def __init__(self, cutters: Mapping[str, Cutter], top: float) -> None:
        self.cuts: list[Cut] = []
        self.stands: dict[int, Stand] = {}
        self.place: Point3 = NOWHERE
        self._cutters = cutters
        self._top = top
        self._diameter = 0.0
        self._name = ""

    def fit(self, fitted: FitCutter | FitTouching) -> None:
        """Put a tool into the spindle; how high its end stands is then not known."""
        self._diameter, self._name = fitted.diameter, fitted.name
        self.place = (*self.place[:2], math.nan)

    def widen(self, diameter: float) -> None:
        """Set what a boring head cuts."""
        self._diameter = diameter

    def cut(self, number: int, move: Feed | Arc | Drill) -> None:
        """Add a cutting move."""
        start, self.place = self.place, end_of(move)
        if isinstance(move, Drill):
            points, low = [(move.x, move.y)], move.bottom
        else:
            points, low = list(points_of(start[:2], move)), move.z
            low = min([low, *(z for z in start[2:] if math.isfinite(z) and len(points) > 1)])
        known = all(math.isfinite(each) for point in points for each in point)
        if known and low < self._top:
            width = self._diameter if len(points) > 1 else self._mouth(low)
            self.cuts.append(Cut(number=number, points=tuple(points), low=low, width=width))

    def _mouth(self, low: float) -> float:
        """Return how wide a way straight down to a height cuts at the upper face."""
        cutter = self._cutters.get(self._name)
        if cutter is None or self._diameter > cutter.diameter:
            return self._diameter
        return 2 * cutter.radius_at(self._top - low)

    def stand(self, number: int) -> Stand:
        """Return where the tool is now."""
        return Stand(number=number, place=self.place, diameter=self._diameter)


def upto(cuts: Iterable[Cut], number: int) -> tuple[Cut, ...]:
    """Return the cuts made by steps or lines before a number."""
    return tuple(cut for cut in cuts if cut.number < number)
