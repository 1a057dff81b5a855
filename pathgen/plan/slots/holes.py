"""The holes of a slot: a chain on the centre line, round ends to be reamed; with which drills."""

from __future__ import annotations

from dataclasses import dataclass

from pathgen.input.where import Refusal
from pathgen.job.slot import Slot
from pathgen.plan.bench import Bench
from pathgen.plan.heights import reaches
from pathgen.plan.holes.drill_choice import as_drills, drills_of, largest_drill
from pathgen.plan.holes.drilling import spotting_drill, through_bottom
from pathgen.plan.slots.reaming import ream_drill
from pathgen.plan.slots.scheme import BLIND_HOLE_ABOVE, Scheme
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
        return None if scheme.reamer is None else _only_reamed(scheme, bench, scheme.reamer)
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


def _only_reamed(scheme: Scheme, bench: Bench, reamer: Cutter) -> Holes:
    """Return the round ends alone, where no drill leaves the allowance that a chain wants."""
    drill = ream_drill(bench, reamer)
    if drill is None:
        raise AssertionError("a reamer is chosen with its drill")
    ends = scheme.round_ends
    pitch = ends[-1] - ends[0]
    return Holes(
        chain=Chain(places=ends, pitch=pitch, web=pitch - drill.diameter if pitch else 0.0),
        drill=drill,
        pilots=_pilots(scheme.slot, bench, drill),
        spot=spotting_drill(bench),
        reamed=ends,
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
    return bottom < 0 and reaches(drill, bottom)


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
        return (_named_pilot(slot, bench, drill, named),)
    fitting = [each for each in bench.of_kind("drill") if _reaches(slot, bench, each)]
    (last,) = as_drills([drill])
    try:
        return drills_of(bench, fitting, lambda held: opening_steps(last, held))
    except ValueError as error:
        right = 'put one into the crib, or say pilot = "none"'
        raise Refusal(where, str(error), right) from None


def _named_pilot(slot: Slot, bench: Bench, drill: Cutter, name: str) -> Cutter:
    """Return the pilot drill that the job names.

    Raises:
        Refusal: it leads no drill, or is too short.
    """
    where = slot.where.at("ways.pilot")
    pilot = bench.named(name, ("drill",), where)
    if pilot.diameter < drill.diameter and _reaches(slot, bench, pilot):
        return pilot
    raise Refusal(
        where,
        f"{pilot.name}, with flutes of {bench.say(pilot.flute_length)}, cannot lead the "
        f"{drill.name} all the way down",
        "name a smaller and longer one, or none",
    )
