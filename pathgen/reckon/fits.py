"""Limits of sizes, fits of two parts, and what the trade's words for play are taken to mean."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Literal

from pathgen.reckon.iso286 import deviations
from pathgen.reckon.tables import table

FitKind = Literal["clearance", "transition", "interference"]
NOISE = 1e-9  # mm; of float sums, far below any deviation in the tables


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """A size and how far it may stray; deviations in mm from the nominal size, with their sign."""

    nominal: float
    lower: float
    upper: float

    def __post_init__(self) -> None:
        if not self.lower <= self.upper:
            raise ValueError(f"lower deviation {self.lower:g} mm is above the upper {self.upper:g}")

    @property
    def smallest(self) -> float:
        """Lower limit of the size, mm."""
        return self.nominal + self.lower

    @property
    def largest(self) -> float:
        """Upper limit of the size, mm."""
        return self.nominal + self.upper

    @property
    def middle(self) -> float:
        """Middle of the limits, mm: what to aim at."""
        return self.nominal + (self.lower + self.upper) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Play:
    """Clearance on diameter, or side to side in all, mm; negative is interference."""

    smallest: float
    largest: float
    source: str

    def __post_init__(self) -> None:
        if not self.smallest <= self.largest:
            raise ValueError(f"play of {self.smallest:g} to {self.largest:g} mm: smallest first")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """A hole and the shaft in it; clearances in mm on diameter, negative is interference."""

    hole: Limits
    shaft: Limits

    @property
    def smallest_clearance(self) -> float:
        """Clearance of the largest shaft in the smallest hole, mm."""
        return self.hole.nominal - self.shaft.nominal + (self.hole.lower - self.shaft.upper)

    @property
    def largest_clearance(self) -> float:
        """Clearance of the smallest shaft in the largest hole, mm."""
        return self.hole.nominal - self.shaft.nominal + (self.hole.upper - self.shaft.lower)

    @property
    def kind(self) -> FitKind:
        """Whether it always moves, always grips, or may do either."""
        if self.smallest_clearance >= -NOISE:
            return "clearance"
        return "interference" if self.largest_clearance <= NOISE else "transition"


# ---------------------------------------------------------------- standard fits

_SIZE = r"(?P<size>\d*\.?\d+|\d+\.) ?(?:mm ?)?"
_SIZE_AND_CLASS = re.compile(_SIZE + r"(?P<wanted>[A-Za-z]+ ?\d+)")
_FIT = re.compile(_SIZE + r"(?P<hole>[A-Z]+ ?\d+) ?/ ?(?P<shaft>[a-z]+ ?\d+)")


def limits(text: str) -> Limits:
    """Return the limits of a size with its class, as "32 H7" (hole) or "32 g6" (shaft).

    Raises:
        ValueError: not a size with a class, or outside the tables; names the nearest class.

    Source: ISO 286-1:2010, tables 1 to 5.

    >>> hole = limits("32 H7")
    >>> hole.smallest, hole.largest
    (32.0, 32.025)
    """
    found = _SIZE_AND_CLASS.fullmatch(text.strip())
    if not found:
        raise ValueError(f"{text!r} is no size with its class; write it as '32 H7' or '32 g6'")
    return class_limits(float(found["size"]), found["wanted"])


def class_limits(nominal: float, tolerance_class: str) -> Limits:
    """Return the limits of a nominal size, mm, in a class such as "H7" or "g6".

    Raises:
        ValueError: outside the tables; names the nearest class.

    Source: ISO 286-1:2010, tables 1 to 5.
    """
    lower, upper = deviations(nominal, tolerance_class)
    return Limits(nominal=nominal, lower=lower, upper=upper)


def fit(text: str) -> Fit:
    """Return the hole and the shaft of a fit written as "32 H7/g6".

    Raises:
        ValueError: not a fit, or a class outside the tables.

    >>> slide = fit("32 H7/g6")
    >>> round(slide.smallest_clearance, 4), round(slide.largest_clearance, 4), slide.kind
    (0.009, 0.05, 'clearance')
    """
    found = _FIT.fullmatch(text.strip())
    if not found:
        raise ValueError(
            f"{text!r} is no fit; write the size, the hole in capitals and the shaft in small "
            "letters, as '32 H7/g6'"
        )
    size = float(found["size"])
    return Fit(hole=class_limits(size, found["hole"]), shaft=class_limits(size, found["shaft"]))


# ---------------------------------------------------------------- play by the trade's words


def play_for(
    word: str, size: float, stated: Mapping[str, tuple[float, float]] | None = None
) -> Play:
    """Return the play that a word such as "close slide" is taken to mean at a size.

    Args:
        word: "press", "push", "close slide", "free slide" or "loose", or one of `stated`.
        size: nominal size of the fit, mm.
        stated: the shop's own figures by word, (smallest, largest) in mm; they come first.

    Raises:
        ValueError: no such word, or no figure for such a size.

    Source: `data/play.toml`: common practice, no source.

    >>> play_for("close slide", 32.0)
    Play(smallest=0.02, largest=0.06, source='common practice, no source')
    """
    if stated and word in stated:
        smallest, largest = stated[word]
        return Play(smallest=smallest, largest=largest, source="stated")
    words = table("play")["words"]
    if word not in words:
        known = sorted({*words, *(stated or {})})
        near = get_close_matches(word, known, n=1, cutoff=0.5) or known
        raise ValueError(f"{word!r} is no word for play known here; nearest: {', '.join(near)}")
    bands = words[word]["bands"]
    for band in bands:
        if 0 < size <= band["upto"]:
            source = table("play")["source"]
            return Play(smallest=band["smallest"], largest=band["largest"], source=source)
    raise ValueError(
        f"{word} has figures above 0 up to {bands[-1]['upto']} mm, not for {size:g} mm; "
        "state the play itself or an ISO fit"
    )


def shaft_for(hole: Limits, play: Play) -> Limits:
    """Return the limits of a shaft, or tongue, that has this play in any hole within its limits.

    Raises:
        ValueError: the hole's own tolerance uses up the whole play.

    >>> bush = Limits(nominal=32.0, lower=0.0, upper=0.02)
    >>> shaft = shaft_for(bush, Play(smallest=0.02, largest=0.06, source="stated"))
    >>> round(shaft.lower, 4), round(shaft.upper, 4)
    (-0.04, -0.02)
    """
    _refuse_wide(hole, play)
    lower = min(hole.upper - play.largest, hole.lower - play.smallest)
    return Limits(nominal=hole.nominal, lower=lower, upper=hole.lower - play.smallest)


def hole_for(shaft: Limits, play: Play) -> Limits:
    """Return the limits of a hole, or slot, that has this play on any shaft within its limits.

    Raises:
        ValueError: the shaft's own tolerance uses up the whole play.
    """
    _refuse_wide(shaft, play)
    upper = max(shaft.lower + play.largest, shaft.upper + play.smallest)
    return Limits(nominal=shaft.nominal, lower=shaft.upper + play.smallest, upper=upper)


def _refuse_wide(given: Limits, play: Play) -> None:
    own, room = given.upper - given.lower, play.largest - play.smallest
    if own > room + NOISE:
        raise ValueError(
            f"the tolerance of the given part, {own:.4g} mm, is wider than the play's own range, "
            f"{room:.4g} mm; measure the part and give its size, or allow more play"
        )
