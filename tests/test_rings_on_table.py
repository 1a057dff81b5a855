"""Dishes and domes by hand in rings on a rotary table: how, brute force, slips, refusals."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from functools import cache, partial
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.commands.as_sheet import faces
from pathgen.commands.proving import prove_setup
from pathgen.commands.workplace import Proof
from pathgen.input.where import Refusal
from pathgen.job.job import Job, JobSetup
from pathgen.moves.moves import Arc, Feed, Rapid, TurnWork, end_of
from pathgen.moves.plan import Item
from tests.dish_jobs import place_of
from tests.edited_plans import each_item, each_pass, found_once, planned
from tests.read_jobs import changed, job_from, the_shop
from tests.sphere_brute_force import Stand, off_the_sphere, turned_height

JOBS = Path(__file__).parents[1] / "jobs"
REST = (JOBS / "swivel-rest.toml").read_text(encoding="utf-8")
TABLE = 'how = "rotary table"\n' + next(
    line for line in REST.splitlines() if line.startswith("centre =")
)
DOME = (
    ('kind = "dish"', 'kind = "dome"'),
    ("chord = 34", "chord = 36"),
    ("length = 60 ", "length = 24 "),
    ("width = 60", "width = 24"),
    ("centre = [30, 30]", "centre = [12, 12]"),
    ("at = [30, 30]", "at = [12, 12]"),
)
ROUND = (("ways.cusp = 0.02 ", 'hole = 10\nways.by = "round-nose"\nways.cusp = 0.02 '),)


@cache
def made(*changes: tuple[str, str], machine: str = "bench-mill-metric") -> Proof:
    """Return the rest as made on a machine, proved."""
    job = job_from(changed(REST, *changes), "swivel-rest")
    proof = prove_setup(place_of(job, the_shop().machines[machine]), lambda _: None)
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    return proof


def setup_of(proof: Proof) -> JobSetup:
    """Return the setup of a proof."""
    assert isinstance(proof.place.setup, JobSetup)
    return proof.place.setup


def on_a_control(*changes: tuple[str, str]) -> Proof:
    """Return the rest as made by a control, held in the vice."""
    others = [each for each in changes if "centre =" not in each[0]]
    return made((TABLE, 'how = "vice"'), *others, machine="converted-mill")


def stands_on_the_sheet(proof: Proof, axis: tuple[float, float]) -> list[Stand]:
    """Return where the readings of a sheet have the cutter at each turn of the work."""
    at = {"table": math.nan, "cross slide": math.nan, "down feed": math.nan}
    stands = []
    for step in json.loads(proof.text)["steps"]:
        if step["kind"] == "wind":
            at[step["slide"]] = step["place"]
        elif step["kind"] == "turn":
            off = math.hypot(at["table"] - axis[0], at["cross slide"] - axis[1])
            stands.append((off, at["down feed"]))
    return stands


def stands_of_the_program(proof: Proof, axis: tuple[float, float]) -> list[Stand]:
    """Return where a program has the cutter as it goes round."""
    return [(math.dist((i.x, i.y), axis), i.z) for i in proof.run.items if isinstance(i, Arc)]


def judged(proof: Proof, stands: list[Stand], end: tuple[float, float]) -> None:
    """Compare the finished sizes with what brute force finds under the stands."""
    setup = setup_of(proof)
    (sphere,) = setup.spheres
    sizes = {size.quantity: size for size in proof.report.sizes}
    dome = sphere.form == "dome"
    radius = sphere.radius.nominal
    if dome:
        assert isinstance(proof.place.job, Job)
        low, high = proof.place.job.blank_box(setup)
        half = math.hypot(high[0] - low[0], high[1] - low[1]) / 2 - 1e-6
    else:
        half = sizes["chord"].most / 2
        assert turned_height(half, stands, *end) == pytest.approx(0.0, abs=2e-3)
    rows = [sphere.hole / 2 + (half - sphere.hole / 2) * row / 150 for row in range(151)]
    places = [(row, turned_height(row, stands, *end)) for row in rows]
    if not sphere.hole and not dome:
        assert -places[0][1] == pytest.approx(sizes["depth"].most, abs=1e-3)
    worst = off_the_sphere(places, sphere.aim[0], dome=dome)
    assert worst <= sizes["departure"].most + 1e-3
    assert worst == pytest.approx(sizes["departure"].most, abs=2e-3)
    assert abs(worst) < 0.03
    assert sizes["radius"].most == pytest.approx(radius, abs=0.3)


# ---------------------------------------------------------------- the way


@pytest.mark.parametrize("changes", [(), DOME], ids=["dish", "dome"])
def test_each_ring_is_a_pair_of_readings_across_first_and_one_turn(
    changes: tuple[tuple[str, str], ...],
) -> None:
    finish = planned(made(*changes)).passes[1]
    items = [i for i in finish.items if isinstance(i, Feed | TurnWork)]
    before: Feed | None = None
    for across, down, turn in zip(items[1::3], items[2::3], items[3::3], strict=False):
        if isinstance(across, TurnWork):  # the first ring has no way across
            continue
        assert isinstance(across, Feed)
        assert isinstance(down, Feed)
        assert isinstance(turn, TurnWork)
        assert down.x == across.x
        assert down.z <= across.z
        if before is not None:
            assert across.z == before.z
        before = down
    assert sum(isinstance(i, TurnWork) for i in finish.items) >= 10


@pytest.mark.parametrize("changes", [(), DOME], ids=["dish", "dome"])
def test_both_slides_come_to_all_rings_from_one_side(changes: tuple[tuple[str, str], ...]) -> None:
    steps = json.loads(made(*changes).text)["steps"]
    first = next(row for row, step in enumerate(steps) if "ring 1 of" in step.get("what", ""))
    for slide in ("table", "down feed"):
        ways = {s["way"] for s in steps[first:] if s.get("cut") and s.get("slide") == slide}
        assert len(ways) == 1
    assert not any("take the slack out" in s.get("what", "") for s in steps[first:])


def test_the_sheet_tells_chord_touch_and_sum_of_each_ring() -> None:
    text = " ".join(faces(made())[".txt"].split())
    assert "the chord is 34 mm after it" in text
    assert "from the rim inwards" in text
    # the middle of the ball goes along a sphere of 44.2 - 5 about a centre 44.2 - 3.4 high
    assert "z = middle of the sphere 40.800 - 39.2 mm x cos 22.62 degrees 36.185" in text
    assert "x = axis of the rotary table 30.000 - off it" in text
    assert "ONE WHOLE TURN anticlockwise" in text
    assert "See first, spindle stopped, that clamps and work go once round clear" in text


def test_a_dome_is_touched_off_in_its_middle_which_stays() -> None:
    text = " ".join(faces(made(*DOME))[".txt"].split())
    assert "over the middle of the work" in text
    assert "ONE WHOLE TURN clockwise" in text


def test_a_coarser_cusp_takes_fewer_turns_and_shows() -> None:
    fine, coarse = made(), made(("ways.cusp = 0.02", "ways.cusp = 0.04"))
    counts, ridges = [], []
    for proof in (fine, coarse):
        items = planned(proof).passes[1].items
        counts.append(sum(isinstance(i, TurnWork) for i in items))
        (off,) = [size for size in proof.report.sizes if size.quantity == "departure"]
        ridges.append(off.most)
    assert counts[1] == pytest.approx(counts[0] / math.sqrt(2), abs=1.5)
    # half of the cusp either way, and half of what the dials' 0.01 mm rounds
    assert 0.01 <= ridges[0] <= 0.01 + 0.006
    assert 0.02 <= ridges[1] <= 0.02 + 0.006


def test_the_table_s_axis_is_told_in_what_the_machine_leaves_open() -> None:
    by_hand = {size.quantity: size.uncertainty for size in made().report.sizes}
    # a rim wider by 2 x 0.01 mm, and what 0.02 + 0.005 mm of depth make of it by the rim's slope
    assert by_hand["chord"] == pytest.approx(2 * 0.025 * 40.8 / 17 + 0.02, abs=1e-3)
    # radius = (rim^2 + depth^2) / (2 depth): rim / depth for each mm of the rim
    assert by_hand["radius"] == pytest.approx(0.005 * 44.2 / 3.4 + 0.01 * 17 / 3.4, abs=1e-3)


# ---------------------------------------------------------------- brute force


@pytest.mark.parametrize(
    ("changes", "end"),
    [((), (5.0, 0.0)), (DOME, (5.0, 0.0)), (ROUND, (4.0, 4.0))],
    ids=["dish", "dome", "round-nose"],
)
def test_the_readings_leave_what_brute_force_finds(
    changes: tuple[tuple[str, str], ...], end: tuple[float, float]
) -> None:
    proof = made(*changes)
    judged(proof, stands_on_the_sheet(proof, setup_of(proof).spheres[0].at), end)


@pytest.mark.parametrize(
    "changes",
    [ROUND, (*DOME, ("ways.cusp = 0.02 ", 'ways.by = "round-nose"\nways.cusp = 0.02 '))],
    ids=["dish", "dome"],
)
def test_a_round_nose_on_a_control_leaves_what_brute_force_finds(
    changes: tuple[tuple[str, str], ...],
) -> None:
    proof = on_a_control(*changes)
    axis = setup_of(proof).spheres[0].at
    end = (4.0, 4.0)
    assert "16 mm round-nose" in proof.text
    judged(proof, stands_of_the_program(proof, axis), end)


@settings(max_examples=3, deadline=None)
@given(radius=st.floats(18, 90), share=st.floats(0.2, 0.7), cusp=st.sampled_from([0.02, 0.04]))
def test_random_dishes_on_the_table_are_those_of_brute_force(
    radius: float, share: float, cusp: float
) -> None:
    chord = min(round(2 * share * radius, 1), 46.0)
    proof = made(
        ("radius = 44.2 ", f"radius = {radius:.1f} "),
        ("chord = 34", f"chord = {chord}"),
        ("thickness = 20", "thickness = 40"),
        ("ways.cusp = 0.02", f"ways.cusp = {cusp}"),
    )
    ball = planned(proof).passes[0].cutter.diameter / 2
    judged(proof, stands_on_the_sheet(proof, (30.0, 30.0)), (ball, 0.0))


# ---------------------------------------------------------------- slips, and what is none


def turns_only(change: Callable[[TurnWork], Item | None], item: Item) -> Item | None:
    return change(item) if isinstance(item, TurnWork) else item


def half_turned(turn: TurnWork) -> Item:
    return turn._replace(end_deg=turn.end_deg / 2)


def wrong_way(turn: TurnWork) -> Item:
    return turn._replace(end_deg=-turn.end_deg)


def hurried(turn: TurnWork) -> Item:
    return turn._replace(rate=20 * turn.rate)


def left_out(_: TurnWork) -> Item | None:
    return None


def slower(turn: TurnWork) -> Item:
    return turn._replace(rate=0.7 * turn.rate)


def moved(items: tuple[Item, ...], nth: int, x: float, z: float) -> tuple[Item, ...]:
    """Return items in which a feed, and the next, which goes another way, stand elsewhere."""
    feeds = [row for row, item in enumerate(items) if isinstance(item, Feed)]
    new = list(items)
    for each in feeds[nth : nth + 2]:
        feed = items[each]
        assert isinstance(feed, Feed)
        new[each] = feed._replace(x=feed.x + x, z=feed.z + z, how=None)
    return tuple(new)


def down_first(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """Return items in which the mill goes down before it goes across."""
    new = list(items)
    feeds = [row for row, item in enumerate(items) if isinstance(item, Feed)]
    across, down = items[feeds[1]], items[feeds[2]]
    assert isinstance(across, Feed)
    assert isinstance(down, Feed)
    before = items[feeds[0]]
    assert isinstance(before, Feed)
    new[feeds[1]] = Feed(before.x, down.y, down.z, down.feed, down.how)
    new[feeds[2]] = down._replace(how=across.how)
    return tuple(new)


def rings_skipped(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """Return items without three rings on the way: each is across, down, and a turn."""
    turns = [row for row, item in enumerate(items) if isinstance(item, TurnWork)]
    last, across = items[turns[4] - 1], items[turns[7] + 1]
    assert isinstance(last, Feed)
    assert isinstance(across, Feed)
    return (*items[: turns[4] + 1], across._replace(z=last.z), *items[turns[7] + 2 :])


def steps_skipped(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """Return items without the first two steps of roughing."""
    ups = [row for row, (a, b) in enumerate(pairwise(items)) if _goes_up(a, b)]
    begins = next(r for r, i in enumerate(items) if "step 1" in _what(i))
    return (*items[:begins], *items[ups[1] + 2 :])


def _what(item: Item) -> str:
    return item.how.what if isinstance(item, Rapid | Feed) and item.how is not None else ""


def _goes_up(a: Item, b: Item) -> bool:
    return isinstance(a, TurnWork) and isinstance(b, Rapid) and end_of(b)[2] > 0


@pytest.mark.parametrize(
    ("change", "codes"),
    [
        (each_item(partial(turns_only, half_turned), "finish"), {"turn"}),
        (each_item(partial(turns_only, wrong_way), "finish"), {"climb"}),
        (each_item(partial(turns_only, hurried), "finish"), {"turn"}),
        (each_item(partial(turns_only, left_out), "finish"), {"sphere", "departure"}),
        (each_pass(lambda items: moved(items, 4, 0.0, -0.3), "finish"), {"gouge"}),
        (each_pass(lambda items: moved(items, 5, -0.6, 0.0), "finish"), {"gouge"}),
        (each_pass(down_first, "finish"), {"gouge"}),
        (each_pass(rings_skipped, "finish"), {"departure"}),
        (each_pass(steps_skipped, "rough"), {"plunge", "depth of cut"}),
    ],
    ids=[
        "half turned",
        "wrong way",
        "hurried",
        "not turned",
        "too deep",
        "too far out",
        "down first",
        "rings skipped",
        "steps skipped",
    ],
)
def test_a_slip_on_the_sheet_is_found(change: Any, codes: set[str]) -> None:
    assert found_once(made(), change) & codes


def other_words(item: Item) -> Item:
    if isinstance(item, TurnWork) and item.how is not None:
        return item._replace(how=None)
    return item


def turned_twice(items: tuple[Item, ...]) -> tuple[Item, ...]:
    row = next(row for row, item in enumerate(items) if isinstance(item, TurnWork))
    return (*items[: row + 1], *items[row:])


@pytest.mark.parametrize(
    "change",
    [
        each_item(partial(turns_only, slower), "finish"),
        each_item(other_words),
        each_pass(turned_twice, "finish"),
    ],
    ids=["slower", "other words", "turned twice"],
)
def test_a_harmless_edit_is_no_finding(change: Any) -> None:
    assert found_once(made(), change) == set()


# ---------------------------------------------------------------- refusals


@pytest.mark.parametrize(
    ("changes", "machine", "says"),
    [
        ((("at = [30, 30]", "at = [31, 30]"),), "bench-mill-metric", "put it there"),
        (
            (("ways.cusp", 'ways.by = "fly cutter"\nways.cusp'),),
            "bench-mill-metric",
            "does not tilt",
        ),
        (
            (("ways.cusp", 'ways.by = "round-nose"\nways.cusp'),),
            "bench-mill-metric",
            "leaves the middle level, 8.8 mm across, and a hole through it would have to",
        ),
        (
            (("ways.cusp", 'hole = 4\nways.by = "round-nose"\nways.cusp'),),
            "bench-mill-metric",
            "takes away 4 mm",
        ),
        ((), "bench-mill-inch", "has no rotary table"),
        (
            ((TABLE, 'how = "vice"'), ("ways.cusp", 'ways.by = "ball-nose"\nways.cusp')),
            "bench-mill-metric",
            "hold the work on a rotary table",
        ),
        (
            (("ways.cusp", 'ways.cutter = "6 mm ball-nose"\nways.cusp'),),
            "converted-mill",
            "goes along arcs by itself",
        ),
    ],
)
def test_what_cannot_be_done_is_refused(
    changes: tuple[tuple[str, str], ...], machine: str, says: str
) -> None:
    with pytest.raises(Refusal, match=says):
        made(*changes, machine=machine)
