"""What a spindle speed is lowered for: factors and caps, each with its reason in words."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from pathgen.reckon.guards import above_zero, within

__all__ = [
    "FLY_CUTTER",
    "INTERRUPTED_CUT",
    "LONG_BORING_BAR",
    "Cap",
    "ReducedSpeed",
    "Reduction",
    "chuck_cap",
    "deep_hole",
    "machine_cap",
    "reaming_from_drilling",
    "reduced_speed",
    "screwcutting_from_turning",
    "unbalanced_cap",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reduction:
    """A factor on a speed, above 0 and at most 1, with its reason and where it is from."""

    reason: str
    factor: float
    source: str

    def __post_init__(self) -> None:
        """Refuse a factor that would raise the speed or stop it."""
        within(0, 1 + 1e-12, factor=self.factor)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cap:
    """A speed never to be passed, in rev/min, with its reason."""

    reason: str
    rpm: float

    def __post_init__(self) -> None:
        """Refuse a cap that is no speed."""
        above_zero(cap=self.rpm)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReducedSpeed:
    """A speed, in rev/min, with what lowered it, in order."""

    rpm: float
    reasons: tuple[str, ...]


INTERRUPTED_CUT = Reduction(
    reason="interrupted cut", factor=0.5, source="common practice, no source"
)
FLY_CUTTER = Reduction(
    reason="fly cutter, one tooth", factor=0.7, source="common practice, no source"
)
LONG_BORING_BAR = Reduction(
    reason="long boring bar", factor=0.5, source="from memory: 0.5 to 0.75 of turning"
)


def reaming_from_drilling() -> Reduction:
    """Return the reduction from the drilling speed of a hole to its reaming speed.

    >>> reaming_from_drilling().factor
    0.5
    """
    return Reduction(
        reason="reaming, from drilling", factor=0.5, source="from memory: one half to two thirds"
    )


def screwcutting_from_turning() -> Reduction:
    """Return the reduction from a turning speed to that for cutting a screw thread.

    >>> screwcutting_from_turning().factor
    0.25
    """
    return Reduction(
        reason="screwcutting, from turning", factor=0.25, source="from memory: 0.25 to 0.5"
    )


def deep_hole(depth: float, diameter: float) -> Reduction:
    """Return the reduction for drilling deep, or with a long drill.

    Args:
        depth: of the hole, or how far a long drill stands out where that is more; mm.
        diameter: of the drill, mm.

    Source: a drill maker's metal drilling guide: 0.9 at 3 diameters, 0.7 at 5; between and up to
    0.5 at 7 on the same line, then as it is (common practice, no source).

    >>> round(deep_hole(30.0, 6.0).factor, 3)
    0.7
    """
    above_zero(depth=depth, diameter=diameter)
    ratio = depth / diameter
    return Reduction(
        reason=f"hole {ratio:.3g} diameters deep",
        factor=min(1.0, max(0.5, 1.2 - 0.1 * ratio)),
        source="a drill maker's metal drilling guide",
    )


def chuck_cap(marked_rpm: float) -> Cap:
    """Return the cap that a chuck's marking sets.

    Source: chuck makers' manuals (Roehm, Grizzly): never above the speed marked on the chuck;
    grip falls as speed rises.

    >>> chuck_cap(2500.0)
    Cap(reason='speed marked on the chuck', rpm=2500.0)
    """
    return Cap(reason="speed marked on the chuck", rpm=marked_rpm)


def machine_cap(highest_rpm: float) -> Cap:
    """Return the cap that the machine's highest speed sets.

    >>> machine_cap(2000.0).rpm
    2000.0
    """
    return Cap(reason="highest speed of the machine", rpm=highest_rpm)


def unbalanced_cap(mass_kg: float, radius: float, force_n: float) -> Cap:
    """Return the cap at which work out of balance throws with a given force.

    Args:
        mass_kg: the part of the work that nothing opposite balances.
        radius: from the spindle axis to its centre of gravity, mm.
        force_n: the most it may throw with, N.

    Source: n = 60 / (2 pi) sqrt(F / (m r)).

    >>> round(unbalanced_cap(1.2, 60.0, 20.0).rpm, 4)
    159.1549
    """
    above_zero(mass_kg=mass_kg, radius=radius, force_n=force_n)
    return Cap(
        reason=f"{mass_kg:g} kg out of balance at {radius:g} mm throws with {force_n:.3g} N",
        rpm=30 / math.pi * math.sqrt(1000 * force_n / (mass_kg * radius)),
    )


def reduced_speed(
    rpm: float, reductions: Iterable[Reduction] = (), caps: Iterable[Cap] = ()
) -> ReducedSpeed:
    """Return a speed after all reductions and then the lowest cap, with the reasons that took hold.

    >>> reduced_speed(1000.0, (INTERRUPTED_CUT,), (chuck_cap(400.0), machine_cap(2000.0)))
    ReducedSpeed(rpm=400.0, reasons=('interrupted cut: x 0.5', 'speed marked on the chuck: 400'))
    """
    above_zero(rpm=rpm)
    reasons = []
    for reduction in reductions:
        if reduction.factor < 1:
            rpm *= reduction.factor
            reasons.append(f"{reduction.reason}: x {reduction.factor:.3g}")
    lowest = min(caps, key=lambda cap: cap.rpm, default=None)
    if lowest is not None and lowest.rpm < rpm:
        rpm = lowest.rpm
        reasons.append(f"{lowest.reason}: {lowest.rpm:.4g}")
    return ReducedSpeed(rpm=rpm, reasons=tuple(reasons))
