"""Round walls on handles, the work turned on a rotary table: how, slips in it, refusals."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from pathgen.check.metal.legs import chords
from pathgen.commands.loading import load
from pathgen.commands.proving import prove_job
from pathgen.commands.workplace import Proof
from pathgen.input.getters import parse_toml
from pathgen.input.where import Faults, Refusal
from pathgen.moves.actions import FitTouching, Measure, Note, Zero
from pathgen.moves.moves import Arc, Feed, Rapid, TurnWork
from pathgen.moves.on_table import seen_from_the_work
from pathgen.moves.plan import Item, PlannedSetup
from pathgen.shop.rotary import read_rotary
from tests.edited_plans import Change, each_item, found_once, planned
from tests.read_jobs import changed, job_from, reading, the_shop

JOBS = Path(__file__).parent.parent / "jobs"
HEAD = """
title = "Cup of the swivel"
units = "mm"
blank = { form = "bar", length = 70, width = 60, thickness = 10, material = "brass" }
[[setup]]
name = "top"
machine = "bench-mill-metric"
hold = { how = "rotary table", centre = [35, 28] }
datum.x = { face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }
datum.y = { face = "front", tool = "pin", tool_diameter = 3 }
datum.z = { face = "top", paper = 0.05 }
[[setup.feature]]
"""
CUP = """kind = "pocket"
name = "cup"
round = 30
diameter_limits = [30, 30.1]
centre = [35, 28]
depth = 3
"""
DISC = """kind = "outside"
name = "disc"
round = 44
centre = [35, 28]
cleared = true
depth = 3
"""


@cache
def made(text: str, machine: str = "bench-mill-metric") -> Proof:
    """Return a job as made on a machine, proved."""
    (proof,) = prove_job(job_from(text, "swivel-cup"), the_shop(), machine, lambda _: None)
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    return proof


def found_in(feature: str, change: Change) -> set[str]:
    """Return the codes of what is found once the plan of a feature is changed."""
    return found_once(made(HEAD + feature), change)


# ---------------------------------------------------------------- the way


@pytest.mark.parametrize(("feature", "way"), [(CUP, 360.0), (DISC, -360.0)])
def test_each_ring_is_one_turn_of_the_work_against_the_cutters(feature: str, way: float) -> None:
    plan = planned(made(HEAD + feature))
    for one in plan.passes:
        items = [item for item in one.items if isinstance(item, Feed | Rapid | TurnWork)]
        for before, turn in pairwise(items):
            if isinstance(turn, TurnWork):
                assert (turn.start_deg, turn.end_deg) == (0.0, way)
                assert isinstance(before, Feed)
                assert before.y == 28.0  # x alone sets the radius
    assert sum(isinstance(i, TurnWork) for one in plan.passes for i in one.items) >= 2


def test_the_wall_is_cut_to_the_middle_of_its_limits() -> None:
    sizes = {size.quantity: size for size in made(HEAD + CUP).report.sizes}
    assert "to file" not in sizes
    # 30.05 within half of what the dial's 0.01 mm leaves open, on either side, as it was measured
    assert 30.05 - 0.02 <= sizes["diameter"].least <= sizes["diameter"].most <= 30.05 + 0.02
    # two settings, 0.005 mm each, and the table's axis within 0.01 mm, both in the diameter
    assert sizes["diameter"].uncertainty == pytest.approx(2 * 0.005 + 2 * 0.01)
    # where it lies: indicator 0.01, pin 0.02, one setting 0.005
    assert sizes["x"].uncertainty == pytest.approx(0.01 + 0.02 + 0.005)


def test_a_disc_is_cut_from_beside_the_blank_inwards() -> None:
    rough = planned(made(HEAD + DISC)).passes[0]
    offs = [35.0 - item.x for item in rough.items if isinstance(item, Feed)]
    radius = rough.cutter.diameter / 2
    assert offs[0] > math.hypot(35, 32) + radius  # the blank's corners, 35 and 32 mm off, go by
    assert min(offs) == pytest.approx(22 + 0.3 + radius)  # to the allowance off the wall


def test_a_turn_is_an_arc_the_other_way_round() -> None:
    """The cutter stands still and the work turns: its place in the work is turned back."""
    centre, at = (35.0, 28.0), (42.0, 28.0, -3.0)
    run = made(HEAD + CUP).run
    turn = TurnWork("the table", 0.0, 360.0, 72.0)
    items: tuple[Item, ...] = (Feed(*at, 90.0), turn)
    (_, arc) = seen_from_the_work(replace(run, items=items, numbers=(1, 2)), centre).items
    assert isinstance(arc, Arc)
    assert arc.feed == pytest.approx(2 * math.pi * 7.0 / 5)  # 72 degrees a minute: 5 minutes round
    places = chords(at, arc)
    for row, (x, y, z) in enumerate(places, start=1):
        turned = -2 * math.pi * row / len(places)  # the work has turned by so much, anticlockwise
        there = centre[0] + 7 * math.cos(turned), centre[1] + 7 * math.sin(turned), -3.0
        assert (x, y, z) == pytest.approx(there)


def test_the_sheet_says_how_the_table_is_centred_and_the_work_laid_true() -> None:
    plan = planned(made(HEAD + CUP))
    kinds = [type(item) for item in plan.before]
    zeros = [item for item in plan.before if isinstance(item, Zero)]
    assert [(zero.touches[0].of, zero.touches[0].at) for zero in zeros] == [
        ("bore of the rotary table", 35.0),
        ("bore of the rotary table", 28.0),
    ]
    fits = [item.name for item in plan.before if isinstance(item, FitTouching)]
    assert fits == ["indicator", "pin"]
    assert kinds.index(Zero) < kinds.index(Rapid)
    places = [item for item in plan.before if isinstance(item, Rapid)]
    assert places[0].x == pytest.approx(-1.5 - 0.05)  # half the pin and the paper off the face
    assert places[1].y == pytest.approx(-1.5)
    words = " ".join(item.text for item in plan.before if isinstance(item, Note))
    assert "that face then lies at x 0 mm" in words


def test_the_demo_takes_the_slack_out_where_the_way_changes() -> None:
    job, shop = load(JOBS / "swivel-cup.toml")
    (proof,) = prove_job(job, shop, None, lambda _: None)
    assert proof.report.ok
    rough = next(each for each in planned(proof).passes if each.feature == "rim")
    told = [item.text for item in rough.items if isinstance(item, Note)]
    assert any("6 minutes of arc (3 divisions)" in text for text in told)
    assert "table slack" in {each.code for each in proof.report.findings}


# ---------------------------------------------------------------- slips, and what is none


def half_turned(item: Item) -> Item:
    return item._replace(end_deg=180.0) if isinstance(item, TurnWork) else item


def wrong_way(item: Item) -> Item:
    return item._replace(end_deg=-item.end_deg) if isinstance(item, TurnWork) else item


def hurried(item: Item) -> Item:
    return item._replace(rate=20 * item.rate) if isinstance(item, TurnWork) else item


def no_turn(item: Item) -> Item | None:
    return None if isinstance(item, TurnWork) else item


def further_out(item: Item) -> Item:
    return item._replace(x=item.x + 0.3) if isinstance(item, Feed) and item.x > 36 else item


def off_the_axis(item: Item) -> Item:
    return item._replace(y=item.y + 1.5) if isinstance(item, Feed | Rapid) else item


def other_way_by_the_measure(item: Item) -> Item:
    if not isinstance(item, Feed) or item.how is None or not item.how.rules:
        return item
    rules = tuple(replace(rule, factor=-rule.factor) for rule in item.how.rules)
    return item._replace(how=replace(item.how, rules=rules))


@pytest.mark.parametrize(
    ("slip", "purpose", "codes"),
    [
        (half_turned, "finish", {"turn"}),
        (wrong_way, "finish", {"climb"}),
        (hurried, "finish", {"turn"}),
        (no_turn, "finish", {"size", "metal left"}),
        (further_out, "finish", {"wall", "size"}),
        (other_way_by_the_measure, "finish", {"wall", "metal left"}),
    ],
)
def test_slips_have_their_finding(
    slip: Callable[[Item], Item | None], purpose: str, codes: set[str]
) -> None:
    assert found_in(CUP, each_item(slip, purpose)) & codes


def test_a_cutter_that_stands_beside_the_axis_is_found() -> None:
    def beside(plan: PlannedSetup) -> PlannedSetup:
        after = tuple(off_the_axis(item) or item for item in plan.after)
        return replace(each_item(off_the_axis)(plan), after=after)

    # 7.025 mm from the axis along x and 1.5 mm beside it: a wall 2 (7.183 + 8) = 30.37 mm wide
    assert found_in(CUP, beside) & {"wall", "size", "outside"}


def test_a_table_centred_elsewhere_is_found() -> None:
    def shifted(plan: PlannedSetup) -> PlannedSetup:
        def one(item: Item) -> Item:
            if not isinstance(item, Zero) or item.axis != "x":
                return item
            touch = item.touches[0]
            terms = tuple(term._replace(value=term.value + 1.0) for term in touch.terms)
            return replace(item, touches=(replace(touch, at=touch.at + 1.0, terms=terms),))

        return replace(plan, before=tuple(one(item) for item in plan.before))

    assert "datum" in found_in(CUP, shifted)


def slower(item: Item) -> Item:
    return item._replace(rate=0.8 * item.rate) if isinstance(item, TurnWork) else item


def another_word(item: Item) -> Item:
    return replace(item, advice="look again") if isinstance(item, Measure) else item


@pytest.mark.parametrize("edit", [slower, another_word])
def test_harmless_edits_have_none(edit: Callable[[Item], Item]) -> None:
    assert found_in(CUP, each_item(edit)) == set()


# ---------------------------------------------------------------- refusals


@pytest.mark.parametrize(
    ("text", "machine", "why"),
    [
        (changed(HEAD + CUP, ("centre = [35, 28]\nd", "centre = [34, 28]\nd")), "", "to be filed"),
        (HEAD + CUP, "bench-mill-inch", "has no rotary table"),
        (HEAD + CUP, "converted-mill", "goes along arcs by itself"),
        (HEAD + CUP + 'ways = { way = "chain drilled" }\n', "", "ring by ring"),
        (HEAD + CUP + "ways = { climb = true }\n", "", "pull the slides in"),
    ],
)
def test_what_a_table_cannot_do_is_refused(text: str, machine: str, why: str) -> None:
    with pytest.raises(Refusal, match=why):
        made(text, machine or "bench-mill-metric")


@pytest.mark.parametrize(
    ("change", "what"),
    [
        ((", centre = [35, 28] }", " }"), "centre"),
        (('how = "rotary table"', 'how = "vice"'), "given for vice"),
        (('face = "left"', 'middle_of = ["left", "right"]'), "no single face"),
    ],
)
def test_bad_jobs_are_told_of(change: tuple[str, str], what: str) -> None:
    assert any(what in each for each in reading(changed(HEAD + CUP, change), "cup")[1])


@pytest.mark.parametrize(
    ("lines", "what"),
    [
        ("per_turn_deg = 7\ndivision_min = 2\nslack_min = 6", "no whole part of a turn"),
        ("per_turn_deg = 4\ndivision_min = 7\nslack_min = 6", "do not go into 4 degrees"),
        ("per_turn_deg = 4\ndivision_min = 2", "slack_min"),
    ],
)
def test_bad_tables_are_told_of(lines: str, what: str) -> None:
    faults = Faults()
    table = parse_toml(lines, "table.toml", faults)
    assert table is not None
    assert read_rotary(table) is None
    assert any(what in str(each) for each in faults.errors)


def test_a_handle_of_four_degrees_is_wound_ninety_times() -> None:
    table = parse_toml("per_turn_deg = 4\ndivision_min = 2\nslack_min = 0", "t.toml", Faults())
    assert table is not None
    rotary = read_rotary(table)
    assert rotary is not None
    assert rotary.turns == 90
    assert rotary.lock
