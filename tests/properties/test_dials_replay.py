"""Replaying any sheet on any machine gives the places that were planned, as near as eyes can."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.input.where import Refusal
from pathgen.moves.actions import Measure, Pause, Touch, Zero
from pathgen.moves.moves import AXES, Axis, Drill, Feed, How, Makes, Rapid, Rule, end_of
from pathgen.moves.plan import Item, PlannedSetup, Run
from pathgen.shop.machines import Machine
from postprocessors.dials.faces.json import dump_sheet, load_sheet
from postprocessors.dials.faces.text import write_text
from postprocessors.dials.replay import replay, replay_cases
from postprocessors.dials.steps import Sheet
from postprocessors.dials.writer import write_sheet
from tests.dial_shop import (
    INCH,
    METRIC_2,
    METRIC_4,
    NAN,
    SIXTEENTH,
    machine,
    planned,
    slide,
)

NEARLY = 1e-6
WAYS = ("clockwise", "anticlockwise")


@dataclass(frozen=True)
class Wanted:
    """Where a handle should have the tool after an item, and how far off that may be."""

    place: float
    off: float
    factor: float = 0.0  # of (found - expected), in the place


@st.composite
def machines(draw: st.DrawFn) -> Machine:
    """Any machine: inch and metric dials, either way round, hardly any slack to nearly a turn."""
    slides = []
    for axis in AXES:
        dial = draw(st.sampled_from([INCH, METRIC_2, METRIC_4, SIXTEENTH]))
        slack = draw(st.sampled_from([0.0, 0.05, 0.3, 0.9])) * float(dial["per_turn"])
        changes = {
            "judged": draw(st.sampled_from([0.5, 0.25])),
            "plus": draw(st.sampled_from(WAYS)),
            "rising": draw(st.sampled_from(WAYS)),
            "slack": slack,
            "slack_spread": draw(st.sampled_from([0.0, 0.3])) * slack,
            "lock": draw(st.booleans()),
        }
        slides.append(slide(axis, **(dial | changes)))
    return machine(*slides)


@st.composite
def zeros(draw: st.DrawFn, axis: Axis) -> Zero:
    """A zero of x or y: one face touched either way, or the middle of two."""
    at = draw(st.floats(-40, -1))
    tool: dict[str, Any] = {"tool": "edge finder 6 mm", "radius": 3.0, "paper": 0.0}
    low = Touch(face="left", towards=1, at=at, **tool)
    high = Touch(face="right", towards=-1, at=-at, **tool)
    touches = draw(st.sampled_from([(low,), (high,), (low, high), (high, low)]))
    return Zero(axis=axis, touches=touches, uncertainty=0.01)


places = st.integers(-60_000, 60_000).map(lambda number: number / 997)  # no whole judged parts
depths = st.integers(-12_000, -500).map(lambda number: number / 997)


@st.composite
def plans(draw: st.DrawFn) -> tuple[PlannedSetup, dict[str, list[Wanted]], Machine]:
    """Any plan of moves with a pause after each, what should be there, and the machine."""
    mill = draw(machines())
    sides: dict[Axis, int] = {"x": draw(ENDS), "y": draw(ENDS), "z": draw(ENDS)}
    before = (draw(zeros("x")), draw(zeros("y")))
    paper = draw(st.floats(0.0, 0.3))
    touch = Touch(face="top", towards=-1, tool="cutter", radius=0.0, paper=paper, at=paper)
    depth = Zero(axis="z", touches=(touch,), uncertainty=0.01)
    track = Track(draw, mill, [zero_off(mill, each, sides) for each in (*before, depth)])
    track.settle()
    for _ in range(draw(st.integers(1, 12))):
        track.add()
    setup = planned(
        depth, MEASURED, *track.items, before=before, cutter=(), sides=(*sides.items(),)
    )
    return setup, track.wanted, mill


ENDS = st.sampled_from([-1, 1])
MEASURED = Measure(name="M1", what="width", expected=6.0, low=5.8, high=6.3, found_by="cutter")


def zero_off(mill: Machine, zero: Zero, sides: dict[Axis, int]) -> float:
    """What the zero itself may be off: the slack's spread where the slack is reckoned in."""
    here = mill.slide(zero.axis)
    if len(zero.touches) == 2:
        return here.slack_spread / 2 + 0.75 * here.count
    return here.slack_spread if zero.touches[0].towards != sides[zero.axis] else 0.0


