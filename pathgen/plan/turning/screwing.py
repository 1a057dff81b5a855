"""Screw-cutting: the tool, what draws it along, its speed and its passes, put together."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from pathgen.input.where import Refusal
from pathgen.job.screwed import Screwed, starting_groove
from pathgen.moves.actions import HalfNuts, Spindle, WorkBy
from pathgen.moves.plan import Item
from pathgen.plan.turning.bench import CLEAR, PAST_CONE, TurnedOperation, TurningBench
from pathgen.plan.turning.boring import inside_zeros
from pathgen.plan.turning.facing import end_touched
from pathgen.plan.turning.figures import TurningFigures, lathe_speed
from pathgen.plan.turning.thread_cautions import cautions_of
from pathgen.plan.turning.thread_gear import Gear, gear_for
from pathgen.plan.turning.thread_passes import Passes
from pathgen.plan.turning.thread_slant import Slant
from pathgen.plan.turning.thread_to_size import left_before, to_size
from pathgen.plan.turning.thread_tool import ThreadCutting, cutting_for, first_turned
from pathgen.plan.turning.ways import across, along
from pathgen.plan.turning.zeros import BY_POINT, IN_CORNER, corner_touched
from pathgen.reckon.cutting import cutting_data
from pathgen.reckon.screw_cutting import overrun, speed_to_clear
from pathgen.reckon.speeds import spindle_speed
from pathgen.shop.machines import Machine

CONE_DEG = 30.0  # between the side of a centre and the axis


def plan_screwed(screwed: Screwed, bench: TurningBench, machine: Machine) -> TurnedOperation:
    """Return the passes that cut a thread.

    Args:
        screwed: the thread.
        bench: what there is.
        machine: the lathe with all its slides: the carriage goes along.

    Raises:
        Refusal: no tool, no wheels, no room to run out, or no word to keep step by.
    """
    cutting = cutting_for(screwed, bench)
    gear = gear_for(screwed, machine)
    figures = _figures(cutting, gear)
    _guard_centre(cutting, gear)
    passes = Passes(cutting=cutting, gear=gear, rpm=figures.rpm)
    touched = cutting.diameter if screwed.inside else first_turned(bench).steps[0].diameter
    zeros = _zeros(cutting, figures.rpm) if screwed.inside else None
    slant = passes.slant(abs(cutting.surface - cutting.tip) - left_before(passes))
    return TurnedOperation(
        purpose="thread",
        feature=screwed.name,
        tool=cutting.tool,
        figures=figures,
        why=f"{screwed.thread.designation}, {screwed.pitch.basis}; {gear.why}; {figures.why}"
        + _by_compound(slant),
        items=tuple(_items(passes, slant)),
        depth_of_cut=passes.first_depth,
        touched=touched.middle,
        still=() if slant is None else slant.swung(),
        zeros=zeros,
        by=_by(machine, outwards=screwed.inside),
        wheels=gear.wheels,
    )


def _by_compound(slant: Slant | None) -> str:
    """Return how the compound stands, in words; nothing where it is not swung."""
    if slant is None:
        return ""
    return (
        f"; in by the {slant.compound.name}, {slant.square_deg:g} degrees from square to the axis,"
        " the cuts to size straight in"
    )


def _items(passes: Passes, slant: Slant | None) -> Iterator[Item]:
    """Yield the cautions, the passes, the measurement and the passes to size."""
    cutting, closed = passes.cutting, passes.gear.nuts == "closed"
    yield from cautions_of(passes)
    yield along(passes.start + (slant.right(0.0) if slant else 0.0))
    if closed:  # the carriage goes whenever the spindle turns: each pass starts it
        yield from (Spindle(rpm=0.0), HalfNuts(closed=True))
    if slant is not None:
        yield from passes.slanted(slant)
    else:
        yield from passes.roughing(abs(cutting.surface - cutting.tip) - left_before(passes))
    yield from to_size(passes, "W1" if cutting.bench.manual else "")
    if closed:
        yield HalfNuts(closed=False)


def _zeros(cutting: ThreadCutting, rpm: float) -> tuple[Item, ...]:
    """Return how a point on a bar finds its zeros: on the wall, then by a flank on the corner."""
    bench, tool = cutting.bench, cutting.tool
    wall = inside_zeros(bench, tool, cutting.surface, rpm)[0]
    at = corner_touched(tool)
    label = "the bore's corner, the point beside it"
    beside = cutting.surface + IN_CORNER
    over = (across(beside, "out, its point a little beyond the wall"),) if bench.manual else ()
    return (
        wall,
        *over,
        replace(end_touched(tool.name, rpm, at, label), uncertainty=BY_POINT),
        along(at + CLEAR, "off the end"),
        across(cutting.clear, "in, in line with the bore"),
    )


def _by(machine: Machine, *, outwards: bool) -> WorkBy | None:
    """Return the slides that a thread is cut by: across, and the carriage."""
    if not machine.manual:
        return None
    return WorkBy(slides=(machine.slide("x").name, _carriage(machine)), outwards=outwards)


def _carriage(machine: Machine) -> str:
    """Return the slide that the leadscrew draws: of those along the axis that which goes furthest.

    The quill of the tailstock is none of them.
    """
    assert machine.lathe is not None
    quill = machine.lathe.tailstock
    along_it = [each for each in machine.slides if each.axis == "z" and each.name != quill]
    return max(along_it, key=lambda slide: slide.travel).name


def _figures(cutting: ThreadCutting, gear: Gear) -> TurningFigures:
    """Return the speed: slow enough for the tool, and for the hand that clears it.

    Raises:
        Refusal: the lathe has no speed slow enough, or there is no room.
    """
    bench, machine = cutting.bench, cutting.bench.machine
    data = cutting_data(bench.job.blank.material, "threading", cutting.tool.material)
    wanted = spindle_speed(data.surface_speed_m_min, 2 * max(cutting.surface, cutting.tip))
    _guard_room(cutting, gear)
    most = _most_rpm(cutting, gear)
    rpm = lathe_speed(machine, min(wanted, most, bench.chuck.most_rpm))
    if rpm > most:
        raise _no_room(
            cutting,
            f"lets the tool run out over {bench.say(cutting.room)}: at {rpm:g} rev/min, its"
            " slowest, a hand is too late",
        )
    why = f"{data.surface_speed_m_min:.0f} m/min asks for {wanted:.0f} rev/min"
    if _by_hand_in_time(cutting, gear):
        why += _in_time(cutting, gear, rpm)
    return TurningFigures(rpm=rpm, feed=gear.lead * rpm, why=why)


def _guard_room(cutting: ThreadCutting, gear: Gear) -> None:
    """Refuse a thread that has no room at its left end.

    Raises:
        Refusal: there is none.
    """
    screwed = cutting.screwed
    if cutting.room <= 0:
        raise _no_room(cutting, "leaves no room for the tool to be cleared")
    if screwed.along < 0:
        return
    groove = starting_groove(screwed, cutting.bench.setup.features)
    if groove is not None and groove.diameter.high > 2 * cutting.tip:
        raise _no_room(cutting, f"begins in {groove.name}, which the tool's tip goes below")
    if gear.nuts == "control" and cutting.room < gear.lead:
        raise _no_room(cutting, "begins in a groove that a control has no turn to come in step in")


def _guard_centre(cutting: ThreadCutting, gear: Gear) -> None:
    """Refuse a thread whose passes begin or end where the tailstock's centre stands.

    There the tool's point is at the root of the thread, to the right of the faced end; what stands
    in its way is the cone, up to the centre's body.

    Raises:
        Refusal: it comes to it; says what would do.
    """
    bench, screwed = cutting.bench, cutting.screwed
    centre = bench.held.centre
    if centre is None or screwed.inside:
        return
    nose, slant = cutting.tool.nose_radius, math.radians(CONE_DEG)
    right = max(cutting.begins(gear.lead), cutting.ends(gear.lead)) + nose
    if gear.nuts == "control":
        right += (screwed.thread.starts - 1) * screwed.thread.pitch
    cone = bench.setup.mouth / 2 + right * math.tan(slant)
    beside = (nose + PAST_CONE) / math.cos(slant) - nose  # of its nose, a circle, to the cone
    least = min(cone + beside, centre.body / 2 + PAST_CONE)
    if cutting.tip < least:
        raise Refusal(
            screwed.where,
            f"cut {screwed.thread.designation} with the {centre.name} in that end: the tool begins"
            f" {bench.say(round(right, 2))} to the right of it, where the cone lets it go no nearer"
            f" to the axis than {bench.say(round(least, 2))}, and the thread's root is at"
            f" {bench.say(round(cutting.tip, 2))}",
            "cut the thread in a setup without the centre, held short, or take a smaller centre"
            " hole",
        )


def _by_hand_in_time(cutting: ThreadCutting, gear: Gear) -> bool:
    """Return whether a hand has to be in time at the thread's left end.

    Left-handed it has to where the carriage is brought back there by the spindle.
    """
    return gear.nuts == "closed" or (gear.nuts == "dial" and cutting.screwed.along < 0)


def _most_rpm(cutting: ThreadCutting, gear: Gear) -> float:
    """Return the speed that control or hand is able to follow, rev/min."""
    machine = cutting.bench.machine
    if machine.control is not None:
        return machine.control.feed_most / gear.lead
    if _by_hand_in_time(cutting, gear):
        return speed_to_clear(cutting.room, gear.lead, _reaction_s(machine))
    return math.inf


def _in_time(cutting: ThreadCutting, gear: Gear, rpm: float) -> str:
    """Return how far a late hand lets the tool go on at a speed, and how far it may."""
    late_s, say = _reaction_s(cutting.bench.machine), cutting.bench.say
    on = round(overrun(gear.lead, rpm, late_s), 2)
    return (
        f"; a hand {late_s:g} s late takes it on {say(on)}, {say(round(cutting.room, 2))} are there"
    )


def _reaction_s(machine: Machine) -> float:
    """Return from seeing a reading to having cleared the tool, s."""
    assert machine.lathe is not None
    return machine.lathe.reaction_s


def _no_room(cutting: ThreadCutting, what: str) -> Refusal:
    screwed = cutting.screwed
    return Refusal(
        screwed.where.at("run_out"),
        f"cut {screwed.thread.designation}: it {what}",
        _with_room(screwed),
    )


def _with_room(screwed: Screwed) -> str:
    """Return what gives a thread room at its left end."""
    if screwed.inside:
        return "give more run_out and a bore that goes deeper, or a shorter length"
    if screwed.along > 0:
        return "give a wider groove, deeper than the thread"
    return "give more run_out and a shoulder further along, or a shorter length"
