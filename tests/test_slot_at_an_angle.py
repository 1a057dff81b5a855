"""Slots at an angle: read, planned, refused by hand; each slip in a program has its finding."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from functools import cache

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.check.findings import Finding
from pathgen.check.wanted.own_axes import shares
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof
from pathgen.input.where import Refusal
from pathgen.job.apart import Stretch
from pathgen.job.gone import layers_before
from pathgen.job.slot import Slot, Turned
from pathgen.moves.moves import Arc, Feed
from postprocessors.drawing.plan_angles import slot_in_short
from postprocessors.drawing.scale import Units
from postprocessors.drawing.scene import cut_by
from tests.angle_jobs import job_text
from tests.random_jobs import assert_proved, proof_of
from tests.read_jobs import changed, job_from, reading, the_shop

JOB = """
title = "Latch plate of the nipping press"
units = "mm"
blank = { form = "bar", length = 90, width = 50, thickness = 8, material = "mild steel" }
[[setup]]
name = "pawl"
machine = "converted-mill"
hold = { how = "vice", beneath = 15 }
datum.x = { face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }
datum.y = { middle_of = ["front", "back"], tool = "pin", tool_diameter = 3 }
datum.z = { face = "top", paper = 0.05 }
[[setup.feature]]
kind = "slot"
name = "pawl slot"
centre = [45, 2]
angle_deg = 15
length = 40
width = 10
width_limits = [10.0, 10.1]
depth = "through"
"""
PLACED = "centre = [45, 2]\nangle_deg = 15\nlength = 40"
HOLE = """depth = "through"
[[setup.feature]]
kind = "holes"
name = "pin"
at = {}
diameter = 4
depth = "through"
"""
PIVOT = """[[setup.feature]]
kind = "holes"
name = "pivot"
there = true
up = "top"
at = [20, 35]
diameter = 8
depth = "through"
"""
STEEP = ("angle_deg = 15", "angle_deg = -72.5")
MIDDLE = 'middle_of = ["front", "back"], tool = "pin", tool_diameter = 3'
LEFT = 'face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }'
COS, SIN = math.cos(math.radians(15)), math.sin(math.radians(15))


@cache
def made(machine: str = "converted-mill", *changes: tuple[str, str]) -> Proof:
    """Return the plate as made on a machine, proved."""
    job = job_from(changed(JOB, *changes), "latch")
    (proof,) = prove_job(job, the_shop(), machine, lambda _: None)
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    return proof


def slot_of(*changes: tuple[str, str]) -> Slot:
    feature = job_from(changed(JOB, *changes), "latch").setups[0].features[0]
    assert isinstance(feature, Slot)
    return feature


def place(along: float, across: float) -> tuple[float, float]:
    """Return (x, y) of a place from the slot's middle, worked out by itself."""
    return 45 + along * COS - across * SIN, 2 + along * SIN + across * COS


# ---------------------------------------------------------------- read


def test_both_ways_to_place_it_give_the_same_slot() -> None:
    (x0, y0), (x1, y1) = place(-15, 0), place(15, 0)
    for first, last in (((x0, y0), (x1, y1)), ((x1, y1), (x0, y0))):
        ends = f"from = [{first[0]}, {first[1]}]\nto = [{last[0]}, {last[1]}]"
        slot = slot_of((PLACED, ends))
        assert slot.turned is not None
        assert slot.turned.angle_deg == pytest.approx(15)
        assert slot.point(0, 0) == pytest.approx((45, 2))
        assert slot.length.nominal == pytest.approx(40)
        assert slot.box == pytest.approx(slot_of().box)


def test_its_places_keep_the_general_tolerance_of_their_distance_from_the_zero() -> None:
    slot = slot_of()  # at 45.04 mm: ISO 2768-1 m gives 0.3 from 30 to 120 mm
    assert (slot.middle.low, slot.middle.high) == pytest.approx((-0.3, 0.3))
    assert (slot.across.low, slot.across.high) == pytest.approx((-0.3, 0.3))


