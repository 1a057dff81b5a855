"""What a person does at a program: stops and their records, refusals, edits that show."""

from dataclasses import replace

import pytest

from pathgen.input.where import Refusal
from pathgen.moves.actions import (
    Action,
    Coolant,
    FitCutter,
    Lock,
    Measure,
    Pause,
    Spindle,
    Touch,
    Zero,
)
from pathgen.moves.moves import Arc, Drill, Feed, How, Rapid, Rule, Term
from pathgen.moves.plan import Item
from pathgen.shop.machines import Control
from postprocessors.gcode.comments import clean
from postprocessors.gcode.reader import read_program
from postprocessors.gcode.writer import write_program
from tests.program_by_hand import BARE, FULL, MILL, OVER, control, planned, written
from tests.program_plans import machine

PAPER = Touch(
    face="top",
    towards=-1,
    tool="6 mm end mill",
    radius=0,
    paper=0.05,
    at=0.05,
    terms=(Term("paper", 0.05),),
    over=(12.5, -4.0),
)
ZERO = Zero(axis="z", touches=(PAPER,), uncertainty=0.02)


def test_a_control_that_changes_nothing_itself_stops_and_says_for_what() -> None:
    lines = written(ZERO, Spindle(rpm=900), OVER, told=BARE)
    assert lines == [
        "(stop, fit cutter 1)",
        "M0 (MSG, Fit cutter 1: 6 mm end mill)",
        "(stop, zero z: within 0.02 mm)",
        "(touch top: going minus, radius 0.0 mm, paper 0.05 mm, at 0.05 mm, over x 12.5)",
        "(+ mm y -4.0 mm, spindle still, with 6 mm end mill)",
        "(term: 0.05 mm, paper)",
        "M0 (MSG, Bring the 6 mm end mill over whole metal, x 12.5 mm y -4.0 mm)",
        "M0 (MSG, Spindle off, down on the top face until it nips the 0.05 mm paper)",
        "M0 (MSG, Set z of G54, and z only, to read 0.05 mm there)",
        "(stop, speed 900)",
        "M0 (MSG, Set 900 rev/min)",
        "M3",
        "G0 Z20.0",
        "X10.0 Y5.0",
    ]


def test_the_same_speed_is_not_set_twice_by_hand() -> None:
    lines = written(Spindle(rpm=900), Spindle(rpm=0), Spindle(rpm=900), OVER, told=BARE)
    assert lines.count("(stop, speed 900)") == 1
    assert lines.count("M3") == 2


def test_the_spindle_stops_before_its_speed_is_set_by_hand() -> None:
    lines = written(Spindle(rpm=900), OVER, Spindle(rpm=500), OVER, told=BARE)
    at = lines.index("(stop, speed 500)")
    assert lines[at - 1 : at + 3] == [
        "M5",
        "(stop, speed 500)",
        "M0 (MSG, Set 500 rev/min)",
        "M3",
    ]


def test_after_a_zero_the_height_is_said_again() -> None:
    lines = written(OVER, ZERO, OVER)
    at = next(i for i, line in enumerate(lines) if "MSG, Set z of G54" in line)
    assert lines[at + 1 :] == ["G0 Z20.0", "X10.0 Y5.0"]


def test_fluid_that_the_control_cannot_turn_is_turned_by_hand() -> None:
    lines = written(Coolant(kind="mist"), Coolant(kind="off"), OVER)
    assert lines[2:6] == [
        "(stop, coolant mist)",
        "M0 (MSG, Turn coolant to mist)",
        "(stop, coolant off)",
        "M0 (MSG, Turn coolant to off)",
    ]


MEASURE = Measure(name="M1", what="width", expected=12, low=11.9, high=12.1)


@pytest.mark.parametrize(
    "action", [ZERO, MEASURE, FitCutter(number=1, name=MILL.name, diameter=5.98)]
)
def test_hands_stay_away_from_a_turning_spindle(action: Action) -> None:
    with pytest.raises(Refusal, match="while the spindle turns"):
        written(Spindle(rpm=900), action)


def test_after_a_change_of_cutter_everything_is_said_again() -> None:
    fit = FitCutter(number=1, name=MILL.name, diameter=MILL.diameter)
    low, again = Feed(10, 5, -1, 40), (Spindle(rpm=0), fit, Spindle(rpm=900))
    lines = written(Spindle(rpm=900), OVER, low, OVER, *again, OVER, low)
    assert lines[-4:] == ["G0 Z20.0", "X10.0 Y5.0", "G1 Z-1.0 F40.0", "G0 Z20.0"]


# ------------------------------------------------------------------ refusals


@pytest.mark.parametrize(
    ("items", "told", "says"),
    [
        ((Lock(slide="table"),), FULL, "work the lock of the table"),
        ((OVER, Feed(10, 5, -1, 1200)), FULL, "feed at 1200 mm/min; plan 1000 or less"),
        ((OVER, Feed(10, 5, -1, 0.01)), FULL, "feed at 0.01 mm/min"),
        ((OVER, Drill(10, 5, -4, 30, 60)), FULL, "drill from 30 mm with the cutter at 20 mm"),
        ((Spindle(rpm=0.2),), FULL, "turn at 0.2 rev/min"),
        ((FitCutter(number=2, name="other", diameter=3),), FULL, "fit cutter 2, other"),
        ((FitCutter(number=1, name=MILL.name, diameter=6),), FULL, "state that cutter in the head"),
        ((), control(comments=False), "a control that takes no comments"),
        (
            (OVER, Feed(10, 5, -1, 40, How(rules=(Rule(axis="z", measure="M1", factor=1),)))),
            FULL,
            "let a move follow M1",
        ),
    ],
)
def test_what_cannot_be_said_is_refused(items: tuple[Item, ...], told: Control, says: str) -> None:
    with pytest.raises(Refusal) as caught:
        written(*items, told=told)
    assert says in str(caught.value)
    assert str(caught.value).startswith("mill.toml:1: control")
    assert caught.value.exit_code == 2


