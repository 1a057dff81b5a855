"""A screw-cut thread outside: which one, how long, and what room it has to run out; and reading it.

It begins at the finished right face, on the first diameter that is turned there.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from pathgen.input.getters import Table
from pathgen.input.where import Where
from pathgen.job.sizes import Size
from pathgen.reckon.bolt_limits import BoltLimits, bolt_limits
from pathgen.reckon.screw_cutting import best_wire, wires_that_measure
from pathgen.reckon.thread_names import thread
from pathgen.reckon.threads import Thread

UNDER = 0.15  # pitches that the turned diameter may be under the major one where no class says
WIRE_STEP = 0.05  # mm, to which the best wire is rounded where a job names none


@dataclass(frozen=True, slots=True, kw_only=True)
class Screwed:
    """A thread cut outside with a pointed tool; lengths in mm."""

    name: str
    thread: Thread
    length: float  # of full thread, from the right face
    run_out: float  # beyond that, where the tool is drawn out
    pitch: Size  # the pitch diameter
    major: tuple[float, float]  # what the turned diameter has to lie between
    minor_most: float  # the largest diameter at the root that a nut goes over
    wire: float  # of the three that it is measured over
    where: Where = field(compare=False, repr=False)

    @property
    def end(self) -> float:
        """Return the z to which the thread may run out, mm."""
        return -(self.length + self.run_out)

    @property
    def lead_error_most(self) -> float:
        """Return by how much an error of the lead may thicken it for its nut, mm.

        A quarter of the limits of the pitch diameter: common practice, no source.
        """
        return (self.pitch.high - self.pitch.low) / 4


def read_screwed(table: Table) -> Screwed | None:
    """Read a screw-cut thread."""
    name = table.text("name")
    found = _thread(table)
    length = table.length("length", above=0)
    run_out = table.length("run_out", above=0)
    own = table.lengths("pitch_diameter_limits", count=2) if _own(table) else None
    wire = table.length("wire", above=0) if table.has("wire") else None
    table.no_more()
    if table.faulty or found is None:
        return None
    limits = _limits(table, found, own)
    chosen = _wire(table, found, wire)
    if limits is None:
        return None
    low, high = limits.pitch
    return Screwed(
        name=name,
        thread=found,
        length=length,
        run_out=run_out,
        pitch=Size(nominal=found.pitch_diameter, low=low, high=high, basis=limits.name),
        major=limits.major,
        minor_most=limits.minor_most,
        wire=chosen,
        where=table.where(),
    )


def _own(table: Table) -> bool:
    return table.has("pitch_diameter_limits")


def _thread(table: Table) -> Thread | None:
    """Read which thread it is: right-handed, of one start."""
    name = table.text("thread")
    if not name:
        return None
    try:
        found = thread(name)
    except ValueError as error:
        table.wrong("thread", str(error), "write a thread as `pathgen reckon` takes it")
        return None
    if found.left_hand or found.starts > 1:
        table.wrong(
            "thread",
            f"{found.designation}: left-handed, or of several starts",
            "give a right-hand thread of one start; others are not planned",
        )
    return found


def _limits(table: Table, found: Thread, own: tuple[float, ...] | None) -> BoltLimits | None:
    """Return the limits of a thread: the job's own, or those of the usual class."""
    if own is not None:
        low, high = own
        if not low < high <= found.pitch_diameter:
            table.wrong(
                "pitch_diameter_limits",
                table.say(low, high),
                f"the smaller first, the larger no more than {table.say(found.pitch_diameter)}",
            )
        return BoltLimits(
            name="own limits",
            major=(found.major - UNDER * found.pitch, found.major),
            pitch=(low, high),
            minor_most=found.minor_internal,
        )
    try:
        return bolt_limits(found)
    except ValueError as error:
        table.wrong(
            "thread", str(error), "give pitch_diameter_limits, from the standard or the nut"
        )
        return None


def _wire(table: Table, found: Thread, wire: float | None) -> float:
    """Return the wire that the job names, or the best one; record one that does not measure."""
    low, high = wires_that_measure(found.pitch, found.form)
    if wire is None:
        best = best_wire(found.pitch, found.form.angle_deg)
        return max(round(best / WIRE_STEP) * WIRE_STEP, low)
    if not low <= wire <= high:
        table.wrong("wire", table.say(wire), f"one between {table.say(low)} and {table.say(high)}")
    return wire


def guard_screwed(table: Table, every: Iterable[Screwed], first: tuple[Size, Size] | None) -> None:
    """Record a thread that does not stand on the first turned diameter.

    Args:
        table: of the setup.
        every: the threads of the setup.
        first: that diameter, and how far from the right face it goes; None where there is none.
    """
    threads = list(every)
    if len(threads) > 1:
        table.wrong("feature", f"{len(threads)} screw-cut threads", "give one in a setup")
    for each in threads:
        if first is None:
            table.wrong("feature", f"{each.name} on nothing turned", "turn its diameter first")
            continue
        diameter, to = first
        low, high = each.major
        if diameter.low < low or diameter.high > high:
            table.wrong(
                "feature",
                f"{each.thread.designation} on {table.say(diameter.low, diameter.high)}",
                f"turn it to diameter_limits within {table.say(low, high)}",
            )
        if -each.end > to.low:
            table.wrong(
                "feature",
                f"{each.name} runs out {table.say(-each.end)} from the right face, its diameter"
                f" ends at {table.say(to.low)}",
                "give a shorter length or run_out, or turn further along",
            )
