"""What a printed sheet says in words: ways, slack, pace, touching, and the steps without a dial."""

from __future__ import annotations

import math
import textwrap
from typing import assert_never

from pathgen import INCH
from pathgen.input.units import Units
from pathgen.moves.moves import Axis
from postprocessors.dials import steps
from postprocessors.dials.faces import figures
from postprocessors.dials.faces.head_words import head_lines
from postprocessors.dials.faces.working import NIPPED
from postprocessors.dials.steps import Dial, Sheet, WindStep

WIDTH = 100
SHORT: dict[Units, float] = {"mm": 3.0, "in": INCH / 8}  # where power is taken off before a stop
LONG_NAME = 14
NEARLY = 1e-6  # of a peck
CENTRE = "centre"  # in place of a face: what an indicator is swung in
AXIS = "axis"  # in place of a face: the point of a fly cutter stands on the work's own axis
INDENT = 13  # columns before what a step says
SIDES = {
    ("x", 1): "from the left",
    ("x", -1): "from the right",
    ("y", 1): "from the front",
    ("y", -1): "from the back",
    ("z", 1): "from below",
    ("z", -1): "from above",
}
TURNED_SIDES = {
    ("x", 1): "going out",
    ("x", -1): "going in, from outside",
    ("z", 1): "going away from the chuck",
    ("z", -1): "going towards the chuck, from the right",
}
TURNED_PLUS = {"x": "out, away from the axis", "z": "to the right, away from the chuck"}
PLUS = {"x": "right", "y": "away from you", "z": "up"}


def side_of(dial: Dial, *, lathe: bool) -> str:
    """Return from which side readings of a dial are come up to."""
    return (TURNED_SIDES if lathe else SIDES)[dial.axis, dial.side]


def label(dial: Dial) -> str:
    """Return what the columns call a slide: its name, or if that is long, its start and axis."""
    if len(dial.slide) <= LONG_NAME:
        return dial.slide
    return f"{dial.slide[: LONG_NAME - 3]}. {dial.axis}"


def wrapped(text: str, width: int = WIDTH - INDENT) -> list[str]:
    """Return a text in lines of the wanted width."""
    return textwrap.wrap(text, width, subsequent_indent="  ", break_on_hyphens=False)


def passes_of(step: WindStep) -> str:
    """Return how often 0 passes, in words; where that follows what was found, by what.

    How often is then told below, and only there, so that no two counts stand side by side.
    """
    if len(step.passes_from) > 1:
        return f"by {step.measure}, on to"
    if step.dial == 0 and step.rule is None and step.passes:
        return f"{figures.ordinal(step.passes)}, stop on it"
    if step.passes == 0:
        return "none, on to"
    return f"{step.passes}, then on to"


def times(count: int) -> str:
    """Return how often something happens.

    >>> times(0), times(1), times(3)
    ('never', 'once', '3 times')
    """
    return {0: "never", 1: "once"}.get(count, f"{count} times")


def about_slack(step: WindStep, dial: Dial, *, lathe: bool) -> str:
    """Return what a wind does about the slack."""
    side = side_of(dial, lathe=lathe)
    match step.slack:
        case "past":
            return "back past the next reading, to take the slack out"
        case "up":
            return f"come up {side}; if overrun, go back past it again"
        case "corrected":
            return "slack reckoned in, wound the other way"
        case _:
            return ""


def held(step: WindStep, dials: tuple[Dial, ...]) -> str:
    """Return which handles to hold still in a cut, since their slides have no locks."""
    loose = [dial.slide for dial in dials if not dial.lock and dial.slide != step.slide]
    if not step.cut or not loose:
        return ""
    return f"no lock: hold the {' and the '.join(loose)} still"


def pace_of(step: WindStep, dial: Dial, *, lathe: bool = False) -> str:
    """Return how fast to wind a cut, and where to draw up to clear the chips."""
    if not step.cut:
        return ""
    seconds = 60 / step.turns_per_min
    pace = f"{step.turns_per_min:.1f} turns a minute ({seconds:.1f} s a turn)"
    if step.power or step.power_a_turn:
        short = figures.short(SHORT[dial.units], dial.units)
        feed = figures.short(step.power or step.power_a_turn, dial.units)
        per = "a minute" if step.power else "a turn of the work"
        pace = (
            f"POWER FEED {feed} {per}, a hand on its lever; disengage it {short} short, go on"
            f" by the handle at {pace}"
        )
    pecks = _pecks(step, dial, "end" if lathe else "top face")
    return "; ".join(each for each in (pace, pecks) if each)


def _pecks(step: WindStep, dial: Dial, face: str) -> str:
    """Return where to draw up, by totals: they hold however often 0 passes; empty for one peck.

    Pecks are counted from the face, where the place is 0, and not from the air above it.
    """
    if not step.peck_turns:
        return ""
    peck = round(step.peck_turns * dial.per_turn / dial.count)
    deep = abs(step.place) / dial.count
    pecks = math.ceil(deep / peck - NEARLY)
    if pecks < 2:
        return ""
    down = 1 if step.way == dial.rising else -1
    first = step.reading + down * (peck - round(deep))
    first_at = figures.whole_figure(dial, first)
    if dial.readout:
        more = f"{figures.figure(dial, peck)} {dial.units}"
        return (
            f"{pecks} pecks of {more} from the {face}: draw up clear at {first_at} and at each"
            f" {more} more, then down again to just above"
        )
    return (
        f"{pecks} pecks of {step.peck_turns:.1f} turns from the {face}: draw up clear at total "
        f"{first_at} and at each {step.peck_turns:.1f} turns more, then down again to just above; "
        "passes of 0 count on new depth only"
    )


