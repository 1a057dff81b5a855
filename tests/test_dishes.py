"""Dishes and domes: read, planned, written, followed, checked against the exact envelope."""

from __future__ import annotations

import json
import math
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from pathgen.cli import run
from pathgen.commands.as_sheet import faces
from pathgen.commands.proving import prove_setup
from pathgen.commands.workplace import Proof, form_for
from pathgen.input.units import Units
from pathgen.input.where import Refusal
from pathgen.job.spheres import Sphere
from pathgen.moves.moves import Feed, TurnWork
from pathgen.reckon.spheres import generated_radius
from postprocessors.dials.faces.json import dump_sheet, load_sheet
from tests.dish_jobs import (
    dish_by_head,
    dish_on,
    dome_on,
    of_kind,
    place_of,
    report_of,
    seat_errors,
    seat_job,
    sheet_edited,
    wrong,
)
from tests.read_jobs import changed, job_from, the_shop
from tests.sphere_brute_force import TiltedWork, off_the_sphere

SCHEMA = json.loads(
    (
        Path(__file__).parents[1] / "postprocessors" / "dials" / "faces" / "sheet.schema.json"
    ).read_text(encoding="utf-8")
)
TILT = 30.0  # degrees, that the planner takes for the seat
THOU = "bench-mill-inch"
ANTICLOCKWISE = "anticlockwise"


def seat() -> Sphere:
    return seat_job().setups[0].spheres[0]


# ---------------------------------------------------------------- reading


def test_two_sizes_give_the_third_with_its_room() -> None:
    dish = seat()
    assert dish.depth.nominal == pytest.approx(6.8, abs=1e-3)
    assert dish.depth.low < 6.75 < 6.85 < dish.depth.high
    by_depth = seat_job(("radius = 88.4 ", "depth = 7.88 "), mated=False).setups[0].spheres[0]
    assert by_depth.radius.nominal == pytest.approx(77.29, abs=0.005)
    agreed = seat_job(("chord = 68", "chord = 68\ndepth = 6.8")).setups[0].spheres[0]
    assert agreed.aim[1] == pytest.approx(6.8, abs=1e-3)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (("chord = 68", ""), "radius of radius, chord and depth; give two"),
        (("chord = 68", "chord = 68\ndepth = 9"), "while radius and chord make it 6.8 mm"),
        (("chord = 68", "chord = 84"), "reaches out of the blank"),
        (("hole = 12", "hole = 70"), "takes away all of it"),
        (("radius = 88.4 ", "depth = 23.5 "), "deep in a blank 24 mm thick"),
        (("radius = 88.4 ", "radius = 30 "), "chord"),
        (("chord = 68", "chord = 68\ndepth_limit = 3"), "depth_limit"),
        (("chord = 68", "depth = 7\nchord_limits = [67, 69]"), "chord that is not given"),
        (('kind = "dish"', 'kind = "dome"'), "belongs on the lathe"),
    ],
)
def test_what_makes_no_dish_is_refused(change: tuple[str, str], says: str) -> None:
    assert says in seat_errors(change)


def test_what_lies_in_a_dish_tells_its_radius() -> None:
    dish = seat()  # the bar's underside has radius 88.1, and wants 0.05 to 0.55 mm of play
    assert (dish.radius.low, dish.radius.high) == pytest.approx((88.15, 88.65))
    depths = [r - math.sqrt(r**2 - (c / 2) ** 2) for r in (88.15, 88.65) for c in (67.7, 68.3)]
    assert (dish.depth.low, dish.depth.high) == pytest.approx((min(depths), max(depths)))
    (play,) = dish_on(THOU).report.plays
    assert play.ok
    assert play.least == pytest.approx(0.3, abs=0.05)
    by_depth = seat_job(("chord = 68", "depth = 6.8")).setups[0].spheres[0]
    assert by_depth.chord.low < 67.9 < 68.1 < by_depth.chord.high


def test_a_dish_has_a_setup_of_its_own() -> None:
    hole = '[[setup.feature]]\nkind = "holes"\nname = "oil hole"\nat = [37, 37]\ndiameter = 3\n'
    after = '[[setup]]\nname = "pin hole"'
    errors = seat_errors((after, f"{hole}depth = 5\n{after}"))
    assert "give it a setup of its own" in errors


# ---------------------------------------------------------------- the sheet


