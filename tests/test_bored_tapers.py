"""Tapers in bores: by the compound, a bar going out; by a control along a slant; slips found."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from shapely.geometry import Point

from pathgen.check.turning.tapers import taper_at_least, taper_at_most
from pathgen.commands.proving import Proof, form_for, load, prove_job, prove_text
from pathgen.input.where import Faults, InputError
from pathgen.job.bored_tapers import BoredTaper
from pathgen.job.load import load_job
from pathgen.moves.actions import FitCutter, SwingSlide
from pathgen.moves.moves import Feed, Rapid
from postprocessors.dials.cases import Case
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.replay import replay
from postprocessors.dials.steps import SwingStep
from tests.read_jobs import the_shop

BOSS = Path(__file__).parents[1] / "jobs" / "wheel-boss.toml"
METRIC, PROGRAM = "bench-lathe-metric", "converted-lathe"
SLOPE = math.atan(1 / 24)  # 1 in 12 on the diameter, in radians
NOSE = 0.2  # of the bar, mm
FOOT, MOUTH = 7.35, 7.35 + 14 / 24  # radii of the taper's two ends


@cache
def boss(machine: str) -> Proof:
    """Return the boss as made on a lathe."""
    job, shop = load(BOSS)
    (proof,) = prove_job(job, shop, machine, lambda _: None)
    return proof


def the_taper() -> BoredTaper:
    """Return the taper of the boss."""
    job, _ = load(BOSS)
    return next(e for e in job.setups[0].features if isinstance(e, BoredTaper))


def slanted(items: tuple[object, ...]) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Return each cut across and along at once: from which place (x, z) to which."""
    x, z, cuts = math.nan, math.nan, []
    for item in items:
        if isinstance(item, FitCutter | SwingSlide):
            x, z = math.nan, math.nan
        elif isinstance(item, Rapid | Feed):
            to = (x if math.isnan(item.x) else item.x, z if math.isnan(item.z) else item.z)
            if isinstance(item, Feed) and abs(to[0] - x) > 1e-6 and abs(to[1] - z) > 1e-6:
                cuts.append(((x, z), to))
            x, z = to
    return cuts


# ---------------------------------------------------------------------- what is made


@pytest.mark.parametrize("machine", [METRIC, PROGRAM])
def test_the_seat_is_proved_on_a_lathe(machine: str) -> None:
    report = boss(machine).report
    assert report.ok
    sizes = {(e.feature, e.quantity): e for e in report.sizes if "seat" in e.feature}
    beside = sizes["spindle seat", "off its line"]
    growth = sizes["spindle seat", "taper over its length"]
    mouth = sizes["spindle seat, at its mouth", "diameter"]
    assert len(sizes) == 3
    assert -0.03 < beside.least <= beside.most < 0.03
    assert growth.most == pytest.approx(14 / 12, abs=0.003)
    assert mouth.most == pytest.approx(2 * MOUTH, abs=0.01)
    assert mouth.wanted.high - mouth.wanted.low == pytest.approx(4 * 0.05 / math.cos(SLOPE))
    bore = next(e for e in report.sizes if e.feature == "bore")  # behind the taper alone
    assert bore.most == pytest.approx(14.7, abs=0.02)


@pytest.mark.parametrize(("machine", "within"), [(METRIC, 0.012), (PROGRAM, 0.001)])
def test_the_noses_circle_runs_along_the_flank(machine: str, within: float) -> None:
    (x, z), (end_x, end_z) = slanted(boss(machine).run.items)[-1]
    assert z > 0.5  # it begins clear of the end, and narrows towards the chuck
    assert math.atan2(x - end_x, z - end_z) == pytest.approx(SLOPE, abs=1e-4)
    for at_x, at_z in ((x, z), (end_x, end_z)):  # the flank goes through the mouth at z 0
        centre_x, centre_z = at_x - NOSE, at_z + NOSE
        off = (MOUTH - centre_x) * math.cos(SLOPE) + centre_z * math.sin(SLOPE)
        assert off == pytest.approx(NOSE, abs=within)
    # its nose touches the small end where its own slope is that of the flank
    assert end_z + NOSE - NOSE * math.sin(SLOPE) == pytest.approx(-14.0, abs=within)


def test_the_compound_goes_in_and_is_put_right_by_what_is_found() -> None:
    sheet = load_sheet(boss(METRIC).text, "sheet")
    first, second = (each for each in sheet.steps if isinstance(each, SwingStep))
    # 22.5 mm, 15 turns of 1.5, lie on the 34 of 26 mm; towards the axis is minus
    assert (first.over, first.against) == (22.5, "turned")
    assert first.rise == pytest.approx(-22.5 * math.sin(SLOPE), abs=1e-9)
    assert second.against == "bored taper"
    # a taper found 0.2 degrees too steep: towards the chuck it has to go out by as much
    found = 6 * math.tan(SLOPE + math.radians(0.2))
    rise = second.factor * (found - second.expected)
    assert math.degrees(math.asin(rise / second.over)) == pytest.approx(0.2, abs=0.002)


@pytest.mark.parametrize("off", [-0.03, 0.03])
def test_the_last_cut_follows_the_angle_that_is_measured(off: float) -> None:
    sheet = load_sheet(boss(METRIC).text, "sheet")
    found = 6 / 24 + off
    case = Case(play=1, slack=1, found=(("A1", found),))
    run = replay(sheet, boss(METRIC).place.machine, case, file="sheet")
    assert not run.troubles
    cuts = slanted(run.items)
    (x, z), (end_x, end_z) = cuts[0]
    assert (x - end_x) / (z - end_z) == pytest.approx(found / 6, abs=1e-6)
    (x, z), (end_x, end_z) = cuts[-1]
    assert math.atan2(x - end_x, z - end_z) == pytest.approx(SLOPE, abs=6e-5)


