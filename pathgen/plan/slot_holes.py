"""The holes of a slot: spot, pilot, drill a chain on the centre line, ream the round ends."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.input.where import Refusal
from pathgen.job.slot import Slot
from pathgen.moves.moves import Term
from pathgen.moves.plan import Purpose
from pathgen.plan.bench import Bench, Operation
from pathgen.plan.drill_choice import as_drills, drills_of, largest_drill, ream_drill
from pathgen.plan.drilling import (
    BREAKTHROUGH,
    Sink,
    Target,
    spot_across,
    spotted,
    spotting_drill,
    sunk,
    through_bottom,
)
from pathgen.plan.slot_scheme import BLIND_HOLE_ABOVE, Scheme
from pathgen.reckon.chains import Chain, chain_over, default_web, ends_and_middle
from pathgen.reckon.drilling import opening_steps
from pathgen.shop.cutters import Cutter


@dataclass(frozen=True, slots=True, kw_only=True)
class Holes:
    """The holes of a slot: places along it, rising, and what each drill goes down to; mm."""

    chain: Chain
    drill: Cutter
    pilots: tuple[Cutter, ...]  # smallest first; none for a small drill
    spot: Cutter | None
    reamed: tuple[float, ...] = ()  # places of the ends that are reamed to the slot's width


def choose_holes(scheme: Scheme, bench: Bench) -> Holes | None:
    """Return the holes of a slot, or None when there are to be none or no drill fits.

    Raises:
        Refusal: a drill that the job names is not in the crib or does not fit; no air beneath.
    """
    slot = scheme.slot
    if scheme.holes == "none":
        return None
    drill = _drill(scheme, bench)
    if drill is None:
        return None
    least_web = slot.ways.least_web
    web = default_web(drill.diameter) if least_web is None else least_web
    chain = _chain(scheme, drill, web)
    if scheme.holes == "ends and middle":
        chain = ends_and_middle(chain)
    return Holes(
        chain=chain,
        drill=drill,
        pilots=_pilots(slot, bench, drill),
        spot=spotting_drill(bench),
        reamed=scheme.round_ends if scheme.reamer else (),
    )


def _drill(scheme: Scheme, bench: Bench) -> Cutter | None:
    """Return the largest drill that leaves the allowance a side, and reaches through."""
    slot = scheme.slot
    most = scheme.width - 2 * scheme.drill_allowance
    if slot.ways.drill is None:
        return largest_drill(bench, most, lambda drill: _reaches(slot, bench, drill))
    where = slot.where.at("ways.drill")
    drill = bench.named(slot.ways.drill, ("drill",), where)
    if drill.diameter > most + 1e-9:
        raise Refusal(
            where,
            f"{drill.name} measures {bench.say(drill.diameter)}; with "
            f"{bench.say(scheme.drill_allowance)} left on each side it may be {bench.say(most)}",
            "name a smaller one, or a smaller allowance",
        )
    if not _reaches(slot, bench, drill):
        raise Refusal(
            where,
            f"{drill.name} cannot be used here: flutes of {bench.say(drill.flute_length)}, or a "
            "point that takes up the whole depth",
            "name another drill, or no holes",
        )
    return drill


def _reaches(slot: Slot, bench: Bench, drill: Cutter) -> bool:
    """Return whether a drill gets down, with enough flute, and makes a hole worth having."""
    bottom = hole_bottom(slot, bench, drill)
    return bottom < 0 and drill.flute_length >= -bottom


def hole_bottom(slot: Slot, bench: Bench, drill: Cutter) -> float:
    """Return the z of a drill's point at the bottom of its hole, mm.

    Through: the full diameter clears the underside by the breakthrough. Blind: the point stays
    above the floor.
    """
    if slot.depth is None:
        return through_bottom(bench, drill)
    return -(slot.depth.middle - BLIND_HOLE_ABOVE)


def _chain(scheme: Scheme, drill: Cutter, web: float) -> Chain:
    """Return the chain for the slot: within reamed ends, open faces or the allowance."""
    if scheme.reamer is not None:
        return _chain_between_reamed(scheme, drill, web)
    closed = scheme.drill_allowance + drill.radius
    opened = web + drill.radius
    low = scheme.low + (opened if scheme.slot.open_low else closed)
    high = scheme.high - (opened if scheme.slot.open_high else closed)
    return chain_over(low, high, drill.diameter, web)


def _chain_between_reamed(scheme: Scheme, drill: Cutter, web: float) -> Chain:
    """Return the end holes that are reamed, and the chain between them clear of their rims."""
    ends = scheme.round_ends
    rim = scheme.wall + web + drill.radius
    low = ends[0] + rim if not scheme.slot.open_low else scheme.low + web + drill.radius
    high = ends[-1] - rim if not scheme.slot.open_high else scheme.high - web - drill.radius
    if high < low:
        return Chain(places=ends, pitch=0.0, web=web)
    between = chain_over(low, high, drill.diameter, web)
    places = tuple(sorted({*ends, *between.places}))
    return Chain(places=places, pitch=between.pitch, web=between.web or web)


def _pilots(slot: Slot, bench: Bench, drill: Cutter) -> tuple[Cutter, ...]:
    """Return the drills before the chain's own: as reckoned, or the one that the job names.

    Raises:
        Refusal: none in the crib will do, or the named one is not there.
    """
    named, where = slot.ways.pilot, slot.where.at("ways.pilot")
    if named == "none":
        return ()
    if named is not None:
        return (bench.named(named, ("drill",), where),)
    fitting = [each for each in bench.of_kind("drill") if _reaches(slot, bench, each)]
    (last,) = as_drills([drill])
    try:
        return drills_of(bench, fitting, lambda held: opening_steps(last, held))
    except ValueError as error:
        right = 'put one into the crib, or say pilot = "none"'
        raise Refusal(where, str(error), right) from None


def hole_operations(scheme: Scheme, holes: Holes, bench: Bench) -> Iterator[Operation]:
    """Yield the drilling of a slot's holes, in the order of the trade.

    Raises:
        Refusal: not enough air beneath for the points.
    """
    _refuse_beneath(scheme.slot, holes, bench)
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


def _refuse_beneath(slot: Slot, holes: Holes, bench: Bench) -> None:
    """Refuse to drill into what lies beneath the blank."""
    if slot.depth is not None:
        return
    below = bench.bottom - hole_bottom(slot, bench, holes.drill)
    if below > bench.setup.hold.beneath:
        raise Refusal(
            bench.setup.where.at("hold.beneath"),
            f"the point of the {holes.drill.name} comes {bench.say(below)} out of the underside, "
            f"with {bench.say(bench.setup.hold.beneath)} of air there",
            f"hold the blank with {bench.say(below)} or more under the slot, name a smaller "
            'drill, or say holes = "none"',
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
            trade="reaming",
            cutter=reamer,
            targets=_targets(scheme, ends),
            bottom=bench.bottom - BREAKTHROUGH,
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
    return tuple(
        Target(x=x, y=y, sums=((scheme.slot.along, _terms(scheme, place)),))
        for (x, y), place in zip(points, places, strict=True)
    )


def _terms(scheme: Scheme, place: float) -> tuple[Term, ...]:
    """Return where a hole's place along the slot comes from: the slot's end, then inwards."""
    end = "left" if scheme.slot.along == "x" else "front"
    name = scheme.faces[0] if scheme.slot.open_low else f"{end} end of the slot"
    return Term(name, scheme.low), Term("inwards", place - scheme.low)
