"""What the page of a program has: each stop with its messages, each cut where it runs."""

from __future__ import annotations

import re

import pytest

from pathgen.commands.workplace import form_for
from pathgen.moves.actions import FitCutter, Measure, Zero
from pathgen.moves.moves import Arc, Drill, Feed
from pathgen.moves.timing import Pace
from postprocessors.page.of_program import groups_of
from postprocessors.page.program_cards import ProgramCards, program_cards, sections_in
from tests.followed import proof_of

PROGRAMS = [
    ("fence-bar", "converted-mill-lean", "slot"),
    ("lock-plate", "converted-mill", "openings"),
    ("foot-plate", "converted-mill", "holes"),
]


def made(job: str, machine: str, setup: str) -> tuple[ProgramCards, str]:
    proof = proof_of(job, machine, setup)
    return program_cards(proof.run, proof.text, "mm", Pace(rapid=1000.0)), proof.text


@pytest.mark.parametrize("which", PROGRAMS, ids=str)
def test_every_message_of_a_stop_stands_in_a_card(which: tuple[str, str, str]) -> None:
    cards, text = made(*which)
    said = [line for card in cards.cards for line in card.lines if "control shows" in line]
    shown = re.findall(r"^(?:N\d+ )?M0 \(MSG, (.*)\)$", text, re.MULTILINE)
    assert len(shown) > 2 or which[1] == "converted-mill"
    whole = " ".join(each.removeprefix("the control shows: ") for each in said)
    for message in shown:
        assert message.strip(". ") in whole


@pytest.mark.parametrize("which", PROGRAMS, ids=str)
def test_every_cut_is_under_a_card_that_runs(which: tuple[str, str, str]) -> None:
    cards, _ = made(*which)
    run = cards.run
    ends = [0, *cards.ends]
    for number, item in zip(run.numbers, run.items, strict=True):
        under = [n for n in range(1, len(ends)) if ends[n - 1] < number <= ends[n]]
        if isinstance(item, Feed | Arc | Drill):
            assert [cards.cards[n - 1].kind for n in under] == ["run"]
        elif isinstance(item, FitCutter | Measure | Zero):
            assert [cards.cards[n - 1].kind for n in under] == [type(item).__name__.lower()]
    assert [card.number for card in cards.cards] == list(range(1, len(cards.cards) + 1))


@pytest.mark.parametrize("which", PROGRAMS, ids=str)
def test_passes_are_those_of_the_plan_in_order(which: tuple[str, str, str]) -> None:
    proof = proof_of(*which)
    assert proof.plan is not None
    planned = [(each.purpose, each.feature) for each in proof.plan.passes]
    assert [(each.purpose, each.feature) for each in sections_in(proof.text)] == planned
    groups = groups_of(made(*which)[0])
    assert groups[0].heading == "Set up"
    numbered = [group.heading for group in groups[1:]]
    assert numbered == [f"{n}. {p}: {f}" for n, (p, f) in enumerate(planned, start=1)]


def test_a_zero_is_found_with_its_sum_and_set_on_the_control() -> None:
    cards, _ = made("fence-bar", "converted-mill-lean", "slot")
    (x,) = [card for card in cards.cards if card.loud == "ZERO X"]
    # Left of the face by half of a 3 mm cutter and 0.05 mm of paper.
    assert x.lines[1] == (
        "there x = left face 0.000 - half of the 3 mm cutter 1.500 - paper 0.050 = -1.550 mm"
    )
    assert x.lines[2] == "set x of G54 to read -1.550 mm there"
    (y,) = [card for card in cards.cards if card.loud == "ZERO Y"]
    assert y.lines[-1].endswith("go there, and set y of G54 to read 0.000 mm")


def test_what_is_measured_is_asked_for() -> None:
    cards, _ = made("lock-plate", "converted-mill", "openings")
    asked = [card.asked for card in cards.cards if card.asked is not None]
    assert asked[0].name.startswith("M1")
    assert all(each.low < each.expected < each.high for each in asked)


def test_the_page_of_a_program_has_all_its_cards() -> None:
    proof = proof_of("lock-plate", "converted-mill", "openings")
    parts = form_for(proof.place.machine).page_parts(proof)
    assert sum(len(group.cards) for group in parts.groups) == len(parts.ends or ())
