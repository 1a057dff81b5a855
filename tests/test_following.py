"""What follows a found value, what is refused, and the cards that screens show."""

from __future__ import annotations

import math
import random

import pytest

from postprocessors.dials.cases import Case
from postprocessors.dials.faces.cards import Asked, cards_of, follows_a_size, shown_stop
from postprocessors.dials.faces.finding_sizes import judge, shown
from postprocessors.dials.faces.scales import scale_of
from postprocessors.dials.faces.screen_words import sum_words
from postprocessors.dials.faces.text import write_text
from postprocessors.dials.readings import stop_of
from postprocessors.dials.replay import replay
from postprocessors.dials.steps import MeasureStep, Sheet, WindStep
from tests.followed import places, proof_of, sheet

MILLS = ("bench-mill-metric", "bench-mill-inch")
ZERO = 0.011  # mm: the eye at the touches that the zero comes from, half a judged part each
WIDTH = Asked(
    name="M1",
    what="width of the stud slot",
    expected=9.525,
    low=9.4,
    high=9.65,
    units="mm",
    advice="the cutter runs out",
)


def following(of: Sheet, name: str = "F1") -> list[WindStep]:
    found = [s for s in of.steps if isinstance(s, WindStep) and s.measure == name]
    assert found
    return found


def measured(of: Sheet) -> MeasureStep:
    return next(step for step in of.steps if isinstance(step, MeasureStep))


# ---------------------------------------------------------------------- what follows


@pytest.mark.parametrize(
    ("job", "machine", "setup"),
    [*(("press", machine, "way") for machine in MILLS), ("swivel-seat", MILLS[1], "dish")],
)
def test_a_stop_that_follows_a_size_is_where_the_replay_has_it(
    job: str, machine: str, setup: str
) -> None:
    # The replay works the rule out by itself: where the slides then stand is the outside judge.
    of = sheet(job, machine, setup)
    mill = proof_of(job, machine, setup).place.machine
    step = measured(of)
    chance = random.Random(6)
    for _ in range(3):
        found = chance.uniform(step.low, step.high)
        case = Case(play=1, slack=0, found=((step.name, found),))
        run = replay(of, mill, case, file="sheet")
        assert not [each for each in run.troubles if each.code == "miscounted"]
        items = dict(zip(run.numbers, run.items, strict=True))
        for wind in following(of, step.name):
            dial = of.dial(wind.slide)
            stop = stop_of(wind, dial.counts_per_turn, found)
            went = getattr(items[wind.number], dial.axis)
            assert went == pytest.approx(stop.place, abs=dial.count / 2 + ZERO)


@pytest.mark.parametrize("machine", MILLS)
def test_without_a_found_value_a_stop_is_the_printed_one(machine: str) -> None:
    of = sheet("fence-bar", machine)
    for step in following(of):
        stop = stop_of(step, of.dial(step.slide).counts_per_turn)
        assert (stop.reading, stop.passes, stop.place) == (step.reading, step.passes, step.place)


@pytest.mark.parametrize("machine", MILLS)
def test_the_count_of_0_fits_the_readings_before_and_after(machine: str) -> None:
    of = sheet("fence-bar", machine)
    half = places(machine).half
    back, up = (step for step in of.steps[half - 2 : half] if isinstance(step, WindStep))
    assert up.rule is not None
    dial = of.dial(up.slide)
    for share in range(101):
        found = up.rule.low + share / 100 * (up.rule.high - up.rule.low)
        turn = dial.counts_per_turn
        start, end = stop_of(back, turn, found).reading, stop_of(up, turn, found)
        zeros = [n for n in range(start + 1, end.reading + 1) if n % turn == 0]
        assert end.passes == len(zeros)


def test_half_way_between_two_touches_the_place_stays_the_middle() -> None:
    of = sheet("fence-bar", "bench-mill-metric")
    (step,) = following(of)
    assert not follows_a_size(step, of)
    assert step.rule is not None
    assert shown_stop(step, of, step.rule.low).place == "y 0.00 mm"


