"""The last passes of a thread: to size over three wires outside, by a gauge or the screw inside."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.moves.actions import Measure, Pause, Spindle
from pathgen.moves.moves import How, Rule, Term
from pathgen.moves.plan import Item
from pathgen.plan.turning.thread_passes import Passes
from pathgen.plan.turning.thread_tool import ThreadCutting
from pathgen.plan.turning.ways import along
from pathgen.reckon.screw_cutting import over_wires, pitch_diameter_at

LEFT = 0.06  # mm on the radius left when the thread is measured; more than half of OFF
OFF = 0.08  # mm by which the size over wires may be off what the dial says
CUTS_TO_SIZE = 3  # equal ones, from what was measured: about the chip of the passes before
SPRING_PASSES = 2  # at the last setting once more; common practice, no source
TO_TRY = 40.0  # mm in front of the bore, beside the thread's length, for a gauge and the hand
FITS = 2  # further cuts inside, for where the gauge is still tight
FIRST_TRY = 0.25  # of the limits of the pitch diameter that is left when it is first tried
SPRING = "at the same setting once more: it takes out the spring"


def to_size(passes: Passes, name: str) -> Iterator[Item]:
    """Yield what comes after the passes of even chip area; ``name`` is that of a measurement."""
    if passes.cutting.screwed.inside:
        return _by_gauge(passes)
    return _by_wires(passes, name)


def left_before(passes: Passes) -> float:
    """Return how much the passes of even chip area leave on the radius, mm."""
    return LEFT + abs(passes.cutting.tip - _first_tip(passes))


def _first_tip(passes: Passes) -> float:
    """Return where the tip is when the thread is to size for the first time.

    Inside that is a little before the middle of its limits: a gauge tells when it is enough.
    """
    cutting, pitch = passes.cutting, passes.cutting.screwed.pitch
    if not cutting.screwed.inside or passes.gear.nuts == "control":
        return cutting.tip
    return cutting.tip_at(pitch.middle - FIRST_TRY * (pitch.high - pitch.low))


def _stopped(passes: Passes, *items: Item) -> Iterator[Item]:
    """Yield what is done with the spindle stopped; with half-nuts that stay closed it is so."""
    if passes.gear.nuts == "closed":
        yield from items
    else:
        yield from (Spindle(rpm=0.0), *items, Spindle(rpm=passes.rpm))


# ---------------------------------------------------------------------- outside


def _by_wires(passes: Passes, name: str) -> Iterator[Item]:
    """Yield the size over wires, and the cuts that follow it; without a name nothing is measured.

    The last of them is made again and again at its setting.
    """
    cutting = passes.cutting
    if name:
        yield from _stopped(passes, _over_wires(cutting, name))
    for count in range(1, CUTS_TO_SIZE + SPRING_PASSES + 1):
        number = min(count, CUTS_TO_SIZE)
        x = cutting.tip + LEFT * (CUTS_TO_SIZE - number) / CUTS_TO_SIZE
        yield from passes.one(x, _finishing(cutting, name, count))


def _over_wires(cutting: ThreadCutting, name: str) -> Measure:
    """Return the measurement over three wires, before the cuts to size."""
    screwed, thread = cutting.screwed, cutting.screwed.thread
    found = pitch_diameter_at(
        cutting.tip + LEFT, thread.pitch, thread.form, cutting.tool.nose_radius
    )
    angle = thread.form.angle_deg
    expected = over_wires(found, thread.pitch, angle, screwed.wire, thread.lead)
    return Measure(
        name=name,
        what=f"over three wires of {screwed.wire:.3f} mm, two in neighbouring grooves and one"
        " opposite",
        expected=expected,
        low=expected - OFF,
        high=expected + OFF,
        found_by="spring",
        advice="a reading or a turn was missed, or the wires are others: find out which",
    )


def _finishing(cutting: ThreadCutting, name: str, count: int) -> How:
    """Return how one of the passes to size is set: by its share of what was found."""
    number = min(count, CUTS_TO_SIZE)
    left = LEFT * (CUTS_TO_SIZE - number) / CUTS_TO_SIZE
    terms = [Term("the tip at the depth of the thread", cutting.tip)]
    if left:
        terms.append(Term("left for the passes after this", left))
    rules = (Rule(axis="x", measure=name, factor=-number / (2 * CUTS_TO_SIZE)),) if name else ()
    spring = "at the same setting once more: it takes out the spring"
    what = spring if count > CUTS_TO_SIZE else f"cut {number} of {CUTS_TO_SIZE} to size"
    return How(makes="size", what=what, sums=(("x", tuple(terms)),), rules=rules)


# ---------------------------------------------------------------------- inside


def _by_gauge(passes: Passes) -> Iterator[Item]:
    """Yield the cuts to where the gauge may go in, its trial, and cuts for where it does not."""
    cutting = passes.cutting
    first = _first_tip(passes)
    for number in range(1, CUTS_TO_SIZE + 1):
        left = LEFT * (CUTS_TO_SIZE - number) / CUTS_TO_SIZE
        how = _set_to(first, -left, f"cut {number} of {CUTS_TO_SIZE} to size")
        yield from passes.one(passes.short_of(first, left), how)
    room = cutting.screwed.length + TO_TRY
    for number in range(1, SPRING_PASSES + 1):
        back = room if number == SPRING_PASSES else None
        yield from passes.one(first, _set_to(first, 0.0, SPRING), back)
    yield from _stopped(passes, _tried(passes, last=first == cutting.tip))
    for number in range(1, FITS + 1) if first != cutting.tip else ():
        yield from _one_more(passes, number, room)


def _one_more(passes: Passes, number: int, room: float) -> Iterator[Item]:
    """Yield one of the further cuts, the last at the middle of the limits, and another trial."""
    cutting = passes.cutting
    first = _first_tip(passes)
    x = first + (cutting.tip - first) * number / FITS
    how = _set_to(x, 0.0, f"cut {number} of {FITS} for a tight gauge")
    if passes.gear.nuts == "dial":
        yield along(passes.start, "in again, the half-nuts open")
    yield from passes.one(x, how, room)
    yield from _stopped(passes, _tried(passes, last=number == FITS))


def _set_to(tip: float, left: float, what: str) -> How:
    """Return how a pass is set: where its tip is at its size, less what is left for later ones."""
    terms = [Term("the tip at the depth of the thread", tip)]
    if left:
        terms.append(Term("left for the passes after this", left))
    return How(makes="size", what=what, sums=(("x", tuple(terms)),))


def _tried(passes: Passes, *, last: bool) -> Pause:
    """Return the trial by a gauge, or by the screw that goes in."""
    screwed, length = passes.cutting.screwed, passes.cutting.screwed.length
    tight = f"If it is tight{_tight(passes)}" if last else _goes_in(passes)
    return Pause(
        reason=f"Try the GO plug gauge of {screwed.thread.designation}, {screwed.pitch.basis}, or"
        " the screw that goes in: spindle stopped, the thread brushed clean. By hand, never by"
        f" force, it has to go in over all of the {passes.cutting.bench.say(length)}. {tight}"
    )


def _goes_in(passes: Passes) -> str:
    """Return where the work goes on if the gauge goes in before the last cut that there may be."""
    closed = passes.gear.nuts == "closed"
    after = "where the half-nuts are opened" if closed else "with what comes after this thread"
    return (
        f"Where it goes in, the thread is done: go on {after}; only where it is tight, go on here."
    )


def _tight(passes: Passes) -> str:
    """Return what is done where the gauge is tight after the last cut."""
    again = (
        ", run the lines of the last cut again before you go on"
        if passes.gear.nuts == "control"
        else " even so, make the last cut again at its reading until it takes no chip"
    )
    return (
        f"{again}; if it stays tight, find out what was missed before anything more is cut. What is"
        " taken out of the chuck cannot be cut further."
    )
