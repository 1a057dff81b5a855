"""Lines of lathe programs: G18, an X that may be a diameter, an F that may be by the turn.

What is common to mills is read as theirs, G33 as one pass along a thread, arcs as short straights;
I and K are ways of a radius also where X is a diameter. Cycles are refused by name.
"""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.moves.actions import Zero, ZeroByMeasure
from pathgen.moves.moves import Feed, Move, Rapid, ThreadCut
from pathgen.moves.plan import Run
from pathgen.shop.machines import Words as XWords
from postprocessors.gcode import reader_codes as codes
from postprocessors.gcode.reader import read_lines
from postprocessors.gcode.reader_codes import g_name
from postprocessors.gcode.reader_head import Comments
from postprocessors.gcode.reader_lines import Lines
from postprocessors.gcode.reader_moves import arc_of
from postprocessors.gcode.reader_state import Found, State
from postprocessors.gcode.reader_words import LineError, Words, words_of

STRAIGHT = (0, 10)
PER_TURN = 950


def read_turned_program(
    text: str, *, file: str = "program", repeatability: float = 0.0, x_words: XWords = "radius"
) -> Run:
    """Return what a lathe program does; lengths in mm, x a radius, whatever its words are.

    Args:
        text: the whole program.
        file: what errors call it.
        repeatability: half width of what a position of the machine leaves open, mm.
        x_words: what an X is on the machine.

    Raises:
        ProgramErrors: the text is no legal program, or uses what is not read here.
    """

    def lines(state: State, found: Found, comments: Comments) -> TurnedLines:
        return TurnedLines(state, found, comments, x_words)

    return read_lines(text, file, repeatability, lines)


class TurnedLines(Lines):
    """Executes the lines of a lathe program one by one."""

    def __init__(self, state: State, found: Found, comments: Comments, x_words: XWords) -> None:
        super().__init__(state, found, comments)
        state.plane_word = "G18"
        self._x_words = x_words
        self._per_turn = False

    def _words(self, line: str) -> Words:
        """Return the words of a line."""
        return words_of(line, codes.LATHE)

    def _rates(self, number: int, words: Words) -> None:
        """G94 or G95, F, S, T."""
        mode = words.g.get(codes.FEED_MODE)
        if mode is not None and self._per_turn != (mode == PER_TURN):
            self._per_turn = mode == PER_TURN
            self._state.feed = 0.0
        super()._rates(number, words)

    def _motion(self, number: int, words: Words) -> None:
        """Go straight, if the line has axis words."""
        state, values = self._state, words.values
        code = words.g.get(codes.MOTION)
        if code == codes.THREAD:
            self._thread(number, values)
            return
        self._take_motion_word(code)
        if "Y" in values:
            raise LineError("a Y on a lathe", "use X and Z")
        if not {"X", "Z"} & values.keys():
            return
        if state.motion not in (*STRAIGHT, *codes.ARCS):
            raise LineError("axis words without a motion word", "begin with G0 or G1")
        self._look_at_modes(number)
        self._look_at_x_words(number)
        double = 2.0 if self._x_words == "diameter" else 1.0
        x = self._place(state.x, values.get("X"), double)
        z = self._place(state.z, values.get("Z"), 1.0)
        self._found.add(number, *self._moves(number, values, x, z))
        state.x, state.z = x, z

    def _take_motion_word(self, code: int | None) -> None:
        """Take the motion word of a line, if it has one that is read here."""
        if code is not None and code not in (*STRAIGHT, *codes.ARCS, 800):
            raise LineError(
                f"{g_name(code)} is not read of lathe programs", "write it out in G0 to G3"
            )
        self._state.motion = self._state.motion if code is None else code

    def _moves(self, number: int, values: dict[str, float], x: float, z: float) -> Iterator[Move]:
        """Yield what a line with axis words does."""
        state = self._state
        if state.motion == 0:
            yield Rapid(x, 0.0, z)
        elif state.motion in STRAIGHT:
            yield Feed(x, 0.0, z, self._feed_in_force())
        else:
            for each in arc_of(state, values, (x, 0.0, z), self._found, number):
                yield Feed(each.x, 0.0, each.z, self._feed_in_force())

    def _thread(self, number: int, values: dict[str, float]) -> None:
        """Go along a thread, K of the axis a turn of the spindle."""
        state = self._state
        state.motion = codes.THREAD
        if "Z" not in values or values.get("K", 0.0) <= 0:
            raise LineError("G33 without a Z and a lead as K", "give G33 Z... K...")
        if {"X", "Y"} & values.keys():
            raise LineError("G33 across the axis", "only threads along Z are read")
        self._look_at_modes(number)
        self._look_at_x_words(number)
        state.z = self._place(state.z, values["Z"], 1.0)
        lead = values["K"] * state.factor
        turning = state.rpm if state.turning else 0.0
        self._found.add(number, ThreadCut(state.x, 0.0, state.z, lead, "control", 0, turning))

    def _place(self, here: float, word: float | None, double: float) -> float:
        """Return where an axis goes, mm."""
        if word is None:
            return here
        way = word * self._state.factor / double
        return here + way if self._state.absolute is False else way

    def _feed_in_force(self) -> float:
        """Return the feed, mm/min; 0 by the turn while the spindle stands."""
        state = self._state
        if not self._per_turn:
            return state.feed
        return state.feed * state.rpm if state.turning else 0.0

    def _look_at_x_words(self, number: int) -> None:
        """Before each move, see that the program says of X what the machine takes it for."""
        stated = self._comments.said("x words")
        if self._comments.ours and stated != self._x_words and not self._told:
            self._told = True
            self._found.trouble(
                number,
                f"X is a {self._x_words} on the machine, the program says {stated or 'nothing'}",
                "make the program anew for this machine",
                code="x words",
            )

    _told = False

    def _stand(self, number: int, message: str) -> None:
        """Do what the person does at a stop; a lathe tool is touched on work that turns."""
        stop = self._comments.stop
        if stop is not None and isinstance(stop.action, ZeroByMeasure):
            stop = self._comments.shown(number, message)
            if stop is not None:
                self._found.add(number, stop.action)
            return
        super()._stand(number, message)

    def _hands_near_turning(self, action: object) -> bool:
        """Return whether hands are where something turns at a stop for an action."""
        touched_turning = isinstance(action, Zero) and all(each.rpm for each in action.touches)
        return super()._hands_near_turning(action) and not touched_turning
