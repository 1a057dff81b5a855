"""Sizes with their limits: a size's own limits, or those of the general tolerance."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from pathgen.input.getters import Table
from pathgen.input.where import Where, quoted
from pathgen.reckon.fits import class_limits
from pathgen.reckon.general_tolerances import general_linear

GENERAL = "ISO 2768-1"
LEAST_TOLERANCED = 0.5  # the general tolerances begin here; smaller distances take the first row


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """A wanted size between its limits, mm, and where the limits come from."""

    nominal: float
    low: float
    high: float
    basis: str  # "own limits", "ISO 286 H9", "free slide on 9.9 mm", "ISO 2768-1 m"
    where: Where | None = field(default=None, compare=False, repr=False)  # of what limits it

    @property
    def own(self) -> bool:
        """Return whether its limits are meant for this very size, not for all of the job."""
        return not self.basis.startswith(GENERAL)

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
        basis=f"{GENERAL} {tolerance_class}",
    )


def read_size(table: Table, key: str, nominal: float, tolerance_class: str) -> Size:
    """Read ``KEY_limits`` or ``KEY_fit`` beside an already read size that has room in it.

    Without either of them the general tolerance is taken.
    """
    return _read(table, key, nominal, tolerance_class, _of_hole)


def read_outside_size(table: Table, key: str, nominal: float, tolerance_class: str) -> Size:
    """Read ``KEY_limits`` or ``KEY_fit`` of a size that goes into something, such as a shaft's."""
    return _read(table, key, nominal, tolerance_class, _of_shaft)


def _read(
    table: Table,
    key: str,
    nominal: float,
    tolerance_class: str,
    of_class: Callable[[Table, str, float], Size],
) -> Size:
    """Read the limits of a size, or those of its class; else take the general tolerance."""
    limits_key, fit_key = f"{key}_limits", f"{key}_fit"
    if table.has(limits_key) and table.has(fit_key):
        table.wrong(fit_key, f"given beside {limits_key}", "leave out one of the two")
    if table.has(limits_key):
        return _own(table, limits_key, nominal)
    if table.has(fit_key):
        return of_class(table, fit_key, nominal)
    advice = f"give {limits_key} or {fit_key}"
    return _general(table, key, nominal, tolerance_class, advice)


def _own(table: Table, limits_key: str, nominal: float) -> Size:
    """Read the smallest and largest that a size may be."""
    low, high = table.lengths(limits_key, count=2)
    if not table.faulty and not low < high:
        table.wrong(limits_key, table.say(low, high), "give the smaller limit first")
    if not table.faulty and not low <= nominal <= high:
        table.wrong(
            limits_key,
            f"{table.say(low, high)} leaves out the size itself, {table.say(nominal)}",
            f"give limits on both sides of {table.say(nominal)}, or mend the size",
        )
    where = table.where(limits_key)
    return Size(nominal=nominal, low=low, high=high, basis="own limits", where=where)


def _of_hole(table: Table, fit_key: str, nominal: float) -> Size:
    """Read the ISO 286 class of a size with room in it."""
    name = table.text(fit_key)
    if name[:1].islower():
        table.wrong(
            fit_key,
            f"{quoted(name)} is in small letters, as for a shaft",
            "this size has room in it: write its class in capitals, as for a hole",
        )
    return _of_class(table, fit_key, nominal, name)


def _of_shaft(table: Table, fit_key: str, nominal: float) -> Size:
    """Read the ISO 286 class of a size that goes into something."""
    name = table.text(fit_key)
    if name[:1].isupper():
        table.wrong(
            fit_key,
            f"{quoted(name)} is in capitals, as for a hole",
            "this size goes into something: write its class in small letters, as for a shaft",
        )
    return _of_class(table, fit_key, nominal, name)


def _of_class(table: Table, fit_key: str, nominal: float, name: str) -> Size:
    """Return a size of an ISO 286 class; the class may leave out the nominal size, as F7 does."""
    low = high = nominal
    if not table.faulty:
        try:
            limits = class_limits(nominal, name)
            low, high = limits.smallest, limits.largest
        except ValueError as error:
            wrong, _, right = str(error).partition("; ")
            table.wrong(fit_key, wrong, right)
    where = table.where(fit_key)
    return Size(nominal=nominal, low=low, high=high, basis=f"ISO 286 {name}", where=where)


def read_position(table: Table, key: str, nominal: float, tolerance_class: str) -> Size:
    """Return the limits of a position: ``position_tolerance`` (plus or minus), else general."""
    plus_minus = table.optional_length("position_tolerance", above=0)
    if plus_minus is None:
        return _general(table, key, nominal, tolerance_class, "give position_tolerance")
    return Size(
        nominal=nominal,
        low=nominal - plus_minus,
        high=nominal + plus_minus,
        basis="own limits",
        where=table.where("position_tolerance"),
    )


def _general(table: Table, key: str, nominal: float, tolerance_class: str, advice: str) -> Size:
    try:
        return replace(general_size(nominal, tolerance_class), where=table.where(key))
    except ValueError as error:
        table.wrong(key, str(error), advice)
        return Size(nominal=nominal, low=nominal, high=nominal, basis="none")
