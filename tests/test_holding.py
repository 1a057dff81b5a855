"""Work held by centres on the shipped lathes: what is made and said, and that slips are found."""

from __future__ import annotations

import dataclasses
import math
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from shapely.geometry import Polygon

from pathgen.commands.proving import prove_job
from pathgen.commands.proving_files import prove_file
from pathgen.commands.workplace import form_for
from pathgen.input.where import Refusal
from pathgen.job.turning.centre_holes import CentreHole, cone_length
from pathgen.job.turning.held_on import held_on, keep_outs
from pathgen.job.turning.holding import CentresHold
from pathgen.job.turning.standing import Land, Standing
from pathgen.job.turning.turned import TurnedJob, TurnedSetup
from pathgen.moves.actions import Measure, ZeroByMeasure
from pathgen.plan.turning.planners import plan_turned_setup
from pathgen.shop.machines import Machine
from postprocessors.dials.faces.cards import cards_of
from postprocessors.dials.faces.finding_sizes import judge
from postprocessors.dials.faces.json import load_sheet
from tests.held_jobs import (
    INCH,
    METRIC,
    PROGRAM,
    Sheet,
    codes_after,
    job_with,
    made,
    step,
    wound_on,
    wrong_in,
)
from tests.read_jobs import the_shop

ROD, SHAFT = "guide-rod", "lever-shaft"


def lathe(name: str = METRIC) -> Machine:
    shop = the_shop()
    return shop.machine(name, next(iter(job_with(ROD).setups)).where)


def of(name: str, setup: str, *changes: tuple[str, str]) -> tuple[TurnedJob, TurnedSetup]:
    job = job_with(name, *changes)
    found = next(each for each in job.setups if each.name == setup)
    return job.at(found), found


def refused(name: str, *changes: tuple[str, str], machine: str = METRIC) -> str:
    with pytest.raises(Refusal) as caught:
        list(prove_job(job_with(name, *changes), the_shop(), machine, lambda _: None))
    return str(caught.value)


def said(name: str, setup: str, machine: str = METRIC) -> str:
    """Return a sheet for people, its lines run together."""
    proof = made(name, machine)[setup]
    return " ".join(form_for(proof.place.machine).faces(proof)[".txt"].split())


# ---------------------------------------------------------------------- what is made


@pytest.mark.parametrize(
    ("name", "machine"),
    [(ROD, METRIC), (ROD, INCH), (ROD, PROGRAM), (SHAFT, METRIC), (SHAFT, PROGRAM)],
)
def test_each_setup_is_proved(name: str, machine: str) -> None:
    for setup, proof in made(name, machine).items():
        assert proof.report.ok, (setup, [str(each) for each in proof.report.findings])


def test_every_size_is_judged_in_the_setup_that_makes_it() -> None:
    judged = {
        setup: {(size.feature, size.quantity): size.wanted.nominal for size in proof.report.sizes}
        for setup, proof in made(SHAFT, METRIC).items()
    }
    assert judged == {
        "first end": {("first centre", "diameter"): pytest.approx(5.3)},
        "second end": {
            ("second end, overall", "length"): 130,
            ("second centre", "diameter"): pytest.approx(5.3),
        },
        "long journal": {
            ("long journal, first from the right", "diameter"): 12,
            ("long journal, first from the right", "length"): 50,
            ("long journal, second from the right", "diameter"): 15,
            ("long journal, second from the right", "length"): 90,
        },
        "short journal": {
            ("short journal, first from the right", "diameter"): 12,
            ("short journal, first from the right", "length"): 30,
        },
    }


def test_what_is_left_is_the_whole_shaft() -> None:
    # Turned end for end twice: 30 of 12, a collar of 10 as the bar came, 40 of 15, 50 of 12.
    left = made(SHAFT, METRIC)["short journal"].report.left
    assert left is not None
    assert left.turned is not None
    low, _, high, _ = left.turned.bounds
    assert (low, high) == pytest.approx((-130, 0), abs=0.1)
    for z, diameter in ((-15.0, 11.965), (-35.0, 18.0), (-60.0, 14.95), (-100.0, 11.965)):
        window = Polygon([(z - 1, 0), (z + 1, 0), (z + 1, 20), (z - 1, 20)])
        assert 2 * left.turned.intersection(window).bounds[3] == pytest.approx(diameter, abs=0.02)
    # A centre hole in each end: at the face its radius is half of the mouth.
    for z in (-0.01, -129.95):
        window = Polygon([(z - 0.01, 0), (z + 0.01, 0), (z + 0.01, 20), (z - 0.01, 20)])
        assert left.turned.intersection(window).bounds[1] == pytest.approx(2.65, abs=0.06)


