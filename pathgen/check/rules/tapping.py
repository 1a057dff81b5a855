"""Whether each tapped hole is stopped over for its tap: when, how high, and what is said there.

A thread cut by hand cannot be judged, the stop for it can. Of one that the spindle drives the moves
are looked at.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.measured.finished import NOISE
from pathgen.check.measured.finished_holes import FinishedHole, FinishedHoles, near_words
from pathgen.check.measured.hole_legs import legs_in, off_place
from pathgen.check.metal.legs import Ints
from pathgen.check.rules.driven_taps import driven_findings, driven_taps
from pathgen.check.rules.hands import lowest_of
from pathgen.moves.actions import Pause, Spindle
from pathgen.moves.moves import Arc, Drill, Feed, Rapid, end_of


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stop:
    """A stop of a run: where the cutter stands, mm; how fast it turns; what is said."""

    at: tuple[float, float, float]
    rpm: float
    reason: str
    item: int  # which of the run
    number: int  # its line or step


def tapping_findings(context: Context, finished: FinishedHoles, cuts: Ints) -> Iterator[Finding]:
    """Yield what is wrong with the stops for the tap over the holes of a feature.

    Args:
        context: what every rule is given.
        finished: the holes as the moves leave them.
        cuts: the legs that may cut the blank.
    """
    tapping = finished.holes.tapping
    if tapping is None:
        return
    name = tapping.thread.designation
    stops = list(_stops(context))
    driven = list(driven_taps(context))
    for hole in finished.each:
        taps = [tap for tap in driven if off_place(hole, tap.at) <= NOISE]
        if taps:
            yield from driven_findings(context, finished.holes, hole, taps[-1])
            yield from _cut_after(context, finished, hole, (cuts, taps[-1].item, taps[-1].number))
            continue
        here = [stop for stop in stops if off_place(hole, stop.at[:2]) <= NOISE]
        meant = [stop for stop in here if _names(stop.reason, name)]
        if not meant:
            yield _untapped(context, finished, hole, here)
            continue
        yield from _at_the_stop(context, meant[-1])
        yield from _cut_after(context, finished, hole, (cuts, meant[-1].item, meant[-1].number))


def _cut_after(
    context: Context, finished: FinishedHoles, hole: FinishedHole, tapped: tuple[Ints, int, int]
) -> Iterator[Finding]:
    """Yield the finding of a cut in a hole after it was tapped: (cuts, item, line or step)."""
    cuts, item, number = tapped
    late = legs_in(context, cuts, hole, finished.holes.mouth / 2)
    late = late[context.legs.item[late] > item]
    if len(late):
        yield context.finding(
            "order",
            f"cut in the {near_words(hole.place)} of {finished.holes.name!r} after it was "
            f"tapped ({context.run.where} {number})",
            int(late[0]),
            "tap last, once all else is done in the hole",
        )


def _untapped(
    context: Context, finished: FinishedHoles, hole: FinishedHole, here: list[_Stop]
) -> Finding:
    """Return the finding of a hole that nothing stops to tap, or not with its own thread."""
    assert finished.holes.tapping is not None
    name, place = finished.holes.tapping.thread.designation, near_words(hole.place)
    if not here:
        return context.finding_at(
            "not tapped",
            f"nothing stops to tap the {place} of {finished.holes.name!r}",
            (None, (*hole.place.at, context.box[1][2])),
            f"stop over it to tap {name}, the spindle standing, once all is drilled",
        )
    return context.finding_by(
        "not tapped",
        f"the stop over the {place} of {finished.holes.name!r} does not say to tap {name}",
        here[-1].number,
        f"name {name} there: another tap would be taken, or none",
    )


def _at_the_stop(context: Context, stop: _Stop) -> Iterator[Finding]:
    """Yield what is wrong with the spindle at a stop for the tap: its turning, its height."""
    if stop.rpm != 0:
        yield context.finding_by(
            "spindle", "a hole is tapped while the spindle turns", stop.number, "stop it first"
        )
    machine, top = context.machine, context.box[1][2]
    wanted = machine.room_for_hands(top, lowest_of(context))
    if machine.manual:
        wanted = max(0.0, wanted - machine.slide("z").per_turn)
    room = stop.at[2] - top
    if room < wanted - max(NOISE, 2 * context.run.doubt.setting[2]):
        yield context.finding_by(
            "room",
            f"the cutter stands {room:.1f} mm above the work where hands put in a tap",
            stop.number,
            f"raise it to {wanted:.1f} mm or more above the work first",
            amount=wanted - room,
        )


def _names(reason: str, name: str) -> bool:
    """Return whether a thread's name stands in a text, however it is spaced or punctuated.

    >>> _names("tap the hole, m6, through", "M6"), _names("tap M6x0.75", "M6")
    (True, False)
    """
    wanted, said = _spelt(name), _spelt(reason)
    return f" {wanted} " in f" {said} "


def _spelt(text: str) -> str:
    return " ".join(re.findall(r"[^\s,;:()\[\]]+", text.lower()))


def _stops(context: Context) -> Iterator[_Stop]:
    """Yield each stop of a run."""
    at, rpm = (math.nan, math.nan, math.nan), 0.0
    pairs = zip(context.run.items, context.run.numbers, strict=True)
    for index, (item, number) in enumerate(pairs):
        if isinstance(item, Rapid | Feed | Arc | Drill):
            at = end_of(item)
        elif isinstance(item, Spindle):
            rpm = item.rpm
        elif isinstance(item, Pause):
            yield _Stop(at=at, rpm=rpm, reason=item.reason, item=index, number=number)
