"""Drawing the tool up by eye: how high, above what, and what the check then sees of it."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from typing import Any

import pytest

from pathgen.check.findings import Finding
from pathgen.commands.milled import of_mill
from pathgen.job.job import Keepout
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.faces.text import write_text
from postprocessors.dials.heights import height_by_eye
from tests.test_named_faults import findings, made

# A clamp on the bar's left end, 12 mm high, beside where the faces are touched.
JAW = '    { name = "fixed jaw"'
CLAMP = '    { name = "clamp", low = [-20, -10, -8], high = [8, 10, 12] },'
CLAMPED = ((JAW, f"{CLAMP}\n{JAW}"),)
KINDS = ("clear", "fit to touch", "fit")  # of steps that say how high the tool is to stand
Raw = dict[str, Any]


def raw(changes: tuple[tuple[str, str], ...] = CLAMPED) -> Raw:
    sheet: Raw = json.loads(made("bench-mill-metric", changes).text)
    return sheet


def found(sheet: Raw, changes: tuple[tuple[str, str], ...] = CLAMPED) -> list[Finding]:
    return findings(made("bench-mill-metric", changes).place, json.dumps(sheet))


def kept_at(sheet: Raw, kind: str) -> list[dict[str, Any]]:
    """Return the steps of a kind that say how high the tool is to stand."""
    return [step for step in sheet["steps"] if step["kind"] == kind and not step.get("beside")]


@pytest.mark.parametrize(
    ("clear", "units", "height"),
    [(4.0, "mm", 4.0), (5.08, "mm", 6.0), (5.08, "in", 6.35), (9.525, "in", 9.525)],
)
def test_a_height_by_eye_is_a_round_figure_not_below_the_clear_plane(
    clear: float, units: Any, height: float
) -> None:
    assert height_by_eye(clear, units) == pytest.approx(height)


def test_each_way_up_by_eye_is_above_the_clamps_and_says_how_far() -> None:
    sheet = raw()
    heights = {step["height"] for kind in KINDS for step in kept_at(sheet, kind)}
    assert heights == {16.0}  # 12 mm of clamp and 3 of air, in whole turns of 2 mm
    proof = made("bench-mill-metric", CLAMPED)
    text = re.sub(r"\s+", " ", write_text(load_sheet(proof.text, "s"), proof.place.machine))
    said = "until the tool's end is 16 mm or more above the top face, clear of the work"
    assert text.count(said) == sum(len(kept_at(sheet, kind)) for kind in KINDS)


def test_a_touching_tool_drawn_up_less_than_the_clamp_is_high_is_found() -> None:
    # After the first touch x is not set yet: the tool may be anywhere, over the clamp too.
    sheet = raw()
    step = kept_at(sheet, "clear")[0]
    step["height"] = 9.0
    met = [each for each in found(sheet) if each.code == "keepout"]
    assert [each.place for each in met] == [step["number"] + 1]
    assert "touching tool meets 'clamp'" in met[0].what
    assert met[0].amount == pytest.approx(3.0, abs=0.5)  # and what the way there leaves open


def fitted_before_it_goes_across(sheet: Raw) -> tuple[dict[str, Any], dict[str, Any]]:
    """Let the second cutter be fitted before it is taken over a solid place; return both steps."""
    fit = kept_at(sheet, "fit")[1]
    at = fit["number"] - 1
    unlock, across = sheet["steps"][at - 2 : at]
    assert (unlock["kind"], across["what"]) == ("unlock", "over a solid place of the top face")
    sheet["steps"][at - 2 : at + 1] = [fit, unlock, across]
    for number, step in enumerate(sheet["steps"], start=1):
        step["number"] = number
    return fit, across


def test_a_cutter_taken_across_a_strap_is_found() -> None:
    # The sheet was made without the strap over the bar, and the cutter is fitted before it is taken
    # along, not after it.
    place = made("bench-mill-metric").place
    strap = Keepout(name="strap", low=(60.0, -20.0, 5.0), high=(70.0, 20.0, 12.0))
    _, setup = of_mill(place)
    hold = replace(setup.hold, keepouts=(strap,))
    strapped = replace(place, setup=replace(setup, hold=hold))
    sheet = raw(())
    fit, across = fitted_before_it_goes_across(sheet)
    for height, meets in ((4.0, True), (13.0, False)):
        fit["height"] = height
        met = {each.place for each in findings(strapped, json.dumps(sheet))}
        assert (across["number"] in met) is meets


def test_a_touching_tool_drawn_across_the_work_is_found() -> None:
    changes: tuple[tuple[str, str], ...] = ()
    sheet = raw(changes)
    for step in kept_at(sheet, "clear"):
        step["height"] = -2.0
    assert any("touching tool meets 'work'" in each.what for each in found(sheet, changes))


def test_a_higher_way_up_is_harmless() -> None:
    sheet = raw()
    for step in [step for kind in KINDS for step in kept_at(sheet, kind)]:
        step["height"] += 20.0
    assert found(sheet) == []


def test_a_wind_across_at_a_height_that_nobody_gave_is_found() -> None:
    sheet = raw()
    del kept_at(sheet, "clear")[0]["height"]
    assert "unknown place" in {each.code for each in found(sheet)}


def test_a_wind_across_with_a_cutter_fitted_at_a_height_that_nobody_gave_is_found() -> None:
    sheet = raw()
    fit, across = fitted_before_it_goes_across(sheet)
    assert found(sheet) == []
    del fit["height"]
    assert ("unknown place", across["number"]) in {(each.code, each.place) for each in found(sheet)}


def test_a_wind_across_before_the_tool_is_drawn_up_from_beside_a_face_is_found() -> None:
    # The height that it was fitted at no longer holds once it went down beside the face.
    sheet = raw()
    up = kept_at(sheet, "clear")[0]
    keys = [key for key in up if key != "number"]
    for key in keys:
        del up[key]
    up.update(kind="note", text="left out", caution=False)
    assert "unknown place" in {each.code for each in found(sheet)}


def test_a_way_up_that_goes_down_is_found() -> None:
    sheet = raw()
    step = kept_at(sheet, "clear")[0]
    step["way"] = "clockwise"
    assert ("not-raised", step["number"]) in {(each.code, each.place) for each in found(sheet)}


@pytest.mark.parametrize("height", [0.0, 3.9])
def test_a_cutter_fitted_lower_than_the_clear_plane_is_found(height: float) -> None:
    sheet = raw(())
    fits = kept_at(sheet, "fit")
    assert fits
    for step in fits:
        step["height"] = height  # the clear plane is 4 mm up
    told = found(sheet, ())
    assert {(each.code, each.place) for each in told} == {
        ("hands", step["number"]) for step in fits
    }


def test_a_cutter_fitted_higher_is_harmless() -> None:
    sheet = raw(())
    for step in kept_at(sheet, "fit"):
        step["height"] += 6.0
    assert found(sheet, ()) == []
