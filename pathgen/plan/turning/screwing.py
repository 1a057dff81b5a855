"""Screw-cutting outside: change wheels, passes of even chip area, the size over three wires."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.input.where import Refusal
from pathgen.job.screwed import Screwed
from pathgen.job.turned import Turned, TurnedStep
from pathgen.moves.actions import ChangeWheels, HalfNuts, Measure, Note, Spindle, WorkBy
from pathgen.moves.moves import How, Nuts, Rapid, Rule, Term, ThreadCut
from pathgen.moves.plan import Item
from pathgen.plan.turning.bench import CLEAR, TurnedOperation, TurningBench
from pathgen.plan.turning.figures import TurningFigures, lathe_speed
from pathgen.plan.turning.ways import NAN, across, along
from pathgen.plan.turning.zeros import BY_POINT
from pathgen.reckon.change_wheels import Train, every_mark, lead_of, train_for
from pathgen.reckon.cutting import cutting_data
from pathgen.reckon.screw_cutting import (
    REACTION_S,
    even_areas,
    first_depth,
    flank_beside,
    over_wires,
    pitch_diameter_at,
    tip_radius_at,
    widened_by,
)
from pathgen.reckon.speeds import spindle_speed
from pathgen.shop.machines import Machine
from pathgen.shop.turning_tools import TurningTool

RUN_IN = 3.0  # leads to the right of the face where a cut begins: common practice, no source
LEFT = 0.06  # mm on the radius left when the thread is measured; more than half of OFF
OFF = 0.08  # mm by which the size over wires may be off what the dial says
CUTS_TO_SIZE = 3  # equal ones, from what was measured: about the chip of the passes before
SPRING_PASSES = 2  # at the last setting once more; common practice, no source
MARGIN = 0.3  # mm that the tool is past the full thread, at least: it is set along by eye
ANGLE_OFF = 0.1  # degrees by which a tool's angle may be off its thread's
SCREW_CUTTING = (
    "Screw-cutting: the carriage goes by itself, fast, towards the shoulder. Rehearse it first, the"
    " tool well out, the chuck turning at the speed said: cross slide out, half-nuts or spindle"
    " as the steps say. Spindle stopped and isolated before the wheels' cover comes off, the cover"
    " on again before it turns. Keep fingers, rags and sleeves off the work and the leadscrew;"
    " never file or oil the thread by hand while it turns."
)
REVERSING = (
    "The spindle is reversed: let it come to rest each time, and see that the chuck cannot unscrew"
    " itself (a chuck on a plain screwed nose must be locked, or the spindle turned by hand)."
)
IN_STEP = (
    "In step with the spindle: feed and speed override at 100 % and never touched in a pass, no"
    " feed hold; the speed is not changed between passes."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Gear:
    """How the carriage is drawn along; mm."""

    nuts: Nuts
    lead: float
    every: int = 0
    wheels: ChangeWheels | None = None
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cutting:
    """A thread with the tool that cuts it; mm."""

    screwed: Screwed
    bench: TurningBench
    tool: TurningTool
    step: TurnedStep
    beyond: float  # the radius of what stands behind its diameter

    @property
    def outside(self) -> float:
        """Return the radius that it is cut on."""
        return self.step.diameter.middle / 2

    @property
    def tip(self) -> float:
        """Return how far from the axis the tip is at the last pass."""
        return self.tip_at(self.screwed.pitch.middle)

    def tip_at(self, pitch_diameter: float) -> float:
        """Return how far from the axis the tip is for a pitch diameter."""
        thread = self.screwed.thread
        return tip_radius_at(pitch_diameter, thread.pitch, thread.form, self.tool.nose_radius)

    @property
    def room(self) -> float:
        """Return how far past its place for the full thread the tool may go on."""
        angle = self.screwed.thread.form.angle_deg
        beside = flank_beside(self.beyond - self.tip, self.tool.nose_radius, angle)
        shoulder = self.step.to.low - self.screwed.length - beside - BY_POINT
        return min(self.screwed.run_out, shoulder) - MARGIN

    @property
    def end(self) -> float:
        """Return the z of the tool's place where it is drawn out."""
        return -self.screwed.length - MARGIN - self.tool.nose_radius