def test_a_sum_adds_up_to_the_figure_that_is_shown() -> None:
    of = sheet("press", "bench-mill-metric", "way")
    step = measured(of)
    asked = next(card.asked for card in cards_of(of) if card.number == step.number)
    assert asked is not None
    wind = following(of, step.name)[0]
    assert wind.rule is not None
    off = (step.high - step.low) / 5
    words = sum_words(wind, scale_of(wind, of), asked, step.expected + off)
    parts = abs(wind.rule.per_mm * off) * of.dial(wind.slide).judged
    assert f" {parts:.2f} = " in words
    start, result = words.split(": ")[1].split(" ")[0], words.split(" = ")[1].split(" ")[0]
    assert abs(float(result) - float(start)) == pytest.approx(parts, abs=0.011)
    stop = shown_stop(wind, of, step.expected + off)
    assert words.endswith(f", to the nearest 0.5: {stop.total.removeprefix('total ')}")
    turn = of.dial(wind.slide).divisions
    assert float(stop.figure) == pytest.approx(float(result) % turn, abs=0.26)


# ---------------------------------------------------------------------- what is refused


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("9.52", 9.52),
        (" 9.5 mm ", 9.5),
        ("0.375 in", 9.525),
        ('3/8"', 9.525),
        ("3/8 in", 9.525),
        ("375 thou", 9.525),
        ("0.95 cm", 9.5),
    ],
)
def test_a_size_is_taken_in_any_form_of_length(text: str, found: float) -> None:
    assert judge(text, WIDTH).found == pytest.approx(found, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("0.375", "in in the same figure would be 9.525 mm"),
        ("375", "in thou the same figure would be 9.525 mm"),
        ("9.5 in", "in mm the same figure would be 9.500 mm"),
        ("9.39", "9.390 mm is less than 9.400 mm, the least with which to go on. STOP: the cutter"),
        ("9.7", "9.700 mm is more than 9.650 mm, the most with which to go on. STOP: the cutter"),
        ("9,5", "has a comma"),
        ("about nine", "cannot be read"),
        ("", "empty"),
        ("-9.5", "less than"),
        ("3/8", "fraction with no unit"),
        ("1e9", "more than"),
    ],
)
def test_a_senseless_size_is_refused_with_the_reason(text: str, said: str) -> None:
    judged = judge(text, WIDTH)
    assert judged.found is None
    assert said in judged.reason


@pytest.mark.parametrize(("text", "counts"), [("8 t 49.0", 3298), ("8 50.5", 3301), ("8,49", 3298)])
def test_a_total_is_read_as_turns_and_figure(text: str, counts: int) -> None:
    card = cards_of(sheet("fence-bar", "bench-mill-metric"))[places("bench-mill-metric").noted - 1]
    assert card.asked is not None
    assert card.asked.dial is not None
    assert judge(text, card.asked).found == counts * card.asked.dial.count


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("9 t 49.0", "more than 8 t 75.0"),
        ("7 t 49.0", "less than 8 t 23.0"),
        ("8 t 200", "no total of this dial"),
        ("49.0", "no total of this dial"),
        ("nonsense", "as 8 t 49.0"),
    ],
)
def test_a_total_of_another_turn_is_refused(text: str, said: str) -> None:
    card = cards_of(sheet("fence-bar", "bench-mill-metric"))[places("bench-mill-metric").noted - 1]
    assert card.asked is not None
    judged = judge(text, card.asked)
    assert judged.found is None
    assert said in judged.reason


# ---------------------------------------------------------------------- cards


@pytest.mark.parametrize("machine", MILLS)
def test_each_card_says_all_the_words_of_its_printed_step(machine: str) -> None:
    of = sheet("fence-bar", machine)
    mill = proof_of("fence-bar", machine, "slot").place.machine
    printed = " ".join(write_text(of, mill).split())
    for card in cards_of(of):
        for said in (card.title, *card.lines, *card.by_hand, card.handle, card.loud):
            assert " ".join(said.split()) in printed, card.number
        if card.stopping is not None and not card.follows:
            assert card.stopping.figure in printed
    assert all(card.loud or card.title or card.stopping for card in cards_of(of))


def test_words_about_the_way_to_a_figure() -> None:
    cards = cards_of(sheet("fence-bar", "bench-mill-metric"))
    at = places("bench-mill-metric")
    said = [stop.way_there for n in (at.half, at.spot, at.up) if (stop := cards[n - 1].stopping)]
    assert said == [
        "0 passes once, then stop at",
        "0 passes 3 times, then stop at",
        "stop the 4th time 0 comes:",
    ]
    assert cards[at.half - 2].stopping is not None


def test_a_found_value_is_shown_in_its_units() -> None:
    assert shown(9.525, WIDTH) == "9.525 mm"
    card = cards_of(sheet("fence-bar", "bench-mill-metric"))[places("bench-mill-metric").noted - 1]
    assert card.asked is not None
    assert shown(card.asked.expected, card.asked) == "8 t 49.0"
    assert math.isfinite(card.asked.expected)