def test_the_mouth_of_a_centre_hole_follows_from_how_deep_the_drill_goes() -> None:
    # A pilot of 2.5, 3.1 long, then 60 degrees: 5.3 across is (5.3 - 2.5) / 2 / tan 30 further in.
    (sunk,) = [
        s for s in _steps(ROD, "end") if s.get("what", "").startswith("in, the 2.5 mm centre")
    ]
    assert sunk["place"] == pytest.approx(-(3.1 + 1.4 / math.tan(math.radians(30))), abs=0.025)


def _steps(name: str, setup: str) -> list[Sheet]:
    found: list[Sheet] = []
    codes_after(made(name, METRIC)[setup], lambda raw: found.extend(raw["steps"]))
    return found


def test_the_order_is_that_of_the_trade() -> None:
    first = [each.purpose for each in _plan(ROD, "end").passes]
    assert first == ["face", "spot"]
    assert "face" not in [each.purpose for each in _plan(ROD, "turning").passes]
    # The bar is drawn out in the setup after: the same end, z still counted from it.
    assert not any(isinstance(i, ZeroByMeasure) and i.axis == "z" for i in _items(ROD, "turning"))


def _plan(name: str, setup: str):  # type: ignore[no-untyped-def]
    plan = made(name, METRIC)[setup].plan
    assert plan is not None
    return plan


def _items(name: str, setup: str) -> list[object]:
    return [item for each in _plan(name, setup).passes for item in each.items]


def test_the_line_of_the_tailstock_is_measured_before_anything_is_finished() -> None:
    plan = _plan(ROD, "turning")
    finish = next(each for each in plan.passes if each.purpose == "finish")
    (measure,) = [i for i in finish.items if isinstance(i, Measure) and i.name == "T1"]
    # A quarter of the tightest limits, 0.07 mm.
    assert (measure.low, measure.high) == pytest.approx((-0.0175, 0.0175))
    # 150 mm from the jaws to the centre, over 90 mm of one diameter, half of it for the radius.
    assert f"by {150 / 90 / 2:.2g} times" in measure.advice


def test_wide_limits_let_the_line_be_no_further_off() -> None:
    wide = ("diameter_limits = [9.93, 10]", "diameter_limits = [9.2, 10]")
    wider = ("diameter_limits = [13.9, 14]", "diameter_limits = [13.2, 14]")
    job, setup = of(ROD, "turning", wide, wider)
    plan = plan_turned_setup(job, setup, lathe(), the_shop().crib)
    every = [item for each in plan.passes for item in each.items]
    (measure,) = [item for item in every if isinstance(item, Measure) and item.name == "T1"]
    assert (measure.low, measure.high) == (-0.05, 0.05)


@pytest.mark.parametrize(
    ("typed", "found", "reason"),
    [
        ("-0.01", -0.01, ""),
        ("0.4 thou", 0.01016, ""),
        ("0.03", None, "STOP: the tailstock is out of line"),  # and not: did you mean thou
    ],
)
def test_what_is_found_of_the_line_may_be_less_than_nought(
    typed: str, found: float | None, reason: str
) -> None:
    cards = cards_of(load_sheet(made(ROD, METRIC)["turning"].text, "turning"))
    (asked,) = (card.asked for card in cards if card.asked and card.asked.name == "T1")
    judged = judge(typed, asked)
    assert judged.found == (None if found is None else pytest.approx(found))
    assert reason in judged.reason


@pytest.mark.parametrize(
    ("name", "setup", "words"),
    [
        (ROD, "turning", "the jaws nipped lightly for now"),
        (ROD, "turning", "Tighten the chuck, ease the quill and wind it in again."),
        (ROD, "turning", "lock the quill"),
        (ROD, "turning", "Never part off, and never face to the middle"),
        (SHAFT, "long journal", "Nip the small dog on the left end, its front 16 mm from that end"),
        (SHAFT, "short journal", "a strip of copper under its screw"),
        (SHAFT, "short journal", "the other end to the right"),
        (SHAFT, "long journal", "The dog, its screw and its tail go round with the work"),
        # 130 mm of steel, 20 degrees, 11.5 millionths a degree.
        (SHAFT, "long journal", "20 degrees warmer is 0.03 mm longer"),
    ],
)
def test_the_sheet_says_what_hands_have_to_do(name: str, setup: str, words: str) -> None:
    assert words in said(name, setup)


