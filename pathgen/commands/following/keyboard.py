"""The terminal that the program was started in: keys one by one, none of them lost."""

from __future__ import annotations

import os
import re
import sys
import termios
import tty
from collections.abc import Iterator
from contextlib import contextmanager

import click

KEY = re.compile(r"\x1b[\[O][A-D]|.", re.DOTALL)  # an arrow, or any other sign


class Keyboard:
    """Reads keys as they are pressed; what is pressed ahead waits its turn."""

    def __init__(self) -> None:
        self._in = sys.stdin.fileno()
        self._ahead: list[str] = []
        self._before = termios.tcgetattr(self._in)

    @contextmanager
    def by_keys(self) -> Iterator[None]:
        """Take keys at once and show none of them, until the end."""
        try:
            tty.setcbreak(self._in, termios.TCSADRAIN)
            yield
        finally:
            termios.tcsetattr(self._in, termios.TCSADRAIN, self._before)

    def key(self) -> str:
        """Return the next key.

        Raises:
            EOFError: the terminal is gone.
        """
        while not self._ahead:
            pressed = os.read(self._in, 256)
            if not pressed:
                raise EOFError
            self._ahead = KEY.findall(pressed.decode(errors="replace"))
        return self._ahead.pop(0)

    def line(self, prompt: str) -> str:
        """Return a line that is typed after a prompt."""
        termios.tcsetattr(self._in, termios.TCSADRAIN, self._before)
        try:
            answer: str = click.prompt(prompt, default="", prompt_suffix="", show_default=False)
        finally:
            tty.setcbreak(self._in, termios.TCSADRAIN)
        return answer

    def show(self, lines: list[str]) -> None:
        """Show lines in place of what was shown."""
        click.clear()
        click.echo("\n".join(lines))
