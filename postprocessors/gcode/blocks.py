"""The lines of a program: words within the line's length, numbered and fenced where wanted."""

from __future__ import annotations

from postprocessors.gcode.comments import comments
from postprocessors.gcode.messages import pieces
from postprocessors.gcode.rewrites import Setting

STEP = 10  # between the numbers of two lines
MOST = 99990  # the last number that has five digits
SETTINGS = ("F", "G98", "G99")  # words that may stand in a line of their own before the others


class Blocks:
    """The lines written so far."""

    def __init__(self, setting: Setting) -> None:
        self._setting = setting
        self._lines: list[str] = []
        self._number = 0

    def text(self) -> str:
        """Return all lines as a text."""
        fence = ["%"] if self._setting.control.percent else []
        return "\n".join([*fence, *self._lines, *fence, ""])

    def comment(self, text: str) -> None:
        """Write a cleaned text as one comment, or as several that carry it on."""
        self._lines += comments(text, self._setting.control.line_length)

    def words(self, *words: str) -> None:
        """Write one line of words; where it would be too long, settings first in their own line.

        Raises:
            Refusal: even without blanks the words are too long for a line of the control.
        """
        if self._fits(" ".join(words)):
            self._put(" ".join(words))
            return
        settings = [word for word in words if word.startswith(SETTINGS)]
        others = [word for word in words if not word.startswith(SETTINGS)]
        if settings and others:
            self.words(*settings)
            self.words(*others)
        elif self._fits("".join(words)):
            self._put("".join(words))
        else:
            raise self._setting.refuse(
                "line_length", f"write {''.join(words)} in one line", "declare longer lines"
            )

    def stop(self, *messages: str) -> None:
        """Write programmed stops, one for each message, or more for one that is too long.

        Raises:
            Refusal: a word of a message is too long for a line of the control.
        """
        room = self._room() - len("M0 (MSG, )")
        for message in messages:
            try:
                shown = list(pieces(message, room))
            except ValueError as error:
                raise self._setting.refuse(
                    "line_length", f"show the message {message!r}", "declare longer lines"
                ) from error
            for piece in shown:
                self._put(f"M0 (MSG, {piece})")

    def _numbered(self) -> bool:
        return self._setting.control.line_numbers

    def _room(self) -> int:
        """Return how many characters a line holds beside its number."""
        room = self._setting.control.line_length
        return room - len(f"N{MOST} ") if self._numbered() else room

    def _fits(self, text: str) -> bool:
        return len(text) <= self._room()

    def _put(self, text: str) -> None:
        if self._numbered():
            self._number = self._number % MOST + STEP
            text = f"N{self._number} {text}"
        self._lines.append(text)
