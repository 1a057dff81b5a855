"""Planning a slot: drill, rough, measure, finish, in the order of the trade."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pathgen.input.where import Refusal
from pathgen.job.slot import Slot
from pathgen.moves.actions import Measure
from pathgen.moves.moves import Move
from pathgen.plan import cautions
from pathgen.plan.bench import Bench, Operation, even_depths
from pathgen.plan.cutting import Cutting, cutting, side_depth, slot_depth
from pathgen.plan.gone import without_chain
from pathgen.plan.slots.angle import refuse_by_hand
from pathgen.plan.slots.drilling import hole_operations
from pathgen.plan.slots.holes import Holes, choose_holes
from pathgen.plan.slots.paths import (
    centre_line,
    full_width,
    in_solid,
    loop,
    walls,
    widening_offsets,
)
from pathgen.plan.slots.scheme import MOST_LEFT_FULL_WIDTH, Scheme, choose_scheme
from pathgen.plan.slots.track import Track
from pathgen.shop.cutters import Cutter

UNCUT_CENTRE = 0.25  # of the diameter, as a radius: what an end mill leaves under its middle
SIDE_STEP = 0.4  # of the diameter: the most that a roughing cut takes off a wall at a time
OFF_THE_HOLE = 0.25  # mm by which slack and dials may bring a mill beside the hole it comes down in
MEASURE_BAND = 0.15  # mm: how far a roughed slot may be off what is expected of it
# How many times as wide a cut along a wall grows where it goes on round the closed end, at most:
# there the cutter's centre hardly moves on while its edge goes half round (by trial, no source).
ROUND_THE_END = 2.7
CLOSE = 0.06  # mm between the limits of a width that the runout of a mill may spoil (a guess)
TOO_NEAR = 0.02  # mm a side: less than this is no cut but a rub


def plan_slot(slot: Slot, bench: Bench) -> tuple[Operation, ...]:
    """Return the operations that make a slot on a bench.

    Raises:
        Refusal: what cannot be done, and what would do it.
    """
    refuse_by_hand(slot, bench)
    scheme = choose_scheme(without_chain(slot, bench), bench)
    holes = choose_holes(scheme, bench)
    operations: list[Operation] = []
    if holes is not None:
        operations.extend(hole_operations(scheme, holes, bench))
    if scheme.rough is not None:
        operations.extend(_roughing(scheme, holes, bench, scheme.rough))
    operations.append(_finishing(scheme, holes, bench))
    return tuple(operations)


def _roughing(
    scheme: Scheme, holes: Holes | None, bench: Bench, cutter: Cutter
) -> Iterator[Operation]:
    """Yield the cut on the centre line, then both walls equally where that leaves too much."""
    figures = cutting(bench.machine, cutter, bench.material, "slotting")
    most = scheme.slot.ways.depth_of_cut or slot_depth(bench.machine, cutter, bench.material)
    track = _track(scheme, holes, bench, cutter, figures, most)
    yield Operation(
        purpose="rough",
        cutter=cutter,
        cutting=figures,
        why="on the centre line, to and fro; leaves the walls for the finish",
        moves=tuple(centre_line(track)),
        depth_of_cut=track.depth_of_cut,
        width_of_cut=cutter.diameter,
        notes=(cautions.full_width(bench.machine),),
    )
    if _is_widened(scheme, cutter):
        last = scheme.wall - scheme.finish_allowance - cutter.radius
        yield _widening(scheme, holes, bench, cutter, last)


def _widening(
    scheme: Scheme, holes: Holes | None, bench: Bench, cutter: Cutter, last: float
) -> Operation:
    """Return the cuts that bring both walls equally to the finishing allowance."""
    figures = cutting(bench.machine, cutter, bench.material, "end milling rough")
    offsets = widening_offsets(0.0, last, SIDE_STEP * cutter.diameter)
    step = offsets[0]
    width = step * _growth(scheme)
    most = scheme.slot.ways.depth_of_cut or side_depth(bench.machine, cutter, bench.material, width)
    track = _track(scheme, holes, bench, cutter, figures, most)
    moves: list[Move] = []
    for offset in offsets:
        moves.extend(_round(scheme, track, offset))
    return Operation(
        purpose="semi-finish",
        cutter=cutter,
        cutting=figures,
        why=f"both walls alike, to {bench.say(scheme.finish_allowance)} a side",
        moves=tuple(moves),
        depth_of_cut=track.depth_of_cut,
        width_of_cut=step,
        notes=(cautions.CONVENTIONAL,),
    )


def _growth(scheme: Scheme) -> float:
    """Return how many times as wide a cut along the walls grows on its way."""
    round_it = scheme.method == "arcs" and scheme.slot.open_low != scheme.slot.open_high
    return ROUND_THE_END if round_it else 1.0


def _round(scheme: Scheme, track: Track, offset: float, measure: str = "") -> Iterator[Move]:
    """Yield the cut along both walls in the way that the machine can."""
    if scheme.method == "arcs":
        yield from loop(track, offset)
    else:
        yield from walls(_between_end_holes(scheme, track), offset, measure)


def _between_end_holes(scheme: Scheme, track: Track) -> Track:
    """Return a track whose span lies between the centres of the round ends.

    There a cutter off the centre line touches the wall of a reamed end and cuts nothing.
    """
    low, high = track.span
    low = low if scheme.slot.open_low else scheme.low + scheme.wall
    high = high if scheme.slot.open_high else scheme.high - scheme.wall
    return replace(track, span=(low, high))


def _finishing(scheme: Scheme, holes: Holes | None, bench: Bench) -> Operation:
    """Return the cut to width, after a measure step."""
    cutter = scheme.finish
    if scheme.rough is None:
        return _only_cut(scheme, holes, bench)
    figures = cutting(bench.machine, cutter, bench.material, "end milling finish")
    left = scheme.width - _roughed_width(scheme)
    most = side_depth(bench.machine, cutter, bench.material, max(left, left / 2 * _growth(scheme)))
    track = _track(scheme, holes, bench, cutter, figures, most)
    measure = _measure(scheme, bench)
    if scheme.method == "full width":
        moves = tuple(full_width(track))
        why = f"to width by the cutter's own {bench.say(cutter.diameter)}"
    else:
        follows = measure.name if _follows(scheme, bench) else ""
        moves = tuple(_round(scheme, track, scheme.wall - cutter.radius, follows))
        why = f"each wall to size, {bench.say(scheme.width)} between them"
    return Operation(
        purpose="finish",
        cutter=cutter,
        cutting=figures,
        why=why,
        moves=moves,
        before=(measure,),
        depth_of_cut=track.depth_of_cut,
        width_of_cut=left / 2,
        notes=(
            (cautions.full_width(bench.machine), *_by_its_width(scheme, bench))
            if scheme.method == "full width"
            else (cautions.CONVENTIONAL,)
        ),
    )


def _only_cut(scheme: Scheme, holes: Holes | None, bench: Bench) -> Operation:
    """Return the one milling operation of a slot too narrow for a roughing cutter.

    Raises:
        Refusal: there would have to be two cuts, for the cutter is not of the slot's width; or it
            comes down at neither end.
    """
    cutter = scheme.finish
    if scheme.method != "full width":
        raise Refusal(
            scheme.slot.where.at("width"),
            f"no cutter of the crib roughs a slot {bench.say(scheme.slot.width.nominal)} wide",
            "put a smaller end mill or slot drill into the crib, or name a larger finishing one",
        )
    figures = cutting(bench.machine, cutter, bench.material, "slotting")
    most = scheme.slot.ways.depth_of_cut or slot_depth(bench.machine, cutter, bench.material)
    track = _track(scheme, holes, bench, cutter, figures, most)
    if not set(track.span) & set(track.entries):
        raise _no_entry(scheme.slot, cutter)
    return Operation(
        purpose="finish",
        cutter=cutter,
        cutting=figures,
        why=f"the whole slot by the cutter's own {bench.say(cutter.diameter)}; nothing smaller "
        "roughs it",
        moves=tuple(in_solid(track)),
        depth_of_cut=track.depth_of_cut,
        width_of_cut=cutter.diameter,
        notes=(cautions.full_width(bench.machine), *_by_its_width(scheme, bench)),
    )


def _by_its_width(scheme: Scheme, bench: Bench) -> Iterator[str]:
    """Yield the caution that a width within close limits hangs on how true the cutter runs."""
    width = scheme.slot.width
    if width.high - width.low < CLOSE:
        yield (
            f"The cutter makes the width by itself, and wider by what it runs out: try it first in"
            f" a scrap of {bench.material}, and measure; {bench.say(width.low)} to"
            f" {bench.say(width.high)} is wanted."
        )


def _follows(scheme: Scheme, bench: Bench) -> bool:
    """Return whether the walls can follow the measurement: by hand, with the measured cutter."""
    return bench.machine.manual and scheme.method == "walls" and scheme.rough == scheme.finish


def _is_widened(scheme: Scheme, rough: Cutter) -> bool:
    """Return whether roughing goes along the walls too, and not on the centre line alone."""
    left = scheme.wall - rough.radius
    if scheme.method == "full width" and left <= MOST_LEFT_FULL_WIDTH:
        return False
    return left - scheme.finish_allowance > TOO_NEAR


def _roughed_width(scheme: Scheme) -> float:
    """Return how wide the slot is when it is to be finished, mm; 0 if nothing roughs it."""
    if scheme.rough is None:
        return 0.0
    if _is_widened(scheme, scheme.rough):
        return scheme.width - 2 * scheme.finish_allowance
    return scheme.rough.diameter


def _measure(scheme: Scheme, bench: Bench) -> Measure:
    """Return the measuring of the roughed slot."""
    expected = _roughed_width(scheme)
    follows = _follows(scheme, bench)
    if follows:
        advice = "outside this range something is amiss: cutter, spindle or a handle; find it first"
    elif bench.machine.manual:
        advice = "wider: the cutter runs out or the slide shifts; find out before the last cut"
    else:
        advice = (
            "if it is off by more than the width's tolerance allows, make the rest anew by it: "
            f"pathgen make with --found '{scheme.slot.name}: width=...'"
        )
    return Measure(
        name="M1",
        what=f"width of {scheme.slot.name}, at both ends and the middle",
        expected=expected,
        low=expected - MEASURE_BAND,
        high=min(expected + MEASURE_BAND, scheme.width - 2 * TOO_NEAR),
        found_by="cutter" if follows else "nothing",
        advice=advice,
    )


def _track(
    scheme: Scheme,
    holes: Holes | None,
    bench: Bench,
    cutter: Cutter,
    figures: Cutting,
    most: float,
) -> Track:
    """Return what a mill's path in the slot is made with."""
    to_size = cutter is scheme.finish and scheme.method == "full width"
    span = scheme.centre_span(cutter, 0.0 if to_size else scheme.finish_allowance)
    return Track(
        scheme=scheme,
        bench=bench,
        cutter=cutter,
        cutting=figures,
        depths=even_depths(0.0, scheme.floor, most),
        span=span,
        entries=_entries(scheme, holes, cutter, span),
    )


