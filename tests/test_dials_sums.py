"""The sums and counts of the printed sheet, worked on paper for every value that may be written."""

from __future__ import annotations

import math
import re
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen import INCH
from postprocessors.dials.cases import Case
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.faces.paper_sum import Unit, as_read, in_lengths, paper_sum
from postprocessors.dials.faces.text import write_text
from postprocessors.dials.handles import Handle
from postprocessors.dials.replay import replay
from postprocessors.dials.scribe import correction
from postprocessors.dials.steps import Dial, MeasureStep, Sheet, WindStep
from tests import dial_shop
from tests.test_measured_faults import KEEPER, WIDER
from tests.test_named_faults import FENCE_BAR, made

# Sheets whose readings follow a noted one alone, and a measured size too.
WORKED = [
    (machine, changes, job_file)
    for machine in ("bench-mill-metric", "bench-mill-inch")
    for changes, job_file in (((), FENCE_BAR), (WIDER, KEEPER))
]
NOTED = re.compile(
    r"F\d: how far its figure is above ([\d.]+) of turn (-?\d+) \(minus: below\) _+ ; x (-?[\d.]+) "
)
MEASURED = re.compile(r"M\d found _+ - ([\d.]+) = _+ mm ; x (-?[\d.]+) = _+ divisions")
START = re.compile(r"(-?[\d.]+) \+ _+ = _+ , to the nearest ([\d.]+): stop the dial there")
WHOLE = re.compile(r"\(([\d.]+) or more: take [\d.]+ off; below 0: add [\d.]+\)")
OFTEN = r"(never|once|\d+ times)"
PASSES = re.compile(rf"0 passes {OFTEN}")
BY_NOTED = re.compile(rf"; {OFTEN} if F\d is (-?\d+) t ([\d.]+) or more")
BY_MEASURED = re.compile(rf"; {OFTEN} if M\d is ([\d.]+) mm or more")


@cache
def printed(which: int) -> tuple[Sheet, dict[int, str]]:
    """Return the steps of a sheet, and what is printed of each in one line."""
    proof = made(*WORKED[which])
    sheet = load_sheet(proof.text, "sheet")
    text: dict[int, str] = {}
    number = 0
    for line in write_text(sheet, proof.place.machine).splitlines():
        begins = re.match(r"\[ \] +(\d+) ", line)
        number = int(begins[1]) if begins else number
        text[number] = f"{text.get(number, '')} {line.strip()}"
    return sheet, text


def count_of(said: str) -> int:
    return (
        {"never": 0, "once": 1}[said]
        if said in ("never", "once")
        else int(said.removesuffix(" times"))
    )


def exactly(value: float) -> Decimal:
    return Decimal(str(value))


def written_values(sheet: Sheet, slide: str, measure: str) -> list[tuple[Decimal, float]]:
    """Return each value that may be written down for a quantity, and the same in mm.

    A noted reading is written in divisions, its turns counted in; a size to 0.001 mm.
    """
    rules = [each.rule for each in sheet.steps if isinstance(each, WindStep) and each.rule]
    band = next(rule for rule in rules if rule.measure == measure)
    if measure.startswith("F"):
        dial = sheet.dial(slide)
        counts = range(round(band.low / dial.count), round(band.high / dial.count) + 1)
        return [(each * exactly(dial.judged), each * dial.count) for each in counts]
    low, high = math.ceil(band.low * 1000 - 1e-6), math.floor(band.high * 1000 + 1e-6)
    return [(Decimal(each) / 1000, each / 1000) for each in range(low, high + 1)]


def on_paper(said: str, written: Decimal, dial: Dial) -> int:
    """Return the dial's figure, in judged parts, as a person works it out from what is printed."""
    noted, measured, start = NOTED.search(said), MEASURED.search(said), START.search(said)
    assert start
    if noted:
        above = written - Decimal(noted[2]) * exactly(dial.divisions) - Decimal(noted[1])
        difference = above * Decimal(noted[3])
    else:
        assert measured
        difference = (written - Decimal(measured[1])) * Decimal(measured[2])
    nearest = Decimal(start[2])
    result = ((Decimal(start[1]) + difference) / nearest).quantize(Decimal(1), ROUND_HALF_UP)
    if not 0 <= result < dial.counts_per_turn:
        whole = WHOLE.search(said)
        assert whole
        assert Decimal(whole[1]) == exactly(dial.divisions)
    return int(result) % dial.counts_per_turn


@pytest.mark.parametrize("which", range(len(WORKED)))
def test_each_sum_on_paper_gives_the_reading_that_is_replayed(which: int) -> None:
    sheet, text = printed(which)
    following = [step for step in sheet.steps if isinstance(step, WindStep) and step.rule]
    assert following
    for step in following:
        dial, rule = sheet.dial(step.slide), step.rule
        assert rule is not None
        values = written_values(sheet, step.slide, step.measure)
        assert len(values) > 50
        for written, found in values:
            reading = math.floor(rule.base + rule.per_mm * (found - rule.expected) + 0.5)
            figure = on_paper(text[step.number], written, dial)
            assert figure == reading % dial.counts_per_turn, (step.number, written)


