"""Crowned ends, rounded and chamfered edges on the shipped lathes; and that slips are found."""

from __future__ import annotations

import json
import math
import re
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from pathgen.commands.workplace import form_for
from pathgen.input.where import Faults, InputError
from pathgen.job.load import load_job
from pathgen.moves.moves import Feed
from pathgen.reckon.edge_steps import Place, RoundEdge, StepsWanted, StraightEdge, steps_along
from pathgen.reckon.rounds import ball_step, cusp_on_round
from postprocessors.gcode.turned_reader import read_turned_program
from tests.turned_demos import changed, codes_of, demo, made

FOOT = Path(__file__).parents[1] / "jobs" / "screw-foot.toml"
SPINDLE = FOOT.with_name("press-spindle.toml")
METRIC, INCH_DIALS, PROGRAM = "bench-lathe-metric", "bench-lathe-inch", "converted-lathe"
LATHES = (METRIC, INCH_DIALS, PROGRAM)
STEPPED = (
    ('way = "compound"              # on a lathe with handles: in', "# straight in, not in"),
    (
        'way = "compound"              # on a lathe with handles: the',
        "file_to_line = 0.12  # and not by the compound:",
    ),
    ("angle_within_deg = 0.15", ""),
)  # the taper of the spindle in steps, and its thread straight in
OUT = 10.0  # radius of the diameter that edges end at
RADIUS, HALF = 88.1, 15.0  # of the crown, and of the diameter that it is on
CHAMFERED = 'kind = "chamfer"\nname = "edge of the collar"\nof = "foot"\nstep = 2\nwidth = 1.5'
ROUNDED = (
    'kind = "rounded"\nname = "edge of the collar"\nof = "foot"\n'
    "step = 2                      # the second diameter from the right\nradius = 1.5"
)
HOLE = (
    '[[setup.feature]]\nkind = "drilled"\nname = "hole"\ndiameter = 8\ndepth = 10\n'
    "[[setup.feature]]\n"
)


foot = partial(demo, FOOT)


# ---------------------------------------------------------------------- where steps stop


def crest_by_points(edge: RoundEdge | StraightEdge, steps: list[Place], nose: float) -> float:
    """Return the highest that stays over an edge, by many points of the tool's outline.

    The nose and its upright leading edge are laid down at each step, each cut a sweep to the right;
    what is left at a height is bounded by the step that goes furthest there.
    """
    worst = 0.0
    for low, high in pairwise([edge.at(0.0, 0.0, 0.0)[1], *(x for _, x in steps), OUT]):
        for count in range(400):
            x = low + (high - low) * count / 400
            reached = [
                z + nose - math.sqrt(nose**2 - max(0.0, nose - (x - own)) ** 2)
                for z, own in steps
                if x >= own
            ]
            worst = max(worst, edge.off((min([0.0, *reached]), x)))
    return worst


def test_a_pointed_tools_steps_on_a_ball_are_those_of_a_closed_formula() -> None:
    # the corner between two steps lies on the circle of R + c: so x^2 grows by the same each step
    ball = RoundEdge(centre=(-12.0, 0.0), radius=12.0, last_deg=90.0)
    wanted = StepsWanted(
        face=0.0, out=12.0, nose=0.0, approach_deg=90.0, off=0.0, crest=0.5, deepest=12.0
    )
    steps = steps_along(ball, wanted)
    for number, (z, x) in enumerate(steps, start=1):
        assert x == pytest.approx(math.sqrt(number * 0.5 * (2 * 12.0 + 0.5)), abs=1e-6)
        assert math.hypot(z + 12.0, x) == pytest.approx(12.0, abs=1e-9)
    assert len(steps) == math.floor(12.0**2 / (0.5 * 24.5))


def test_a_round_noses_places_are_those_of_the_step_off_table() -> None:
    ball = RoundEdge(centre=(-10.0, 0.0), radius=10.0, last_deg=90.0)
    for angle in (0.0, 30.0, 45.0, 60.0, 90.0):
        z, x = ball.at(angle / 90, 0.0, 0.8)
        step = ball_step(10.0, angle, 0.8)
        assert (-z, x) == pytest.approx((step.axial, step.radius), abs=1e-9)


