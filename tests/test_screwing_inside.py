"""Threads cut in a bore: the spindle nut on the shipped lathes, and slips that are found."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from pathgen.commands.loading import load
from pathgen.commands.proving import prove_job
from pathgen.input.where import InputError, Refusal
from pathgen.moves.actions import FitCutter, HalfNuts, Measure, Pause, WorkBy
from pathgen.moves.moves import Rapid, ThreadCut
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.thread_passes import compare_passes
from postprocessors.drawing.half_threads import threads
from tests.turned_screw import NUT, Made, codes_in, nut, nut_of

METRIC, INCH_DIALS, PROGRAM = "bench-lathe-metric", "bench-lathe-inch", "converted-lathe"
LATHES = (METRIC, INCH_DIALS, PROGRAM)
BORE = 18.52 / 2  # the middle of its limits


def thread_items(made: Made) -> list[Any]:
    """Return what the run does with the thread's tool."""
    items = list(made.run.items)
    fitted = {i: each.name for i, each in enumerate(items) if isinstance(each, FitCutter)}
    first = next(i for i, name in fitted.items() if "point" in name)
    return items[first : min((i for i in fitted if i > first), default=len(items))]


# ---------------------------------------------------------------------- what is made


@pytest.mark.parametrize("machine", LATHES)
def test_the_nut_is_proved_within_6h(machine: str) -> None:
    report = nut(machine).report
    assert report.ok
    sizes = {each.quantity: each for each in report.sizes if each.feature == "nut thread"}
    pitch, root = sizes["pitch diameter"], sizes["major diameter"]
    assert (pitch.wanted.low, pitch.wanted.high) == pytest.approx(
        (19.026, 19.216), abs=5e-4
    )  # ISO 965-2
    assert pitch.wanted.low <= pitch.least - pitch.uncertainty
    assert pitch.most + pitch.uncertainty <= pitch.wanted.high
    # The flanks meet 20.42 across where the pitch diameter is 19.121; the nose, 0.1 mm, stops short
    # of that by 0.1 mm on the radius.
    assert root.least == pytest.approx(19.121 + 1.29904 - 0.2, abs=0.01)
    assert root.least > 20.0


def test_the_nut_is_proved_in_every_case_of_slack_and_measurement() -> None:
    job, shop = load(NUT)
    (proof,) = prove_job(job, shop, None, lambda _: None)
    assert proof.report.ok


@pytest.mark.parametrize("machine", LATHES)
def test_passes_go_outwards_and_are_cleared_inwards(machine: str) -> None:
    items = thread_items(nut(machine))
    cuts = [i for i, e in enumerate(items) if isinstance(e, ThreadCut) and e.nuts != "reversed"]
    tips = [items[i].x for i in cuts]
    assert tips == sorted(tips)
    assert tips[0] > BORE
    for i in cuts:
        cleared = items[i + 1]
        assert isinstance(cleared, Rapid)
        assert cleared.x <= BORE - 0.5  # off the wall, on handles by the slack more
        assert cleared.z == pytest.approx(items[i].z)


@pytest.mark.parametrize("machine", LATHES)
def test_passes_take_even_areas_half_as_large_as_outside(machine: str) -> None:
    tips = [each.x for each in thread_items(nut(machine)) if isinstance(each, ThreadCut)]
    depths = [0.0, *(x - BORE for x in dict.fromkeys(tips) if x > BORE)][:15]
    areas = [b**2 - a**2 for a, b in pairwise(depths)]
    assert max(areas) < 0.3**2 / 2 + 0.008  # and what the dial rounds


def test_a_sheet_works_inside_by_the_carriage_and_tries_a_gauge_before_the_middle() -> None:
    for machine, stays in ((METRIC, False), (INCH_DIALS, True)):
        items = thread_items(nut(machine))
        (by,) = [
            e
            for e in nut(machine).run.items
            if isinstance(e, WorkBy)
            and "carriage" in e.slides
            and e.outwards
            and len(e.slides) == 2
        ][-1:]
        assert set(by.slides) == {"cross slide", "carriage"}
        assert not any(isinstance(each, Measure) for each in items)
        pauses = [each.reason for each in items if isinstance(each, Pause)]
        assert len(pauses) == 3
        assert all("GO plug gauge of M20x1.5, 6H, or the screw" in each for each in pauses)
        assert ["go on where the half-nuts are opened" in each for each in pauses] == [
            stays,
            stays,
            False,
        ]
        tips = [e.x for e in items if isinstance(e, ThreadCut) and e.nuts != "reversed"]
        first, last = tips[-3], tips[-1]  # a quarter of 0.19 mm of diameter apart
        assert last - first == pytest.approx(0.19 / 4 / 2, abs=0.015)
        assert [e.closed for e in items if isinstance(e, HalfNuts)] == ([True, False] * stays)


