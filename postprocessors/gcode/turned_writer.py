"""The writer of lathe programs: a planned setup in the words of a lathe's control.

The plane is G18; X is a radius or a diameter and F a way a minute or a turn, as the machine
declares. Nothing is reckoned anew and no clock is read: the same plan gives the same bytes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import assert_never

from pathgen.input.where import Refusal
from pathgen.moves.actions import (
    ChangeWheels,
    Clamp,
    Coolant,
    Dwell,
    FitCutter,
    FitTouching,
    HalfNuts,
    Lock,
    Measure,
    Note,
    Pause,
    SetAngle,
    SetDiameter,
    SetHeight,
    SetStop,
    SetSweep,
    Spindle,
    SwingSlide,
    Unlock,
    WorkBy,
    Zero,
    ZeroByMeasure,
)
from pathgen.moves.moves import Arc, Drill, Feed, Rapid, ThreadCut, TurnedArc, TurnWork
from pathgen.moves.plan import Item, PlannedSetup
from pathgen.shop.machines import Control, Machine
from postprocessors.gcode import head, messages, turned_arcs
from postprocessors.gcode.blocks import Blocks
from postprocessors.gcode.comments import clean
from postprocessors.gcode.messages import CENTRE, in_line_messages
from postprocessors.gcode.numbers import Grid, decimals, rounded
from postprocessors.gcode.rewrites import Setting, written_out

FEED_DECIMALS = {"mm": 4, "in": 6}  # of a feed a turn
LEAD_DECIMALS = 6  # of a lead, in either units: what is rounded adds up turn by turn
FEED_A_MINUTE = {"mm": 1, "in": 2}


def write_turned_program(setup: PlannedSetup, machine: Machine) -> str:
    """Return the lathe program for one setup, ready to be saved.

    Raises:
        Refusal: the machine's control cannot be told something that the setup needs.
    """
    control = machine.control
    if control is None or machine.lathe is None:
        raise Refusal(
            machine.where, f"no lathe programs for {machine.title}", "use a lathe with a control"
        )
    return _TurnedProgram(setup, machine, control).text()


class _TurnedProgram:
    """One lathe program in the making."""

    def __init__(self, setup: PlannedSetup, machine: Machine, control: Control) -> None:
        self._setup = setup
        self._setting = Setting(
            control=control,
            grid=Grid(units=control.units, decimals=control.decimals),
            clear=setup.clear,
            where=machine.where.at("control"),
        )
        self._blocks = Blocks(self._setting)
        self._said: dict[str, int] = {}
        self._rpm = 0.0
        self._what = ""

    def text(self) -> str:
        """Return the whole program."""
        grid, control = self._setting.grid, self._setting.control
        for text in head.head_texts(self._setup.head, grid):
            self._blocks.comment(text)
        self._blocks.comment(f"x words: {control.x_words}")
        units = "G20" if grid.units == "in" else "G21"
        feed = "G95" if control.feed_per_turn else "G94"
        self._blocks.words("G18", units, "G40", "G49", "G54", "G90", feed)
        self._aside(self._setup.before)
        for each in self._setup.passes:
            self._blocks.comment(clean(f"-- {each.purpose}, {each.feature}: {each.why}"))
            for item in each.items:
                self._item(item)
        self._aside(self._setup.after)
        self._blocks.words("M30")
        return self._blocks.text()

    def _aside(self, items: Iterable[Item]) -> None:
        """Write what is said before or after the passes."""
        for item in items:
            if isinstance(item, Clamp):
                self._record(head.clamp_texts(item))
            else:
                self._item(item)

    def _item(self, item: Item) -> None:  # noqa: C901 - a case a kind
        """Write one move or action."""
        match item:
            case Drill():
                self._sink(item)
            case Rapid() | Feed():
                self._move(item)
            case TurnedArc():
                self._arc(item)
            case ThreadCut():
                self._thread(item)
            case FitCutter() | Zero() | ZeroByMeasure() | Measure() | Clamp() | Pause():
                self._stop(item)
            case Spindle():
                self._spindle(item)
            case Note() | Dwell():
                self._line(item)
            case (
                Arc()
                | TurnWork()
                | FitTouching()
                | Lock()
                | Unlock()
                | Coolant()
                | SetHeight()
                | SetDiameter()
                | SetAngle()
                | SetSweep()
                | WorkBy()
                | SwingSlide()
                | ChangeWheels()
                | HalfNuts()
                | SetStop()
            ):
                raise self._setting.refuse(
                    "", f"write {type(item).__name__.lower()} for a lathe", "plan without it"
                )
            case _:
                assert_never(item)

    def _line(self, item: Note | Dwell) -> None:
        """Write words for the person, or a stay."""
        if isinstance(item, Note):
            self._blocks.comment(head.note_text(item))
        else:
            self._blocks.words("G4", f"P{rounded(item.seconds, 3)}")

    # ------------------------------------------------------------------ moves

    def _sink(self, drill: Drill) -> None:
        """Write a hole out in straight moves; no cycle of a lathe's control is asked for."""
        for each in written_out(drill, drill.clear):
            self._item(each)

    def _move(self, move: Rapid | Feed) -> None:
        """Write a straight move, with the words that change."""
        if move.how is not None and move.how.rules:
            raise self._setting.refuse(
                "",
                f"let a move follow {move.how.rules[0].measure}, which is measured on the way",
                "set a zero by what is measured, or use a lathe with dials",
            )
        self._comment_on(move)
        words = self._word("X", self._double * move.x) + self._word("Z", move.z)
        if not words:
            return
        if isinstance(move, Feed):
            self._blocks.words("G1", *words, *self._feed(move.feed))
        else:
            self._blocks.words("G0", *words)

    @property
    def _double(self) -> int:
        """Return how many times the radius an X word is."""
        return 2 if self._setting.control.x_words == "diameter" else 1

    def _arc(self, arc: TurnedArc) -> None:
        """Write an arc by its centre or its radius; in straights where the control has no arcs."""
        grid, arcs = self._setting.grid, self._setting.control.arcs
        start = self._said["Z"] * grid.count, self._said["X"] * grid.count / self._double
        if arcs == "none":
            for chord in turned_arcs.chords(arc, start):
                self._move(chord)
            return
        self._comment_on(arc)
        self._said["X"], self._said["Z"] = grid.counts(self._double * arc.x), grid.counts(arc.z)
        end = self._said["Z"] * grid.count, self._said["X"] * grid.count / self._double
        offset = turned_arcs.centre_counts(arc, start, end, grid)
        if offset is None:
            raise self._setting.refuse(
                "decimals", "write an arc so that its ends are equally far from its centre", "more"
            )
        centre = [f"I{grid.text(offset[1])}", f"K{grid.text(offset[0])}"]
        if arcs == "radius":
            centre = [f"R{grid.text(round(math.hypot(*offset)))}"]
        places = [f"{letter}{grid.text(self._said[letter])}" for letter in "XZ"]
        mode = "G3" if arc.outwards else "G2"
        self._blocks.words(mode, *places, *centre, *self._feed(arc.feed))

    def _comment_on(self, move: Rapid | Feed | TurnedArc) -> None:
        """Write what happens at a move, where that is another than before."""
        what = move.how.what if move.how else ""
        if what and what != self._what:
            self._blocks.comment(clean(f"-- {what}"))
        self._what = what or self._what

    def _thread(self, cut: ThreadCut) -> None:
        """Write a cut along a thread, in step with the spindle, by the word that is declared."""
        if self._setting.control.threading == "none":
            raise self._setting.refuse(
                "threading", "cut a thread in step with the spindle", "cut it by a leadscrew"
            )
        if self._rpm <= 0:
            raise self._setting.refuse("", "cut a thread with the spindle stopped", "start it")
        if cut.lead * self._rpm > self._setting.control.feed_most:
            raise self._setting.refuse(
                "feed_most", f"go {cut.lead:g} mm a turn at {self._rpm:g} rev/min", "turn slower"
            )
        lead = f"K{rounded(cut.lead / self._setting.grid.factor, LEAD_DECIMALS)}"
        words = self._word("Z", cut.z)
        self._blocks.words(self._setting.control.threading, *words, lead)

    def _word(self, letter: str, value: float) -> list[str]:
        """Return a word if its coordinate is known and changes."""
        if math.isnan(value):
            return []
        counts = self._setting.grid.counts(value)
        if self._said.get(letter) == counts:
            return []
        self._said[letter] = counts
        return [f"{letter}{self._setting.grid.text(counts)}"]

    def _feed(self, feed: float) -> list[str]:
        """Return the feed word if it changes: a turn at the speed in force, or a minute."""
        setting = self._setting
        if feed > setting.control.feed_most:
            raise setting.refuse("feed_most", f"feed at {feed:g} mm/min", "plan less")
        per_turn = setting.control.feed_per_turn
        if per_turn and self._rpm <= 0:
            raise setting.refuse("", "feed by the turn with the spindle stopped", "start it first")
        places = (FEED_DECIMALS if per_turn else FEED_A_MINUTE)[setting.grid.units]
        value = (feed / self._rpm if per_turn else feed) / setting.grid.factor
        counts = math.floor(value * 10**places + 1e-9)
        if counts <= 0:
            raise setting.refuse("", f"feed at {feed:g} mm/min", "plan a feed that can be written")
        if self._said.get("F") == counts:
            return []
        self._said["F"] = counts
        return [f"F{decimals(counts, places)}"]

    # ------------------------------------------------------------------ actions

    def _spindle(self, spindle: Spindle) -> None:
        """Start the spindle at a speed, or stop it."""
        rpm = round(spindle.rpm)
        if rpm and not self._setting.control.spindle_speed:
            self._record([f"stop, speed {rpm}"])
            self._blocks.stop(f"Set {rpm} rev/min")
        if rpm:
            speed = [f"S{rpm}"] if self._setting.control.spindle_speed else []
            self._blocks.words(*speed, "M3")
        else:
            self._blocks.words("M5")
        self._rpm = rpm
        self._said.pop("F", None)

    def _stop(self, action: FitCutter | Zero | ZeroByMeasure | Measure | Clamp | Pause) -> None:
        """Stop the program for something that the person does."""
        grid = self._setting.grid
        shown: tuple[str, ...]
        match action:
            case FitCutter():
                texts, shown = [f"fit cutter {action.number}"], (messages.fit_message(action),)
            case Zero():
                texts, shown = list(head.zero_texts(action, grid)), self._zeroing(action)
            case ZeroByMeasure():
                texts, shown = self._zeroing_by_measure(action)
            case Measure():
                texts = list(head.measure_texts(action, grid))
                shown = messages.measure_messages(action, grid)
            case Clamp():
                texts, shown = list(head.clamp_texts(action)), ("Clamp as listed",)
            case Pause():
                texts = ["pause", f"reason: {clean(action.reason)}"]
                shown = (clean(action.reason),)
            case _:
                assert_never(action)
        first, *details = texts
        self._record([f"stop, {first}", *details])
        self._blocks.stop(*shown)
        if not isinstance(action, Measure):  # it stands where it stood, and the places do not
            self._said.clear()

    def _zeroing(self, zero: Zero) -> tuple[str, ...]:
        """Return how a tool is touched on the turning work, and what the control reads there."""
        touch, grid = zero.touches[0], self._setting.grid
        if touch.face == CENTRE:
            return in_line_messages(zero, grid)
        diameter = zero.axis == "x" and self._setting.control.x_words == "diameter"
        counts = grid.counts(touch.at) * (2 if diameter else 1)
        place = f"{grid.text(counts)} {grid.units}"
        jog = f"Jog the {clean(touch.tool)} until it just marks the {clean(touch.called)}"
        if touch.paper:
            jog = (
                f"Turn the work by hand: jog the {clean(touch.tool)} until it nips the"
                f" {grid.finely(touch.paper)} paper on the {clean(touch.called)}"
            )
        return (
            jog,
            f"Set {zero.axis} of G54, and {zero.axis} only, to read {place} there",
        )

    def _zeroing_by_measure(self, action: ZeroByMeasure) -> tuple[list[str], tuple[str, ...]]:
        """Return the record and the message of a zero set by a measured diameter, or a length."""
        name, axis = clean(action.measure), action.axis
        within = self._setting.grid.finely(action.uncertainty)
        if axis == "z":
            less = self._setting.grid.finely(action.less)
            return (
                [f"zero z by {name} less {less}: within {within}"],
                (f"Set z of G54, and z only, to read {name} found less {less}",),
            )
        share = "" if self._setting.control.x_words == "diameter" else "half of "
        return (
            [f"zero {axis} by {name}: within {within}"],
            (f"Set {axis} of G54, and {axis} only, to read {share}{name} found",),
        )

    def _record(self, texts: Iterable[str]) -> None:
        for text in texts:
            self._blocks.comment(text)
