"""Following a run through the bar: what each move meets and cuts, with the findings of it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

import shapely
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from pathgen.check.findings import At, Finding
from pathgen.check.turning.dies import DieStops
from pathgen.check.turning.grooves import blade_findings
from pathgen.check.turning.in_step import Found
from pathgen.check.turning.knurling import Knurling
from pathgen.check.turning.measured import NOTHING, Open, ToolKind
from pathgen.check.turning.metal import Bar
from pathgen.check.turning.on_axis import drill_findings, off_on_axis
from pathgen.check.turning.outline import swept
from pathgen.check.turning.paces import Cut, pace_findings
from pathgen.check.turning.screwing import ScrewCutting
from pathgen.check.turning.thread_room import Pass
from pathgen.check.turning.travels import Travels
from pathgen.job.faceplate import FaceplateHold
from pathgen.job.held_on import HeldOn
from pathgen.job.turned import TurnedJob, TurnedSetup
from pathgen.moves.actions import (
    ChangeWheels,
    FitCutter,
    HalfNuts,
    Measure,
    Pause,
    SetStop,
    Spindle,
    SwingSlide,
    WorkBy,
    Zero,
    ZeroByMeasure,
)
from pathgen.moves.moves import STARTS, Arc, Drill, Feed, Rapid, ThreadCut
from pathgen.moves.plan import Item, Run
from pathgen.shop.axial_tools import AxialTool
from pathgen.shop.crib import Crib
from pathgen.shop.machines import Machine
from pathgen.shop.turning_tools import TurningTool

NEARLY = 1e-6
HUGE = 1e4  # mm: beyond all work
MEASURED = 0.005  # mm on the radius that measuring a diameter leaves open
PAST_AXIS = 1.5  # mm: what facing and parting off go past it, and little more
WITHIN = 0.1  # mm by which a touched place may be off what the metal there is


@dataclass(slots=True)
class Follower:
    """The bar, the tool and the spindle as a run goes on."""

    run: Run
    job: TurnedJob
    setup: TurnedSetup
    machine: Machine
    crib: Crib
    held: HeldOn
    bar: Bar
    tool: TurningTool | AxialTool | None = None
    cutter: int = 0
    rpm: float = 0.0
    at: tuple[float, float] = (math.nan, math.nan)  # x, z
    opens: dict[tuple[ToolKind, str], Open] = field(default_factory=dict)
    zeroed: set[str] = field(default_factory=set)
    findings: list[Finding] = field(default_factory=list)
    minutes: float = 0.0
    screwing: ScrewCutting = field(init=False)
    knurling: Knurling = field(init=False)
    dies: DieStops = field(init=False)
    longer: float = 0.0  # than the sheet has it, what is measured later to be so, mm
    measures: dict[str, float] = field(default_factory=dict)  # what each should be, mm
    swung_deg: float = 0.0  # what is open of the angle of a slide that was swung
    swung: bool = False  # the zeros are those since a slide was swung
    before_stop: bool = False  # what is followed was done before work went on after a stop
    pecking: bool = False  # a drill is drawn clear as often as it wants

    travels: Travels = field(init=False)

    def __post_init__(self) -> None:
        """Begin with every slide where it has room, and nothing cut along a thread."""
        self.travels = Travels(machine=self.machine)
        self.dies = DieStops(setup=self.setup)
        self.knurling = Knurling(setup=self.setup, material=self.job.blank.material)
        self.screwing = ScrewCutting(
            setup=self.setup, machine=self.machine, material=self.job.blank.material
        )

    def follow(self) -> None:
        """Follow the whole run."""
        for item, number in zip(self.run.items, self.run.numbers, strict=True):
            self.take(item, number)

    def take(self, item: Item, number: int) -> None:
        """Follow one item, that of a step or a line; 0 for what was done before a stop."""
        if self.before_stop and number:
            self._after_stop()
        self.before_stop = number == 0
        self.findings += [replace(each, place=number) for each in self._item(item)]

    def _after_stop(self) -> None:
        """Begin after a stop: of what stood before it only the work is taken to be as it was."""
        self.tool, self.cutter, self.rpm = None, 0, 0.0
        self.at = (math.nan, math.nan)
        self.zeroed.clear()
        self.swung = False

    def finding(self, code: str, what: str, remedy: str, amount: float | None = None) -> Finding:
        """Return a finding at the place where the tool is; its line or step is put in later."""
        x, z = self.at
        at: At | None = None if math.isnan(x + z) else (x, 0.0, z)
        return Finding(
            code=code,
            what=what,
            where=self.run.where,
            amount=None if amount is None else round(amount, 6),
            at=at,
            remedy=remedy,
            file=self.run.file,
        )

    def _item(self, item: Item) -> Iterator[Finding]:  # noqa: C901, PLR0912 - a case a kind
        match item:
            case Rapid() | Feed():
                yield from self._move(item)
            case Drill():
                yield from self._drill(item)
            case ThreadCut() | ChangeWheels() | HalfNuts():
                yield from self._screw_cut(item)
            case Arc():
                yield self.finding(
                    "kind", "a move that turned work is not planned with", "make it anew"
                )
            case FitCutter():
                yield from self._fit(item)
            case Spindle():
                yield from self._spindle(item)
            case Zero():
                yield from self._zero(item)
            case WorkBy():
                self._work_by(item)
            case SwingSlide():
                yield from self._swing(item)
            case Measure():
                yield from self._measure(item)
            case SetStop():
                yield from self._set_stop(item)
            case ZeroByMeasure():
                yield from self._zero_by_measure(item)
            case Pause():
                yield from self._told(self.dies.stop(item.reason, self.rpm, self.at[0], self.bar))
            case _:
                return

    # ------------------------------------------------------------------ actions

    def _measure(self, item: Measure) -> Iterator[Finding]:
        """Keep what is measured; hands and gauges come to the work for it, so that it stands.

        Before a tool is fitted after a stop what should be found is there already.
        """
        self.measures[item.name] = item.expected
        if item.found_by == "spring":
            self._known_across()
        if self.rpm:
            yield self.finding(
                "spindle", f"{item.name} is measured, the spindle turning", "stop it first"
            )
        if self.run.head.begins_at and not self.before_stop and self.tool is None:
            there = {2 * abs(x) for _, x in _corners(self.bar.metal)}
            off = min((abs(item.expected - each) for each in there), default=item.expected)
            if off > WITHIN:
                yield self.finding(
                    "measure",
                    f"{item.name} should be {item.expected:.3f} mm, and what was cut before the"
                    f" stop is {off:.3f} mm off that",
                    "measure what is there, or begin at another pass",
                    off,
                )

    def _set_stop(self, item: SetStop) -> Iterator[Finding]:
        """See that nothing turns while hands are at the bed, under the chuck."""
        if self.rpm:
            doing = "taken away" if item.away else "set"
            yield self.finding(
                "spindle", f"the stop on the bed is {doing}, the spindle turning", "stop it first"
            )

    def _fit(self, item: FitCutter) -> Iterator[Finding]:
        self.tool = self.crib.lathe_tool(item.name)
        self.cutter = item.number
        self.travels.fit()
        self.at = (math.nan, math.nan)
        self.zeroed.clear()
        self.swung = False
        if self.rpm:
            yield self.finding("spindle", "a tool is fitted, the spindle turning", "stop it first")
        if self.tool is None:
            yield self.finding(
                "cutter", f"tool {item.name!r} is not in the crib", "add it to the crib"
            )
        elif abs(item.diameter - 2 * self.tool.nose_radius) > NEARLY:
            yield self.finding(
                "cutter",
                f"{item.name} has a radius of {self.tool.nose_radius:g} mm in the crib, not"
                f" {item.diameter / 2:g}",
                "make this anew",
            )

    def _spindle(self, item: Spindle) -> Iterator[Finding]:
        self.rpm = item.rpm
        yield from self._told(self.screwing.in_step.started(item.rpm))
        yield from self._runs_at(item.rpm)

    def _runs_at(self, rpm: float) -> Iterator[Finding]:
        """Yield a speed that the lathe has not, or that is too fast for the chuck."""
        if rpm and not self.machine.spindle.has(rpm):
            yield self.finding(
                "speed", f"the lathe has no {rpm:g} rev/min", "take a speed that it has"
            )
        if rpm > self.held.most_rpm + NEARLY:
            yield self.finding(
                "speed",
                f"{rpm:g} rev/min, and what holds the work is marked {self.held.most_rpm:g}",
                "turn slower",
            )

    def _zero(self, item: Zero) -> Iterator[Finding]:
        touch = item.touches[-1]
        place = touch.at + (self.longer if item.axis == "z" and touch.found_as else 0.0)
        self._keep_zero(item.axis, item.uncertainty)
        if touch.rpm and isinstance(self.setup.hold, FaceplateHold):
            yield self.finding(
                "touch",
                "a tool is touched on corners that go round with the faceplate",
                "spindle off; turn the plate by hand",
            )
        self.at = (place, math.nan) if item.axis == "x" else (self.at[0], place)
        metal = self.bar.metal
        if isinstance(self.tool, AxialTool):
            off = off_on_axis(item.axis, place, self.tool, self.bar)
        elif item.axis == "x":
            known = {abs(x) for _, x in _corners(metal)}
            off = min((abs(place - each) for each in known), default=place)
        else:
            off = abs(place - self._end_of_work())
        if off > WITHIN:
            yield self.finding(
                "zero",
                f"{item.axis} is zeroed on metal at {place:.3f} mm, which is {off:.3f} mm off",
                "touch what is there, or put the place right",
                off,
            )

    def _end_of_work(self) -> float:
        """Return the z at which the tool meets the work's end where it stands across, mm.

        Beside a program the tool is brought there by hand, so that its x is not known.
        """
        metal = self.bar.metal
        at = self.at[0] if self.machine.manual else math.nan
        if not math.isnan(at):
            metal = metal.intersection(box(-HUGE, max(at, 0.0), HUGE, HUGE))
        return float(metal.bounds[2])

    def _zero_by_measure(self, item: ZeroByMeasure) -> Iterator[Finding]:
        """Keep a zero that is set by a measurement; on a control it is told as it is set there.

        A sheet's dial is followed as it is turned, so that there the places tell.
        """
        self._keep_zero(item.axis, item.uncertainty)
        stands = self.at[item.axis == "z"]
        if self.machine.manual or item.measure not in self.measures or math.isnan(stands):
            return
        place = item.place(self.measures[item.measure])
        if abs(place - stands) > WITHIN:
            yield self.finding(
                "zero",
                f"{item.axis} is set to {place:.3f} mm by {item.measure}, and the tool stands at"
                f" {stands:.3f} mm",
                "put right what is taken off the length that is measured",
                abs(place - stands),
            )

    def _keep_zero(self, axis: str, uncertainty: float) -> None:
        self.zeroed.add(axis)
        if self.tool is not None:
            self.opens[self._kind(self.tool), axis] = Open(uncertainty, self._setting(axis))

    def _kind(self, tool: TurningTool | AxialTool) -> ToolKind:
        """Return as what the tool's places are open: by a slide that is swung they are others."""
        return "swung" if self.swung and tool.kind != "threading" else tool.kind

    def _setting(self, axis: str) -> float:
        """Return what is open of one place along an axis, mm: by the slide that is worked by."""
        setting = self.run.doubt.setting
        slide = self.travels.worked_by(axis)
        return setting["xyz".index(axis)] if slide is None else slide.setting

    def _swing(self, item: SwingSlide) -> Iterator[Finding]:
        """Swing a slide: where the tool stands is known no longer."""
        self.zeroed.clear()
        self.at = (math.nan, math.nan)
        self.swung, self.swung_deg = True, item.uncertainty_deg
        self.travels.swing(item.slide)
        if self.rpm:
            yield self.finding(
                "spindle", f"the {item.slide} is swung, the spindle turning", "stop it first"
            )

    def _known_across(self) -> None:
        """Take the place across to be as open as measuring leaves it: the cuts to size follow it.

        Where they do not, the cases of a sheet in which another size was found come out wrong.
        """
        if self.tool is not None and (self.tool.kind, "x") in self.opens:
            known = self._open("x")
            zero = min(known.zero, MEASURED)
            self.opens[self.tool.kind, "x"] = known._replace(zero=zero)

    def _open(self, axis: str) -> Open:
        """Return what is open of where the tool that is fitted is taken along an axis."""
        return NOTHING if self.tool is None else self.opens.get((self.tool.kind, axis), NOTHING)

    def _work_by(self, item: WorkBy) -> None:
        """Take other slides in hand: what is zeroed along the axis is so no longer."""
        self.zeroed.discard("z")
        self.at = (self.at[0], math.nan)
        self.travels.work_by(item.slides)

    # ------------------------------------------------------------------ moves

    def _move(self, item: Rapid | Feed) -> Iterator[Finding]:
        """Take the tool along a move."""
        start = self.at
        self.at = (
            start[0] if math.isnan(item.x) else item.x,
            start[1] if math.isnan(item.z) else item.z,
        )
        before = self.travels.by_it[1]
        yield from self._travel(start)
        cuts = isinstance(item, Feed)
        by_carriage = self.at[1] - (self.travels.by_it[1] - before)
        yield from self._told(self.screwing.in_step.wound(start[1], by_carriage))
        if cuts and not self.zeroed >= self._to_be_zeroed():
            yield self.finding("no-zero", "a cut before both zeros are set", "set them first")
        if self.tool is None or math.isnan(sum(start) + sum(self.at)):
            if cuts:
                yield self.finding(
                    "unknown place", "a cut from or to a place that is not known", "set the zeros"
                )
            return
        yield from self._held_by(start)
        off = self._sprung()
        sweep = swept(self.tool, (start[1], start[0] + off), (self.at[1], self.at[0] + off))
        if isinstance(item, Feed) and self.tool.kind == "knurling":
            yield from self._press(item, start, self.tool)
            return
        if isinstance(item, Feed):
            removed = self.bar.cut(sweep.end)
            if self.bar.meets(sweep.shank):
                yield self.finding(
                    "shank",
                    "the shank comes to the work, where nothing cuts",
                    "take a tool with more reach",
                )
            self.bar.cut(sweep.shank)
            yield from self._cut(item, start, removed)
            return
        in_groove = self.screwing.draws_out(start, self.at) or self.knurling.draws_out(
            start, self.at
        )
        depth = self.bar.meets(sweep.shank if in_groove else sweep.whole)
        if depth:
            yield self.finding(
                "rapid", f"goes {depth:.2f} mm into metal in the air", "go round it", depth
            )

    def _held_by(self, start: tuple[float, float]) -> Iterator[Finding]:
        """Yield what the tool comes to of all that holds the work, should nothing spring."""
        assert self.tool is not None
        sweep = swept(self.tool, (start[1], start[0]), (self.at[1], self.at[0]))
        met = self.bar.meets_holding(sweep.whole)
        if met is not None:
            yield self.finding(met.code, f"the tool or its shank comes to {met.what}", "stay off")

    def _beyond_axis(self, start: tuple[float, float]) -> Iterator[Finding]:
        """Yield that a tool of the post cuts beyond the axis, where the work comes from below."""
        if not isinstance(self.tool, TurningTool) or self.tool.inside:
            return
        past = -min(start[0], self.at[0]) - 2 * self.tool.nose_radius
        if past > PAST_AXIS:
            yield self.finding(
                "beyond",
                f"cuts {past:.2f} mm beyond the axis, where the work comes at it from beneath",
                "keep to this side of the axis",
                past,
            )

    def _press(
        self, item: Feed, start: tuple[float, float], tool: TurningTool
    ) -> Iterator[Finding]:
        """Press the wheels of a knurl in, or lead them along: nothing is cut."""
        self.minutes += math.dist(start, self.at) / item.feed if item.feed > 0 else 0.0
        sweep = swept(tool, (start[1], start[0]), (self.at[1], self.at[0]))
        if self.bar.meets(sweep.shank):
            yield self.finding(
                "shank", "what holds the wheels comes to the work", "stay off the shoulder"
            )
        pace = self.rpm, item.feed
        yield from self._told(self.knurling.press(tool, (start, self.at), pace, self.bar))

    def _travel(self, start: tuple[float, float]) -> Iterator[Finding]:
        """Yield each slide that does not go so far."""
        for name, span, travel in self.travels.go(start, self.at):
            yield self.finding(
                "travel",
                f"the {name} would go {span:.1f} mm, and goes {travel:.1f} mm",
                "use a slide or a lathe that goes further",
                span - travel,
            )

    def _told(self, found: Iterable[Found]) -> Iterator[Finding]:
        """Yield what screw-cutting finds, at the place where the tool is."""
        for code, what, remedy, amount in found:
            yield self.finding(code, what, remedy, amount)

    def _screw_cut(self, item: ThreadCut | ChangeWheels | HalfNuts) -> Iterator[Finding]:
        match item:
            case ThreadCut():
                yield from self._thread(item)
            case ChangeWheels():
                yield from self._told(self.screwing.in_step.put_up(item))
            case HalfNuts():
                yield from self._told(
                    self.screwing.in_step.nuts(item, self.rpm, self.screwing.passes)
                )

    def _thread(self, item: ThreadCut) -> Iterator[Finding]:
        """Go along a thread."""
        start = self.at
        self.at = (start[0] if math.isnan(item.x) else item.x, item.z)
        yield from self._travel(start)
        if not self.zeroed >= {"x", "z"}:
            yield self.finding("no-zero", "a cut before both zeros are set", "set them first")
        if math.isnan(sum(start) + sum(self.at)):
            yield self.finding(
                "unknown place", "a cut from or to a place that is not known", "set the zeros"
            )
            return
        rpm = self.rpm
        if item.nuts in STARTS:
            rpm = item.rpm
            yield from self._runs_at(rpm)
        length = abs(self.at[1] - start[1])
        self.minutes += length / (item.lead * rpm) if item.lead * rpm > 0 else 0.0
        met = Pass(
            tool=self.tool,
            rpm=rpm,
            start=start,
            end=self.at,
            sprung=self._sprung(),
            doubt=self._open("z").zero,
            by_swung=self.travels.by_it,
            swung_deg=self.swung_deg,
        )
        yield from self._told(self.screwing.cut(item, met, self.bar))

    def _to_be_zeroed(self) -> set[str]:
        """Return the axes that have to be zeroed: a tailstock is in line with the work anyhow."""
        alone = isinstance(self.tool, AxialTool) and self.machine.manual
        return {"z"} if alone else {"x", "z"}

    def _drill(self, item: Drill) -> Iterator[Finding]:
        """Go in to the bottom, in pecks or not, and back to where the drill is left."""
        yield from self._move(Rapid(item.x, 0.0, item.clear))
        self.pecking = item.peck > 0
        yield from self._move(Feed(item.x, 0.0, item.bottom, item.feed))
        self.pecking = False
        yield from self._move(Rapid(item.x, 0.0, item.left_at))

    def _sprung(self) -> float:
        """Return how far the tool stands off by what was found measuring, mm.

        Not in passes made before a stop, which went by what was found then.
        """
        if self.before_stop:
            return 0.0
        return sum(each.much for each in self.run.wider if each.cutter == self.cutter) / 2

    def _cut(
        self, item: Feed, start: tuple[float, float], removed: tuple[Polygon, ...]
    ) -> Iterator[Finding]:
        length = math.dist(start, self.at)
        self.minutes += length / item.feed if item.feed > 0 else 0.0
        if not removed:
            return
        if self.rpm <= 0:
            yield self.finding("spindle", "a cut with the spindle stopped", "start it first")
            return
        assert self.tool is not None
        yield from self._beyond_axis(start)
        if isinstance(self.tool, AxialTool):
            for code, what, remedy, amount in drill_findings(
                self.tool, self.at[0], removed, pecking=self.pecking
            ):
                yield self.finding(code, what, remedy, amount)
        else:
            for code, what, remedy, amount in blade_findings(self.tool, (start, self.at), removed):
                yield self.finding(code, what, remedy, amount)
        cut = Cut(
            tool=self.tool,
            rpm=self.rpm,
            feed=item.feed,
            removed=removed,
        )
        for code, what, remedy, amount in pace_findings(
            cut, self.job.blank.material, self.machine.rigidity
        ):
            yield self.finding(code, what, remedy, amount)


def _corners(metal: BaseGeometry) -> list[tuple[float, float]]:
    """Return the corners of metal."""
    return [(float(z), float(x)) for z, x in shapely.get_coordinates(metal)]