@pytest.mark.parametrize("nose", [0.2, 0.4, 1.2])
@pytest.mark.parametrize("crest", [0.03, 0.1])
def test_crests_are_as_high_as_granted_and_no_higher(nose: float, crest: float) -> None:
    edges: list[RoundEdge | StraightEdge] = [
        RoundEdge(centre=(-10.0, 0.0), radius=10.0, last_deg=90.0),
        RoundEdge(centre=(-3.0, 7.0), radius=3.0, last_deg=90.0),
        StraightEdge(foot=(0.0, 6.0), top=(-4.0, 10.0)),
    ]
    for edge in edges:
        wanted = StepsWanted(
            face=0.0, out=OUT, nose=nose, approach_deg=90.0, off=0.0, crest=crest, deepest=9.0
        )
        found = crest_by_points(edge, list(steps_along(edge, wanted)), nose)
        assert 0.98 * crest <= found <= crest + 1e-6


def test_fine_steps_leave_the_cusps_of_a_round_nose() -> None:
    ball = RoundEdge(centre=(-10.0, 0.0), radius=10.0, last_deg=90.0)
    wanted = StepsWanted(
        face=0.0, out=10.0, nose=1.0, approach_deg=90.0, off=0.0, crest=0.004, deepest=9.0
    )
    steps = steps_along(ball, wanted)
    angles = [math.atan2(x + 1.0, z + 11.0) for z, x in steps]
    ways = [10.0 * (b - a) for a, b in pairwise(angles) if 0.6 < a < 1.0]
    assert ways
    for way in ways:  # where both noses are still round, clear of the flats
        assert cusp_on_round(1.0, way, 10.0) == pytest.approx(0.004, rel=1e-3)


def test_a_crest_below_what_steps_stay_off_is_no_crest() -> None:
    edge = StraightEdge(foot=(0.0, 6.0), top=(-4.0, 10.0))
    wanted = StepsWanted(
        face=0.0, out=10.0, nose=0.4, approach_deg=93.0, off=0.02, crest=0.02, deepest=1.0
    )
    with pytest.raises(ValueError, match="give more"):
        steps_along(edge, wanted)


# ---------------------------------------------------------------------- what is made


@pytest.mark.parametrize("machine", LATHES)
def test_the_foot_is_proved_with_its_edges_judged(machine: str) -> None:
    report = foot(machine).report
    assert report.ok
    assert {each.code for each in report.findings} <= {"uncertain"}  # of the dials, a caution
    filed = {each.feature: each for each in report.sizes if each.quantity == "to file"}
    assert set(filed) == {"bearing end", "edge of the collar"}
    for size in filed.values():
        assert -0.05 <= size.least <= size.most <= 0.12
        if machine == PROGRAM:
            assert size.most - size.least < 0.002  # an arc leaves nothing to file
        else:
            assert size.most > 0.09  # steps no finer than they have to be


def test_each_step_on_handles_stops_off_the_line_and_further_in() -> None:
    run = foot(METRIC).run
    ends = [
        each
        for each in run.items
        if isinstance(each, Feed) and -1.5 < each.z < -0.05 and 0.0 < each.x < HALF
    ]
    assert len(ends) > 8
    for move in ends:  # the nose's circle stays outside of the ball, by less than a division
        off = math.hypot(move.z + 0.4 + RADIUS, move.x + 0.4) - RADIUS - 0.4
        assert -0.001 <= off < 0.015
    assert [each.x for each in ends] == sorted((each.x for each in ends), reverse=True)


