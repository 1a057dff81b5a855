"""Tapers by the compound, swung to their angle: tried, measured, the angle put right, then to size.

The carriage stands still. The compound starts each cut at 0 of its dial, to the right of the work,
and always ends at one reading; the cross slide sets how deep it goes, the tool still off the work.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.job.turned import Turned
from pathgen.job.turned_edges import Crown, TurnedEdge
from pathgen.moves.actions import Measure, Note, Spindle, SwingSlide, Touch, Zero
from pathgen.moves.moves import Feed, How, Rapid, Rule, Term
from pathgen.moves.plan import Item
from pathgen.plan.turning.allowances import LEAST_SKIMMED, SKIMMED, TOUCHED
from pathgen.plan.turning.bench import CLEAR, TurnedOperation, TurningBench
from pathgen.plan.turning.facing import end_touched
from pathgen.plan.turning.figures import MOST_TURNS_A_MINUTE, TurningFigures
from pathgen.plan.turning.parting import bored_at
from pathgen.plan.turning.skimming import skim
from pathgen.plan.turning.ways import NAN, START, across, along
from pathgen.reckon.turning_depths import bench_depth
from pathgen.shop.slides import Slide
from pathgen.shop.turning_tools import TurningTool

LEFT = 0.2  # mm on the radius that stays when the taper is tried; common practice, no source
SHARE = 1 / 3  # of what the taper takes off at its small end, which is left at most
INDICATED = 0.005  # mm that an indicator's two readings leave open; common practice, no source
SHY = 1.5  # mm that an indicator's foot keeps off an edge or a corner
WHOLE = 20  # counts of the carriage: the way over which a taper is tried is so many times whole
LEAST_TRIED = 3.0  # mm of taper over which its angle can be measured at all
ON_THE_REST = 2.0  # mm of the diameter behind a taper, for the tool to be touched on
OVER_LINE = 0.05  # mm over the line that the skim on a taper stays at its deepest
OFF_TOUCH = 0.06  # mm of diameter that a touch may be off what is measured of a skim then
TO_SIZE = 2  # cuts that take off what was left
SWUNG = (
    "With the compound set over its handle and its slide may come to the tailstock, and its end to"
    " the jaws: before the spindle is started, wind it once through its whole way, and turn the"
    " chuck by hand."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Taper:
    """A taper, and how its tool goes along it; lengths in mm."""

    edge: TurnedEdge
    bench: TurningBench
    tool: TurningTool
    compound: Slide
    figures: TurningFigures
    rules: tuple[Rule, ...]  # that the depth of the last cuts follows

    @property
    def lean(self) -> float:
        """Return the angle between its side and the axis, in radians."""
        return math.radians(self.edge.angle_deg)

    @property
    def right(self) -> float:
        """Return the z at which the tool stands when the compound is at 0."""
        slack = self.compound.slack + self.compound.slack_spread
        return self.edge.face + max(START, 2 * slack)

    @property
    def left(self) -> float:
        """Return the z at which it stops: its nose just at the end of the taper.

        A round nose touches the flank not at its leftmost bit, but where its own slope is that.
        """
        nose = self.tool.nose_radius
        return self.edge.face - self.edge.along - nose * (1 - math.sin(self.lean))

    def x(self, z: float, over: float = 0.0) -> float:
        """Return the x of the tool at a z, so much over the line of the taper, on the radius."""
        nose = self.tool.nose_radius
        behind = self.edge.face + nose * (math.sin(self.lean) - 1) - z
        foot = self.edge.foot + nose * (math.cos(self.lean) - 1)
        return foot + behind * math.tan(self.lean) + over

    @property
    def way(self) -> float:
        """Return how far the compound goes for a cut."""
        return (self.right - self.left) / math.cos(self.lean)

    @property
    def over(self) -> float:
        """Return what is left on the radius when the taper is tried."""
        return min(LEFT, SHARE * (self.edge.out - self.edge.foot))

    @property
    def tried(self) -> float:
        """Return the way of the carriage along the taper, as it is tried, for an indicator."""
        rise = self.edge.out - self.edge.foot
        whole = WHOLE * self.bench.machine.slide("z").count
        long = self.edge.along * (1 - self.over / rise) - 2 * SHY
        return math.floor(long / whole + 1e-9) * whole

    @property
    def skimmed(self) -> float:
        """Return how far along the work a skim goes on the taper as it is tried; 0: none is cut.

        Its land is where the taper as tried stands over it; shorter than a micrometer wants, the
        dial goes by its touch alone.
        """
        land = (self.over - OVER_LINE) / math.tan(self.lean)
        reach = min(SKIMMED, self.edge.along / 2)
        return reach if min(land, reach) >= LEAST_SKIMMED else 0.0


def plan_by_compound(
    edge: TurnedEdge, bench: TurningBench, tool: TurningTool, measure: str
) -> Iterator[TurnedOperation]:
    """Yield the cuts with which a taper is tried, and those that take it to size.

    Args:
        edge: the taper.
        bench: the setup on its lathe.
        tool: that cuts it.
        measure: the measurement that the depth follows, of how the tool springs; or nothing.

    Raises:
        Refusal: the lathe has no compound that may be swung, or it does not go so far.
    """
    taper = _taper(edge, bench, tool, measure)
    _guard(taper)
    yield _tried(taper)
    yield _to_size(taper)


def _taper(edge: TurnedEdge, bench: TurningBench, tool: TurningTool, measure: str) -> _Taper:
    """Return a taper with the compound that cuts it."""
    if bench.compound is None:
        raise bench.refusal(
            edge.where.at("way"),
            f"swing a compound on {bench.machine.title}: its file names none",
            'name it as compound in [lathe], or cut the taper in steps: way = "steps"',
        )
    figures = bench.figures("turning finish", tool.material, 2 * edge.out)
    most = MOST_TURNS_A_MINUTE * bench.compound.per_turn
    return _Taper(
        edge=edge,
        bench=bench,
        tool=tool,
        compound=bench.compound,
        figures=figures.no_faster(most),
        rules=(Rule(axis="x", measure=measure, factor=-1 / 2),) if measure else (),
    )


def _guard(taper: _Taper) -> None:
    """Refuse a taper that the compound is too short for, or that nothing can be measured on."""
    edge, bench, compound = taper.edge, taper.bench, taper.compound
    wanted = taper.way + compound.per_turn
    if wanted > compound.travel:
        longest = (compound.travel - compound.per_turn) * math.cos(taper.lean)
        longest -= taper.way * math.cos(taper.lean) - edge.along
        raise bench.refusal(
            edge.where.at("length"),
            f"cut a taper of {bench.say(edge.along)} by the compound: with the way to come up by it"
            f" would go {wanted:.1f} mm, and goes {compound.travel:.1f} mm",
            f"make it {max(longest, 0.0):.1f} mm long or less, cut it in steps, or use a lathe"
            " whose compound goes further, or one with a control",
        )
    if taper.tried < LEAST_TRIED:
        raise bench.refusal(
            edge.where.at("length"),
            f"measure the angle of {edge.name!r}: {bench.say(edge.along)} of it leave an indicator"
            f" no {LEAST_TRIED:g} mm to go along",
            'make it longer, or cut it in steps: way = "steps"',
        )
    turned = _profile(taper)
    rest = edge.face - edge.along + turned.steps[edge.step - 1].to.low - turned.corner
    if rest < ON_THE_REST:
        raise bench.refusal(
            edge.where.at("length"),
            f"touch the tool on {bench.say(2 * edge.out)} behind {edge.name!r}, of which"
            f" {bench.say(max(rest, 0.0))} are left",
            f"leave {bench.say(ON_THE_REST)} of the diameter behind the taper",
        )


def _profile(taper: _Taper) -> Turned:
    """Return the profile that a taper is of."""
    features = taper.bench.setup.features
    return next(e for e in features if isinstance(e, Turned) and e.name == taper.edge.of)


# ---------------------------------------------------------------------- the angle


def _swung(taper: _Taper) -> SwingSlide:
    """Return how the compound is swung at first: proved along a diameter that was turned."""
    over = whole_turns(taper.compound, min(_longest_land(taper), taper.compound.travel / 2))
    return SwingSlide(
        slide=taper.compound.name,
        angle_deg=taper.edge.angle_deg,
        over=over,
        rise=over * math.sin(taper.lean),
        uncertainty_deg=math.degrees(2 * INDICATED / over),
    )


def _put_right(taper: _Taper) -> SwingSlide:
    """Return how it is swung by what was found: proved along the taper that it has just cut."""
    over = whole_turns(taper.compound, taper.tried)
    steep = math.cos(taper.lean) ** 2 / taper.tried  # the angle, in radians, by what is found
    return SwingSlide(
        slide=taper.compound.name,
        angle_deg=taper.edge.angle_deg,
        over=over,
        rise=0.0,
        against="taper",
        uncertainty_deg=math.degrees(_found_open(taper) * steep + INDICATED / over),
        follows=_named(taper),
        expected=taper.tried * math.tan(taper.lean),
        factor=-over * steep,
    )


def _found_open(taper: _Taper) -> float:
    """Return what is open of the indicator's rise along the taper: read, and by the carriage."""
    return INDICATED + taper.bench.machine.slide("z").count * math.tan(taper.lean)


