"""Collets, the fixed steady and the spindle's bore: what they hold, what they keep the tool off."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest
from shapely.geometry import Polygon

from pathgen.check.turning.check import followed
from pathgen.check.turning.metal import as_it_comes
from pathgen.commands.proving import prove_job
from pathgen.input.getters import parse_toml
from pathgen.input.where import Faults, Refusal
from pathgen.job.turning.held_on import held_on, keep_outs
from pathgen.job.turning.turned import TurnedJob, TurnedSetup
from pathgen.moves.actions import FitCutter
from pathgen.moves.moves import Rapid
from pathgen.moves.plan import Item, Run
from pathgen.plan.turning.holding import BACK, OVERHUNG
from pathgen.plan.turning.planners import plan_turned_setup
from pathgen.shop.machines import Machine
from pathgen.shop.read_machines import read_machine
from tests.held_jobs import METRIC, PROGRAM, job_with, made, wrong_in
from tests.read_jobs import the_shop

TIE = "tie-rod"
COLLET = ('chuck = "three-jaw", stick_out = 45', 'chuck = "collets", stick_out = 45')


def lathe(name: str = METRIC) -> Machine:
    return the_shop().machine(name, job_with(TIE).where)


def of(setup: int, *changes: tuple[str, str]) -> tuple[TurnedJob, TurnedSetup]:
    job = job_with(TIE, *changes)
    return job.at(job.setups[setup]), job.setups[setup]


def told(setup: int, *changes: tuple[str, str], machine: Machine | None = None) -> str:
    """Return all that is said before the first cut of a setup."""
    plan = plan_turned_setup(*of(setup, *changes), machine or lathe(), the_shop().crib)
    words = [line for item in plan.before for line in getattr(item, "lines", ())]
    return " ".join([*words, *(getattr(item, "text", "") for item in plan.before)])


def refused(setup: int, *changes: tuple[str, str], machine: Machine | None = None) -> str:
    with pytest.raises(Refusal) as caught:
        plan_turned_setup(*of(setup, *changes), machine or lathe(), the_shop().crib)
    return str(caught.value)


def codes(items: tuple[Item, ...], *changes: tuple[str, str]) -> list[str]:
    """Return the codes of what the tool meets in going through some places."""
    job, setup = of(1, *changes)
    plan = plan_turned_setup(job, setup, lathe(), the_shop().crib)
    left = made(TIE, METRIC)["end"].report.left
    run = Run(file="t", where="step", head=plan.head, items=items, numbers=(1,) * len(items))
    comes = as_it_comes(job, setup, left)
    found = followed(run, job, setup, lathe(), the_shop().crib, comes)
    return [each.code for each in found.findings]


# ---------------------------------------------------------------------- what is made


@pytest.mark.parametrize("machine", [METRIC, PROGRAM])
def test_a_bar_that_runs_in_the_steady_is_tapped_far_from_the_chuck(machine: str) -> None:
    for proof in made(TIE, machine).values():
        assert proof.report.ok, [str(each) for each in proof.report.findings]


def test_the_steady_is_set_on_what_was_turned() -> None:
    words = told(1)
    assert "its fingers run on 13.975 mm across, 16 mm from the right face" in words
    assert "fingers of the steady pinch" in words
    plan = plan_turned_setup(*of(1), lathe(), the_shop().crib)
    assert max(each.rpm for each in plan.passes) == 700  # no faster than its fingers stand


def test_the_steady_is_a_keep_out_about_its_place() -> None:
    job, setup = of(1)
    (steady,) = [k for k in keep_outs(job, setup, held_on(setup, lathe())) if k.code == "steady"]
    assert Polygon(steady.corners).bounds == pytest.approx((-27, 13.975 / 2, -5, 95))


def test_a_tool_that_comes_to_the_steady_is_found() -> None:
    knife = next(t for t in the_shop().crib.turning_tools if t.name == "knife tool")
    fit = FitCutter(number=1, name=knife.name, diameter=2 * knife.nose_radius)
    clear = Rapid(20.0, 0.0, 5.0)
    assert codes((fit, clear, Rapid(20.0, 0.0, -4.9))) == []  # right of it
    assert codes((fit, clear, Rapid(20.0, 0.0, -6.0))) == ["steady"]


def test_a_collet_holds_what_fits_its_bore() -> None:
    words = told(0, COLLET)
    assert "in the collet of 16 mm" in words
    assert "Never close an empty collet" in words
    job, setup = of(0, COLLET)
    (nose,) = keep_outs(job, setup, held_on(setup, lathe()))
    low_z, low_x, high_z, high_x = Polygon(nose.corners).bounds
    assert (high_z, low_x, high_x) == (-44, 0, 22.5)
    assert low_z < -300


def test_a_collet_setup_is_proved() -> None:
    job = job_with(TIE, COLLET)
    job = dataclasses.replace(job, setups=job.setups[:1])
    (proof,) = prove_job(job, the_shop(), METRIC, lambda _: None)
    assert proof.report.ok


# ---------------------------------------------------------------------- what is refused


def test_a_bar_for_bores_does_not_turn_the_outside() -> None:
    # The knife's nose is 0.4; that of a boring bar would go into the corner, and it is no knife.
    words = refused(0, ("corner = 0.4", "corner = 0.3"))
    assert "turn shoulders with corners of 0.3 mm or less" in words


def test_a_bar_that_fits_no_collet_is_refused() -> None:
    words = refused(0, COLLET, ("diameter = 16 ", "diameter = 15.3 "))
    assert "they take a bar up to 0.5 mm under their bores" in words


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ([("at = 16", "at = 80")], "the steady runs on the bar as it comes"),
        ([("at = 16", "at = 160")], "behind the jaws"),
        ([('name = "fixed steady", at = 16', "at = 16")], "setup[2].hold.steady.name"),
    ],
)
def test_a_steady_that_runs_on_nothing_turned_is_said(
    changes: list[tuple[str, str]], words: str
) -> None:
    errors = wrong_in(TIE, *changes)
    assert any(words in each for each in errors), errors


TURNED_TOO = (
    'kind = "drilled"\nname = "screw hole"\ntapped = "M8"\ndepth = 16',
    'kind = "turned"\nname = "spigot"\nsteps = [{ diameter = 10, to = 12 }]',
)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ([TURNED_TOO], "set it between the two"),
        ([('"fixed steady"', '"follow rest"')], "a steady called 'follow rest'"),
        ([("stick_out = 150", "stick_out = 200")], "between two supports: more than 10 diameters"),
    ],
)
def test_a_steady_in_the_way_or_too_far_off_is_refused(
    changes: list[tuple[str, str]], words: str
) -> None:
    assert words in refused(1, *changes)


def test_without_the_steady_the_bar_stands_out_too_far() -> None:
    words = refused(1, (', steady = { name = "fixed steady", at = 16 }', ""))
    assert "with nothing at its end: more than 4 diameters" in words
    assert "face and centre its end" in words


@pytest.mark.parametrize(("stick_out", "cautioned"), [(48, False), (49, True)])
def test_more_than_three_diameters_are_a_caution(stick_out: int, *, cautioned: bool) -> None:
    words = told(0, ("stick_out = 45", f"stick_out = {stick_out}"))  # of 16 mm bar
    assert (OVERHUNG in words) == cautioned


def test_a_bar_that_comes_out_of_the_back_of_the_spindle_is_told_of() -> None:
    machine = lathe()
    assert machine.lathe is not None
    short = dataclasses.replace(machine.lathe, spindle_length=150.0)
    assert BACK in told(0, machine=dataclasses.replace(machine, lathe=short))
    assert BACK not in told(0)


def test_a_bar_thicker_than_the_spindle_s_bore_ends_in_the_jaws() -> None:
    machine = lathe()
    assert machine.lathe is not None
    narrow = dataclasses.replace(machine.lathe, spindle_bore=15.0)
    words = refused(0, machine=dataclasses.replace(machine, lathe=narrow))
    assert "it does not go into the spindle" in words


# ---------------------------------------------------------------------- the machine's file


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        ("quill_diameter = 32", "# ", "quill_diameter: not given"),
        ("length = 48 ", "length = 15 ", "its cone alone is 20.785 mm long"),
        ("holds = [5, 22]", "holds = [22, 5]", "give the smallest diameter it holds first"),
        ("reach = 38 ", "reach = 10 ", "give from the axis to the end of its tail"),
        ("outer = 95 ", "outer = 25 ", "give from the axis to the frame's outside"),
        ("bores = [3, 4, 5, 6, 8, 10, 12, 14, 16]", "bores = []", "no bore, or one of 0"),
        ('kind = "live" ', 'kind = "half" ', '"half"'),
    ],
)
def test_what_makes_no_sense_in_the_file_is_said(before: str, after: str, words: str) -> None:
    text = Path(lathe().where.file).read_text(encoding="utf-8")
    assert before in text
    faults = Faults()
    table = parse_toml(text.replace(before, after, 1), "lathe.toml", faults)
    assert table is not None
    read_machine(table)
    assert any(words in str(each) for each in faults.errors), [str(e) for e in faults.errors]