def test_the_arc_of_a_program_is_about_the_balls_middle_and_anticlockwise() -> None:
    text = foot(PROGRAM).text
    found = re.search(r"G0 X-0\.8\n.*\nG1 Z0\.0\n.*\nG3 X([\d.]+) Z(-[\d.]+) I(\S+) K(\S+)", text)
    assert found is not None
    x, z, across, along = (float(each) for each in found.groups())
    assert (across, along) == (0.0, -(RADIUS + 0.4))  # from the nose's place, not from the ball's
    meets = math.asin(HALF / RADIUS)
    assert x == pytest.approx(2 * ((RADIUS + 0.4) * math.sin(meets) - 0.4), abs=2e-4)
    assert z == pytest.approx(-(RADIUS + 0.4) * (1 - math.cos(meets)), abs=2e-4)


def test_what_is_filed_and_the_touch_after_a_crown_are_said() -> None:
    proof = foot(METRIC)
    text = " ".join(form_for(proof.place.machine).faces(proof)[".txt"].split())
    assert "File the crests off while the work turns" in text
    assert "the handle in the left hand" in text
    assert "in to the middle, where the crown has left the faced end" in text


@pytest.mark.parametrize("machine", [METRIC, PROGRAM])
@pytest.mark.parametrize("angle", [30, 60])
def test_a_chamfer_is_cut_in_steps_or_aslant(tmp_path: Path, machine: str, angle: int) -> None:
    changes = (ROUNDED, f"{CHAMFERED}\nangle_deg = {angle}")
    proof = made(FOOT, tmp_path, changes, machine=machine)
    assert proof.report.ok
    size = next(each for each in proof.report.sizes if each.feature == "edge of the collar")
    assert -0.01 < size.least <= size.most < 0.12


def test_a_diameter_that_springs_takes_its_edge_along(tmp_path: Path) -> None:
    own = (
        "{ diameter = 30, to = 14 }",
        "{ diameter = 30, diameter_limits = [29.95, 30], to = 14 }",
    )
    assert made(FOOT, tmp_path, own, machine=METRIC).report.ok


def test_a_ball_end_is_turned(tmp_path: Path) -> None:
    ball = (("radius = 88.1", "radius = 15"), ("to = 14 }", "to = 18 }"))
    proof = made(FOOT, tmp_path, *ball, machine=PROGRAM)
    assert proof.report.ok


# ---------------------------------------------------------------------- slips


@pytest.mark.parametrize(
    ("before", "after", "code"),
    [
        ("K-88.5", "K-86.5", "arc"),  # ends that are not equally far from the centre
        ("G3 X29.3362", "G2 X29.3362", "gouge"),
        ("G0 X-0.8\n(-- to the foot", "G0 X-2.8\n(-- to the foot", "arc"),
        ("Z-15.9 I0.0 K-1.9", "Z-15.4 I0.0 K-1.4", "left"),
    ],
)
def test_a_slip_in_an_arc_is_found(before: str, after: str, code: str) -> None:
    text = foot(PROGRAM).text
    assert before in text
    assert code in codes_of(foot(PROGRAM), text.replace(before, after, 1))


def test_an_arc_by_its_radius_or_with_other_spelling_is_the_same() -> None:
    text = foot(PROGRAM).text
    by_radius = text.replace("I0.0 K-88.5", "R88.5", 1).replace("G3 X38.0", "N7 G03 X38.", 1)
    assert by_radius != text
    assert codes_of(foot(PROGRAM), by_radius) == set()


def test_an_arc_on_a_lathe_wants_its_own_letters() -> None:
    text = foot(PROGRAM).text.replace("I0.0 K-88.5", "I0.0 J-88.5", 1)
    with pytest.raises(InputError, match="J in an arc of the z-x plane"):
        read_turned_program(text, x_words="diameter")


@pytest.mark.parametrize("step", ["step 1 of 3", "step 2 of 3"])
def test_a_wrong_reading_of_a_step_is_found(step: str) -> None:
    raw: dict[str, Any] = json.loads(foot(METRIC).text)
    at = next(i for i, each in enumerate(raw["steps"]) if each.get("what") == step)
    cut = next(i for i in range(at, len(raw["steps"])) if raw["steps"][i].get("cut"))
    raw["steps"][cut]["dial"] = (raw["steps"][cut]["dial"] + 20) % 300
    assert codes_of(foot(METRIC), json.dumps(raw))


