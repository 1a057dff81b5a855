"""Grooves outside and undercuts: plunged cut beside cut, then walls and floor cleaned to size."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.input.where import Refusal
from pathgen.job.turning.grooves import Groove
from pathgen.moves.actions import Measure, Note, Spindle
from pathgen.moves.moves import Feed, How, Rapid, Rule, Term
from pathgen.moves.plan import Item, Purpose
from pathgen.plan.turning.allowances import SPRING
from pathgen.plan.turning.bench import JAWS_CLEAR, TurnedOperation, TurningBench
from pathgen.plan.turning.figures import TurningFigures, figures_for
from pathgen.plan.turning.plunging import from_right_wall, plunges_beside
from pathgen.plan.turning.ways import NAN, across
from pathgen.shop.turning_tools import GROOVING, TurningTool

ON_FLOOR = 0.15  # mm on the radius left for the last cut; common practice, no source
ON_WALLS = 0.1  # mm left on each wall for it; common practice, no source
OFF_LAND = 1.0  # mm over the diameter at which a blade goes along, beside the corner at a shoulder
SHANK_CLEAR = 0.3  # mm that stay between the shank of a blade and the diameter
CHATTER = (
    "A blade cuts over its whole width: square to the work, at the height of the axis, as far in"
    " its holder as it goes, oil on it (brass dry). Feed slowly and steadily; where it chatters,"
    " turn slower and feed on."
)
CHIPS = (
    "Where chips pack beside the blade, draw it straight out, stop, and clear the groove with a"
    " hook or a brush. Never wind along before the blade is out of the groove."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cutting:
    """A groove with what cuts it; lengths in mm."""

    groove: Groove
    bench: TurningBench
    tool: TurningTool
    figures: TurningFigures

    @property
    def to_spare(self) -> float:
        """Return by how much it is wider than the blade; 0 where the blade makes its width."""
        wide = self.groove.width
        fits = wide.low <= self.tool.width <= wide.high and not self.groove.foot
        return 0.0 if fits else wide.middle - self.tool.width

    @property
    def on_walls(self) -> float:
        """Return what is left on each wall for the last cut."""
        return min(ON_WALLS, self.to_spare / 2)

    @property
    def floor(self) -> float:
        """Return the radius of the floor."""
        return self.groove.diameter.middle / 2

    @property
    def roughed(self) -> float:
        """Return that radius as it is roughed."""
        return self.floor + min(ON_FLOOR, self.groove.depth / 2)

    @property
    def off(self) -> float:
        """Return the x at which the blade goes along, over the diameter."""
        return self.groove.land.middle / 2 + OFF_LAND

    @property
    def right(self) -> float:
        """Return from the right face to the right wall: by the blade where that is as wide."""
        if self.to_spare:
            return self.groove.left.middle - self.groove.width.middle
        return self.groove.right.middle

    @property
    def measured(self) -> str:
        """Return the name of the measurement of the floor; empty where it is not measured."""
        number = self.bench.setup.features.index(self.groove) + 1
        return f"G{number}" if self.bench.manual else ""


def plan_groove(groove: Groove, bench: TurningBench) -> Iterator[TurnedOperation]:
    """Yield the operations of a groove: the plunges, and the last cuts to size.

    Raises:
        Refusal: no blade is as narrow and reaches as deep, or the jaws are in its way.
    """
    tool = _blade(groove, bench)
    _guard_jaws(groove, bench)
    widest = groove.land.nominal  # at a shoulder the blade's side comes to what is behind it
    if groove.foot:
        _, widest = bench.behind(groove.of, groove.step)
    figures = figures_for(
        bench.machine,
        bench.chuck,
        bench.job.blank.material,
        "parting",
        tool.material,
        widest,
    )
    cutting = _Cutting(groove=groove, bench=bench, tool=tool, figures=figures)
    wide = bench.say(groove.width.middle)
    yield _operation(
        cutting,
        "undercut" if groove.foot else "groove",
        f"{wide} wide with a blade of {bench.say(tool.width)}, down to"
        f" {bench.say(2 * cutting.roughed)} across; {figures.why}",
        (
            Note(text=CHATTER, caution=True),
            Note(text=CHIPS, caution=True),
            *_plunges(cutting),
        ),
    )
    yield _operation(
        cutting,
        "finish",
        f"walls and floor to {wide} wide and {bench.say(groove.diameter.middle)} across;"
        f" {figures.why}",
        (*_floor_measured(cutting), *_to_size(cutting), *_width_measured(cutting)),
    )


def _operation(
    cutting: _Cutting, purpose: Purpose, why: str, items: tuple[Item, ...]
) -> TurnedOperation:
    """Return one operation of a groove."""
    return TurnedOperation(
        purpose=purpose,
        feature=cutting.groove.name,
        tool=cutting.tool,
        figures=cutting.figures,
        why=why,
        items=items,
        touched=cutting.groove.land.middle,
    )


def _blade(groove: Groove, bench: TurningBench) -> TurningTool:
    """Return the widest blade that goes into a groove and reaches its floor.

    At the foot of a shoulder one that is narrower, if there is, so that only the last cut comes to
    the shoulder.

    Raises:
        Refusal: the crib has none.
    """
    deep = groove.depth + SHANK_CLEAR
    most = groove.width.middle if groove.foot else groove.width.high
    fitting = [
        tool
        for tool in bench.tools
        if tool.kind in GROOVING
        and tool.width <= most
        and tool.reach >= deep
        and tool.nose_radius <= groove.corner
    ]
    if not fitting:
        raise Refusal(
            groove.where,
            f"cut a groove {bench.say(groove.width.nominal)} wide and {bench.say(groove.depth)}"
            " deep: no blade of the crib is as narrow and reaches as far",
            f"put a [[turning_tool]] of kind grooving, {bench.say(most)} wide at most, with a reach"
            f" of {bench.say(deep)} or more into the crib",
        )
    beside = [tool for tool in fitting if tool.width <= groove.width.middle - 2 * ON_WALLS]
    return max((groove.foot and beside) or fitting, key=lambda tool: tool.width)


def _guard_jaws(groove: Groove, bench: TurningBench) -> None:
    """Refuse a groove so near to the jaws that the blade's holder would come to them."""
    if -groove.left.high - JAWS_CLEAR < bench.setup.jaws_at:
        need = JAWS_CLEAR + groove.left.high + bench.setup.facing
        raise Refusal(
            bench.setup.where.at("hold"),
            f"cut a groove {bench.say(groove.left.high)} from the faced end so near to the jaws",
            f"let the bar stand out {bench.say(need)} or more",
        )


