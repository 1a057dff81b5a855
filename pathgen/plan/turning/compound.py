"""Tapers outside by the compound: the tool set still off the work, deeper by the cross slide."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.input.where import Refusal
from pathgen.job.turning.bored_tapers import BoredTaper
from pathgen.job.turning.edges import Crown, TurnedEdge
from pathgen.job.turning.turned import Turned
from pathgen.moves.actions import Measure, Touch, WorkBy, Zero
from pathgen.moves.moves import Feed, How, Rapid, Term
from pathgen.moves.plan import Item
from pathgen.plan.turning.allowances import TOUCHED
from pathgen.plan.turning.bench import CLEAR, TurnedOperation, TurningBench
from pathgen.plan.turning.facing import end_touched
from pathgen.plan.turning.parting import bored_at
from pathgen.plan.turning.skimming import skim
from pathgen.plan.turning.slanted import OFF_TOUCH, OVER_LINE, SHY, Slanted, one_in, slanted
from pathgen.plan.turning.slanted_cuts import by_compound
from pathgen.plan.turning.ways import NAN, START, across, along
from pathgen.reckon.turning_depths import bench_depth
from pathgen.shop.turning_tools import TurningTool

ON_THE_REST = 2.0  # mm of the diameter behind a taper, for the tool to be touched on


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
    figures = bench.figures("turning finish", tool.material, 2 * edge.out)
    taper = slanted(edge, bench, tool, figures, measure)
    _guard_rest(edge, bench)
    yield from by_compound(_Outside(taper=taper))


def _guard_rest(edge: TurnedEdge, bench: TurningBench) -> None:
    """Refuse a taper with too little behind it for the tool to be touched on."""
    turned = next(e for e in bench.setup.features if isinstance(e, Turned) and e.name == edge.of)
    rest = edge.face - edge.along + turned.steps[edge.step - 1].to.low - turned.corner
    if rest < ON_THE_REST:
        raise Refusal(
            edge.where.at("length"),
            f"touch the tool on {bench.say(2 * edge.out)} behind {edge.name!r}, of which"
            f" {bench.say(max(rest, 0.0))} are left",
            f"leave {bench.say(ON_THE_REST)} of the diameter behind the taper",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Outside:
    """How a taper is cut outside."""

    taper: Slanted

    @property
    def called(self) -> str:
        """Return the taper in words."""
        return called(self.taper.edge, self.taper.bench)

    @property
    def deepest(self) -> float:
        """Return how deep a cut is at most, mm."""
        bench = self.taper.bench
        return bench_depth(bench.job.blank.material, bench.machine.rigidity)

    @property
    def touched(self) -> float:
        """Return the diameter that the tool is touched on, mm."""
        return 2 * self.taper.edge.out

    @property
    def by(self) -> WorkBy | None:
        """Return the slides that it is worked by: those of outside work."""
        return None

    def before_swung(self) -> Iterator[Item]:
        """Yield nothing: the tool stays where it is."""
        return iter(())

    def after_swung(self) -> Iterator[Item]:
        """Yield nothing: the tool stayed where it was."""
        return iter(())

    def indicated(self) -> str:
        """Return how an indicator is set up to measure the angle."""
        return (
            f"An indicator held on the saddle, its foot on the taper, {self.taper.bench.say(SHY)}"
            " from its small end, square to the axis and at the height of the axis: set it to 0."
        )

    def zeros(self, found_as: str) -> Iterator[Item]:
        """Yield how the tool finds its zeros: on the diameter behind the taper, then on the end."""
        edge, bench, rpm = self.taper.edge, self.taper.bench, self.taper.figures.rpm
        label = f"outside, half of the {bench.say(2 * edge.out)} that was turned"
        touch = Touch(
            face="outside",
            towards=-1,
            tool=self.taper.tool.name,
            radius=0.0,
            paper=0.0,
            at=edge.out,
            terms=(Term(label, edge.out),),
            rpm=rpm,
            found_as=found_as,
        )
        yield Zero(axis="x", touches=(touch,), uncertainty=TOUCHED, why="x 0 is the axis")
        yield across(self._on_the_end(), "in, over the metal of the end")
        yield end_touched(self.taper.tool.name, rpm, 0.0, "the faced end")
        yield along(CLEAR, "off the end")
        yield across(bench.clear, "out, clear of the work")

    def _on_the_end(self) -> float:
        """Return the x at which the right end is touched: half-way between its hollow and rim."""
        edge, bench = self.taper.edge, self.taper.bench
        shapes = (each.shape for each in bench.setup.features if isinstance(each, TurnedEdge))
        if any(isinstance(each, Crown) for each in shapes):
            return 0.0
        first = isinstance(edge, TurnedEdge) and edge.step == 1
        rim = edge.foot if first else bench.outside
        hollow = max(bored_at(bench, 0.0), bench.about_the_axis)
        return (min(hollow, rim) + rim) / 2

    def skim(self, name: str) -> Iterator[Item]:
        """Yield a light cut by the carriage on what the taper takes off, measured as ``name``."""
        taper, bench = self.taper, self.taper.bench
        reach, out = taper.skimmed, taper.edge.out
        under = (taper.edge.along - reach) * math.tan(taper.flank.lean) - OVER_LINE
        lies = out - bench.nearest_count(under)
        measure = Measure(
            name=name,
            what="diameter of the skim on the taper, the cross slide left where it is",
            expected=2 * lies,
            low=2 * lies - OFF_TOUCH,
            high=2 * lies + OFF_TOUCH,
            found_by="touch",
            advice="the touch went wrong: touch the diameter behind the taper again",
        )
        back = along(CLEAR, "back, x left where it is")
        yield from skim(measure, taper.figures, reach - taper.edge.face, bench.start, back)
        yield across(bench.clear, "out, clear of the work")

    def cut(self, over: float, what: str, *, last: bool = False) -> Iterator[Item]:
        """Yield one cut: in, along the taper by the compound, out, and the compound back."""
        taper, flank = self.taper, self.taper.flank
        x, end = flank.x(taper.right, over), flank.x(flank.left, over)
        yield Rapid(x, 0.0, NAN, How(makes="size", what=what, rules=taper.rules))
        end_what = "along the taper, to its end"
        yield Feed(end, 0.0, flank.left, taper.figures.feed, How(makes="size", what=end_what))
        yield across(end + START, "out, off the taper")
        back = How(makes="size", what="back to 0, the slack out")
        yield Rapid(x + START, 0.0, taper.right, back)
        if last:
            yield across(taper.bench.clear, "out, clear of the work")

    def blue(self) -> str:
        """Return how the taper is tried in what it goes into."""
        return (
            f"Spindle stopped, try {self.taper.edge.name} in the part that it goes into, if that is"
            " at hand: a thin line of marking blue along it, the parts pushed together and turned a"
            " little. Blue rubbed off along the whole line: the angle is right. At the small end"
            " alone the taper is too slow, at the large end alone too steep. How far it goes in"
            " tells its size: on the diameter 1 mm of depth is"
            f" {2 * math.tan(self.taper.flank.lean):.3f} mm."
        )


def called(edge: TurnedEdge | BoredTaper, bench: TurningBench) -> str:
    """Return a taper in words."""
    return (
        f"a taper of 1 in {one_in(edge):.4g} over {bench.say(edge.along)}, from"
        f" {bench.say(2 * edge.foot)} to {bench.say(2 * edge.out)} across"
    )
