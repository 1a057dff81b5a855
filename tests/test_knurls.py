"""Knurls: whole teeth, what is pressed on the shipped lathes, and that slips are found."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from pathgen.commands.loading import load
from pathgen.commands.proving import prove_job
from pathgen.commands.workplace import Proof, form_for
from pathgen.input.where import Faults, InputError
from pathgen.job.load import load_job
from pathgen.job.turning.turned import TurnedJob
from pathgen.reckon.knurls import diameter_of, pressed_in, swelling, teeth_round, whole_within
from postprocessors.drawing.half_knurls import knurl_lines
from postprocessors.drawing.half_threads import threads
from tests.inside_jobs import found_in, sheet_of
from tests.read_jobs import the_shop

SCREW = Path(__file__).parents[1] / "jobs" / "thumb-screw.toml"
METRIC, INCH_DIALS, PROGRAM = "bench-lathe-metric", "bench-lathe-inch", "converted-lathe"
DIE = """[[setup.feature]]
kind = "die"
name = "screw"
of = "outside"
thread = "M10"
length = 16
"""
RELIEF = """[[setup.feature]]
kind = "undercut"
name = "relief under the head"
of = "outside"
width = 4
diameter = 7.8
"""


@cache
def screw(machine: str) -> Proof:
    """Return the thumb screw as made on a lathe."""
    job, shop = load(SCREW)
    (proof,) = prove_job(job, shop, machine, lambda _: None)
    return proof


def changed(folder: Path, *changes: tuple[str, str], machine: str | None = None) -> Proof:
    """Return the thumb screw as made from a job that was changed.

    Raises:
        InputError: it makes no sense, or cannot be made.
    """
    text = SCREW.read_text(encoding="utf-8")
    for before, after in changes:
        assert before in text, before
        text = text.replace(before, after, 1)
    path = folder / SCREW.name
    path.write_text(text, encoding="utf-8")
    faults = Faults()
    job = load_job(path, faults)
    faults.raise_any()
    assert job is not None
    (proof,) = prove_job(job, the_shop(), machine, lambda _: None)
    return proof


# ---------------------------------------------------------------------- whole teeth


@pytest.mark.parametrize("pitch", [0.5, 0.8, 1.0, 1.6])
@pytest.mark.parametrize("diameter", [6.0, 12.7, 22.0, 40.0])
def test_a_diameter_of_whole_teeth_holds_them(pitch: float, diameter: float) -> None:
    for pattern, round_pitch in (
        ("straight", pitch),
        ("diamond", pitch / math.cos(math.radians(30))),
    ):
        teeth, low, high = whole_within(diameter, diameter, pitch, pattern)  # type: ignore[arg-type]
        whole = diameter_of(teeth, pitch, pattern)  # type: ignore[arg-type]
        assert math.pi * whole == pytest.approx(teeth * round_pitch)
        assert teeth_round(whole, pitch, pattern) == pytest.approx(teeth)  # type: ignore[arg-type]
        assert abs(whole - diameter) <= round_pitch / math.pi / 2 + 1e-9
        # a quarter of a pitch either way round the circumference
        assert math.pi * (high - low) == pytest.approx(round_pitch / 2)


def test_as_much_metal_rises_as_is_pressed_down() -> None:
    assert swelling(1.0, "diamond") == pytest.approx(0.67)
    assert pressed_in(0.8, "straight") == pytest.approx(0.5 * 0.8 / 2)


# ---------------------------------------------------------------------- what is made


@pytest.mark.parametrize("machine", [METRIC, INCH_DIALS])
def test_the_thumb_screw_is_proved_with_its_knurl_judged(machine: str) -> None:
    report = screw(machine).report
    assert report.ok, [str(each) for each in report.findings]
    grip = {size.quantity: size for size in report.sizes if size.feature == "grip"}
    assert {name: size.wanted.nominal for name, size in grip.items()} == {
        "length": 21,
        "width": 8,
        "depth": pytest.approx(0.335),
    }
    for size in grip.values():
        assert size.wanted.low <= size.least <= size.most <= size.wanted.high
    head = next(s for s in report.sizes if s.feature == "outside, second from the right")
    # 60 teeth of 1 mm at 30 degrees: 60 x 1.1547 / pi = 22.053, judged before it is knurled
    assert abs(head.least - 22.053) < 0.092
    assert abs(head.most - 22.053) < 0.092


def test_the_sheet_says_what_to_look_for_and_where_not_to_touch() -> None:
    proof = screw(METRIC)
    text = " ".join(form_for(proof.place.machine).faces(proof)[".txt"].split())
    assert "60 teeth of 1 mm round 22.05 mm; it swells by about 0.67 mm to 22.72 mm" in text
    assert "one clean set of 60 teeth?" in text
    assert "Slow, with much oil all the time" in text
    assert "the wheels draw in whatever touches them" in text
    assert "that was turned, beside the knurl" in text
    assert "x = half of the diameter 11.025 - pressed in 0.335 = 10.690 mm" in text


def test_a_knurl_and_a_die_are_drawn_where_they_are() -> None:
    job, _ = load(SCREW)
    assert isinstance(job, TurnedJob)
    (setup,) = job.setups
    places = [place for line in knurl_lines(setup) for place in line]
    assert (min(z for z, _ in places), max(z for z, _ in places)) == pytest.approx((-29, -21))
    assert max(x for _, x in places) == pytest.approx(22.05 / 2)
    assert min(x for _, x in places) == pytest.approx(22.05 / 2 - 2)  # two pitches: a sign of it
    (drawn,) = threads(setup)
    assert (drawn.words, drawn.right, drawn.left) == ("M10", 0, -16)
    assert drawn.surface == pytest.approx(9.85 / 2)
    # 1.22687 pitches under the major diameter, ISO 68-1 (from memory)
    assert drawn.root == pytest.approx((10 - 1.22687 * 1.5) / 2, abs=1e-3)


def test_motors_press_no_knurl() -> None:
    job, shop = load(SCREW)
    with pytest.raises(InputError, match="stalls under the wheels loses its place unseen"):
        list(prove_job(job, shop, PROGRAM, lambda _: None))


# ---------------------------------------------------------------------- slips in a sheet


def step_of(raw: dict[str, Any], what: str, index: int = 0) -> dict[str, Any]:
    steps: list[dict[str, Any]] = [step for step in raw["steps"] if step.get("what") == what]
    return steps[index]


def of_grip(raw: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the steps from the fitting of the wheels on."""
    at = next(
        index
        for index, step in enumerate(raw["steps"])
        if step["kind"] == "fit" and "knurling" in step["name"]
    )
    steps: list[dict[str, Any]] = raw["steps"][at:]
    return steps