def test_the_setting_is_that_of_the_relation() -> None:
    steps = json.loads(dish_on(THOU).text)["steps"]
    (angle,), (sweep,) = of_kind(steps, "angle"), of_kind(steps, "sweep")
    assert angle["angle_deg"] == TILT
    nose = 0.4
    radius = generated_radius(sweep["sweep"] / 2 - nose, TILT, nose)
    assert radius == pytest.approx(88.4, abs=0.01)
    assert sweep["over"] == pytest.approx((sweep["sweep"] + 30) / 2)  # the body is 30 mm


def test_each_depth_is_a_pair_and_a_whole_turn() -> None:
    steps = json.loads(dish_on(THOU).text)["steps"]
    cuts = [s for s in steps if s.get("cut")]
    assert [c["end_deg"] - c["start_deg"] for c in cuts if c["kind"] == "turn"] == [360.0] * sum(
        c["kind"] == "turn" for c in cuts
    )
    pairs = [cuts[i : i + 3] for i in range(0, len(cuts) - 1, 3)]  # the last is the spring turn
    assert cuts[-1]["kind"] == "turn"
    for across, down, turn in pairs:
        assert (across["slide"], down["slide"], turn["kind"]) == ("table", "down feed", "turn")
        assert across["place"] / -down["place"] == pytest.approx(math.tan(math.radians(TILT)), 0.05)


def test_a_sheet_of_a_dish_survives_its_json() -> None:
    text = dish_on(THOU).text
    raw = json.loads(text)
    jsonschema.validate(raw, SCHEMA)
    assert {"angle", "sweep", "turn"} <= {step["kind"] for step in raw["steps"]}
    assert dump_sheet(load_sheet(text, "dish.json")) == text


def test_the_printed_sheet_tells_side_chord_and_pace() -> None:
    text = " ".join(faces(dish_on(THOU))[".txt"].split())
    assert "OVER THE LOW SIDE OF THE TILTED FACE, ON THE LEFT" in text
    assert "the rightmost place of its circle" in text
    assert "ONE WHOLE TURN" in text
    assert re.search(
        r"6\.8 mm deep; the chord is 67\.99\d? mm|6\.8 mm deep; the chord is 68 mm", text
    )
    assert "marks a dot and no ring" in text


def test_the_spindle_is_drawn_up_before_the_work_swings_up() -> None:
    steps = json.loads(dish_on(THOU).text)["steps"]
    (tilt,) = of_kind(steps, "angle")
    before = steps[steps.index(tilt) - 1]
    assert (before["kind"], before["slide"], before["way"]) == ("clear", "down feed", ANTICLOCKWISE)
    # a corner of the block, 56.6 mm off its axis, comes up by half of that at 30 degrees
    assert before["height"] >= 56.6 * 0.5 + 5.08
    assert "36 mm or more above the top face" in " ".join(faces(dish_on(THOU))[".txt"].split())


def test_the_point_is_brought_down_by_eye_to_find_the_axis() -> None:
    steps = json.loads(dish_on(THOU).text)["steps"]
    find = next(s for s in of_kind(steps, "touch") if s["face"] == "axis")
    before = steps[steps.index(find) - 1]
    assert (before["kind"], before["onto"]) == ("clear", "the blued middle of the face")
    assert before["way"] == "clockwise"


def up_instead_of_down(steps: list[dict[str, Any]]) -> None:
    next(s for s in steps if s.get("onto"))["way"] = ANTICLOCKWISE


def down_instead_of_up(steps: list[dict[str, Any]]) -> None:
    steps[steps.index(of_kind(steps, "angle")[0]) - 1]["way"] = "clockwise"


@pytest.mark.parametrize(
    ("edit", "code"), [(up_instead_of_down, "wrong-way"), (down_instead_of_up, "not-raised")]
)
def test_the_wrong_way_by_eye_is_found(edit: Any, code: str) -> None:
    assert code in {each.code for each in wrong(sheet_edited(edit, dish_on(THOU)))}


def test_a_chuck_has_no_parallels_and_the_job_s_units_are_kept() -> None:
    text = " ".join(faces(dish_on(THOU))[".txt"].split())
    assert "arallels" not in text
    assert "It stands 12 mm above the jaws, alike all round" in text
    job = replace(seat_job(mated=False), units="in")
    proof = prove_setup(place_of(job, the_shop().machines[THOU]), lambda _: None)
    told = next(each for each in proof.report.findings if each.code == "parts")
    assert " mm" not in told.what
    assert "within 0.0020 in" in told.what  # 0.05 mm, of the sweep


