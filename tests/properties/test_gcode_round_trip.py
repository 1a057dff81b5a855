"""Whatever is planned, and whatever the control can do, the program read back does it."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.input.where import Where
from pathgen.moves.actions import (
    Clamp,
    Coolant,
    Dwell,
    FitCutter,
    Measure,
    Note,
    Pause,
    Spindle,
    Touch,
    Zero,
)
from pathgen.moves.moves import Arc, Drill, Feed, Rapid, Term
from pathgen.moves.plan import Head, HeadCutter, Item, Pass, PlannedSetup, Point3, Run
from pathgen.shop.machines import CYCLES, Control, Machine
from pathgen.shop.machines import Spindle as Speeds
from postprocessors.gcode.reader import ProgramErrors, read_program
from postprocessors.gcode.writer import write_program

CLEAR = 12.0
GAP = 0.5  # left above the last bottom on the way back down for the next peck, mm
Point = tuple[float, float, float]

# ------------------------------------------------------------------ random plans

coordinates = st.floats(-80, 80).map(lambda value: round(value, 7))
depths = st.floats(-20, -0.5)
feeds = st.floats(5, 900)


@st.composite
def controls(draw: st.DrawFn) -> Control:
    """Draw what a control can do; two decimals of a millimetre and three of an inch included."""
    units = draw(st.sampled_from(("mm", "in")))
    flags = {
        key: draw(st.booleans())
        for key in ("tool_change", "tool_length", "spindle_speed", "full_circle", "helix")
        + ("rapid_straight", "line_numbers", "percent")
    }
    return Control(
        units=units,  # type: ignore[arg-type]
        decimals=draw(st.integers(2, 5) if units == "mm" else st.integers(3, 6)),
        cycles=tuple(draw(st.sets(st.sampled_from(CYCLES)).map(sorted))),
        arcs=draw(st.sampled_from(("centre", "centre", "radius", "none"))),
        coolant=draw(st.sampled_from(((), ("mist",), ("mist", "flood")))),
        line_length=draw(st.integers(66, 100)),
        **flags,
    )


def machine(control: Control) -> Machine:
    return Machine(
        name="converted mill",
        title="converted mill",
        rigidity="light",
        spindle=Speeds(lowest=100, highest=5000),
        travel=(300, 200, 150),
        control=control,
        file="mill.toml",
        where=Where("mill.toml", 1, ""),
    )


@st.composite
def cuts(draw: st.DrawFn, start: Point) -> list[Item]:
    """Draw what happens between going down at a place and coming up again."""
    x, y, _ = start
    moves: list[Item] = [Rapid(x, y, 1.0), Feed(x, y, draw(depths), draw(feeds))]
    for _ in range(draw(st.integers(0, 4))):
        at = moves[-1]
        assert isinstance(at, (Feed, Arc))
        if draw(st.booleans()):
            z = draw(st.one_of(st.just(at.z), depths))
            moves.append(Feed(draw(coordinates), draw(coordinates), z, draw(feeds)))
        else:
            moves.append(draw(arcs((at.x, at.y, at.z))))
    last = moves[-1]
    assert isinstance(last, (Feed, Arc))
    return [*moves, Rapid(last.x, last.y, CLEAR)]


@st.composite
def arcs(draw: st.DrawFn, start: Point) -> Arc:
    """Draw an arc from a place: from next to nothing to several turns, flat or helical."""
    radius = draw(st.floats(0.2, 40))
    begin = draw(st.floats(0, 360))
    whole = draw(st.integers(0, 3)) == 0
    sweep = 360.0 if whole else draw(st.floats(1e-3, 359.999))
    clockwise = draw(st.booleans())
    centre = (
        start[0] - radius * math.cos(math.radians(begin)),
        start[1] - radius * math.sin(math.radians(begin)),
    )
    end = math.radians(begin - sweep if clockwise else begin + sweep)
    return Arc(
        start[0] if whole else centre[0] + radius * math.cos(end),
        start[1] if whole else centre[1] + radius * math.sin(end),
        draw(st.one_of(st.just(start[2]), depths)),
        *centre,
        clockwise,
        draw(feeds),
        turns=draw(st.integers(0, 2)),
    )


@st.composite
def holes(draw: st.DrawFn) -> list[Item]:
    """Draw a row of holes, the first from the clear plane, left at their own or the old one."""
    peck, dwell = draw(st.sampled_from(((0.0, 0.0), (2.5, 0.0), (0.0, 0.3), (0.7, 0.3))))
    out, old = draw(st.booleans()), draw(st.booleans())
    depth = (peck or 2.0) * (draw(st.integers(0, 6)) + draw(st.floats(0.3, 1.0)))
    bottom, feed = 1.5 - depth, draw(feeds)
    moves: list[Item] = []
    level = CLEAR
    for _ in range(draw(st.integers(1, 4))):
        x, y = draw(coordinates), draw(coordinates)
        moves.append(Rapid(x, y, level))
        hole = Drill(x, y, bottom, 1.5, feed, peck, dwell, out, CLEAR if old else math.nan)
        moves.append(hole)
        level = hole.left_at
    last = moves[-2]
    assert isinstance(last, Rapid)
    return [*moves, Rapid(last.x, last.y, CLEAR)]


def zero_z(uncertainty: float) -> Zero:
    terms = (Term("paper", 0.08),)
    touch = Touch(
        face="top", towards=-1, tool="the cutter", radius=0.0, paper=0.08, at=0.08, terms=terms
    )
    return Zero(axis="z", touches=(touch,), uncertainty=uncertainty, why="depths count from here")


@st.composite
def passes(draw: st.DrawFn, cutter: HeadCutter) -> Pass:
    """Draw one pass with its actions."""
    rpm = draw(st.integers(100, 5000))
    items: list[Item] = [
        FitCutter(number=cutter.number, name=cutter.name, diameter=cutter.diameter),
        zero_z(draw(st.sampled_from((0.01, 0.02)))),
        Spindle(rpm=rpm),
        Coolant(kind=draw(st.sampled_from(("off", "mist", "flood")))),
    ]
    for _ in range(draw(st.integers(1, 3))):
        x, y = draw(coordinates), draw(coordinates)
        items.append(Rapid(x, y, CLEAR))
        items += draw(st.one_of(cuts((x, y, CLEAR)), holes()))
    items += [
        Spindle(rpm=0),
        Pause(reason="brush the chips away"),
        Measure(
            name=f"M{cutter.number}",
            what="width of the seat",
            expected=12.02,
            low=12.0,
            high=12.05,
            found_by="cutter",
            advice="take out what is missing",
        ),
        Note(text="look at the edge", caution=draw(st.booleans())),
        Dwell(seconds=0.25),
    ]
    return Pass(
        purpose="rough",
        feature="seat",
        cutter=cutter,
        rpm=rpm,
        feed=100,
        why="as drawn",
        items=tuple(items),
    )


@st.composite
def setups(draw: st.DrawFn) -> PlannedSetup:
    """Draw a setup with one or two cutters."""
    cutters = tuple(
        HeadCutter(number=number, name=name, diameter=diameter)
        for number, name, diameter in ((1, "6 mm end mill", 5.98), (2, "1/4 in drill", 6.35))
    )[: draw(st.integers(1, 2))]
    return PlannedSetup(
        head=Head(
            title="swivel seat of the nipping press",
            digest="9f" * 32,
            setup="seat and its four holes",
            machine="converted mill",
            cutters=cutters,
        ),
        origin=Point3(0, 0, 0),
        clear=CLEAR,
        sides=(),
        before=(Clamp(lines=("in the vice", "on two parallels")),),
        passes=tuple(draw(passes(cutter)) for cutter in cutters),
        after=(Note(text="take off the burrs"),),
    )


# ------------------------------------------------------------------ what a run or a plan does


@dataclass(frozen=True, slots=True)
class Leg:
    """A stretch of the way: fast or not, and points along it."""

    fast: bool
    points: tuple[Point, ...]
    exact: bool = True  # False for the levels of pecks, which hang on a rounded depth

    @property
    def length(self) -> float:
        return sum(math.dist(a, b) for a, b in pairwise(self.points))


def legs(items: Iterable[Item]) -> Iterator[Leg]:
    """Yield the legs of moves, from the first place that is wholly known."""
    at: Point = (math.nan, math.nan, math.nan)
    for item in items:
        if isinstance(item, (FitCutter, Zero)):
            at = (math.nan, math.nan, math.nan)
        for fast, exact, points in steps(item, at):
            if not math.isnan(sum(at)):
                yield Leg(fast, (at, *points), exact)
            at = points[-1]


def steps(item: Item, at: Point) -> Iterator[tuple[bool, bool, tuple[Point, ...]]]:
    """Yield (fast, exact, points) of one item."""
    if isinstance(item, (Rapid, Feed)):
        yield isinstance(item, Rapid), True, ((item.x, item.y, item.z),)
    elif isinstance(item, Arc):
        yield False, True, tuple(along(item, at))
    elif isinstance(item, Drill):
        for fast, z in ups_and_downs(item):
            yield fast, z in (item.clear, item.bottom, item.left_at), ((item.x, item.y, z),)


def ups_and_downs(hole: Drill) -> Iterator[tuple[bool, float]]:
    """Yield the levels of a hole, pecks from its clear plane."""
    yield True, hole.clear
    bottom = hole.clear - hole.peck if hole.peck else hole.bottom
    while bottom > hole.bottom + 1e-9:
        yield False, bottom
        yield True, hole.clear
        yield True, bottom + min(GAP, hole.peck / 2)
        bottom -= hole.peck
    yield False, hole.bottom
    if hole.feed_out:
        yield False, hole.clear
    yield True, hole.left_at


def along(arc: Arc, start: Point) -> Iterator[Point]:
    """Yield points along an arc, a fifth of a degree or so apart, the last at its very end."""
    dx, dy = start[0] - arc.centre_x, start[1] - arc.centre_y
    ex, ey = arc.x - arc.centre_x, arc.y - arc.centre_y
    sense = -1 if arc.clockwise else 1
    turned = math.atan2(sense * (dx * ey - dy * ex), dx * ex + dy * ey) % math.tau
    if math.hypot(arc.x - start[0], arc.y - start[1]) < 1e-9:
        turned = math.tau
    turned += math.tau * arc.turns
    count = max(8, math.ceil(turned / math.radians(0.2)))
    first, last = math.hypot(dx, dy), math.hypot(ex, ey)
    begin = math.atan2(dy, dx)
    for k in range(1, count):
        share = k / count
        radius = first + share * (last - first)
        angle = begin + sense * share * turned
        yield (
            arc.centre_x + radius * math.cos(angle),
            arc.centre_y + radius * math.sin(angle),
            start[2] + share * (arc.z - start[2]),
        )
    yield arc.x, arc.y, arc.z


def resampled(found: Sequence[Leg], count: int) -> list[Point]:
    """Return points at even shares of the whole way."""
    points = [leg.points[0] for leg in found[:1]]
    points += [point for leg in found for point in leg.points[1:]]
    lengths = [math.dist(a, b) for a, b in pairwise(points)]
    total = sum(lengths)
    result: list[Point] = []
    done, index = 0.0, 0
    for k in range(count + 1):
        wanted = total * k / count
        while index < len(lengths) - 1 and done + lengths[index] < wanted:
            done += lengths[index]
            index += 1
        share = (wanted - done) / lengths[index] if lengths[index] else 0.0
        a, b = points[index], points[index + 1]
        result.append(tuple(p + min(1.0, share) * (q - p) for p, q in zip(a, b)))  # type: ignore[arg-type]
    return result


def all_items(setup: PlannedSetup) -> list[Item]:
    return [
        *setup.before,
        *(item for each in setup.passes for item in each.items),
        *setup.after,
    ]


def count_of(control: Control) -> float:
    """Return the length of the last decimal, mm."""
    return float((25.4 if control.units == "in" else 1.0) / 10**control.decimals)


def slack_of(leg: Leg, control: Control) -> float:
    """Return by how much the length of a leg may change: by rounding, and as chords of an arc.

    A chord 0.002 mm off an arc of radius r spans sqrt(8 x 0.002 / r) and is shorter by a 24th of
    that cubed times r: in a whole turn by 2 pi / 3 x 0.002 = 0.0042 mm, here in at most three.
    """
    return 4 * count_of(control) + (0.0126 if len(leg.points) > 2 else 0.0) + 1e-6


# ------------------------------------------------------------------ the properties


@settings(max_examples=150, deadline=None)
@given(setups(), controls())
def test_program_read_back_goes_where_the_plan_goes(setup: PlannedSetup, control: Control) -> None:
    run = read_program(write_program(setup, machine(control)))
    assert run.troubles == ()
    half = count_of(control) / 2 + 1e-6
    peck = 8 * count_of(control)  # a level within a hole hangs on a rounded peck
    ends = iter([leg.points[k] for leg in legs(run.items) for k in (0, -1)])
    at = next(ends)
    for leg in legs(all_items(setup)):
        near = half if leg.exact else peck
        while not all(abs(a - b) <= near for a, b in zip(leg.points[-1], at)):
            at = next(ends)  # StopIteration: a planned end is not met, in the order of the plan


@settings(max_examples=150, deadline=None)
@given(setups(), controls())
def test_program_read_back_takes_the_planned_way(setup: PlannedSetup, control: Control) -> None:
    run = read_program(write_program(setup, machine(control)))
    planned, found = list(legs(all_items(setup))), list(legs(run.items))
    one_axis = not control.rapid_straight
    for fast in (False, True):
        wanted = sum(leg.length for leg in planned if leg.fast == fast)
        length = sum(leg.length for leg in found if leg.fast == fast)
        drift = sum(slack_of(leg, control) for leg in planned)
        if not (fast and one_axis):
            assert length == pytest.approx(wanted, abs=drift)
    if not one_axis:
        near = sum(slack_of(leg, control) for leg in planned)
        for a, b in zip(resampled(planned, 400), resampled(found, 400)):
            assert math.dist(a, b) <= near


@settings(max_examples=80, deadline=None)
@given(st.data(), controls())
def test_one_arc_keeps_its_shape(data: st.DataObject, control: Control) -> None:
    start = (data.draw(coordinates), data.draw(coordinates), -1.0)
    arc = data.draw(arcs(start))
    run = run_of([Rapid(start[0], start[1], CLEAR), Feed(*start, 50), arc], control)
    found = list(legs(run.items))[1:-1]
    # chords and the roundings of ends and centre, each up to a count or two along a share of the way
    near = 0.004 + 4 * count_of(control)
    wanted = [Leg(False, (start, *along(arc, start)))]
    if not found:  # all of it rounds to one place
        assert wanted[0].length < 3 * count_of(control)
        return
    for a, b in zip(resampled(wanted, 100), resampled(found, 100)):
        assert math.dist(a, b) <= near * (arc.turns + 1)


def run_of(items: list[Item], control: Control) -> Run:
    """Return what is read back of some moves with one cutter."""
    cutter = HeadCutter(number=1, name="6 mm end mill", diameter=6.0)
    first = [FitCutter(number=1, name=cutter.name, diameter=6.0)]
    one = Pass(
        purpose="rough",
        feature="seat",
        cutter=cutter,
        rpm=500,
        feed=50,
        why="",
        items=(*first, *items),
    )
    head = Head(title="seat", digest="0", setup="top", machine="mill", cutters=(cutter,))
    setup = PlannedSetup(
        head=head, origin=Point3(0, 0, 0), clear=CLEAR, sides=(), before=(), passes=(one,)
    )
    return read_program(write_program(setup, machine(control)))


@settings(max_examples=60, deadline=None)
@given(setups(), controls())
def test_actions_and_head_are_read_back(setup: PlannedSetup, control: Control) -> None:
    run = read_program(write_program(setup, machine(control)))
    assert [said(item) for item in wanted_actions(all_items(setup))] == [
        said(item) for item in wanted_actions(run.items)
    ]
    assert run.head == setup.head
    cutters = [item for item in run.items if isinstance(item, FitCutter)]
    assert [(each.number, each.name) for each in cutters] == [
        (each.number, each.name) for each in setup.head.cutters
    ]
    assert run.doubt.zero[2] == max(
        item.uncertainty for item in all_items(setup) if isinstance(item, Zero)
    )


def wanted_actions(items: Iterable[Item]) -> Iterator[Item]:
    """Yield the actions without those that only stop something, and without dwells in holes."""
    for item in items:
        if isinstance(item, (Clamp, FitCutter, Measure, Pause, Note, Zero)) or (
            (isinstance(item, Spindle) and item.rpm > 0)
            or (isinstance(item, Coolant) and item.kind != "off")
        ):
            yield item


def said(item: Item) -> Any:
    """Return an action in a form that compares; where a zero is touched is rounded to counts."""
    if isinstance(item, Zero):
        touch = item.touches[0]
        return item.axis, item.uncertainty, item.why, touch.face, touch.paper, round(touch.at, 1)
    return item


@settings(max_examples=40, deadline=None)
@given(setups(), controls())
def test_the_same_plan_gives_the_same_bytes(setup: PlannedSetup, control: Control) -> None:
    text = write_program(setup, machine(control))
    assert text == write_program(setup, machine(control))
    assert text.isascii()
    assert max(map(len, text.splitlines())) <= control.line_length
    assert "-0.0 " not in text
    assert "-0.0\n" not in text


@settings(max_examples=60, deadline=None)
@given(setups(), controls())
def test_fast_and_strict_ways_read_the_same(setup: PlannedSetup, control: Control) -> None:
    text = write_program(setup, machine(control))
    assert repr(read_program(text)) == repr(read_program(text, fast=False))


WORDS = st.lists(
    st.sampled_from(
        "G0 G1 G2 G3 G01 G81 G80 G90 G91 G20 G21 G99 X1.5 X0.0 Y2.25 Y-3.0 Z1.0 Z-1. I1.0 J-1.0"
        " R5.0 F80.0 F9 N10 Q1.0 S100 M3 M5 (note) T1 M6 X.5 X+1 XX /".split()
    ),
    max_size=6,
)


@settings(max_examples=300, deadline=None)
@given(st.lists(WORDS, max_size=12), st.booleans())
def test_fast_and_strict_ways_agree_on_any_text(lines: list[list[str]], spaced: bool) -> None:
    body = "\n".join((" " if spaced else "").join(words) for words in lines)
    text = f"G17 G21 G40 G49 G54 G80 G90 G94 G99\nG0 X0.0 Y0.0 Z5.0\n{body}\nM2\n"
    assert outcome(text, fast=True) == outcome(text, fast=False)


def outcome(text: str, *, fast: bool) -> str:
    """Return the run, or its errors, as text."""
    try:
        return repr(read_program(text, fast=fast))
    except ProgramErrors as error:
        return str(error)
