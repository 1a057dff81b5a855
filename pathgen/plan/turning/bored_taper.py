"""Tapers in bores: by the compound, a boring bar set out to each cut; by a control along a slant.

The bar is that of the bore. It is touched on the bore behind the taper, where nothing was taken.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.input.where import Refusal
from pathgen.job.turning.bored_tapers import BoredTaper
from pathgen.job.turning.inside import Bored
from pathgen.moves.actions import Measure, Note, WorkBy
from pathgen.moves.moves import Feed, How, Rapid
from pathgen.moves.plan import Item
from pathgen.plan.turning.bench import TurnedOperation, TurningBench
from pathgen.plan.turning.boring import (
    BORING,
    SLENDER,
    bar_of,
    beside_a_gauge,
    inside_by,
    inside_zeros,
    measured_bore,
    off_wall,
)
from pathgen.plan.turning.compound import called
from pathgen.plan.turning.skimming import skim
from pathgen.plan.turning.slanted import OFF_TOUCH, OVER_LINE, SHY, Flank, Slanted, slanted
from pathgen.plan.turning.slanted_cuts import by_compound
from pathgen.plan.turning.ways import NAN, START, across, along
from pathgen.reckon.turning_depths import bench_depth
from pathgen.shop.turning_tools import TurningTool

LEFT = 0.15  # mm on the radius that a control leaves for the cut along the line
BAR_OUT = (
    "Take the bar out of the tool post: the indicator goes there in its place, and neither is in"
    " the way of the other."
)
BAR_BACK = (
    "Put the bar back, along the axis, its point at the height of the axis, as far out as before:"
    " its zeros are found anew."
)


def plan_bored_taper(taper: BoredTaper, bench: TurningBench) -> Iterator[TurnedOperation]:
    """Yield the operations that widen a bore to its mouth by a taper.

    Raises:
        Refusal: the bar has no room, or the lathe no compound that does it.
    """
    bored = next(e for e in bench.setup.features if isinstance(e, Bored) and e.name == taper.of)
    bar = bar_of(bored, bench)
    _guard_room(taper, bench, bar)
    if not bench.manual:
        yield _along_its_line(taper, bench, bar)
        return
    figures = bench.figures("boring", bar.material, 2 * taper.out)
    slant = slanted(taper, bench, bar, figures, measured_bore(bored, bench))
    yield from by_compound(_Inside(taper=slant))


def _guard_room(taper: BoredTaper, bench: TurningBench, bar: TurningTool) -> None:
    """Refuse a taper at whose small end the bar's far side meets the wall in the first cuts.

    Every cut goes on to there, the first of them further in by all that the taper takes off.
    """
    room = 2 * taper.foot - taper.rise - off_wall(bench)
    if room < bar.least_bore:
        raise Refusal(
            taper.where,
            f"take the {bar.name} along {taper.name!r}: in its first cut it stands"
            f" {bench.say(taper.rise)} off the wall of a bore of {bench.say(2 * taper.foot)}, and"
            f" wants {bench.say(bar.least_bore)} across",
            "make the taper shorter or slower, or put a thinner bar into the crib",
        )


def _deepest(bench: TurningBench) -> float:
    """Return how deep a bar cuts at most, mm."""
    return bench_depth(bench.job.blank.material, bench.machine.rigidity) * SLENDER


# ---------------------------------------------------------------------- by a control


def _along_its_line(taper: BoredTaper, bench: TurningBench, bar: TurningTool) -> TurnedOperation:
    """Return the cuts by a control: each along the line, the last on it."""
    flank = Flank(edge=taper, nose=bar.nose_radius)
    figures = bench.figures("boring", bar.material, 2 * taper.out)
    count = max(0, math.ceil((taper.rise - LEFT) / _deepest(bench) - 1e-9))
    left = min(LEFT, taper.rise)
    overs = [taper.rise - (taper.rise - left) * cut / count for cut in range(1, count + 1)]
    items: list[Item] = [along(START)]
    for over in overs:
        items += _slant(flank, bench, figures.feed, over, "roughing, along the taper")
    items += _slant(flank, bench, figures.feed, 0.0, "along the line, to its end")
    return TurnedOperation(
        purpose="finish",
        feature=taper.name,
        tool=bar,
        figures=figures,
        why=f"{called(taper, bench)}, the nose of {bench.say(bar.nose_radius)} allowed for;"
        f" {figures.why}",
        items=(Note(text=BORING, caution=True), *items),
        depth_of_cut=max((taper.rise - left) / count if count else 0.0, left),
        zeros=inside_zeros(bench, bar, taper.foot, figures.rpm, taper=taper),
    )


def _slant(
    flank: Flank, bench: TurningBench, feed: float, over: float, what: str
) -> Iterator[Item]:
    """Yield one cut by a control from the mouth to where it comes out into the bore."""
    end = flank.left + over / math.tan(flank.lean)
    yield across(flank.x(START, over), "out, to the line at the mouth")
    yield Feed(flank.x(end, over), 0.0, end, feed, How(makes="size", what=what))
    yield across(flank.x(end, over) - off_wall(bench), "in, off the wall")
    yield along(START, "out of the bore")


# ---------------------------------------------------------------------- by the compound


@dataclass(frozen=True, slots=True, kw_only=True)
class _Inside:
    """How a taper is cut in a bore by the compound."""

    taper: Slanted

    @property
    def _bored(self) -> BoredTaper:
        """Return the taper as it is wanted."""
        assert isinstance(self.taper.edge, BoredTaper)
        return self.taper.edge

    @property
    def called(self) -> str:
        """Return the taper in words."""
        return f"in the bore {called(self.taper.edge, self.taper.bench)} at the mouth"

    @property
    def deepest(self) -> float:
        """Return how deep a cut is at most, mm."""
        return _deepest(self.taper.bench)

    @property
    def touched(self) -> float:
        """Return 0: it is touched inside."""
        return 0.0

    @property
    def by(self) -> WorkBy | None:
        """Return the slides that inside work is done by."""
        return inside_by(self.taper.bench)

    def before_swung(self) -> Iterator[Item]:
        """Yield that the bar makes room for the indicator."""
        yield Note(text=BAR_OUT)

    def after_swung(self) -> Iterator[Item]:
        """Yield that the bar is put back, and what to mind as it cuts."""
        yield Note(text=BAR_BACK)
        yield Note(text=BORING, caution=True)

    def indicated(self) -> str:
        """Return how an indicator is set up to measure the angle."""
        return (
            f"{BAR_OUT} An indicator held on the saddle, its foot on the taper on the side that the"
            f" bar cuts, {self.taper.bench.say(SHY)} from its mouth, square to the axis and at the"
            " height of the axis: set it to 0."
        )

    def zeros(self, found_as: str) -> Iterator[Item]:
        """Yield how the bar finds its zeros: on the bore behind the taper, then on the end."""
        taper, bench = self.taper, self.taper.bench
        edge, rpm = self._bored, taper.figures.rpm
        yield from inside_zeros(bench, taper.tool, edge.foot, rpm, found_as, edge)

    def skim(self, name: str) -> Iterator[Item]:
        """Yield a light cut by the carriage on what the taper takes off, measured as ``name``."""
        taper, bench = self.taper, self.taper.bench
        reach, foot = taper.skimmed, taper.edge.foot
        over = (taper.edge.along - reach) * math.tan(taper.flank.lean) - OVER_LINE
        lies = foot + bench.nearest_count(over)
        measure = Measure(
            name=name,
            what="diameter of the skim at the mouth, the cross slide left where it is",
            expected=2 * lies,
            low=2 * lies - OFF_TOUCH,
            high=2 * lies + OFF_TOUCH,
            found_by="touch",
            advice="the touch went wrong: touch the bore behind the taper again",
        )
        back = along(
            beside_a_gauge(bench, taper.edge.along), "straight out, so far that a gauge goes in"
        )
        yield from skim(measure, taper.figures, reach, bench.start, back)
        yield across(foot - off_wall(bench), "in, off the wall")

    def cut(self, over: float, what: str, *, last: bool = False) -> Iterator[Item]:
        """Yield one cut: out, along the taper by the compound, in, and the compound back."""
        taper, flank = self.taper, self.taper.flank
        off = off_wall(taper.bench)
        x, end = flank.x(taper.right, over), flank.x(flank.left, over)
        yield Rapid(x, 0.0, NAN, How(makes="size", what=f"{what}, going out", rules=taper.rules))
        end_what = "along the taper, to its end"
        yield Feed(end, 0.0, flank.left, taper.figures.feed, How(makes="size", what=end_what))
        yield across(end - off, "in, off the wall")
        back = How(makes="size", what="back to 0, the slack out")
        yield Rapid(x - off, 0.0, taper.right, back)
        if last:
            yield across(taper.edge.foot - off, "in, in line with the bore")

    def blue(self) -> str:
        """Return how the taper is tried with what goes into it."""
        edge, lean = self.taper.edge, self.taper.flank.lean
        return (
            f"Spindle stopped, the bar drawn well away. {edge.name} is to be"
            f" {self.taper.bench.say(2 * edge.out)} across at its mouth. Try the part that goes"
            " into it, if that is at hand: a thin line of marking blue along that, the parts pushed"
            " together and turned a little. Blue rubbed off along the whole line: the angle is"
            " right. At the mouth alone the taper in the bore is too slow, at its small end alone"
            " too steep. How far the other goes in tells the size: on the diameter 1 mm of depth is"
            f" {2 * math.tan(lean):.3f} mm."
        )
