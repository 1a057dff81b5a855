"""Tapping by hand under the spindle: what is done once all is drilled, hole by hole."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pathgen.input.where import Refusal
from pathgen.job.holes import Holes, Tapping
from pathgen.job.job import Keepout
from pathgen.job.reading.tapping import LEAD_LEAST
from pathgen.moves.actions import Note, Pause
from pathgen.moves.moves import How, Rapid
from pathgen.moves.plan import Item
from pathgen.plan import cautions
from pathgen.plan.bench import Bench
from pathgen.plan.holes.cutters import engagement_of
from pathgen.plan.holes.order import in_order
from pathgen.reckon.lookalikes import lookalikes
from pathgen.reckon.thread_forms import Basis
from pathgen.shop.cutters import Cutter
from pathgen.shop.taps import LEAD_THREADS, taps_for

NOISE = 1e-9  # mm
MOST_LOOKALIKES = 2  # cautions of threads taken for this one, the likeliest first
CLEAR_OF_THE_TAP = "The tap out and the centre up, clear of the work: only then move anything."


def before_tapping(bench: Bench) -> Iterator[Item]:
    """Yield what comes before the first hole is tapped: the cutter out, a centre in its place."""
    centre = "a pointed centre" if bench.machine.manual else "a sprung centre"
    yield Note(text=cautions.TAPPING, caution=True)
    yield Pause(reason=f"spindle off at its switch; cutter out, {centre} in its place")


def tapping_items(holes: Holes, bench: Bench) -> Iterator[Item]:
    """Yield the tapping of holes by hand: words, then over each hole and a stop.

    The spindle stands still; the machine only sets the place, so that the tap starts square. A
    person may have brought the centre down on the tap, so it is raised before going on.

    Raises:
        Refusal: the tap does not come through, for what lies beneath.
    """
    tapping = holes.tapping
    if tapping is None:
        return
    _refuse_beneath(holes, tapping, bench)
    name = tapping.thread.designation
    for each in lookalikes(tapping.thread)[:MOST_LOOKALIKES]:
        other = each.second.designation
        yield Note(text=f"{name} and {other}: {each.caution}.", caution=True)
    yield Note(text=_how(tapping, bench))
    yield Note(text=_how_far(holes, tapping, bench))
    yield from _short_of_taps(holes, tapping, bench)
    places = in_order([place.at for place in holes.places], bench)
    for number, (x, y) in enumerate(places, start=1):
        what = f"hole {number} of {len(places)}" if len(places) > 1 else "the hole"
        yield Rapid(x, y, bench.hand, How(makes="size", what=f"over {what}, for the tap"))
        yield Pause(reason=f"tap {what} of {holes.name} by hand, {name}, {_depth(tapping, bench)}")
        yield Note(text=CLEAR_OF_THE_TAP)
        yield Rapid(math.nan, math.nan, bench.hand, How(what="up, clear of the tap"))


def _how(tapping: Tapping, bench: Bench) -> str:
    """Return how the tap is kept square and turned."""
    follow = (
        "follow with the centre" if bench.machine.manual else "the centre follows by its spring"
    )
    other = "; it is a left-hand thread: turn the tap the other way"
    return (
        f"To tap {tapping.thread.designation}: the tap upright in the hole, the point of the "
        f"centre in its end; turn it by a wrench, with cutting oil, and {follow}; every half "
        f"turn, back to break the chip{other if tapping.thread.left_hand else ''}."
    )


def _how_far(holes: Holes, tapping: Tapping, bench: Bench) -> str:
    """Return which taps, and how far they go in."""
    thread = tapping.thread
    if tapping.depth is not None and holes.depth is not None:
        end = tapping.depth + LEAD_LEAST * thread.pitch
        return (
            f"{thread.designation}, {_depth(tapping, bench)}: brush the chips out of each hole "
            f"first, a tap breaks on them. Taper tap, second, then bottoming tap, until its end is "
            f"{bench.say(end)} below the {bench.upper}, about {end / thread.lead:.0f} turns; the "
            f"hole is {bench.say(holes.depth.middle)} deep, never force a tap on its bottom."
        )
    air = bench.setup.hold.beneath
    if air >= LEAD_THREADS["taper"] * thread.pitch:
        return f"{thread.designation}, right through: the taper tap, until its full thread is out."
    last = "second" if air >= LEAD_THREADS["second"] * thread.pitch else "bottoming"
    return (
        f"{thread.designation}, right through: only {bench.say(air)} of air lies beneath. The "
        f"taper tap until its end is out by less, then the {last} tap until its full thread is out."
    )


def _refuse_beneath(holes: Holes, tapping: Tapping, bench: Bench) -> None:
    """Refuse to tap through where not even a bottoming tap comes through."""
    if holes.depth is not None:
        return
    wanted = LEAD_LEAST * tapping.thread.pitch
    if bench.setup.hold.beneath < wanted:
        raise Refusal(
            bench.setup.where.at("hold.beneath"),
            f"a tap for {tapping.thread.designation} comes {bench.say(wanted)} out of the "
            f"underside before its thread is full, with {bench.say(bench.setup.hold.beneath)} of "
            "air there",
            f"hold the blank with {bench.say(wanted)} or more under the holes",
        )
    met = in_the_way(holes, tapping, bench, wanted)
    if met is not None:
        box, (x, y) = met
        raise Refusal(
            bench.setup.where.at("hold.keepouts"),
            f"{box.name} lies in the way of the tap under the hole at x {bench.say(x)}, y "
            f"{bench.say(y)}: it comes {bench.say(wanted)} out of the underside",
            f"keep it {bench.say(tapping.thread.major / 2)} or more from the hole's axis",
        )


def in_the_way(
    holes: Holes, tapping: Tapping, bench: Bench, below: float
) -> tuple[Keepout, tuple[float, float]] | None:
    """Return what a tap meets that comes so far out of the underside, and at which hole."""
    for box in bench.setup.hold.keepouts:
        for place in holes.places:
            under = _is_under(box, place.at, tapping.thread.major / 2)
            if under and _spans(box, bench.bottom, below):
                return box, place.at
    return None


def _is_under(box: Keepout, place: tuple[float, float], radius: float) -> bool:
    """Return whether a box comes within a radius of an axis, seen from above."""
    away = [
        max(low - at, at - high, 0.0)
        for low, high, at in zip(box.low[:2], box.high[:2], place, strict=True)
    ]
    return math.hypot(*away) < radius


def _spans(box: Keepout, bottom: float, below: float) -> bool:
    """Return whether a box is met between the underside and so far below it."""
    return box.low[2] < bottom and box.high[2] > bottom - below


def _short_of_taps(holes: Holes, tapping: Tapping, bench: Bench) -> Iterator[Note]:
    """Yield a caution where no tap of the crib is short enough at its end to finish the thread."""
    leads = taps_for(tapping.thread, bench.taps)
    if not leads:
        return
    name, last = tapping.thread.designation, leads[-1]
    lead = LEAD_THREADS[last] * tapping.thread.pitch
    if tapping.depth is not None and holes.depth is not None:
        room = holes.depth.low - tapping.depth
        left = f"may leave the last {bench.say(lead - room)} of the thread less than full"
    else:
        room = bench.setup.hold.beneath
        left = (
            f"comes {bench.say(lead)} out before its thread is full, into {bench.say(room)} of air"
        )
    if lead > room + NOISE:
        yield Note(text=f"The {last} tap, the crib's last of {name}, {left}.", caution=True)


def no_tap(tapping: Tapping, bench: Bench) -> tuple[str, ...]:
    """Return the caution that the crib lists no tap, none where it does."""
    if taps_for(tapping.thread, bench.taps):
        return ()
    missing = f"The crib lists no tap for {tapping.thread.designation}"
    return (f"{missing}: see that one is at hand before the holes are drilled.",)


def _depth(tapping: Tapping, bench: Bench) -> str:
    if tapping.depth is None:
        return "right through"
    return f"{bench.say(tapping.depth)} of full thread"


def drill_words(tapping: Tapping, drill: Cutter) -> str:
    """Return what a tapping drill gives, and what the share is counted by."""
    share = engagement_of(tapping, drill)
    basis: Basis = tapping.thread.form.basis()
    return f"for {tapping.thread.designation}: {share:.0%} of a full thread ({basis.words})"
