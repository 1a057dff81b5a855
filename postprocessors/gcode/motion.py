"""Lines of moves: only the words that change, each from counts of the last decimal."""

from __future__ import annotations

import math
from typing import assert_never

from pathgen.moves.moves import Arc, Drill, Feed, Move, Rapid, ThreadCut, TurnedArc, TurnWork
from pathgen.moves.plan import Item
from pathgen.shop.read_machines import CYCLES
from postprocessors.gcode import arcs
from postprocessors.gcode.arcs import Point
from postprocessors.gcode.blocks import Blocks
from postprocessors.gcode.numbers import decimals, rounded
from postprocessors.gcode.rewrites import Setting, cycle_for

PITCH_DECIMALS = 6
FED_OUT = ("G85", "G89")
FEED_DECIMALS = {"mm": 1, "in": 2}


class Motion:
    """What the control has been told of moves, and the lines that tell it more."""

    def __init__(self, setting: Setting, blocks: Blocks) -> None:
        self._setting = setting
        self._blocks = blocks
        self._said: dict[str, int] = {}  # what holds now: X Y Z, R of a cycle, F; in counts
        self._mode = ""  # the motion word in force
        self._return = ""  # G98 or G99

    def forget(self) -> None:
        """Take nothing for said any more, as after a change of cutter."""
        self.interrupt()
        self._said.clear()
        self._return = ""

    def interrupt(self) -> None:
        """End a canned cycle, and say the motion word again with the next move."""
        self.leave_cycle()
        self._mode = ""

    def leave_cycle(self) -> None:
        """End a canned cycle, in a line of its own, if one is in force."""
        if self._mode in (*CYCLES, "G84"):
            self._blocks.words("G80")
            self._mode = ""

    def goes_with_cycle(self, item: Item, following: Item | None) -> bool:
        """Return whether a rapid can be left to the cycle after it, which goes across itself."""
        if not (isinstance(item, Rapid) and isinstance(following, Drill)):
            return False
        grid = self._setting.grid
        return (
            grid.counts(item.x) == grid.counts(following.x)
            and grid.counts(item.y) == grid.counts(following.y)
            and {"X", "Y", "Z"} <= self._said.keys()
            and grid.counts(item.z) == self._said["Z"]
            and cycle_for(following, self._setting.control) is not None
        )

    def write(self, move: Move, start: Point) -> None:
        """Write one move."""
        match move:
            case Rapid():
                self._straight("G0", self._changed(move))
            case Feed():
                words = self._changed(move)
                self._straight("G1", [*words, *self._feed(move.feed)] if words else [])
            case Arc():
                self._arc(move, start)
            case Drill():
                self._drill(move)
            case TurnedArc() | ThreadCut():
                raise TypeError("no move of a mill")
            case TurnWork():
                raise TypeError("the work is turned at a stop")
            case _:
                assert_never(move)

    # ------------------------------------------------------------------ lines

    def _straight(self, mode: str, words: list[str]) -> None:
        """Write a straight move, or nothing where no word would change."""
        if words:
            self._blocks.words(*self._motion_word(mode), *words)

    def _arc(self, arc: Arc, start: Point) -> None:
        """Write an arc of at most a turn, with both words of its end and of its centre."""
        grid = self._setting.grid
        if self._setting.control.arcs == "radius":
            centre = [f"R{grid.text(max(1, grid.counts(max(arcs.radii(arc, start)))))}"]
        else:
            offset = arcs.rounded_centre(arc, start, grid)
            if offset is None:
                raise AssertionError("the rewrites leave no arc that cannot be rounded")
            centre = [f"I{grid.text(offset[0])}", f"J{grid.text(offset[1])}"]
        depth = self._set("Z", grid.counts(arc.z))
        for letter, value in (("X", arc.x), ("Y", arc.y)):
            self._said[letter] = grid.counts(value)
        end = [f"{letter}{grid.text(self._said[letter])}" for letter in "XY"]
        mode = self._motion_word("G2" if arc.clockwise else "G3")
        self._blocks.words(*mode, *end, *depth, *centre, *self._feed(arc.feed))

    def _drill(self, drill: Drill) -> None:
        """Write a hole as a canned cycle, and the way up where the cycle ends too low."""
        if drill.lead > 0 and self._setting.control.tapping == "G33.1":
            self._in_step(drill)
            return
        grid = self._setting.grid
        code = cycle_for(drill, self._setting.control)
        clear, left = grid.counts(drill.clear), grid.counts(drill.left_at)
        before = self._said["Z"]
        # What is fed out goes on up in a line of its own: controls differ in what G98 does then.
        by_itself = left == clear or (left == before and code not in FED_OUT)
        return_word = "G98" if by_itself and left != clear else "G99"
        if code is None or before < clear:
            raise AssertionError("the rewrites leave only holes that a cycle drills from above")
        new = self._mode != code
        words = self._return_word(return_word) + self._motion_word(code)
        words += self._across(drill)
        self._said["Z"] = clear if return_word == "G99" else before
        for letter, counts in (("D", grid.counts(drill.bottom)), ("R", clear)):
            if new or self._said.get(letter) != counts:
                words.append(f"{'Z' if letter == 'D' else 'R'}{grid.text(counts)}")
            self._said[letter] = counts
        if code == "G83":
            words.append(f"Q{grid.text(self._peck(drill, clear - grid.counts(drill.bottom)))}")
        if code in ("G82", "G89"):
            words.append(f"P{rounded(drill.dwell_s, 3)}")
        self._blocks.words(*words, *self._feed(drill.feed))
        if not by_itself:
            self._straight("G0", self._set("Z", left))

    def _in_step(self, drill: Drill) -> None:
        """Tap from where the cutter stands, and back there; no motion word is left in force."""
        grid = self._setting.grid
        self.leave_cycle()
        pitch = rounded(drill.lead / grid.factor, PITCH_DECIMALS)
        self._blocks.words("G33.1", f"Z{grid.text(grid.counts(drill.bottom))}", f"K{pitch}")
        self._mode = ""

    def _peck(self, drill: Drill, depth: int) -> int:
        """Return the peck in counts, rounded so that no sliver is left for one peck more."""
        peck = max(1, self._setting.grid.counts(drill.peck))
        return peck if peck * drill.pecks >= depth else math.ceil(depth / drill.pecks)

    # ------------------------------------------------------------------ words

    def _motion_word(self, mode: str) -> list[str]:
        """Return the motion word if it changes; a cycle in force is ended first."""
        if mode == self._mode:
            return []
        self.leave_cycle()
        self._mode = mode
        return [mode]

    def _return_word(self, word: str) -> list[str]:
        changed = word != self._return
        self._return = word
        return [word] if changed else []

    def _across(self, drill: Drill) -> list[str]:
        """Return the words of a hole's place, at least one."""
        grid = self._setting.grid
        x = grid.counts(drill.x)
        words = self._set("X", x) + self._set("Y", grid.counts(drill.y))
        return words or [f"X{grid.text(x)}"]

    def _changed(self, move: Rapid | Feed) -> list[str]:
        """Return the words of the coordinates that change; those not known are left alone."""
        words: list[str] = []
        for letter, value in (("X", move.x), ("Y", move.y), ("Z", move.z)):
            if not math.isnan(value):
                words += self._set(letter, self._setting.grid.counts(value))
        return words

    def _set(self, letter: str, counts: int) -> list[str]:
        """Return a word if it changes."""
        if self._said.get(letter) == counts:
            return []
        self._said[letter] = counts
        return [f"{letter}{self._setting.grid.text(counts)}"]

    def _feed(self, feed: float) -> list[str]:
        """Return the feed word if it changes.

        Raises:
            Refusal: the feed is above what the control takes, or nothing is left of it.
        """
        setting = self._setting
        places = FEED_DECIMALS[setting.grid.units]
        most = setting.control.feed_most
        counts = round(feed / setting.grid.factor * 10**places)
        if not feed <= most:
            raise setting.refuse("feed_most", f"feed at {feed:g} mm/min", f"plan {most:g} or less")
        if counts <= 0:
            raise setting.refuse("", f"feed at {feed:g} mm/min", "plan a feed that can be written")
        if self._said.get("F") == counts:
            return []
        self._said["F"] = counts
        return [f"F{decimals(counts, places)}"]
