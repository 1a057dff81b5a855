"""Drilling a slot's holes: spot, pilot, drill a chain on the centre line, ream the round ends."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.moves.moves import Term
from pathgen.moves.plan import Purpose
from pathgen.plan.bench import Bench, Operation
from pathgen.plan.holes.drilling import (
    Sink,
    Target,
    refuse_beneath,
    spot_across,
    spotted,
    sunk,
    through_bottom,
)
from pathgen.plan.slots.holes import Holes, hole_bottom
from pathgen.plan.slots.reaming import ream_drill
from pathgen.plan.slots.scheme import Scheme
from pathgen.shop.cutters import Cutter


def hole_operations(scheme: Scheme, holes: Holes, bench: Bench) -> Iterator[Operation]:
    """Yield the drilling of a slot's holes, in the order of the trade.

    Raises:
        Refusal: not enough air beneath for the points.
    """
    _refuse_beneath(scheme, holes, bench)
    places = _on_the_way(scheme, bench, holes.chain.places)
    count = len(places)
    row = f"{count} holes" if count > 1 else "one hole"
    web = f", webs of {bench.say(holes.chain.web)}" if count > 1 else ""
    if holes.spot is not None:
        yield _spot(scheme, holes, bench, holes.spot)
    for pilot in holes.pilots:
        yield _drilled(scheme, bench, pilot, places, f"pilots for {row}", "pilot")
    yield _drilled(scheme, bench, holes.drill, places, f"{row}{web}")
    if scheme.reamer is not None and holes.reamed:
        yield from _reaming(scheme, holes, bench, scheme.reamer)


def _refuse_beneath(scheme: Scheme, holes: Holes, bench: Bench) -> None:
    """Refuse to drill into what lies beneath the blank."""
    if not scheme.slot.through:
        return
    ends = {f"the point of the {holes.drill.name}": through_bottom(bench, holes.drill)}
    if scheme.reamer is not None:
        ends[f"the {scheme.reamer.name}"] = through_bottom(bench, scheme.reamer)
        drill = ream_drill(bench, scheme.reamer)
        if drill is not None:
            ends[f"the point of the {drill.name}"] = through_bottom(bench, drill)
    refuse_beneath(
        bench,
        ends,
        "hold the blank with {} or more under the slot, name a smaller drill, or say "
        'holes = "none"',
    )


def _spot(scheme: Scheme, holes: Holes, bench: Bench, spot: Cutter) -> Operation:
    """Return the spotting of each hole: as wide as the pilot at least, less than the hole."""
    leader = (*holes.pilots, holes.drill)[0]
    across = spot_across(spot, leader, holes.drill)
    deepest = -0.5 * (scheme.slot.depth.middle if scheme.slot.depth else -bench.bottom)
    targets = _targets(scheme, _on_the_way(scheme, bench, holes.chain.places))
    return spotted(bench, spot, targets, across, deepest)


def _drilled(
    scheme: Scheme,
    bench: Bench,
    drill: Cutter,
    places: tuple[float, ...],
    why: str,
    purpose: Purpose = "chain drill",
) -> Operation:
    """Return the drilling of some holes with one drill, right down."""
    return sunk(
        bench,
        Sink(
            purpose=purpose,
            trade="drilling",
            cutter=drill,
            targets=_targets(scheme, places),
            bottom=hole_bottom(scheme.slot, bench, drill),
            why=why,
        ),
    )


def _reaming(scheme: Scheme, holes: Holes, bench: Bench, reamer: Cutter) -> Iterator[Operation]:
    """Yield the opening out of the end holes and their reaming to the slot's width."""
    ends = _on_the_way(scheme, bench, holes.reamed)
    drill = ream_drill(bench, reamer)
    if drill is not None and drill.diameter > holes.drill.diameter:
        why = f"the end holes, opened out for the {reamer.name}"
        yield _drilled(scheme, bench, drill, ends, why)
    yield sunk(
        bench,
        Sink(
            purpose="ream",
            feed_out=True,
            trade="reaming",
            cutter=reamer,
            targets=_targets(scheme, ends),
            bottom=through_bottom(bench, reamer),
            why="the round ends, to the slot's width",
        ),
    )


def _on_the_way(scheme: Scheme, bench: Bench, places: tuple[float, ...]) -> tuple[float, ...]:
    """Return rising places in the order of the way that the slide comes to them by.

    Each is then come to without going back past it first.
    """
    return places if bench.side(scheme.slot.along) > 0 else places[::-1]


def _targets(scheme: Scheme, places: tuple[float, ...]) -> tuple[Target, ...]:
    """Return the places along a slot as places of the frame, with their sums."""
    points = [scheme.slot.point(place, scheme.slot.centre_line) for place in places]
    if scheme.slot.turned is not None:
        return tuple(Target(x=x, y=y) for x, y in points)
    return tuple(
        Target(x=x, y=y, sums=((scheme.slot.along, _terms(scheme, place)),))
        for (x, y), place in zip(points, places, strict=True)
    )


def _terms(scheme: Scheme, place: float) -> tuple[Term, ...]:
    """Return where a hole's place along the slot comes from: the slot's end, then inwards."""
    end = "left" if scheme.slot.along == "x" else "front"
    name = scheme.faces[0] if scheme.slot.open_low else f"{end} end of the slot"
    return Term(name, scheme.low), Term("inwards", place - scheme.low)
