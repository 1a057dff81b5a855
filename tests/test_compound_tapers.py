"""Tapers by the compound: swung by an indicator, tried, measured, put right; and slips found."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import fields, replace
from functools import cache, partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import jsonschema
import pytest

from pathgen.commands.loading import load
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof, form_for
from pathgen.input.where import Faults, InputError
from pathgen.job.load import load_job
from pathgen.job.turning.edges import TurnedEdge
from pathgen.moves.actions import FitCutter, SwingSlide
from pathgen.moves.moves import Feed, Rapid
from pathgen.reckon.tapers import angle_from_square, set_over_exact
from postprocessors.dials import steps
from postprocessors.dials.cases import Case
from postprocessors.dials.faces.json import dump_sheet, load_sheet
from postprocessors.dials.faces.swinging import said_of_swinging
from postprocessors.dials.replay import replay
from postprocessors.dials.steps import Sheet, SwingStep
from tests.printed import examples
from tests.read_jobs import the_shop
from tests.turned_demos import Edit, codes_after
from tests.turned_demos import changed as demo_changed
from tests.turned_demos import made as demo_made

SPINDLE = Path(__file__).parents[1] / "jobs" / "press-spindle.toml"
METRIC, INCH_DIALS, PROGRAM = "bench-lathe-metric", "bench-lathe-inch", "converted-lathe"
SLOPE = math.atan(1 / 24)  # 1 in 12 on the diameter, in radians
NOSE = 0.4  # of the knife tool, mm
TAPER = '[[setup.feature]]\nkind = "taper"'
WAY = 'way = "compound"              # on a lathe with handles: the'
TEXT = SPINDLE.read_text(encoding="utf-8")
LAND = "{ diameter = 19.85, diameter_limits = [19.74, 19.96], to = 56 }"
THREAD = TEXT[TEXT.index('[[setup.feature]]\nkind = "screw-cut"') : TEXT.index(TAPER)]
changed, made = partial(demo_changed, SPINDLE), partial(demo_made, SPINDLE)


@cache
def spindle(machine: str) -> Proof:
    """Return the spindle as made on a lathe, without its thread, which would only cost time."""
    with TemporaryDirectory() as folder:
        return made(Path(folder), (THREAD, ""), machine=machine)


def sheet_of(machine: str) -> Sheet:
    """Return the sheet of the spindle on a lathe with handles."""
    return load_sheet(spindle(machine).text, "sheet")


def slanted(items: Iterable[object]) -> Iterator[tuple[tuple[float, float], Feed]]:
    """Yield each cut that goes across and along at once, with the place (x, z) it begins at."""
    x, z = math.nan, math.nan
    for item in items:
        if isinstance(item, FitCutter | SwingSlide):
            x, z = math.nan, math.nan
        elif isinstance(item, Rapid | Feed):
            if isinstance(item, Feed) and abs(item.x - x) > 1e-6 and abs(item.z - z) > 1e-6:
                yield (x, z), item
            x = x if math.isnan(item.x) else item.x
            z = z if math.isnan(item.z) else item.z


# ---------------------------------------------------------------------- what is made


@pytest.mark.parametrize("machine", [METRIC, INCH_DIALS, PROGRAM])
def test_the_spindles_taper_is_proved_on_each_lathe(machine: str) -> None:
    report = spindle(machine).report
    assert report.ok
    assert not [each for each in report.findings if each.severity == "finding"]
    sizes = {each.quantity: each for each in report.sizes if each.feature == "hub seat"}
    assert set(sizes) == {"off its line", "taper over its length"}
    beside, growth = sizes["off its line"], sizes["taper over its length"]
    assert -0.015 < beside.least <= beside.most < 0.015
    assert growth.least == pytest.approx(18 / 12, abs=0.002)
    # 0.15 degrees to either side of atan(1/24), over 18 mm on the diameter
    for limit, off in ((growth.wanted.low, -0.15), (growth.wanted.high, 0.15)):
        assert limit == pytest.approx(36 * math.tan(SLOPE + math.radians(off)), abs=1e-9)
    assert (growth.uncertainty > 0.02) == (machine != PROGRAM)  # an angle set by hand is in doubt


@pytest.mark.parametrize("machine", [METRIC, INCH_DIALS])
def test_the_noses_circle_runs_along_the_flank(machine: str) -> None:
    run = spindle(machine).run
    cuts = list(slanted(run.items))
    assert len(cuts) == 3  # one that is tried, two to the line
    (x, z), last = cuts[-1]
    assert math.atan2(last.x - x, z - last.z) == pytest.approx(SLOPE, abs=1e-4)
    for at_x, at_z in ((x, z), (last.x, last.z)):  # the flank goes through x 8 at z -18
        centre_x, centre_z = at_x + NOSE, at_z + NOSE
        off = (centre_x - 8.0) * math.cos(SLOPE) + (centre_z + 18.0) * math.sin(SLOPE)
        assert off == pytest.approx(NOSE, abs=0.012)
    assert z > 0.5  # it begins clear of the end


def test_the_indicator_is_said_to_rise_by_the_sine_of_the_way() -> None:
    first, second = (each for each in sheet_of(METRIC).steps if isinstance(each, SwingStep))
    assert first.over == 30.0
    assert first.rise == pytest.approx(30 * math.sin(SLOPE), abs=1e-9)
    assert (first.against, first.measure) == ("turned", "")
    # 10 mm by the carriage at 1/24; 9 mm (6 turns of 1.5) along the compound put it right
    assert second.expected == pytest.approx(10 / 24, abs=1e-9)
    assert (second.over, second.rise, second.measure) == (9.0, 0.0, "A1")
    found = 10 * math.tan(SLOPE + math.radians(0.2))
    turned = math.asin((second.factor * (found - second.expected)) / 9.0)
    assert math.degrees(turned) == pytest.approx(-0.2, abs=0.002)


@pytest.mark.parametrize("off", [-0.05, 0.05])
def test_a_compound_that_was_set_wrong_is_put_right_by_what_is_found(off: float) -> None:
    sheet, machine = sheet_of(METRIC), the_shop().machines[METRIC]
    found = 10 / 24 + off
    case = Case(play=1, slack=1, found=(("A1", found),))
    run = replay(sheet, machine, case, file="sheet")
    assert not run.troubles
    (x, z), tried = next(slanted(run.items))
    assert (tried.x - x) / (z - tried.z) == pytest.approx(found / 10, abs=1e-6)
    *_, ((x, z), last) = slanted(run.items)
    assert math.atan2(last.x - x, z - last.z) == pytest.approx(SLOPE, abs=2e-5)


def test_the_sheet_says_how_it_is_set_and_tried() -> None:
    proof = spindle(METRIC)
    text = " ".join(form_for(proof.place.machine).faces(proof)[".txt"].split())
    for words in (
        "OUT, away from the axis, 2 degrees 23 minutes from the axis",
        "its scale then shows 2.39 where its 0 lies along the axis, 87.61 where it lies square",
        "over 30.000 mm (1.1811 in) of the compound (20 turns)",
        "it must show 1.249 mm",
        "the tool stands square to the axis again",
        "set it to 0",
        "marking blue",
        "wind it once through its whole way, and turn the chuck by hand",
        "1 mm of depth is 0.083 mm",
    ):
        assert words in text


@pytest.mark.parametrize("angle", [45.0, 30.0])
def test_a_scale_that_is_square_at_0_shows_what_is_left_of_90(angle: float) -> None:
    first = next(each for each in sheet_of(METRIC).steps if isinstance(each, SwingStep))
    said = " ".join(said_of_swinging(replace(first, angle_deg=angle), sheet_of(METRIC)))
    assert f"{angle_from_square(angle):.2f} where it lies square" in said


def test_on_inch_dials_lengths_are_set_by_the_compound_before_it_is_swung() -> None:
    raw = json.loads(spindle(INCH_DIALS).text)
    swings = [i for i, each in enumerate(raw["steps"]) if each["kind"] == "swing"]
    along = [each["slides"][-1] for each in raw["steps"][: swings[0]] if each["kind"] == "work by"]
    assert along == ["compound", "carriage", "compound", "carriage"]
    assert all(
        "compound" not in each["slides"]
        for each in raw["steps"][swings[0] :]
        if each["kind"] == "work by"
    )


def test_a_second_diameters_taper_is_proved_behind_a_crown(tmp_path: Path) -> None:
    crown = '[[setup.feature]]\nkind = "crown"\nname = "end"\nof = "spindle"\nradius = 40\n'
    second = (
        (LAND, "{ diameter = 22, to = 56 }"),
        (THREAD, ""),
        ("length = 18\n", "step = 2\nlength = 24\n"),
        (
            TAPER,
            f"{crown}file_to_line = 0.12\n\n{TAPER}",
        ),
    )
    assert made(tmp_path, *second, machine=METRIC).report.ok


# ---------------------------------------------------------------------- slips


def swings(steps: list[dict[str, Any]]) -> list[int]:
    """Return where a sheet swings the compound."""
    return [i for i, each in enumerate(steps) if each["kind"] == "swing"]


def along_taper(steps: list[dict[str, Any]]) -> list[int]:
    """Return where a sheet cuts by the compound."""
    return [
        i for i, each in enumerate(steps) if each.get("slide") == "compound" and each.get("cut")
    ]


def _leave_out(steps: list[dict[str, Any]], *indices: int) -> None:
    """Put words in the place of steps, so that headings stay where they are."""
    for index in indices:
        steps[index] = {"kind": "note", "number": 1, "text": "left out"}


def _rise(steps: list[dict[str, Any]]) -> None:
    steps[swings(steps)[0]]["rise"] += 0.05


def _another_angle(steps: list[dict[str, Any]]) -> None:
    for index in swings(steps):
        steps[index]["angle_deg"] += 0.3
    first = steps[swings(steps)[0]]
    first["rise"] = first["over"] * math.sin(math.radians(first["angle_deg"]))


def _factor(steps: list[dict[str, Any]]) -> None:
    steps[swings(steps)[1]]["factor"] *= -1


def _not_put_right(steps: list[dict[str, Any]]) -> None:
    steps[swings(steps)[1]]["factor"] = 0.0


def _carriage_free(steps: list[dict[str, Any]]) -> None:
    locks = steps[along_taper(steps)[0] - 1]
    assert locks["kind"] == "lock"
    locks["slides"] = ["cross slide"]


def _a_turn_less(steps: list[dict[str, Any]]) -> None:
    steps[along_taper(steps)[-1]]["passes"] -= 1


def _a_turn_shorter(steps: list[dict[str, Any]]) -> None:
    for index in along_taper(steps):
        cut = steps[index]
        cut["passes"], cut["reading"] = cut["passes"] - 1, cut["reading"] - 300
        cut["place"] += 1.5
        past = next(each for each in steps[index:] if each.get("slack") == "past")
        past["passes"] -= 1


def _spindle_on(steps: list[dict[str, Any]]) -> None:
    stop = max(
        i for i in range(swings(steps)[0]) if steps[i]["kind"] == "spindle" and steps[i]["rpm"] == 0
    )
    _leave_out(steps, stop)


def _not_back(steps: list[dict[str, Any]]) -> None:
    back = [i for i, each in enumerate(steps) if each.get("what", "").startswith("back to 0")]
    _leave_out(steps, back[0] - 1, back[0])


def _worked_by(steps: list[dict[str, Any]]) -> None:
    parting = max(i for i, each in enumerate(steps) if each["kind"] == "fit")
    steps.insert(parting, {"kind": "work by", "number": 1, "slides": ["cross slide", "compound"]})


def _no_zero(steps: list[dict[str, Any]]) -> None:
    touch = next(
        i
        for i in range(swings(steps)[1], len(steps))
        if steps[i]["kind"] == "touch" and steps[i]["slide"] == "carriage"
    )
    _leave_out(steps, touch, touch + 1)


def _deeper(steps: list[dict[str, Any]]) -> None:
    last = max(i for i, each in enumerate(steps) if "2 of 2 to the line" in each.get("what", ""))
    steps[last]["dial"] += 12  # 0.06 mm on the radius
    steps[last]["reading"] += 12
    steps[last]["rule"]["base"] += 12
    steps[last]["place"] -= 0.06


@pytest.mark.parametrize(
    ("edit", "code"),
    [
        (_rise, "figure"),
        (_another_angle, "size"),
        (_factor, "size"),
        (_not_put_right, "size"),
        (_carriage_free, "unlocked"),
        (_a_turn_less, "miscounted"),
        (_a_turn_shorter, "size"),
        (_spindle_on, "spindle"),
        (_not_back, "figure"),
        (_worked_by, "swung"),
        (_no_zero, "no-zero"),
        (_deeper, "size"),
    ],
)
def test_a_slip_in_the_sheet_is_found(edit: Edit, code: str) -> None:
    assert code in codes_after(spindle(METRIC), edit)


def _words(steps: list[dict[str, Any]]) -> None:
    for index in along_taper(steps):
        steps[index]["what"] = "all along it"


def _nearer(steps: list[dict[str, Any]]) -> None:
    """Prove the angle over half of the way, with half of the rise."""
    first = steps[swings(steps)[0]]
    first["over"], first["rise"] = first["over"] / 2, first["rise"] / 2


def _told_again(steps: list[dict[str, Any]]) -> None:
    locks = [i for i, each in enumerate(steps) if each["kind"] == "swing"]
    steps[locks[0] - 1] = {"kind": "unlock", "number": 1, "slides": ["compound", "cross slide"]}


@pytest.mark.parametrize("edit", [_words, _nearer, _told_again])
def test_a_harmless_edit_finds_nothing(edit: Edit) -> None:
    assert codes_after(spindle(METRIC), edit) == set()


def test_a_compound_that_does_not_go_so_far_is_found() -> None:
    proof = spindle(METRIC)
    machine = proof.place.machine
    short = tuple(
        replace(each, travel=15.0) if each.name == "compound" else each for each in machine.slides
    )
    place = replace(proof.place, machine=replace(machine, slides=short))
    report = prove_text(place, proof.text, "sheet", lambda _: None).report
    found = [each for each in report.findings if each.code == "travel"]
    assert [each.what for each in found] == ["the compound would go 19.4 mm, and goes 15.0 mm"]


# ---------------------------------------------------------------------- what is refused


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        (WAY, 'way = "topslide" #', 'way: "topslide"'),
        ("angle_within_deg = 0.15", "file_to_line = 0.1", "crests to be filed"),
        ("length = 18\n", "length = 9\n", "too short to measure its angle by"),
        (WAY, 'way = "steps" #', "a limit for a taper that is cut along its line"),
        ("angle_within_deg = 0.15", "line_within = 0", "line_within"),
        ("angle_within_deg = 0.15", "angle_within_deg = 4", "angle_within_deg"),
    ],
)
def test_keys_that_do_not_go_together_are_refused(
    tmp_path: Path, before: str, after: str, said: str
) -> None:
    faults = Faults()
    load_job(changed(tmp_path, (before, after)), faults)
    with pytest.raises(InputError, match=re.escape(said)):
        faults.raise_any()


def test_a_taper_longer_than_the_compound_goes_is_refused_with_what_would_do(
    tmp_path: Path,
) -> None:
    job = load_job(
        changed(
            tmp_path,
            ("to = 22 }", "to = 52 }"),
            ("to = 56 }", "to = 57 }"),
            (THREAD, ""),
            ("length = 18\n", "length = 46\n"),
        ),
        Faults(),
    )
    assert job is not None
    shop = the_shop()
    machine = shop.machines[METRIC]
    slides = tuple(
        replace(each, travel=40.0) if each.name == "compound" else each for each in machine.slides
    )
    shop = replace(shop, machines={**shop.machines, METRIC: replace(machine, slides=slides)})
    # 40 less a turn of 1.5 along it, less what it begins before the end and the nose's own way
    said = r"would go 48\.\d mm, and goes 40\.0 mm; make it 37\.1 mm long or less"
    with pytest.raises(InputError, match=said):
        list(prove_job(job, shop, METRIC, lambda _: None))


def test_a_tailstock_set_over_is_refused_with_the_figure(tmp_path: Path) -> None:
    over = set_over_exact(1 / 12, 84.0)
    assert over == pytest.approx(84 * math.sin(SLOPE), abs=1e-9)
    said = f"would be bent.*goes {over:.3f} mm towards you for 84 mm"
    with pytest.raises(InputError, match=said):
        made(tmp_path, (WAY, 'way = "set-over" #'), machine=METRIC)


def test_between_centres_too_the_tailstock_is_not_set_over_yet(tmp_path: Path) -> None:
    shaft = SPINDLE.with_name("lever-shaft.toml").read_text(encoding="utf-8")
    before = '\n[[setup]]\nname = "short journal"'
    assert before in shaft
    taper = (
        '\n[[setup.feature]]\nkind = "taper"\nname = "end taper"\nof = "long journal"\n'
        'length = 30\none_in = 20\nway = "set-over"\n'
    )
    path = tmp_path / "shaft.toml"
    path.write_text(shaft.replace(before, f"{taper}{before}", 1), encoding="utf-8")
    job = load_job(path, Faults())
    assert job is not None
    # 1 in 20 over the 130 mm from end to end: the sine of half of the angle
    over = 130 * math.sin(math.atan(1 / 40))
    with pytest.raises(InputError, match=f"no cuts are planned so yet.*goes {over:.3f} mm"):
        list(prove_job(job, the_shop(), METRIC, lambda _: None))


def test_a_lathe_without_a_compound_refuses_it() -> None:
    job, shop = load(SPINDLE)
    machine = shop.machines[METRIC]
    assert machine.lathe is not None
    bare = replace(machine, lathe=replace(machine.lathe, compound=""))
    shop = replace(shop, machines={**shop.machines, METRIC: bare})
    with pytest.raises(InputError, match="its file names none"):
        list(prove_job(job, shop, METRIC, lambda _: None))


def test_a_fine_length_after_the_compound_is_swung_is_refused(tmp_path: Path) -> None:
    fine = ("length = 54", "length = 54\nlength_limits = [53.95, 54.05]")
    with pytest.raises(InputError, match="the compound being swung for 'hub seat'"):
        made(tmp_path, fine, (THREAD, ""), machine=METRIC)


@pytest.mark.parametrize("row", examples("tapers", "half-angle", "taper-per-inch"))
def test_the_compound_is_swung_to_the_printed_angle(tmp_path: Path, row: dict[str, Any]) -> None:
    given, expected = row["given"], row["expected"]
    if "taper_per_foot" in given:
        taper, half_deg = given["taper_per_foot"] / 12, expected["half_angle_deg"]
        within = row["within"]["half_angle_deg"]
    else:
        taper, half_deg = expected["taper_per_inch"], given["included_angle_deg"] / 2
        within = math.degrees(row["within"]["taper_per_inch"])  # on the diameter: twice the angle's
    path = changed(tmp_path, ("one_in = 12 ", f"one_in = {1 / taper:.9f} "))
    job = load_job(path, Faults())
    assert job is not None
    edge = next(e for e in job.setups[0].features if isinstance(e, TurnedEdge))
    assert edge.angle_deg == pytest.approx(half_deg, abs=within)


def test_a_sheet_that_swings_a_slide_survives_its_json_and_keeps_to_its_schema() -> None:
    sheet = sheet_of(METRIC)
    text = dump_sheet(sheet)
    assert load_sheet(text, "sheet") == sheet
    schema = json.loads(
        (Path(steps.__file__).parent / "faces" / "sheet.schema.json").read_text(encoding="utf-8")
    )
    jsonschema.validate(json.loads(text), schema)
    assert set(schema["$defs"]["swing"]["properties"]) == {
        "kind",
        *(each.name for each in fields(SwingStep)),
    }