def whole_turns(slide: Slide, most: float) -> float:
    """Return a way of so many whole turns of a slide's handle, one at least."""
    return max(1, math.floor(most / slide.per_turn + 1e-9)) * slide.per_turn


def _longest_land(taper: _Taper) -> float:
    """Return how far an indicator goes along the longest diameter of the profile, mm."""
    turned, right, longest = _profile(taper), 0.0, 0.0
    for step in turned.steps:
        longest = max(longest, step.to.middle - right - turned.corner - 2 * SHY)
        right = step.to.middle
    return longest


def _named(taper: _Taper) -> str:
    """Return the name of the measurement of the taper's angle."""
    tapers = [e for e in taper.bench.setup.features if isinstance(e, TurnedEdge)]
    return f"A{1 + tapers.index(taper.edge)}"


def _measured(taper: _Taper) -> Iterator[Item]:
    """Yield how the taper's angle is measured: an indicator taken along it by the carriage."""
    bench, expected = taper.bench, taper.tried * math.tan(taper.lean)
    off = taper.over / 2 * taper.tried / taper.edge.along
    yield Note(
        text=f"An indicator held on the saddle, its foot on the taper, {bench.say(SHY)} from its"
        " small end, square to the axis and at the height of the axis: set it to 0."
    )
    what = f"along the taper, {bench.say(taper.tried)}"
    yield along(taper.right - taper.tried, what, makes_size=True)
    yield Measure(
        name=_named(taper),
        what=f"how far {taper.edge.name} has pressed the indicator's foot in",
        expected=expected,
        low=expected - off,
        high=expected + off,
        found_by="angle",
        advice="the compound is not where it was set: swing it anew, and take the last cut again",
    )
    yield along(taper.right, "back, to the right of the work", makes_size=True)


