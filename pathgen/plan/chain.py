"""A chain of holes along a slot: where they go, and the webs between them."""

from __future__ import annotations

from dataclasses import dataclass

# mm, for drills to 8 mm: 0.25 to 0.5 is usual (common practice; a published case has 0.010 in)
LEAST_WEB_SMALL = 0.25
LEAST_WEB_LARGE = 0.5  # mm, for larger drills (common practice, no source)
SMALL_DRILL = 8.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """Places of hole centres along a slot, rising, and the web between two of them; mm."""

    places: tuple[float, ...]
    web: float  # 0 for one hole


def default_web(diameter: float) -> float:
    """Return the least web between two holes of a chain, mm."""
    return LEAST_WEB_SMALL if diameter <= SMALL_DRILL else LEAST_WEB_LARGE


def lay_chain(low: float, high: float, diameter: float, least_web: float) -> Chain:
    """Return a chain whose first and last holes are centred on ``low`` and ``high``.

    The others stand between them at equal pitch, as many as leave at least the least web; what is
    over widens the webs. Where two do not fit there is one hole, in the middle.

    Source: workshop article on chain drilling (1/4 in drill at a pitch of 0.260 in): number of
    holes by dividing the cut-out by the pitch, the left-over shared.

    >>> lay_chain(30.0, 130.0, 9.0, 0.5).places[:2]
    (30.0, 40.0)
    """
    span = high - low
    pitch = diameter + least_web
    spaces = int(span / pitch + 1e-9)
    if spaces < 1:
        return Chain(places=((low + high) / 2,), web=0.0)
    places = (*(low + span * hole / spaces for hole in range(spaces)), high)
    return Chain(places=places, web=span / spaces - diameter)


def ends_and_middle(chain: Chain) -> Chain:
    """Return the first, the last and a middle hole of a chain, or what there is of them."""
    if len(chain.places) <= 3:
        return chain
    first, last = chain.places[0], chain.places[-1]
    diameter = (last - first) / (len(chain.places) - 1) - chain.web
    return Chain(places=(first, (first + last) / 2, last), web=(last - first) / 2 - diameter)
