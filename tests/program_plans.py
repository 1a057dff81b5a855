"""Random plans, and controls that can do more or less, for tests of programs; lengths in mm."""

import math
from typing import Literal

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
from pathgen.moves.plan import Head, HeadCutter, Item, Pass, PlannedSetup, Point3
from pathgen.shop.machines import Control, Machine
from pathgen.shop.machines import Spindle as Speeds
from pathgen.shop.read_machines import CYCLES, TAPPINGS
from tests.heads import set_head, touched_head

CLEAR = 12.0
Point = tuple[float, float, float]


coordinates = st.floats(-80, 80).map(lambda value: round(value, 7))
depths = st.floats(-20, -0.5)
feeds = st.floats(5, 900)


@st.composite
def controls(draw: st.DrawFn) -> Control:
    """Draw what a control can do; two decimals of a millimetre and three of an inch included."""
    units: Literal["mm", "in"] = draw(st.sampled_from(("mm", "in")))
    flags: dict[str, bool] = {
        key: draw(st.booleans())
        for key in (
            "tool_change",
            "tool_length",
            "spindle_speed",
            "full_circle",
            "helix",
            "rapid_straight",
            "line_numbers",
            "percent",
        )
    }
    return Control(
        units=units,
        decimals=draw(st.integers(2, 5) if units == "mm" else st.integers(3, 6)),
        cycles=tuple(draw(st.sets(st.sampled_from(CYCLES)).map(sorted))),
        arcs=draw(st.sampled_from(("centre", "centre", "radius", "none"))),
        coolant=draw(st.sampled_from(((), ("mist",), ("mist", "flood")))),
        line_length=draw(st.integers(66, 100)),
        tapping=draw(st.sampled_from(TAPPINGS)),
        x_words="radius",
        feed_per_turn=False,
        threading="none",
        rotary="none",
        **flags,
    )


def machine(control: Control) -> Machine:
    """Return a machine with a control."""
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
    """Return the zero of z taken on the top face over paper."""
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
        touched_head(18.0),
        set_head(18.0 + 0.02 * (out := draw(st.integers(1, 90)) / 2), out),
        set_head(18.0 + 0.02 * (out + 15), 15.0, follows=f"M{cutter.number}", expected=12.02),
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
            crib="drawer beside the mill, for steel",
        ),
        origin=Point3(0, 0, 0),
        clear=CLEAR,
        sides=(),
        before=(Clamp(lines=("in the vice", "on two parallels")),),
        passes=tuple(draw(passes(cutter)) for cutter in cutters),
        after=(Note(text="take off the burrs"),),
    )