def plan_screwed(screwed: Screwed, bench: TurningBench, machine: Machine) -> TurnedOperation:
    """Return the passes that cut a thread.

    Args:
        screwed: the thread.
        bench: what there is.
        machine: the lathe with all its slides: the carriage goes along.

    Raises:
        Refusal: no tool, no wheels, no room to run out, or no word to keep step by.
    """
    cutting = _cutting(screwed, bench)
    gear = _gear(screwed, machine)
    figures = _figures(cutting, gear)
    name = "W1" if bench.manual else ""
    return TurnedOperation(
        purpose="thread",
        feature=screwed.name,
        tool=cutting.tool,
        figures=figures,
        why=f"{screwed.thread.designation}, {screwed.pitch.basis}; {gear.why}; {figures.why}",
        items=tuple(_items(cutting, gear, figures, name)),
        depth_of_cut=first_depth(machine.rigidity),
        touched=cutting.step.diameter.middle,
        by=_by(machine),
        wheels=gear.wheels,
    )


def _by(machine: Machine) -> WorkBy | None:
    """Return the slides that a thread is cut by: across, and the carriage."""
    if not machine.manual:
        return None
    return WorkBy(slides=(machine.slide("x").name, _carriage(machine)))


def _carriage(machine: Machine) -> str:
    """Return the slide that the leadscrew draws: of those along the axis that which goes furthest.

    The quill of the tailstock is none of them.
    """
    assert machine.lathe is not None
    quill = machine.lathe.tailstock
    along_it = [each for each in machine.slides if each.axis == "z" and each.name != quill]
    return max(along_it, key=lambda slide: slide.travel).name


def _cutting(screwed: Screwed, bench: TurningBench) -> _Cutting:
    """Return a thread with the tool of its angle that has the roundest nose that fits its root.

    Raises:
        Refusal: the crib has none, or it does not reach.
    """
    turned = next(each for each in bench.setup.features if isinstance(each, Turned))
    behind = [step.diameter.high for step in turned.steps[1:]] or [bench.job.blank.diameter]
    angle = screwed.thread.form.angle_deg
    fitting = [
        _Cutting(
            screwed=screwed, bench=bench, tool=tool, step=turned.steps[0], beyond=max(behind) / 2
        )
        for tool in bench.tools
        if tool.kind == "threading" and abs(tool.point_deg - angle) <= ANGLE_OFF
    ]
    fitting = [
        each for each in fitting if 2 * each.tip_at(screwed.pitch.high) <= screwed.minor_most
    ]
    if not fitting:
        raise Refusal(
            screwed.where.at("thread"),
            f"cut {screwed.thread.designation}: no threading tool in the crib has {angle:g} degrees"
            " and a nose small enough for its root",
            "put a [[turning_tool]] of kind threading with them into the crib",
        )
    return max(fitting, key=lambda each: each.tool.nose_radius)


# ---------------------------------------------------------------------- the lead