@pytest.mark.parametrize(
    ("change", "wrong"),
    [
        (("angle_deg = 15", "angle_deg = 0"), 'say along = "x" in its place'),
        (("angle_deg = 15", "angle_deg = -90"), 'say along = "y" in its place'),
        (("angle_deg = 15", "angle_deg = 95"), "angle_deg: 95"),
        (("angle_deg = 15", 'angle_deg = 15\nalong = "x"'), "along: given for a slot at an angle"),
        (("angle_deg = 15", 'angle_deg = 15\nopen_at = ["left"]'), "open_at: given for a slot at"),
        (("angle_deg = 15", "from = [30, 0]\nto = [60, 8]"), "length: given beside from and to"),
        ((PLACED, "from = [30, 0]\nto = [30, 0]"), "to: the same place as from"),
        ((PLACED, "from = [30, 0]"), "to: missing"),
        (("length = 40", "length = 10"), "length: 10 mm for a slot 10 mm wide"),
        (("length = 40", "length = 40\ncentres = 30"), "both length and centres given"),
        (("centre = [45, 2]", "centre = [45, 17]"), "the slot takes up"),
        (('depth = "through"\n', HOLE.format("[60, 11.5]")), "run into one another"),
    ],
)
def test_what_is_wrong_is_said(change: tuple[str, str], wrong: str) -> None:
    _, errors = reading(changed(JOB, change), "latch")
    assert any(wrong in error for error in errors), errors


def test_a_hole_within_its_box_but_clear_of_its_walls_is_no_error() -> None:
    # The corner of the box about the slot: 59, -3 is 8.5 mm off the centre line.
    text = changed(JOB, ('depth = "through"\n', HOLE.format("[59, -3]")))
    assert len(job_from(text, "latch").setups[0].features) == 2


def test_the_way_to_a_slanting_line_is_by_the_shortest() -> None:
    slanting = Stretch(0, 0, 30, 30, 2, slanting=True)
    assert slanting.gap(Stretch(20, 0, 20, 0, 1)) == pytest.approx(20 / math.sqrt(2) - 3)
    assert Stretch(18, 2, 22, 8, 0).gap(slanting) == pytest.approx(10 / math.sqrt(2) - 2)
    assert slanting.gap(Stretch(0, 30, 30, 0, 1, slanting=True)) == -3


def test_its_walls_give_no_zero_along_an_axis() -> None:
    later = JOB.replace('name = "pawl"', 'name = "later"').replace('"pawl slot"', '"other slot"')
    later = later[later.index("[[setup]]") :]
    later = changed(later, (LEFT, 'middle_of = "pawl slot", tool = "pin", tool_diameter = 3 }'))
    _, errors = reading(JOB + later, "latch")
    assert any("stand at an angle to the axes" in error for error in errors), errors


# ---------------------------------------------------------------- planned


@pytest.mark.parametrize("machine", ["converted-mill", "converted-mill-lean"])
@pytest.mark.parametrize(
    "change",
    [(PLACED, PLACED), ('depth = "through"', "depth = 5"), ("angle_deg = 15", "angle_deg = -72.5")],
)
def test_it_is_proved_where_the_slides_go_together(machine: str, change: tuple[str, str]) -> None:
    sizes = {each.quantity: each for each in made(machine, change).report.sizes}
    assert sizes["width"].most == pytest.approx(10.05, abs=0.002)  # half-way between its limits
    assert sizes["length"].most == pytest.approx(40, abs=0.002)
    assert sizes["middle"].most == pytest.approx(0, abs=0.001)


def test_it_is_cut_where_it_was_drawn_by_another_way() -> None:
    """The metal that the finish leaves, against a slot turned as a whole by shapely."""
    proof = made()
    assert proof.plan is not None
    finish = proof.plan.passes[-1]
    places = [(each.x, each.y) for each in finish.items if isinstance(each, Feed | Arc)]
    upright = shapely.LineString([(45 - 14.975, 2), (45 + 14.975, 2)])  # 40 less 10.05
    loop = upright.buffer(10.05 / 2 - 4, quad_segs=400)  # the way of an 8 mm mill's axis
    turned = shapely.affinity.rotate(loop, 15, (45, 2)).exterior
    _, *along, off = places  # the first is the way down on the centre line, the last the way off
    assert len(along) == 6
    assert all(turned.distance(shapely.Point(at)) < 1e-3 for at in along)
    assert off == pytest.approx(place(1.025, 0))


