"""Slips in zeroing, in programs and on sheets: each has its finding; what is harmless has none."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from pathgen.check.findings import Finding
from pathgen.job.job import Keepout
from pathgen.moves.actions import Zero
from postprocessors.dials.replay import Case, replay
from postprocessors.dials.steps import SetDialStep
from postprocessors.dials.writer import write_sheet
from tests.builders import TOUCHING, checked, codes, good_run, hand_mill, mill, only, setup, zero
from tests.dial_shop import machine, planned, slide, zero_at
from tests.test_named_faults import findings, made

Step = dict[str, Any]


def in_program(old: str, new: str, machine: str = "converted-mill") -> list[Finding]:
    """Return what is found in the fence bar's program after one change, at its first place."""
    proof = made(machine)
    assert old in proof.text
    return findings(proof.place, proof.text.replace(old, new, 1))


def line_of(start: str, machine: str = "converted-mill") -> int:
    lines = made(machine).text.splitlines()
    return next(i for i, line in enumerate(lines, 1) if line.startswith(start))


# ---------------------------------------------------------------- programs


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("at -1.55 mm", "at -1.05 mm", "left face: at -1.0500 mm, should be -1.5500 mm"),
        ("radius 1.5 mm", "radius 1.0 mm", "radius 1.0000 mm, should be 1.5000 mm"),
        ("paper 0.05 mm", "paper 0.5 mm", "paper 0.5000 mm, should be 0.0500 mm"),
        ("touch left: going plus", "touch left: going minus", "from inside the blank"),
        ("touch left", "touch right", "taken from the right face, not the left"),
        ("with 3 mm cutter", "with 6 mm cutter", "touched with '6 mm cutter', not '3 mm cutter'"),
        ("(term: -1.5 mm", "(term: -1.0 mm", "its terms add up to -1.0500 mm, not -1.5500 mm"),
        ("mm, left face)", "mm, right face)", "a term 'right face', which is none of this touch"),
        ("within 0.02 mm", "within 0.002 mm", "where touching leaves 0.02 mm open"),
        ("(why: the left face)", "(why: the right face)", "the right face is not touched"),
    ],
)
def test_a_zero_of_a_program_is_held_to_the_job(old: str, new: str, says: str) -> None:
    (finding,) = (each for each in in_program(old, new) if each.code == "datum")
    assert "the zero of x" in finding.what
    assert says in finding.what
    assert finding.place == line_of("(zero x")


def test_terms_that_make_up_for_one_another_are_each_looked_at() -> None:
    proof = made("converted-mill")
    text = proof.text.replace("(term: -1.5 mm", "(term: -1.05 mm", 1)
    text = text.replace("(term: -0.05 mm", "(term: -0.5 mm", 1)
    (finding,) = findings(proof.place, text)
    assert "half of the 3 mm cutter -1.0500 mm, should be -1.5000 mm" in finding.what
    assert "add up" not in finding.what


def test_a_middle_is_taken_from_both_faces() -> None:
    (finding,) = in_program("(touch back: going minus", "(touch front: going minus")
    assert "taken from the front and front face, not the back and front" in finding.what
    assert finding.place == line_of("(zero y")


def without(text: str, start: str, end: str) -> str:
    """Return a text without what lies from one line up to, and without, another."""
    first = text.index(start)
    return text[:first] + text[text.index(end, first) :]


@pytest.mark.parametrize(
    ("start", "end", "axes"),
    [("(zero x", "(zero y", "x"), ("(zero y", "(zero z", "y"), ("(zero z", "(-- spot", "z")],
)
def test_a_zero_left_out_of_a_program(start: str, end: str, axes: str) -> None:
    proof = made("converted-mill")
    (finding,) = findings(proof.place, without(proof.text, start, end))
    assert f"a move before the zero of {axes} was set" in finding.what


