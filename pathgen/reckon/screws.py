"""What is cut for a metric screw: the hole that clears it, and the mouth that takes its head."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from pathgen.reckon.fits import class_limits
from pathgen.reckon.tables import table

Clearance = Literal["close", "medium", "coarse"]
CLEARANCES: tuple[Clearance, ...] = ("close", "medium", "coarse")
CLASSES: dict[Clearance, str] = {"close": "H12", "medium": "H13", "coarse": "H14"}  # ISO 273
ROUND_THE_HEAD = 0.3  # mm on diameter, at least, of a counterbore (common practice, no source)
WIDER = 1.0  # mm that a counterbore may be wider than its standard has it (common practice)
FLUSH = 0.1  # mm that a head lies below the face at least (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Between:
    """A size with its limits, mm."""

    nominal: float
    low: float
    high: float


def clearance_hole(screw: str, clearance: Clearance = "medium") -> Between:
    """Return the hole that clears a metric screw, with its limits, mm.

    Args:
        screw: "M6".
        clearance: how freely.

    Raises:
        ValueError: the screw is not in the tables; says which are.

    Source: ISO 273, limits H12, H13, H14.

    >>> hole = clearance_hole("M6")
    >>> hole.nominal, hole.low, round(hole.high, 2)
    (6.6, 6.6, 6.82)
    """
    nominal: float = _row("clearance", screw)[CLEARANCES.index(clearance)]
    limits = class_limits(nominal, CLASSES[clearance])
    return Between(nominal=nominal, low=limits.smallest, high=limits.largest)


def cap_counterbore(screw: str) -> tuple[Between, Between]:
    """Return the diameter and the depth of the counterbore for a cap screw's head, mm.

    The diameter leaves room round the largest head; a cutter a little wider than the standard's
    will do, since it holds nothing. The head lies below the face.

    Raises:
        ValueError: the screw is not in the tables; says which are.

    Source: DIN 974-1 (memory); heads of ISO 4762.

    >>> across, deep = cap_counterbore("M6")
    >>> across.nominal, round(across.low, 2), across.high, deep.nominal, deep.low
    (11.0, 10.52, 12.0, 6.4, 6.1)
    """
    row = _row("cap", screw)
    wide, deep = row["counterbore"], row["height"] + row["deeper"]
    return (
        Between(nominal=wide, low=row["head"] + ROUND_THE_HEAD, high=wide + WIDER),
        Between(nominal=deep, low=row["height"] + FLUSH, high=deep + row["deeper"] - FLUSH),
    )


def countersunk_head(screw: str) -> float:
    """Return the diameter, mm, that a 90 degree countersink has for a countersunk screw's head.

    Raises:
        ValueError: the screw is not in the tables; says which are.

    Source: ISO 7721, theoretical largest diameter of the head.

    >>> countersunk_head("M6")
    12.6
    """
    found: float = _row("countersunk", screw)
    return found


def _row(name: str, screw: str) -> Any:
    rows = table("screws")[name]
    if screw not in rows:
        raise ValueError(f"{screw!r} is not in the tables; they have {', '.join(rows)}")
    return rows[screw]
