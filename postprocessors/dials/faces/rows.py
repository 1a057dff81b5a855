"""The lines of the text face, step by step."""

from __future__ import annotations

import math
import textwrap
from dataclasses import dataclass, field
from typing import assert_never

from pathgen.shop.slides import Way
from postprocessors.dials import steps
from postprocessors.dials.faces import figures
from postprocessors.dials.faces.sums import passes_lines, rule_lines
from postprocessors.dials.steps import Dial, Sheet, Step, WindStep

WIDTH = 100
LONG_NAME = 15
NEARLY = 1e-6  # of a peck
INDENT = 13  # columns before what a step says
SIDES = {
    ("x", 1): "from the left",
    ("x", -1): "from the right",
    ("y", 1): "from the front",
    ("y", -1): "from the back",
    ("z", 1): "from below",
    ("z", -1): "from above",
}
PLUS = {"x": "right", "y": "away from you", "z": "up"}


@dataclass(slots=True)
class Rows:
    """Makes the lines of each step; columns are as wide as the whole sheet wants them."""

    sheet: Sheet
    touched: dict[str, bool] = field(default_factory=dict)  # a reading since the touch can be given
    totals: dict[str, int] = field(default_factory=dict)

    # ------------------------------------------------------------------ columns

    @property
    def handle_width(self) -> int:
        """Return how wide the column of the handles is."""
        return max(len(label(dial)) for dial in self.sheet.dials) + 2

    @property
    def own_units(self) -> bool:
        """Return whether some dial speaks other units than the job."""
        return any(dial.units != self.sheet.units for dial in self.sheet.dials)

    def heading(self) -> str:
        """Return the heading above the steps of an operation."""
        units = {dial.units for dial in self.sheet.dials}
        own = f"{'AT ' + (units.pop() if len(units) == 1 else 'dial'):>10}"
        job = f"{'AT ' + self.sheet.units:>8}"
        columns = own + job if self.own_units else own
        handle = f"{'HANDLE':{self.handle_width}}"
        return f"{'':>13}{handle}{'WIND':14}{'0 PASSES':17}{'TO DIAL':>8}{'TOTAL':>13}{columns}"

    def _places(self, dial: Dial, place: float) -> str:
        """Return the columns of a place."""
        job = self.sheet.units
        scale = 2 if dial.diameter_reading else 1
        beside = figures.fixed(figures.in_units(scale * place, job), figures.PLACE_DECIMALS[job])
        most = max(figures.place_decimals(each) for each in self.sheet.dials)
        own = figures.aligned(figures.shown_place(dial, place), figures.place_decimals(dial), most)
        if not self.own_units:
            return f"{own:>10}"
        mixed = len({each.units for each in self.sheet.dials}) > 1
        unit = f" {dial.units}" if mixed else ""
        return f"{own + unit:>10}{beside:>8}"

    # ------------------------------------------------------------------ steps

    def of(self, step: Step) -> list[str]:
        """Return the lines of one step."""
        match step:
            case WindStep():
                lines = self._wind(step)
            case steps.TouchStep():
                lines = self._touch(step)
            case steps.SetDialStep():
                lines = self._set(step)
            case steps.ClearStep():
                self._moves(step.slide)
                lines = self._line(step, self._handle(step.slide, step.way) + step.what)
            case steps.MeasureStep():
                lines = self._measure(step)
            case steps.ClampStep() | steps.NoteStep() | steps.FitStep() | steps.PauseStep():
                lines = self._line(step, *_of_work(step, self.sheet))
            case _:
                lines = self._line(step, _of_machine(step))
        return lines

    def _line(self, step: Step, first: str, *more: str, cut: bool = False) -> list[str]:
        """Return a step's lines: a tick box, its number, what it says, more below."""
        word = "CUT" if cut else ""
        head = f"[ ] {step.number:>4} {word:<4}"
        body = wrapped(first) if len(first) > WIDTH - INDENT else [first]
        rest = [line for text in more for line in wrapped(text)]
        return [
            f"{head}{body[0]}".rstrip(),
            *(f"{'':{INDENT}}{line}" for line in [*body[1:], *rest]),
        ]

    def _handle(self, slide: str, way: Way) -> str:
        """Return the columns of a handle and its way."""
        return f"{label(self.sheet.dial(slide)):{self.handle_width}}{way:14}"

    def _wind(self, step: WindStep) -> list[str]:
        """Return the lines of a wind."""
        dial = self.sheet.dial(step.slide)
        if step.rule is not None or step.passes_from:
            self.touched[step.slide] = False
        row = self._handle(step.slide, step.way) + self._stop(step, dial)
        turned = abs(step.reading - self.totals.get(step.slide, 0)) / dial.counts_per_turn
        more = [step.what, _about_slack(step, dial), _pace(step, turned)]
        self.totals[step.slide] = step.reading
        lines = self._line(step, row, "; ".join(each for each in more if each), cut=step.cut)
        below = rule_lines(step, self.sheet) + passes_lines(step, self.sheet)
        if step.terms:
            below.insert(0, f"{dial.axis} = {figures.summed(step.terms, self.sheet.units)}")
        return lines + [f"{'':{INDENT}}{line}" for text in below for line in wrapped(text)]

    def _stop(self, step: WindStep, dial: Dial) -> str:
        """Return the columns of where a wind stops."""
        most = max(figures.dial_decimals(each) for each in self.sheet.dials)
        decimals = figures.dial_decimals(dial)
        shown = figures.aligned(figures.figure(dial, step.dial), decimals, most)
        turns = step.reading // dial.counts_per_turn
        total = f"{turns:>4} t {shown:>6}"
        if step.rule is not None:
            return f"{_passes(step, dial):17}{'______':>8}   follows {step.rule.measure}, see below"
        return f"{_passes(step, dial):17}{shown:>8}{total:>13}{self._places(dial, step.place)}"

    def _moves(self, slide: str) -> None:
        """Note that a handle was wound uncounted."""
        self.touched[slide] = False
        self.totals.pop(slide, None)

    def _touch(self, step: steps.TouchStep) -> list[str]:
        """Return the lines of a touch."""
        row = f"{self._handle(step.slide, step.way)}TOUCH the {step.face} face, {step.tool}"
        how = "; ".join(_ways_of_touching(step))
        self.totals.pop(step.slide, None)
        axis = self.sheet.dial(step.slide).axis
        total = figures.summed(step.terms, self.sheet.units)
        lines = self._line(step, row, how, f"there {axis} = {total}")
        if step.note is None:
            self.touched[step.slide] = True
            return lines
        return lines + [f"{'':{INDENT}}{line}" for line in self._noted(step, step.note)]

    def _noted(self, step: steps.TouchStep, note: steps.Noted) -> list[str]:
        """Return the lines for a reading that is noted at a touch."""
        dial = self.sheet.dial(step.slide)
        turn = dial.counts_per_turn
        counts = [round(value / dial.count) for value in (note.expected, note.low, note.high)]
        shown = [f"{each // turn} t {figures.figure(dial, each % turn)}" for each in counts]
        passes = f"{step.passes} passes of 0 on the way" if step.passes else "0 does not pass"
        text = (
            f"NOTE {note.name}, the dial's total here. It should be {shown[0]} ({passes}); between"
            f" {shown[1]} and {shown[2]}, else touch both faces again.  Found: ____ t ______"
        )
        return wrapped(text)

    def _set(self, step: steps.SetDialStep) -> list[str]:
        """Return the lines of the setting of a dial."""
        dial = self.sheet.dial(step.slide)
        shown = figures.figure(dial, step.dial)
        short = dial.counts_per_turn - step.dial
        turns = f", {figures.figure(dial, short)} short of 0" if step.turn == -1 else ""
        if not dial.resettable:
            row = f"{label(dial):{self.handle_width}}READ the dial: it should show {shown}"
            return self._line(step, row, f"count it as turn {step.turn}; {step.why}")
        row = f"{label(dial):{self.handle_width}}SET THE DIAL to {shown}{turns}: {step.why}"
        how = "handle still, turn the ring; then see that the handle has not turned with it"
        more = [how]
        reading = self.totals.get(step.slide)
        if step.zero and reading is not None and self.touched.get(step.slide):
            turn = dial.counts_per_turn
            back = figures.figure(dial, -reading % turn)
            more.append(
                f"to prove it later: at the touch, with the same tool, the dial shows {back}"
                f" (total {-reading // turn} t {back})"
            )
        self.totals[step.slide] = step.turn * dial.counts_per_turn + step.dial
        return self._line(step, row, *more)

    def _measure(self, step: steps.MeasureStep) -> list[str]:
        """Return the lines of a measurement, with a blank for what is found."""
        units = self.sheet.units
        low, high = figures.size(step.low, units), figures.size(step.high, units)
        return self._line(
            step,
            f"MEASURE {step.name}: {step.what}, spindle stopped",
            f"should be {figures.both_sizes(step.expected, units)}",
            f"go on only from {low} to {high}",
            f"{step.name} found: ____________ {units}",
            *([f"else: {step.advice}"] if step.advice else []),
        )