# ---------------------------------------------------------------------- what is refused


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ("radius = 88.1", "radius = 12", "give half of the diameter"),
        ('of = "foot"\nradius', 'of = "boot"\nradius', "no profile 'boot' before it"),
        ("step = 2  ", "step = 3  ", "3 of 2 diameters"),
        ("radius = 1.5", "radius = 3.9", "of the face beside its corner"),
        ("radius = 1.5", "radius = 13", "of the face beside its corner"),
        ("step = 2  ", "step = 1  ", "an edge that has its shape already"),
        ("file_to_line = 0.12", "file_to_line = 5", "to file"),
        ('[[setup.feature]]\nkind = "parted"', f'{HOLE}kind = "parted"', "on an end with a hole"),
    ],
)
def test_an_edge_that_makes_no_sense_is_refused(
    tmp_path: Path, before: str, after: str, said: str
) -> None:
    faults = Faults()
    load_job(changed(FOOT, tmp_path, (before, after)), faults)
    with pytest.raises(InputError, match=re.escape(said)):
        faults.raise_any()


@pytest.mark.parametrize("granted", ["", "file_to_line = 0.025"])
def test_steps_want_leave_to_file(tmp_path: Path, granted: str) -> None:
    first = "file_to_line = 0.12           # the crests between the steps of a lathe with handles"
    with pytest.raises(InputError, match="file_to_line"):
        made(FOOT, tmp_path, (f"{first}, at most", granted), machine=METRIC)


# ---------------------------------------------------------------------- tapers


@pytest.mark.parametrize("machine", LATHES)
def test_a_taper_in_steps_is_proved(tmp_path: Path, machine: str) -> None:
    proof = made(SPINDLE, tmp_path, *STEPPED, machine=machine)
    assert proof.report.ok
    size = next(each for each in proof.report.sizes if each.feature == "hub seat")
    assert -0.015 < size.least <= size.most < (0.002 if machine == PROGRAM else 0.12)
    if machine == PROGRAM:  # the nose of 0.4 mm leads by its own radius along and across
        slope = math.atan(1 / 24)
        back = 0.4 * (1 - math.cos(slope))
        found = re.search(r"\n\(-- along the line, outwards\)\nG1 X([\d.]+) Z(-[\d.]+)", proof.text)
        assert found is not None
        x, z = (float(each) for each in found.groups())
        assert x == pytest.approx(2 * (8.0 - back), abs=2e-4)
        assert z == pytest.approx(-18.0 - 0.4 * (1 - math.sin(slope)), abs=2e-4)


@pytest.mark.parametrize(("length", "one_in"), [(12, 20), (5, 12)])
def test_a_taper_too_low_for_steps_is_cut_along_its_line_at_once(
    tmp_path: Path, length: int, one_in: int
) -> None:
    lower = ("length = 18\n", f"length = {length}\n"), ("one_in = 12", f"one_in = {one_in}")
    proof = made(SPINDLE, tmp_path, *STEPPED, *lower, machine=PROGRAM)
    assert proof.report.ok
    size = next(each for each in proof.report.sizes if each.feature == "hub seat")
    assert -0.015 < size.least <= size.most < 0.002
    assert "steps that leave" not in proof.text


def test_a_taper_that_would_all_be_filed_is_refused_with_what_to_grant(tmp_path: Path) -> None:
    lower = ("length = 18\n", "length = 5\n"), ("file_to_line = 0.12", "file_to_line = 0.5")
    # 5 mm at 1 in 12 rise 5 / 24 = 0.208 mm, as good as square to the line; half of that is 0.104
    said = "stands 0.208 mm over the line.*0.5 mm.*no more than 0.104 mm"
    with pytest.raises(InputError, match=said):
        made(SPINDLE, tmp_path, *STEPPED, *lower, machine=METRIC)