def _entries(
    scheme: Scheme, holes: Holes | None, cutter: Cutter, span: tuple[float, float]
) -> tuple[float, ...]:
    """Return the places along the slot where a mill can come down.

    Raises:
        Refusal: there is none.
    """
    slot = scheme.slot
    places = [
        end for end, opened in zip(span, (slot.open_low, slot.open_high), strict=True) if opened
    ]
    if cutter.cuts_at_centre:
        places.extend(span)
    elif holes is not None and slot.through:
        places.extend(_over_holes(holes, cutter, span))
    if not places:
        raise _no_entry(slot, cutter)
    return tuple(sorted(set(places)))


def _no_entry(slot: Slot, cutter: Cutter) -> Refusal:
    """Return the refusal of a cutter that finds no place to come down at."""
    return Refusal(
        slot.where.at("ways"),
        f"{cutter.name} does not cut at its centre and finds no hole wide enough to come down",
        "name a slot drill, or a larger drill for the chain",
    )


def _over_holes(holes: Holes, cutter: Cutter, span: tuple[float, float]) -> Iterator[float]:
    """Yield the places over the first and last hole where the uncut centre meets no metal."""
    spare = holes.drill.radius - UNCUT_CENTRE * cutter.diameter - OFF_THE_HOLE
    low, high = span
    for place, end in ((holes.chain.places[0], low), (holes.chain.places[-1], high)):
        if abs(end - place) <= spare:
            yield end  # each pass can then begin where the last one stopped
        elif spare >= 0 and low <= place <= high:
            yield place
