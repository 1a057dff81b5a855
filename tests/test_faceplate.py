"""A strap's end turned to a segment on the faceplate: what is made and said, and slips found."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable

import pytest
from shapely.geometry import Polygon

from pathgen.commands.proving import prove_text
from pathgen.commands.turned import drawing
from pathgen.commands.workplace import form_for
from pathgen.input.where import Refusal
from pathgen.job.turning.faceplate import FaceplateHold, Segment
from pathgen.job.turning.held_on import held_on, keep_outs
from pathgen.moves.actions import Measure, Spindle, Zero, ZeroByMeasure
from pathgen.plan.turning.balance import balance_of, throws
from pathgen.plan.turning.planners import plan_turned_setup
from pathgen.shop.machines import Machine
from tests.held_jobs import (
    LATHES,
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

STRAP = "strap-end"
WEIGHTS = "counterweight = { at = 72, out = 86, high = 8 }"


def lathe() -> Machine:
    return the_shop().machine(METRIC, job_with(STRAP).where)


def refused(*changes: tuple[str, str], machine: Machine | None = None) -> str:
    job = job_with(STRAP, *changes)
    with pytest.raises(Refusal) as caught:
        plan_turned_setup(job, job.setups[0], machine or lathe(), the_shop().crib)
    return str(caught.value)


def said() -> str:
    proof = made(STRAP, METRIC)["end"]
    return " ".join(form_for(proof.place.machine).faces(proof)[".txt"].split())


# ---------------------------------------------------------------------- what is made


@pytest.mark.parametrize("machine", LATHES)
def test_the_radius_is_proved_and_judged(machine: str) -> None:
    proof = made(STRAP, machine)["end"]
    report = proof.report
    assert report.ok, [str(each) for each in report.findings]
    (size,) = report.sizes
    assert (size.feature, size.quantity) == ("rounded end", "radius")
    assert 59.9 <= size.least <= size.most <= 60.1
    assert size.least == pytest.approx(60.0, abs=0.02)


def test_the_tool_is_touched_with_the_spindle_still_and_paper_between() -> None:
    plan = made(STRAP, METRIC)["end"].plan
    assert plan is not None
    items = plan.passes[0].items
    started = next(i for i, item in enumerate(items) if isinstance(item, Spindle) and item.rpm)
    touched = [(i, item.touches[0]) for i, item in enumerate(items) if isinstance(item, Zero)]
    assert len(touched) == 2
    assert max(i for i, _ in touched) < started
    touches = [touch for _, touch in touched]
    assert all(touch.rpm == 0 and touch.paper == 0.05 for touch in touches)
    # The corner: 61.8 along the middle, half of 36 to the side.
    assert touches[0].at == pytest.approx(math.hypot(61.8, 18) + 0.05)


def test_the_size_is_measured_over_both_pieces_once_they_are_clean() -> None:
    plan = made(STRAP, METRIC)["end"].plan
    assert plan is not None
    (measure,) = [
        item
        for each in plan.passes
        for item in each.items
        if isinstance(item, Measure) and item.name == "M1"
    ]
    # 0.3 is left for the last cuts and 0.5 for what laying by a rule leaves open, on the radius.
    assert measure.expected == pytest.approx(2 * 60.8)
    assert (measure.low, measure.high) == pytest.approx((2 * 60.3, 2 * 61.3))
    assert (
        61.8 - 0.5 >= 60.8 + 0.5 - 1e-9
    )  # laid as far in, and cut as far out as may be: still clean
    by = [i for each in plan.passes for i in each.items if isinstance(i, ZeroByMeasure)]
    assert [each.share for each in by] == [0.5]


def test_work_in_blows_turns_slowly_and_takes_light_cuts() -> None:
    plan = made(STRAP, METRIC)["end"].plan
    assert plan is not None
    assert {each.rpm for each in plan.passes} == {60}  # the slowest of this lathe
    depths = [each.depth_of_cut for each in plan.passes]
    assert max(depths) <= 0.301  # half of what this lathe takes in mild steel


@pytest.mark.parametrize(
    "words",
    [
        "Both pieces on equal parallels 12 mm thick",
        "its end 61.8 mm from the axis within 0.5 mm",
        "drive out of gear: turned to several places it stays where it is put",
        "spindle off; turn the work by hand until the paper between is nipped",
        "Thrown work kills",
        "across the middles of both ends",
        "plate turned by hand once round: clamps, studs, weights and corners clear",
    ],
)
def test_the_sheet_says_what_hands_have_to_do(words: str) -> None:
    assert words in said()


def test_what_balances_it_follows_from_the_two_pieces() -> None:
    job = job_with(STRAP)
    hold = job.setups[0].hold
    assert isinstance(hold, FaceplateHold)
    assert job.flat is not None
    balance = balance_of(job.flat, hold, "mild steel")
    # 80 x 36 x 16 of steel is 0.361728 kg, its middle 21.8 out; 24 of it 0.1085184 kg, 49.8 out.
    assert balance.work == pytest.approx(0.361728)
    assert balance.dummy == pytest.approx(0.1085184)
    moment = 0.361728 * 21.8 - 0.1085184 * 49.8
    assert balance.moment == pytest.approx(moment)
    assert balance.counter_at(72) == pytest.approx(moment / 72)
    assert balance.beside == "the piece opposite"
    assert throws(balance, 60) == pytest.approx(moment / 1000 * (2 * math.pi) ** 2)
    assert "Counterweights of about 0.03 kg, 72 mm from the axis" in said()


def test_two_pieces_alike_want_no_weights() -> None:
    job = job_with(STRAP, ("length = 80 ", "length = 24 "))
    plan = plan_turned_setup(job, job.setups[0], lathe(), the_shop().crib)
    lines = " ".join(line for item in plan.before for line in getattr(item, "lines", ()))
    assert "Counterweights" not in lines
    assert "Balance it by hand" in lines


def test_what_goes_round_is_kept_off_as_far_out_as_it_reaches() -> None:
    job = job_with(STRAP)
    setup = job.setups[0]
    about = keep_outs(job, setup, held_on(setup, lathe()))
    found = {each.code: Polygon(each.corners).bounds for each in about}
    assert found["clamps"] == (0, 0, 24, 46)
    assert found["packing"] == (-28, 0, -16, 50)
    assert found["weights"] == (-28, 0, -20, 86)
    assert found["faceplate"][2:] == (-28, 100)


def test_the_drawing_has_both_ends_and_is_an_a4_sheet() -> None:
    svg = drawing(made(STRAP, METRIC)["end"], ())
    assert "From the tailstock, 1:2" in svg
    assert "measured over both pieces: 119.8 mm to 120.2 mm" in svg


# ---------------------------------------------------------------------- what is refused


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ([("end_at = 61.8", "end_at = 61")], "let it stand 1.5 mm or more"),
        ([("dummy = 24 ", "dummy = 70 ")], "give 43.6 mm or less"),
        ([("packing = 12 ", "packing = 2 ")], "the tool runs out past the back"),
        ([("packing_out = 50 ", "packing_out = 59 ")], "keep it 2 mm or more inside that"),
        ([("clamps_out = 46", "clamps_out = 80")], "keep it 2 mm or more inside that"),
        ([("out = 86", "out = 70")], "to the outermost of the weights"),
        ([("width = 36", "width = 122")], "turn such an end in a chuck"),
        ([('kind = "segment"', 'kind = "turned"')], 'use "segment"'),
        ([('how = "faceplate"', 'how = "chuck"')], 'use "faceplate"'),
    ],
)
def test_what_makes_no_sense_is_said(changes: list[tuple[str, str]], words: str) -> None:
    errors = wrong_in(STRAP, *changes)
    assert any(words in each for each in errors), errors


def test_all_that_is_wrong_comes_out_at_once() -> None:
    errors = wrong_in(STRAP, ("end_at = 61.8", "end_at = 61"), ("packing = 12 ", "packing = 2 "))
    assert len(errors) == 2


def test_work_that_is_out_of_balance_without_weights_is_refused() -> None:
    words = refused((WEIGHTS, ""))
    assert "0.02 kg at its rim missing on the side of the piece opposite" in words
    assert "say where counterweights go, or give the piece opposite another length" in words
    # 40 of it nearly balance the strap: 0.180864 kg at 41.8 is 7.56 kg mm, the strap's 7.89.
    job = job_with(STRAP, (WEIGHTS, ""), ("dummy = 24 ", "dummy = 40 "))
    assert plan_turned_setup(job, job.setups[0], lathe(), the_shop().crib).passes


def test_weights_beyond_the_rim_are_refused() -> None:
    words = refused(("at = 72, out = 86", "at = 104, out = 110"))
    assert "104 mm from the axis on a plate that ends at 100 mm" in words


def test_a_lathe_that_swings_less_or_has_no_plate_is_refused() -> None:
    machine = lathe()
    assert machine.lathe is not None
    small = dataclasses.replace(machine.lathe, swing=180.0)
    words = refused(machine=dataclasses.replace(machine, lathe=small))
    assert "the lathe swings 90 mm over the bed" in words
    holding = dataclasses.replace(machine.lathe.holding, faceplate=None)
    bare = dataclasses.replace(machine.lathe, holding=holding)
    words = refused(machine=dataclasses.replace(machine, lathe=bare))
    assert "its file gives none" in words


def test_a_lathe_that_turns_no_slower_than_a_smooth_cut_is_refused() -> None:
    machine = the_shop().machine(PROGRAM, job_with(STRAP).where)
    fast = dataclasses.replace(machine.spindle, lowest=80.0)
    words = refused(machine=dataclasses.replace(machine, spindle=fast))
    assert "its slowest is 80 rev/min, a smooth cut goes at 60" in words


def test_a_program_has_the_tool_jogged_to_work_that_is_turned_by_hand() -> None:
    lines = made(STRAP, PROGRAM)["end"].text.splitlines()
    jogs = [line for line in lines if "Turn the work by hand: jog" in line]
    assert len(jogs) == 2
    assert "until it nips the 0.05 mm paper on the outside, the corner" in jogs[0]
    first, second = (lines.index(jog) for jog in jogs)
    # No move of its own while the place along the axis is not known.
    assert not [line for line in lines[first:second] if line.startswith(("G0", "G1"))]


def test_limits_finer_than_the_dial_are_refused() -> None:
    words = refused(("radius_limits = [59.9, 60.1]", "radius_limits = [59.999, 60.001]"))
    assert "hold limits" in words


# ---------------------------------------------------------------------- slips, and what is none


def into_the_weights(raw: Sheet) -> None:
    wound_on(raw, 1000, what="past the back of the work, towards the plate")  # 5 mm of 2.5


def into_the_plate(raw: Sheet) -> None:
    wound_on(raw, 2400, what="past the back of the work, towards the plate")  # 12 mm of 10.5


def touched_turning(raw: Sheet) -> None:
    number = next(i for i, s in enumerate(raw["steps"]) if s["kind"] == "touch")
    raw["steps"][number]["running"] = True


def out_over_the_clamps(raw: Sheet) -> None:
    wound_on(raw, 3600, what="in, over the face of the corner that is turned to it by hand")


def deeper(raw: Sheet) -> None:
    last = [s["what"] for s in raw["steps"] if s.get("what", "").startswith("cut 4 of 4")][-1]
    wound_on(raw, 120, what=last)


def too_fast(raw: Sheet) -> None:
    for each in raw["steps"]:
        if each["kind"] == "spindle" and each["rpm"]:
            each["rpm"] = 260


def words_alone(raw: Sheet) -> None:
    step(raw, kind="clamp")["lines"] = ["Clamp it well."]


@pytest.mark.parametrize(
    ("edit", "code"),
    [
        (into_the_weights, "weights"),
        (into_the_plate, "faceplate"),
        (touched_turning, "spindle"),
        (out_over_the_clamps, "clamps"),
        (deeper, "depth"),
        (too_fast, "speed"),
    ],
)
def test_a_slip_is_found(edit: Callable[[Sheet], None], code: str) -> None:
    assert code in codes_after(made(STRAP, METRIC)["end"], edit)


def test_words_that_are_not_proved_may_be_others() -> None:
    assert not codes_after(made(STRAP, METRIC)["end"], words_alone)


@pytest.mark.parametrize(
    ("before", "after", "code"),
    [
        ("G1 Z-17.5", "G1 Z-22.5", "weights"),
        ("spindle still, with knife tool", "spindle at 20, with knife tool", "touch"),
    ],
)
def test_a_slip_in_the_program_is_found(before: str, after: str, code: str) -> None:
    proof = made(STRAP, PROGRAM)["end"]
    assert before in proof.text
    edited = prove_text(proof.place, proof.text.replace(before, after, 1), "e.ngc", lambda _: None)
    codes = {each.code for each in edited.report.findings if each.severity == "finding"}
    assert code in codes


def test_a_segment_says_what_is_measured_across() -> None:
    (segment,) = job_with(STRAP).setups[0].features
    assert isinstance(segment, Segment)
    assert (segment.across.low, segment.across.high) == pytest.approx((119.8, 120.2))
    assert segment.end == -17.5