class Track:
    """Draws moves, and keeps what each of them should come to."""

    def __init__(self, draw: st.DrawFn, mill: Machine, zero_offs: list[float]) -> None:
        self.draw, self.mill, self.zero_offs = draw, mill, zero_offs
        self.items: list[Item] = []
        self.wanted: dict[str, list[Wanted]] = {}
        self.now = [Wanted(NAN, 0.0), Wanted(NAN, 0.0), Wanted(NAN, 0.0)]

    @property
    def at(self) -> tuple[float, float, float]:
        """The coordinates that the next move starts from."""
        x, y, z = (each.place for each in self.now)
        return x, y, z

    def settle(self) -> None:
        """Go up, and place the other two handles."""
        self._to(2, 5.0, "air")
        self._put(Rapid(NAN, NAN, 5.0))
        self._to(0, 1.0, "size")
        self._to(1, 2.0, "size")
        self._put(Rapid(1.0, 2.0, 5.0, How(makes="size")))

    def add(self) -> None:
        """Put down one more move."""
        moves = (self._go_across, self._go_deep, self._feed, self._drill, self._follow)
        self.draw(st.sampled_from(moves))()

    def _go_across(self) -> None:
        makes: Makes = self.draw(st.sampled_from(["size", "air"]))
        x, y = self.draw(places), self.draw(places)
        if (x, y) == self.at[:2]:
            return  # no move at all
        self._to(0, x, makes)
        self._to(1, y, makes)
        self._put(Rapid(*self.at, How(makes=makes)))

    def _go_deep(self) -> None:
        makes: Makes = self.draw(st.sampled_from(["size", "stop", "air"]))
        self._to(2, self.draw(depths | st.just(5.0)), makes)
        self._put(Rapid(*self.at, How(makes=makes)))

    def _feed(self) -> None:
        makes: Makes = self.draw(st.sampled_from(["size", "stop"]))
        index = self.draw(st.integers(0, 2))
        place = self.draw(depths if index == 2 else places)
        if place == self.at[index]:
            return  # no move at all
        self._to(index, place, "stop")
        self._put(Feed(*self.at, 60.0, How(makes=makes)))

    def _drill(self) -> None:
        x, y, _ = self.at
        peck, slowly = self.draw(st.sampled_from([0.0, 1.0])), self.draw(st.booleans())
        drill = Drill(x, y, self.draw(depths), 5.0, 60.0, peck=peck, feed_out=slowly)
        self._to(2, 5.0, "stop" if slowly else "air")
        self._put(drill)

    def _follow(self) -> None:
        factor = self.draw(st.sampled_from([-1.0, -0.5, 0.5, 1.0]))
        self._to(1, self.draw(places), "size", factor)
        how = How(makes="size", rules=(Rule(axis="y", measure="M1", factor=factor),))
        self._put(Rapid(*self.at, how))

    def _to(self, index: int, place: float, makes: Makes, factor: float = 0.0) -> None:
        """Note that a handle goes to a place; moves in the air may be off by the slack."""
        here = self.mill.slide(AXES[index])
        loose = {
            "size": 0.0,
            "stop": here.slack_spread,
            "air": here.slack + here.slack_spread,
        }[makes]
        if index == 2 and makes == "size":
            loose = here.slack_spread
        off = here.count / 2 + loose + self.zero_offs[index] + NEARLY
        if place == self.now[index].place and factor == self.now[index].factor:
            off = max(off, self.now[index].off)  # it may be left as it is
        self.now[index] = Wanted(place, off, factor)

    def _put(self, item: Item) -> None:
        """Put a move down, and a pause at which to look."""
        name = f"P{len(self.wanted)}"
        self.wanted[name] = list(self.now)
        self.items += [item, Pause(reason=name)]


def stands_at(run: Run) -> dict[str, tuple[float, float, float]]:
    """Where the tool stands at each pause."""
    found: dict[str, tuple[float, float, float]] = {}
    place = (NAN, NAN, NAN)
    for item in run.items:
        if isinstance(item, Rapid | Feed | Drill):
            place = end_of(item)
        if isinstance(item, Pause):
            found[item.reason] = place
    return found


def write_or_refuse(setup: PlannedSetup, mill: Machine) -> Sheet | None:
    """The sheet; None where what is found would decide which way to wind."""
    try:
        return write_sheet(setup, mill)
    except Refusal as refusal:
        if "hangs on what is found" not in refusal.cannot:
            raise
        return None


@given(plans())
@settings(max_examples=120, deadline=None)
def test_any_plan_is_reached_in_every_case(
    drawn: tuple[PlannedSetup, dict[str, list[Wanted]], Machine],
) -> None:
    setup, wanted, mill = drawn
    sheet = write_or_refuse(setup, mill)
    if sheet is None:
        return
    for case in replay_cases(sheet, mill):
        run = replay(sheet, mill, case, file="sheet")
        assert run.troubles == ()
        found = stands_at(run)
        delta = dict(case.found).get("M1", 6.0) - 6.0
        for name, handles in wanted.items():
            for each, place in zip(handles, found[name], strict=True):
                if not math.isnan(each.place):
                    wanted_place = each.place + each.factor * delta
                    assert abs(place - wanted_place) <= each.off, name


@given(plans())
@settings(max_examples=40, deadline=None)
def test_any_sheet_survives_its_json_and_fits_the_page(
    drawn: tuple[PlannedSetup, dict[str, list[Wanted]], Machine],
) -> None:
    setup, _, mill = drawn
    sheet = write_or_refuse(setup, mill)
    if sheet is None:
        return
    text = dump_sheet(sheet)
    assert load_sheet(text, "sheet.json") == sheet
    assert dump_sheet(load_sheet(text, "sheet.json")) == text
    page = write_text(sheet, mill)
    assert max(len(line) for line in page.splitlines()) <= 100
    page.encode("latin-1")


@given(st.integers(1, 400), st.sampled_from([INCH, METRIC_4, SIXTEENTH]))
@settings(max_examples=20, deadline=None)
def test_rounding_does_not_pile_up_over_a_long_row(count: int, dial: dict[str, Any]) -> None:
    mill = machine(slide("x", **dial))
    pitch = 0.2137
    items: list[Item] = [Rapid(NAN, NAN, 5.0)]
    size = How(makes="size")
    items += [Rapid(number * pitch, 0.0, 5.0, size) for number in range(1, count + 1)]
    sheet = write_sheet(planned(*items), mill)
    run = replay(sheet, mill, replay_cases(sheet, mill)[0], file="sheet")
    last = [item for item in run.items if isinstance(item, Rapid)][-1]
    assert abs(last.x - count * pitch) <= mill.slide("x").count / 2 + NEARLY