def label(dial: Dial) -> str:
    """Return what the columns call a slide: its name, or if that is long, its start and axis."""
    if len(dial.slide) <= LONG_NAME:
        return dial.slide
    return f"{dial.slide[: LONG_NAME - 3]}. {dial.axis}"


def wrapped(text: str, width: int = WIDTH - INDENT) -> list[str]:
    """Return a text in lines of the wanted width."""
    return textwrap.wrap(text, width, subsequent_indent="  ", break_on_hyphens=False)


def _passes(step: WindStep, dial: Dial) -> str:
    """Return how often 0 passes, in words."""
    if step.dial == 0 and step.rule is None and step.passes:
        return f"{figures.ordinal(step.passes)}, stop on it"
    if step.passes == 0:
        return "none, on to"
    return f"{step.passes}, then on to"


def _about_slack(step: WindStep, dial: Dial) -> str:
    """Return what a wind does about the slack."""
    side = SIDES[dial.axis, dial.side]
    match step.slack:
        case "past":
            return "back past the next reading, to take the slack out"
        case "up":
            return f"come up {side}; if overrun, go back past it again"
        case "corrected":
            return "slack reckoned in, wound the other way"
        case _:
            return ""


def _pace(step: WindStep, turned: float) -> str:
    """Return how fast to wind a cut of so many turns, and how often to draw up."""
    if not step.cut:
        return ""
    seconds = 60 / step.turns_per_min
    pace = f"{step.turns_per_min:.1f} turns a minute ({seconds:.1f} s a turn)"
    if step.peck_turns:
        pecks = math.ceil(turned / step.peck_turns - NEARLY)
        pace += (
            f"; {pecks} pecks of {step.peck_turns:.1f} turns, draw up clear after each; count 0 on"
            " new depth only"
        )
    return pace


