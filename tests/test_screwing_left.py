"""Left-hand threads: cut from a groove, away from the chuck; and slips that are found."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from pathgen.input.where import InputError, Refusal
from pathgen.moves.actions import ChangeWheels
from pathgen.moves.moves import Rapid, ThreadCut
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.faces.text import write_text
from tests.turned_screw import Made, codes_in, nut_of, screw, screw_of

METRIC, INCH_DIALS, PROGRAM = "bench-lathe-metric", "bench-lathe-inch", "converted-lathe"
LATHES = (METRIC, INCH_DIALS, PROGRAM)
THREAD = '[[setup.feature]]\nkind = "screw-cut"'
GROOVE = """[[setup.feature]]
kind = "groove"
name = "start"
of = "outside"
start = 28.2
width = 7
diameter = 12.2

"""
LEFT = (('"M16"', '"M16 LH"'), ("run_out = 4", "run_out = 6.5"), (THREAD, GROOVE + THREAD))


@pytest.fixture(scope="module")
def left(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Made]:
    """Return the screw with a left-hand thread, as made on each lathe."""
    folder = tmp_path_factory.mktemp("left")
    return {machine: screw_of(folder, machine, *LEFT) for machine in LATHES}


def cuts_of(made: Made) -> list[ThreadCut]:
    return [e for e in made.run.items if isinstance(e, ThreadCut) and e.nuts != "reversed"]


@pytest.mark.parametrize("machine", LATHES)
def test_it_is_proved_and_goes_from_its_groove_off_the_end(
    left: dict[str, Made], machine: str
) -> None:
    assert left[machine].report.ok
    cuts = cuts_of(left[machine])
    assert len(cuts) > 20
    assert all(each.z > 1.9 for each in cuts)
    items = list(left[machine].run.items)
    starts = [
        before.z for before, each in pairwise(items) if each in cuts and isinstance(before, Rapid)
    ]
    assert len(starts) == len(cuts)
    # The walls are at 28.4 and 34.8 at worst. At the surface, 1.335 mm above its tip, the point is
    # (0.15 + (1.335 - 0.15) sin 30) / cos 30 = 0.86 mm wide to each side of its middle, which so
    # begins half-way between 29.26 and 33.94; its place is a nose's radius further on.
    assert starts == pytest.approx([-31.75] * len(cuts), abs=0.06)


def test_the_wheels_take_the_carriage_away_and_the_sheet_says_so(left: dict[str, Made]) -> None:
    for machine in (METRIC, INCH_DIALS):
        (wheels,) = [e for e in left[machine].run.items if isinstance(e, ChangeWheels)]
        assert wheels.left_hand
        sheet = load_sheet(left[machine].text, "sheet")
        text = " ".join(write_text(sheet, left[machine].machine).split())
        assert "so that the carriage goes AWAY FROM the chuck" in text
        assert "CUT THREAD AWAY FROM the chuck until the carriage reads" in text
        assert "CUT THREAD towards the chuck" not in text
        assert "it begins in the groove and goes away from the chuck, the spindle forward" in text


def test_a_hand_has_to_be_in_time_only_where_the_spindle_brings_it_back(
    left: dict[str, Made],
) -> None:
    why = {
        machine: next(e.why for e in left[machine].plan.passes if e.purpose == "thread")
        for machine in LATHES
    }
    assert "a hand 0.5 s late takes it on" in why[INCH_DIALS]
    assert "a hand" not in why[METRIC] + why[PROGRAM]


@pytest.mark.parametrize(
    ("machine", "changes", "message"),
    [
        (METRIC, LEFT[:2], "a left-hand thread is cut away from the chuck, and nothing is there"),
        (METRIC, (*LEFT, ("width = 7", "width = 6")), "ends at 34.2 mm, screw runs out to"),
        (
            METRIC,
            (
                LEFT[0],
                ("run_out = 4", "run_out = 1.8"),
                LEFT[2],
                ("width = 7", "width = 2"),
                ("[37.85, 38.15]", "[37.9, 38.1]"),
            ),
            "give a wider groove, deeper than the thread",
        ),
        (
            PROGRAM,
            (LEFT[0], ("run_out = 4", "run_out = 4.5"), LEFT[2], ("width = 7", "width = 5")),
            "a control has no turn to come in step in",
        ),
    ],
)
def test_what_has_nowhere_to_begin_is_refused(
    tmp_path: Path, machine: str, changes: tuple[tuple[str, str], ...], message: str
) -> None:
    with pytest.raises((Refusal, InputError), match=message):
        screw_of(tmp_path, machine, *changes)


def test_a_left_hand_thread_in_a_bore_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"LH in a bore.*tap it, or turn the part round"):
        nut_of(tmp_path, METRIC, ('"M20x1.5"', '"M20x1.5 LH"'))


# ---------------------------------------------------------------------- slips

Sheet = dict[str, Any]


def steps_of(raw: Sheet, kind: str) -> list[Sheet]:
    return [step for step in raw["steps"] if step["kind"] == kind]


def tumbler_as_it_was(raw: Sheet) -> None:
    steps_of(raw, "wheels")[0]["left_hand"] = False


def towards_the_chuck(raw: Sheet) -> None:
    for step in steps_of(raw, "thread"):
        step["left_hand"] = False


def all_towards_the_chuck(raw: Sheet) -> None:
    tumbler_as_it_was(raw)
    towards_the_chuck(raw)


def short_of_the_end(raw: Sheet) -> None:
    for step in steps_of(raw, "thread"):
        if step["nuts"] == "dial":
            step["reading"] += 100  # 5 mm
            step["place"] -= 5.0


def faster_back(raw: Sheet) -> None:
    for step in steps_of(raw, "thread"):
        step["rpm"] = 310


@pytest.mark.parametrize(
    ("machine", "slip", "code"),
    [
        (METRIC, tumbler_as_it_was, "wheels"),
        (METRIC, towards_the_chuck, "wheels"),
        (METRIC, all_towards_the_chuck, "wrong-way"),
        (METRIC, short_of_the_end, "run-out"),
        (INCH_DIALS, faster_back, "run-out"),
        (INCH_DIALS, faster_back, "run-in"),
    ],
)
def test_a_slip_in_a_sheet_is_found(
    left: dict[str, Made], machine: str, slip: Callable[[Sheet], None], code: str
) -> None:
    raw = json.loads(left[machine].text)
    slip(raw)
    assert code in codes_in(left[machine], json.dumps(raw))


@pytest.mark.parametrize(
    ("pattern", "by", "code"),
    [
        (r"G0 Z-31\.75\d*\n", "G0 Z-29\n", "rapid"),
        (r"G33 Z2\.0 ", "G33 Z-40.0 ", "way"),
        (r"G33 Z2\.0 ", "G33 Z-1.0 ", "run-out"),
        (r" K2\.0\n", " K2.1\n", "lead"),
    ],
)
def test_a_slip_in_a_program_is_found(
    left: dict[str, Made], pattern: str, by: str, code: str
) -> None:
    text, count = re.subn(pattern, by, left[PROGRAM].text)
    assert count
    assert code in codes_in(left[PROGRAM], text)


def test_a_right_hand_thread_cut_from_the_left_is_found() -> None:
    text, count = re.subn(r"G33 Z-27[\d.]*", "G33 Z12.0", screw(PROGRAM).text)
    assert count
    assert "way" in codes_in(screw(PROGRAM), text)


def test_words_of_a_sheet_may_be_changed(left: dict[str, Made]) -> None:
    raw = json.loads(left[METRIC].text)
    for step in steps_of(raw, "thread"):
        step["what"] = "along"
    assert codes_in(left[METRIC], json.dumps(raw)) == set()
