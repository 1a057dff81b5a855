"""The part to be measured, with what the machine leaves open of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, NamedTuple, TypeAlias

from shapely.geometry.base import BaseGeometry

from pathgen.shop.axial_tools import AxialKind
from pathgen.shop.turning_tools import TurningKind

EDGE = 0.05  # mm off an edge or a corner, where a size is not judged
RIM = 0.1  # mm within the rim of a shoulder: its diameter may come out smaller by that
NEAR = 3.0  # mm to both sides of where a shoulder is looked for

ToolKind: TypeAlias = TurningKind | AxialKind | Literal["swung"]  # a tool by a slide that is so


class Open(NamedTuple):
    """What is open of where a kind of tool is taken along an axis, mm."""

    zero: float  # of its zero there
    setting: float  # of one position, by the slide that it was taken to it with


Opens = Mapping[tuple[ToolKind, str], Open]


NOTHING = Open(0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """The part to be measured, and what the machine leaves open; mm."""

    part: BaseGeometry
    opens: Opens
    swung_deg: float = 0.0  # what is open of the angle of a slide that was swung
    run_out: float | None = None  # that indicating leaves, in all, of work turned before
    taper: float = 0.0  # by which a diameter may differ along work that a centre holds

    def open(self, kind: ToolKind, axis: str) -> float:
        """Return what is open of a place that a tool was taken to, counted from its zero."""
        return sum(self.opens.get((kind, axis), NOTHING))

    def between(self, kind: ToolKind, axis: str) -> float:
        """Return what is open of how far apart two places are that a tool was taken to."""
        return 2 * self.opens.get((kind, axis), NOTHING).setting