def test_all_zeros_left_out_of_a_program() -> None:
    proof = made("converted-mill")
    found = findings(proof.place, without(proof.text, "(zero x", "(-- spot"))
    assert [each.code for each in found] == ["zero", "zero"]  # up in z, then across
    assert "zero of z" in found[0].what
    assert "zero of x and y" in found[1].what


def test_a_depth_zero_is_that_of_the_cutter_in_the_spindle() -> None:
    lean = "converted-mill-lean"
    found = in_program("at 0.05 mm, over", "at 1.05 mm, over", lean)
    (finding,) = (each for each in found if each.code == "datum")
    assert "top face: at 1.0500 mm, should be 0.0500 mm" in finding.what
    found = in_program("still, with 9 mm drill", "still, with 3.5 mm drill", lean)
    (finding,) = (each for each in found if each.code == "datum")
    assert "touched with '3.5 mm drill', not '9 mm drill'" in finding.what


def test_a_depth_zero_lost_with_its_stop() -> None:
    proof = made("converted-mill-lean")
    at = proof.text.rindex("(stop, zero z")
    text = proof.text[:at] + without(proof.text[at:], "(stop, zero z", "G0 Z5.0")
    (finding,) = findings(proof.place, text)
    assert "a move before the zero of z was set for this cutter" in finding.what
    lines = text.splitlines()
    fit = lines.index("M0 (MSG, Fit cutter 3: 8 mm end mill)")
    assert finding.place == lines.index("G0 Z5.0", fit) + 1


def test_a_depth_zero_that_the_program_does_not_stop_for() -> None:
    proof = made("converted-mill-lean")
    at = proof.text.rindex("(stop, zero z")
    rest = proof.text[at:].replace("(stop, zero z", "(zero z", 1)
    stop = rest.index("M0 (MSG, Bring the ")
    rest = rest[:stop] + rest[rest.index("G0 Z5.0") :]
    (finding,) = findings(proof.place, proof.text[:at] + rest)
    assert "the program goes on without it" in finding.what
    assert finding.place == proof.text[:at].count("\n") + 1


def touched_over(place: str, *, last: bool) -> list[Finding]:
    """Return what is found of touches where the lean program's first or last zero is elsewhere."""
    proof = made("converted-mill-lean")
    at = proof.text.rindex("(stop, zero z") if last else proof.text.index("(stop, zero z")
    rest = proof.text[at:].replace("over x 12.5)\n(+ mm y 0.0 mm,", f"over {place},", 1)
    rest = rest.replace("x 12.5 mm y 0.0 mm)", f"{place})", 1)
    return findings(proof.place, proof.text[:at] + rest)


@pytest.mark.parametrize(
    ("place", "last", "says"),
    [
        ("x 80.0 mm y 0.0 mm", True, "there is no whole metal under it"),  # cut by then
        ("x 26.5 mm y 0.0 mm", True, "there is no whole metal under it"),  # half over a hole
        ("x -1.0 mm y 0.0 mm", True, "there is no whole metal under it"),  # beside the bar
        ("x 80.0 mm y 0.0 mm", False, ""),  # the bar is still whole
        ("x 20.0 mm y 0.0 mm", True, ""),
    ],
)
def test_a_depth_zero_is_taken_over_whole_metal(place: str, *, last: bool, says: str) -> None:
    found = touched_over(place, last=last)
    assert [each.code for each in found] == (["touch"] if says else [])
    assert all(says in each.what for each in found)


def test_a_depth_zero_that_says_no_place() -> None:
    (finding,) = touched_over("", last=True)[:1]
    proof = made("converted-mill-lean")
    text = proof.text.replace(" over x 12.5)\n(+ mm y 0.0 mm,", ")\n(+").replace(
        " metal, x 12.5 mm y 0.0 mm)", " metal)"
    )
    found = findings(proof.place, text)
    assert {each.code for each in found} == {"touch"}
    assert all("no place is given for it" in each.what for each in found)
    assert finding.code == "comments"


