"""Dishes in the end of turned work: rings by handles, an arc by a program; and slips found."""

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
from pathgen.moves.moves import Feed
from pathgen.reckon.dish_rings import DishRings, rings_of
from pathgen.reckon.rounds import cusp_in_hollow
from tests.printed import as_printed, examples
from tests.turned_demos import Edit, codes_after, codes_of, demo
from tests.turned_demos import changed as demo_changed
from tests.turned_demos import made as demo_made

CUP = Path(__file__).parents[1] / "jobs" / "ball-cup.toml"
METRIC, INCH_DIALS, PROGRAM = "bench-lathe-metric", "bench-lathe-inch", "converted-lathe"
RADIUS, HALF, NOSE = 12.0, 10.0, 1.5  # of the cup, half of its chord, of its tool
DEEP = RADIUS - math.sqrt(RADIUS**2 - HALF**2)
DISH = "radius = 12\nchord = 20 "
GRANTED = "file_to_line = 0.12"
cup, changed = partial(demo, CUP), partial(demo_changed, CUP)
made = partial(demo_made, CUP)


# ---------------------------------------------------------------------- where rings stop


@pytest.mark.parametrize("row", examples("rounds", "radius-path"))
def test_the_noses_path_in_a_half_ball_is_the_printed_one(row: dict[str, Any]) -> None:
    # in a hollow the nose's middle goes along the radius less its own: 0.530 less 0.015
    path, nose = row["given"]["path_radius"], 0.015
    half_ball = DishRings(
        radius=path + nose, chord=2 * (path + nose), nose=nose, off=0.0, crest=0.01, widest=1.0
    )
    z, x = half_ball.at(math.radians(row["given"]["angle_deg"]))
    as_printed(row, x=-(z + nose), y=x + nose)


@pytest.mark.parametrize("crest", [0.02, 0.06])
@pytest.mark.parametrize("off", [0.0, 0.01])
def test_crests_are_as_high_as_granted_and_no_higher(crest: float, off: float) -> None:
    wanted = DishRings(radius=12.0, chord=20.0, nose=1.5, off=off, crest=crest, widest=9.0)
    places = rings_of(wanted)
    centre = 12.0 - DEEP
    noses = [(z + 1.5, x + 1.5) for z, x in places]
    worst = 0.0
    for count in range(4000):  # along rays from the centre: how far out some nose has cut
        angle = wanted.rim * count / 4000
        ray = -math.cos(angle), math.sin(angle)
        reached = 0.0
        for z, x in noses:
            along = (z - centre) * ray[0] + x * ray[1]
            beside = abs((z - centre) * ray[1] - x * ray[0])
            if beside < 1.5:
                reached = max(reached, along + math.sqrt(1.5**2 - beside**2))
        worst = max(worst, 12.0 - reached)
    assert 0.8 * crest < worst <= crest + 1e-6
    steps = [math.dist(a, b) for a, b in pairwise(noses)]
    assert max(steps) - min(steps) < 1e-9  # even all along
    # the published cusp of a hollow counts its pitch along the surface
    pitch = 2 * 12.0 * math.asin(steps[0] / 2 / (12.0 - 1.5 - off))
    assert cusp_in_hollow(1.5, pitch, 12.0) + off == pytest.approx(worst, rel=0.03, abs=2e-4)


def test_rings_are_no_wider_than_the_lathe_takes() -> None:
    wanted = DishRings(radius=30.0, chord=30.0, nose=3.0, off=0.0, crest=0.5, widest=0.6)
    places = rings_of(wanted)
    assert all(math.dist(a, b) <= 0.6 + 1e-9 for a, b in pairwise(places))
    assert places[-1][1] == pytest.approx(-3.0)  # its middle on the axis


@pytest.mark.parametrize(
    ("change", "said"),
    [({"nose": 12.0}, "smaller nose"), ({"off": 0.1}, "give more"), ({"crest": 1e-5}, "rings")],
)
def test_rings_that_cannot_be_are_refused(change: dict[str, float], said: str) -> None:
    wanted = DishRings(radius=12.0, chord=20.0, nose=1.5, off=0.0, crest=0.05, widest=2.0)
    with pytest.raises(ValueError, match=said):
        rings_of(replace(wanted, **change))


# ---------------------------------------------------------------------- what is made


@pytest.mark.parametrize("machine", [METRIC, INCH_DIALS, PROGRAM])
def test_the_cup_is_proved_on_each_lathe(machine: str) -> None:
    report = cup(machine).report
    assert report.ok
    assert not [each for each in report.findings if each.severity == "finding"]
    sizes = {each.quantity: each for each in report.sizes if each.feature == "cup"}
    assert set(sizes) == {"to file", "chord", "depth"}
    assert -0.015 < sizes["to file"].least <= sizes["to file"].most < 0.12
    assert (sizes["to file"].most > 0.02) == (machine != PROGRAM)  # an arc leaves no crests
    assert sizes["chord"].least == pytest.approx(20.0, abs=0.04)
    assert sizes["depth"].least == pytest.approx(DEEP, abs=0.015)