def test_the_drawing_has_the_thread_in_its_bore() -> None:
    (drawn,) = threads(nut(METRIC).setup)
    assert (drawn.words, drawn.right, drawn.left, drawn.root) == ("M20x1.5 inside", 0, -24, 10)
    assert drawn.surface == pytest.approx(BORE)


def threaded(name: str) -> tuple[tuple[str, str], ...]:
    """Return the changes that give the nut, and what goes into it, another thread."""
    return (
        ('"M20x1.5"', f'"{name}"'),
        ("M20x1.5 screw", f"{name} screw"),
        ("tapped for M20x1.5", f"tapped for {name}"),
    )


BLIND = (
    ("length = 66", "length = 76"),
    ("stick_out = 44", "stick_out = 52"),
    ("to = 26", "to = 34"),
    ('to = "through"', "to = 20"),
    ("length = 24.4", "length = 13.2"),
    ("run_out = 2", "run_out = 3.4"),
    ("length = 24\n", "length = 32\n"),
)
THREAD = '[[setup.feature]]\nkind = "screw-cut"'
RECESS = """[[setup.feature]]
kind = "recess"
name = "groove"
diameter = 21
start = 13
width = 4

"""
GROOVE = (THREAD, RECESS + THREAD)


@pytest.mark.parametrize("machine", [METRIC, PROGRAM])
def test_a_blind_thread_runs_out_in_its_groove(tmp_path: Path, machine: str) -> None:
    made = nut_of(tmp_path, machine, *BLIND, GROOVE)
    assert made.report.ok
    cuts = [each for each in made.run.items if isinstance(each, ThreadCut)]
    assert min(each.z for each in cuts) > -16.8  # off the far wall of the groove, at 16.7 at least


def test_a_blind_thread_without_a_groove_needs_room_for_the_bar(tmp_path: Path) -> None:
    made = nut_of(tmp_path, METRIC, *BLIND)
    assert made.report.ok
    with pytest.raises(Refusal, match="a bore that goes deeper"):
        nut_of(tmp_path, METRIC, *BLIND, ("to = 20", "to = 16"), ("run_out = 3.4", "run_out = 2.6"))


def test_a_whitworth_nut_is_cut_by_its_own_point(tmp_path: Path) -> None:
    made = nut_of(
        tmp_path,
        INCH_DIALS,
        *threaded("7/8 BSF"),
        (
            "diameter = 18.5, diameter_limits = [18.42, 18.62]",
            "diameter = 19.4, diameter_limits = [19.35, 19.55]",
        ),
        ("run_out = 2", "run_out = 2.6"),
    )
    assert made.report.ok
    assert any("55 degree point" in each.name for each in made.plan.head.cutters)


# ---------------------------------------------------------------------- what is refused


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ([("[18.42, 18.62]", "[18.3, 18.6]")], "bore it to diameter_limits within 18.376"),
        (
            [('of = "bore"', 'of = "hole"')],
            "'hole' is no bore that comes before it.*name one: bore",
        ),
        ([("run_out = 2", "run_out = 2\nwire = 1")], "wire: of a thread inside"),
        ([("run_out = 2", "run_out = 0.5")], "a hand is too late|leaves no room"),
        ([*BLIND, ("to = 20", "to = 16")], "its bore ends at"),
        ([*BLIND, GROOVE, ("start = 13", "start = 14")], "groove.*begins 14.2 mm"),
        ([*BLIND, GROOVE, ("width = 4", "width = 2")], "groove.*ends 14.7 mm"),
        ([*BLIND, GROOVE, ("diameter = 21", "diameter = 20")], "groove.*is 19.8 mm across"),
        ([('"M20x1.5"', '"M20x1.5"\npitch_diameter_limits = [18.9, 19]')], "no less than 19.02"),
        (
            [
                (
                    "diameter = 18.5, diameter_limits = [18.42, 18.62]",
                    "diameter = 12.1, diameter_limits = [12.05, 12.2]",
                ),
                *threaded("M14"),
                ("run_out = 2", "run_out = 3"),
            ],
            "no bar of the crib with such a point",
        ),
    ],
)
def test_what_cannot_be_cut_inside_is_refused(
    tmp_path: Path, changes: list[tuple[str, str]], message: str
) -> None:
    with pytest.raises((Refusal, InputError), match=message):
        nut_of(tmp_path, METRIC, *changes)


# ---------------------------------------------------------------------- slips in a sheet

Sheet = dict[str, Any]


def indices(raw: Sheet, kind: str) -> list[int]:
    return [i for i, step in enumerate(raw["steps"]) if step["kind"] == kind]


