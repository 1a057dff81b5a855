"""The lines of the text face, step by step."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import TypeAlias

from pathgen.input.units import in_units
from pathgen.moves.moves import Axis
from pathgen.shop.slides import Way
from postprocessors.dials import steps
from postprocessors.dials.faces import figures
from postprocessors.dials.faces.screwing import said_of_screwing
from postprocessors.dials.faces.sums import passes_lines, readout_lines, rule_lines
from postprocessors.dials.faces.swinging import said_of_swinging
from postprocessors.dials.faces.tilting import said_of_tilting
from postprocessors.dials.faces.words import (
    AXIS,
    CENTRE,
    INDENT,
    WIDTH,
    about_slack,
    drawn_up,
    held,
    label,
    pace_of,
    passes_of,
    read_otherwise,
    said_of_height,
    said_of_machine,
    said_of_work,
    times,
    ways_of_touching,
    ways_of_touching_turned,
    wrapped,
)
from postprocessors.dials.faces.working import (
    said_of_stop,
    said_of_working,
    ways_of_touching_inside,
    ways_of_touching_on_axis,
)
from postprocessors.dials.steps import Dial, Sheet, Step, WindStep

Wordy: TypeAlias = (
    steps.SetHeadStep
    | steps.AngleStep
    | steps.SweepStep
    | steps.TurnStep
    | steps.ClampStep
    | steps.NoteStep
    | steps.PauseStep
    | steps.LockStep
    | steps.UnlockStep
    | steps.SpindleStep
    | steps.CoolantStep
    | steps.DwellStep
)


@dataclass(slots=True)
class Rows:
    """Makes the lines of each step; columns are as wide as the whole sheet wants them."""

    sheet: Sheet
    touched: dict[str, bool] = field(default_factory=dict)  # a reading since the touch can be given
    totals: dict[str, int] = field(default_factory=dict)
    faces: dict[str, int] = field(default_factory=dict)  # how many were touched for the zero so far
    working: steps.WorkByStep | None = None  # the slides that are worked by, once that is said
    thread_dial: tuple[int, int] = (0, 0)  # teeth and marks of the one that is set
    in_spindle: str = ""  # what touches, until a cutter is fitted in its place

    @property
    def heads(self) -> set[str]:
        """Return the names of the boring heads: what is known of one is the least that it bores."""
        return {each.head for each in self.sheet.steps if isinstance(each, steps.SetHeadStep)}

    # ------------------------------------------------------------------ columns

    @property
    def handle_width(self) -> int:
        """Return how wide the column of the handles is."""
        return max(len(label(dial)) for dial in self.sheet.dials) + 2

    @property
    def own_units(self) -> bool:
        """Return whether some dial speaks other units than the job."""
        return any(dial.units != self.sheet.units for dial in self.sheet.dials)

    @property
    def own_width(self) -> int:
        """Return how wide the column of places in the dials' own units is."""
        return 10 if len({dial.units for dial in self.sheet.dials}) == 1 else 14

    def heading(self) -> str:
        """Return the heading above the steps of an operation."""
        units = {dial.units for dial in self.sheet.dials}
        readouts = [bool(dial.readout) for dial in self.sheet.dials]
        stops = f"{'0 PASSES':16}{'TO DIAL':>7}{'TOTAL':>12}"
        if all(readouts):
            stops = f"{'':14}{'READOUT':>9}{'':12}"
        elif any(readouts):
            stops = f"{'0 PASSES':13}{'TO READING':>10}{'TOTAL':>12}"
        own = f"{'AT ' + (units.pop() if len(units) == 1 else 'dial'):>{self.own_width}}"
        job = f"{'AT ' + self.sheet.units:>8}"
        columns = own + job if self.own_units else own
        handle = f"{'HANDLE':{self.handle_width}}"
        return f"{'':>13}{handle}{'WIND':14}{stops}{columns}"

    def _places(self, dial: Dial, place: float) -> str:
        """Return the columns of a place."""
        job = self.sheet.units
        scale = 2 if dial.diameter_reading else 1
        beside = figures.fixed(in_units(scale * place, job), figures.PLACE_DECIMALS[job])
        most = max(figures.place_decimals(each) for each in self.sheet.dials)
        own = figures.aligned(figures.shown_place(dial, place), figures.place_decimals(dial), most)
        if len({each.units for each in self.sheet.dials}) > 1:
            own += f" {dial.units}"
        return f"{own:>{self.own_width}}" + (f"{beside:>8}" if self.own_units else "")

    # ------------------------------------------------------------------ steps

    def of(self, step: Step) -> list[str]:
        """Return the lines of one step: a tick box, its number, what it says, more below."""
        first, *more = self.said(step)
        cuts = isinstance(step, WindStep | steps.TurnStep) and step.cut
        threads = isinstance(step, steps.ThreadStep) and step.nuts != "reversed"
        word = "CUT" if cuts or threads else ""
        head = f"[ ] {step.number:>4} {word:<4}"
        body = wrapped(first) if len(first) > WIDTH - INDENT else [first]
        rest = [line for text in more for line in wrapped(text)]
        return [
            f"{head}{body[0]}".rstrip(),
            *(f"{'':{INDENT}}{line}" for line in [*body[1:], *rest]),
        ]

    def said(self, step: Step) -> list[str]:  # noqa: C901 - a case a kind
        """Return what one step says, not broken into lines: first what stands beside its number.

        Steps are asked for in the order of the sheet, each once.
        """
        match step:
            case WindStep():
                lines = self._wind(step)
            case steps.TouchStep():
                lines = self._touch(step)
            case steps.SetDialStep():
                lines = self._set(step)
            case steps.ClearStep():
                self._moves(step.slide)
                row = self._handle(step.slide, step.way) + "BY EYE, uncounted"
                lines = [row, self._by_eye(step)]
            case steps.MeasureStep():
                lines = self._measure(step)
            case steps.FitTouchingStep() | steps.FitStep() | steps.HeightStep():
                lines = self._fit(step)
            case steps.WorkByStep():
                lines = self._work_by(step)
            case steps.SwingStep():
                lines = self._swing(step)
            case steps.WheelsStep() | steps.HalfNutsStep() | steps.ThreadStep():
                lines = self._screwing(step)
            case steps.StopStep():
                lines = said_of_stop(step)
            case _:
                lines = [*self._said(step)]
        return lines

    def _said(self, step: Wordy) -> tuple[str, ...]:
        """Return what a step says that winds no handle of the machine."""
        match step:
            case steps.ClampStep() | steps.NoteStep() | steps.PauseStep() | steps.SetHeadStep():
                return said_of_work(step, self.sheet.units)
            case steps.AngleStep() | steps.SweepStep() | steps.TurnStep():
                return said_of_tilting(step, self.sheet.units)
            case _:
                return (said_of_machine(step),)

    def columns(self, step: Step) -> str:
        """Return the columns of the handle and its way with which a step's first line begins."""
        slide, way = getattr(step, "slide", ""), getattr(step, "way", None)
        if not slide:
            return ""
        return (
            self._handle(slide, way)
            if way
            else f"{label(self.sheet.dial(slide)):{self.handle_width}}"
        )

    def _handle(self, slide: str, way: Way) -> str:
        """Return the columns of a handle and its way."""
        return f"{label(self.sheet.dial(slide)):{self.handle_width}}{way:14}"

    def _wind(self, step: WindStep) -> list[str]:
        """Return the lines of a wind."""
        dial = self.sheet.dial(step.slide)
        if step.rule is not None or step.passes_from:
            self.touched[step.slide] = False
        row = self._handle(step.slide, step.way) + self._stop(step, dial)
        more = [
            step.what,
            about_slack(step, self._as_worked(dial), lathe=self.sheet.lathe),
            pace_of(step, dial, lathe=self.sheet.lathe),
            held(step, self.sheet.dials),
        ]
        self.totals[step.slide] = step.reading
        below = rule_lines(step, self.sheet) + passes_lines(step, self.sheet)
        if step.terms:
            # Wound the other way the dial leads the tool by the slack, which the sum has in it.
            name = f"{dial.axis} by the dial" if step.slack == "corrected" else dial.axis
            below.insert(0, f"{name} = {figures.summed(step.terms, self.sheet.units)}")
        return [row, "; ".join(each for each in more if each), *below]

    def _work_by(self, step: steps.WorkByStep) -> list[str]:
        """Return the lines of taking other slides in hand; every count is lost by it."""
        self.working = step
        for dial in self.sheet.dials:
            self._moves(dial.slide)
        return said_of_working(step, self.sheet)

    def _swing(self, step: steps.SwingStep) -> list[str]:
        """Return the lines of swinging a slide; every count is lost by it but its own."""
        for dial in self.sheet.dials:
            self._moves(dial.slide)
        self.totals[step.slide] = 0
        return said_of_swinging(step, self.sheet)

    def _screwing(
        self, step: steps.WheelsStep | steps.HalfNutsStep | steps.ThreadStep
    ) -> list[str]:
        """Return the lines of screw-cutting; the slide that is drawn along keeps its count."""
        if isinstance(step, steps.WheelsStep):
            self.thread_dial = (step.dial_teeth, step.dial_marks)
        elif isinstance(step, steps.ThreadStep):
            self.totals[step.along] = step.reading
        return said_of_screwing(step, self.sheet, self.thread_dial)

    def _as_worked(self, dial: Dial) -> Dial:
        """Return a dial with the side from which its readings are come up to just now."""
        outwards = self.working is not None and self.working.outwards
        return replace(dial, side=1) if outwards and dial.axis == "x" else dial

    @property
    def _on_the_axis(self) -> bool:
        """Return whether the tool is in the tailstock: nothing goes across then."""
        if self.working is None:
            return False
        return all(self.sheet.dial(name).axis == "z" for name in self.working.slides)

    def _stop(self, step: WindStep, dial: Dial) -> str:
        """Return the columns of where a wind stops."""
        most = max(figures.dial_decimals(each) for each in self.sheet.dials)
        decimals = figures.dial_decimals(dial)
        shown = figures.aligned(figures.figure(dial, step.dial), decimals, most)
        if step.rule is not None:
            where = "until it shows" if dial.readout else passes_of(step)
            return f"{where:16}{'______':>7}   follows {step.rule.measure}, see below"
        total = ""
        if not dial.readout:
            total = f"{step.reading // dial.counts_per_turn:>4} t {shown:>5}"
        if step.to_stop:
            row = f"{'TO THE STOP, at':16}{shown:>7}{total:>12}"
        elif dial.readout:
            row = f"{'until it shows':14}{shown:>9}{'':12}"
        else:
            row = f"{passes_of(step):16}{shown:>7}{total:>12}"
        return f"{row}{self._places(dial, step.place)}"

    def _moves(self, slide: str) -> None:
        """Note that a handle was wound uncounted."""
        self.touched[slide] = False
        self.totals.pop(slide, None)

    def _fit(self, step: steps.FitTouchingStep | steps.FitStep | steps.HeightStep) -> list[str]:
        """Return the lines of a fitting, what comes in the place of what; or of a height."""
        if isinstance(step, steps.HeightStep):
            for dial in self.sheet.dials:
                self._moves(dial.slide)
            return [*said_of_height(step, self.sheet)]
        size = figures.both_sizes(step.diameter, self.sheet.units)
        instead = f"in place of the {self.in_spindle}; " if self.in_spindle else ""
        up = drawn_up(step.height, self.sheet)
        self.in_spindle = step.name
        what = f"the {step.name} to touch off with, measured {size}"
        if isinstance(step, steps.FitStep) and self.sheet.lathe:
            what = f"tool {step.cutter}: {step.name}, its point at the height of the axis"
            if self._on_the_axis:
                what = f"tool {step.cutter}: {step.name}, in the tailstock"
        elif isinstance(step, steps.FitStep):
            fits = "for bores from" if step.name in self.heads else "measured"
            what = f"cutter {step.cutter}: {step.name}, {fits} {size}"
        elif not step.diameter:
            what = f"the {step.name}, to be swung"
        return [
            f"FIT {what}",
            f"{instead}spindle stopped; wind nothing across until {up}",
        ]

    def _by_eye(self, step: steps.ClearStep) -> str:
        """Return where to wind to by eye."""
        if self.sheet.lathe:
            return "to the right until the tool is clear of the work's end"
        by = ""
        if step.across:
            by = f"bring it, by eye, with the {' and the '.join(step.across)} to "
        if step.beside:
            first = f"{by}outside the {step.beside}; then " if by else ""
            low = "a little below the top edge"
            if step.under:
                low = f"{figures.short(step.under, self.sheet.units)} below the top at least"
            return (
                f"{first}down beside the {step.beside}, outside the blank, until its end is {low},"
                " clear of jaws and clamps"
            )
        if step.inside:
            first = f"{by}over {step.inside}; then " if by else ""
            return (
                f"{first}down inside {step.inside}, until its end is a little below the top edge,"
                " clear of the walls and of the bottom"
            )
        if step.onto:
            first = f"{by}the middle of the work; then " if by else ""
            return (
                f"{first}down, the spindle stopped, the point turned by hand to its foot, until it"
                f" just reaches {step.onto}"
            )
        return f"up until {drawn_up(step.height, self.sheet)}"

    def _touch(self, step: steps.TouchStep) -> list[str]:
        """Return the lines of a touch."""
        self.faces[step.slide] = self.faces.get(step.slide, 0) + 1
        doing = {CENTRE: "SWING", AXIS: "FIND"}.get(step.face, "TOUCH")
        row = f"{self._handle(step.slide, step.way)}{doing} the {step.called}, {step.tool}"
        ways = self._ways()
        how = "; ".join(ways(step, self.sheet.dial(step.slide).axis))
        self.totals.pop(step.slide, None)
        axis = self.sheet.dial(step.slide).axis
        total = figures.summed(step.terms, self.sheet.units)
        lines = [row, how, f"there {axis} = {total}"]
        if step.note is None:
            self.touched[step.slide] = True
            return lines
        return [*lines, self._noted(step, step.note)]

    def _ways(self) -> Callable[[steps.TouchStep, Axis], list[str]]:
        """Return what says how to touch, by where the tool is held and on which side it works."""
        if not self.sheet.lathe:
            return ways_of_touching
        if self._on_the_axis:
            return ways_of_touching_on_axis
        inside = self.working is not None and self.working.outwards
        return ways_of_touching_inside if inside else ways_of_touching_turned

    def _noted(self, step: steps.TouchStep, note: steps.Noted) -> str:
        """Return the words for a reading that is noted at a touch."""
        dial = self.sheet.dial(step.slide)
        counts = [round(value / dial.count) for value in (note.expected, note.low, note.high)]
        shown = [figures.whole_figure(dial, each) for each in counts]
        passes = f"0 passes {times(step.passes)} on the way" if step.passes else "0 does not pass"
        both = "walls" if step.of else "faces"
        if dial.readout:
            what, counted, blank = "what the readout shows here", "", "________"
        else:
            what, counted, blank = "the dial's total here", f" ({passes})", "____ t ______"
        return (
            f"NOTE {note.name}, {what}. It should be {shown[0]}{counted}; between"
            f" {shown[1]} and {shown[2]}, else touch both {both} again.  Found: {blank}"
        )

    def _set(self, step: steps.SetDialStep) -> list[str]:
        """Return the lines of the setting of a dial."""
        dial = self.sheet.dial(step.slide)
        if step.rule is not None and self.sheet.lathe:
            return self._set_as_found(step, step.rule, dial)
        why = self._why(step)
        if dial.readout:
            return self._set_readout(step, dial, why)
        shown = figures.figure(dial, step.dial)
        short = dial.counts_per_turn - step.dial
        turns = f", {figures.figure(dial, short)} short of 0" if step.turn == -1 else ""
        if step.turn not in (-1, 0):
            turns = f" and count {step.turn} t"
        if not dial.resettable:
            row = f"{label(dial):{self.handle_width}}READ the dial: it should show {shown}"
            return [
                f"{row}, give or take {figures.figure(dial, step.within)}",
                f"count it as turn {step.turn}; {why}",
                read_otherwise(dial, step, self.sheet),
            ]
        row = f"{label(dial):{self.handle_width}}SET THE DIAL to {shown}{turns}: {why}"
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
        return [row, *more]

    def _set_readout(self, step: steps.SetDialStep, dial: Dial, why: str) -> list[str]:
        """Return the lines of the setting of a readout."""
        shown = figures.figure(dial, step.dial) if step.rule is None else "______"
        row = f"{label(dial):{self.handle_width}}SET THE READOUT to {shown}: {why}"
        how = "handle still; key the figure in, then see that it shows it"
        if not dial.preset or (step.dial == 0 and step.rule is None):
            how = "handle still; set it to zero, then see that it shows 0"
        self.totals[step.slide] = step.dial
        return [row, how, *readout_lines(step, self.sheet)]

    def _set_as_found(
        self, step: steps.SetDialStep, rule: steps.Correction, dial: Dial
    ) -> list[str]:
        """Return the lines of setting a dial or a readout by what was measured."""
        self.faces.pop(step.slide, None)
        self.touched[step.slide] = False
        self.totals.pop(step.slide, None)
        set_it = "SET THE READOUT" if dial.readout else "SET THE DIAL"
        row = f"{label(dial):{self.handle_width}}{set_it} by {rule.measure}, as worked out below"
        how = "handle still, turn the ring; then see that the handle has not turned with it"
        if dial.readout:
            how = "handle still; key the figure in, then see that it shows it"
        return [row, how, *rule_lines(step, self.sheet)]

    def _why(self, step: steps.SetDialStep) -> str:
        """Return what a dial is set for, or read."""
        if not step.zero:
            return "to count from the touch"
        touched = self.faces.pop(step.slide, 0)
        if self.sheet.lathe:
            return "what the place at the touch comes to"
        if not self.sheet.dial(step.slide).resettable:
            return "its figure at the datum is known"
        if touched > 1:
            return "the middle"
        return "so 0 is the datum" if step.turn or step.dial else "the datum"

    def _measure(self, step: steps.MeasureStep) -> list[str]:
        """Return the lines of a measurement, with a blank for what is found."""
        units = self.sheet.units
        low, high = figures.size(step.low, units), figures.size(step.high, units)
        return [
            f"MEASURE {step.name}: {step.what}, spindle stopped",
            f"should be {figures.both_sizes(step.expected, units)}",
            f"go on only from {low} to {high}",
            f"{step.name} found: ____________ {units}",
            *([f"else: {step.advice}"] if step.advice else []),
        ]
