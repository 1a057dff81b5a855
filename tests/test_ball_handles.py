"""Balls at the end of turned work: the back down to its neck by a blade; and slips found."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from pathgen.commands.loading import load
from pathgen.commands.proving import prove_job
from pathgen.commands.workplace import form_for
from pathgen.input.where import Faults, InputError
from pathgen.job.load import load_job
from pathgen.job.turning.ball_neck import BallNeck
from pathgen.moves.actions import FitCutter
from pathgen.moves.moves import Feed
from pathgen.plan.turning.ball_neck import corner_places
from tests.read_jobs import the_shop
from tests.turned_demos import Edit, codes_after, codes_of, demo
from tests.turned_demos import changed as demo_changed

HANDLE = Path(__file__).parents[1] / "jobs" / "ball-handle.toml"
METRIC, INCH_DIALS, PROGRAM = "bench-lathe-metric", "bench-lathe-inch", "converted-lathe"
RADIUS, NECK, BLADE = 10.0, 4.5, 3.0  # of the ball and its neck; width of the blade
FOOT = -RADIUS - math.sqrt(RADIUS**2 - NECK**2)
STEPS = 31
handle, changed = partial(demo, HANDLE), partial(demo_changed, HANDLE)


def the_neck() -> BallNeck:
    """Return the neck of the handle's job."""
    job, _ = load(HANDLE)
    return next(e for e in job.setups[0].features if isinstance(e, BallNeck))


# ---------------------------------------------------------------------- where the corner stops


@pytest.mark.parametrize("crest", [0.1, 0.3])
def test_the_steps_of_a_corner_are_those_of_a_closed_formula(crest: float) -> None:
    # a corner between two steps lies on the circle of R + c: so x^2 falls by c (2R + c) each step
    *behind, last = corner_places(the_neck(), 0.0, crest)
    assert last == pytest.approx((FOOT, NECK))
    fall = crest * (2 * RADIUS + crest)
    for (_, before), (_, after) in pairwise(behind):
        assert before**2 - after**2 == pytest.approx(fall, abs=1e-6)
    assert all(math.hypot(z + RADIUS, x) == pytest.approx(RADIUS) for z, x in behind)
    assert RADIUS**2 - behind[0][1] ** 2 <= fall + 1e-6  # from the middle on
    assert behind[-1][1] ** 2 - NECK**2 <= fall + 1e-6  # and to the neck


# ---------------------------------------------------------------------- what is made


@pytest.mark.parametrize("machine", [METRIC, INCH_DIALS, PROGRAM])
def test_the_handle_is_proved_on_each_lathe(machine: str) -> None:
    report = handle(machine).report
    assert report.ok
    assert {each.code for each in report.findings} <= {"uncertain"}  # of the dials, a caution
    back = {each.quantity: each for each in report.sizes if each.feature == "neck"}
    assert set(back) == {"to file", "diameter"}
    assert -0.02 < back["to file"].least <= back["to file"].most < 0.15
    assert (back["to file"].most > 0.1) == (machine != PROGRAM)
    assert back["diameter"].least == pytest.approx(2 * NECK, abs=0.02)
    ball = next(e for e in report.sizes if e.feature.startswith("grip, first"))
    assert ball.quantity == "diameter"  # judged at the middle of the ball, where alone it is whole
    assert ball.most == pytest.approx(2 * RADIUS, abs=0.03)


def test_the_right_corner_comes_to_the_ball_further_left_and_deeper_each_time() -> None:
    items = list(handle(METRIC).run.items)
    fit = next(i for i, e in enumerate(items) if isinstance(e, FitCutter) and "3 mm" in e.name)
    plunges = [e for e in items[fit:] if isinstance(e, Feed) and e.z < -13 and e.x > 4]
    on_ball, along_neck = plunges[:STEPS], plunges[STEPS : STEPS + 2]
    for move in on_ball:
        off = math.hypot(move.z + BLADE + RADIUS, move.x) - RADIUS
        assert -0.001 <= off < 0.02
    assert [e.z for e in on_ball] == sorted((e.z for e in on_ball), reverse=True)
    assert [e.x for e in on_ball] == sorted((e.x for e in on_ball), reverse=True)
    assert all(e.x == pytest.approx(NECK, abs=0.006) for e in along_neck)
    assert along_neck[-1].z == pytest.approx(-25.0, abs=0.006)  # the shoulder