# ---------------------------------------------------------------- what the check finds


def test_dials_in_thou_leave_less_than_five_micrometres() -> None:
    report = dish_on(THOU).report
    departure = next(size for size in report.sizes if size.quantity == "departure")
    assert 0 < departure.most < 0.005
    told = next(each for each in report.findings if each.code == "parts")
    for part in ("tilt", "sweep", "centring", "axes", "first touch"):
        assert part in told.what


@pytest.mark.parametrize("feeds", ["knee", "quill"])
def test_a_tilted_head_cuts_the_same_dish(feeds: str) -> None:
    proof = dish_by_head(feeds)
    assert proof.report.ok, proof.report.findings
    winds = [s for s in json.loads(proof.text)["steps"] if s.get("cut") and s["kind"] == "wind"]
    sideways = [s for s in winds if s["slide"] == "table"]
    assert bool(sideways) is (feeds == "quill")
    assert not any(step.get("slack") for step in sideways)  # the slack is out all the way


def test_a_middle_that_is_gone_cannot_be_touched() -> None:
    there = '[[setup.feature]]\nkind = "holes"\nname = "old hole"\nthere = true\nat = [0, 0]\n'
    after = '[[setup]]\nname = "pin hole"'
    job = seat_job((after, f'{there}diameter = 10\ndepth = "through"\n{after}'), mated=False)
    with pytest.raises(Refusal, match="which is gone already"):
        prove_setup(place_of(job, the_shop().machines[THOU]), lambda _: None)


def test_compensation_left_out_leaves_the_pip_that_geometry_has() -> None:
    def left_out(steps: list[dict[str, Any]]) -> None:
        for step in [s for s in steps if s.get("cut") and s["kind"] == "wind"]:
            if step["slide"] == "table":
                steps.remove(step)

    without_hole = dish_on(THOU, (("hole = 12 ", "hole = 0 "),))
    report = sheet_edited(left_out, without_hole)
    pip = next(each for each in wrong(report) if each.code == "pip")
    # fed d along the spindle alone: a pip of radius d sin t; d = 6.8 cos t
    radius = 6.8 * math.cos(math.radians(TILT)) * math.sin(math.radians(TILT))
    across = float(re.search(r"([\d.]+) mm across", pip.what).group(1))  # type: ignore[union-attr]
    assert across == pytest.approx(2 * radius, abs=0.05)
    assert "radius" in {each.code for each in wrong(report)}


def no_turn(steps: list[dict[str, Any]]) -> None:
    for turn in of_kind(steps, "turn")[-2:]:
        steps.remove(turn)


def half_turn(steps: list[dict[str, Any]]) -> None:
    of_kind(steps, "turn")[4]["end_deg"] = 180.0


def other_tilt(steps: list[dict[str, Any]]) -> None:
    of_kind(steps, "angle")[0]["angle_deg"] = 32.0


def other_side(steps: list[dict[str, Any]]) -> None:
    of_kind(steps, "angle")[0]["towards"] = "right"


def too_sure(steps: list[dict[str, Any]]) -> None:
    of_kind(steps, "angle")[0]["uncertainty_deg"] = 0.01


def other_sweep(steps: list[dict[str, Any]]) -> None:
    sweep = of_kind(steps, "sweep")[0]
    sweep["sweep"] += 2.0
    sweep["over"] += 1.0


def over_mismatch(steps: list[dict[str, Any]]) -> None:
    of_kind(steps, "sweep")[0]["over"] += 0.5


def spindle_off(steps: list[dict[str, Any]]) -> None:
    steps.remove(next(s for s in of_kind(steps, "spindle") if s["rpm"] == 110))


def too_fast(steps: list[dict[str, Any]]) -> None:
    of_kind(steps, "turn")[6]["rate"] *= 4


def steps_left_out(steps: list[dict[str, Any]]) -> None:
    cuts = [s for s in steps if s.get("cut")]
    for step in cuts[12:21]:  # three pairs with their turns
        steps.remove(step)


def no_axis(steps: list[dict[str, Any]]) -> None:
    touch = next(s for s in of_kind(steps, "touch") if s["face"] == "axis")
    at = steps.index(touch)
    del steps[at : at + 2]  # and the setting of the dial after it


