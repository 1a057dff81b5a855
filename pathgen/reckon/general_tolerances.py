"""Tolerances of sizes that carry none of their own: ISO 2768-1."""

from __future__ import annotations

import math

from pathgen.reckon.tables import table

CLASSES = {"f": "fine", "m": "medium", "c": "coarse", "v": "very coarse"}


def general_linear(size: float, tolerance_class: str) -> float:
    """Return the general tolerance, plus and minus in mm, of a length or diameter.

    Args:
        size: the size on the drawing, mm; 0.5 to 4000.
        tolerance_class: "f" fine, "m" medium, "c" coarse or "v" very coarse.

    Raises:
        ValueError: no such class, or the class has no figure for such a size.

    Source: ISO 2768-1:1989, table 1.

    >>> general_linear(35.0, "m")
    0.3
    """
    return _figure("linear", size, tolerance_class)


def general_chamfer(size: float, tolerance_class: str) -> float:
    """Return the general tolerance, plus and minus in mm, of an outside radius or a chamfer.

    Args:
        size: the radius, or the height of the chamfer, mm; from 0.5.
        tolerance_class: "f", "m", "c" or "v".

    Raises:
        ValueError: no such class, or the size is below 0.5 mm.

    Source: ISO 2768-1:1989, table 2.

    >>> general_chamfer(1.0, "m")
    0.2
    """
    return _figure("chamfer", size, tolerance_class)


def general_angle(shorter_side: float, tolerance_class: str) -> float:
    """Return the general tolerance, plus and minus in degrees, of an angle.

    Args:
        shorter_side: length of the angle's shorter side, mm.
        tolerance_class: "f", "m", "c" or "v".

    Raises:
        ValueError: no such class, or the length is not above zero.

    Source: ISO 2768-1:1989, table 3.

    >>> general_angle(25.0, "m")
    0.5
    """
    return _figure("angle", shorter_side, tolerance_class) / 60


def _figure(kind: str, size: float, tolerance_class: str) -> float:
    _refuse_class(tolerance_class)
    if not 0 < size < math.inf:
        raise ValueError(f"size {size:g} mm: give a length above zero")
    bands = table("general_tolerances")[kind]["bands"]
    for band in bands:
        lower_end = band is bands[0] and size == band["over"]
        if tolerance_class in band and (lower_end or band["over"] < size <= band["upto"]):
            return float(band[tolerance_class])
    held = [band for band in bands if tolerance_class in band]
    raise ValueError(
        f"size {size:g} mm: class {tolerance_class} of ISO 2768-1 ({kind}) holds "
        f"{_reach(held)}; write the tolerance at the size itself"
    )


def _reach(held: list[dict[str, float]]) -> str:
    first, last = held[0], held[-1]
    from_ = f"{'from' if first['over'] == 0.5 else 'over'} {first['over']:g} mm"
    return from_ if math.isinf(last["upto"]) else f"{from_} up to {last['upto']:g} mm"


def _refuse_class(tolerance_class: str) -> None:
    if tolerance_class in CLASSES:
        return
    from difflib import get_close_matches  # noqa: PLC0415 - for what is wrong only

    words = {word: letter for letter, word in CLASSES.items()} | {c: c for c in CLASSES}
    near = get_close_matches(tolerance_class.lower(), list(words), n=1)
    meant = f"; did you mean {words[near[0]]!r}?" if near else ""
    raise ValueError(
        f"{tolerance_class!r} is no class of ISO 2768-1; the classes are f (fine), m (medium), "
        f"c (coarse) and v (very coarse){meant}"
    )
