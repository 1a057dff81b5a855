"""Two outside readers judge emitted programs: one their spelling, one where their lines end.

Both are only good for part of it: the first knows words and no meanings, the second neither the Z
of canned cycles nor the shape of arcs nor a change of units on the way.
"""

import math
from collections.abc import Iterator
from dataclasses import replace

import pytest
import tree_sitter_gcode
from hypothesis import assume, given, settings
from tree_sitter import Language, Parser

from pathgen.moves.moves import Arc, Drill, Feed, Rapid, end_of
from pathgen.moves.plan import PlannedSetup, Run
from pathgen.shop.machines import Control
from postprocessors.gcode.reader import read_program
from postprocessors.gcode.writer import write_program
from tests.program_plans import controls, machine, setups

SPELLING = Parser(Language(tree_sitter_gcode.language()))


def has_error(text: str) -> bool:
    """Return whether the grammar finds an error, fences apart, which it does not know."""
    lines = [line for line in text.splitlines(keepends=True) if line.strip() != "%"]
    return SPELLING.parse("".join(lines).encode()).root_node.has_error


@pytest.mark.parametrize("text", ["G1 X--1\n", "G1 X\n", "(open\n", "G1 X1.2.3\n"])
def test_the_judge_of_spelling_finds_errors(text: str) -> None:
    assert has_error(text)


@settings(max_examples=60, deadline=None)
@given(setups(), controls())
def test_emitted_programs_are_spelt_right(setup: PlannedSetup, control: Control) -> None:
    assert not has_error(write_program(setup, machine(control)))


def ends_by_line(run: Run) -> dict[int, tuple[float, float, float]]:
    """Return where each line with a move leaves the cutter, mm."""
    return {
        number: end_of(item)
        for number, item in zip(run.numbers, run.items, strict=True)
        if isinstance(item, (Rapid, Feed, Arc, Drill))
    }


def judged_ends(text: str, factor: float) -> Iterator[tuple[int, tuple[float, float, float]]]:
    """Yield where the other reader ends each line, mm."""
    pygcode = pytest.importorskip("pygcode")
    other = pygcode.Machine()
    for number, line in enumerate(text.splitlines(), start=1):
        other.process_block(pygcode.Line(line).block)
        values = other.pos.values
        yield number, (values["X"] * factor, values["Y"] * factor, values["Z"] * factor)


@settings(max_examples=40, deadline=None)
@given(setups(), controls())
def test_lines_end_where_another_reader_ends_them(setup: PlannedSetup, control: Control) -> None:
    control = replace(control, cycles=())  # it does not know their depth
    text = write_program(setup, machine(control))
    ours = ends_by_line(read_program(text))
    assume(ours)
    factor = 25.4 if control.units == "in" else 1.0
    for number, end in judged_ends(text, factor):
        for mine, other in zip(ours.get(number, ()), end):
            assert math.isnan(mine) or mine == pytest.approx(other, abs=1e-9)


def test_holes_of_cycles_are_where_another_reader_has_them() -> None:
    text = (
        "G17 G21 G40 G49 G54 G80 G90 G94\nG0 Z10.0\nX0.0 Y0.0\n"
        "G99 G81 X10.0 Y5.0 Z-8.0 R2.0 F80.0\nX20.0\nY-5.0\nG80\nG0 Z10.0\nM30\n"
    )
    ours = ends_by_line(read_program(text))
    judged = dict(judged_ends(text, 1.0))
    assert [ours[number][:2] for number in (4, 5, 6)] == [(10, 5), (20, 5), (20, -5)]
    assert [judged[number][:2] for number in (4, 5, 6)] == [(10, 5), (20, 5), (20, -5)]
