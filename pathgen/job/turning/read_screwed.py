"""Reading screw-cut threads, and what they stand on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pathgen.input.getters import Table
from pathgen.job.sizes import Size
from pathgen.job.turning.inside import Bored, Recess
from pathgen.job.turning.screwed import Screwed, starting_groove
from pathgen.job.turning.turned import Turned, TurnedFeature
from pathgen.reckon.bolt_limits import bolt_limits
from pathgen.reckon.nut_limits import nut_limits
from pathgen.reckon.screw_cutting import best_wire, wires_that_measure
from pathgen.reckon.threads import Thread
from pathgen.shop.threads import read_thread

UNDER = 0.15  # pitches that the turned diameter may be under the major one where no class says
OVER = 0.25  # pitches that a bore may be over the minor one where no class says
WAYS = ("straight in", "compound")  # in which a lathe with handles takes each pass deeper
WIRE_STEP = 0.05  # mm, to which the best wire is rounded where a job names none


@dataclass(frozen=True, slots=True, kw_only=True)
class _Limits:
    """Limits of a thread, outside or inside; mm."""

    name: str
    crest: tuple[float, float]
    pitch: tuple[float, float]
    root: float


def read_screwed(table: Table, before: Sequence[TurnedFeature]) -> Screwed | None:
    """Read a screw-cut thread; what it is cut in comes before it."""
    name = table.text("name")
    found = read_thread(table)
    of = _bore(table, before) if table.has("of") else ""
    step, begins = (1, 0.0) if of else _step(table, before)
    length = table.length("length", above=0)
    run_out = table.length("run_out", above=0)
    key = "pitch_diameter_limits"
    own = table.lengths(key, count=2) if table.has(key) else None
    wire = table.length("wire", above=0) if table.has("wire") else None
    slanted = table.choice("way", WAYS, default=WAYS[0]) == "compound"
    if of and wire is not None:
        table.wrong("wire", "of a thread inside", "leave it out: a plug gauge or its screw tells")
    table.no_more()
    if table.faulty or found is None:
        return None
    limits = _limits(table, found, own, inside=bool(of))
    if found.left_hand and found.starts > 1:
        table.wrong(
            "thread",
            f"{found.designation}: left-handed and of several starts",
            "give one of the two; both together are not planned",
        )
    if of and found.left_hand:
        table.wrong(
            "thread",
            f"{found.designation} in a bore: it is cut from a groove that cannot be seen, outwards",
            "tap it, or turn the part round and cut a right-hand one",
        )
    if slanted:
        _guard_slanted(table, found, inside=bool(of))
    chosen = 0.0 if of else _wire(table, found, wire)
    if limits is None or table.faulty:
        return None
    low, high = limits.pitch
    return Screwed(
        name=name,
        thread=found,
        of=of,
        step=step,
        begins=begins,
        length=length,
        run_out=run_out,
        pitch=Size(nominal=found.pitch_diameter, low=low, high=high, basis=limits.name),
        crest=limits.crest,
        root=limits.root,
        wire=chosen,
        by_compound=slanted,
        where=table.where(),
    )


def _guard_slanted(table: Table, found: Thread, *, inside: bool) -> None:
    """Record a thread that is not cut by the compound."""
    why = ""
    if inside:
        why = "in a bore: there the compound would have to be swung the other way"
    elif found.left_hand:
        why = "left-handed: its leading flank is the other one"
    elif found.starts > 1:
        why = f"of {found.starts} starts: the compound would come back by its slack for each"
    if why:
        table.wrong("way", f'"compound", and the thread is {why}', f'way = "{WAYS[0]}"')


def _bore(table: Table, before: Sequence[TurnedFeature]) -> str:
    """Read the name of the bore that a thread is cut in."""
    name = table.text("of")
    bores = [each.name for each in before if isinstance(each, Bored)]
    if name and name not in bores:
        table.wrong(
            "of",
            f"{name!r} is no bore that comes before it",
            f"name one: {', '.join(bores)}" if bores else "bore it first, with kind = bored",
        )
    return name


def _step(table: Table, before: Sequence[TurnedFeature]) -> tuple[int, float]:
    """Read which diameter a thread outside is cut on; return that, and where it begins, mm."""
    step = table.whole("step", default=1, least=1)
    turned = next((each for each in before if isinstance(each, Turned)), None)
    if turned is None or step == 1:
        return step, 0.0
    if step > len(turned.steps):
        table.wrong(
            "step",
            f"{step}, {turned.name} has {len(turned.steps)} diameters",
            "count them from the right face",
        )
        return 1, 0.0
    return step, turned.steps[step - 2].to.middle


def _limits(
    table: Table, found: Thread, own: tuple[float, ...] | None, *, inside: bool
) -> _Limits | None:
    """Return the limits of a thread: the job's own, or those of the usual class."""
    try:
        if inside:
            return _own_nut(table, found, own) if own is not None else _nut(found)
        return _own_bolt(table, found, own) if own is not None else _bolt(found)
    except ValueError as error:
        mate = "screw" if inside else "nut"
        table.wrong(
            "thread", str(error), f"give pitch_diameter_limits, from the standard or the {mate}"
        )
        return None


def _bolt(found: Thread) -> _Limits:
    known = bolt_limits(found)
    return _Limits(name=known.name, crest=known.major, pitch=known.pitch, root=known.minor_most)


def _nut(found: Thread) -> _Limits:
    known = nut_limits(found)
    return _Limits(name=known.name, crest=known.minor, pitch=known.pitch, root=known.major_least)