def test_the_sheet_says_how_it_is_set_and_tried() -> None:
    proof = boss(METRIC)
    text = " ".join(form_for(proof.place.machine).faces(proof)[".txt"].split())
    for words in (
        "IN, towards the axis, 2 degrees 23 minutes from the axis",
        "Take the bar out of the tool post",
        "its foot pressed in it is off by",
        "TOUCH the bore behind the taper, more than 14 mm deep",
        "its foot pressed in with a plus, come out with a minus",
        "15.867 mm across at its mouth",
        "At the mouth alone the taper in the bore is too slow",
        "1 mm of depth is 0.083 mm",
    ):
        assert words in text


def test_a_control_cuts_no_deeper_than_a_bar_may_and_never_beyond_the_line() -> None:
    cuts = slanted(boss(PROGRAM).run.items)
    at_the_mouth = [x for (x, _), _ in cuts]
    assert len(cuts) == 3
    assert at_the_mouth == sorted(at_the_mouth)  # going out
    assert all(deeper - x < 0.3 for x, deeper in pairwise(at_the_mouth))


def test_what_may_be_hollow_is_wider_than_what_has_to_be_by_the_limits_of_the_line() -> None:
    taper = the_taper()
    least, most = taper_at_least(taper), taper_at_most(taper)
    middle = Point(-7.0, (FOOT + MOUTH) / 2)  # on the line
    assert least.boundary.distance(middle) == pytest.approx(taper.beside, abs=1e-9)
    assert most.boundary.distance(middle) == pytest.approx(taper.beside, abs=1e-9)
    assert not least.contains(middle)
    assert most.contains(middle)


# ---------------------------------------------------------------------- slips

Steps = list[dict[str, Any]]


def swings(steps: Steps) -> list[int]:
    """Return where a sheet swings the compound."""
    return [i for i, each in enumerate(steps) if each["kind"] == "swing"]


def _the_other_way(steps: Steps) -> None:
    for index in swings(steps):
        steps[index]["angle_deg"] *= -1
    steps[swings(steps)[0]]["rise"] *= -1


def _factor(steps: Steps) -> None:
    steps[swings(steps)[1]]["factor"] *= -1


def _a_turn_less(steps: Steps) -> None:
    cut = max(i for i, e in enumerate(steps) if e.get("slide") == "compound" and e.get("cut"))
    steps[cut]["passes"] -= 1


@pytest.mark.parametrize(
    ("edit", "code"),
    [(_the_other_way, "size"), (_factor, "size"), (_a_turn_less, "miscounted")],
)
def test_a_slip_in_the_sheet_is_found(edit: Callable[[Steps], None], code: str) -> None:
    proof = boss(METRIC)
    raw = json.loads(proof.text)
    edit(raw["steps"])
    report = prove_text(proof.place, json.dumps(raw), "edited", lambda _: None).report
    assert code in {each.code for each in report.findings if each.severity == "finding"}


def test_a_program_that_cuts_too_wide_a_taper_is_found() -> None:
    proof = boss(PROGRAM)
    assert proof.text.count("X15.9663") == 1  # where the last cut begins
    text = proof.text.replace("X15.9663", "X16.2663")
    report = prove_text(proof.place, text, "edited", lambda _: None).report
    assert {"size", "gouge"} <= {e.code for e in report.findings if e.severity == "finding"}


# ---------------------------------------------------------------------- what is refused


RELIEF = """[[setup.feature]]
kind = "recess"
name = "relief"
diameter = 17
start = 15
width = 2

"""


def changed(folder: Path, before: str, after: str) -> Path:
    """Return a file of the boss's job in which words, which are there, were changed."""
    text = BOSS.read_text(encoding="utf-8")
    assert before in text
    path = folder / BOSS.name
    path.write_text(text.replace(before, after, 1), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ("length = 14", "length = 9", "too short to measure its angle by"),
        ("length = 14", "length = 17", "leave 3.701 mm of the bore behind it"),
        ("diameter = 34", "diameter = 18", "across at its mouth, in a face of"),
        ("one_in = 12 ", 'way = "steps"\none_in = 12 ', 'way: "steps"'),
        ("one_in = 12 ", "step = 2\none_in = 12 ", "step"),
        (
            '[[setup.feature]]\nkind = "parted"',
            f'{RELIEF}[[setup.feature]]\nkind = "parted"',
            "'bore' takes relief too",
        ),
    ],
)
def test_a_taper_that_there_is_no_room_for_is_refused(
    tmp_path: Path, before: str, after: str, said: str
) -> None:
    faults = Faults()
    load_job(changed(tmp_path, before, after), faults)
    with pytest.raises(InputError, match=re.escape(said)):
        faults.raise_any()


def test_a_bar_without_room_for_the_first_cut_is_refused(tmp_path: Path) -> None:
    # 1 in 1: 7 mm off the wall of 14.7, 0.67 to come off it: less than the bar's 8 mm are left
    job = load_job(changed(tmp_path, "one_in = 12 ", "one_in = 1 "), Faults())
    assert job is not None
    with pytest.raises(InputError, match="wants 8 mm across"):
        list(prove_job(job, the_shop(), METRIC, lambda _: None))