def _ways_of_touching(step: steps.TouchStep) -> list[str]:
    """Return how to touch, in words."""
    top = step.face == "top"
    where = "over whole metal" if top else "beside the face, its end below the top edge"
    if step.running:
        return [where, "spindle turning at the finder's speed, slowly until it kicks sideways"]
    until = "it nips the paper" if step.paper else "it just marks"
    return [where, f"spindle off; turn it by hand, backwards, until {until}"]


def _of_work(
    step: steps.ClampStep | steps.NoteStep | steps.FitStep | steps.PauseStep, sheet: Sheet
) -> tuple[str, ...]:
    """Return what a step says that is about the blank, a cutter, or words alone."""
    match step:
        case steps.ClampStep():
            said: tuple[str, ...] = ("CLAMP", *(f"- {line}" for line in step.lines))
        case steps.NoteStep():
            said = (f"{'CAUTION: ' if step.caution else ''}{step.text}",)
        case steps.FitStep():
            size = figures.both_sizes(step.diameter, sheet.units)
            said = (
                f"FIT cutter {step.cutter}: {step.name}, measured {size}",
                "spindle stopped; wind nothing across until its end is well above the work",
            )
        case steps.PauseStep():
            said = (f"STOP: {step.reason}",)
        case _:
            assert_never(step)
    return said


def _of_machine(
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
