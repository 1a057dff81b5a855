"""What is gone before a setup: cut from another side, or there already; and holes that meet it."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.check.findings import Finding
from pathgen.check.metal.legs import Floats, Mask
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof
from pathgen.input.where import Refusal
from pathgen.job.frame import Box, Frame, Lie
from pathgen.job.gone import Layer, openings, there_already
from pathgen.moves.actions import Note
from pathgen.moves.moves import Drill, Rapid
from tests.read_jobs import job_from, reading, the_shop
from tests.turned_jobs import OVER, PINS, proofs, read

INTO = PINS.replace("[[6, 8], [54, 8]]", "[30, 20]").replace("depth = 5", 'depth = "through"')
MEANT = INTO + 'breaks_into = ["way"]\n'


def stops(proof: Proof) -> list[Finding]:
    return [each for each in proof.report.findings if each.severity == "finding"]


# ---------------------------------------------------------------- layers


def layer(axis: int, low: tuple[float, ...], high: tuple[float, ...], radius: float) -> Layer:
    """Return all within a radius of a core that runs along an axis between two corners."""
    across = [other for other in range(3) if other != axis]
    core = shapely.LineString([[end[i] for i in across] for end in (low, high)])
    return Layer(axis, core.buffer(radius, quad_segs=64), low[axis], high[axis])


@pytest.mark.parametrize(
    ("across", "meets"),
    [
        # a hole 6 wide down to z -10 at x 20, y 10; another, 4 wide, from the left along x at z -8
        (layer(0, (0, 10, -8), (17.5, 10, -8), 2), True),
        (layer(0, (0, 10, -8), (16.9, 10, -8), 2), False),  # ends 0.1 mm short of its wall
        (layer(0, (0, 14.9, -8), (40, 14.9, -8), 2), True),  # 4.9 beside: 3 + 2 reach over
        (layer(0, (0, 15.1, -8), (40, 15.1, -8), 2), False),
        (layer(0, (0, 10, -11.9), (40, 10, -11.9), 2), True),  # crosses 0.1 mm above its floor
        (layer(0, (0, 10, -12.1), (40, 10, -12.1), 2), False),
        # from beneath, along the same axis
        (layer(2, (24.9, 10, -20), (24.9, 10, -9), 2), True),
        (layer(2, (25.1, 10, -20), (25.1, 10, -9), 2), False),
        (layer(2, (24.9, 10, -20), (24.9, 10, -10), 2), False),
    ],
)
def test_layers_meet_where_they_share_a_place(across: Layer, meets: bool) -> None:
    hole = layer(2, (20, 10, -10), (20, 10, 0), 3)
    assert hole.meets(across) == meets
    assert across.meets(hole) == meets
    # and so they do however the blank lies
    frame = Frame(Lie("left", "top"), (3.0, -2.0, 5.0))
    assert hole.moved(frame.into).meets(across.moved(frame.into)) == meets


numbers = st.floats(-10, 10)
corners = st.tuples(numbers, numbers, numbers)


@st.composite
def drawn(draw: st.DrawFn) -> tuple[Layer, Box, float]:
    pair = np.sort(np.array([draw(corners), draw(corners)]), axis=0)
    axis = draw(st.sampled_from([0, 1, 2]))
    radius = draw(st.floats(0.5, 4))
    low, high = tuple(pair[0].tolist()), tuple(pair[1].tolist())
    return layer(axis, low, high, radius), Box(low, high), radius


def holds(one: tuple[Layer, Box, float], points: Floats) -> Mask:
    """Return which places lie well within a layer, by the distance from its core."""
    it, (low, high), radius = one
    across = [axis for axis in range(3) if axis != it.axis]
    a, along = np.array(low)[across], (np.array(high) - np.array(low))[across]
    here = points[:, across] - a
    share = np.clip(here @ along / max(float(along @ along), 1e-9), 0, 1)
    away = np.hypot(*(here - share[:, None] * along).T)
    deep = (points[:, it.axis] > low[it.axis] + 0.01) & (points[:, it.axis] < high[it.axis] - 0.01)
    within: Mask = deep & (away < radius - 0.01)
    return within


@settings(max_examples=100, deadline=None)
@given(one=drawn(), other=drawn(), seed=st.integers(0, 99))
def test_layers_that_share_a_place_meet(
    one: tuple[Layer, Box, float], other: tuple[Layer, Box, float], seed: int
) -> None:
    points = np.random.default_rng(seed).uniform(-14, 14, (4000, 3))
    if (holds(one, points) & holds(other, points)).any():
        assert one[0].meets(other[0])
        assert other[0].meets(one[0])


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
[[setup.feature]]
kind = "holes"
name = "pivot"
there = true
up = "top"
at = [20, 15]
diameter = 12
depth = "through"
"""
BAR = f"""
title = "lever of the nipping press, mended"
units = "mm"
blank = {{ form = "bar", length = 90, width = 30, thickness = 10, material = "mild steel" }}
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
{PIVOT}"""
ACROSS = """
[[setup.feature]]
there = true
up = "front"
towards_you = "bottom"
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


POCKET = """
[[setup.feature]]
there = true
up = "bottom"
towards_you = "back"
kind = "pocket"
name = "relief"
centre = [82, 24]
round = 10
depth = 7
"""


def test_a_pocket_that_is_there_from_beneath_leaves_so_much_less_to_drill() -> None:
    # 10 wide about x 82, y 6 from the front: 24 from the back, which lies nearest; 7 of 10 mm deep
    relief = POCKET.format()
    meant = HOLES + 'breaks_into = ["relief"]\n'
    assert any("run into 'relief'" in each for each in reading(BAR + relief + HOLES, "lever")[1])
    proof = lever(BAR + relief + meant)
    assert stops(proof) == []
    # a rapid down over it meets metal 3 mm thick, and further in none
    edited = proof.text.replace("M30", "G0 Z5.0\nG0 X85.0 Y6.0\nG0 Z-9.0\nG0 Z5.0\nM30")
    found = prove_text(proof.place, edited, "edited", lambda _: None).report.findings
    (rapid,) = (each for each in found if each.code == "rapid")
    assert "down into metal" in rapid.what


@pytest.mark.parametrize(
    ("feature", "told"),
    [
        ('kind = "face"\nname = "top"\nthickness = 9', "a whole face that is gone"),
        (
            'kind = "step"\nname = "end"\nedge = "left"\nwidth = 5\ndepth = "through"',
            "a whole face that is gone",
        ),
    ],
)
def test_a_whole_face_is_not_there_already(feature: str, told: str) -> None:
    text = f"[[setup.feature]]\nthere = true\n{feature}\n"
    assert any(told in error for error in reading(BAR + text, "lever")[1])


def test_a_feature_of_a_setup_may_be_there_as_well() -> None:
    own = BAR.replace('up = "top"\n', "")  # so its place is from the datums, which is the same here
    job = job_from(own, "lever")
    assert [each.name for each in job.setups[0].features] == ["link"]
    (gone,) = there_already(job)
    assert gone.feature.name == "pivot"
    (same,) = there_already(job_from(BAR, "lever"))
    (mine_,), (theirs,) = gone.layers(), same.layers()
    assert mine_.region.equals_exact(theirs.region, 1e-9)
    assert (mine_.axis, mine_.low, mine_.high) == (theirs.axis, theirs.low, theirs.high)


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
    opening = openings(job, job.setups[0])
    assert opening is not None
    assert opening.area == pytest.approx(np.pi * 6.1**2, rel=0.001)  # 12.2 wide at most