def test_beside_a_centre_no_slide_is_changed_over_to() -> None:
    # The compound would tell the length finer, and would be wound to the right beside the centre.
    sheet = said(SHAFT, "short journal")
    assert sheet.count("WORK BY") == 1
    assert "WORK BY the cross slide and the carriage from here on" in sheet


def test_between_centres_nothing_is_set_true_by_an_indicator_on_the_work() -> None:
    assert "on a finished diameter" not in said(SHAFT, "short journal")


def test_a_dead_centre_is_greased_and_turns_no_faster_than_it_stands() -> None:
    job, setup = of(ROD, "turning", ("live centre", "dead centre"))
    plan = plan_turned_setup(job, setup, lathe(), the_shop().crib)
    lines = " ".join(line for item in plan.before for line in getattr(item, "lines", ()))
    assert "grease on the hole and the point" in lines
    assert "just drags a little and has no shake" in lines
    assert max(each.rpm for each in plan.passes) <= 420
    job, setup = of(ROD, "turning", ("live centre", "dead centre"))
    slow = _turning_at_most(lathe(), "dead centre", 200.0)
    plan = plan_turned_setup(job, setup, slow, the_shop().crib)
    assert max(each.rpm for each in plan.passes) == 160  # the lathe's next below


def _turning_at_most(machine: Machine, name: str, rpm: float) -> Machine:
    assert machine.lathe is not None
    holding = machine.lathe.holding
    centres = tuple(
        dataclasses.replace(each, most_rpm=rpm) if each.name == name else each
        for each in holding.centres
    )
    holding = dataclasses.replace(holding, centres=centres)
    return dataclasses.replace(machine, lathe=dataclasses.replace(machine.lathe, holding=holding))


# ---------------------------------------------------------------------- geometry


def test_a_part_is_carried_from_setup_to_setup() -> None:
    job = job_with(SHAFT)
    standing = Standing.bar(job.blank)
    for index, setup in enumerate(job.setups):
        comes = standing
        if index and setup.carried is not None and setup.carried.turned_round:
            comes = standing.turned_round()
        standing = comes.after(setup)
    assert [land.length for land in standing.lands] == pytest.approx([30, 10, 40, 50])
    assert [land.diameter for land in standing.lands] == pytest.approx([11.965, 18, 14.95, 11.965])
    assert [land.turned for land in standing.lands] == [True, False, True, True]
    assert (standing.right.hole and standing.right.hole.name) == "first centre"
    assert (standing.left.hole and standing.left.hole.name) == "second centre"


def test_facing_takes_the_hole_off_with_the_end() -> None:
    hole = next(f for s in job_with(ROD).setups for f in s.features if isinstance(f, CentreHole))
    assert hole.designation == "A 2.5/5.3"
    assert cone_length(10.0) == pytest.approx(5 / math.tan(math.radians(30)))
    bar = Standing(lands=(Land(20, 16), Land(80, 18)))
    assert bar.faced(12.5).lands == (Land(7.5, 16), Land(80, 18))
    assert bar.turned_round().behind(80) == 16
    assert bar.behind(20) == 18


def test_the_centre_stands_in_its_hole() -> None:
    job, setup = of(ROD, "turning")
    (cone, quill) = [
        k for k in keep_outs(job, setup, held_on(setup, lathe())) if k.code == "centre"
    ]
    # The cone meets the rim of the mouth, 5.3 across, at z 0, and is 24 across 16.2 mm further.
    assert Polygon(cone.corners).bounds == pytest.approx(
        (0, 0, 48 - 2.65 / math.tan(math.pi / 6), 12)
    )
    assert max(x for z, x in cone.corners if z == 0) == pytest.approx(2.65)
    widest = min(z for z, x in cone.corners if x == 12)
    assert widest == pytest.approx((12 - 2.65) / math.tan(math.pi / 6))
    assert Polygon(quill.corners).bounds[3] == 16


def test_the_dog_goes_round_in_front_of_its_plate() -> None:
    job, setup = of(SHAFT, "short journal")
    assert isinstance(setup.hold, CentresHold)
    about = {
        k.what: Polygon(k.corners).bounds for k in keep_outs(job, setup, held_on(setup, lathe()))
    }
    # The left end is at -130, the dog's front 16 to the right of it, the plate 25 to its left.
    assert about["the driving plate"][2] == pytest.approx(-155)
    dogs = [k for k in keep_outs(job, setup, held_on(setup, lathe())) if k.what == "the dog"]
    assert max(Polygon(k.corners).bounds[2] for k in dogs) == pytest.approx(-114)
    assert max(Polygon(k.corners).bounds[3] for k in dogs) == 38