# ---------------------------------------------------------------------- zeros and cuts


def _zeros(taper: _Taper, found_as: str = "") -> Iterator[Item]:
    """Yield how the tool finds its zeros, the compound at 0: on the diameter, then on the end."""
    edge, bench, rpm = taper.edge, taper.bench, taper.figures.rpm
    label = f"outside, half of the {bench.say(2 * edge.out)} that was turned"
    touch = Touch(
        face="outside",
        towards=-1,
        tool=taper.tool.name,
        radius=0.0,
        paper=0.0,
        at=edge.out,
        terms=(Term(label, edge.out),),
        rpm=rpm,
        found_as=found_as,
    )
    yield Zero(axis="x", touches=(touch,), uncertainty=TOUCHED, why="x 0 is the axis")
    yield across(_on_the_end(taper), "in, over the metal of the end")
    yield end_touched(taper.tool.name, rpm, 0.0, "the faced end")
    yield along(CLEAR, "off the end")
    yield across(bench.clear, "out, clear of the work")


def _on_the_end(taper: _Taper) -> float:
    """Return the x at which the right end is touched: half-way between its hollow and its rim."""
    edge, bench = taper.edge, taper.bench
    shapes = (each.shape for each in bench.setup.features if isinstance(each, TurnedEdge))
    if any(isinstance(each, Crown) for each in shapes):
        return 0.0
    rim = edge.foot if edge.step == 1 else bench.outside
    hollow = max(bored_at(bench, 0.0), bench.about_the_axis)
    return (min(hollow, rim) + rim) / 2


def _cut(taper: _Taper, over: float, what: str, *, last: bool = False) -> Iterator[Item]:
    """Yield one cut along the taper: in, along it by the compound, out, and the compound back."""
    x, end = taper.x(taper.right, over), taper.x(taper.left, over)
    rules = taper.rules
    yield Rapid(x, 0.0, NAN, How(makes="size", what=what, rules=rules))
    end_what = "along the taper, to its end"
    yield Feed(end, 0.0, taper.left, taper.figures.feed, How(makes="size", what=end_what))
    yield across(end + START, "out, off the taper")
    back = How(makes="size", what="back to 0, the slack out")
    yield Rapid(x + START, 0.0, taper.right, back)
    if last:
        yield across(taper.bench.clear, "out, clear of the work")