def following(steps: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return the steps that follow the measured chord."""
    return [step for step in steps if step.get("rule", {}).get("measure") == "M1"]


def expected_chord(steps: list[dict[str, Any]]) -> None:
    measure = of_kind(steps, "measure")[0]
    rules = [step["rule"] for step in following(steps)]
    for key in ("expected", "low", "high"):
        for each in (measure, *rules):
            each[key] -= 1.0


def rules_times(steps: list[dict[str, Any]], times: int) -> None:
    for step in following(steps):
        step["rule"]["factor"] *= times
        step["rule"]["per_mm"] *= times


def rule_turned_round(steps: list[dict[str, Any]]) -> None:
    rules_times(steps, -1)


def rule_twice_as_much(steps: list[dict[str, Any]]) -> None:
    rules_times(steps, 2)


def one_slide_follows(steps: list[dict[str, Any]]) -> None:
    following(steps)[0].pop("rule")


def none_follows(steps: list[dict[str, Any]]) -> None:
    for step in following(steps):
        del step["rule"]


@pytest.mark.parametrize(
    ("edit", "code"),
    [
        (no_turn, "turn"),
        (half_turn, "turn"),
        (other_tilt, "radius"),
        (other_side, "setting"),
        (too_sure, "setting"),
        (other_sweep, "radius"),
        (over_mismatch, "setting"),
        (spindle_off, "spindle"),
        (too_fast, "feed"),
        (steps_left_out, "depth of cut"),
        (no_axis, "setting"),
        (expected_chord, "measure"),
        (rule_turned_round, "follows"),
        (rule_twice_as_much, "follows"),
        (one_slide_follows, "follows"),
        (none_follows, "follows"),
    ],
)
def test_a_slip_on_the_sheet_is_found(edit: Any, code: str) -> None:
    assert code in {each.code for each in wrong(sheet_edited(edit, dish_on(THOU)))}


def other_words(steps: list[dict[str, Any]]) -> None:
    of_kind(steps, "turn")[3]["what"] = "slowly"


def slower(steps: list[dict[str, Any]]) -> None:
    for turn in of_kind(steps, "turn"):
        turn["rate"] /= 2


def one_more_turn(steps: list[dict[str, Any]]) -> None:
    last = of_kind(steps, "turn")[-1]
    steps.insert(steps.index(last), dict(last))


def the_other_way_round(steps: list[dict[str, Any]]) -> None:
    for turn in of_kind(steps, "turn"):
        turn["start_deg"], turn["end_deg"] = turn["end_deg"], turn["start_deg"]


@pytest.mark.parametrize("edit", [other_words, slower, one_more_turn, the_other_way_round])
def test_a_harmless_edit_is_no_finding(edit: Any) -> None:
    assert wrong(sheet_edited(edit, dish_on(THOU))) == []


# ---------------------------------------------------------------- by ball-nose


def edited_program(proof: Proof, pattern: str, to: str, nth: int = 0) -> str:
    """Return a program in which one of the lines that match is changed."""
    lines = proof.text.splitlines()
    at = [index for index, line in enumerate(lines) if re.search(pattern, line)][nth]
    lines[at] = re.sub(pattern, to, lines[at])
    return "\n".join(lines) + "\n"


def test_rings_keep_the_wanted_cusp() -> None:
    proof = dish_on("converted-mill")
    departure = next(size for size in proof.report.sizes if size.quantity == "departure")
    assert 0.001 < departure.most < 0.004  # half of the cusp of 0.005, and rounding
    rough = dish_on("converted-mill", (("hole = 12 ", "ways.cusp = 0.02\nhole = 12 "),))
    worse = next(size for size in rough.report.sizes if size.quantity == "departure")
    assert 0.008 < worse.most < 0.012


@pytest.mark.parametrize(
    ("pattern", "to", "code"),
    [
        (r"^(G1 X16\.\d+) Z-5\.\d+", r"\1 Z-6.0", "gouge"),
        (r"I-16\.\d+", "I-16.0", "ring"),
        (r"^G1 Z-1\.\d+ F\d+", "G1 Z-6.4 F54", "plunge"),
        (r"^S1450 M3", "M5", "spindle"),
    ],
)
def test_a_slip_in_the_program_is_found(pattern: str, to: str, code: str) -> None:
    proof = dish_on("converted-mill")
    found = {each.code for each in wrong(report_of(proof, edited_program(proof, pattern, to)))}
    assert code in found


def test_rings_left_out_leave_ridges() -> None:
    proof = dish_on("converted-mill")
    lines = proof.text.splitlines()
    first = next(i for i, line in enumerate(lines) if line.startswith("(-- ring 40 of"))
    last = next(i for i, line in enumerate(lines) if line.startswith("(-- ring 44 of"))
    report = report_of(proof, "\n".join([*lines[:first], *lines[last:]]) + "\n")
    assert "departure" in {each.code for each in wrong(report)}


# ---------------------------------------------------------------- by a fly cutter on a control

FLY = (("hole = 12 ", 'ways.by = "fly cutter"\nhole = 12 '),)


@pytest.mark.parametrize("machine", ["converted-mill"])
def test_a_control_goes_both_ways_at_once_and_stops_for_each_turn(machine: str) -> None:
    proof = dish_on(machine, FLY)
    stops = [line for line in proof.text.splitlines() if line.startswith("(stop, turn work")]
    pairs = re.findall(r"^G1 X([\d.]+) Z-([\d.]+)", proof.text, re.MULTILINE)
    assert len(stops) == len(pairs) + 1  # the spring turn
    for x, z in pairs:
        assert float(x) / float(z) == pytest.approx(math.tan(math.radians(TILT)), abs=1e-3)
    turns = [item for item in proof.run.items if isinstance(item, TurnWork)]
    assert len(turns) == len(stops)
    assert "only on a control that keeps it running there" in " ".join(proof.text.split())


@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_rotary_axis_turns_the_work_by_its_word(units: Units) -> None:
    own = the_shop().machines["converted-mill"]
    assert own.control is not None
    assert own.tilt is not None
    control = replace(own.control, rotary="A", units=units)
    proof = prove_setup(place_of(seat_job(*FLY), replace(own, control=control)), lambda _: None)
    assert proof.report.ok, proof.report.findings
    assert "turn work" not in proof.text
    turns = [item for item in proof.run.items if isinstance(item, TurnWork)]
    assert [turn.end_deg - turn.start_deg for turn in turns] == [360.0] * len(turns)
    assert turns[-1].end_deg == 360.0 * len(turns)
    rim = math.pi * 68.0 * turns[-1].rate / 360  # mm a minute; 0.1 mm at each turn of the spindle
    assert rim == pytest.approx(0.1 * 150, rel=0.02)


@pytest.mark.parametrize(
    ("pattern", "to", "code"),
    [
        (r"tilt 30 deg", "tilt 31 deg", "message"),
        (r"Turn the work from 0 to 360", "Turn the work from 0 to 300", "message"),
        (r"^(\(stop, turn work from 0 to )360", r"\g<1>180", "turn"),
        (r"sweep 88.8 mm", "sweep 90.0 mm", "message"),
        (r"^G1 X3\.4 Z-5\.889", "G1 X3.8 Z-5.889", "radius"),
        (r"^S150 M3", "M5", "spindle"),
    ],
)
def test_a_slip_in_such_a_program_is_found(pattern: str, to: str, code: str) -> None:
    proof = dish_on("converted-mill", FLY)
    found = {each.code for each in wrong(report_of(proof, edited_program(proof, pattern, to)))}
    assert code in found


# ---------------------------------------------------------------- domes


@pytest.mark.parametrize("machine", ["bench-mill-metric", "converted-mill"])
def test_a_dome_over_the_whole_face(machine: str) -> None:
    sizes = {size.quantity: size for size in dome_on(machine).report.sizes}
    assert sizes["radius"].least == pytest.approx(40.0, abs=0.08)
    assert sizes["departure"].most < 0.006


def test_a_dome_begins_at_the_rim_over_the_high_side() -> None:
    steps = json.loads(dome_on("bench-mill-metric").text)["steps"]
    assert any("OVER THE HIGH SIDE" in s["text"] for s in of_kind(steps, "note"))
    downs = [s for s in of_kind(steps, "wind") if s.get("cut") and s["slide"] == "down feed"]
    assert downs[0]["place"] > 2.0  # the rim of the block, 16.97 off the axis, is 3.78 lower
    assert downs[-1]["place"] == pytest.approx(-0.1 * math.cos(math.radians(40.0)), abs=0.02)


def into_metal(steps: list[dict[str, Any]]) -> None:
    down = next(s for s in of_kind(steps, "wind") if "just above the metal" in s.get("what", ""))
    down["passes"] += 2
    down["reading"] += 2 * 200 * (-1 if down["way"] == "clockwise" else 1)
    down["place"] -= 4.0


def test_a_way_in_the_air_into_metal_is_found() -> None:
    codes = {each.code for each in wrong(sheet_edited(into_metal, dome_on("bench-mill-metric")))}
    assert "rapid" in codes


# ---------------------------------------------------------------- the last pair follows a chord


@pytest.mark.parametrize("end", ["low", "high"])
def test_a_first_touch_that_was_off_comes_out_right_by_brute_force(end: str) -> None:
    proof = dish_on(THOU)
    (measure,) = of_kind(json.loads(proof.text)["steps"], "measure")
    runs = form_for(proof.place.machine).read_back(proof.place, proof.text, "dish", lambda _: None)
    followed = next(each for each in runs if dict(each.found).get("M1") == measure[end])
    feeds = [item for item in followed.items if isinstance(item, Feed)]
    lean = math.radians(TILT)

    def stands(feed: Feed, deeper: float) -> TiltedWork:
        along = 0.4 - deeper  # the nose's centre stands one nose off the face at the first touch
        tip = (feed.x - along * math.sin(lean), 0.0, feed.z + along * math.cos(lean))
        return TiltedWork(circle=44.0, tilt_deg=TILT, nose=0.4, dome=False, tip=tip)

    low, high = -0.2, 0.2  # by how much the touch was off, for the chord that is found
    while high - low > 1e-5:
        middle = (low + high) / 2
        wide = stands(feeds[-3], middle).height_at(measure[end] / 2) < 0
        low, high = (low, middle) if wide else (middle, high)
    assert abs(low) == pytest.approx(0.06, abs=0.01)  # that is what the chord may be out by
    # a pair of readings is rounded to half a thou each, before and after
    assert -stands(feeds[-1], low).height_at(0.2) == pytest.approx(6.8, abs=0.02)


def test_the_sheet_has_both_readings_follow_the_chord_in_proportion() -> None:
    rules = [step["rule"] for step in following(json.loads(dish_on(THOU).text)["steps"])]
    sideways, down = (rule["factor"] for rule in rules)
    # depth = R - sqrt(R^2 - c^2 / 4): c / 4 sqrt(R^2 - c^2 / 4) for each mm of the chord
    deeper = 67.275 / (4 * math.sqrt(88.4**2 - 67.275**2 / 4))
    assert math.hypot(sideways, down) == pytest.approx(deeper, rel=1e-3)
    assert abs(sideways / down) == pytest.approx(math.tan(math.radians(TILT)), rel=1e-6)
    text = " ".join(faces(dish_on(THOU))[".txt"].split())
    assert text.count("follows M1, see below") == 2


def test_the_sheet_names_the_command_that_tells_the_true_radius(
    capsys: pytest.CaptureFixture[str],
) -> None:
    text = " ".join(faces(dish_on(THOU))[".txt"].split())
    (said,) = re.findall(r"`pathgen (reckon sphere-found [^`]*)`", text)
    typed = said.replace("CHORD", "67.275").replace("DEPTH", "6.65").replace("PIP", "0")
    with pytest.raises(SystemExit) as ended:
        run(typed.split())
    assert ended.value.code in (0, None)
    told = capsys.readouterr().out
    # half of (67.275 / 2)^2 / 6.65 + 6.65 is 88.40
    assert re.search(r"true radius\s+88\.40 mm", told)
    assert re.search(r"as it was set\s+88\.40 mm", told)


def test_on_a_control_nothing_follows_by_hand() -> None:
    assert "follows" not in dish_on("converted-mill", FLY).text


# ---------------------------------------------------------------- random dishes


def dish_text(radius: float, chord: float, tilt_deg: float) -> tuple[tuple[str, str], ...]:
    return (
        ("radius = 88.4 ", f"radius = {radius} "),
        ("chord = 68", f"chord = {chord}\nways.tilt_deg = {tilt_deg}"),
        ("hole = 12 ", "hole = 0 "),
        ("thickness = 24", "thickness = 60"),
    )


@settings(max_examples=6, deadline=None)
@given(tilt_deg=st.floats(10, 60), sweep=st.floats(38, 96), share=st.floats(0.3, 0.8))
def test_random_dishes_are_those_of_brute_force(
    tilt_deg: float, sweep: float, share: float
) -> None:
    tilt = round(tilt_deg, 1)
    radius = round(generated_radius(sweep / 2 - 0.4, tilt, 0.4), 2)
    half = min(2 * math.radians(tilt) * 0.95, math.pi / 3)
    chord = round(min(2 * radius * math.sin(share * half), 76.0), 1)
    if chord < 6:
        return
    place = place_of(
        seat_job(*dish_text(radius, chord, tilt), mated=False), the_shop().machines[THOU]
    )
    try:
        proof = prove_setup(place, lambda _: None)
    except Refusal:  # no cutter of the crib reaches it
        return
    steps = json.loads(proof.text)["steps"]
    (made,) = of_kind(steps, "sweep")
    last = {s["slide"]: s["place"] for s in steps if s["kind"] == "wind" and s.get("cut")}
    circle, lean = made["sweep"] / 2 - 0.4, math.radians(tilt)
    # the nose's centre stands one nose off the face at the first touch, square to it
    judge = TiltedWork(
        circle=circle,
        tilt_deg=tilt,
        nose=0.4,
        dome=False,
        tip=(
            last["table"] - 0.4 * math.sin(lean),
            0.0,
            last["down feed"] + 0.4 * math.cos(lean),
        ),
    )
    depth = next(size for size in proof.report.sizes if size.quantity == "depth")
    rim = next(size for size in proof.report.sizes if size.quantity == "chord")
    # in the cases the readings that follow the chord are rounded otherwise
    assert depth.least - 0.01 <= -judge.height_at(0.2) <= depth.most + 0.01
    assert judge.height_at(rim.most / 2) == pytest.approx(0.0, abs=0.03)
    worst = next(size for size in proof.report.sizes if size.quantity == "departure")
    assert worst.most < 0.05


@settings(max_examples=4, deadline=None, phases=[Phase.explicit, Phase.generate])
@given(tilt_deg=st.floats(10, 40), sweep=st.floats(24, 58))
def test_random_domes_are_those_of_brute_force(tilt_deg: float, sweep: float) -> None:
    tilt, nose = round(tilt_deg, 1), 0.4
    radius = round(generated_radius(sweep / 2 + nose, tilt, nose, "dome"), 2)
    changes = (
        ("radius = 40", f"radius = {radius}\nways.tilt_deg = {tilt}"),
        ("chord = 36", f"chord = {min(36.0, 1.9 * radius):.1f}"),
    )
    text = (Path(__file__).parent / "dome_job.toml").read_text(encoding="utf-8")
    place = place_of(job_from(changed(text, *changes), "rest"), the_shop().machines[THOU])
    try:
        proof = prove_setup(place, lambda _: None)
    except Refusal:  # no cutter of the crib reaches it
        return
    steps = json.loads(proof.text)["steps"]
    (made,) = of_kind(steps, "sweep")
    last = {s["slide"]: s["place"] for s in steps if s["kind"] == "wind" and s.get("cut")}
    lean = math.radians(tilt)
    tip = (
        last["table"] - nose * math.sin(lean),
        0.0,
        last["down feed"] + nose * math.cos(lean),
    )
    judge = TiltedWork(
        circle=made["sweep"] / 2 + nose, tilt_deg=tilt, nose=nose, dome=True, tip=tip
    )
    corner = math.hypot(12, 12)
    rows = [0.1 + (corner - 0.1) * row / 40 for row in range(41)]
    places = [(row, judge.height_at(row)) for row in rows]
    sizes = {size.quantity: size for size in proof.report.sizes}
    worst = off_the_sphere(places, radius, dome=True)
    assert worst <= sizes["departure"].most + 1e-3
    assert sizes["departure"].most < 0.01  # readings are rounded to half a thou
    # the sphere through a place near the top and one at the corner
    fall = places[0][1] - places[-1][1]
    across = places[-1][0] ** 2 - places[0][0] ** 2
    assert math.hypot(rows[0], (across + fall**2) / (2 * fall)) == pytest.approx(
        sizes["radius"].most, abs=0.003 * radius
    )
