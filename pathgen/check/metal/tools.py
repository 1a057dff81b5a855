"""The cutters of a run as the shop has them: what they sweep and what they may be asked to do."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pathgen.moves.actions import FitCutter, SetDiameter
from pathgen.moves.plan import Run
from pathgen.shop.boring import BoringHead
from pathgen.shop.cutters import MILLS, Cutter, Undercut

MEASURED_ALIKE = 0.0006  # two diameters that differ by less, mm, are one written differently


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """A cutter in the spindle; lengths in mm."""

    fit: FitCutter
    cutter: Cutter | None  # None: the crib has none of that name
    diameter: float  # that it cuts in this case
    setting: SetDiameter | None = None  # of a boring head, once it is set

    @property
    def radius(self) -> float:
        """Return half of what it cuts, mm."""
        return self.diameter / 2

    @property
    def spread(self) -> float:
        """Return how fast the point widens, mm of radius a mm of height; inf for a flat end.

        >>> fit = FitCutter(number=1, name="6", diameter=6.0)
        >>> Tool(fit=fit, cutter=None, diameter=6.0).spread
        inf
        """
        return math.inf if self.cutter is None else self.cutter.spread

    @property
    def ball(self) -> bool:
        """Return whether it ends in a ball as wide as itself."""
        return self.cutter is not None and self.cutter.ball > 0

    @property
    def tip_radius(self) -> float:
        """Return the radius of the flat that its point begins with, mm."""
        return 0.0 if self.cutter is None else self.cutter.tip / 2

    @property
    def point_length(self) -> float:
        """Return the height of the point, mm; 0 for a flat end."""
        return (self.radius - self.tip_radius) / self.spread

    @property
    def mills(self) -> bool:
        """Return whether it may be fed sideways; unknown cutters are given the benefit."""
        return self.cutter is None or self.cutter.kind in MILLS

    @property
    def undercut(self) -> Undercut | None:
        """Return the head and the neck of one that is narrower above its flutes."""
        return None if self.cutter is None else self.cutter.undercut

    @property
    def head(self) -> BoringHead | None:
        """Return what it is as a boring head, None for any other cutter."""
        return None if self.cutter is None else self.cutter.head

    @property
    def drills(self) -> bool:
        """Return whether it is a twist drill, which needs metal all round it."""
        return self.cutter is not None and self.cutter.kind == "drill"


def set_to(tool: Tool, setting: SetDiameter) -> Tool:
    """Return the cutter in the spindle once its diameter is set; no other than a head can be."""
    return tool if tool.head is None else replace(tool, diameter=setting.cuts, setting=setting)


def tool_of(fit: FitCutter, run: Run, cutters: Sequence[Cutter]) -> Tool:
    """Return the cutter that an action fits, as measured, and wider where the case says so."""
    tool = stated_tool(fit, cutters)
    wider = sum(each.much for each in run.wider if each.cutter == fit.number)
    return replace(tool, diameter=tool.diameter + wider)


def stated_tool(fit: FitCutter, cutters: Sequence[Cutter]) -> Tool:
    """Return the cutter that an action fits, as measured off it."""
    cutter = next((each for each in cutters if each.name == fit.name), None)
    diameter = fit.diameter if cutter is None else cutter.diameter
    if cutter is not None and cutter.thread is not None:
        diameter = cutter.thread.minor_internal  # the thread itself is not judged as metal
    return Tool(fit=fit, cutter=cutter, diameter=diameter)