@pytest.mark.parametrize(("high", "codes_found"), [(0.5, {"touch"}), (-0.5, set())])
def test_a_clamp_where_the_depth_zero_is_taken(high: float, codes_found: set[str]) -> None:
    clamp = Keepout(name="clamp", low=(-10.0, 14.5, -20.0), high=(12.0, 20.0, high))
    # The zero is at (8, 12): 2.5 mm from the clamp, where the cutter is 3 mm in radius.
    report = checked(good_run(), setup(keepouts=[clamp]), machine=mill(tool_length=False))
    assert codes(report) & {"touch"} == codes_found


# ---------------------------------------------------------------- sheets


def on_sheet(edit: Callable[[list[Step]], None]) -> list[Finding]:
    """Return what is found on the metric sheet of the fence bar after an edit of its steps."""
    proof = made("bench-mill-metric")
    sheet = json.loads(proof.text)
    edit(sheet["steps"])
    return findings(proof.place, json.dumps(sheet))


def touching(steps: list[Step], face: str) -> Step:
    return next(step for step in steps if step["kind"] == "touch" and step["face"] == face)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"face": "right"}, "taken from the right face, not the left"),
        ({"tool": "10 mm edge finder"}, "touched with '10 mm edge finder', not '3 mm cutter'"),
        ({"radius": 3.0}, "radius 3.0000 mm, should be 1.5000 mm"),
        ({"paper": 0.5}, "paper 0.5000 mm, should be 0.0500 mm"),
        ({"face_at": 5}, "at 3.4500 mm, should be -1.5500 mm"),
        ({"terms": []}, "its terms add up to 0.0000 mm, not -1.5500 mm"),
    ],
)
def test_a_zero_of_a_sheet_is_held_to_the_job(change: Step, says: str) -> None:
    found = on_sheet(lambda steps: touching(steps, "left").update(change))
    (finding,) = (each for each in found if each.code == "datum")
    assert says in finding.what


def test_a_wrong_radius_is_found_though_the_wind_after_it_agrees() -> None:
    def edit(steps: list[Step]) -> None:
        touch = touching(steps, "left")
        touch["radius"] = 3.0
        touch["terms"][1]["value"] = -3.0
        at = steps.index(touch)
        wind = next(step for step in steps[at:] if step["kind"] == "wind")
        assert wind["reading"] == 155
        wind.update(dial=305, reading=305)  # 3.05 mm in hundredths
        for term, value in zip(wind["terms"], (-3.05, 3.05), strict=True):
            term["value"] = value

    found = on_sheet(edit)
    assert {each.code for each in found} == {"datum"}
    assert "radius 3.0000 mm, should be 1.5000 mm" in found[0].what


def test_a_touch_wound_away_from_its_face() -> None:
    def edit(steps: list[Step]) -> None:
        touch = touching(steps, "left")
        touch["way"] = "anticlockwise" if touch["way"] == "clockwise" else "clockwise"

    assert "wrong-way" in {each.code for each in on_sheet(edit)}


def test_a_depth_touched_over_a_hole_of_the_chain() -> None:
    def edit(steps: list[Step]) -> None:
        last = [i for i, step in enumerate(steps) if step.get("face") == "top"][-1]
        over = max(
            i for i in range(last) if steps[i]["kind"] == "wind" and steps[i]["slide"] == "table"
        )
        assert (steps[over]["reading"], steps[over]["way"]) == (1250, "anticlockwise")
        assert steps[over]["passes"] == 4  # from 2985, in turns of 400
        steps[over].update(dial=200, reading=2600, place=26, passes=1)

    found = on_sheet(edit)
    assert "touch" in {each.code for each in found}
    (finding,) = (each for each in found if each.code == "touch")
    assert "there is no whole metal under it" in finding.what
    assert "at x 26." in finding.what


