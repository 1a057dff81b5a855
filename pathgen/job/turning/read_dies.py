"""Reading a thread that is cut by a die, and what it has to stand on."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pathgen.input.getters import Table
from pathgen.job.turning.dies import DieThread
from pathgen.job.turning.edges import Bevel, TurnedEdge
from pathgen.job.turning.grooves import Groove
from pathgen.job.turning.read_edges import profile_before
from pathgen.job.turning.screwed import Screwed
from pathgen.job.turning.turned import Turned, TurnedFeature
from pathgen.reckon.bolt_limits import bolt_limits
from pathgen.reckon.threads import Thread
from pathgen.shop.threads import read_thread

# Metal is squeezed up in a die: the diameter is turned under the major one. Pitches, common
# practice, no source; at the least the class of the bolt says how far, where there is one.
UNDER_LEAST, UNDER_MOST = 0.05, 0.15


def read_die(table: Table, before: Sequence[TurnedFeature]) -> DieThread | None:
    """Read a thread cut by a die, on the first diameter of a profile turned before it."""
    name, of = table.text("name"), table.text("of")
    found = read_thread(table)
    length = table.length("length", above=0)
    turned = profile_before(table, of, 1, before)
    table.no_more()
    if table.faulty or found is None or turned is None:
        return None
    die = DieThread(
        name=name,
        of=of,
        thread=found,
        length=length,
        before=before_the_die(found),
        where=table.where(),
    )
    _guard_diameter(table, die, turned)
    _guard_lead_in(table, die, before)
    _guard_length(table, die, turned, before)
    return die


def before_the_die(found: Thread) -> tuple[float, float]:
    """Return what a diameter has to lie between before a die goes on it, mm.

    >>> from pathgen.reckon.thread_names import thread
    >>> before_the_die(thread("M10"))
    (9.732, 9.925)
    """
    high = found.major - UNDER_LEAST * found.pitch
    try:
        return bolt_limits(found).major[0], high
    except ValueError:  # no class of it is known
        return found.major - UNDER_MOST * found.pitch, high


def _guard_diameter(table: Table, die: DieThread, turned: Turned) -> None:
    """Record a diameter that the die would not go on, or that leaves its thread too shallow."""
    diameter, (low, high) = turned.steps[0].diameter, die.before
    if diameter.low < low or diameter.high > high:
        table.wrong(
            "thread",
            f"{die.thread.designation} on {table.say(diameter.low, diameter.high)}",
            f"turn it to diameter_limits within {low:.3f} to {high:.3f} mm",
        )


def _guard_lead_in(table: Table, die: DieThread, before: Sequence[TurnedFeature]) -> None:
    """Record an end on which the die cannot begin: without a chamfer down to the root."""
    edges = [
        each
        for each in before
        if isinstance(each, TurnedEdge) and (each.of, each.step) == (die.of, 1)
    ]
    if any(isinstance(each.shape, Bevel) and each.foot <= die.root for each in edges):
        return
    wide = math.ceil(10 * (die.before[1] / 2 - die.root)) / 10
    table.wrong(
        "thread",
        f"no chamfer before it down to the root of {die.thread.designation},"
        f" {table.say(2 * die.root)} across",
        f"give a chamfer of {die.of}, {table.say(wide)} wide or more, before it",
    )


def _guard_length(
    table: Table, die: DieThread, turned: Turned, before: Sequence[TurnedFeature]
) -> None:
    """Record a thread whose die would come to the shoulder before it is as long as wanted."""
    to = turned.steps[0].to.low
    if -die.end > to:
        most = to - (-die.end - die.length)
        table.wrong(
            "length",
            f"{table.say(die.length)} to a shoulder at {table.say(to)}: the die's lead takes"
            f" {table.say(-die.end - die.length)} of that",
            f"give {table.say(most)} or less" if most > 0 else "turn further along",
        )
    for each in before:
        match each:
            case Groove() if (each.of, each.step) == (die.of, 1) and each.right.middle < die.length:
                table.wrong(
                    "length",
                    f"{table.say(die.length)}, {each.name} begins at"
                    f" {table.say(each.right.nominal)}",
                    "let the full thread end where the groove begins",
                )
            case _:
                pass


def guard_dies(table: Table, features: Sequence[TurnedFeature]) -> None:
    """Record what goes with no thread that is cut by a die, or comes too late for it."""
    dies = [(index, each) for index, each in enumerate(features) if isinstance(each, DieThread)]
    if len(dies) > 1:
        table.wrong("feature", f"{len(dies)} threads by dies", "give one in a setup")
    for index, die in dies[:1]:
        for each in features:
            if isinstance(each, Screwed) and not each.inside and each.step == die.step:
                said = f"{die.name} by a die, {each.name} screw-cut"
                table.wrong("feature", said, "leave out one of the two")
        for each in features[index + 1 :]:
            if isinstance(each, Turned) or _on_its_diameter(each):
                said = f"{each.name} after {die.name}"
                table.wrong("feature", said, "put the die after it: a thread is no place to touch")


def _on_its_diameter(each: TurnedFeature) -> bool:
    """Return whether a feature is on the first diameter of a profile."""
    return isinstance(each, Groove | TurnedEdge) and each.step == 1
