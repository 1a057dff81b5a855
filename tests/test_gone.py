"""What is gone before a setup: cut from another side, or there already; and holes that meet it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.check.findings import Finding
from pathgen.check.legs import Floats, Mask
from pathgen.commands.proving import Proof, prove_job, prove_text
from pathgen.input.where import Refusal
from pathgen.job.frame import Box
from pathgen.job.gone import Prism, openings, there_already
from pathgen.moves.actions import Note
from pathgen.moves.moves import Drill, Rapid
from tests.read_jobs import job_from, reading, the_shop
from tests.turned_jobs import OVER, PINS, proofs, read

INTO = PINS.replace("[[6, 8], [54, 8]]", "[30, 20]").replace("depth = 5", 'depth = "through"')
MEANT = INTO + 'breaks_into = ["way"]\n'


def stops(proof: Proof) -> list[Finding]:
    return [each for each in proof.report.findings if each.severity == "finding"]


# ---------------------------------------------------------------- prisms


def prism(axis: int, low: tuple[float, ...], high: tuple[float, ...], radius: float) -> Prism:
    return Prism(axis, Box((low[0], low[1], low[2]), (high[0], high[1], high[2])), radius)


@pytest.mark.parametrize(
    ("across", "meets"),
    [
        # a hole 6 wide down to z -10 at x 20, y 10; another, 4 wide, from the left along x at z -8
        (prism(0, (0, 10, -8), (17.5, 10, -8), 2), True),
        (prism(0, (0, 10, -8), (16.9, 10, -8), 2), False),  # ends 0.1 mm short of its wall
        (prism(0, (0, 14.9, -8), (40, 14.9, -8), 2), True),  # 4.9 beside: 3 + 2 reach over
        (prism(0, (0, 15.1, -8), (40, 15.1, -8), 2), False),
        (prism(0, (0, 10, -11.9), (40, 10, -11.9), 2), True),  # crosses 0.1 mm above its floor
        (prism(0, (0, 10, -12.1), (40, 10, -12.1), 2), False),
        # from beneath, along the same axis
        (prism(2, (24.9, 10, -20), (24.9, 10, -9), 2), True),
        (prism(2, (25.1, 10, -20), (25.1, 10, -9), 2), False),
        (prism(2, (24.9, 10, -20), (24.9, 10, -10), 2), False),
    ],
)
def test_prisms_meet_where_they_share_a_place(across: Prism, meets: bool) -> None:
    hole = prism(2, (20, 10, -10), (20, 10, 0), 3)
    assert hole.meets(across) == meets
    assert across.meets(hole) == meets


numbers = st.floats(-10, 10)
corners = st.tuples(numbers, numbers, numbers)


@st.composite
def drawn(draw: st.DrawFn) -> Prism:
    pair = np.sort(np.array([draw(corners), draw(corners)]), axis=0)
    axis = draw(st.sampled_from([0, 1, 2]))
    return prism(axis, tuple(pair[0].tolist()), tuple(pair[1].tolist()), draw(st.floats(0.5, 4)))


def holds(one: Prism, points: Floats) -> Mask:
    """Return which places lie within a prism, by the distance from its core."""
    low, high = np.array(one.core.low), np.array(one.core.high)
    off = np.maximum(np.maximum(low - points, points - high), 0.0)
    along = off[:, one.axis] == 0
    off[:, one.axis] = 0.0
    within: Mask = along & (np.hypot.reduce(off, axis=1) < one.radius)
    return within


@settings(max_examples=100, deadline=None)
@given(one=drawn(), other=drawn(), seed=st.integers(0, 99))
def test_prisms_that_share_a_place_meet(one: Prism, other: Prism, seed: int) -> None:
    points = np.random.default_rng(seed).uniform(-14, 14, (4000, 3))
    if (holds(one, points) & holds(other, points)).any():
        assert one.meets(other)
        assert other.meets(one)


# ---------------------------------------------------------------- holes into what was cut before


def test_holes_that_run_into_what_was_cut_before_have_to_say_so() -> None:
    job, errors = read(OVER, INTO)
    assert job is None
    (error,) = errors
    assert error == (
        "saddle.toml:32: setup[2].feature[1].at: 'pins' run into 'way', which is cut in 'top'; "
        'move them, or say breaks_into = ["way"] if they are to meet'
    )
    assert read(OVER, MEANT)[0] is not None


@pytest.mark.parametrize(
    ("features", "told"),
    [
        (MEANT.replace('"way"]', '"wya"]'), "nothing called 'wya' is gone; did you mean \"way\"?"),
        (MEANT.replace("[30, 20]", "[5, 6]"), "'pins' do not meet 'way'; take it out, or move"),
    ],
)
def test_what_they_are_said_to_break_into_is_there_and_met(features: str, told: str) -> None:
    _, errors = read(OVER, features)
    assert any(told in error for error in errors), errors


def test_a_blind_hole_meets_a_slot_on_the_other_side_only_when_its_point_comes_so_deep() -> None:
    # the slot leaves 8 less 0.1 of the 12 mm; a 5 mm drill's point takes 1.5, its depth may be 0.1
    # over 6, or 0.2 over 6.5 (ISO 2768-1 m)
    shallow = PINS.replace("[[6, 8], [54, 8]]", "[30, 20]").replace("depth = 5", "depth = 6")
    shallow += 'finish = "drilled"\n'
    assert read(OVER, shallow)[1] == []
    deeper = shallow.replace("depth = 6", "depth = 6.5")
    assert "run into 'way'" in read(OVER, deeper)[1][0]


def test_through_into_a_slot_that_takes_all_of_the_drill_is_proved_to_size() -> None:
    first, second = proofs(OVER, MEANT)
    assert stops(first) == []
    assert stops(second) == []
    bore = next(s for s in second.report.sizes if s.quantity == "diameter")
    assert (bore.least, bore.most) == pytest.approx((5.0, 5.0), abs=0.002)
    # all of the drill's rim comes out at once, into the floor of the slot
    assert "half in air" not in {f.code for f in second.report.findings}
    assert second.plan is not None
    notes = [i.text for p in second.plan.passes for i in p.items if isinstance(i, Note)]
    assert any("breaks into way" in note for note in notes)


def test_half_out_into_a_slot_is_a_caution_where_it_is_meant() -> None:
    # the slot's wall lies 4 off its middle: at 3.5 off, 5 wide, part of the drill comes out
    aside = MEANT.replace("[30, 20]", "[30, 23.5]")
    _, second = proofs(OVER, aside)
    assert stops(second) == []
    (caution,) = (f for f in second.report.findings if f.code == "half in air")
    assert "'pins': the drill breaks into way sideways" in caution.what
    bore = next(s for s in second.report.sizes if s.quantity == "diameter")
    assert (bore.least, bore.most) == pytest.approx((5.0, 5.0), abs=0.002)


def test_half_out_into_a_slot_is_found_where_it_is_not_meant() -> None:
    first, second = proofs(OVER, PINS)
    assert second.plan is not None
    moved = second.text.replace("Y8.0", "Y23.5").replace("X6.0", "X30.0")
    assert moved != second.text
    found = prove_text(second.place, moved, "moved", lambda _: None).report.findings
    del first
    # blind: its full diameter ends 7 above the slot's floor, so it meets nothing yet
    assert "half in air" not in {f.code for f in found}
    deep = moved.replace("Z-6.502", "Z-11.0")
    assert deep != moved
    codes = {f.code for f in prove_text(second.place, deep, "deep", lambda _: None).report.findings}
    assert "half in air" in codes


# ---------------------------------------------------------------- there already

PIVOT = """
[[there]]
[[there.feature]]
kind = "holes"
name = "pivot"
at = [20, 15]
diameter = 12
depth = "through"
"""
BAR = f"""
title = "lever of the nipping press, mended"
units = "mm"
blank = {{ form = "bar", length = 90, width = 30, thickness = 10, material = "mild steel" }}
{PIVOT}
[[setup]]
name = "slot"
machine = "converted-mill"
hold = {{ how = "clamps", beneath = 15 }}
datum.x = {{ face = "left", tool = "pin", tool_diameter = 4 }}
datum.y = {{ face = "front", tool = "pin", tool_diameter = 4 }}
datum.z = {{ face = "top" }}
[[setup.feature]]
kind = "slot"
name = "link"
along = "x"
centre = [60, 15]
length = 30
width = 8
depth = "through"
"""
ACROSS = """
[[there]]
up = "front"
towards_you = "bottom"
[[there.feature]]
kind = "holes"
name = "cross hole"
at = [60, 5]
diameter = 4
depth = "through"
"""
HOLES = """
[[setup.feature]]
kind = "holes"
name = "pins"
at = [82, 6]
diameter = 4
depth = "through"
"""


def lever(text: str = BAR, machine: str = "converted-mill") -> Proof:
    (proof,) = prove_job(job_from(text, "lever"), the_shop(), machine, lambda _: None)
    return proof


def test_what_is_there_is_neither_planned_nor_judged() -> None:
    proof = lever()
    assert stops(proof) == []
    assert {size.feature for size in proof.report.sizes} == {"link"}
    assert proof.plan is not None
    assert {each.feature for each in proof.plan.passes} == {"link"}


def test_what_is_there_is_no_metal_from_the_start_on() -> None:
    proof = lever()
    through = "G0 X20.0 Y15.0\nG0 Z-9.0\nG0 Z5.0\n"
    first = next(line for line in proof.text.splitlines() if line.startswith("G0 X"))
    edited = proof.text.replace(first, through + first, 1)
    found = prove_text(proof.place, edited, "edited", lambda _: None).report.findings
    assert "rapid" not in {each.code for each in found}
    beside = edited.replace("G0 X20.0 Y15.0", "G0 X23.0 Y15.0", 1)
    found = prove_text(proof.place, beside, "edited", lambda _: None).report.findings
    assert "rapid" in {each.code for each in found}
    solid = lever(BAR.replace(PIVOT, ""))
    found = prove_text(solid.place, edited, "edited", lambda _: None).report.findings
    assert "rapid" in {each.code for each in found}


def test_a_feature_of_a_setup_may_be_there_as_well() -> None:
    mine = PIVOT.replace("[[there]]", "").replace("there.feature", "setup.feature")
    own = BAR.replace(PIVOT, "") + mine + "there = true\n"
    job = job_from(own, "lever")
    assert [each.name for each in job.setups[0].features] == ["link"]
    (gone,) = there_already(job)
    assert gone.feature.name == "pivot"
    same = there_already(job_from(BAR, "lever"))
    assert gone.prisms() == same[0].prisms()


def test_a_setup_in_which_nothing_is_cut_is_refused() -> None:
    _, errors = reading(BAR.replace('name = "link"', 'name = "link"\nthere = true'), "lever")
    assert any("nothing is cut in this setup" in error for error in errors)


def test_holes_that_meet_what_is_there_have_to_say_so() -> None:
    _, errors = reading(BAR + HOLES.replace("[82, 6]", "[27, 15]"), "lever")
    assert any("'pins' run into 'pivot', which is there already" in error for error in errors)
    # from the side: 60 from the left, 5 under the top, right through from front to back
    _, errors = reading(BAR + ACROSS + HOLES.replace("[82, 6]", "[60, 6]"), "lever")
    assert any("'pins' run into 'cross hole'" in error for error in errors)
    assert reading(BAR + ACROSS + HOLES, "lever")[1] == []


def test_a_hole_with_the_same_axis_is_opened_out_without_a_word() -> None:
    wider = BAR.replace("diameter = 12", "diameter = 5") + HOLES.replace(
        "at = [82, 6]\ndiameter = 4", "at = [20, 15]\ndiameter = 8"
    )
    proof = lever(wider)
    assert stops(proof) == []
    bore = next(s for s in proof.report.sizes if s.quantity == "diameter")
    assert (bore.least, bore.most) == pytest.approx((8.0, 8.0), abs=0.002)


def test_no_chain_is_drilled_where_a_slot_runs_into_a_cross_hole() -> None:
    plan = lever(BAR + ACROSS).plan
    assert plan is not None
    assert not any(isinstance(item, Drill) for each in plan.passes for item in each.items)
    drilled = lever().plan
    assert drilled is not None
    assert any(isinstance(item, Drill) for each in drilled.passes for item in each.items)
    asked = (BAR + ACROSS).replace("width = 8", 'width = 8\nways = { holes = "all" }')
    with pytest.raises(Refusal, match="runs into 'cross hole'"):
        lever(asked)


def test_a_slot_through_a_cross_hole_is_measured_as_if_it_were_not_there() -> None:
    proof = lever(BAR + ACROSS)
    assert stops(proof) == []
    plain = {s.quantity: (s.least, s.most) for s in lever().report.sizes}
    for size in proof.report.sizes:
        assert (size.least, size.most) == pytest.approx(plain[size.quantity], abs=0.002)
        assert size.ok


def test_the_depth_is_not_touched_over_what_is_gone() -> None:
    # the widest margin beside the slot lies left of it, and its middle on the hole
    near = BAR.replace("at = [20, 15]", "at = [22.5, 15]")
    plan = lever(near, "bench-mill-metric").plan
    assert plan is not None
    over = next(
        item
        for each in plan.passes
        for item in each.items
        if isinstance(item, Rapid) and item.how and "solid place" in item.how.what
    )
    assert np.hypot(over.x - 22.5, over.y - 15) > 6 + 4
    job = job_from(near, "lever")
    (opening,) = openings(job, job.setups[0])
    assert opening.radius == pytest.approx(6.1, abs=0.2)