def test_each_ring_stays_inside_the_ball_and_the_cross_slide_only_goes_in() -> None:
    centre = RADIUS - DEEP
    run = cup(METRIC).run
    ends = [e for e in run.items if isinstance(e, Feed) and -6 < e.z < -0.5 and e.x < 8]
    assert len(ends) == 19
    for move in ends:
        off = RADIUS - NOSE - math.hypot(move.z + NOSE - centre, move.x + NOSE)
        assert -0.001 <= off < 0.015
    assert [each.x for each in ends] == sorted((each.x for each in ends), reverse=True)


def test_the_arc_of_a_program_is_about_the_balls_centre_and_clockwise() -> None:
    found = re.search(
        r"\nG1 Z(-[\d.]+)\n.*\nG2 X([\d.]+) Z(-[\d.]+) I(\S+) K(\S+)", cup(PROGRAM).text
    )
    assert found is not None
    begins, x, z, across, along = (float(each) for each in found.groups())
    assert begins == pytest.approx(-DEEP, abs=1e-4)
    assert (across, along) == (0.0, RADIUS - NOSE)
    rim = math.asin(HALF / RADIUS)
    assert x == pytest.approx(2 * ((RADIUS - NOSE) * math.sin(rim) - NOSE), abs=2e-4)
    assert z == pytest.approx(NOSE * (math.cos(rim) - 1), abs=2e-4)


def test_the_sheet_says_how_the_tool_is_set_and_the_crests_are_smoothed() -> None:
    proof = cup(METRIC)
    text = " ".join(form_for(proof.place.machine).faces(proof)[".txt"].split())
    assert "its sides lie parallel to the axis" in text
    assert "never a finger in the hollow" in text
    assert "in 19 rings from the rim inwards" in text


@pytest.mark.parametrize(
    ("given", "machine"),
    [
        ("radius = 12\ndepth = 5.367 ", METRIC),
        ("chord = 20\ndepth = 4 ", PROGRAM),
        ("radius = 10\nchord = 19.3 ", PROGRAM),  # nearly half a ball
    ],
)
def test_a_dish_may_be_given_in_other_ways(tmp_path: Path, given: str, machine: str) -> None:
    assert made(tmp_path, (DISH, given), machine=machine).report.ok


def test_a_chamfer_about_it_is_proved(tmp_path: Path) -> None:
    chamfer = (
        '[[setup.feature]]\nkind = "parted"',
        (
            '[[setup.feature]]\nkind = "chamfer"\nname = "edge"\nof = "button"\nwidth = 1\n'
            f'{GRANTED}\n\n[[setup.feature]]\nkind = "parted"'
        ),
    )
    assert made(tmp_path, chamfer, machine=METRIC).report.ok


# ---------------------------------------------------------------------- slips


def ring(steps: list[dict[str, Any]], number: int) -> int:
    """Return where a ring's x is wound to; two steps on it is cut."""
    return next(i for i, e in enumerate(steps) if e.get("what") == f"ring {number} of 19")


def _another_ring(steps: list[dict[str, Any]]) -> None:
    at = steps[ring(steps, 9)]
    at["dial"], at["reading"] = at["dial"] + 40, at["reading"] + 40
    at["place"] -= 0.2


def _a_turn_too_far(steps: list[dict[str, Any]]) -> None:
    cut = steps[ring(steps, 12) + 2]
    assert cut["cut"]
    cut["passes"] += 1


def _too_deep(steps: list[dict[str, Any]]) -> None:
    cut = steps[ring(steps, 19) + 2]
    cut["dial"], cut["reading"] = cut["dial"] + 20, cut["reading"] + 20
    cut["place"] -= 0.1


def _too_shallow(steps: list[dict[str, Any]]) -> None:
    cut = steps[ring(steps, 15) + 2]
    cut["dial"], cut["reading"] = cut["dial"] - 80, cut["reading"] - 80
    cut["place"] += 0.4


def _not_locked(steps: list[dict[str, Any]]) -> None:
    lock = steps[ring(steps, 5) + 1]
    assert lock["kind"] == "lock"
    lock.clear()
    lock.update({"kind": "note", "number": ring(steps, 5) + 2, "text": "left out"})


def _another_tool(steps: list[dict[str, Any]]) -> None:
    fit = next(e for e in steps if e["kind"] == "fit" and "face tool" in e["name"])
    fit["name"] = "knife tool"


def _touched_on_the_blank(steps: list[dict[str, Any]]) -> None:
    touch = next(e for e in steps if e["kind"] == "touch" and "face tool" in e["tool"])
    touch["face_at"] += 2.0
    touch["terms"][0]["value"] += 2.0


