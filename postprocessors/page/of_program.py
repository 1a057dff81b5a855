"""A program as a page has it: what the person does before it and at its stops, pass by pass."""

from __future__ import annotations

from pathgen.input.units import Units
from pathgen.moves.plan import Run
from postprocessors.dials.faces import figures
from postprocessors.page.pages import Group
from postprocessors.page.program_cards import ProgramCards

READING = (
    "A page beside the program: what you do before it starts, at its stops, and after it.",
    "RUN: the program moves by itself between the lines named; stay with it, a hand on the stop.",
    "Where the control shows a message, the page has it word for word.",
)


def groups_of(made: ProgramCards) -> tuple[Group, ...]:
    """Return the cards under the headings of the passes, numbered as the drawing has them."""
    starts = {1: None, **made.starts}
    firsts = sorted(starts)
    groups = []
    for index, first in enumerate(firsts):
        section = starts[first]
        end = firsts[index + 1] if index + 1 < len(firsts) else len(made.cards) + 1
        numbered = f"{made.number_of(section)}. {section.title}" if section else "Set up"
        groups.append(
            Group(
                first=first,
                heading=numbered,
                figures="",
                why=section.why if section else "",
                cards=tuple(made.cards[first - 1 : end - 1]),
            )
        )
    return tuple(group for group in groups if group.cards)


def cutters_of(run: Run, units: Units) -> tuple[tuple[str, str, str], ...]:
    """Return the table of the cutters: number, name, size."""
    return tuple(
        (str(each.number), each.name, figures.both_sizes(each.diameter, units))
        for each in run.head.cutters
    )