def taken_out(raw: Sheet, index: int) -> None:
    del raw["steps"][index]
    for number, step in enumerate(raw["steps"], start=1):
        step["number"] = number
    for each in raw["operations"]:
        each["first"] -= each["first"] > index + 1


def not_cleared(raw: Sheet) -> None:
    taken_out(raw, indices(raw, "thread")[0] + 1)


def without_passes(raw: Sheet) -> None:
    """Leave passes 2 to 6 out: the seventh takes what they should have."""
    said = [step.get("what", "") for step in raw["steps"]]
    first = said.index("pass 2 of 14")
    for _ in range(said.index("pass 7 of 14") - first):
        taken_out(raw, first)


def further(raw: Sheet) -> None:
    for i in indices(raw, "thread"):
        if raw["steps"][i]["nuts"] != "reversed":
            raw["steps"][i]["reading"] += 80
            raw["steps"][i]["place"] -= 4.0


def shorter(raw: Sheet) -> None:
    for i in indices(raw, "thread"):
        raw["steps"][i]["reading"] -= 80
        raw["steps"][i]["place"] += 4.0


def other_point(raw: Sheet) -> None:
    for step in [*raw["steps"], *raw["head"]["cutters"]]:
        if "60 degree point" in step.get("name", ""):
            step["name"] = step["name"].replace("60", "55")


def as_outside(raw: Sheet) -> None:
    """Work the thread with the slack taken out the other way."""
    last = [s for s in raw["steps"] if s.get("outwards")][-1]
    last["outwards"] = False


@pytest.mark.parametrize(
    ("machine", "slip", "code"),
    [
        (METRIC, not_cleared, "rapid"),
        (INCH_DIALS, not_cleared, "rapid"),
        (METRIC, further, "run-out"),
        (METRIC, shorter, "thread length"),
        (METRIC, other_point, "thread tool"),
        (METRIC, without_passes, "depth"),
        (METRIC, as_outside, "zero"),
    ],
)
def test_a_slip_in_a_sheet_is_found(machine: str, slip: Callable[[Sheet], None], code: str) -> None:
    raw = json.loads(nut(machine).text)
    slip(raw)
    assert code in codes_in(nut(machine), json.dumps(raw))


@pytest.mark.parametrize("machine", [METRIC, INCH_DIALS])
def test_a_cut_for_a_tight_gauge_left_out_is_found(machine: str) -> None:
    raw = json.loads(nut(machine).text)
    assert compare_passes(load_sheet(json.dumps(raw), "sheet")) == ()
    said = [step.get("what", "") for step in raw["steps"]]
    taken_out(raw, said.index("cut 1 of 2 for a tight gauge"))
    (trouble,) = compare_passes(load_sheet(json.dumps(raw), "sheet"))
    assert "cut 2 of 2 comes, cut 1 is not there" in trouble.what


def test_words_of_a_sheet_may_be_changed() -> None:
    raw = json.loads(nut(METRIC).text)
    for i in indices(raw, "thread"):
        raw["steps"][i]["what"] = "along"
    for step in raw["steps"]:
        if step["kind"] == "pause":
            step["reason"] = "Try the spindle itself."
    assert codes_in(nut(METRIC), json.dumps(raw)) == set()


# ---------------------------------------------------------------------- slips in a program


@pytest.mark.parametrize(
    ("pattern", "by", "code"),
    [
        (r" K1\.5\n", " K1.25\n", "lead"),
        (r"G33 Z-[\d.]+ K1\.5\n", "", "left"),
        (r"(pass 3 of 14\)\n.*\nG33 Z)-24", r"\1-34", "run-out"),
        (r"G0 Z4\.7796\n", "G0 Z5.2\n", "groove"),
        (r"G0 X20\.2198", "G0 X20.35", "size"),
        (r"\(-- IN, clear of the thread, at once\)\nG0 X17\.52\n", "", "rapid"),
        (r"(IN, clear of the thread, at once\)\nG0 X)17\.52\n", r"\g<1>6.0\n", "rapid"),
        (r"60 degree point", "55 degree point", "thread tool"),
        (r"G0 X18\.9422", "G0 X19.6", "depth"),
    ],
)
def test_a_slip_in_a_program_is_found(pattern: str, by: str, code: str) -> None:
    text, count = re.subn(pattern, by, nut(PROGRAM).text)
    assert count
    assert code in codes_in(nut(PROGRAM), text)


def test_words_of_a_program_may_be_written_otherwise() -> None:
    text, count = re.subn(r"G33 (Z-[\d.]+) K1\.5\n", r"g33 K1.500 \1\n", nut(PROGRAM).text)
    assert count
    assert codes_in(nut(PROGRAM), text) == set()
