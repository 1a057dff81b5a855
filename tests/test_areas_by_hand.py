"""Areas on handles: strips and steps, what is left to file, and slips in them."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
import shapely

from pathgen.commands.as_sheet import written
from pathgen.commands.loading import load
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof
from pathgen.input.where import Refusal
from pathgen.moves.actions import Measure, Note
from pathgen.moves.moves import Feed, How, Rapid
from pathgen.moves.plan import Item, Pass
from pathgen.plan.hands.bridges import Span, lifted
from pathgen.plan.hands.runs import runs_along
from pathgen.plan.hands.steps import Stepping, Walls
from pathgen.plan.hands.strips import strips_in
from tests.read_jobs import changed, job_from, the_shop

JOBS = Path(__file__).parent.parent / "jobs"
OVER = How(makes="size")
Line = Feed | Rapid
HEAD = """
title = "Latch plate of the nipping press"
units = "mm"
blank = { form = "bar", length = 70, width = 50, thickness = 6, material = "brass" }
[[setup]]
name = "top"
machine = "bench-mill-metric"
hold = { how = "clamps", beneath = 8 }
datum.x = { face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }
datum.y = { face = "front", tool = "pin", tool_diameter = 3 }
datum.z = { face = "top", paper = 0.05 }
[[setup.feature]]
"""
CUP = """kind = "pocket"
name = "cup"
round = 30
centre = [35, 25]
depth = 2
file_to_line = 0.3
"""
WINDOW = """kind = "pocket"
name = "window"
contour = [
    { at = [10, 10] }, { at = [60, 10] }, { at = [60, 30] }, { at = [40, 40] }, { at = [10, 40] },
]
corners = "left"
island = [{ round = 8, centre = [32, 24] }]
depth = 2
file_to_line = 0.3
"""
BLOCKS = """kind = "pocket"
name = "tray"
rectangle = [48, 36]
corner_radius = 4
centre = [35, 25]
island = [{ rectangle = [10, 8], centre = [35, 25] }]
depth = 2
"""
COVER = """kind = "outside"
name = "cover"
contour = [{ at = [15, 12] }, { at = [55, 12] }, { at = [50, 38] }, { at = [15, 38] }]
depth = "through"
bridge = [{ at = [15, 25], width = 5, height = 1.5 }]
file_to_line = 0.3
"""
BOSS = """kind = "outside"
name = "boss"
round = 24
centre = [35, 25]
cleared = true
depth = 2
file_to_line = 0.4
"""


@cache
def made(feature: str, machine: str = "bench-mill-metric") -> Proof:
    """Return the plate with one feature as made on a machine, proved."""
    (proof,) = prove_job(
        job_from(HEAD + feature, "latch-plate"), the_shop(), machine, lambda _: None
    )
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    return proof


def findings_of(feature: str, change: Callable[[Pass], Pass], purpose: str) -> set[str]:
    """Return the codes of what is found once the passes of a purpose are changed."""
    proof = made(feature)
    assert proof.plan is not None
    passes = tuple(change(each) if each.purpose == purpose else each for each in proof.plan.passes)
    assert passes != proof.plan.passes
    text = written(proof.place, replace(proof.plan, passes=passes))
    report = prove_text(proof.place, text, "changed.json", lambda _: None).report
    return {each.code for each in report.findings if each.severity == "finding"}


def moved(change: Callable[[Line], Line]) -> Callable[[Pass], Pass]:
    """Return what changes each feed and rapid of a pass."""

    def one(item: Item) -> Item:
        return change(item) if isinstance(item, Feed | Rapid) else item

    return lambda one_pass: replace(one_pass, items=tuple(one(item) for item in one_pass.items))


@pytest.mark.parametrize(
    ("feature", "machine"),
    [
        *((feature, "bench-mill-metric") for feature in (CUP, WINDOW, COVER, BOSS)),
        *((feature, "bench-mill-inch") for feature in (WINDOW, BLOCKS, COVER, BOSS)),
    ],
)
def test_areas_of_every_shape_are_proved_on_handles(feature: str, machine: str) -> None:
    sizes = {size.quantity: size for size in made(feature, machine).report.sizes}
    if "file_to_line" in feature:
        granted = 0.4 if feature is BOSS else 0.3
        assert 0 <= sizes["to file"].least < 0.1
        assert 0.1 < sizes["to file"].most <= granted
    else:
        assert "to file" not in sizes


def test_a_wall_along_an_axis_is_cut_to_size_beside_ones_that_are_filed() -> None:
    sizes = {size.quantity: size for size in made(WINDOW).report.sizes}
    # Two settings of half a judged part (0.01 mm), and what the slack varies by (0.02 mm).
    assert -0.03 < sizes["walls"].least <= sizes["walls"].most < 0.03


def test_the_lock_plate_is_proved_on_handles() -> None:
    loaded, shop = load(JOBS / "lock-plate.toml", "bench-mill-inch")
    for proof in prove_job(loaded, shop, "bench-mill-inch", lambda _: None):
        assert proof.report.ok


# ---------------------------------------------------------------- refusals


@pytest.mark.parametrize(
    ("feature", "why"),
    [
        (changed(CUP, ("file_to_line = 0.3", "")), "have to be filed"),
        (changed(CUP, ("= 0.3", "= 0.15")), "the slack and the dials of this machine take"),
        (
            changed(CUP, ("round = 30", "round = 30\ndiameter_limits = [30, 30.1]")),
            "that are filed",
        ),
        (changed(WINDOW, ('corners = "left"', "")), "tighter than"),
    ],
)
def test_what_cannot_be_filed_is_refused(feature: str, why: str) -> None:
    with pytest.raises(Refusal, match=why):
        made(feature)


def test_a_machine_that_follows_walls_leaves_nothing_to_file() -> None:
    sizes = {size.quantity for size in made(CUP, "converted-mill").report.sizes}
    assert "to file" not in sizes
    assert "diameter" in sizes


# ---------------------------------------------------------------- slips


def test_steps_that_come_too_near_cut_beyond_the_wall() -> None:
    shifted = moved(lambda move: move._replace(x=move.x + 0.4))
    assert findings_of(CUP, shifted, "finish") & {"wall"}


def test_steps_left_out_leave_too_much_to_file() -> None:
    def without(one: Pass) -> Pass:
        at = [item for item in one.items if isinstance(item, Rapid)][-1]
        still = tuple(item for item in one.items if not isinstance(item, Feed | Rapid))
        return replace(one, items=(*still, at))

    assert findings_of(CUP, without, "finish") & {"to file"}


def test_strips_and_steps_too_shallow_leave_metal() -> None:
    def shallow(one: Pass) -> Pass:
        return moved(lambda move: move._replace(z=max(move.z, -1.5)))(one)

    proof = made(CUP)
    assert proof.plan is not None
    passes = tuple(shallow(each) for each in proof.plan.passes)
    text = written(proof.place, replace(proof.plan, passes=passes))
    report = prove_text(proof.place, text, "changed.json", lambda _: None).report
    assert "metal left" in {each.code for each in report.findings if each.severity == "finding"}


def test_an_island_cut_into() -> None:
    def over(one: Pass) -> Pass:
        down = next(item for item in one.items if isinstance(item, Feed))
        extra = (Rapid(32.0, 24.0, 6.0), Feed(32.0, 24.0, -1.0, down.feed), Rapid(32.0, 24.0, 6.0))
        return replace(one, items=(*one.items[:-1], *extra, one.items[-1]))

    assert findings_of(WINDOW, over, "finish") & {"outside"}


def test_a_bridge_cut_through() -> None:
    flat = moved(lambda move: move._replace(z=-6.5) if -6.5 < move.z < -4 else move)
    assert findings_of(COVER, flat, "finish") & {"floor"}


def test_strips_left_out_leave_metal() -> None:
    def without(one: Pass) -> Pass:
        def words(item: Item) -> str:
            return item.how.what if isinstance(item, Feed | Rapid) and item.how else ""

        last = max(i for i, item in enumerate(one.items) if ", strip" in words(item))
        at = one.items[last]
        assert isinstance(at, Feed)
        down = (Rapid(at.x, at.y, 6.0, OVER), Feed(at.x, at.y, at.z, at.feed, OVER))
        rest = [item for item in one.items[: last + 1] if ", strip" not in words(item)]
        return replace(one, items=(*rest, *down, *one.items[last + 1 :]))

    assert findings_of(BOSS, without, "rough") & {"metal left"}


def test_words_changed_are_no_finding() -> None:
    def other(move: Line) -> Line:
        return move._replace(how=replace(move.how, what="so")) if move.how else move

    assert findings_of(CUP, moved(other), "finish") == set()


# ---------------------------------------------------------------- the sheet


def test_lines_are_scribed_first_and_filed_last() -> None:
    plan = made(WINDOW).plan
    assert plan is not None
    first = [item.text for item in plan.before if isinstance(item, Note)]
    last = [item.text for item in plan.after if isinstance(item, Note)]
    assert "scribe 'window'" in first[0]
    assert "by an arc of radius 4 about x 32 y 24" in " ".join(first[:4])
    assert any("to the scribed line" in text and "0.3 mm" in text for text in last)


def test_two_pockets_are_each_measured_under_a_name_of_their_own() -> None:
    one = changed(
        BLOCKS,
        ("rectangle = [48, 36]", "rectangle = [24, 36]"),
        ("[35, 25]\nisland", "[20, 25]\nisland"),
    )
    one = one[: one.index("island")] + "depth = 2\n"
    two = changed(one, ("tray", "second"), ("[20, 25]", "[50, 25]"))
    plan = made(f"{one}[[setup.feature]]\n{two}").plan
    assert plan is not None
    names = [i.name for each in plan.passes for i in each.items if isinstance(i, Measure)]
    assert names == ["M1", "M2"]


# ---------------------------------------------------------------- geometry


def test_ridges_between_steps_are_as_high_as_asked_and_no_higher() -> None:
    wall = shapely.Point(0, 0).buffer(20, quad_segs=400)
    radius, least, most = 5.0, 0.05, 0.25
    centre = wall.buffer(-radius - least)
    walls = Walls(along=shapely.LineString(), filed=wall.exterior)
    stepping = Stepping(radius=radius, least=0.0, most=most, free=centre.buffer(0.01), walls=walls)
    (run,) = runs_along(centre.exterior, stepping, anticlockwise=False)
    assert all(
        min(abs(a[0] - b[0]), abs(a[1] - b[1])) < 1e-6
        for a, b in zip(run.places, run.places[1:], strict=False)
    )
    cut = shapely.LineString(run.places).buffer(radius, quad_segs=400)
    band = wall.difference(shapely.Point(0, 0).buffer(12))
    left = band.difference(cut)
    highest = max(20 - math.hypot(x, y) for x, y in shapely.get_coordinates(left))
    # Two circles of 5 about a circle of 14.95 meet 19.75 from its middle: by the law of cosines
    # the stops lie acos((14.95^2 + 19.75^2 - 5^2) / (2 * 14.95 * 19.75)) to either side of it.
    angle = 2 * math.acos((14.95**2 + 19.75**2 - 25) / (2 * 14.95 * 19.75))
    assert highest <= most + 0.003
    assert len(run.places) // 2 in range(
        math.ceil(2 * math.pi / angle), 4 + round(2 * math.pi / angle) + 1
    )
    assert 20 - math.hypot(*max(run.places, key=lambda p: math.hypot(*p))) >= radius + least - 1e-3


def test_strips_all_go_the_same_way_and_cover_what_they_are_laid_in() -> None:
    region = shapely.box(0, 0, 40, 30).difference(shapely.box(15, 10, 25, 20))
    free = region.buffer(2)
    for along, axis in (("x", 0), ("y", 1)):
        strips = strips_in(region, free, 5.0, along)  # type: ignore[arg-type]
        assert all(strip.end[axis] > strip.start[axis] for strip in strips)
        lines = [shapely.LineString([strip.start, strip.end]) for strip in strips]
        swept = shapely.union_all([line.buffer(5.0) for line in lines])
        assert region.difference(swept).area < 1e-6
        for strip in strips:
            if strip.across is not None:
                assert free.covers(shapely.LineString(strip.across))


def test_a_bridge_is_gone_over_and_not_missed_from_either_side() -> None:
    bridge = Span(at=(0.0, 0.0), along=(1.0, 0.0), half=3.0, top=-1.0)
    forth = list(lifted([(-10.0, -4.0), (10.0, -4.0)], -5.0, [bridge]))
    back = list(lifted([(10.0, -4.0), (-10.0, -4.0)], -5.0, [bridge]))
    assert [height for _, height in forth] == [-5.0, -1.0, -5.0]
    assert [place for place, _ in back] == [(3.0, -4.0), (-3.0, -4.0), (-10.0, -4.0)]
    assert [height for _, height in lifted([(-10.0, 4.0), (10.0, 4.0)], -5.0, [bridge])] == [-5.0]