def test_what_is_gone_is_known_to_later_setups() -> None:
    later = JOB[JOB.index("[[setup]]") :].replace('"pawl"', '"later"')
    job = job_from(JOB + later.replace('"pawl slot"', '"other"'), "latch")
    (layer,) = layers_before(job, job.setups[1])
    width, length = 10.1, 40.0
    stadium = (length - 10) * width + math.pi * width**2 / 4  # about the nominal centres
    assert layer.region.area == pytest.approx(stadium, rel=0.01)
    assert layer.region.centroid.coords[0] == pytest.approx((45, 2), abs=1e-6)


@settings(max_examples=12, deadline=None)
@given(seed=st.integers(0, 2**32 - 1))
def test_what_is_planned_is_proved(seed: int) -> None:
    assert_proved(proof_of(job_text, seed, "converted-mill"))


def test_by_handles_it_is_refused_with_how_to_set_it_over() -> None:
    with pytest.raises(Refusal) as refused:
        made("bench-mill-metric")
    said = str(refused.value)
    assert "it would cut steps" in said
    assert 'set_over = { angle_deg = 15, by = "sine bar" }' in said


def test_a_steep_one_is_set_over_to_lie_along_y() -> None:
    with pytest.raises(Refusal) as refused:
        made("bench-mill-metric", ("angle_deg = 15", "angle_deg = -60"))
    assert "set_over = { angle_deg = 30," in str(refused.value)


def test_the_slides_share_in_what_is_left_open() -> None:
    turned = Turned(0, 0, 30)
    assert shares(turned, (0.02, 0.01), 0) == pytest.approx(0.02 * math.sqrt(3) / 2 + 0.005)
    assert shares(turned, (0.02, 0.01), 1) == pytest.approx(0.01 + 0.01 * math.sqrt(3) / 2)
    assert shares(None, (0.02, 0.01), 1) == 0.01


# ---------------------------------------------------------------- slips in a program


def edited(edit: Callable[[list[str]], int]) -> tuple[list[Finding], int]:
    """Return what is found in the program after an edit, and the line (from 1) it was made at."""
    proof = made()
    lines = proof.text.splitlines()
    at = edit(lines)
    report = prove_text(proof.place, "\n".join(lines) + "\n", "edited", lambda _: None).report
    return [each for each in report.findings if each.severity == "finding"], at + 1


def finish_line(lines: list[str], mark: str) -> int:
    """Return the row of the line after a mark, in the finish."""
    start = next(i for i, line in enumerate(lines) if line.startswith("(-- finish"))
    return next(i for i in range(start, len(lines)) if lines[i].startswith(f"(-- {mark}")) + 1


def moved(line: str, dx: float, dy: float) -> str:
    """Return a line of a program with its place moved."""
    line = re.sub(r"X(-?[\d.]+)", lambda m: f"X{float(m[1]) + dx:.4f}", line)
    return re.sub(r"Y(-?[\d.]+)", lambda m: f"Y{float(m[1]) + dy:.4f}", line)


def all_moved(lines: list[str], dx: float, dy: float) -> None:
    for row, line in enumerate(lines):
        if not line.startswith("("):
            lines[row] = moved(line, dx, dy)


def test_an_untouched_program_has_no_findings() -> None:
    assert edited(lambda _: 0) == ([], 1)


def test_a_wall_cut_out_by_its_end() -> None:
    def edit(lines: list[str]) -> int:
        at = finish_line(lines, "along the other wall")
        lines[at] = moved(lines[at], 0.2 * SIN, -0.2 * COS)  # outwards, square to the wall
        return at

    found, line = edited(edit)
    (wall,) = (each for each in found if each.code == "wall" and each.place == line)
    # 0.2 out where the straight part ends, 0.05 of it within what the width may be.
    assert wall.amount == pytest.approx(0.15, abs=0.005)


def test_a_round_end_cut_too_far() -> None:
    def edit(lines: list[str]) -> int:
        for mark in ("along the wall", "round end"):
            at = finish_line(lines, mark)
            lines[at] = moved(lines[at], 0.5 * COS, 0.5 * SIN)
        return at

    found, line = edited(edit)
    ends = [each for each in found if each.code == "end" and each.place in (line - 2, line)]
    assert ends
    assert max(each.amount or 0 for each in ends) == pytest.approx(0.2, abs=0.02)  # 0.3 allowed


