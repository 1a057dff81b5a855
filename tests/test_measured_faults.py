"""What is measured on the way: a wrong size, band or quantity, or none measured, is found."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from pathgen.check.findings import Finding
from pathgen.commands.workplace import Proof
from pathgen.moves.actions import Measure, Spindle
from pathgen.moves.moves import Rapid
from pathgen.moves.plan import Doubt
from tests.builders import (
    CLEAR,
    DEPTHS,
    SLOT_DRILL,
    SMALL_SLOT_DRILL,
    checked,
    fit,
    hand_mill,
    run,
    setup,
    slot,
    to_and_fro,
    zero,
)
from tests.test_named_faults import Step, findings, made

KEEPER = Path(__file__).parents[1] / "jobs" / "keeper.toml"
WIDE = (("width = 8.2 ", "width_limits = [7.5, 8.9]\nwidth = 8.2 "),)
WIDER = (("width = 8.2 ", "width_limits = [8.1, 8.3]\nwidth = 8.2 "),)
Edit = Callable[[list[Step]], None]


def keeper() -> Proof:
    """Return the keeper of the fence bar, its way a little wider: the walls follow the measuring.

    It is roughed to 7.7 mm, and wanted 8.1 to 8.3 mm wide.
    """
    return made("bench-mill-metric", WIDER, KEEPER)


def found(proof: Proof, edit: Edit) -> list[Finding]:
    """Return what is found in a sheet after an edit of its steps."""
    sheet = json.loads(proof.text)
    edit(sheet["steps"])
    return findings(proof.place, json.dumps(sheet))


def places(row: list[Finding], code: str = "measure") -> set[int | None]:
    """Return the steps of the findings of a code."""
    return {each.place for each in row if each.code == code}


def measure(steps: list[Step]) -> Step:
    return next(step for step in steps if step["kind"] == "measure")


def number_of_measure(proof: Proof) -> int:
    return int(measure(json.loads(proof.text)["steps"])["number"])


def left_out(steps: list[Step], first: int, last: int) -> None:
    """Put notes in the place of the steps with the numbers from first to last."""
    for index in range(first - 1, last):
        number = steps[index]["number"]
        steps[index] = {"kind": "note", "number": number, "text": "left out", "caution": False}


# ---------------------------------------------------------------- sheets


@pytest.mark.parametrize("off", [-0.2, 0.2])
def test_a_wrong_expected_size_is_found_though_the_walls_follow_suit(off: float) -> None:
    # The slot is roughed to 7.7 mm. With 7.9 written for it, in the rules too, hands would find
    # 7.7 and move each wall 0.1 out.
    def edit(steps: list[Step]) -> None:
        rules = [step["rule"] for step in steps if step.get("rule", {}).get("measure") == "M1"]
        assert len(rules) == 2
        for each in (measure(steps), *rules):
            for key in ("expected", "low", "high"):
                each[key] += off

    step = number_of_measure(keeper())
    row = [each for each in found(keeper(), edit) if (each.code, each.place) == ("measure", step)]
    assert row
    assert f"should be {7.7 + off:.3f} mm by what is written" in row[0].what
    assert "in the metal at that moment" in row[0].what
    assert row[0].amount == pytest.approx(0.2, abs=0.02)


@pytest.mark.parametrize(
    "band",
    [
        {"low": 5.0, "high": 12.0},
        {"high": 8.25},  # the way is 8.1 to 8.3 mm wide when done
        {"low": 7.0},
        {"low": 7.75, "high": 7.8},  # not about what is expected
    ],
)
def test_a_band_that_lets_wrong_work_go_on_is_found(band: dict[str, float]) -> None:
    def edit(steps: list[Step]) -> None:
        measure(steps).update(band)
        for step in steps:
            if step.get("rule", {}).get("measure") == "M1":
                step["rule"].update(band)

    assert number_of_measure(keeper()) in places(found(keeper(), edit))


@pytest.mark.parametrize("what", ["length", "length of way", "width of the other way", "depth"])
def test_measuring_something_else_is_found(what: str) -> None:
    def edit(steps: list[Step]) -> None:
        measure(steps)["what"] = what

    assert number_of_measure(keeper()) in places(found(keeper(), edit))


def test_a_slot_finished_without_measuring_is_found() -> None:
    proof = made("bench-mill-metric")
    step = number_of_measure(proof)
    row = found(proof, lambda steps: left_out(steps, step, step))
    cut = next(
        s for s in json.loads(proof.text)["steps"][step:] if s["kind"] == "wind" and s["cut"]
    )
    (finding,) = [each for each in row if each.code == "measure"]
    assert (finding.place or 0) >= cut["number"]
    assert "was not measured after roughing" in finding.what


def test_a_semi_finish_left_out_shows_where_the_slot_is_measured() -> None:
    def edit(steps: list[Step]) -> None:
        cuts = [
            i
            for i, step in enumerate(steps[: number - 1])
            if step["kind"] == "wind" and step["cut"] and "wall: along" in step.get("what", "")
        ]
        assert len(cuts) == 2
        for index in cuts:
            left_out(steps, index + 1, index + 1)

    proof = made("bench-mill-metric")
    number = number_of_measure(proof)
    assert number in places(found(proof, edit))


@pytest.mark.parametrize(
    "change",
    [
        {"low": 7.6},
        {"high": 7.8},
        {"advice": "look at the cutter"},
        {"what": "width of way, half-way along"},
    ],
)
def test_a_narrower_band_and_other_advice_are_harmless(change: dict[str, object]) -> None:
    def edit(steps: list[Step]) -> None:
        measure(steps).update(change)
        for step in steps:
            if step.get("rule", {}).get("measure") == "M1":
                step["rule"].update({k: v for k, v in change.items() if k in ("low", "high")})

    assert found(keeper(), edit) == []


# ---------------------------------------------------------------- programs


def program(old: str, new: str) -> list[Finding]:
    proof = made("converted-mill")
    assert old in proof.text
    return findings(proof.place, proof.text.replace(old, new))


def test_a_wrong_expected_size_in_a_program_is_found() -> None:
    row = program("9.575 mm, from 9.425 mm", "9.4 mm, from 9.25 mm")
    assert [each.amount for each in row if each.code == "measure"] == [
        pytest.approx(0.175, abs=0.01)
    ]


def test_a_band_beyond_the_wanted_width_in_a_program_is_found() -> None:
    row = program("to 9.725 mm", "to 10.1 mm")  # 10.075 mm is aimed at
    assert [each.amount for each in row if each.code == "measure"] == [
        pytest.approx(0.025, abs=0.002)
    ]


# ---------------------------------------------------------------- runs made by hand

M1 = Measure(name="M1", what="width of slot", expected=5.0, low=4.9, high=5.1)
STOPPED = (Spindle(rpm=0.0),)
ROUGH = (*fit(SMALL_SLOT_DRILL, 1), *to_and_fro(DEPTHS, ends=(23.0, 77.0)), *STOPPED)
FINISH = (*fit(SLOT_DRILL, 2), *to_and_fro(DEPTHS), *STOPPED)
BOTH = (SMALL_SLOT_DRILL, SLOT_DRILL)


def by_hand(*items: object) -> set[int | None]:
    sheet = run(zero("x"), zero("y"), *items, cutters=BOTH, where="step")  # type: ignore[arg-type]
    report = checked(sheet, setup(slot()), hand_mill())
    return places([each for each in report.findings if each.severity == "finding"])


def test_measured_between_roughing_and_finishing_is_right() -> None:
    assert by_hand(*ROUGH, M1, *FINISH) == set()


def test_measured_too_early_or_too_late_is_found() -> None:
    before = 4  # the first step after the zeros
    assert before in by_hand(M1, *ROUGH, *FINISH)
    assert by_hand(*ROUGH, *FINISH, M1) >= {4 + len(ROUGH) + len(FINISH)}


def test_one_cut_of_the_cutters_own_width_needs_no_measuring() -> None:
    assert by_hand(*FINISH) == set()


def test_a_finished_size_may_be_measured_within_its_limits() -> None:
    done = replace(M1, expected=6.0, low=5.95, high=6.05)
    assert by_hand(*ROUGH, M1, *FINISH, done) == set()
    beyond = replace(done, high=6.1)
    assert by_hand(*ROUGH, M1, *FINISH, beyond) == {4 + len(ROUGH) + 1 + len(FINISH)}


def test_what_the_eye_leaves_open_is_no_fault() -> None:
    off = replace(M1, expected=5.02)
    walls = [
        item for y in (0.5, -0.5) for item in (*to_and_fro([-8.2], y=y)[:-1], Rapid(50.0, y, CLEAR))
    ]
    for setting, expected in ((0.0, True), (0.02, False)):
        rows = run(
            *fit(SMALL_SLOT_DRILL, 1),
            *to_and_fro(DEPTHS),
            *walls,
            *STOPPED,
            replace(off, expected=6.03, low=6.0, high=6.05),
            cutters=BOTH,
            doubt=Doubt(setting=(setting, setting, setting)),
        )
        report = checked(rows, setup(slot()))
        told = [each for each in report.findings if each.code == "measure" and each.place]
        assert bool(told) is expected


def test_a_roughed_slot_that_is_within_wide_limits_already_may_be_gone_on_with() -> None:
    # With 8.2 mm wanted within 0.7 mm each way, a slot roughed to 7.7 mm is within its limits; its
    # walls are cut to the middle of them all the same.
    loose = made("bench-mill-metric", WIDE, KEEPER)
    step = measure(json.loads(loose.text)["steps"])
    assert step["low"] < step["expected"] < step["high"]
