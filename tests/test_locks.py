"""A machine whose slides cannot be locked: what a cut may push them by, and what is said of it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import pytest

from pathgen.check.check import Report
from pathgen.commands.outputs import findings_text
from pathgen.commands.proving import prove_setup
from pathgen.commands.telling import size_lines
from pathgen.commands.workplace import Proof, Workplace
from pathgen.job.sizes import Size
from pathgen.job.slot import Slot
from pathgen.moves.plan import Doubt, Item
from pathgen.shop.machines import Machine
from tests.builders import (
    DEPTHS,
    SLOT_DRILL,
    checked,
    codes,
    fit,
    hand_mill,
    only,
    run,
    setup,
    size,
    slot,
    to_and_fro,
    zero,
)
from tests.fence_bar import job_of
from tests.hole_plates import made
from tests.read_jobs import the_shop

WIDE = (("0.1 to 0.25 mm play", "0.1 to 0.6 mm play"),)


def without_locks(*names: str, machine_name: str = "bench-mill-metric") -> Machine:
    """Return a bench mill with no locks on some of its slides."""
    machine = the_shop().machines[machine_name]
    slides = tuple(replace(each, lock=each.name not in names) for each in machine.slides)
    return replace(machine, slides=slides)


ALL = ("table", "cross slide", "down feed")


@cache
def proof_on(machine: Machine, changes: tuple[tuple[str, str], ...] = ()) -> Proof:
    """Return the fence bar as made on a machine."""
    job = job_of(*changes)
    place = Workplace(job=job, setup=job.setups[0], machine=machine, shop=the_shop())
    return prove_setup(place, lambda _: None)


def wanders(proof: Proof) -> dict[str, float]:
    return {each.quantity: each.wander for each in proof.report.sizes}


def kinds(text: str) -> set[str]:
    return {step["kind"] for step in json.loads(text)["steps"]}


def test_the_fence_bar_is_not_proved_where_the_slack_may_take_its_slot_out_of_its_limits() -> None:
    # Its slot lies along x: the cross slide stands still. A 10 mm slot drill cuts it, 10 to 10.15
    # mm wide; on the inch mill the slack is 0.006 in, 0.001 in more at most: 0.178 mm.
    inch = without_locks(*ALL, machine_name="bench-mill-inch")
    proof = proof_on(inch)
    (found,) = (each for each in proof.report.findings if each.severity == "finding")
    assert found.code == "no lock"
    assert "the cross slide has no lock, and a cut may push it by its slack, 0.178 mm" in found.what
    assert "width of 'stud slot' may come out at 10.000 to 10.178 mm" in found.what
    assert "lock = true" in found.remedy
    assert wanders(proof)["width"] == pytest.approx(0.007 * 25.4)
    assert proof_on(without_locks(machine_name="bench-mill-inch")).report.ok


def test_the_fence_bar_is_proved_where_the_slack_leaves_it_within_its_limits() -> None:
    proof = proof_on(without_locks(*ALL))  # 0.12 and 0.02 mm: 10.14 at most
    assert proof.report.ok
    assert wanders(proof)["width"] == pytest.approx(0.14)


@pytest.mark.parametrize("names", [(), ("table", "down feed")])
def test_only_the_slide_that_stands_still_matters(names: tuple[str, ...]) -> None:
    proof = proof_on(without_locks(*names))
    assert proof.report.ok
    assert set(wanders(proof).values()) == {0.0}


def test_a_size_with_room_for_the_slack_is_proved_and_tells_of_it() -> None:
    proof = proof_on(without_locks("cross slide"), WIDE)
    assert proof.report.ok
    told = list(size_lines(proof))
    assert any("stud slot: width: +-0.140 of it is what a slide without a lock" in t for t in told)
    rows = json.loads(findings_text(proof))["sizes"]
    assert {row["quantity"]: row["for_want_of_locks"] for row in rows} == {
        "width": 0.14,
        "length": 0.0,
        "middle": 0.0,
        "centre line": 0.14,
    }


def test_the_sheet_asks_for_no_lock_that_is_not_there() -> None:
    loose, locked = proof_on(without_locks(*ALL)), proof_on(without_locks())
    assert {"lock", "unlock"} <= kinds(locked.text)
    assert {"lock", "unlock"}.isdisjoint(kinds(loose.text))


# ---------------------------------------------------------------- the rule by itself

PUSHED = Doubt(wander=(0.0, 0.1, 0.3))  # mm, by axis


def pushed(what: Slot, depths: Sequence[float] = DEPTHS, *more: Item) -> Report:
    """Return what is found of a slot that was cut on size on slides without locks."""
    items = (zero("x"), zero("y"), *fit(SLOT_DRILL), *to_and_fro(depths), *more)
    return checked(run(*items, where="step", doubt=PUSHED), setup(what), hand_mill())


@pytest.mark.parametrize(("limit", "found"), [(0.09, True), (0.11, False)])
def test_a_width_is_found_when_the_push_alone_takes_it_out_of_its_limits(
    limit: float, found: bool
) -> None:
    report = pushed(slot(width=size(6.0, limit), across=size(0.0, 1.0)))
    assert ("no lock" in codes(report)) is found


def test_a_width_that_one_setting_makes_comes_out_wider_and_never_narrower() -> None:
    upwards = Size(nominal=6.0, low=5.99, high=6.2, basis="own limits")
    report = pushed(slot(width=upwards, across=size(0.0, 1.0)))
    assert "no lock" not in codes(report)
    two = pushed(slot(width=upwards, across=size(0.0, 1.0)), DEPTHS, *to_and_fro([-8.2], y=0.01))
    assert "5.910 to 6.110 mm, wanted 5.990 to 6.200" in only(two, "no lock").what


def test_the_finding_tells_how_far_out_it_may_come() -> None:
    finding = only(pushed(slot()), "no lock")  # the centre line has 0.1 mm each way, just enough
    assert finding.amount == pytest.approx(0.05, abs=0.001)
    assert "6.000 to 6.100 mm, wanted 5.950 to 6.050" in finding.what


def test_a_depth_hangs_on_the_down_feed() -> None:
    blind = slot(depth=size(4.0, 0.2), width=size(6.0, 1.0), across=size(0.0, 1.0))
    finding = only(pushed(blind, [-2.0, -4.0]), "no lock")
    assert "the down feed has no lock" in finding.what


@pytest.mark.parametrize(("tolerance", "told"), [(0.18, set()), (0.1, {"caution"})])
def test_of_holes_it_is_a_caution_since_a_drill_hardly_pushes_sideways(
    tolerance: float, told: set[str]
) -> None:
    # The table may go 0.15 and 0.02 mm, the cross slide 0.12 and 0.02 mm.
    machine = without_locks(*ALL)
    hole = f'at = [20, 30]\ndepth = "through"\ndiameter = 6.5\nposition_tolerance = {tolerance}'
    place = replace(made(hole, machine.name).place, machine=machine)
    report = prove_setup(place, lambda _: None).report
    assert report.ok
    assert {each.severity for each in report.findings if each.code == "no lock"} == told
