"""What is cut for screws, against the tables of their standards."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import Any

import pytest

from pathgen.commands.proving import prove_job
from pathgen.input.where import Refusal
from pathgen.job.holes import Holes
from pathgen.reckon.screws import cap_counterbore, clearance_hole, countersunk_head
from tests.hole_plates import job_with, made, read
from tests.printed import as_printed, examples
from tests.read_jobs import the_shop

published = partial(examples, "screws")
PLACES = 'at = [20, 30]\ndepth = "through"\n'


def holes_of(feature: str) -> Holes:
    (holes,) = job_with(PLACES + feature).setups[0].holes
    return holes


@pytest.mark.parametrize("row", published("clearance"))
def test_clearance_holes_are_those_of_the_table(row: dict[str, Any]) -> None:
    screw = row["given"]["screw"]
    found = {how: clearance_hole(screw, how) for how in ("close", "medium", "coarse")}
    as_printed(row, **{how: hole.nominal for how, hole in found.items()})
    assert all(hole.low == hole.nominal < hole.high for hole in found.values())


@pytest.mark.parametrize("row", published("cap"))
def test_counterbores_take_the_head_of_the_table(row: dict[str, Any]) -> None:
    across, deep = cap_counterbore(row["given"]["screw"])
    head, height = row["expected"]["head"], row["expected"]["height"]
    # Room all round at least, and the head below the face at least.
    assert across.low == pytest.approx(head + 0.3)
    assert deep.low == pytest.approx(height + 0.1)
    assert across.low < across.nominal < across.high < head + 4
    assert deep.low < deep.nominal < deep.high < height + 1.2


@pytest.mark.parametrize("row", published("countersunk"))
def test_countersinks_are_as_wide_as_the_head_of_the_table(row: dict[str, Any]) -> None:
    as_printed(row, head=countersunk_head(row["given"]["screw"]))


def test_the_limits_of_a_clearance_hole_are_those_of_its_class() -> None:
    # ISO 286-2: over 6 up to 10 mm H12 is 0.15, H13 0.22, H14 0.36.
    assert clearance_hole("M6", "close").high == pytest.approx(6.55)
    assert clearance_hole("M6").high == pytest.approx(6.82)
    assert clearance_hole("M6", "coarse").high == pytest.approx(7.36)


def test_a_screw_says_hole_and_counterbore() -> None:
    holes = holes_of('screw = "m6"\nhead = "cap"')
    assert holes.screw == "M6 cap screw"
    assert (holes.bore.nominal, holes.bore.basis) == (6.6, "ISO 273 medium, M6")
    assert holes.counterbore is not None
    assert holes.counterbore.diameter.nominal == 11
    # The head is 6 high; 6.4 deep leaves it 0.4 below the face.
    assert (holes.counterbore.depth.low, holes.counterbore.depth.nominal) == (6.1, 6.4)
    assert (holes.finish, holes.countersink) == ("drilled", None)


def test_a_screw_says_hole_and_countersink() -> None:
    holes = holes_of('screw = "M5"\nclearance = "close"\nhead = "countersunk"')
    assert (holes.screw, holes.bore.nominal) == ("M5 countersunk screw", 5.3)
    assert holes.countersink is not None
    assert (holes.countersink.diameter.nominal, holes.countersink.angle_deg) == (10.4, 90)


def test_a_plain_screw_may_have_a_mouth_of_its_own() -> None:
    holes = holes_of('screw = "M8"\nspotface = { diameter = 16 }')
    assert holes.screw == "M8 screw"
    assert holes.counterbore is not None
    assert holes.counterbore.word == "spot-face"
    # Half a millimetre where nothing is said, give or take half of it.
    depth = holes.counterbore.depth
    assert (depth.low, depth.middle, depth.high) == pytest.approx((0.25, 0.5, 0.75))


@pytest.mark.parametrize(
    ("feature", "said"),
    [
        ('screw = "M7"', "screw: 'M7' is not in the tables; they have M2, M2.5"),
        ('screw = "1/4 UNC"', "give diameter and counterbore"),
        ('screw = "M14"\nhead = "cap"', "head: 'M14' is not in the tables"),
        ('screw = "M6"\nhead = "round"', "head"),
        ('screw = "M6"\ndiameter = 6', "diameter: given beside screw"),
        ('screw = "M6"\ntapped = "M6"', "tapped: given beside screw"),
        ('diameter = 6\nhead = "cap"', "head: given without screw"),
        ('diameter = 6\nclearance = "close"', "clearance: given without screw"),
        (
            'screw = "M6"\nhead = "cap"\ncounterbore = { diameter = 12, depth = 7 }',
            "counterbore: given beside head",
        ),
        (
            "diameter = 6\nspotface = { diameter = 12 }\ncounterbore = { diameter = 9, depth = 3 }",
            "given beside",
        ),
        ("diameter = 6\nspotface = { diameter = 12, depth = 4 }", "spotface.depth"),
        ("diameter = 6\nspotface = { diameter = 6 }", "spotface: from 5.9 mm, the hole up to 6.1"),
    ],
)
def test_what_contradicts_itself_is_told(feature: str, said: str) -> None:
    job, errors = read(PLACES + feature)
    assert job is None
    assert any(said in error for error in errors), errors


@pytest.mark.parametrize("machine", ["converted-mill", "bench-mill-metric", "bench-mill-inch"])
@pytest.mark.parametrize("screw", ["M3", "M4", "M5", "M6", "M8"])
def test_cap_screws_find_room_on_every_machine(screw: str, machine: str) -> None:
    proof = made(f'{PLACES}screw = "{screw}"\nhead = "cap"', machine)
    assert proof.report.ok, proof.report.findings
    assert proof.plan is not None
    assert [each.purpose for each in proof.plan.passes] == ["spot", "drill", "counterbore"]
    sizes = {size.quantity: size for size in proof.report.sizes}
    assert sizes["counterbore depth"].ok


def test_a_spot_face_is_called_one() -> None:
    proof = made(f'{PLACES}screw = "M8"\nspotface = {{ diameter = 16 }}', "bench-mill-metric")
    assert proof.report.ok, proof.report.findings
    assert proof.plan is not None
    assert proof.plan.passes[-1].purpose == "spot-face"
    sizes = {size.quantity: size for size in proof.report.sizes}
    assert sizes["spot-face"].least == pytest.approx(16, abs=0.002)
    assert sizes["spot-face depth"].least == pytest.approx(0.5, abs=0.03)


def test_a_hole_that_no_drill_clears_says_which_would() -> None:
    shop = the_shop()
    kept = tuple(c for c in shop.cutters if not (c.kind == "drill" and 5.3 <= c.diameter <= 5.42))
    assert len(kept) < len(shop.cutters)
    poorer = replace(shop, crib=replace(shop.crib, cutters=kept))
    job = job_with(f'{PLACES}screw = "M5"\nclearance = "close"')
    with pytest.raises(Refusal, match=r"screw: .*put into the crib a drill of 5\.3 to 5\.42 mm"):
        list(prove_job(job, poorer, "converted-mill", lambda _: None))