def _own_bolt(table: Table, found: Thread, own: tuple[float, ...]) -> _Limits:
    low, high = own
    if not low < high <= found.pitch_diameter:
        most = table.say(found.pitch_diameter)
        _wrong_own(table, own, f"the smaller first, the larger no more than {most}")
    crest = (found.major - UNDER * found.pitch, found.major)
    return _Limits(name="own limits", crest=crest, pitch=(low, high), root=found.minor_internal)


def _own_nut(table: Table, found: Thread, own: tuple[float, ...]) -> _Limits:
    low, high = own
    if not found.pitch_diameter <= low < high:
        least = table.say(found.pitch_diameter)
        _wrong_own(table, own, f"the smaller first, no less than {least}")
    crest = (found.minor_internal, found.minor_internal + OVER * found.pitch)
    return _Limits(name="own limits", crest=crest, pitch=(low, high), root=found.major)


def _wrong_own(table: Table, own: tuple[float, ...], right: str) -> None:
    table.wrong("pitch_diameter_limits", table.say(*own), right)


def _wire(table: Table, found: Thread, wire: float | None) -> float:
    """Return the wire that the job names, or the best one; record one that does not measure."""
    low, high = wires_that_measure(found.pitch, found.form)
    if wire is None:
        best = best_wire(found.pitch, found.form.angle_deg)
        return max(round(best / WIRE_STEP) * WIRE_STEP, low)
    if not low <= wire <= high:
        table.wrong("wire", table.say(wire), f"one between {table.say(low)} and {table.say(high)}")
    return wire


# ---------------------------------------------------------------------- what they stand on


def guard_threads(table: Table, features: Sequence[TurnedFeature]) -> None:
    """Record threads that do not stand on what is turned or bored before them."""
    threads = [each for each in features if isinstance(each, Screwed)]
    if len(threads) > 1:
        table.wrong("feature", f"{len(threads)} screw-cut threads", "give one in a setup")
    for each in threads:
        before = features[: features.index(each)]
        if each.inside:
            _guard_inside(table, each, features)
        else:
            _guard_outside(table, each, before)


def _guard_outside(table: Table, screwed: Screwed, before: Sequence[TurnedFeature]) -> None:
    """Record a thread that does not stand on the first turned diameter."""
    turned = next((each for each in before if isinstance(each, Turned)), None)
    if turned is None:
        table.wrong("feature", f"{screwed.name} on nothing turned", "turn its diameter first")
        return
    step = turned.steps[screwed.step - 1]
    _guard_diameter(table, screwed, step.diameter, "turn")
    sharp = screwed.pitch.low - screwed.thread.form.height * screwed.thread.pitch
    for each in turned.steps[: screwed.step - 1]:
        if each.diameter.high > sharp:
            table.wrong(
                "feature",
                f"{screwed.name} behind {table.say(each.diameter.high)} across, which its tool"
                " would cut on its way in",
                f"turn that to {table.say(sharp)} or less",
            )
    if -screwed.end > step.to.low:
        table.wrong(
            "feature",
            f"{screwed.name} runs out {table.say(-screwed.end)} from the right face, its diameter"
            f" ends at {table.say(step.to.low)}",
            "give a shorter length or run_out, or turn further along",
        )
    if screwed.along > 0 and starting_groove(screwed, before) is None:
        table.wrong(
            "feature",
            f"{screwed.name}, {screwed.thread.designation}: a left-hand thread is cut away from the"
            " chuck, and nothing is there for the tool to begin in",
            "put a groove or an undercut before it, from its length on and as wide as its run_out",
        )


def _guard_inside(table: Table, screwed: Screwed, features: Sequence[TurnedFeature]) -> None:
    """Record a thread that does not stand on the first diameter of its bore, or has no room."""
    bored = next(e for e in features if isinstance(e, Bored) and e.name == screwed.of)
    step = bored.steps[0]
    _guard_diameter(table, screwed, step.diameter, "bore")
    if step.to is not None and -screwed.end > step.to.low:
        table.wrong(
            "feature",
            f"{screwed.name} runs out {table.say(-screwed.end)} from the right face, its bore"
            f" ends at {table.say(step.to.low)}",
            "give a shorter length or run_out, or bore deeper",
        )
    for recess in (each for each in features if isinstance(each, Recess)):
        _guard_groove(table, screwed, recess)


def _guard_groove(table: Table, screwed: Screwed, recess: Recess) -> None:
    """Record a recess that a thread inside runs into and that is no room for it to run out."""
    if recess.start.low >= -screwed.end:
        return
    sharp = screwed.pitch.high + screwed.thread.form.height * screwed.thread.pitch
    if recess.start.high > screwed.length:
        wrong = f"begins {table.say(recess.start.high)} from the right face"
        right = f"at {table.say(screwed.length)}, where the full thread ends, or before"
    elif recess.start.low + recess.width.low < -screwed.end:
        wrong = f"ends {table.say(recess.start.low + recess.width.low)} from the right face"
        right = f"at {table.say(-screwed.end)}, where the thread has run out, or beyond"
    elif recess.diameter.low < sharp:
        wrong = f"is {table.say(recess.diameter.low)} across at its least"
        right = f"{table.say(sharp)} or more, clear of the tool's tip"
    else:
        return
    table.wrong("feature", f"{recess.name}, which {screwed.name} runs out in, {wrong}", right)


def _guard_diameter(table: Table, screwed: Screwed, diameter: Size, make: str) -> None:
    """Record a diameter that a thread is cut on and that its class does not have."""
    low, high = screwed.crest
    if diameter.low < low or diameter.high > high:
        table.wrong(
            "feature",
            f"{screwed.thread.designation} on {table.say(diameter.low, diameter.high)}",
            f"{make} it to diameter_limits within {table.say(low, high)}",
        )
