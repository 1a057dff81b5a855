"""Work set over on a mill with handles: read, laid, planned along a slide, judged as drawn."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from functools import cache

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.check.doubts import still_axis
from pathgen.commands.going_on import prove_from
from pathgen.commands.proving import Proof, prove_job
from pathgen.input.where import Refusal
from pathgen.moves.actions import Clamp, Zero
from pathgen.moves.moves import Drill, Feed, Rapid
from pathgen.moves.plan import Item, PlannedSetup
from pathgen.moves.set_over import seen_from_set_over, turned_by
from tests.edited_plans import each_item, found_once, planned
from tests.random_jobs import assert_proved, proof_of
from tests.read_jobs import changed, job_from, reading, the_shop

JOB = """
title = "Latch plate of the nipping press"
units = "mm"
blank = { form = "bar", length = 90, width = 50, thickness = 8, material = "mild steel" }
[[setup]]
name = "pawl"
machine = "bench-mill-metric"
hold = { how = "vice", beneath = 15 }
set_over = { angle_deg = 15, by = "sine bar", proved_over = 80 }
datum.x = { middle_of = "pivot", by = "indicator" }
datum.y = { middle_of = "pivot", by = "indicator" }
datum.z = { face = "top", paper = 0.05 }
[[setup.feature]]
kind = "holes"
name = "pivot"
there = true
up = "top"
at = [16, 25]
diameter = 8
depth = "through"
[[setup.feature]]
kind = "slot"
name = "pawl slot"
centre = [29, 2]
angle_deg = 15
length = 40
width = 10
width_limits = [10.0, 10.1]
depth = "through"
"""
SET_OVER = 'set_over = { angle_deg = 15, by = "sine bar", proved_over = 80 }'
PROTRACTOR = (SET_OVER, 'set_over = { angle_deg = 15, by = "protractor", proved_over = 75 }')
STEEP = ("]\nangle_deg = 15", "]\nangle_deg = -75")  # beside set_over of 15: along y
BLIND = ('width_limits = [10.0, 10.1]\ndepth = "through"', "depth = 4")
COS, SIN = math.cos(math.radians(15)), math.sin(math.radians(15))
CLAMP = '{ name = "clamp", low = [60, -9, 0], high = [70, 9, 12] }'
INCH = "bench-mill-inch"
TWO_ZEROS = ('middle_of = "pivot", by = "indicator"', 'face = "left", tool = "pin"')


@cache
def made(*changes: tuple[str, str], machine: str = "bench-mill-metric") -> Proof:
    """Return the plate as made on a machine, proved."""
    job = job_from(changed(JOB, *changes), "latch")
    (proof,) = prove_job(job, the_shop(), machine, lambda _: None)
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    return proof


def words(*changes: tuple[str, str]) -> str:
    """Return how the work is held and set over, in words."""
    (clamp,) = (each for each in planned(made(*changes)).before if isinstance(each, Clamp))
    return " ".join(clamp.lines)


# ---------------------------------------------------------------- read


@pytest.mark.parametrize(
    ("change", "wrong"),
    [
        (("over = { angle_deg = 15", "over = { angle_deg = 46"), "set_over.angle_deg: 46"),
        (("over = { angle_deg = 15", "over = { angle_deg = 14.9"), "lies 15.0000 degrees off x"),
        (("]\nangle_deg = 15", ']\nalong = "x"'), "lies 0.0000 degrees off x"),
        (("proved_over = 80", "proved_over = 120"), "goes off the bar, 100 mm"),
        (
            (SET_OVER, 'set_over = { angle_deg = 15, by = "protractor", proved_over = 87 }'),
            f"goes off the back face, {90 * COS:.3f} mm along x",
        ),
        (("proved_over = 80", "within_deg = 0.1"), "within_deg"),
        (('"vice", beneath = 15', '"chuck", beneath = 15'), "set_over: given for chuck"),
        (TWO_ZEROS, "taken from faces, which stand at an angle to the slides"),
        (("beneath = 15", f"beneath = 15, keepouts = [{CLAMP}]"), "'clamp' stands above the upper"),
        (('there = true\nup = "top"\nat = [16, 25]', "at = [50, 15]"), "pivot"),
    ],
)
def test_what_is_wrong_is_said(change: tuple[str, str], wrong: str) -> None:
    _, errors = reading(changed(JOB, change), "latch")
    assert any(wrong in error for error in errors), errors


def test_a_machine_that_moves_its_slides_together_needs_none() -> None:
    with pytest.raises(Refusal, match="leave set_over out"):
        made(machine="converted-mill")


# ---------------------------------------------------------------- set over and proved, in words


def test_the_sine_bar_and_its_blocks_are_said() -> None:
    said = words()
    assert "Then set the work over 15.000 degrees clockwise, seen from above" in said
    assert f"{100 * SIN:.3f} mm of gauge blocks between that and its right roll" in said
    assert "reads alike within 0.01 mm along the bar, over 80 mm by the x slide" in said
    # 0.01 over 80 of the indicator, 0.005 of the blocks over 100 cos 15; radians
    open_deg = math.degrees(0.01 / 80 + 0.005 / (100 * COS))
    assert f"It leaves {open_deg:.3f} degrees open" in said
    x, y = 29 * COS + 2 * SIN, -29 * SIN + 2 * COS
    assert f"its middle {x:.3f} mm right and {-y:.3f} mm towards you" in said


def test_before_the_front_face_the_blocks_are_at_the_other_roll() -> None:
    said = words(("proved_over = 80", 'against = "front"'))
    assert "front face" in said
    assert "and its left roll" in said


def test_a_protractor_is_proved_by_both_slides() -> None:
    said = words(PROTRACTOR)
    assert f"go 75 mm right by x and {75 * SIN / COS:.3f} mm towards you by y" in said
    # one place of the face, so far off when the angle is by its doubt
    off = 75 * (math.tan(math.radians(15.15)) - math.tan(math.radians(15)))
    told = float(said.split("It reads as before, within ")[1].split(" mm")[0])
    assert told == pytest.approx(off, abs=0.001)


# ---------------------------------------------------------------- planned, and judged as drawn


@pytest.mark.parametrize("machine", ["bench-mill-metric", "bench-mill-inch", "bench-mill-readout"])
def test_it_is_proved(machine: str) -> None:
    sizes = {each.quantity: each for each in made(machine=machine).report.sizes}
    assert sizes["width"].most == pytest.approx(10.0, abs=0.051)
    assert sizes["length"].most == pytest.approx(40, abs=0.03)
    assert sizes["middle"].most == pytest.approx(0, abs=0.02)
    assert sizes["centre line"].most == pytest.approx(0, abs=0.02)


def test_a_steep_one_lies_along_y() -> None:
    proof = made(STEEP, BLIND, ("centre = [29, 2]", "centre = [29, -1]"))
    cuts = [each for each in proof.run.items if isinstance(each, Feed)]
    xs = {round(each.x, 6) for each in cuts}
    assert max(xs) - min(xs) < 10
    assert max(each.y for each in cuts) - min(each.y for each in cuts) == pytest.approx(30, abs=2.1)
    assert {each.quantity for each in proof.report.sizes} >= {"middle", "centre line", "depth"}


def test_the_metal_is_gone_where_it_was_drawn_by_another_way() -> None:
    """What the axis of the finish goes along, turned back by shapely about the pivot."""
    proof = made()
    finish = planned(proof).passes[-1]
    along = [(each.x, each.y) for each in finish.items if isinstance(each, Feed)]
    assert len({round(y, 9) for _, y in along}) == 1  # by one slide alone
    lain = shapely.affinity.rotate(shapely.MultiPoint(along), 15, (0, 0))
    drawn = shapely.affinity.rotate(shapely.LineString([(14, 2), (44, 2)]), 15, (29, 2))
    assert lain.distance(drawn) < 0.01
    assert all(drawn.distance(each) < 0.01 for each in lain.geoms)
    assert lain.envelope.bounds == pytest.approx(drawn.bounds, abs=0.01)


def any_slot(pick: random.Random) -> str:
    """Return the plate with a slot at any angle, the work set over to suit it."""
    angle = round(pick.uniform(1, 44), pick.choice([0, 2, 4])) * pick.choice([1, -1])
    steep = pick.random() < 0.4
    own = angle - math.copysign(90, angle) if steep else angle
    bar = f'by = "sine bar", against = "{pick.choice(["back", "front"])}"'
    by = pick.choice([bar, 'by = "protractor", proved_over = 60'])
    long = pick.uniform(18, 30)
    return changed(
        JOB,
        (SET_OVER, f"set_over = {{ angle_deg = {angle}, {by} }}"),
        ("]\nangle_deg = 15", f"]\nangle_deg = {own}"),
        ("[29, 2]", f"[{pick.uniform(28, 36):.3f}, {pick.uniform(-4, 4):.3f}]"),
        ("length = 40", f"length = {long:.2f}"),
        BLIND if pick.random() < 0.4 else (BLIND[0], BLIND[0]),
    )


@settings(max_examples=8, deadline=None)
@given(seed=st.integers(0, 2**32 - 1), machine=st.sampled_from(["bench-mill-metric", INCH]))
def test_what_is_planned_is_proved(seed: int, machine: str) -> None:
    proof = proof_of(any_slot, seed, machine)
    assert proof is not None
    assert_proved(proof)


def test_the_slide_that_stands_still_is_that_across_the_slot_as_it_lies() -> None:
    for changes, axis in (((), 1), ((STEEP,), 0)):
        setup = job_from(changed(JOB, *changes), "latch").setups[0]
        (slot,) = setup.slots
        assert still_axis(slot, "centre line", setup.set_over) == axis
        assert still_axis(slot, "centre line") is None  # by both slides at once
        assert still_axis(slot, "middle", setup.set_over) is None


def test_it_goes_on_after_a_stop() -> None:
    going = prove_from([made()], "3", lambda _: None)
    assert going.report.ok, [str(each) for each in going.report.findings]
    assert "Then set the work over 15.000 degrees clockwise" in going.text


def test_the_doubt_of_the_angle_counts_by_how_far_the_slot_lies_from_the_hole() -> None:
    fine = {each.quantity: each.uncertainty for each in made().report.sizes}
    rough = {each.quantity: each.uncertainty for each in made(PROTRACTOR).report.sizes}
    more = math.radians(0.15) - (0.01 / 80 + 0.005 / (100 * COS))
    along, across = 29 * COS + 2 * SIN, 29 * SIN - 2 * COS
    assert rough["centre line"] - fine["centre line"] == pytest.approx(more * (along + 20))
    assert rough["middle"] - fine["middle"] == pytest.approx(more * across)
    assert rough["width"] == fine["width"]


def test_an_angle_left_too_far_open_is_told() -> None:
    found = made(
        PROTRACTOR, ("proved_over = 75", "proved_over = 75, within_deg = 1")
    ).report.findings
    # 0.0175 radians at 48.5 mm: 0.85 mm, of 0.1 or 0.2 that its place may be off
    assert any(each.severity == "caution" and "centre line" in each.what for each in found), found


def test_depths_are_touched_on_the_work_as_it_lies() -> None:
    items = [item for each in planned(made()).passes for item in each.items]
    places = {t.over for item in items if isinstance(item, Zero) for t in item.touches}
    assert places
    for over in places:
        assert over is not None
        x, y = turned_by(over, 15)
        assert -16 + 4 < x < 74 - 4
        assert -25 + 4 < y < 25 - 4


def test_a_run_is_seen_from_the_work() -> None:
    run = made().run
    seen = seen_from_set_over(run, 15)
    cuts = [each for each in seen.items if isinstance(each, Feed) and each.z < -8.4]
    assert cuts
    for each in cuts:  # about the line drawn through (29, 2) at 15 degrees
        off = (each.y - 2) * COS - (each.x - 29) * SIN
        assert min(abs(off - wall) for wall in (-0.75, 0.0, 0.75)) < 0.02


# ---------------------------------------------------------------- slips in a sheet


def moved(dx: float, dy: float, angle_deg: float = 0.0) -> set[str]:
    """Return what is found once every move of the passes is shifted or turned."""

    def other(item: Item) -> Item:
        if not isinstance(item, Rapid | Feed | Drill):
            return item
        x, y = turned_by((item.x, item.y), angle_deg)
        return item._replace(x=x + dx, y=y + dy)

    return found_once(made(), each_item(other))


def test_a_slot_that_lies_beside_its_place_is_found() -> None:
    assert "position" in moved(0.0, 0.5)


def test_a_slot_too_far_along_is_found() -> None:
    assert {"position", "end"} & moved(0.7, 0.0)


def test_places_that_were_turned_the_wrong_way_are_found() -> None:
    def mirrored(item: Item) -> Item:
        return item._replace(y=-item.y) if isinstance(item, Rapid | Feed | Drill) else item

    assert "metal left" in found_once(made(), each_item(mirrored))


@pytest.mark.parametrize(
    ("old", "new"),
    [("15.000 degrees", "16.000 degrees"), (" clockwise", " anticlockwise"), ("25.882", "25.982")],
)
def test_another_angle_or_stack_of_blocks_is_found(old: str, new: str) -> None:
    def other(plan: PlannedSetup) -> PlannedSetup:
        before = tuple(
            replace(each, lines=tuple(line.replace(old, new) for line in each.lines))
            if isinstance(each, Clamp)
            else each
            for each in plan.before
        )
        return replace(plan, before=before)

    assert found_once(made(), other) == {"not clamped"}