def test_an_uncertainty_made_less_than_the_touching_leaves() -> None:
    def edit(steps: list[Step]) -> None:
        for step in steps:
            if step["kind"] == "set dial" and step["zero"] and step["slide"] == "table":
                step["uncertainty"] = 0

    (finding,) = on_sheet(edit)
    assert "within 0 mm, where touching leaves 0.02 mm open" in finding.what


def test_a_dial_set_to_another_figure_at_the_top() -> None:
    """At 0 where the paper's 0.05 mm are still to go: every depth would be less by as much."""

    def edit(steps: list[Step]) -> None:
        at = steps.index(touching(steps, "top"))
        step = steps[at + 1]
        assert (step["kind"], step["turn"], step["dial"]) == ("set dial", -1, 195)
        step.update(turn=0, dial=0)

    found = [each for each in on_sheet(edit) if each.code == "zero"]
    assert any(
        "the zero of the down feed is +0.050 mm off the datum" in each.what for each in found
    )


def test_a_cut_with_a_figure_of_a_fixed_dial_that_is_not_the_jobs() -> None:
    mill = hand_mill()
    fixed = replace(mill, slides=(replace(mill.slides[0], resettable=False), *mill.slides[1:]))
    place = setup()
    place = replace(place, datum_x=replace(place.datum_x, dial_reads=1.25))
    told = replace(zero("x"), dial_reads=1.25)

    def found(x: Zero) -> set[str]:
        zeros = (TOUCHING, x, zero("y"), zero("z"))
        run = good_run(where="step", file="sheet", zeros=zeros)
        return codes(checked(run, place, machine=fixed))

    assert "datum" not in found(told)
    assert "datum" in found(replace(told, dial_reads=1.35))
    assert "datum" in found(replace(told, dial_reads=None))


@pytest.mark.parametrize(("towards", "at"), [(1, -1.5), (-1, 61.5)])
def test_the_figure_of_a_fixed_dial_is_read_back_from_either_face(towards: int, at: float) -> None:
    fixed = slide("x", resettable=False)
    mill = machine(fixed)
    x = zero_at("x", towards=towards, at=at, reads=0.3333)
    sheet = write_sheet(planned(before=(x, zero_at("y"))), mill)

    def read_back(**change: Any) -> tuple[float | None, set[str]]:
        steps = tuple(
            replace(step, **change) if isinstance(step, SetDialStep) and step.exact else step
            for step in sheet.steps
        )
        run = replay(replace(sheet, steps=steps), mill, Case(play=1, slack=0), file="s")
        zero_of_x = next(item for item in run.items if isinstance(item, Zero))
        return zero_of_x.dial_reads, {trouble.code for trouble in run.troubles}

    (set_x,) = (each for each in sheet.steps if isinstance(each, SetDialStep) and each.exact)
    assert set_x.exact is not None
    figure, troubles = read_back()
    assert figure == pytest.approx(0.3333)
    assert troubles == set()
    assert read_back(dial=set_x.dial + 1)[1] == {"figure"}
    told, _ = read_back(exact=set_x.exact + 10)  # ten parts of 0.01 mm
    assert told == pytest.approx(0.4333)


# ---------------------------------------------------------------- what is harmless


def test_a_wider_doubt_and_an_added_remark_are_harmless() -> None:
    assert in_program("within 0.02 mm", "within 0.03 mm") == []
    assert in_program("(zero x", "(-- touch it gently)\n(zero x") == []


def test_a_zero_touched_a_second_time_is_harmless() -> None:
    proof = made("converted-mill")
    record = proof.text[proof.text.index("(zero x") : proof.text.index("(zero y")]
    assert findings(proof.place, proof.text.replace(record, record + record, 1)) == []


def test_depth_zeros_taken_anew_are_harmless_where_lengths_are_kept() -> None:
    assert not {"zero", "datum"} & codes(checked(good_run()))
    assert only(checked(good_run(zeros=())), "zero").place == 1
