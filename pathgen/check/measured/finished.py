"""Finished sizes; and a slot as the moves leave it: walls, ends, floor, and where it lies."""

from __future__ import annotations

from dataclasses import dataclass

from pathgen.check.findings import FinishedSize, Quantity
from pathgen.check.wanted.outline import Place, nominal_place
from pathgen.job.sizes import Size
from pathgen.job.slot import Slot

NOISE = 0.001  # a size beyond its limit by less is on it: chords and sides lie that far off, mm


def holds(wanted: Size, least: float, most: float) -> bool:
    """Return whether a size keeps its limits."""
    return wanted.low - NOISE <= least and most <= wanted.high + NOISE


def finished_size(
    name: str, quantity: Quantity, wanted: Size, found: tuple[float, float], doubt: float
) -> FinishedSize:
    """Return a size of a feature as it was found, between two figures in either order; mm.

    Args:
        name: what the feature is called.
        quantity: which of its sizes.
        wanted: between which limits it is wanted.
        found: its least and its most.
        doubt: what the machine leaves open, half width.
    """
    least, most = min(found), max(found)
    return FinishedSize(
        feature=name,
        quantity=quantity,
        wanted=wanted,
        least=least,
        most=most,
        uncertainty=doubt,
        ok=holds(wanted, least, most),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Spans:
    """The outermost places cut, and the innermost where metal stands, on both sides; mm."""

    cut: tuple[float, float]
    metal: tuple[float, float]

    @property
    def least(self) -> float:
        """Return the least distance between metal and metal, mm."""
        return max(self.metal[1] - self.metal[0], 0.0)

    @property
    def most(self) -> float:
        """Return the greatest distance between the places cut, mm."""
        return max(self.cut[1] - self.cut[0], 0.0)

    @property
    def middles(self) -> tuple[float, float]:
        """Return the middle between the places cut and that between the metal, mm."""
        return sum(self.cut) / 2, sum(self.metal) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Finished:
    """A slot as the moves leave it."""

    slot: Slot
    across: Spans  # the walls, over the straight part
    along: Spans  # the ends
    straight: tuple[float, float]  # where the straight part begins and ends, along
    floor: tuple[float, float]  # its lowest and its highest place, z
    walls_to: float  # the level down to which walls and ends were measured, z
    sizes: tuple[FinishedSize, ...]

    def size(self, quantity: Quantity) -> FinishedSize | None:
        """Return one of its sizes; None when it has not got it."""
        return next((size for size in self.sizes if size.quantity == quantity), None)


def place_of_cut(finished: Finished) -> Place:
    """Return where a slot lies by what was cut, or where it should lie if it is cut too large."""
    return _place(finished, which=0)


def place_of_metal(finished: Finished) -> Place:
    """Return where a slot lies by the metal left, or where it should lie if it is too small."""
    return _place(finished, which=1)


def _place(finished: Finished, which: int) -> Place:
    slot, nominal = finished.slot, nominal_place(finished.slot)
    along, across = finished.along, finished.across
    fits = (
        (along.most <= slot.length.high + NOISE, across.most <= slot.width.high + NOISE),
        (along.least >= slot.length.low - NOISE, across.least >= slot.width.low - NOISE),
    )[which]
    open_end = slot.open_low or slot.open_high
    return Place(
        middle=along.middles[which] if fits[0] and not open_end else nominal.middle,
        across=across.middles[which] if fits[1] else nominal.across,
    )
