"""Knurls pressed into one diameter of a profile; lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass, field

from pathgen.input.where import Where
from pathgen.job.sizes import Size
from pathgen.reckon.knurls import Pattern, pressed_in, swelling

SHALLOWER, DEEPER = 0.65, 1.35  # of how deep its wheels go in: common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Knurl:
    """A knurl on one diameter of a profile, which was turned beforehand for whole teeth."""

    name: str
    of: str  # the profile
    step: int  # which of its diameters, from 1 at the right
    land: Size  # that diameter, before it is knurled
    pattern: Pattern
    pitch: float  # square to the teeth, as marked on the wheels
    teeth: int  # round the diameter
    start: Size  # from the right face to where it begins
    width: Size
    open_right: bool  # it begins where its diameter does: the wheels may stand over there
    where: Where = field(compare=False, repr=False)

    @property
    def end(self) -> float:
        """Return how far from the right face it goes at most, mm."""
        return self.start.high + self.width.high

    @property
    def depth(self) -> Size:
        """Return how deep the wheels are pressed in under the diameter that was turned, mm."""
        deep = pressed_in(self.pitch, self.pattern)
        return Size(nominal=deep, low=SHALLOWER * deep, high=DEEPER * deep, basis="common practice")

    @property
    def over(self) -> float:
        """Return what is about measured over the knurl, mm: the diameter, and its swelling."""
        return self.land.middle + swelling(self.pitch, self.pattern)
