"""Bringing the tool beside a face by eye, and machines that do not go far enough."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest

from pathgen.commands.proving import prove_setup, prove_text
from pathgen.commands.workplace import Proof, Workplace
from pathgen.input.where import Refusal
from pathgen.plan.planners import plan_setup
from postprocessors.dials import steps
from postprocessors.dials.faces.json import dump_sheet, load_sheet
from postprocessors.dials.faces.text import write_text
from postprocessors.dials.steps import Sheet, Step
from tests.fence_bar import job_of
from tests.read_jobs import the_shop

MILL = "bench-mill-metric"


def place() -> Workplace:
    shop, job = the_shop(), job_of()
    return Workplace(job=job, setup=job.setups[0], machine=shop.machines[MILL], shop=shop)


@cache
def proof() -> Proof:
    return prove_setup(place(), lambda _: None)


def sheet() -> Sheet:
    return load_sheet(proof().text, "sheet")


def codes_of(change: Callable[[Step], Step]) -> set[str]:
    changed = replace(sheet(), steps=tuple(change(step) for step in sheet().steps))
    report = prove_text(place(), dump_sheet(changed), "sheet.json", lambda _: None).report
    return {each.code for each in report.findings if each.severity == "finding"}


def test_the_handles_that_bring_the_tool_beside_a_face_are_named() -> None:
    down = [each for each in sheet().steps if isinstance(each, steps.ClearStep) and each.beside]
    assert [each.across for each in down] == [("table", "cross slide"), ("cross slide",), ()]
    text = " ".join(write_text(sheet(), place().machine).split())
    assert (
        "bring it, by eye, with the table and the cross slide to outside the left face; then"
        in text
    )
    assert "with the cross slide to outside the back face; then down beside the back face" in text


def test_they_are_free_before() -> None:
    first = next(each for each in sheet().steps if isinstance(each, steps.UnlockStep))
    assert first.slides == ("table", "cross slide", "down feed")

    def kept_locked(step: Step) -> Step:
        if isinstance(step, steps.UnlockStep) and step == first:
            return replace(step, slides=("table", "down feed"))
        return step

    assert "locked" in codes_of(kept_locked)


def test_a_slide_whose_zero_is_set_is_not_moved_by_eye() -> None:
    def moved(step: Step) -> Step:
        if isinstance(step, steps.ClearStep) and step.across == ("cross slide",):
            return replace(step, across=("table", "cross slide"))
        return step

    assert {"no-zero"} <= codes_of(moved)


def shortened(machine: str, x: float) -> None:
    """Plan the fence bar on a machine that goes so far along x."""
    shop, job = the_shop(), job_of()
    known = shop.machines[machine]
    travel = (x, *known.travel[1:])
    plan_setup(job, job.setups[0], replace(known, travel=travel), shop.crib)


@pytest.mark.parametrize("machine", [MILL, "converted-mill"])
def test_a_machine_that_does_not_go_far_enough_is_refused_at_its_key(machine: str) -> None:
    # The axis stands at -1.55 where a 3 mm cutter touches the left end through paper, and goes to
    # the end of the slot at 135 less a mill's radius at least: more than 131 mm.
    with pytest.raises(Refusal) as refused:
        shortened(machine, 131.0)
    told = str(refused.value)
    assert "setup[1].machine" in told
    assert f"{machine} goes 131 mm along x, and this setup needs 13" in told
    assert "mm, from -1.55 mm to 13" in told
    shortened(machine, 1.55 + 135.0)
