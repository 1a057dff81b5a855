"""Patterns of holes laid on one another: how far apart the axes of each pair still are."""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

Point = tuple[float, float]
ROUNDS = 200  # of the search for the laying whose worst pair is the least apart
EVEN = 1e-9  # mm; layings that differ by less are alike


@dataclass(frozen=True, slots=True, kw_only=True)
class Laying:
    """One pattern laid on another, shifted and turned as a whole; lengths in mm.

    ``partners`` has, for each place of the fixed pattern, which place of the laid one lies on it,
    and ``apart`` how far off.
    """

    partners: tuple[int, ...]
    apart: tuple[float, ...]
    turn_deg: float  # against the clock

    @property
    def worst(self) -> float:
        """Return how far the worst pair is apart, mm."""
        return max(self.apart)


def laid(fixed: Sequence[Point], moved: Sequence[Point]) -> Laying:
    """Return one pattern laid on another so that the worst pair is as little apart as may be.

    Nothing is turned over. Of layings that are alike, as those of holes evenly on a circle, the one
    with the least turn is taken.

    Args:
        fixed: the places of one pattern, mm.
        moved: those of the other, as many.

    Raises:
        ValueError: there are not as many places, or none.

    >>> found = laid([(0, 0), (10, 0), (0, 20)], [(5, 5), (5, 15), (-15, 5)])
    >>> found.partners, round(found.worst, 6), round(found.turn_deg, 6)
    ((0, 1, 2), 0.0, -90.0)
    """
    if not fixed or len(fixed) != len(moved):
        raise ValueError(f"{len(moved)} places on {len(fixed)}; give as many, one at least")
    on, of = [complex(*each) for each in fixed], [complex(*each) for each in moved]
    found = [_fitted(on, of, partners) for partners in _pairings(on, of)]
    least = min(each.worst for each in found)
    alike = [each for each in found if each.worst <= least + EVEN]
    return min(alike, key=lambda each: (round(abs(each.turn_deg), 6), each.partners))


def _pairings(on: list[complex], of: list[complex]) -> Iterator[tuple[int, ...]]:
    """Yield each way to pair the places that a shift and a turn bring about.

    The place furthest from the middle is brought into line with each of the other pattern in turn;
    the others go to the nearest that is free.
    """
    middle, other = sum(on) / len(on), sum(of) / len(of)
    arms, rays = [each - middle for each in on], [each - other for each in of]
    far = max(range(len(arms)), key=lambda each: abs(arms[each]))
    for ray in rays:
        turn = _direction(arms[far] * ray.conjugate())
        yield _nearest(arms, [turn * each for each in rays])


def _nearest(arms: list[complex], rays: list[complex]) -> tuple[int, ...]:
    """Return for each place the one laid nearest to it, each once, the nearest pairs first."""
    pairs = sorted(
        (abs(arm - ray), one, two) for one, arm in enumerate(arms) for two, ray in enumerate(rays)
    )
    partners: dict[int, int] = {}
    for _, one, two in pairs:
        if one not in partners and two not in partners.values():
            partners[one] = two
    return tuple(partners[one] for one in range(len(arms)))


def _fitted(on: list[complex], of: list[complex], partners: tuple[int, ...]) -> Laying:
    """Return the laying of paired places whose worst pair is the least apart.

    Least squares, with each pair weighted the more the further it stays apart (Lawson's way).
    """
    paired = [of[each] for each in partners]
    weights = [1.0 / len(on)] * len(on)
    best: Laying | None = None
    for _ in range(ROUNDS):
        turn, apart = _least_squares(on, paired, weights)
        if best is None or max(apart) < best.worst:
            degrees = math.degrees(cmath.phase(turn))
            best = Laying(partners=partners, apart=tuple(apart), turn_deg=degrees)
        if max(apart) < EVEN:
            break
        weights = [weight * each for weight, each in zip(weights, apart, strict=True)]
        whole = sum(weights)
        weights = [weight / whole for weight in weights]
    assert best is not None
    return best


def _least_squares(
    on: list[complex], paired: list[complex], weights: list[float]
) -> tuple[complex, list[float]]:
    """Return the turn that brings weighted pairs together, and how far apart each then is, mm."""
    rows = list(zip(on, paired, weights, strict=True))
    middle = sum(weight * one for one, _, weight in rows)
    other = sum(weight * two for _, two, weight in rows)
    turn = _direction(
        sum(weight * (one - middle) * (two - other).conjugate() for one, two, weight in rows)
    )
    return turn, [abs(one - middle - turn * (two - other)) for one, two, _ in rows]


def _direction(arrow: complex) -> complex:
    """Return an arrow's direction, one long; along x where there is none."""
    return arrow / abs(arrow) if abs(arrow) > 0 else complex(1)
