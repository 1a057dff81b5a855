"""Reading holes for a screw by its name: what clears it, and what takes its head."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pathgen.input.getters import Table
from pathgen.job.holes import Counterbore, Countersink
from pathgen.job.sizes import Size, general_size
from pathgen.reckon.screws import (
    CLEARANCES,
    Between,
    cap_counterbore,
    clearance_hole,
    countersunk_head,
)

Head = Literal["plain", "cap", "countersunk"]
HEADS: tuple[Head, ...] = ("plain", "cap", "countersunk")
BESIDE = ("diameter", "diameter_limits", "diameter_fit", "tapped", "finish")


@dataclass(frozen=True, slots=True, kw_only=True)
class ForScrew:
    """What a screw's name stands for."""

    name: str  # "M6 cap screw"
    bore: Size
    countersink: Countersink | None
    counterbore: Counterbore | None


def read_screw(table: Table, tolerance_class: str) -> ForScrew | None:
    """Read ``screw``, ``clearance`` and ``head``; None when anything is wrong."""
    screw = table.text("screw").strip().upper()
    clearance = table.choice("clearance", CLEARANCES, default="medium")
    head = table.choice("head", HEADS, default="plain")
    if table.faulty:
        return None
    key = "screw"
    try:
        bore = _size(clearance_hole(screw, clearance), f"ISO 273 {clearance}, {screw}")
        key = "head"
        return ForScrew(
            name=f"{screw} screw" if head == "plain" else f"{screw} {head} screw",
            bore=bore,
            countersink=_countersink(screw, tolerance_class) if head == "countersunk" else None,
            counterbore=_counterbore(screw) if head == "cap" else None,
        )
    except ValueError as error:
        right = "give diameter and counterbore or countersink in figures"
        table.wrong(key, str(error), right)
        return None


def _counterbore(screw: str) -> Counterbore:
    across, deep = cap_counterbore(screw)
    basis = f"DIN 974-1, {screw}"
    return Counterbore(diameter=_size(across, basis), depth=_size(deep, basis))


def _countersink(screw: str, tolerance_class: str) -> Countersink:
    return Countersink(
        diameter=general_size(countersunk_head(screw), tolerance_class), angle_deg=90.0
    )


def _size(found: Between, basis: str) -> Size:
    return Size(nominal=found.nominal, low=found.low, high=found.high, basis=basis)


def guard_screw(table: Table) -> None:
    """Record keys that do not go with a screw, or only with one."""
    if table.has("screw"):
        for key in BESIDE:
            if table.has(key):
                table.wrong(key, "given beside screw", "leave it out: the screw says it")
        mouths = [key for key in ("countersink", "counterbore", "spotface") if table.has(key)]
        if table.has("head") and mouths:
            table.wrong(mouths[0], "given beside head", "leave out one of the two")
        return
    for key in ("clearance", "head"):
        if table.has(key):
            table.wrong(key, "given without screw", "name the screw as well")
