"""Over bridges on handles: a way along the axes, lifted where a bridge stands above its depth."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pathgen.job.areas import Outside
from pathgen.job.contour import Spot, heading_at
from pathgen.plan.bench import Bench

SAME = 1e-9
DIAL = 0.02  # mm that a bridge is left higher: a dial rounds


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Where the cutter's centre must not go lower than a bridge's top; mm."""

    at: Spot  # of the bridge, on the contour
    along: Spot  # which way the contour goes there, of length 1
    half: float  # of its width, and the cutter's radius
    top: float  # z

    def part_within(self, a: Spot, b: Spot) -> tuple[float, float] | None:
        """Return from which share to which of a straight it is over the bridge; None if nowhere."""
        first, last = (self._frame(place) for place in (a, b))
        low, high = 0.0, 1.0
        for start, end, least, most in (
            (first[0], last[0], -self.half, self.half),
            (first[1], last[1], 0.0, math.inf),
        ):
            change = end - start
            if abs(change) < SAME:
                if not least + SAME < start < most - SAME:
                    return None
                continue
            shares = sorted(((least - start) / change, (most - start) / change))
            low, high = max(low, shares[0]), min(high, shares[1])
        return (low, high) if high - low > SAME else None

    def _frame(self, place: Spot) -> Spot:
        """Return how far a place lies along the contour from the bridge, and out of the part."""
        x, y = place[0] - self.at[0], place[1] - self.at[1]
        return x * self.along[0] + y * self.along[1], x * self.along[1] - y * self.along[0]


def spans(outside: Outside, bench: Bench, radius: float) -> tuple[Span, ...]:
    """Return where a cutter has to be lifted over an outside's bridges."""
    bottom = bench.bottom if outside.depth is None else -outside.depth.middle
    found = []
    for bridge in outside.bridges:
        heading = heading_at(outside.contour, bridge.at)
        found.append(
            Span(
                at=bridge.at,
                along=(math.cos(heading), math.sin(heading)),
                half=bridge.width / 2 + radius,
                top=bottom + bridge.height + DIAL,
            )
        )
    return tuple(found)


def lifted(places: Sequence[Spot], z: float, over: Sequence[Span]) -> Iterator[tuple[Spot, float]]:
    """Yield each place to go to, with the height to go there at: bridges are gone over.

    >>> bridge = Span(at=(5.0, 0.0), along=(1.0, 0.0), half=2.0, top=-1.0)
    >>> list(lifted([(0.0, -3.0), (9.0, -3.0)], -4.0, [bridge]))
    [((3.0, -3.0), -4.0), ((7.0, -3.0), -1.0), ((9.0, -3.0), -4.0)]
    """
    for a, b in pairwise(places):
        spots = [(span, span.part_within(a, b)) for span in over if span.top > z]
        parts = [(span.top, *part) for span, part in spots if part is not None]
        ends = sorted({1.0, *(share for _, *part in parts for share in part if share > SAME)})
        for before, share in pairwise([0.0, *ends]):
            middle = (before + share) / 2
            height = max([z, *(top for top, low, high in parts if low < middle < high)])
            yield (b if share == 1.0 else _between(a, b, share)), height


def _between(a: Spot, b: Spot, share: float) -> Spot:
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share