def test_the_arc_of_a_program_is_that_of_the_right_corner() -> None:
    text = handle(PROGRAM).text
    found = re.search(r"\nG3 X9\.0 Z(-[\d.]+) I(\S+) K(\S+)", text)
    assert found is not None
    z, across, along = (float(each) for each in found.groups())
    assert z == pytest.approx(FOOT - BLADE, abs=2e-4)
    assert (across, along) == (-RADIUS, 0.0)  # from its middle at the top of the ball


def test_the_sheet_says_how_it_is_filed_and_tried() -> None:
    proof = handle(METRIC)
    text = " ".join(form_for(proof.place.machine).faces(proof)[".txt"].split())
    for words in (
        "its neck 9 mm thick, the ball in 31 steps",
        "with the safe edge of the file to it",
        "Try the ball with a ring or a tube",
        "the handle in the left hand",
        "Never wind along before the blade is out of the groove",
    ):
        assert words in text


# ---------------------------------------------------------------------- slips


def step(steps: list[dict[str, Any]], number: int) -> int:
    """Return where the blade is brought to a step of the ball; two steps on it is plunged."""
    wanted = f"to the ball, {number} of {STEPS}"
    return next(i for i, each in enumerate(steps) if each.get("what", "").endswith(wanted))


def _beside(steps: list[dict[str, Any]]) -> None:
    at = steps[step(steps, 14)]
    at["dial"], at["reading"] = at["dial"] - 40, at["reading"] - 40
    at["place"] += 0.2


def _left_out(steps: list[dict[str, Any]]) -> None:
    """Leave one plunge out: the way in, and the way out after it."""
    cut = step(steps, 20) + 2
    assert steps[cut]["cut"]
    for index in (cut, cut + 1):
        steps[index] = {"kind": "note", "number": index + 1, "text": "left out"}


def _too_deep(steps: list[dict[str, Any]]) -> None:
    cut = steps[step(steps, 10) + 2]
    cut["dial"], cut["reading"] = cut["dial"] + 20, cut["reading"] + 20
    cut["place"] -= 0.2


def _a_turn(steps: list[dict[str, Any]]) -> None:
    cut = steps[step(steps, 25) + 2]
    cut["passes"] += 1


def _thin_neck(steps: list[dict[str, Any]]) -> None:
    for each in steps:
        if each.get("what") == "in, to the neck":
            each["dial"], each["reading"] = each["dial"] + 30, each["reading"] + 30
            each["place"] -= 0.3


def _along_in_the_groove(steps: list[dict[str, Any]]) -> None:
    out = step(steps, 22) + 3
    assert steps[out]["what"] == "straight out"
    steps[out] = {"kind": "note", "number": out + 1, "text": "left out"}


def _narrower(steps: list[dict[str, Any]]) -> None:
    for each in steps:
        if each.get("name") == "3 mm parting blade":
            each["name"] = "2 mm parting blade"


@pytest.mark.parametrize(
    ("edit", "code"),
    [
        (_beside, "size"),
        (_left_out, "size"),
        (_too_deep, "size"),
        (_a_turn, "miscounted"),
        (_thin_neck, "size"),
        (_along_in_the_groove, "rapid"),
        (_narrower, "left"),
    ],
)
def test_a_slip_in_the_sheet_is_found(edit: Edit, code: str) -> None:
    assert code in codes_after(handle(METRIC), edit)


def _other_words(steps: list[dict[str, Any]]) -> None:
    steps[step(steps, 3)]["what"] = "the third of them"


def _a_hair_off(steps: list[dict[str, Any]]) -> None:
    """Stop one step a judged part, 0.005 mm, short: well within what is filed."""
    cut = steps[step(steps, 8) + 2]
    cut["dial"], cut["reading"] = cut["dial"] - 1, cut["reading"] - 1
    cut["place"] += 0.005