def test_a_slot_that_lies_beside_its_place() -> None:
    def edit(lines: list[str]) -> int:
        all_moved(lines, -0.5 * SIN, 0.5 * COS)
        return 0

    found, _ = edited(edit)
    (only,) = (each for each in found if each.code == "position")
    assert only.what.startswith("centre line of 'pawl slot'")
    assert only.amount == pytest.approx(0.2, abs=0.002)  # 0.5, of which 0.3 is allowed


def test_a_slot_at_the_other_angle() -> None:
    def edit(lines: list[str]) -> int:
        for row, line in enumerate(lines):
            if not line.startswith("("):
                other = re.sub(r"Y(-?[\d.]+)", lambda m: f"Y{4 - float(m[1]):.4f}", line)
                other = re.sub(r"J(-?[\d.]+)", lambda m: f"J{-float(m[1]):.4f}", other)
                lines[row] = other.replace("G2 ", "G3 ")
        return 0

    codes = {each.code for each in edited(edit)[0]}
    assert {"metal left", "wall"} <= codes, codes


def test_a_slot_turned_by_half_a_degree() -> None:
    def edit(lines: list[str]) -> int:
        small = math.radians(0.5)
        for row, line in enumerate(lines):
            both = re.search(r"X(-?[\d.]+) Y(-?[\d.]+)", line)
            if both and not line.startswith("("):
                x, y = float(both[1]) - 45, float(both[2]) - 2
                x, y = x - small * y, y + small * x
                lines[row] = line.replace(both[0], f"X{x + 45:.4f} Y{y + 2:.4f}")
        return 0

    codes = {each.code for each in edited(edit)[0]}
    assert "wall" in codes, codes  # 0.13 mm to a side at both ends of 30 mm


def test_a_finish_not_deep_enough() -> None:
    def edit(lines: list[str]) -> int:
        for row, line in enumerate(lines):
            lines[row] = line.replace("Z-8.5", "Z-7.9")
        return finish_line(lines, "along the wall")

    found, _ = edited(edit)
    assert any(each.code == "metal left" and "is not through" in each.what for each in found)


def test_a_wall_left_out() -> None:
    def edit(lines: list[str]) -> int:
        at = finish_line(lines, "along the other wall")
        lines[at : at + 1] = []
        return at

    found, _ = edited(edit)
    assert {"arc", "metal left"} <= {each.code for each in found}


def test_a_slot_moved_within_its_limits_is_no_finding() -> None:
    def edit(lines: list[str]) -> int:
        all_moved(lines, 0.1, -0.1)
        return 0

    assert edited(edit)[0] == []


def test_a_finish_moved_within_the_limits_is_no_finding() -> None:
    def edit(lines: list[str]) -> int:
        start = finish_line(lines, "over the middle")
        for row in range(start, len(lines)):
            if not lines[row].startswith("("):
                lines[row] = moved(lines[row], -0.02 * SIN, 0.02 * COS).replace("F53.0", "F50.0")
        return start

    assert edited(edit)[0] == []


# ---------------------------------------------------------------- drawn


@pytest.mark.parametrize("y", [2.0, 5.0, -1.9, 2 + 15 * SIN + 4.5, 2 - 15 * SIN - 4.9])
def test_a_section_cuts_it_where_it_is(y: float) -> None:
    upright = shapely.LineString([(30, 2), (60, 2)]).buffer(5, quad_segs=2000)
    turned = shapely.affinity.rotate(upright, 15, (45, 2))
    met = turned.intersection(shapely.LineString([(0, y), (90, y)]))
    assert cut_by(slot_of(), y) == pytest.approx((met.bounds[0], met.bounds[2]), abs=1e-3)


def test_a_section_half_way_up_a_steep_one_meets_both_walls() -> None:
    off = 5 / math.sin(math.radians(72.5))  # 10 wide square to the walls, and so much across y
    assert cut_by(slot_of(STEEP), 2.0) == pytest.approx((45 - off, 45 + off))
    assert cut_by(slot_of(STEEP), 2 + 15 * math.sin(math.radians(72.5)) + 5.01) is None


def test_the_drawing_says_what_no_dimension_along_an_axis_can() -> None:
    slot = slot_of()
    said = slot_in_short(slot, 15.0, Units("mm"))
    assert said == "10 (10 to 10.1) \N{MULTIPLICATION SIGN} 40 at 15\N{DEGREE SIGN} to x"
