"""Holes in the floor of a pocket of the same setup: read, planned, proved, and slips found."""

from __future__ import annotations

from functools import cache

import pytest

from pathgen.commands.proving import Proof, prove_job, prove_text
from pathgen.job.holes import Holes
from pathgen.job.job import Job, JobSetup
from postprocessors.drawing.scene import scene_of
from postprocessors.drawing.voids import voids_of
from tests.read_jobs import changed, job_from, reading, the_shop

JOB = """
title = "latch plate of the nipping press"
units = "mm"
blank = { form = "bar", length = 100, width = 70, thickness = 14, material = "brass" }
[[setup]]
name = "top"
machine = "converted-mill"
hold = { how = "clamps", beneath = 12 }
datum.x = { face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }
datum.y = { face = "front", tool = "pin", tool_diameter = 3 }
datum.z = { face = "top", paper = 0.05 }
[[setup.feature]]
kind = "pocket"
name = "recess"
rectangle = [50, 40]
corner_radius = 5
centre = [50, 35]
depth = 4
[[setup.feature]]
kind = "holes"
name = "screws"
at = [[40, 35], [60, 35]]
in_floor_of = "recess"
diameter = 6
depth = 5
"""
THROUGH = (("depth = 5", 'depth = "through"'),)
TAPPED = (("diameter = 6\ndepth = 5", 'tapped = "M6"\ndepth = "through"'),)
Changes = tuple[tuple[str, str], ...]


@cache
def made(machine: str, changes: Changes = ()) -> Proof:
    job = job_from(changed(JOB, *changes), "plate")
    (proof,) = prove_job(job, the_shop(), machine, lambda _: None)
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    return proof


@pytest.mark.parametrize("machine", ["converted-mill", "bench-mill-metric", "bench-mill-inch"])
@pytest.mark.parametrize("changes", [(), THROUGH, TAPPED])
def test_pocket_and_holes_are_proved_in_one_setup(machine: str, changes: Changes) -> None:
    proof = made(machine, changes)
    plan = proof.plan
    assert plan is not None
    done = [(each.purpose, each.feature) for each in plan.passes]
    assert done.index(("drill", "screws")) < done.index(("rough", "recess"))


def test_the_depth_counts_from_the_floor_as_it_is_cut() -> None:
    sizes = {(e.feature, e.quantity): e for e in made("converted-mill").report.sizes}
    depth = sizes["screws", "depth"]
    assert (depth.wanted.low, depth.wanted.high) == (4.9, 5.1)  # ISO 2768-1 m, over 3 to 6 mm
    assert (depth.least, depth.most) == pytest.approx((5.0, 5.0), abs=0.002)
    # A floor 0.05 mm deeper than aimed at is right, and takes as much off the holes.
    deeper = made("converted-mill").text.replace("Z-4.0", "Z-4.05")
    report = prove_text(made("converted-mill").place, deeper, "edited", lambda _: None).report
    assert report.ok
    shallower = next(e for e in report.sizes if (e.feature, e.quantity) == ("screws", "depth"))
    assert (shallower.least, shallower.most) == pytest.approx((4.95, 4.95), abs=0.002)


def test_the_zero_stays_on_the_top_face() -> None:
    (holes,) = (
        each for each in made("converted-mill").place.setup.features if isinstance(each, Holes)
    )
    assert holes.depth is not None
    assert (holes.depth.low, holes.depth.high) == pytest.approx((8.9, 9.1))
    assert "G98 G81 X40.0 Z-10.8026" in made("converted-mill").text  # 9 and a point of 1.8026 mm


def test_the_sheet_says_from_where_the_depth_counts() -> None:
    text = made("bench-mill-metric").text
    assert "9 mm deep at full diameter" in text
    assert "5 mm of it below the floor of recess" in text
    assert "depth 4.9 to 5.1 mm from the floor of recess" in text


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("G98 G81 X40.0 Z-10.8026", "G98 G81 X40.0 Z-10.5", "metal left"),
        ("G98 G81 X40.0 Z-10.8026", "G98 G81 X40.0 Z-11.2", "floor"),
        ("G98 G81 X40.0 Z-10.8026", "G98 G81 X41.0 Z-10.8026", "displaced"),
        ("G98 G81 X40.0 Z-10.8026", "G98 G81 X40.0 Z-3.5", "missing"),
        ("G1 Z-4.0", "G1 Z-4.3", "floor"),
        ("G1 Z-4.0", "G1 Z-10.0", "floor"),
    ],
)
def test_a_slip_is_found(old: str, new: str, code: str) -> None:
    proof = made("converted-mill")
    assert old in proof.text
    report = prove_text(proof.place, proof.text.replace(old, new), "edited", lambda _: None).report
    found = [each for each in report.findings if each.severity == "finding"]
    assert code in {each.code for each in found}, [str(each) for each in found]


@pytest.mark.parametrize(
    ("change", "wrong"),
    [
        (('of = "recess"', 'of = "reces"'), 'is no pocket of this setup; did you mean "recess"?'),
        (("depth = 4\n", 'depth = "through"\n'), "goes through: it has no floor"),
        (("[40, 35]", "[27, 35]"), "do not lie within the floor of 'recess' altogether"),
        (("depth = 5", "depth = 8.5"), "in a blank 14 mm thick"),
        (("depth = 5", "depth = 5\nspotface = { diameter = 9 }"), "the floor is milled over"),
        (("diameter = 6\ndepth = 5", 'tapped = "M5"\ndepth = 2'), "a blind thread in the floor"),
        (('in_floor_of = "recess"\n', ""), "run into one another"),
    ],
)
def test_what_is_wrong_is_said(change: tuple[str, str], wrong: str) -> None:
    _, errors = reading(changed(JOB, change), "plate")
    assert wrong in "\n".join(errors)


def test_holes_beside_an_island_keep_off_it() -> None:
    island = ("depth = 4\n", "depth = 4\nisland = [{ round = 8, centre = [45, 35] }]\n")
    _, errors = reading(changed(JOB, island), "plate")
    assert "do not lie within the floor" in "\n".join(errors)


def test_the_section_shows_them_from_the_floor_on() -> None:
    proof = made("bench-mill-metric")
    place = proof.place
    assert isinstance(place.job, Job)
    assert isinstance(place.setup, JobSetup)
    scene = scene_of(place.job, place.setup, proof.run, ())
    bores = [each for each in voids_of(scene, 35.0) if each.high - each.low < 10]
    assert [(each.top, each.floor) for each in bores] == [(-4.0, -9.0), (-4.0, -9.0)]


@pytest.mark.parametrize(
    ("slip", "told"),
    [
        (("depth = 4", "depht = 4"), {"setup[1].feature[1].depth", "setup[1].feature[1].depht"}),
        (('kind = "pocket"', 'kind = "poket"'), {"setup[1].feature[1].kind"}),
        (('kind = "holes"', 'kind = "hole"'), {"setup[1].feature[2].kind"}),
    ],
)
def test_a_slip_in_one_feature_is_no_error_in_another(
    slip: tuple[str, str], told: set[str]
) -> None:
    """Of a feature that cannot be read no other is told to take its name out."""
    job, errors = reading(changed(JOB, slip), "plate")
    assert job is None
    assert {each.split(": ")[1] for each in errors} == told