# ---------------------------------------------------------------------- what is refused

NO_CENTRE = (', centre = "live centre" }', " }")


ROUND = ("held_again = true", "held_again = true\nturned_round = true")
UNCENTRED = (
    'kind = "centre hole"\nname = "centre"\npilot = 2.5 ',
    'kind = "turned"\nname = "centre"\nsteps = [{ diameter = 13, to = 12 }] # ',
)
STAYS = ('stays = "may"                 # in the finished part; or "wanted", or "no"', "")
OVER_A_SHOULDER = (
    'turned_round = true\nhold = { how = "between centres", dog = "small dog", driven = 16',
    'turned_round = true\nhold = { how = "between centres", dog = "small dog", driven = 60',
)


@pytest.mark.parametrize(
    ("name", "changes", "words"),
    [
        (ROD, [("held_again = true", "facing = 1")], "say turned_round = true, or held_again"),
        (ROD, [ROUND], "both it and held_again"),
        (ROD, [STAYS, UNCENTRED], "no centre hole in the right end"),
        (ROD, [("held_again = true", "held_again = true\nlength = 220")], "faced with a centre"),
        (ROD, [("pilot = 2.5", "pilot = 2.5\ndiameter = 2.6")], "leaves no seat"),
        (ROD, [('stays = "may"', 'stays = "no"')], "not to stay, and no setup takes it off"),
        (ROD, [("stick_out = 32", 'stick_out = 32, centre = "live centre"')], "neither faced nor"),
        (SHAFT, [("length = 130", "length = 132.5")], "leave 0.7 mm or more to be faced off"),
        (SHAFT, [("length = 130 ", "# ")], "not given, and this end was not faced before"),
        (SHAFT, [("driven = 16", "driven = 200")], "the dog takes 200 mm of 130 mm"),
        (SHAFT, [OVER_A_SHOULDER], "the dog stands over a shoulder"),
    ],
)
def test_what_makes_no_sense_is_said(name: str, changes: list[tuple[str, str]], words: str) -> None:
    errors = wrong_in(name, *changes)
    assert any(words in each for each in errors), errors
    assert all(f"{name}.toml:" in each for each in errors)


PART_OFF = '\n[[setup.feature]]\nkind = "parted"\nname = "off"\nlength = 115\n'


def test_nothing_is_cut_off_or_bored_with_a_centre_in_the_end() -> None:
    text = ("to = 110 },   # the platen slides on it\n]\n", f"to = 110 }},\n]\n{PART_OFF}")
    (error,) = wrong_in(ROD, text)
    assert "off needs the middle of the end, or cuts the part off, and the centre is in it" in error
    assert "do it in a setup without the centre" in error


@pytest.mark.parametrize(
    ("name", "changes", "machine", "words"),
    [
        (ROD, [NO_CENTRE], METRIC, "with nothing at its end: more than 4 diameters"),
        (ROD, [NO_CENTRE], METRIC, "face and centre its end in a setup before and say centre"),
        (ROD, [("stick_out = 150", "stick_out = 165")], METRIC,
         "between two supports: more than 10 diameters"),
        (ROD, [("live centre", "life centre")], METRIC, "live centre"),
        (SHAFT, [("small dog", "large dog")], METRIC, "a dog called 'large dog'"),
        (SHAFT, [("driven = 16", "driven = 10")], METRIC, "12 mm wide, on 10 mm of the left end"),
        (ROD, [("pilot = 2.5", "pilot = 3.15")], METRIC, "a pilot of 3.15 mm"),
        (ROD, [("diameter = 10, diameter_limits = [9.93, 10]",
                "diameter = 7, diameter_limits = [6.93, 7]")], METRIC,
         "no tool gets in beside the centre"),
    ],
)  # fmt: skip
def test_what_cannot_be_held_is_refused_with_what_would_do(
    name: str, changes: list[tuple[str, str]], machine: str, words: str
) -> None:
    assert words in refused(name, *changes, machine=machine)


# ---------------------------------------------------------------------- slips, and what is none


def in_to_the_axis(raw: Sheet) -> None:
    """Wind the tool in beside the end until it is almost at the axis, where the centre is."""
    last = [s["what"] for s in raw["steps"] if s.get("what", "").startswith("roughing")][-1]
    wound_on(raw, 950, what=last)  # from 5.3 mm off the axis to 0.5


def out_to_the_quill(raw: Sheet) -> None:
    wound_on(raw, -600, what="off the end")  # 30 mm to the right


def line_not_measured(raw: Sheet) -> None:
    found = step(raw, name="T1")
    number = found["number"]
    found.clear()
    found.update(kind="note", number=number, text="left out", caution=False)


