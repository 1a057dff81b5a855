"""The writer: a planned setup as the text of a program, in what its machine's control understands.

Nothing is reckoned anew and no clock is read: the same plan gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import assert_never

from pathgen.input.where import Refusal
from pathgen.moves.actions import (
    Action,
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
from pathgen.moves.moves import Arc, Drill, Feed, Move, Rapid, ThreadCut, TurnedArc, TurnWork
from pathgen.moves.plan import Item, Pass, PlannedSetup
from pathgen.moves.settings import Heads
from pathgen.shop.machines import Control, Machine
from postprocessors.gcode import arcs, head, messages
from postprocessors.gcode.blocks import Blocks
from postprocessors.gcode.comments import clean
from postprocessors.gcode.motion import Motion
from postprocessors.gcode.numbers import Grid, rounded
from postprocessors.gcode.rewrites import NOWHERE, Setting, place_after, rewritten
from postprocessors.gcode.tilting import tilting_message, tilting_text

COOLANT_WORD = {"off": "M9", "mist": "M7", "flood": "M8"}


def write_program(setup: PlannedSetup, machine: Machine) -> str:
    """Return the program for one setup, ready to be saved.

    Raises:
        Refusal: the machine's control cannot be told something that the setup needs.
    """
    if machine.control is None:
        raise Refusal(
            machine.where,
            f"no programs for {machine.title}: it is worked by hand",
            "write its sheet of readings",
        )
    return _Program(setup, machine, machine.control).text()


class _Program:
    """One program in the making."""

    def __init__(self, setup: PlannedSetup, machine: Machine, control: Control) -> None:
        grid = Grid(units=control.units, decimals=control.decimals)
        self._setup = setup
        self._setting = Setting(
            control=control, grid=grid, clear=setup.clear, where=machine.where.at("control")
        )
        self._blocks = Blocks(self._setting)
        self._motion = Motion(self._setting, self._blocks)
        self._at = NOWHERE
        self._what = ""
        self._turned_deg = 0.0  # of the work, from where it stands at the start
        self._rpm = 0.0  # the speed that is set, whether or not the spindle turns
        self._turning: bool | None = None  # not told yet
        self._coolant = ""  # the same
        self._heads = Heads()

    def text(self) -> str:
        """Return the whole program."""
        if not self._setting.control.comments:
            raise self._setting.refuse(
                "comments",
                "write a program that states its cutters to a control that takes no comments",
                "use a control that passes comments over, and say comments = true",
            )
        self._start()
        self._aside(self._setup.before)
        for each in self._setup.passes:
            self._pass(each)
        self._finish()
        return self._blocks.text()

    def _start(self) -> None:
        """Write the head and set every mode that the program relies on."""
        grid = self._setting.grid
        for text in head.head_texts(self._setup.head, grid):
            self._blocks.comment(text)
        if self._setting.control.arcs == "none":
            self._blocks.comment(
                f"-- arcs are written as chords within {grid.finely(arcs.CHORD_ERROR)} of them"
            )
        units = "G20" if grid.units == "in" else "G21"
        self._blocks.words("G17", units, "G40", "G49", "G54", "G80", "G90", "G94")

    def _finish(self) -> None:
        """Go up, stop everything, say what comes after, and end."""
        motion, setting = self._motion, self._setting
        motion.interrupt()
        if not self._at[2] >= setting.clear - setting.grid.count / 2:  # nan is not either
            self._moves([Rapid(self._at[0], self._at[1], setting.clear)])
        if self._turning is not False:
            self._blocks.words("M5")
        if self._coolant != "off" and setting.control.coolant:
            self._blocks.words("M9")
        self._turning, self._coolant = False, "off"
        self._aside(self._setup.after)
        self._blocks.words("M30")

    # ------------------------------------------------------------------ items

    def _aside(self, items: Sequence[Item]) -> None:
        """Write what is done before or after the passes, mostly words for the person."""
        for item in items:
            if isinstance(item, (Clamp, Zero, Measure)):
                self._record(self._texts(item))
            elif isinstance(item, (Rapid, Feed, Arc, Drill, TurnWork)):
                self._moves(self._rewritten([item]))
            else:
                self._action(item)
                self._at = place_after(item, self._at)

    def _pass(self, each: Pass) -> None:
        """Write one pass."""
        self._blocks.comment(clean(f"-- {each.purpose}, {each.feature}: {each.why}"))
        self._moves(self._rewritten(each.items))

    def _rewritten(self, items: Sequence[Item]) -> list[Item]:
        for item in items:
            if (
                isinstance(item, (Rapid, Feed, Arc, Drill, TurnWork))
                and item.how
                and item.how.rules
            ):
                raise self._setting.refuse(
                    "",
                    f"let a move follow {item.how.rules[0].measure}, which is measured on the way",
                    "plan the size without a measurement, or cut it on a machine with dials",
                )
        return rewritten(items, self._setting, self._at)

    def _moves(self, items: Sequence[Item]) -> None:
        """Write items that are in the form in which the control can be told them."""
        for item, following in zip(items, [*items[1:], None], strict=True):
            if isinstance(item, (Rapid, Feed, Arc, Drill)):
                if not self._motion.goes_with_cycle(item, following):
                    self._say(item)
                    self._motion.write(item, self._at)
            else:
                self._action(item)
            self._at = place_after(item, self._at)

    def _say(self, move: Move) -> None:
        """Write what happens, where that is something else than before."""
        what = move.how.what if move.how else ""
        if what and what != self._what:
            self._blocks.comment(clean(f"-- {what}"))
        self._what = what or self._what

    # ------------------------------------------------------------------ actions

    def _action(self, action: Item) -> None:  # noqa: C901 - a case a kind
        """Write an action of a pass; the motion word is said again after it."""
        self._motion.interrupt()
        match action:
            case SetAngle() | SetSweep() | TurnWork():
                self._tilting(action)
            case Spindle() | Coolant():
                self._run(action)
            case FitCutter():
                self._fit(action)
            case Zero() | Measure() | Clamp() | Pause() | SetDiameter():
                self._stop(action)
            case Note() | Dwell() | FitTouching():
                self._line(action)
            case Lock() | Unlock() | SetHeight():
                raise self._by_hand_alone(action)
            case Rapid() | Feed() | Arc() | TurnedArc() | Drill() | ThreadCut():
                raise TypeError("no action of a mill")
            case (
                ZeroByMeasure() | WorkBy() | SwingSlide() | ChangeWheels() | HalfNuts() | SetStop()
            ):
                raise TypeError("no action of a mill")
            case _:
                assert_never(action)

    def _tilting(self, item: SetAngle | SetSweep | TurnWork) -> None:
        """Stop for what is tilted, set to a sweep, or turned; the work turns under the cutter."""
        if isinstance(item, TurnWork) and self._setting.control.rotary != "none":
            self._turn(item)
            return
        if not isinstance(item, TurnWork):
            self._still("put hands near the cutter")
        grid = self._setting.grid
        self._record([f"stop, {tilting_text(item, grid)}"])
        self._blocks.stop(tilting_message(item, grid))
        if not isinstance(item, TurnWork):
            self._motion.forget()

    def _turn(self, item: TurnWork) -> None:
        """Turn the work by the control's word; its feed is in degrees a minute, said anew after."""
        self._say(item)
        self._turned_deg += item.end_deg - item.start_deg
        word = f"{self._setting.control.rotary}{rounded(self._turned_deg, 3)}"
        if item.cuts:
            self._blocks.words("G1", word, f"F{rounded(item.rate, 1)}")
        else:
            self._blocks.words("G0", word)
        self._motion.forget()

    def _by_hand_alone(self, action: Lock | Unlock | SetHeight) -> Refusal:
        """Return the refusal of what is only done on a machine with handles."""
        slide = action.by if isinstance(action, SetHeight) else action.slide
        what, instead = f"work the lock of the {slide}", "leave locks to machines with dials"
        return self._setting.refuse("", what, instead)

    def _line(self, action: Note | Dwell | FitTouching) -> None:
        """Write what takes one line."""
        if isinstance(action, Note):
            self._blocks.comment(head.note_text(action))
        elif isinstance(action, FitTouching):
            self._blocks.comment(head.touching_text(action, self._setting.grid))
        else:
            self._blocks.words("G4", f"P{rounded(action.seconds, 3)}")

    def _run(self, action: Spindle | Coolant) -> None:
        """Start or stop the spindle or the cutting fluid."""
        if isinstance(action, Spindle):
            self._spindle(action)
        else:
            self._fluid(action)

    def _spindle(self, spindle: Spindle) -> None:
        """Start the spindle at a speed, or stop it; the speed is set by hand where it must be."""
        rpm = round(spindle.rpm)
        if spindle.rpm == 0:
            self._blocks.words("M5")
            self._turning = False
            return
        if rpm <= 0:
            raise self._setting.refuse("", f"turn at {spindle.rpm:g} rev/min", "give 1 or more")
        if self._setting.control.spindle_speed:
            self._blocks.words(f"S{rpm}", "M3")
        else:
            self._speed_by_hand(rpm)
            self._blocks.words("M3")
        self._turning, self._rpm = True, rpm

    def _speed_by_hand(self, rpm: int) -> None:
        if rpm == self._rpm:
            return
        if self._turning:
            self._blocks.words("M5")
        self._record([f"stop, speed {rpm}"])
        self._blocks.stop(f"Set {rpm} rev/min")

    def _fluid(self, coolant: Coolant) -> None:
        """Turn the cutting fluid on or off, by hand where the control has no word for it."""
        before = self._coolant or "off"
        if coolant.kind == before == "off":
            return
        kinds = self._setting.control.coolant
        has_words = (before if coolant.kind == "off" else coolant.kind) in kinds
        if not has_words:
            self._record([f"stop, coolant {coolant.kind}"])
            self._blocks.stop(f"Turn coolant to {coolant.kind}")
        else:
            if "off" not in (coolant.kind, before) and coolant.kind != before:
                self._blocks.words("M9")
            self._blocks.words(COOLANT_WORD[coolant.kind])
        self._coolant = coolant.kind

    def _fit(self, cutter: FitCutter) -> None:
        """Change the cutter, by the control or at a stop; everything is said anew after it."""
        known = {each.number: each for each in self._setup.head.cutters}
        stated = known.get(cutter.number)
        if stated is None or (stated.diameter, stated.name) != (cutter.diameter, cutter.name):
            raise self._setting.refuse(
                "", f"fit cutter {cutter.number}, {cutter.name}", "state that cutter in the head"
            )
        self._still("fit a cutter")
        if self._setting.control.tool_change:
            self._blocks.words(f"T{cutter.number}", "M6")
        else:
            self._record([f"stop, fit cutter {cutter.number}"])
            self._blocks.stop(messages.fit_message(cutter))
        self._motion.forget()
        if self._setting.control.tool_length:
            self._blocks.words("G43", f"H{cutter.number}")

    def _stop(self, action: Zero | Measure | Clamp | Pause | SetDiameter) -> None:
        """Stop the program for something that the person does."""
        if isinstance(action, SetDiameter):
            action = self._heads.rounded(action)
        if not isinstance(action, Pause):
            self._still("put hands near the cutter")
        first, *details = self._texts(action)
        self._record([f"stop, {first}", *details])
        match action:
            case Zero():
                self._blocks.stop(*messages.zero_messages(action, self._setting))
                self._motion.forget()
            case Measure():
                self._blocks.stop(*messages.measure_messages(action, self._setting.grid))
            case SetDiameter():
                self._blocks.stop(*messages.setting_messages(action, self._setting.grid))
            case Clamp():
                self._blocks.stop("Clamp as listed")
            case Pause():
                self._blocks.stop(clean(action.reason))
                self._motion.forget()  # a person may have moved the machine
            case _:
                assert_never(action)

    def _still(self, what: str) -> None:
        """Refuse what is not done while the spindle turns."""
        if self._turning:
            raise self._setting.refuse("", f"{what} while the spindle turns", "stop it first")

    def _texts(self, action: Action) -> list[str]:
        """Return the record of an action, which is read back."""
        grid = self._setting.grid
        if isinstance(action, Clamp):
            return list(head.clamp_texts(action))
        if isinstance(action, Zero):
            return list(head.zero_texts(action, grid))
        if isinstance(action, Measure):
            return list(head.measure_texts(action, grid))
        if isinstance(action, SetDiameter):
            return list(head.setting_texts(action, grid))
        if isinstance(action, Pause):
            return ["pause", f"reason: {clean(action.reason)}"]
        raise TypeError(f"{type(action).__name__} has no record")

    def _record(self, texts: Iterable[str]) -> None:
        for text in texts:
            self._blocks.comment(text)