@pytest.mark.parametrize("edit", [_other_words, _a_hair_off])
def test_a_harmless_edit_finds_nothing(edit: Edit) -> None:
    assert codes_after(handle(METRIC), edit) == set()


@pytest.mark.parametrize(
    ("before", "after", "code"),
    [
        ("I-10.0 K0.0", "I-10.0 K-0.5", "arc"),
        (" I-10.0 K0.0", " R-10.0", "gouge"),  # the long way round
        ("G3 X9.0 Z-21.9303 I-10.0 K0.0", "G1 X9.0 Z-21.9303", "gouge"),
    ],
)
def test_a_slip_in_the_arc_is_found(before: str, after: str, code: str) -> None:
    text = handle(PROGRAM).text
    assert before in text
    assert code in codes_of(handle(PROGRAM), text.replace(before, after, 1))


# ---------------------------------------------------------------------- what is refused


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ("diameter = 9", "diameter = 4", "a thinner one bends under the blade"),
        ("diameter = 9", "diameter = 19.5", "hardly less than the ball"),
        ("to = 25 }", "to = 21 }", "let the first diameter go on"),
        ("radius = 10 ", "radius = 11 ", "a front that is no ball of its first diameter"),
        (
            '[[setup.feature]]\nkind = "parted"',
            (
                '[[setup.feature]]\nkind = "drilled"\nname = "eye"\ndiameter = 4\ndepth = 6\n\n'
                '[[setup.feature]]\nkind = "parted"'
            ),
            "a ball with 'eye' in it",
        ),
        ('of = "grip"\ndiameter', 'of = "grasp"\ndiameter', "no profile 'grasp' before it"),
    ],
)
def test_a_ball_that_makes_no_sense_is_refused(
    tmp_path: Path, before: str, after: str, said: str
) -> None:
    faults = Faults()
    load_job(changed(tmp_path, (before, after)), faults)
    with pytest.raises(InputError, match=re.escape(said)):
        faults.raise_any()


def test_steps_on_a_ball_want_leave_to_file(tmp_path: Path) -> None:
    job = load_job(
        changed(tmp_path, ("diameter = 9\nfile_to_line = 0.15", "diameter = 9\n#")), Faults()
    )
    assert job is not None
    with pytest.raises(InputError, match="what may be filed"):
        list(prove_job(job, the_shop(), METRIC, lambda _: None))


def test_a_ball_is_measured_where_another_diameter_is(tmp_path: Path) -> None:
    """What that is found to be off would be off the ball too, unknown, where the blade touches."""
    collar = ("{ diameter = 22, to", "{ diameter = 22, diameter_limits = [21.9, 22.1], to")
    job = load_job(changed(tmp_path, collar), Faults())
    assert job is not None
    with pytest.raises(InputError, match="on a diameter that is not measured, another of"):
        list(prove_job(job, the_shop(), METRIC, lambda _: None))
    ball = ("{ diameter = 20, to", "{ diameter = 20, diameter_limits = [19.9, 20.1], to")
    job = load_job(changed(tmp_path, collar, ball), Faults())
    assert job is not None
    (proof,) = prove_job(job, the_shop(), METRIC, lambda _: None)
    assert proof.report.ok


def test_a_neck_that_no_blade_reaches_is_refused(tmp_path: Path) -> None:
    faults, (_, shop) = Faults(), load(HANDLE)
    parted = '[[setup.feature]]\nkind = "parted"\nname = "off the bar"\nlength = 52\n'
    job = load_job(changed(tmp_path, (parted, "")), faults)
    assert job is not None
    tools = tuple(
        replace(each, reach=min(each.reach, 5.0)) if each.kind in ("parting", "grooving") else each
        for each in shop.crib.turning_tools
    )
    shop = replace(shop, crib=replace(shop.crib, turning_tools=tools))
    with pytest.raises(InputError, match="kind grooving into the crib"):
        list(prove_job(job, shop, METRIC, lambda _: None))
