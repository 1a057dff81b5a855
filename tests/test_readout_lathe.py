"""A lathe with readouts across and along: demo parts proved, what its sheets say, slips found."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from pathgen.commands.loading import load
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof, form_for

LATHE = "bench-lathe-readout"
JOBS = Path(__file__).parents[1] / "jobs"
STEP = 0.005  # mm of the slide: 0.01 mm of the diameter that is shown


@cache
def proof_of(name: str) -> Proof:
    """Return a demo part as made on the lathe with readouts."""
    job, shop = load(JOBS / f"{name}.toml", LATHE)
    (proof,) = prove_job(job, shop, LATHE, lambda _: None)
    return proof


def steps_of(name: str) -> list[dict[str, Any]]:
    steps: list[dict[str, Any]] = json.loads(proof_of(name).text)["steps"]
    return steps


def text_of(name: str) -> str:
    """Return the sheet for people, its lines run together."""
    proof = proof_of(name)
    return " ".join(form_for(proof.place.machine).faces(proof)[".txt"].split())


@pytest.mark.parametrize("name", ["guide-bush", "screw-foot", "press-spindle"])
def test_a_demo_part_is_proved(name: str) -> None:
    report = proof_of(name).report
    assert report.ok, [str(each) for each in report.findings]


def test_diameters_are_wound_to_as_they_are_and_no_slack_is_taken_out() -> None:
    winds = [s for s in steps_of("guide-bush") if s["kind"] == "wind"]
    across = [s for s in winds if s["slide"] == "cross slide"]
    assert len(across) > 50
    for each in across:
        assert each["place"] == pytest.approx(each["dial"] * STEP, abs=STEP / 2 + 1e-9)
    by_readout = [s for s in winds if s["slide"] in ("cross slide", "carriage")]
    assert all((s["passes"], s.get("slack", "")) == (0, "") for s in by_readout)


def test_the_readout_is_set_to_the_diameter_that_was_measured() -> None:
    # The skim takes 0.25 mm off the radius of a bar of 40: 39.5 across is what is expected.
    steps = steps_of("guide-bush")
    (measured,) = [s for s in steps if s.get("name") == "M1"]
    assert measured["expected"] == pytest.approx(39.5)
    (by_measure,) = [
        s for s in steps if s["kind"] == "set dial" and s.get("rule", {}).get("measure") == "M1"
    ]
    assert by_measure["dial"] * 2 * STEP == pytest.approx(39.5)
    assert by_measure["rule"]["per_mm"] == pytest.approx(0.5 / STEP)
    text = text_of("guide-bush")
    assert "SET THE READOUT by M1, as worked out below" in text
    assert "the figure is M1 itself, to the nearest 0.01" in text
    assert "shows DIAMETER anticlockwise" in text  # and nothing of divisions, which it has not


def test_lengths_are_set_by_the_carriage_whose_readout_sees_no_slack() -> None:
    told = [s["slide"] for s in steps_of("guide-bush") if s.get("what") == "to the shoulder"]
    assert told
    assert set(told) == {"carriage"}
    sizes = proof_of("guide-bush").report.sizes
    length = next(s for s in sizes if s.quantity == "length" and "first" in s.feature)
    assert length.uncertainty == pytest.approx(2 * (STEP / 2 + 0.005))  # of two places: step, scale


def test_a_keyed_radius_in_place_of_a_diameter_is_found() -> None:
    codes = codes_with(lambda step: step["kind"] == "set dial" and step["dial"] == 4000, halved)
    assert "zero" in codes


def test_winding_away_from_the_figure_is_found() -> None:
    codes = codes_with(lambda step: step.get("what") == "to the shoulder", turned_about)
    assert "wrong-way" in codes


def halved(step: dict[str, Any]) -> None:
    step["dial"] //= 2


def turned_about(step: dict[str, Any]) -> None:
    step["way"] = {"clockwise": "anticlockwise", "anticlockwise": "clockwise"}[step["way"]]


def codes_with(
    which: Callable[[dict[str, Any]], bool], change: Callable[[dict[str, Any]], None]
) -> set[str]:
    """Return the codes found in the guide bush's sheet, the first step of a kind changed."""
    proof = proof_of("guide-bush")
    raw = json.loads(proof.text)
    change(next(step for step in raw["steps"] if which(step)))
    report = prove_text(proof.place, json.dumps(raw), "edited", lambda _: None).report
    return {finding.code for finding in report.findings}