@pytest.mark.parametrize(
    ("edit", "code"),
    [
        (_another_ring, "size"),
        (_a_turn_too_far, "miscounted"),
        (_too_deep, "gouge"),
        (_too_shallow, "left"),
        (_not_locked, "unlocked"),
        (_another_tool, "cutter"),
        (_touched_on_the_blank, "zero"),
    ],
)
def test_a_slip_in_the_sheet_is_found(edit: Edit, code: str) -> None:
    assert code in codes_after(cup(METRIC), edit)


def _other_words(steps: list[dict[str, Any]]) -> None:
    steps[ring(steps, 3)]["what"] = "the third"


def _a_hair_short(steps: list[dict[str, Any]]) -> None:
    """Stop one ring a judged part, 0.005 mm, short: well within what is smoothed."""
    cut = steps[ring(steps, 8) + 2]
    cut["dial"], cut["reading"] = cut["dial"] - 1, cut["reading"] - 1
    cut["place"] += 0.005


@pytest.mark.parametrize("edit", [_other_words, _a_hair_short])
def test_a_harmless_edit_finds_nothing(edit: Edit) -> None:
    assert codes_after(cup(METRIC), edit) == set()


@pytest.mark.parametrize(
    ("before", "after", "code"),
    [
        ("G2 X14.5", "G3 X14.5", "beyond"),
        ("K10.5", "K12.5", "arc"),
        ("G1 Z-5.3668\n", "G1 Z-5.6668\n", "arc"),
        ("G2 X14.5 Z-0.6708 I0.0 K10.5", "G1 X14.5 Z-0.6708", "left"),
    ],
)
def test_a_slip_in_the_arc_is_found(before: str, after: str, code: str) -> None:
    text = cup(PROGRAM).text
    assert before in text
    assert code in codes_of(cup(PROGRAM), text.replace(before, after, 1))


# ---------------------------------------------------------------------- what is refused


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ("chord = 20 ", "", "give two of the three"),
        (DISH, f"radius_limits = [11.9, 12.1]\n{DISH}", "filed or followed to its line"),
        (DISH, "radius = 15\nchord = 26.5 ", "of the end beside it"),
        (DISH, "radius = 14\ndepth = 12.9 ", "under it"),
        (
            '[[setup.feature]]\nkind = "dish"',
            (
                '[[setup.feature]]\nkind = "drilled"\nname = "hole"\ndiameter = 6\ndepth = 5\n\n'
                '[[setup.feature]]\nkind = "dish"'
            ),
            "a dish in an end with a hole",
        ),
        (
            '[[setup.feature]]\nkind = "parted"',
            (
                '[[setup.feature]]\nkind = "dish"\nname = "two"\nradius = 9\nchord = 9\n\n'
                '[[setup.feature]]\nkind = "parted"'
            ),
            "a second dish in one end",
        ),
        (
            '[[setup.feature]]\nkind = "parted"',
            (
                '[[setup.feature]]\nkind = "drilled"\nname = "hole"\ndiameter = 6\ndepth = 5\n\n'
                '[[setup.feature]]\nkind = "parted"'
            ),
            "a dish in an end with a hole",
        ),
    ],
)
def test_a_dish_that_makes_no_sense_is_refused(
    tmp_path: Path, before: str, after: str, said: str
) -> None:
    faults = Faults()
    load_job(changed(tmp_path, (before, after)), faults)
    with pytest.raises(InputError, match=re.escape(said)):
        faults.raise_any()


@pytest.mark.parametrize("granted", ["", "file_to_line = 0.01"])
def test_crests_want_leave_to_smooth(tmp_path: Path, granted: str) -> None:
    with pytest.raises(InputError, match="file_to_line"):
        made(tmp_path, (GRANTED, f"{granted} #"), machine=METRIC)


def test_a_dish_deeper_than_the_tool_reaches_is_refused(tmp_path: Path) -> None:
    job, shop = load(CUP)
    tools = tuple(
        replace(each, reach=5.0) if each.kind == "dishing" else each
        for each in shop.crib.turning_tools
    )
    shop = replace(shop, crib=replace(shop.crib, turning_tools=tools))
    with pytest.raises(InputError, match="kind dishing into the crib"):
        list(prove_job(job, shop, METRIC, lambda _: None))


def test_a_dish_too_shallow_for_the_dials_is_refused_and_left_to_a_control(tmp_path: Path) -> None:
    # at R 51 and 10.9 across 0.028 mm of depth, what these dials leave open, are 0.53 mm of it
    shallow = (DISH, "radius = 51\nchord = 10.9 ")
    with pytest.raises(InputError, match=r"0\.028 mm of depth.*are 0\.53 mm of it"):
        made(tmp_path, shallow, machine=INCH_DIALS)
    assert made(tmp_path, shallow, machine=PROGRAM).report.ok
