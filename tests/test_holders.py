"""What holds the cutter: read from the crib, said on the sheet, kept off jaws, clamps and work."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pathgen.check.findings import Finding
from pathgen.commands.proving import prove_setup
from pathgen.commands.workplace import Proof, Workplace
from pathgen.input.getters import parse_toml
from pathgen.input.where import Faults
from pathgen.plan.reaching import reach_of
from pathgen.shop.crib import Crib, read_crib
from pathgen.shop.holders import Holder
from tests.fence_bar import job_of
from tests.read_jobs import the_shop

MILL = "8 mm end mill"


def held(stick_out: float, diameter: float = 40.0, keepout: str = "") -> Proof:
    """Return the fence bar with its mill in a holder, a clamp standing up besides if told."""
    shop = the_shop()
    holder = Holder(name="collet chuck", diameter=diameter, length=55.0)
    cutters = tuple(
        replace(each, holder=holder, stick_out=stick_out) if each.name == MILL else each
        for each in shop.cutters
    )
    shop = replace(shop, crib=replace(shop.crib, cutters=cutters))
    moving = '    { name = "moving jaw"'
    job = job_of((moving, f"{keepout}\n{moving}")) if keepout else job_of()
    machine = shop.machines["converted-mill"]
    place = Workplace(job=job, setup=job.setups[0], machine=machine, shop=shop)
    return prove_setup(place, lambda _: None)


def found(proof: Proof) -> list[Finding]:
    return [each for each in proof.report.findings if each.severity == "finding"]


CLAMP = '    { name = "clamp", low = [140, -15, -8], high = [160, 15, 12] },'


def test_a_holder_above_the_work_meets_nothing() -> None:
    proof = held(stick_out=25.0)
    assert proof.report.ok
    assert f"(note: The {MILL} in the collet chuck, its end 25 mm out of it, no less" in proof.text


def test_a_holder_that_comes_down_on_the_work_is_found() -> None:
    # The slot is cut 8.5 mm deep: with 8 mm standing out the chuck is half a millimetre too low.
    (met, *_) = found(held(stick_out=8.0))
    assert met.code == "keepout"
    assert "collet chuck meets 'work'" in met.what


def test_a_holder_that_brushes_a_clamp_is_found() -> None:
    # The mill's axis comes to x 130 and less; the clamp begins at 140 and stands up 12 mm. A chuck
    # of 40 mm reaches to 150, and hangs 19 - 8.5 = 10.5 mm above the top face.
    met = found(held(stick_out=19.0, keepout=CLAMP))
    assert {each.code for each in met} == {"keepout"}
    assert all("collet chuck" in each.what and "'clamp'" in each.what for each in met)
    assert held(stick_out=30.0, keepout=CLAMP).report.ok  # longer: above it
    assert held(stick_out=19.0, diameter=18.0, keepout=CLAMP).report.ok  # slimmer: beside it


def test_the_reach_below_the_nose_is_holder_and_cutter() -> None:
    shop = the_shop()
    cutter = next(each for each in shop.cutters if each.name == MILL)
    chuck = Holder(name="collet chuck", diameter=40.0, length=55.0)
    machine = shop.machines["round-column-mill"]
    assert reach_of(replace(cutter, holder=chuck, stick_out=25.0), machine) == 80.0
    assert reach_of(replace(cutter, stick_out=25.0), machine) == 45.0 + 25.0


# ---------------------------------------------------------------- the crib

CRIB = """units = "mm"
[[holder]]
name = "collet chuck"
diameter = 40
length = 55
[[cutter]]
kind = "end mill"
diameter = 8
flute_length = 19
"""


def crib_of(*lines: str) -> tuple[Crib, list[str]]:
    faults = Faults()
    table = parse_toml(CRIB + "\n".join(lines), "crib.toml", faults)
    assert table is not None
    return read_crib(table), [str(each) for each in faults.errors]


def test_a_cutter_names_its_holder() -> None:
    crib, errors = crib_of('holder = "collet chuck"', "stick_out = 22")
    assert not errors
    assert crib.cutters[0].holder == Holder(name="collet chuck", diameter=40.0, length=55.0)
    assert crib.cutters[0].stands_out == 22.0
    assert crib_of()[0].cutters[0].stands_out == 19.0 + 5.0


@pytest.mark.parametrize(
    ("lines", "message"),
    [
        (('holder = "colet chuck"', "stick_out = 22"), 'did you mean "collet chuck"'),
        (('holder = "collet chuck"',), "stick_out: missing beside a holder"),
        (("stick_out = 12",), "less than the flutes of 19 mm; grip it by its shank alone"),
    ],
)
def test_what_does_not_go_together_is_told(lines: tuple[str, ...], message: str) -> None:
    crib, errors = crib_of(*lines)
    assert not crib.cutters
    assert any(message in each for each in errors), errors
