"""Tapers by a compound that is swung, outside and in a bore: how the tool goes, how it is proved.

The compound starts each cut at 0 of its dial, to the right of the work, and always ends at one
reading; the cross slide sets how deep it goes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.input.where import Refusal
from pathgen.job.turning.bored_tapers import BoredTaper
from pathgen.job.turning.edges import TurnedEdge
from pathgen.job.turning.turned import Turned
from pathgen.moves.actions import Measure, SwingSlide
from pathgen.moves.moves import Rule
from pathgen.moves.plan import Item
from pathgen.plan.turning.allowances import LEAST_SKIMMED, SKIMMED
from pathgen.plan.turning.bench import TurningBench
from pathgen.plan.turning.figures import MOST_TURNS_A_MINUTE, TurningFigures
from pathgen.plan.turning.ways import START, along
from pathgen.shop.slides import Slide
from pathgen.shop.turning_tools import TurningTool

LEFT = 0.2  # mm on the radius that stays when the taper is tried; common practice, no source
SHARE = 1 / 3  # of what the taper takes off where it takes most, which is left at most
INDICATED = 0.005  # mm that an indicator's two readings leave open; common practice, no source
SHY = 1.5  # mm that an indicator's foot keeps off an edge or a corner
WHOLE = 20  # counts of the carriage: the way over which a taper is tried is so many times whole
LEAST_TRIED = 3.0  # mm of taper over which its angle can be measured at all
OVER_LINE = 0.05  # mm over the line that the skim on a taper stays at its deepest
OFF_TOUCH = 0.06  # mm of diameter that a touch may be off what is measured of a skim then
TO_SIZE = 2  # cuts that take off what was left
SWUNG = (
    "With the compound set over its handle and its slide may come to the tailstock, and its end to"
    " the jaws: before the spindle is started, wind it once through its whole way, and turn the"
    " chuck by hand."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Flank:
    """The line of a taper, outside or in a bore, with the round nose that goes along it; mm."""

    edge: TurnedEdge | BoredTaper
    nose: float

    @property
    def inside(self) -> bool:
        """Return whether it is in a bore, where it narrows towards the chuck."""
        return isinstance(self.edge, BoredTaper)

    @property
    def outwards(self) -> int:
        """Return which way the tool goes towards the chuck: +1 away from the axis, as outside."""
        return -1 if self.inside else 1

    @property
    def lean(self) -> float:
        """Return the angle between its side and the axis, in radians."""
        return math.radians(self.edge.angle_deg)

    @property
    def left(self) -> float:
        """Return the z at which the tool stops: its nose just at the end of the taper.

        A round nose touches the flank not at its leftmost bit, but where its own slope is that.
        """
        return self.edge.face - self.edge.along - self.nose * (1 - math.sin(self.lean))

    def x(self, z: float, over: float = 0.0) -> float:
        """Return the x of the tool at a z, so much of metal left over the line, on the radius.

        Where its nose is at the taper's end it stands beside the radius there by what a nose is
        beside its place where its slope is that of the flank.
        """
        end = self.edge.foot if self.inside else self.edge.out
        beside = self.nose * (1 - math.cos(self.lean)) + (z - self.left) * math.tan(self.lean)
        return end - self.outwards * (beside - over)


@dataclass(frozen=True, slots=True, kw_only=True)
class Slanted:
    """A taper that a compound cuts, and what it is cut with; lengths in mm."""

    edge: TurnedEdge | BoredTaper
    flank: Flank
    bench: TurningBench
    tool: TurningTool
    compound: Slide
    figures: TurningFigures
    rules: tuple[Rule, ...]  # that the depth of the last cuts follows

    @property
    def right(self) -> float:
        """Return the z at which the tool stands when the compound is at 0."""
        slack = self.compound.slack + self.compound.slack_spread
        return self.edge.face + max(START, 2 * slack)

    @property
    def way(self) -> float:
        """Return how far the compound goes for a cut."""
        return (self.right - self.flank.left) / math.cos(self.flank.lean)

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
        land = (self.over - OVER_LINE) / math.tan(self.flank.lean)
        reach = min(SKIMMED, self.edge.along / 2)
        return reach if min(land, reach) >= LEAST_SKIMMED else 0.0

    @property
    def name(self) -> str:
        """Return the name of the measurement of its angle."""
        features = self.bench.setup.features
        tapers = [each for each in features if isinstance(each, TurnedEdge | BoredTaper)]
        return f"A{1 + tapers.index(self.edge)}"


def slanted(
    edge: TurnedEdge | BoredTaper,
    bench: TurningBench,
    tool: TurningTool,
    figures: TurningFigures,
    measure: str,
) -> Slanted:
    """Return a taper with the compound that cuts it.

    Args:
        edge: the taper.
        bench: the setup on its lathe.
        tool: that cuts it.
        figures: its speed and feed, as fast as a hand may be.
        measure: the measurement that the depth follows, of how the tool springs; or nothing.

    Raises:
        Refusal: the lathe has no compound that may be swung, or it does not go so far.
    """
    if bench.compound is None:
        steps = ', or cut the taper in steps: way = "steps"' if isinstance(edge, TurnedEdge) else ""
        raise Refusal(
            edge.where.at("way"),
            f"swing a compound on {bench.machine.title}: its file names none",
            f"name it as compound in [lathe]{steps or ', or use a lathe with a control'}",
        )
    taper = Slanted(
        edge=edge,
        flank=Flank(edge=edge, nose=tool.nose_radius),
        bench=bench,
        tool=tool,
        compound=bench.compound,
        figures=figures.no_faster(MOST_TURNS_A_MINUTE * bench.compound.per_turn),
        rules=(Rule(axis="x", measure=measure, factor=-1 / 2),) if measure else (),
    )
    _guard(taper)
    return taper


def _guard(taper: Slanted) -> None:
    """Refuse a taper that the compound is too short for, or whose angle cannot be measured."""
    edge, bench, compound = taper.edge, taper.bench, taper.compound
    in_steps = isinstance(edge, TurnedEdge)
    wanted = taper.way + compound.per_turn
    if wanted > compound.travel:
        longest = (compound.travel - compound.per_turn) * math.cos(taper.flank.lean)
        longest -= taper.way * math.cos(taper.flank.lean) - edge.along
        raise Refusal(
            edge.where.at("length"),
            f"cut a taper of {bench.say(edge.along)} by the compound: with the way to come up by it"
            f" would go {wanted:.1f} mm, and goes {compound.travel:.1f} mm",
            f"make it {max(longest, 0.0):.1f} mm long or less,"
            f"{' cut it in steps,' if in_steps else ''} or use a lathe"
            " whose compound goes further, or one with a control",
        )
    if taper.tried < LEAST_TRIED:
        raise Refusal(
            edge.where.at("length"),
            f"measure the angle of {edge.name!r}: {bench.say(edge.along)} of it leave an indicator"
            f" no {LEAST_TRIED:g} mm to go along",
            'make it longer, or cut it in steps: way = "steps"'
            if in_steps
            else "make it longer, or use a lathe with a control",
        )


# ---------------------------------------------------------------------- the angle


def swung(taper: Slanted) -> SwingSlide:
    """Return how the compound is swung at first: proved along a diameter that was turned."""
    most = min(_longest_land(taper.bench), taper.compound.travel / 2)
    over = whole_turns(taper.compound, most)
    return SwingSlide(
        slide=taper.compound.name,
        angle_deg=taper.flank.outwards * taper.edge.angle_deg,
        over=over,
        rise=taper.flank.outwards * over * math.sin(taper.flank.lean),
        uncertainty_deg=math.degrees(2 * INDICATED / over),
    )


def put_right(taper: Slanted) -> SwingSlide:
    """Return how it is swung by what was found: proved along the taper that it has just cut."""
    over = whole_turns(taper.compound, taper.tried)
    lean = taper.flank.lean
    steep = math.cos(lean) ** 2 / taper.tried  # the angle, in radians, by what is found
    return SwingSlide(
        slide=taper.compound.name,
        angle_deg=taper.flank.outwards * taper.edge.angle_deg,
        over=over,
        rise=0.0,
        against="bored taper" if taper.flank.inside else "taper",
        uncertainty_deg=math.degrees(_found_open(taper) * steep + INDICATED / over),
        follows=taper.name,
        expected=taper.tried * math.tan(lean),
        factor=-taper.flank.outwards * over * steep,
    )


def _found_open(taper: Slanted) -> float:
    """Return what is open of the indicator's rise along the taper: read, and by the carriage."""
    return INDICATED + taper.bench.machine.slide("z").count * math.tan(taper.flank.lean)