def ways_of_touching_turned(step: steps.TouchStep, axis: Axis) -> list[str]:
    """Return how to touch work that turns, going along an axis, in words."""
    where = "where the work has that diameter, the other handle by eye"
    if axis == "z":
        where = "the work's right end, at the x where the tool stands"
    if step.paper:
        return [where, NIPPED]
    return [where, "work turning; slowly, until the tool just marks it"]


def ways_of_touching(step: steps.TouchStep, axis: Axis) -> list[str]:
    """Return how to touch, going along an axis, in words."""
    if step.face == CENTRE:
        sides = "left and right" if axis == "x" else "front and back"
        how = f"the spindle out of gear, swung by hand: until it reads alike on the {sides}"
        return [how, "come to from this side at last; go over x and y again until both hold"]
    if step.face == AXIS:
        return [
            "spindle off, the middle of the face blued; the point turned by hand to its foot",
            (
                "let it mark the blue while the work is turned round by hand, and wind on until it"
                " marks a dot and no ring: half the ring's width is what is missing"
            ),
            "come to from this side at last",
        ]
    where = [f"from within {step.of}"] if step.of else []
    if axis == "z":
        where = ["over whole metal"]
    if step.running:
        return [*where, "spindle turning; slowly, until it kicks sideways"]
    until = "it nips the paper" if step.paper else "it just marks, or shows the touch"
    return [*where, f"spindle off; turn it by hand, backwards, until {until}"]


def drawn_up(height: float | None, sheet: Sheet) -> str:
    """Return how high the tool has to be drawn up."""
    if sheet.lathe:
        return "the tool is well clear of the work and of the jaws"
    if height is None:
        return "the tool's end is clear of the work and of all clamps"
    return (
        f"the tool's end is {figures.short(height, sheet.units)} or more above the top face, clear"
        " of the work and of all clamps"
    )


def read_otherwise(dial: Dial, step: steps.SetDialStep, sheet: Sheet) -> str:
    """Return what to do where a dial that cannot be set shows something else than it should."""
    shown = figures.figure(dial, step.dial)
    if dial.axis == "z":
        return (
            f"else: loosen the cutter in its chuck or collet, wind to {shown} with the paper on the"
            " top face below it, let the cutter down until it nips the paper, tighten it, and touch"
            " again. A cutter that cannot be shifted so is not for this sheet."
        )
    division = figures.size(dial.per_turn / dial.divisions, sheet.units)
    return (
        f"else STOP: found ________ - {shown} = ________ divisions ; x {division} = ________ ; add"
        f" that to `dial_reads` of the datum of {dial.axis} in the job, and make the sheet anew"
    )


def said_of_work(
    step: steps.ClampStep | steps.NoteStep | steps.PauseStep | steps.SetHeadStep, units: Units
) -> tuple[str, ...]:
    """Return what a step says that is about the blank or a boring head, or words alone."""
    match step:
        case steps.SetHeadStep():
            said: tuple[str, ...] = head_lines(step, units)
        case steps.ClampStep():
            said = ("CLAMP", *(f"- {line}" for line in step.lines))
        case steps.NoteStep():
            said = (f"{'CAUTION: ' if step.caution else ''}{step.text}",)
        case steps.PauseStep():
            said = (f"STOP: {step.reason}",)
        case _:
            assert_never(step)
    return said


def said_of_height(step: steps.HeightStep, sheet: Sheet) -> tuple[str, ...]:
    """Return how the height of work and spindle is set."""
    down = next(dial.slide for dial in sheet.dials if dial.axis == "z")
    what = "the tool's end" if step.of == "end" else "the spindle's nose"
    above, within = (figures.short(each, sheet.units) for each in (step.above, step.within))
    out = "" if step.of == "end" else "what is in the spindle taken out; "
    said = (
        f"the {down} wound right up, spindle stopped; {out}hold the {step.by} by its handle as it"
        f" is freed, it may drop; bring {what} {above} above the top face by a rule, give or take"
        f" {within}; lock it, and leave it locked"
    )
    if not step.swings:
        return f"SET THE {step.by.upper()}", said
    lost = "it swings about its column: x and y are lost, and are found again below"
    return f"SET THE {step.by.upper()}", said, lost


def said_of_machine(
    step: steps.LockStep
    | steps.UnlockStep
    | steps.SpindleStep
    | steps.CoolantStep
    | steps.DwellStep,
) -> str:
    """Return what a step says that is about the machine."""
    match step:
        case steps.LockStep():
            said = f"LOCK    {', '.join(step.slides)}"
        case steps.UnlockStep():
            said = f"UNLOCK  {', '.join(step.slides)}"
        case steps.SpindleStep():
            said = f"SPINDLE {step.rpm:g} rev/min" if step.rpm else "SPINDLE STOP"
        case steps.CoolantStep():
            said = f"CUTTING FLUID {step.coolant}"
        case steps.DwellStep():
            said = f"STAY {step.seconds:g} s, spindle turning"
        case _:
            assert_never(step)
    return said