@pytest.mark.parametrize("which", range(len(WORKED)))
def test_each_count_on_paper_is_the_one_that_is_replayed(which: int) -> None:
    sheet, text = printed(which)
    for step in sheet.steps:
        if not isinstance(step, WindStep) or not step.passes_from:
            continue
        dial, said = sheet.dial(step.slide), text[step.number]
        begins = PASSES.search(said)
        assert begins
        if len(step.passes_from) > 1:  # one count on the line: none stands beside it
            assert f" by {step.measure}, on to " in said
            assert not re.search(r"(\d+, then on to|none, on to|stop on it)", said)
        turn = exactly(dial.divisions)
        edges = [
            (count_of(n), int(t) * turn + Decimal(shown)) for n, t, shown in BY_NOTED.findall(said)
        ]
        edges += [(count_of(n), Decimal(size)) for n, size in BY_MEASURED.findall(said)]
        assert len(edges) == len(step.passes_from) - 1
        for written, found in written_values(sheet, step.slide, step.measure):
            on_sheet = [count_of(begins[1]), *(times for times, edge in edges if written >= edge)]
            by_data = [each.passes for each in step.passes_from if each.found <= found]
            assert on_sheet[-1] == by_data[-1], (step.number, written)


def test_some_count_does_follow() -> None:
    # Else the test above would compare nothing with nothing.
    changing = [step for which in range(len(WORKED)) for step in counts_of(which)]
    assert {step.measure[0] for step in changing} >= {"F"}


def counts_of(which: int) -> list[WindStep]:
    sheet, _ = printed(which)
    return [step for step in sheet.steps if isinstance(step, WindStep) and step.passes_from]


def test_every_size_that_may_be_measured_is_followed_without_trouble() -> None:
    proof = made(*WORKED[1])
    sheet, _ = printed(1)
    measure = next(step for step in sheet.steps if isinstance(step, MeasureStep))
    for thousandths in range(round(measure.low * 1000), round(measure.high * 1000) + 1, 3):
        found = min(max(thousandths / 1000, measure.low), measure.high)
        case = Case(play=-1, slack=0, found=((measure.name, found),))
        assert replay(sheet, proof.place.machine, case, file="sheet").troubles == ()


# ---------------------------------------------------------------- any rule


@given(
    kind=st.sampled_from([dial_shop.INCH, dial_shop.METRIC_4, dial_shop.SIXTEENTH]),
    place=st.integers(-200_000, 200_000).map(lambda each: each / 1000),
    expected=st.integers(2_000, 40_000).map(lambda each: each / 1000),
    factor=st.sampled_from([-1.0, -0.5, 0.5, 1.0]),
    judged=st.sampled_from([0.5, 0.25]),
    written=st.sampled_from(["mm", "in", "dial"]),
)
@settings(max_examples=60, deadline=None)
def test_a_sum_on_paper_agrees_with_any_rule(
    kind: dict[str, Any], place: float, expected: float, factor: float, judged: float, written: str
) -> None:
    handle = Handle(slide=dial_shop.slide("x", **kind, judged=judged), side=1, origin=0.0)
    measure = MeasureStep(
        number=1, name="M1", what="", expected=expected, low=expected - 0.15, high=expected + 0.15
    )
    rule = correction(handle, measure, factor, place / handle.slide.count)
    dial = handle.dial()
    unit = as_read(dial) if written == "dial" else in_lengths("mm" if written == "mm" else "in")
    total = paper_sum(rule, dial, unit)
    assert (
        round(total.start, total.start_decimals),
        round(total.factor, total.factor_decimals),
    ) == (
        total.start,
        total.factor,
    )
    assert total.factor == pytest.approx(rule.per_mm * unit.length * judged, abs=0.005)
    values = list(unit.between(rule.low, rule.high))
    assert len(values) >= 0.3 / (unit.least * unit.length) - 1
    for each in values:
        found = each * unit.length
        by_data = math.floor(rule.base + rule.per_mm * (found - rule.expected) + 0.5)
        assert total.reading(each) == by_data


def test_an_edge_is_written_as_the_first_value_past_it() -> None:
    assert in_lengths("mm").first_from(9.43176) == pytest.approx(9.432)
    assert in_lengths("mm").first_from(9.432) == pytest.approx(9.432)
    assert in_lengths("in").first_from(9.43176) == pytest.approx(0.3714)  # 0.37133 in
    assert in_lengths("in").length == INCH
    assert Unit(length=2.0, least=0.5, decimals=1).first_from(3.01) == 2.0