def whole_turns(slide: Slide, most: float) -> float:
    """Return a way of so many whole turns of a slide's handle, one at least."""
    return max(1, math.floor(most / slide.per_turn + 1e-9)) * slide.per_turn


def _longest_land(bench: TurningBench) -> float:
    """Return how far an indicator goes along the longest diameter that is turned, mm."""
    longest = 0.0
    for turned in (each for each in bench.setup.features if isinstance(each, Turned)):
        right = 0.0
        for step in turned.steps:
            longest = max(longest, step.to.middle - right - turned.corner - 2 * SHY)
            right = step.to.middle
    return longest


def measured(taper: Slanted) -> Iterator[Item]:
    """Yield how the taper's angle is measured: an indicator taken along it by the carriage."""
    bench, expected = taper.bench, taper.tried * math.tan(taper.flank.lean)
    off = taper.over / 2 * taper.tried / taper.edge.along
    what = f"along the taper, {bench.say(taper.tried)}"
    yield along(taper.right - taper.tried, what, makes_size=True)
    yield Measure(
        name=taper.name,
        what=f"how far {taper.edge.name} has pressed the indicator's foot in",
        expected=expected,
        low=expected - off,
        high=expected + off,
        found_by="angle",
        advice="the compound is not where it was set: swing it anew, and take the last cut again",
    )
    yield along(taper.right, "back, to the right of the work", makes_size=True)


def one_in(edge: TurnedEdge | BoredTaper) -> float:
    """Return in how much of its length a taper grows by 1 on the diameter."""
    return edge.along / (2 * (edge.out - edge.foot))
