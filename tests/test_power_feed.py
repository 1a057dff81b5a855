"""Power feed on a slide: chosen, said, replayed and reckoned with; accelerations in the times."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from pathgen.commands.proving import prove_setup, prove_text
from pathgen.commands.telling import pace_of
from pathgen.commands.workplace import Proof, Workplace
from pathgen.moves.moves import Feed, Rapid
from pathgen.moves.plan import Item
from pathgen.moves.timing import Pace, minutes
from pathgen.shop.machines import Machine
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.faces.text import write_text
from postprocessors.dials.steps import WindStep
from tests.fence_bar import job_of
from tests.read_jobs import the_shop
from tests.test_readout import slide_of


def powered(**how: Any) -> Machine:
    """Return a bench mill with power feed on its table."""
    machine = the_shop().machines["bench-mill-metric"]
    x, y, z = machine.slides
    return replace(machine, slides=(replace(x, **how), y, z))


def place_on(machine: Machine) -> Workplace:
    job = job_of()
    return Workplace(job=job, setup=job.setups[0], machine=machine, shop=the_shop())


@cache
def proof_on(machine: Machine) -> Proof:
    return prove_setup(place_on(machine), lambda _: None)


FIXED = powered(power=(15.0, 40.0, 90.0))


def by_power(proof: Proof) -> list[WindStep]:
    steps = load_sheet(proof.text, "sheet").steps
    return [each for each in steps if isinstance(each, WindStep) and each.power]


def test_long_cuts_along_the_table_go_by_the_feed_next_below_the_wanted_one() -> None:
    # Roughing wants 72 mm a minute, finishing walls 22: 40 and 15, each at least half of it.
    proof = proof_on(FIXED)
    assert proof.report.ok
    cuts = by_power(proof)
    assert {each.power for each in cuts} == {15.0, 40.0, 90.0}
    assert {each.slide for each in cuts} == {"table"}
    moves = [item for item in proof.run.items if isinstance(item, Feed)]
    assert {40.0, 15.0} <= {round(item.feed, 6) for item in moves}


def test_any_feed_of_a_range_is_the_wanted_one() -> None:
    proof = proof_on(powered(power_range=(10.0, 300.0)))
    assert proof.plan is not None
    wanted = {
        item.feed for each in proof.plan.passes for item in each.items if isinstance(item, Feed)
    }
    assert {each.power for each in by_power(proof)} <= wanted


def test_the_sheet_says_where_to_take_it_off_and_how_to_go_on() -> None:
    text = " ".join(write_text(load_sheet(proof_on(FIXED).text, "sheet"), FIXED).split())
    assert "POWER FEED 40 mm a minute, a hand on its lever; disengage it 3 mm short" in text
    assert "go on by the handle at" in text


def test_a_feed_that_the_slide_has_not_got_is_found() -> None:
    raw = json.loads(proof_on(FIXED).text)
    next(step for step in raw["steps"] if step.get("power"))["power"] = 50.0
    report = prove_text(place_on(FIXED), json.dumps(raw), "sheet.json", lambda _: None).report
    told = [each.what for each in report.findings if each.code == "machine-changed"]
    assert told == ["the table has no feed by power of 50 mm a minute"]


def test_a_slower_feed_takes_longer() -> None:
    # 100 mm at 75 mm a minute by hand; by power the next below it is 40.
    items: list[Item] = [Rapid(0.0, 0.0, -1.0), Feed(100.0, 0.0, -1.0, 75.0)]
    assert minutes(items, pace_of(powered())) == pytest.approx(100 / 75)
    assert minutes(items, pace_of(FIXED)) == pytest.approx(100 / 40)


@pytest.mark.parametrize(
    ("lines", "message"),
    [
        (("power = [20, 0]",), "power: feeds of nought"),
        (("power_range = [50, 10]",), "power_range: does not rise"),
        (("power = [20]", "power_range = [5, 100]"), "or power_range besides"),
    ],
)
def test_feeds_that_make_no_sense_are_refused(lines: tuple[str, ...], message: str) -> None:
    slide, errors = slide_of("divisions = 200", *lines)
    assert slide is None
    assert any(message in each for each in errors), errors


def test_feeds_are_read() -> None:
    slide, errors = slide_of("divisions = 200", "power = [60, 20]")
    assert not errors
    assert slide.power == (20.0, 60.0)


# ---------------------------------------------------------------- accelerations


def test_a_way_from_rest_to_rest_takes_what_the_acceleration_adds() -> None:
    # 60 mm at 10 mm/s is 6 s; from rest and to rest at 20 mm/s2 each end adds a quarter.
    items: list[Item] = [Rapid(0.0, 0.0, 0.0), Feed(60.0, 0.0, 0.0, 600.0)]
    assert minutes(items, Pace(rapid=600.0)) * 60 == pytest.approx(6.0)
    assert minutes(items, Pace(rapid=600.0, acceleration=20.0)) * 60 == pytest.approx(6.5)


def test_a_way_too_short_to_come_up_to_speed_goes_by_the_acceleration_alone() -> None:
    items: list[Item] = [Rapid(0.0, 0.0, 0.0), Rapid(1.0, 0.0, 0.0)]
    slow = minutes(items, Pace(rapid=6000.0, acceleration=25.0)) * 60
    assert slow == pytest.approx(2 * math.sqrt(1.0 / 25.0))


def test_a_control_tells_its_acceleration() -> None:
    machine = the_shop().machines["converted-mill"]
    assert machine.control is not None
    declared = replace(machine, control=replace(machine.control, acceleration=50.0))
    assert pace_of(declared).acceleration == 50.0
    assert pace_of(machine).acceleration == 0.0