def other_wheels(raw: dict[str, Any]) -> None:
    of_grip(raw)[0]["name"] = "0.8 mm straight knurling tool"


def half_a_turn_deeper(raw: dict[str, Any]) -> None:
    step_of(raw, "press in again, into the teeth that are there")["dial"] += 100


def far_too_fast(raw: dict[str, Any]) -> None:
    next(s for s in of_grip(raw) if s["kind"] == "spindle")["rpm"] = 540


def a_turn_too_far(raw: dict[str, Any]) -> None:
    step_of(raw, "along to the end of the knurl")["passes"] += 2


def both_passes_left_short(raw: dict[str, Any]) -> None:
    for index in (0, 1):
        step_of(raw, "along to the end of the knurl", index)["passes"] -= 1


def fed_too_fast(raw: dict[str, Any]) -> None:
    step_of(raw, "along to the end of the knurl")["turns_per_min"] *= 4


@pytest.mark.parametrize(
    ("edit", "code"),
    [
        (other_wheels, "knurl tool"),
        (half_a_turn_deeper, "depth"),
        (far_too_fast, "speed"),
        (a_turn_too_far, "knurl"),
        (both_passes_left_short, "size"),
        (fed_too_fast, "feed"),
    ],
)
def test_a_slip_in_a_sheet_is_found(edit: Callable[[dict[str, Any]], None], code: str) -> None:
    proof = screw(METRIC)
    raw = sheet_of(proof)
    edit(raw)
    assert code in {each.code for each in found_in(proof, json.dumps(raw))}


def test_harmless_edits_find_nothing() -> None:
    proof = screw(METRIC)
    raw = sheet_of(proof)
    step_of(raw, "press the wheels in at once and firmly, oil on them")["what"] = "press them in"
    step_of(raw, "along to the end of the knurl")["turns_per_min"] *= 0.8
    assert found_in(proof, json.dumps(raw)) == []


# ---------------------------------------------------------------------- refusals


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ([("[22, 22.1]", "[21.85, 22.1]")], "they do not fall into one another"),
        ([("pitch = 1 ", "pitch = 0 ")], "pitch"),
        ([('"diamond"', '"spiral"')], "pattern"),
        ([("start = 21\n", "start = 20.5\n")], "its diameter is whole from 21 mm"),
        ([("width = 8\n", "width = 9.5\n")], "reaches beyond the end"),
        ([("width = 8\n", "width = 13\n")], "leave 0.5 mm beside the corner"),
        (
            [
                ("pitch = 1 ", "pitch = 1.6 "),
                ("22.05, ", "21.76, "),
                ("[22, 22.1]", "[21.7, 21.85]"),
            ],
            "no tool of the crib",
        ),
        (
            [
                ("stick_out = 46", "stick_out = 35.3"),
                ("length = 68", "length = 58"),
                ("width = 8\n", "width = 11.3\n"),
                ('[[setup.feature]]\nkind = "parted"\nname = "off the bar"\nlength = 30\n', ""),
            ],
            "so near to the jaws",
        ),
        (
            [
                ("step = 2\npattern", "step = 1\npattern"),
                ("pitch = 1 ", "pitch = 0.8 "),
                ('"diamond"', '"straight"'),
                ("start = 21\nwidth = 8\n", "start = 6\nwidth = 12\n"),
                ("9.85, diameter_limits = [9.78, 9.92]", "9.93, diameter_limits = [9.89, 9.97]"),
                (DIE, ""),
                (RELIEF, ""),
            ],
            "what holds the wheels is 16 mm wide and comes to it",
        ),
        (  # 5 mm from the axis a crown of 9 mm has fallen 1.5 mm, and the holder stands 4 mm beyond
            [
                ('kind = "chamfer"\nname = "lead-in"', 'kind = "crown"\nname = "lead-in"'),
                ("width = 1.2 ", "radius = 9 "),
                ("9.85, diameter_limits = [9.78, 9.92]", "16"),
                (DIE, ""),
                (RELIEF, ""),
            ],
            "at the middle of the crowned end",
        ),
    ],
)
def test_what_cannot_be_knurled_is_refused(
    tmp_path: Path, changes: list[tuple[str, str]], message: str
) -> None:
    with pytest.raises(InputError) as caught:
        changed(tmp_path, *changes)
    assert message in str(caught.value)