def _gear(screwed: Screwed, machine: Machine) -> _Gear:
    """Return how the carriage is drawn along.

    Raises:
        Refusal: nothing draws it, or the lead comes out too far off.
    """
    lathe = machine.lathe
    assert lathe is not None
    if not machine.manual:
        return _by_control(screwed, machine)
    if lathe.leadscrew_pitch is None or len(lathe.change_wheels) < 2:
        raise Refusal(
            screwed.where,
            f"cut a thread on {machine.title}: its leadscrew and its change wheels are not known",
            "give leadscrew_pitch and change_wheels in its file",
        )
    train = train_for(screwed.thread.lead, lathe.leadscrew_pitch, lathe.change_wheels)
    _guard_lead(screwed, train, machine)
    lead = lead_of(lathe.leadscrew_pitch, train.pairs)
    offers = [
        (every, dial.teeth, dial.marks)
        for dial in lathe.thread_dials
        if (every := every_mark(lead, lathe.leadscrew_pitch, dial.teeth, dial.marks))
    ]
    every, teeth, marks = min(offers, default=(0, 0, 0))
    wheels = ChangeWheels(
        wheels=tuple(teeth for pair in train.pairs for teeth in pair),
        lead=train.lead,
        dial_teeth=teeth,
        dial_marks=marks,
    )
    kept = "" if every else "; no mark of a thread dial brings the tool back into its groove"
    off = f"{train.error * screwed.length * 1000:+.1f} micrometres off over the length"
    return _Gear(
        nuts="dial" if every else "closed",
        lead=train.lead,
        every=every,
        wheels=wheels,
        why=f"lead {train.lead:.5g} mm by the wheels, {off}{kept}",
    )


def _guard_lead(screwed: Screwed, train: Train, machine: Machine) -> None:
    """Refuse wheels whose lead is too far off over the length of the thread."""
    off = train.error * screwed.length
    thicker = widened_by(off, screwed.thread.form.angle_deg)
    if thicker > screwed.lead_error_most:
        raise Refusal(
            screwed.where,
            f"cut a lead of {screwed.thread.lead:.5g} mm on {machine.title}: its wheels come to"
            f" {train.lead:.5g} mm at the nearest, {off:+.3f} mm over the length, as if the thread"
            f" were {thicker:.3f} mm thicker (at most {screwed.lead_error_most:.3f})",
            "add a change wheel (127 teeth join millimetres and inches), or cut it shorter",
        )


def _by_control(screwed: Screwed, machine: Machine) -> _Gear:
    """Return that a control keeps step with the spindle.

    Raises:
        Refusal: it has no word for that.
    """
    assert machine.control is not None
    if machine.control.threading == "none":
        raise Refusal(
            screwed.where,
            f"cut a thread on {machine.title}: its control declares no word to keep step by",
            'say threading = "G33" in its file if the control has it, or use a lathe with wheels',
        )
    return _Gear(
        nuts="control",
        lead=screwed.thread.lead,
        why=f"lead {screwed.thread.lead:.5g} mm, in step with the spindle",
    )


# ---------------------------------------------------------------------- the speed


def _figures(cutting: _Cutting, gear: _Gear) -> TurningFigures:
    """Return the speed: slow enough for the tool, and for the hand that draws it out.

    Raises:
        Refusal: the lathe has no speed slow enough, or there is no room.
    """
    bench, machine = cutting.bench, cutting.bench.machine
    data = cutting_data(bench.job.blank.material, "threading", cutting.tool.material)
    wanted = spindle_speed(data.surface_speed_m_min, 2 * cutting.outside)
    if cutting.room <= 0:
        raise _no_room(cutting, "leaves no room for the tool to be drawn out")
    if machine.control is not None:
        most = machine.control.feed_most / gear.lead
    else:
        most = cutting.room / gear.lead / REACTION_S * 60
    rpm = lathe_speed(machine, min(wanted, most, bench.chuck.most_rpm))
    if rpm > most:
        raise _no_room(
            cutting,
            f"lets the tool run out over {bench.say(cutting.room)}: at {rpm:g} rev/min, its"
            " slowest, a hand is too late",
        )
    return TurningFigures(
        rpm=rpm,
        feed=gear.lead * rpm,
        why=f"{data.surface_speed_m_min:.0f} m/min asks for {wanted:.0f} rev/min, to draw the tool"
        f" out in time for {most:.0f}",
    )


