"""A block's end hollowed to a segment on the faceplate: what is made and said, and slips found."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import pytest
from shapely.geometry import Polygon

from pathgen.commands.proving import prove_text
from pathgen.commands.turned import drawing
from pathgen.commands.workplace import Proof, form_for
from pathgen.input.where import Refusal
from pathgen.job.turning.faceplate import FaceplateHold, Segment
from pathgen.job.turning.held_on import held_on, keep_outs
from pathgen.moves.actions import Measure, Spindle, WorkBy, Zero
from pathgen.moves.moves import Feed, Rapid
from pathgen.plan.turning.balance import balance_of
from pathgen.plan.turning.planners import plan_turned_setup
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

SADDLE = "saddle-block"
OUT = "past the back of the work, towards the plate"
BEFORE_LAST = "cut 2 of 3 to size, going out"


def proof() -> Proof:
    return made(SADDLE, METRIC)["hollow"]


def by_program() -> Proof:
    return made(SADDLE, PROGRAM)["hollow"]


def refused(*changes: tuple[str, str]) -> str:
    job = job_with(SADDLE, *changes)
    with pytest.raises(Refusal) as caught:
        plan_turned_setup(
            job, job.setups[0], the_shop().machine(METRIC, job.where), the_shop().crib
        )
    return str(caught.value)


# ---------------------------------------------------------------------- what is made


@pytest.mark.parametrize("machine", LATHES)
def test_radius_and_depth_are_proved_and_judged(machine: str) -> None:
    report = made(SADDLE, machine)["hollow"].report
    assert report.ok, [str(each) for each in report.findings]
    radius, depth = report.sizes
    assert (radius.quantity, depth.quantity) == ("radius", "depth")
    assert radius.least == pytest.approx(60.0, abs=0.02)
    assert radius.most == pytest.approx(60.0, abs=0.02)
    # Under a straight edge over its 30: 60 less the root of 60 x 60 less 15 x 15.
    assert depth.least == pytest.approx(60 - math.sqrt(3600 - 225), abs=0.001)
    limits = [radius - math.sqrt(radius**2 - 225) for radius in (60.1, 59.9)]
    assert (depth.wanted.low, depth.wanted.high) == pytest.approx(limits)


def test_the_bar_is_touched_from_within_with_the_spindle_still_and_paper_between() -> None:
    plan = proof().plan
    assert plan is not None
    items = plan.passes[0].items
    started = next(i for i, item in enumerate(items) if isinstance(item, Spindle) and item.rpm)
    touched = [(i, item.touches[0]) for i, item in enumerate(items) if isinstance(item, Zero)]
    assert len(touched) == 2
    assert max(i for i, _ in touched) < started
    assert all(touch.rpm == 0 and touch.paper == 0.05 for _, touch in touched)
    assert touched[0][1].towards == 1
    # The middle of the sawn end is nearest to the axis; the paper lies on its side to the axis.
    assert touched[0][1].at == pytest.approx(56.4 - 0.05)


def test_cuts_go_out_from_the_middle_of_the_end() -> None:
    plan = proof().plan
    assert plan is not None
    items = plan.passes[0].items
    (by,) = [item for item in items if isinstance(item, WorkBy)]
    assert by.outwards
    cuts = [
        before.x
        for before, item in pairwise(items)
        if isinstance(item, Feed) and isinstance(before, Rapid)
    ]
    assert cuts == sorted(cuts)
    assert cuts[0] > 56.4 - 0.5  # an end laid 0.5 too near is met by the first cut as planned
    assert cuts[0] - (56.4 - 0.5) <= 0.1501  # half of half of what this lathe takes in mild steel
    assert cuts[-1] == pytest.approx(60 - 0.3 - 0.5)


def test_the_size_is_measured_between_the_pieces_once_both_ends_are_clean() -> None:
    plan = proof().plan
    assert plan is not None
    measures = [e for each in plan.passes for e in each.items if isinstance(e, Measure)]
    first, second = measures
    # 0.3 is left for the last cuts and 0.5 for what laying by a rule leaves open, on the radius.
    assert first.expected == pytest.approx(2 * 59.2)
    assert (first.low, first.high) == pytest.approx((2 * 58.7, 2 * 59.7))
    assert second.expected == pytest.approx(2 * 59.9)
    # Laid as far out, and cut as near as may be, the corners are still clean.
    assert math.hypot(56.4 + 0.5, 15) < 59.2


@pytest.mark.parametrize(
    "words",
    [
        "come no nearer to the axis than 63 mm",
        "clamps come no nearer to the axis than 66 mm",
        "its end, turned to the axis, 56.4 mm from the axis within 0.5 mm",
        "see that the bar's far side and its holder are clear; spindle off; turn the work by hand",
        "the face of the work, at the x where the tool stands; spindle off",
        "between the middles of both ends, over the axis, by an inside calliper",
        "Come to every size GOING OUT",
        "Inside work: the tool cannot be seen",
        "Thrown work kills",
        "reaching no nearer to the axis than 81 mm, no further out than 97 mm",
        "so far that a gauge goes in",
    ],
)
def test_the_sheet_says_what_hands_have_to_do(words: str) -> None:
    text = " ".join(form_for(proof().place.machine).faces(proof())[".txt"].split())
    assert words in text


def test_nothing_that_goes_round_is_touched_turning() -> None:
    text = " ".join(form_for(proof().place.machine).faces(proof())[".txt"].split())
    assert text.count("TOUCH the") == 2
    assert "work turning" not in text


def test_both_pieces_throw_outwards_from_where_they_lie() -> None:
    job = job_with(SADDLE)
    hold = job.setups[0].hold
    assert isinstance(hold, FaceplateHold)
    assert job.flat is not None
    balance = balance_of(job.flat, hold, "mild steel")
    # 36 x 30 x 16 of steel is 0.135648 kg, its middle 18 beyond its end; 24 of it 0.090432 kg.
    moment = 0.135648 * (56.4 + 18) - 0.090432 * (56.4 + 12)
    assert balance.moment == pytest.approx(moment)
    assert balance.beside == "the piece opposite"


def test_what_goes_round_is_kept_off_as_far_in_as_it_reaches() -> None:
    job = job_with(SADDLE)
    setup = job.setups[0]
    about = keep_outs(job, setup, held_on(setup, the_shop().machine(METRIC, job.where)))
    found = {each.code: Polygon(each.corners).bounds for each in about}
    assert found["clamps"] == (0, 66, 18, 100)
    assert found["packing"] == (-28, 63, -16, 100)
    assert found["weights"] == (-28, 81, -3, 97)


def test_the_drawing_shows_the_hollow() -> None:
    svg = drawing(proof(), ())
    assert "1.905 mm deep over 30 mm" in svg
    assert "measured between the pieces: 119.8 mm to 120.2 mm" in svg


# ---------------------------------------------------------------------- what is refused


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        # The root of 58.4 x 58.4 less 15 x 15 is 56.44.
        ([("end_at = 56.4", "end_at = 57")], "let it lie 56.4 mm or less from the axis"),
        ([("packing = 12 ", "packing = 2 ")], "the tool runs out past the back"),
        ([("packing_in = 63", "packing_in = 61")], "keep it 2 mm or more outside that"),
        ([("clamps_in = 66", "clamps_in = 50")], "keep it 2 mm or more outside that"),
        ([("clamps_in = 66", "clamps_out = 66")], "clamps_in"),
        ([("dummy = 24", "dummy = 12")], "or more of it leaves room to clamp"),
        ([("length = 36", "length = 12")], "the work is 12 mm long"),
        ([("width = 30", "width = 122")], "bore it in a four-jaw chuck"),
        ([("hollow = true", "hollow = 3")], "hollow"),
    ],
)
def test_what_makes_no_sense_is_said(changes: list[tuple[str, str]], words: str) -> None:
    errors = wrong_in(SADDLE, *changes)
    assert any(words in each for each in errors), errors


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        # Its far corners come to the root of 116.4 x 116.4 less 15 x 15, and 5 stay clear of 120.
        ([("length = 36", "length = 60")], "the lathe swings 120 mm over the bed"),
        ([("clamps_in = 66", "clamps_in = 101")], "on a plate that ends at 100 mm"),
        # 16 + 1.5 + 24 in front of the clamps is more than the longest bar stands out, 40.
        ([("clamps_high = 18", "clamps_high = 24")], "no bar of the crib"),
        ([("[59.9, 60.1]", "[59.999, 60.001]")], "hold limits"),
    ],
)
def test_what_cannot_be_made_is_refused(changes: list[tuple[str, str]], words: str) -> None:
    assert words in refused(*changes)


# ---------------------------------------------------------------------- slips, and what is none


def last_cut_wound_on(raw: Sheet, counts: int) -> None:
    number = [s["number"] for s in raw["steps"] if s.get("what") == OUT][-1]
    wound_on(raw, counts, number=number)


def into_the_plate(raw: Sheet) -> None:
    last_cut_wound_on(raw, 2400)  # 12 mm of 10.5


def into_the_packing(raw: Sheet) -> None:
    wound_on(raw, -900, what=BEFORE_LAST)  # 4.5 mm further out than 59.9, the packing from 63 on


def holder_into_the_clamps(raw: Sheet) -> None:
    last_cut_wound_on(raw, 1600)  # 8 mm; the holder was 4.5 in front of them


def touched_turning(raw: Sheet) -> None:
    next(s for s in raw["steps"] if s["kind"] == "touch")["running"] = True


def touched_elsewhere(raw: Sheet) -> None:
    touch = next(s for s in raw["steps"] if s["kind"] == "touch")
    touch["face_at"] += 1.0
    touch["terms"][0]["value"] += 1.0


def deeper(raw: Sheet) -> None:
    wound_on(raw, -160, what=BEFORE_LAST)  # 0.8 mm on the radius


def larger(raw: Sheet) -> None:
    wound_on(raw, -50, what=BEFORE_LAST)  # 0.25 mm on the radius


def too_fast(raw: Sheet) -> None:
    for each in raw["steps"]:
        if each["kind"] == "spindle" and each["rpm"]:
            each["rpm"] = 260


def words_alone(raw: Sheet) -> None:
    step(raw, kind="clamp")["lines"] = ["Clamp it well."]


@pytest.mark.parametrize(
    ("edit", "code"),
    [
        (into_the_plate, "faceplate"),
        (into_the_packing, "packing"),
        (holder_into_the_clamps, "clamps"),
        (touched_turning, "spindle"),
        (touched_elsewhere, "zero"),
        (deeper, "depth"),
        (larger, "size"),
        (too_fast, "speed"),
    ],
)
def test_a_slip_is_found(edit: Callable[[Sheet], None], code: str) -> None:
    assert code in codes_after(proof(), edit)


def test_words_that_are_not_proved_may_be_others() -> None:
    assert not codes_after(proof(), words_alone)


@pytest.mark.parametrize(
    ("before", "after", "code"),
    [
        ("G1 Z-17.5", "G1 Z-29", "faceplate"),
        ("spindle still, with 10 mm boring bar", "spindle at 40, with 10 mm boring bar", "touch"),
    ],
)
def test_a_slip_in_the_program_is_found(before: str, after: str, code: str) -> None:
    made_so = by_program()
    assert before in made_so.text
    text = made_so.text.replace(before, after, 1)
    edited = prove_text(made_so.place, text, "e.ngc", lambda _: None)
    assert code in {each.code for each in edited.report.findings if each.severity == "finding"}


def test_the_depth_follows_from_the_radius() -> None:
    (segment,) = job_with(SADDLE).setups[0].features
    assert isinstance(segment, Segment)
    # Half of the chord, 15, is a quarter of the radius: the sine of half of the angle.
    assert segment.depth.nominal == pytest.approx(60 * (1 - math.cos(math.asin(0.25))))
    assert segment.depth.low < segment.depth.nominal < segment.depth.high