def _tried(taper: _Taper) -> TurnedOperation:
    """Return the swinging of the compound, and the cuts down to what is left for the last ones."""
    bench, edge = taper.bench, taper.edge
    stock = edge.out - edge.foot
    most = bench_depth(bench.job.blank.material, bench.machine.rigidity)
    count = max(1, math.ceil((stock - taper.over) / most - 1e-9))
    items: list[Item] = [
        Spindle(rpm=0.0),
        Note(text=SWUNG, caution=True),
        _swung(taper),
        Spindle(rpm=taper.figures.rpm),
        *_zeros(taper),
        along(taper.right, "the carriage stays here, locked", makes_size=True),
    ]
    for number in range(1, count + 1):
        over = stock - (stock - taper.over) * number / count
        what = f"cut {number} of {count}, {bench.say(2 * taper.over)} left at the last"
        items += _cut(taper, over, what, last=number == count)
    return TurnedOperation(
        purpose="rough",
        feature=edge.name,
        tool=taper.tool,
        figures=taper.figures,
        why=f"{called(edge, bench)}, by the {taper.compound.name}, tried before it is cut to size;"
        f" {taper.figures.why}",
        items=tuple(items),
        depth_of_cut=(stock - taper.over) / count,
        touched=2 * edge.out,
        zeros=(),
    )


def _to_size(taper: _Taper) -> TurnedOperation:
    """Return the angle measured and put right, zeros found anew, and the cuts to the line."""
    bench, edge = taper.bench, taper.edge
    found_as = f"D{_named(taper)[1:]}" if taper.skimmed else ""
    items: list[Item] = [
        Spindle(rpm=0.0),
        *_measured(taper),
        _put_right(taper),
        Spindle(rpm=taper.figures.rpm),
        *_zeros(taper, found_as),
        *(_skim(taper, found_as) if found_as else ()),
        along(taper.right, "the carriage stays here, locked", makes_size=True),
    ]
    for number in range(1, TO_SIZE + 1):
        over = taper.over * (TO_SIZE - number) / TO_SIZE
        what = f"cut {number} of {TO_SIZE} to the line"
        items += _cut(taper, over, what, last=number == TO_SIZE)
    return TurnedOperation(
        purpose="finish",
        feature=edge.name,
        tool=taper.tool,
        figures=taper.figures,
        why=f"{called(edge, bench)}, its angle measured and put right, the nose of"
        f" {bench.say(taper.tool.nose_radius)} allowed for; {taper.figures.why}",
        items=(*items, Note(text=_blue(taper))),
        depth_of_cut=taper.over / TO_SIZE,
        touched=2 * edge.out,
        zeros=(),
    )


def _skim(taper: _Taper, name: str) -> Iterator[Item]:
    """Yield a light cut by the carriage on what the taper takes off, measured to set the dial."""
    reach, out = taper.skimmed, taper.edge.out
    under = (taper.edge.along - reach) * math.tan(taper.lean) - OVER_LINE
    lies = out - taper.bench.nearest_count(under)
    measure = Measure(
        name=name,
        what="diameter of the skim on the taper, the cross slide left where it is",
        expected=2 * lies,
        low=2 * lies - OFF_TOUCH,
        high=2 * lies + OFF_TOUCH,
        found_by="touch",
        advice="the touch went wrong: touch the diameter behind the taper again",
    )
    start, back = taper.bench.start, along(CLEAR, "back, x left where it is")
    yield from skim(measure, taper.figures, reach - taper.edge.face, start, back)
    yield across(taper.bench.clear, "out, clear of the work")


def called(edge: TurnedEdge, bench: TurningBench) -> str:
    """Return a taper in words."""
    one_in = edge.along / (2 * (edge.out - edge.foot))
    return (
        f"a taper of 1 in {one_in:.4g} over {bench.say(edge.along)}, from"
        f" {bench.say(2 * edge.foot)} to {bench.say(2 * edge.out)} across"
    )


def _blue(taper: _Taper) -> str:
    """Return how a taper is tried in what it goes into."""
    return (
        f"Spindle stopped, try {taper.edge.name} in the part that it goes into, if that is at hand:"
        " a thin line of marking blue along it, the parts pushed together and turned a little. Blue"
        " rubbed off along the whole line: the angle is right. At the small end alone the taper is"
        " too slow, at the large end alone too steep. How far it goes in tells its size: on the"
        f" diameter 1 mm of depth is {2 * math.tan(taper.lean):.3f} mm."
    )