def test_a_manual_machine_gets_no_program() -> None:
    by_hand = replace(machine(FULL), control=None)
    with pytest.raises(Refusal, match="it is worked by hand"):
        write_program(planned(), by_hand)


# ------------------------------------------------------------------ edits of a program

BODY = (
    Spindle(rpm=900),
    OVER,
    Feed(10, 5, -2, 40),
    Arc(20, 15, -2, 10, 15, False, 40),
    Pause(reason="look"),
    Rapid(20, 15, 20),
    Spindle(rpm=0),
)


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ("G3 X20.0", "G2 X20.0"),
        ("X20.0 Y15.0", "X20.0 Y15.001"),
        ("G1 Z-2.0", "G0 Z-2.0"),
        ("Z-2.0", "Z-2.001"),
        ("F40.0", "F400.0"),
        ("S900", "S90"),
        ("G21", "G20"),
        ("5.98 mm", "5.99 mm"),
        ("T1 M6", "T2 M6"),
        ("(stop, pause)", "(stop, pausing)"),
        ("(digest: 4f1c)", "(digest: 4f1d)"),
        ("(title: seat)\n", ""),
        ("G43 H1", "G43 H2"),
        ("G40 G49", "G49"),
    ],
)
def test_an_edit_of_a_program_shows_in_what_is_read(right: str, wrong: str) -> None:
    text = write_program(planned(*BODY), machine(FULL))
    assert text.count(right) >= 1
    before, after = read_program(text), read_program(text.replace(right, wrong, 1))
    assert repr(before) != repr(after)  # a place not known is nan, which is not even itself


# ------------------------------------------------------------------ comments that are read

HEAD = (
    "(pathgen program, form 1)\n(title: seat)\n(digest: 4f1c)\n(setup: top)\n(machine: mill)\n"
    "(cutter 1: 5.98 mm, 6 mm end mill)\nG17 G21 G40 G49 G54 G80 G90 G94\n"
)


@pytest.mark.parametrize(
    ("body", "says"),
    [
        ("(stop, fit cutter 1)\nG0 Z5", "the stop that this announces does not follow"),
        ("(stop, pause)\n(stop, pause)\nM0", "two announcements of one stop"),
        ("(zero x: within 0.02 mm)\nG0 Z5", "lacks its touches"),
        ("(zero x: within 0.02)\nG0 Z5", "(zero x: within 0.02) cannot be read"),
        ("(cutter 2: thin, drill)\nG0 Z5", "cannot be read"),
        ("(cutter 1: 3.0 mm, drill)\nG0 Z5", "cutter 1 is stated twice"),
        ("(title: other)\nG0 Z5", "a second title"),
        ("(stop, fit cutter 2)\nM0 (MSG, Fit cutter 2:)", "cutter 2 is not in the head"),
        ("T2 M6\nG0 Z5", "cutter 2 is not in the head"),
        ("(term: 1.0 mm, paper)\nG0 Z5", "cannot be read"),
        (
            "S5 M3\n(stop, fit cutter 1)\nM0 (MSG, Fit cutter 1: 6 mm end mill)",
            "a stop for hands while the spindle turns",
        ),
        ("(pathgen program, form 2)\nG0 Z5", "form 2 is not known"),
        ("M3\nG0 Z5", "M3 without a speed"),
    ],
)
def test_what_the_comments_leave_open_is_a_trouble(body: str, says: str) -> None:
    (trouble,) = read_program(f"{HEAD}{body}\nM2\n").troubles
    assert says in trouble.what


def test_comments_of_other_people_are_passed_over() -> None:
    run = read_program(f"{HEAD}(checked by the foreman)\n(-- zero x: no record)\nG0 Z5\nM2\n")
    assert run.troubles == ()
    assert len(run.items) == 1


def test_a_stop_without_a_record_is_a_pause_with_its_message() -> None:
    run = read_program(f"{HEAD}M0 (MSG, oil the slides)\nM2\n")
    assert run.items == (Pause(reason="oil the slides"),)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("a (b) c", "a [b] c"),
        ("  two\n lines\t", "two lines"),
        ("\u00f8 6 \u00d7 1\u00bd \u2033 \u2013 20 \u00b0", "dia 6 x 1 1/2 in - 20 deg"),
        ("caf\u00e9 \u4e2d", "cafe _"),
        ("100 %; done!", "100 percent, done."),
    ],
)
def test_words_are_made_fit_for_a_comment(text: str, wanted: str) -> None:
    assert clean(text) == wanted


def test_no_words_of_a_person_become_words_of_a_program() -> None:
    title = "seat) M3 (MSG, x\nG1 X99 \u2029 % /"
    setup = planned(OVER, title=title)
    run = read_program(write_program(setup, machine(FULL)))
    assert run.head.title == "seat] M3 [MSG, x G1 X99 percent /"
    assert Spindle(rpm=0) in run.items
    assert not [item for item in run.items if isinstance(item, Feed)]
