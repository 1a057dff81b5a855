"""The last cut to a diameter: one rounding alone, and what no dial holds refused before."""

from __future__ import annotations

import json
import re

import pytest

from pathgen.commands.workplace import Proof
from pathgen.input.where import Refusal
from tests.inside_jobs import found_in, made, sheet_of

METRIC, INCH_DIALS = "bench-lathe-metric", "bench-lathe-inch"
INCH_COUNT = 0.0127  # mm of radius: half of a division of 0.001 in


def spindle(diameter: float, fit: str, bore: str = "") -> str:
    """Return the job of a spindle for the press with one diameter of a class, parted off or not."""
    return f"""
units = "mm"
blank = {{ form = "round", diameter = 28.575, length = 64, material = "mild steel" }}
[[setup]]
name = "turning"
machine = "bench-lathe-inch"
hold = {{ chuck = "three-jaw", stick_out = 42 }}
facing = 0.8
[[setup.feature]]
kind = "turned"
name = "spindle"
steps = [{{ diameter = {diameter}, diameter_fit = "{fit}", to = 12 }}, {{ diameter = 26, to = 24 }}]
{bore}
[[setup.feature]]
kind = "parted"
name = "off"
length = 20
"""


BORE = """
[[setup.feature]]
kind = "bored"
name = "bore"
steps = [{ diameter = 16.03, diameter_fit = "H8", to = "through" }]
"""


def first_diameter(proof: Proof) -> tuple[float, float]:
    """Return the least and the most of the first diameter over all cases, from the middle, mm."""
    size = next(s for s in proof.report.sizes if s.feature == "spindle, first from the right")
    return size.least - size.wanted.middle, size.most - size.wanted.middle


@pytest.mark.parametrize("diameter", [17.52, 22.0, 20.003])
def test_a_last_cut_comes_within_half_of_a_judged_part(diameter: float) -> None:
    # A judged part is 0.0005 in of the slide, 0.0254 mm off the diameter. h8 leaves 0.027 or 0.033
    # mm between the limits, so that one rounding (0.0127 to either side) fits and two do not.
    proof = made(spindle(diameter, "h8"), INCH_DIALS)
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    least, most = first_diameter(proof)
    assert -INCH_COUNT - 1e-4 <= least <= most <= INCH_COUNT + 1e-4


def test_a_bore_is_cut_to_size_by_one_rounding_too() -> None:
    proof = made(spindle(22.0, "h8", BORE), INCH_DIALS)
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    bore = next(s for s in proof.report.sizes if (s.feature, s.quantity) == ("bore", "diameter"))
    assert bore.wanted.middle - INCH_COUNT - 1e-4 <= bore.least
    assert bore.most <= bore.wanted.middle + INCH_COUNT + 1e-4


def test_it_is_measured_where_the_dial_stands_before_the_last_cut() -> None:
    steps = sheet_of(made(spindle(22.0, "h8"), INCH_DIALS))["steps"]
    number = next(i for i, s in enumerate(steps) if s.get("name") == "M2")
    cut = [s for s in steps[:number] if s.get("slide") == "cross slide" and "reading" in s]
    set_to = next(s for s in reversed(cut) if s.get("what") == "cut 2 of 3 to size")
    assert steps[number]["expected"] == pytest.approx(2 * abs(set_to["reading"]) * INCH_COUNT)
    after = next(s for s in steps[number:] if s.get("what") == "cut 3 of 3 to size")
    assert after["rule"]["measure"] == "M2"
    assert not any(s.get("rule") for s in steps[number:] if s.get("what") == "cut 1 of 3 to size")


@pytest.mark.parametrize("parts", [-1, 1])
def test_a_last_cut_that_is_set_one_judged_part_off_is_found(parts: int) -> None:
    proof = made(spindle(22.0, "h8"), INCH_DIALS)
    raw = sheet_of(proof)
    last = next(s for s in raw["steps"] if s.get("what") == "cut 3 of 3 to size")
    last["rule"]["base"] += parts
    last["reading"] += parts
    last["dial"] += parts
    assert "size" in {each.code for each in found_in(proof, json.dumps(raw))}


@pytest.mark.parametrize(
    ("machine", "fit", "between", "least"),
    [(INCH_DIALS, "h7", "0.021", "0.026"), (INCH_DIALS, "h6", "0.013", "0.026")],
)
def test_limits_that_the_dial_does_not_hold_are_refused_at_their_key(
    machine: str, fit: str, between: str, least: str
) -> None:
    with pytest.raises(Refusal, match=re.escape(f"hold limits {between} mm apart")) as refused:
        made(spindle(22.0, fit), machine)
    assert refused.value.where.key == "setup[1].feature[1].steps[1].diameter_fit"
    assert f"give limits {least} mm apart or more" in refused.value.instead
    # half of a judged part is 0.0005 in; measuring leaves 0.01 mm of diameter, and the eye as much
    assert "within 0.0127 mm" in refused.value.cannot
    assert "leave open 0.023 mm besides" in refused.value.cannot


def test_limits_of_a_bore_are_refused_so_too() -> None:
    narrow = BORE.replace('diameter_fit = "H8"', "diameter_limits = [16.03, 16.05]")
    with pytest.raises(Refusal) as refused:
        made(spindle(22.0, "h8", narrow), INCH_DIALS)
    assert refused.value.where.key == "setup[1].feature[2].steps[1].diameter_limits"


def measured_once_more(text: str) -> list[str]:
    """Return what a sheet says of sizes to be measured after their last cut."""
    steps = sheet_of(made(text, INCH_DIALS))["steps"]
    return [s["text"] for s in steps if "once more" in s.get("text", "")]


def test_a_size_that_the_dial_may_just_miss_is_measured_once_more() -> None:
    (said,) = measured_once_more(spindle(22.0, "h8"))
    assert said.startswith("Measure it once more: 21.967 mm to 22 mm is wanted")
    wide = 'diameter_fit = "h8"', "diameter_limits = [21.9, 22]"
    assert measured_once_more(spindle(22.0, "h8").replace(*wide)) == []


@pytest.mark.parametrize(
    ("machine", "per_count"),
    [(METRIC, (0.005, 0.025)), (INCH_DIALS, (0.0127, 0.0127))],
)
def test_a_length_is_as_uncertain_as_the_slide_that_sets_it(
    machine: str, per_count: tuple[float, float]
) -> None:
    # The compound sets lengths between two places, the quill a drill's depth from the face: half of
    # a judged part each; touching the rim of the hole leaves 0.15 mm besides.
    compound, quill = per_count
    hole = '[[setup.feature]]\nkind = "drilled"\nname = "hole"\ndiameter = 6\ndepth = 10\n'
    long = spindle(22.0, "h9", hole).replace("to = 24", "to = 26")  # so the carriage roughs
    proof = made(long, machine)
    assert [dial["slide"] for dial in sheet_of(proof)["dials"]][1] == "carriage"
    sizes = proof.report.sizes
    doubts = {(size.feature, size.quantity): size.uncertainty for size in sizes}
    assert doubts["spindle, first from the right", "length"] == pytest.approx(compound)
    assert doubts["hole", "depth"] == pytest.approx(0.15 + quill / 2)
