"""Sizes with their limits: a size's own limits, or those of the general tolerance."""

from __future__ import annotations

from dataclasses import dataclass

from pathgen.input.getters import Table
from pathgen.reckon.general_tolerances import general_linear

LEAST_TOLERANCED = 0.5  # the general tolerances begin here; smaller distances take the first row


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """A wanted size between its limits, mm, and where the limits come from."""

    nominal: float
    low: float
    high: float
    basis: str  # "own limits", "ISO 2768-1 m"

    @property
    def middle(self) -> float:
        """Return the middle of the limits, which planners aim at, mm."""
        return (self.low + self.high) / 2


def general_size(nominal: float, tolerance_class: str) -> Size:
    """Return a size with the limits of ISO 2768-1; ValueError beyond the tables' range.

    A distance under 0.5 mm (a position on the datum itself, say) takes the figure of the first row.
    """
    plus_minus = general_linear(max(abs(nominal), LEAST_TOLERANCED), tolerance_class)
    return Size(
        nominal=nominal,
        low=nominal - plus_minus,
        high=nominal + plus_minus,
        basis=f"ISO 2768-1 {tolerance_class}",
    )


def read_size(table: Table, key: str, nominal: float, tolerance_class: str) -> Size:
    """Read ``KEY_limits`` beside an already read size, else take the general tolerance."""
    limits_key = f"{key}_limits"
    if table.has(limits_key):
        low, high = table.lengths(limits_key, count=2)
        if not table.faulty and not low < high:
            table.wrong(limits_key, f"{low:g} to {high:g} mm", "give the smaller limit first")
        if not table.faulty and not low <= nominal <= high:
            table.wrong(
                limits_key,
                f"{low:g} to {high:g} mm leaves out the size itself, {nominal:g} mm",
                f"give limits on both sides of {nominal:g} mm, or mend the size",
            )
        return Size(nominal=nominal, low=low, high=high, basis="own limits")
    return _general(table, key, nominal, tolerance_class)


def read_position(table: Table, key: str, nominal: float, tolerance_class: str) -> Size:
    """Return the limits of a position: ``position_tolerance`` (plus or minus), else general."""
    plus_minus = table.optional_length("position_tolerance", above=0)
    if plus_minus is None:
        return _general(table, key, nominal, tolerance_class)
    return Size(
        nominal=nominal, low=nominal - plus_minus, high=nominal + plus_minus, basis="own limits"
    )


def _general(table: Table, key: str, nominal: float, tolerance_class: str) -> Size:
    try:
        return general_size(nominal, tolerance_class)
    except ValueError as error:
        table.wrong(key, str(error), f"give {key}_limits")
        return Size(nominal=nominal, low=nominal, high=nominal, basis="none")
