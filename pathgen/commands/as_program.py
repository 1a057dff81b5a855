"""Work handed over as a program, for a machine whose control reads it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from pathgen.commands.page_parts import Parts
from pathgen.commands.telling import pace_of
from pathgen.input.where import JobError, Where, quoted
from postprocessors.gcode.reader import read_program
from postprocessors.gcode.writer import write_program
from postprocessors.page.of_program import READING, cutters_of, groups_of
from postprocessors.page.pages import Follow
from postprocessors.page.program_cards import headings_in, program_cards

if TYPE_CHECKING:
    from pathgen.commands.workplace import Proof, Tell, Workplace
    from pathgen.moves.plan import Head, PlannedSetup, Run
    from pathgen.shop.machines import Words

SUFFIX = ".ngc"
# A line of words, each a letter with a figure, and comments; or what fences a program.
BLOCK = re.compile(
    r"\s*(?:%.*|/?\s*(?:\([^()]*\)|[A-Za-z]\s*[-+]?\s*(?:\d+\.?\d*|\.\d+)|\s)*(?:;.*)?)\s*"
)
BEGINNING = 8000  # characters that are looked at for what it is
LEAST_BLOCKS = 0.5  # of their lines: a slip or two, or twenty, do not make it something else
SHOWN = 40  # characters of its first line
X_WORDS = re.compile(r"^\(x words: (radius|diameter)\)$", re.MULTILINE)


def written(place: Workplace, plan: PlannedSetup) -> str:
    """Return the program."""
    if place.machine.lathe is not None:
        from postprocessors.gcode.turned_writer import write_turned_program  # noqa: PLC0415

        return write_turned_program(plan, place.machine)
    return write_program(plan, place.machine)


def read_back(place: Workplace, text: str, file: str, tell: Tell) -> Iterator[Run]:
    """Yield what the program does."""
    tell(f"reading {file} back")
    control = place.machine.control
    open_ = control.repeatability if control else 0.0
    if place.machine.lathe is not None:
        from postprocessors.gcode.turned_reader import read_turned_program  # noqa: PLC0415

        x_words = control.x_words if control else "radius"
        yield read_turned_program(text, file=file, repeatability=open_, x_words=x_words)
        return
    yield read_program(text, file=file, repeatability=open_)


def head_of(text: str, file: str) -> Head:
    """Return what a program says of itself; one of a lathe says what its x words are.

    Raises:
        JobError: hardly a line is one of a program.
    """
    _guard_kind(text, file)
    words = X_WORDS.search(text)
    if words is not None:
        from postprocessors.gcode.turned_reader import read_turned_program  # noqa: PLC0415

        x_words: Words = "diameter" if words[1] == "diameter" else "radius"
        return read_turned_program(text, file=file, x_words=x_words).head
    return read_program(text, file=file).head


def _guard_kind(text: str, file: str) -> None:
    """Refuse once what is no program at all, not line by line."""
    lines = [line for line in text[:BEGINNING].splitlines() if line.strip()]
    blocks = sum(BLOCK.fullmatch(line) is not None for line in lines)
    if blocks < LEAST_BLOCKS * len(lines) or not lines:
        first = f", it begins {quoted(lines[0].strip()[:SHOWN])}" if lines else ", it is empty"
        raise JobError(
            Where(file, 0, ""),
            f"does not look like a program{first}",
            "give a program (G-code), or the JSON of a dial sheet",
        )


def faces(proof: Proof) -> dict[str, str]:
    """Return the program by its suffix."""
    return {SUFFIX: proof.text}


def page_parts(proof: Proof) -> Parts:
    """Return what the page of a program is made of."""
    machine = proof.place.machine
    made = program_cards(proof.run, proof.text, machine.units, pace_of(machine))
    return Parts(
        groups=groups_of(made),
        cutters=cutters_of(proof.run, machine.units),
        reading=READING,
        dials=(),
        follow=Follow(text=proof.text, units=machine.units),
        headings=headings_in(proof.text),
        ends=tuple(made.ends),
    )


def believed(text: str, file: str) -> str:
    """Return what of a program is not proved but believed."""
    return (
        "its comments and messages, but for those of the head, of zeros, cutters and what is "
        "measured; that the machine, the cutters, the blank and what holds it are as they are "
        "described"
    )


def handle_moves(proof: Proof) -> None:
    """Return None: nobody winds a handle."""