def _plunges(cutting: _Cutting) -> Iterator[Item]:
    """Yield the plunges from the right wall to the left one, short of walls and floor."""
    left = cutting.on_walls
    more = cutting.to_spare - 2 * left
    places = list(plunges_beside(cutting.right, cutting.tool, more, left))
    for index, (z, to_place) in enumerate(places, start=1):
        out = cutting.off if index < len(places) else cutting.bench.clear
        yield to_place
        if index == 1:
            yield across(cutting.off, "in, over the diameter")
        yield _in(cutting, z, cutting.roughed, How(makes="stop", what="in, short of the floor"))
        yield across(out, "straight out")


def _in(cutting: _Cutting, z: float, x: float, how: How) -> Feed:
    """Return one plunge."""
    return Feed(x, 0.0, z, cutting.figures.feed, how)


def _floor_measured(cutting: _Cutting) -> Iterator[Item]:
    """Yield the measuring of the floor as roughed, on a lathe with handles."""
    if not cutting.measured:
        return
    expected = 2 * cutting.roughed
    yield Spindle(rpm=0.0)
    yield Measure(
        name=cutting.measured,
        what="diameter of the groove's floor, by the narrow jaws of a calliper",
        expected=expected,
        low=expected - SPRING,
        high=expected + SPRING,
        found_by="spring",
        advice="the touch went wrong or a turn was missed: find out which before more is cut",
    )
    yield Spindle(rpm=cutting.figures.rpm)


def _to_size(cutting: _Cutting) -> Iterator[Item]:
    """Yield the last cuts: the left wall, then the right one and along the floor.

    By its width alone a blade makes both walls at once.
    """
    groove, tool = cutting.groove, cutting.tool
    right = from_right_wall(cutting.right, tool, 0.0, 0.0)
    at_right = sum(term.value for term in right)
    at_left = at_right - cutting.to_spare
    yield across(cutting.off, "in, over the diameter beside the groove")
    if cutting.to_spare:
        place = "to the shoulder" if groove.foot else "to the left wall"
        to_left = (Term("the faced end", 0.0), Term(place, at_left))
        how = How(makes="size", what=f"left corner of the blade {place}", sums=(("z", to_left),))
        if groove.foot:  # the blade's side comes to a shoulder
            yield Feed(cutting.off, 0.0, at_left, cutting.figures.feed, how)
        else:
            yield Rapid(NAN, 0.0, at_left, how)
        yield _to_floor(cutting, at_left, "in to the floor, along the left wall")
        yield across(cutting.off, "straight out")
    how = How(makes="size", what="right corner of the blade to its wall", sums=(("z", right),))
    yield Rapid(NAN, 0.0, at_right, how)
    yield _to_floor(cutting, at_right, "in to the floor; let it turn twice there")
    if cutting.to_spare:
        end = How(makes="size", what="along the floor, just to the left wall")
        yield Feed(cutting.floor, 0.0, at_left, cutting.figures.feed, end)
    yield across(cutting.bench.clear, "straight out, clear of the work")


def _to_floor(cutting: _Cutting, z: float, what: str) -> Feed:
    """Return a plunge to the floor, which follows what was measured of it."""
    terms = (Term("half of the floor wanted", cutting.floor),)
    name = cutting.measured
    rules = (Rule(axis="x", measure=name, factor=-0.5),) if name else ()
    how = How(makes="size", what=what, sums=(("x", terms),), rules=rules)
    return _in(cutting, z, cutting.floor, how)


def _width_measured(cutting: _Cutting) -> Iterator[Item]:
    """Yield the measuring of the width as cut, on a lathe with handles."""
    if not cutting.measured:
        return
    wide = cutting.groove.width
    expected = wide.middle if cutting.to_spare else cutting.tool.width
    yield Spindle(rpm=0.0)
    yield Measure(
        name=f"{cutting.measured}W",
        what="width of the groove, by slip gauges or the calliper's inside jaws",
        expected=expected,
        low=wide.low,
        high=wide.high,
        advice="too narrow: put the width of the blade right in the crib and make this anew; too"
        " wide: the blade is wider than the crib has it, or ground out of square",
    )
