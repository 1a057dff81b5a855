"""Planning a T-slot: the slot first, then its head by one pass of a T-slot cutter."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pathgen.input.where import Refusal
from pathgen.job.sizes import Size
from pathgen.job.slot import Slot
from pathgen.job.t_slot import TSlot
from pathgen.moves.moves import How, Move
from pathgen.plan import cautions
from pathgen.plan.bench import Bench, Operation
from pathgen.plan.cutting import cutting
from pathgen.plan.heights import FLUTES_ABOVE
from pathgen.plan.slots.scheme import choose_scheme
from pathgen.plan.slots.slot import plan_slot
from pathgen.plan.slots.track import Track
from pathgen.plan.words import span
from pathgen.shop.cutters import Cutter

# mm that the slot is kept above the floor, so that the floor is made by one cutter alone
FLOOR_LEFT = 0.2  # common practice, no source
ROUND_NECK = 0.1  # mm between a cutter's neck and the slot's wall, at least, for chips to get by
OUTSIDE = 2.0  # mm between the blank's face and the cutter as it goes down beside it


def plan_t_slot(t_slot: TSlot, bench: Bench) -> tuple[Operation, ...]:
    """Return the operations that make a T-slot on a bench.

    Raises:
        Refusal: what cannot be done, and what would do it.
    """
    cutter = _cutter(t_slot, bench)
    depth = t_slot.depth.middle - FLOOR_LEFT
    shallow = Size(nominal=depth, low=depth, high=depth, basis="the head's cutter makes the floor")
    neck = replace(t_slot.neck, depth=shallow)
    return (*plan_slot(neck, bench), _head(t_slot, neck, cutter, bench))


def _head(t_slot: TSlot, neck: Slot, cutter: Cutter, bench: Bench) -> Operation:
    """Return the one pass along the middle that cuts the head."""
    figures = cutting(bench.machine, cutter, bench.material, "T-slot cutting")
    low, high = t_slot.head_ends
    outside = cutter.radius + OUTSIDE
    track = Track(
        scheme=choose_scheme(neck, bench),
        bench=bench,
        cutter=cutter,
        cutting=figures,
        depths=(-t_slot.depth.middle,),
        span=(
            low - (outside if neck.open_low else 0.0),
            high + (outside if neck.open_high else 0.0),
        ),
        entries=(),
    )
    return Operation(
        purpose="undercut",
        cutter=cutter,
        cutting=figures,
        why="along the middle, in at an open end: both sides, roof and floor of the head at once",
        moves=tuple(_through(track)),
        depth_of_cut=t_slot.depth.middle,
        width_of_cut=cutter.diameter,
        notes=(cautions.UNDERCUTTING, cautions.full_width(bench.machine)),
    )


def _through(track: Track) -> Iterator[Move]:
    """Yield the way down beside the work, level through it, and up where it is open again."""
    slot = track.scheme.slot
    start, end = track.way
    opened = dict(zip(track.span, (slot.open_low, slot.open_high), strict=True))
    if not opened[start]:
        start, end = end, start
    (z,) = track.depths
    yield track.rapid(start, 0.0, track.clear, track.how("size", "outside the open end", start))
    yield from track.down((start, 0.0), (0.0, z), "down, outside")
    if opened[end]:
        yield track.feed(end, 0.0, z, track.how("stop", "head: along, out at the far end", end))
        yield track.rapid(end, 0.0, track.clear)
        return
    stop = How(makes="stop", what="head: along, to the middle of the round end")
    yield track.feed(end, 0.0, z, stop)
    back = track.how("air", "back the way it came: never up within the slot", start)
    yield track.feed(start, 0.0, z, back)
    yield track.rapid(start, 0.0, track.clear)


def _cutter(t_slot: TSlot, bench: Bench) -> Cutter:
    """Return the T-slot cutter that the job names, or the one nearest to the head's middle sizes.

    Raises:
        Refusal: there is none that makes the head; says which would.
    """
    if t_slot.cutter is not None:
        where = t_slot.where.at("ways.head")
        cutter = bench.named(t_slot.cutter, ("T-slot cutter",), where)
        wrong = _unfit(t_slot, cutter, bench)
        if wrong:
            raise Refusal(where, f"{cutter.name}: {wrong}", _what_would(t_slot, bench))
        return cutter
    known = bench.of_kind("T-slot cutter")
    fitting = [each for each in known if not _unfit(t_slot, each, bench)]
    if not fitting:
        told = "; ".join(f"{each.name}: {_unfit(t_slot, each, bench)}" for each in known)
        raise Refusal(
            t_slot.where.at("head_width"),
            f"no cutter of the crib makes the head of {t_slot.name!r}"
            + (f" ({told})" if told else ""),
            _what_would(t_slot, bench),
        )
    return min(fitting, key=lambda each: abs(each.diameter - t_slot.head_width.middle))


def _unfit(t_slot: TSlot, cutter: Cutter, bench: Bench) -> str:
    """Return why a cutter does not make the head in one pass, empty where it does."""
    assert cutter.neck is not None
    say, width, height = bench.say, t_slot.head_width, t_slot.head_height
    if not width.low <= cutter.diameter <= width.high:
        return f"measures {say(cutter.diameter)}, the head is {span(width, bench.job.units)} wide"
    if not height.low <= cutter.flute_length <= height.high:
        return (
            f"a head {say(cutter.flute_length)} high, wanted "
            f"{span(height, bench.job.units)} in one pass"
        )
    most = t_slot.neck.width.low - 2 * ROUND_NECK
    if cutter.neck > most:
        return f"a neck of {say(cutter.neck)} in a slot where it may be {say(most)}"
    if cutter.reach < t_slot.depth.middle + FLUTES_ABOVE:
        return f"its shank begins {say(cutter.reach)} up, the slot is {say(t_slot.depth.middle)}"
    return ""


def _what_would(t_slot: TSlot, bench: Bench) -> str:
    """Return which cutter would make the head, for a refusal."""
    units = bench.job.units
    return (
        f"put into the crib a T-slot cutter that measures {span(t_slot.head_width, units)}, its "
        f"head {span(t_slot.head_height, units)} high, its neck up to "
        f"{bench.say(t_slot.neck.width.low - 2 * ROUND_NECK)}, with "
        f"{bench.say(t_slot.depth.middle + FLUTES_ABOVE)} or more up to its shank"
    )