def line_let_pass(raw: Sheet) -> None:
    step(raw, name="T1").update(low=-0.5, high=0.5)


def too_fast(raw: Sheet) -> None:
    for each in raw["steps"]:
        if each["kind"] == "spindle" and each["rpm"]:
            each["rpm"] = 1100


def into_the_dog(raw: Sheet) -> None:
    wound_on(raw, 2000, what="to the shoulder")


def too_deep(raw: Sheet) -> None:
    wound_on(raw, 40, what="in, the 2.5 mm centre drill")  # half a turn of 2 mm


def words_alone(raw: Sheet) -> None:
    step(raw, kind="clamp")["lines"] = ["Hold it as you like."]


@pytest.mark.parametrize(
    ("name", "setup", "edit", "code"),
    [
        (ROD, "turning", in_to_the_axis, "centre"),
        (ROD, "turning", out_to_the_quill, "centre"),
        (ROD, "turning", line_not_measured, "in line"),
        (ROD, "turning", line_let_pass, "in line"),
        (SHAFT, "short journal", too_fast, "speed"),
        (SHAFT, "long journal", into_the_dog, "dog"),
        (ROD, "end", too_deep, "size"),
    ],
)
def test_a_slip_is_found(name: str, setup: str, edit: Callable[[Sheet], None], code: str) -> None:
    assert code in codes_after(made(name, METRIC)[setup], edit)


@pytest.mark.parametrize("edit", [words_alone, lambda raw: None])
def test_what_changes_nothing_that_is_proved_is_let_pass(edit: Callable[[Sheet], None]) -> None:
    assert not codes_after(made(ROD, METRIC)["turning"], edit)


def test_the_second_sheet_is_checked_alone_by_what_the_first_leaves(tmp_path: Path) -> None:
    sheet = tmp_path / "turning.json"
    sheet.write_text(made(ROD, METRIC)["turning"].text, encoding="utf-8")
    proof = prove_file(((job_with(ROD), the_shop()),), sheet, None, lambda _: None)
    assert proof.report.ok
    assert proof.place.left is not None


@pytest.mark.parametrize("machine", [METRIC, PROGRAM])
def test_the_drawing_shows_what_holds_the_work(machine: str) -> None:
    proof = made(SHAFT, machine)["short journal"]
    from pathgen.commands.turned import drawing  # noqa: PLC0415 - this test alone draws

    svg = drawing(proof, ())
    assert re.findall(">(jaws|dog|plate|centre)</text>", svg) == ["dog", "centre"]


# ---------------------------------------------------------------------- threads beside a centre


def _threaded(thread: str, diameter: str, limits: str) -> tuple[tuple[str, str], ...]:
    """Return the changes that make the rod's first diameter longer and cut a thread on it."""
    screw = (
        f'[[setup.feature]]\nkind = "screw-cut"\nname = "screw"\nthread = "{thread}"\n'
        "length = 20\nrun_out = 6\n"
    )
    return (
        ("diameter = 16 ", "diameter = 20 "),
        ("length = 230", "length = 174"),
        ("to = 20, to_limits = [19.6, 20.4]", "to = 30"),
        ("diameter = 10, diameter_limits = [9.93, 10]", f"diameter = {diameter}, {limits}"),
        ("diameter = 14, diameter_limits = [13.9, 14], to", "diameter = 18, to"),
        ("slides on it\n]\n", f"slides on it\n]\n{screw}"),
    )


M14 = _threaded("M14", "13.85", "diameter_limits = [13.73, 13.95]")
M16 = _threaded("M16x1.5", "15.86", "diameter_limits = [15.75, 15.95]")


@pytest.mark.parametrize("machine", [METRIC, PROGRAM])
def test_a_thread_whose_passes_would_come_to_the_centre_is_refused(machine: str) -> None:
    # A pass begins three pitches, 6 mm, to the right; the mouth is 5.3 mm across. There the cone is
    # 2.65 + 6 tan 30 = 6.1 mm from the axis; M14 goes down to (14 - 1.2269 x 2) / 2 = 5.77 mm.
    assert "the cone lets it go no nearer" in refused(ROD, *M14, machine=machine)


def test_a_thread_that_the_centre_leaves_room_for_is_cut() -> None:
    # M16 x 1.5 goes down to about 7.08 mm; three pitches to the right, the cone is 5.3 mm out.
    proofs = list(prove_job(job_with(ROD, *M16), the_shop(), METRIC, lambda _: None))
    assert [proof.report.ok for proof in proofs] == [True, True]
