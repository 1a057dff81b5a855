"""Pitches that run together within a length, and those that only seem to."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pathgen.reckon.guards import above_zero, not_below_zero
from pathgen.reckon.threads import STANDARD_FAMILIES, Thread, standard_threads

ALLOWED_DRIFT = 0.05  # mm: what flank clearance takes up (common practice, no source)
NEAR_SHARE = 0.03  # of a pitch: those within are worth a look beside it


@dataclass(frozen=True, slots=True, kw_only=True)
class PitchMatch:
    """How two pitches run together.

    `drift` is how far they part over the length asked about, `seems` over what length they part by
    what is allowed: up to there they seem to be one; mm, without end where they are one.
    """

    drift: float
    exact: bool
    matches: bool
    seems: float


def pitch_match(
    first_pitch: float, second_pitch: float, length: float, allowed: float = ALLOWED_DRIFT
) -> PitchMatch:
    """Return whether two pitches run together over a length, and how far they part on it.

    A nut of one pitch goes on a bolt of the other until the difference has used up the clearance
    of the flanks: 26 an inch passes for 1 mm on a short length, and binds on a long one.

    Args:
        first_pitch: mm; the length is counted in this one.
        second_pitch: mm.
        length: over which they run together, mm.
        allowed: what they may part by, mm; 0.05 where not said (common practice, no source).

    Raises:
        ValueError: a figure is out of range.

    >>> pitch_match(1.0, 25.4 / 26, 2.0).matches, pitch_match(1.0, 25.4 / 26, 6.0).matches
    (True, False)
    >>> round(pitch_match(1.0, 25.4 / 26, 6.0).seems, 2)
    2.17
    >>> pitch_match(1.27, 25.4 / 20, 500.0).exact
    True
    """
    above_zero(first_pitch=first_pitch, second_pitch=second_pitch)
    not_below_zero(length=length, allowed=allowed)
    difference = abs(first_pitch - second_pitch)
    exact = difference < 1e-9
    drift = 0.0 if exact else difference * length / first_pitch
    seems = math.inf if exact else allowed * first_pitch / difference
    return PitchMatch(drift=drift, exact=exact, matches=drift <= allowed, seems=seems)


def near_pitches(pitch: float, within: float = NEAR_SHARE) -> tuple[tuple[float, Thread], ...]:
    """Return the pitches of the standard series near a pitch, each with one thread that has it.

    Nearest first; the pitch itself is among them where a series has it.

    Args:
        pitch: mm.
        within: share of the pitch that another may be off.

    >>> [(round(p, 4), each.designation) for p, each in near_pitches(1.0)]
    [(1.0, 'M6'), (0.9769, '1/4 BSF')]
    """
    above_zero(pitch=pitch, within=within)
    found: dict[float, Thread] = {}
    for family in STANDARD_FAMILIES:
        for each in standard_threads(family):
            if abs(each.pitch - pitch) <= within * pitch:
                found.setdefault(round(each.pitch, 9), each)
    return tuple(sorted(found.items(), key=lambda pair: abs(pair[0] - pitch)))
