"""One line of a program after another, strictly: what is done first is fixed by the language.

Source: NISTIR 6556 (RS274/NGC version 3), 3.5 to 3.8, order of table 8.
"""

from __future__ import annotations

from pathgen import INCH
from pathgen.moves.actions import (
    Coolant,
    CoolantKind,
    Dwell,
    FitCutter,
    Measure,
    Pause,
    SetDiameter,
    Spindle,
    Zero,
)
from postprocessors.gcode import reader_codes as codes
from postprocessors.gcode.reader_codes import ARCS, CYCLES, IN_STEP, THREAD, g_name
from postprocessors.gcode.reader_head import Comments
from postprocessors.gcode.reader_moves import move, turn
from postprocessors.gcode.reader_state import Cycle, Found, State
from postprocessors.gcode.reader_words import LineError, Words, not_negative, whole, words_of

COOLANT: dict[int, CoolantKind] = {7: "mist", 8: "flood", 9: "off"}
AXES = frozenset("XYZ")
ROTARY = "A"  # turns the work, in a line of its own
USED_BY_ALL = frozenset("AFSTXYZ")


class Lines:
    """Executes lines one by one; ``ended`` after M2 or M30."""

    def __init__(self, state: State, found: Found, comments: Comments) -> None:
        self._state = state
        self._found = found
        self._comments = comments
        self.ended = False

    def execute(self, number: int, line: str) -> None:
        """Do what a line says.

        Raises:
            LineError: the line is not legal, or uses what is not read here.
        """
        words = self._words(line)
        if words.m.get(codes.STOPPING) not in (0, 1):
            self._comments.aside(number, words.message)
        if words.bare:
            for comment in words.comments:
                self._comments.take(number, comment)
            return
        self._comments.settle(number, stops=words.m.get(codes.STOPPING) == 0)
        self._check_use(words)
        self._rates(number, words)
        self._machine(number, words)
        self._modes(number, words)
        self._motion(number, words)
        self._stop(number, words)

    def _words(self, line: str) -> Words:
        """Return the words of a line."""
        return words_of(line)

    # ------------------------------------------------------------------ in the order of execution

    def _rates(self, number: int, words: Words) -> None:
        """G94, F, S, T."""
        state, values = self._state, words.values
        if codes.FEED_MODE in words.g:
            state.per_minute = True
        if "F" in values:
            self._feed(number, words)
        if "S" in values:
            speed = not_negative("S", values["S"])
            if state.turning and speed != state.rpm and codes.SPINDLE not in words.m:
                self._found.add(number, Spindle(rpm=speed))
            state.rpm = speed
        if "T" in values:
            state.chosen = whole("T", values["T"])

    def _feed(self, number: int, words: Words) -> None:
        """Take the feed; beside a change of units it is in the new ones, with a warning."""
        state = self._state
        units = words.g.get(codes.UNITS, state.units)
        if units != state.units and state.units is not None:
            self._found.trouble(
                number, "F and a change of units in one line", "give F after it", "feed units"
            )
        state.feed = not_negative("F", words.values["F"]) * (INCH if units == 200 else 1.0)
        state.feed_units = units

    def _machine(self, number: int, words: Words) -> None:
        """M6, M3 and M5, M7 to M9, G4."""
        state, found, m = self._state, self._found, words.m
        if codes.TOOL_CHANGE in m:
            self._change(number)
        if codes.SPINDLE in m:
            state.turning = m[codes.SPINDLE] == 3
            if state.turning and state.rpm == 0:
                found.trouble(number, "M3 without a speed", "give S before it", "speed")
            found.add(number, Spindle(rpm=state.rpm if state.turning else 0.0))
        if codes.COOLANT in m:
            state.coolant = COOLANT[m[codes.COOLANT]]
            found.add(number, Coolant(kind=state.coolant))
        if codes.NOT_MODAL in words.g:
            if "P" not in words.values:
                raise LineError("G4 without P", "give the seconds by P")
            found.add(number, Dwell(seconds=not_negative("P", words.values["P"])))

    def _change(self, number: int) -> None:
        """Change the cutter: it stops the spindle, and its point is at another height.

        When it stops, before the hands come or after, the language leaves to the machine.
        """
        state = self._state
        if state.turning:
            self._found.trouble(
                number, "a change of cutter while the spindle turns", "M5 before it", "spindle"
            )
            self._found.add(number, Spindle(rpm=0.0))
            state.turning = False
        if state.chosen is None:
            raise LineError("M6 without a T word before it", "choose the cutter by T")
        self._fit(number, self._comments.cutter(state.chosen, number))
        state.z = float("nan")

    def _fit(self, number: int, cutter: FitCutter) -> None:
        self._found.add(number, cutter)
        self._state.fitted = cutter.number

    def _modes(self, number: int, words: Words) -> None:
        """Plane, units, G40, tool length, G54, G90 and G91, G98 and G99."""
        state, g = self._state, words.g
        state.plane = g.get(codes.PLANE, state.plane)
        state.units = g.get(codes.UNITS, state.units)
        state.radius_off |= codes.CUTTER_RADIUS in g
        if codes.TOOL_LENGTH in g:
            self._length(number, words)
        state.coordinates |= codes.COORDINATES in g
        if codes.DISTANCE in g:
            state.absolute = g[codes.DISTANCE] == 900
        if codes.RETURN in g:
            state.to_old_level = g[codes.RETURN] == 980

    def _length(self, number: int, words: Words) -> None:
        """Take or drop a tool length: the same place then has another z, which is not known."""
        state = self._state
        if words.g[codes.TOOL_LENGTH] == 490:
            length = 0
        elif "H" in words.values:
            length = whole("H", words.values["H"])
        else:
            raise LineError("G43 without H", "give the number of the length by H")
        if length != state.length:
            state.z = float("nan")
            self._found.length(number, length)
        state.length = length

    def _motion(self, number: int, words: Words) -> None:
        """The motion, if the line has axis words."""
        state, code = self._state, words.g.get(codes.MOTION)
        axes = AXES & words.values.keys()
        if code is not None:
            if code in CYCLES and code != state.motion:
                state.cycle = Cycle()
            state.motion = code
        if axes or ROTARY in words.values:
            self._look_at_modes(number)
        if ROTARY in words.values:
            turn(state, words.values, self._found, number)
        elif axes:
            move(state, words.values, self._found, number)

    def _look_at_modes(self, number: int) -> None:
        """Before the first move, name the modes that were left to chance, and gaps of the head."""
        if self._state.started:
            return
        self._state.started = True
        unset = list(self._state.unset())
        if unset:
            self._found.trouble(
                number, f"a move before {', '.join(unset)}", "set every mode first", "modes"
            )
        missing = self._comments.missing() if self._comments.ours else []
        if missing:
            self._found.trouble(
                number, f"a head without {', '.join(missing)}", "state it", "comments"
            )

    def _stop(self, number: int, words: Words) -> None:
        """M0, M1, M2, M30."""
        code = words.m.get(codes.STOPPING)
        if code == 0:
            self._stand(number, words.message)
        elif code == 1:
            self._comments.aside(number, words.message)
            self._found.add(number, Pause(reason=words.message or "if the switch for M1 is on"))
        elif code is not None:
            self._end(number)

    def _stand(self, number: int, message: str) -> None:
        """Do what the person does at a stop, as the comments before it say."""
        stop = self._comments.shown(number, message)
        if stop is None:
            return
        state, action = self._state, stop.action
        match action:
            case Spindle():
                state.rpm = action.rpm
            case FitCutter():
                self._fit(number, action)
                state.lose_place()
            case Zero():
                self._found.add(number, action)
                state.lose_place()
            case _:
                self._found.add(number, action)
        if self._hands_near_turning(action):
            self._found.trouble(number, "a stop for hands while the spindle turns", "M5 before it")

    def _hands_near_turning(self, action: object) -> bool:
        """Return whether hands are where something turns at a stop for an action."""
        return self._state.turning and isinstance(action, (FitCutter, Zero, Measure, SetDiameter))

    def _end(self, number: int) -> None:
        """End the program: the spindle and the fluid stop."""
        state = self._state
        if state.turning:
            self._found.add(number, Spindle(rpm=0.0))
        if state.coolant != "off":
            self._found.add(number, Coolant(kind="off"))
        state.end()
        self.ended = True

    # ------------------------------------------------------------------ words that nothing uses

    def _check_use(self, words: Words) -> None:
        """Refuse a bare motion word, and words that nothing in the line uses."""
        given = words.g.get(codes.MOTION)
        moves = bool((AXES | {ROTARY}) & words.values.keys())
        if given not in (None, 800) and not moves:
            raise LineError(f"{g_name(given or 0)} without X, Y or Z", "give where it goes")
        code = self._state.motion if given is None else given
        used = USED_BY_ALL | _used_by_motion(code if moves else None)
        if codes.NOT_MODAL in words.g:
            if "P" in used:
                raise LineError("P of G4 and of a cycle in one line", "give each its own line")
            used |= {"P"}
        if words.g.get(codes.TOOL_LENGTH) == 430:
            used |= {"H"}
        for letter in sorted(words.values.keys() - used):
            raise LineError(
                f"{letter} is used by nothing in this line", "take it out, or give its code"
            )


def _used_by_motion(code: int | None) -> set[str]:
    """Return the letters, beside the axes, that a motion uses."""
    if code in ARCS:
        return set("IJKR")
    if code in CYCLES:
        return {"L", "R", *({820: "P", 830: "Q", 890: "P"}.get(code or 0, ""))}
    if code in (IN_STEP, THREAD):
        return {"K"}
    return set()