def _no_room(cutting: _Cutting, what: str) -> Refusal:
    screwed = cutting.screwed
    return Refusal(
        screwed.where.at("run_out"),
        f"cut {screwed.thread.designation} where {what}",
        "give more run_out and a shoulder further along, or a shorter length",
    )


# ---------------------------------------------------------------------- the passes


def _items(cutting: _Cutting, gear: _Gear, figures: TurningFigures, name: str) -> Iterator[Item]:
    """Yield the cautions, the passes, the measurement and the passes to size."""
    passes = _Passes(cutting=cutting, gear=gear, rpm=figures.rpm)
    yield Note(text=SCREW_CUTTING if name else IN_STEP, caution=True)
    if gear.nuts == "closed":
        yield Note(text=REVERSING, caution=True)
    yield along(passes.start)
    if gear.nuts == "closed":  # the carriage goes whenever the spindle turns: each pass starts it
        yield from (Spindle(rpm=0.0), HalfNuts(closed=True))
    depth = cutting.outside - cutting.tip
    rough = even_areas(depth - LEFT, first_depth(cutting.bench.machine.rigidity))
    for number, each in enumerate(rough, start=1):
        how = How(makes="size", what=f"pass {number} of {len(rough)}")
        yield from passes.one(cutting.outside - each, how)
    if gear.nuts == "closed":
        yield _measure(cutting, name)
    elif name:
        yield from (Spindle(rpm=0.0), _measure(cutting, name), Spindle(rpm=figures.rpm))
    for count in range(1, CUTS_TO_SIZE + SPRING_PASSES + 1):
        number = min(count, CUTS_TO_SIZE)
        x = cutting.tip + LEFT * (CUTS_TO_SIZE - number) / CUTS_TO_SIZE
        yield from passes.one(x, _finishing(cutting, name, count))
    if gear.nuts == "closed":
        yield HalfNuts(closed=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Passes:
    """The passes of a thread: in, along, out at once, and back; mm."""

    cutting: _Cutting
    gear: _Gear
    rpm: float

    @property
    def start(self) -> float:
        """Return where a pass begins."""
        return max(CLEAR, RUN_IN * self.gear.lead)

    @property
    def out(self) -> float:
        """Return the x to which the tool is drawn out."""
        return self.cutting.outside + CLEAR

    def one(self, x: float, how: How) -> Iterator[Item]:
        """Yield one pass with the tip at an x.

        A control comes in along the flank that trails, by its places along the axis; a cross slide
        comes straight in, since the leadscrew alone says where the tool is along the axis.
        """
        gear = self.gear
        aside = 0.0
        if gear.nuts == "control":
            half = math.radians(self.cutting.screwed.thread.form.angle_deg / 2)
            aside = (x - self.cutting.tip) * math.tan(half)
            yield along(self.start + aside)
        yield Rapid(x, 0.0, NAN, how)
        end = self.cutting.end + aside
        cut = How(makes="stop", what="along the thread; draw the tool out there at once")
        yield ThreadCut(x, 0.0, end, gear.lead, gear.nuts, gear.every, self.rpm, cut)
        yield across(self.out, "out of the thread, at once")
        if gear.nuts == "closed":
            back = How(what="back to the start")
            yield ThreadCut(self.out, 0.0, self.start, gear.lead, "reversed", 0, self.rpm, back)
        elif gear.nuts == "dial":
            yield along(self.start, "back to the start, the half-nuts open")
        else:
            yield along(self.start, "back to the start")


def _measure(cutting: _Cutting, name: str) -> Measure:
    """Return the measurement over three wires, before the cuts to size."""
    screwed, thread = cutting.screwed, cutting.screwed.thread
    found = pitch_diameter_at(
        cutting.tip + LEFT, thread.pitch, thread.form, cutting.tool.nose_radius
    )
    expected = over_wires(found, thread.pitch, thread.form.angle_deg, screwed.wire)
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


def _finishing(cutting: _Cutting, name: str, count: int) -> How:
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
