"""Knurls: wheels pressed into a diameter and led along it; nothing is cut."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pathgen.input.where import Refusal
from pathgen.job.turning.edges import Crown, TurnedEdge
from pathgen.job.turning.knurls import Knurl
from pathgen.moves.actions import Note
from pathgen.moves.moves import Feed, How, Term
from pathgen.moves.plan import Item
from pathgen.plan.turning.bench import CLEAR, JAWS_CLEAR, TurnedOperation, TurningBench
from pathgen.plan.turning.figures import TurningFigures, lathe_speed
from pathgen.plan.turning.ways import across, along
from pathgen.reckon.cutting import cutting_data
from pathgen.reckon.knurls import swelling
from pathgen.reckon.speeds import spindle_speed
from pathgen.shop.turning_tools import TurningTool

FEED = 0.3  # mm a turn along the work: common practice, no source
FIRST = 0.6  # of the depth that the wheels are pressed in at once, so that they bite; no source
SIDE_CLEAR = 0.5  # mm that stay between what holds the wheels and the work
SAME_PITCH = 0.005  # mm by which the pitch marked on wheels may be another
KNURLING = (
    "Knurling pushes the work hard aside: short out of the jaws and well gripped, the tool square"
    " to it and its wheels at the height of the axis. Slow, with much oil all the time. Fingers,"
    " rag and brush well away while it turns: the wheels draw in whatever touches them."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pressing:
    """A knurl with what presses it; lengths in mm."""

    knurl: Knurl
    bench: TurningBench
    tool: TurningTool
    figures: TurningFigures

    @property
    def radius(self) -> float:
        """Return half of the diameter before it is knurled."""
        return self.knurl.land.middle / 2

    @property
    def right(self) -> tuple[Term, ...]:
        """Return the sum for the left side of the wheels where they are first pressed in.

        Where the diameter begins there, half of their width stands over: they bite more easily.
        """
        over = self.tool.width / 2 if self.knurl.open_right else self.tool.width
        label = "half the width of the wheels" if self.knurl.open_right else "width of the wheels"
        return (
            Term("the faced end", 0.0),
            Term("to where the knurl begins", -self.knurl.start.middle),
            Term(label, -over),
        )

    @property
    def left(self) -> tuple[Term, ...]:
        """Return the sum for their left side at the other end."""
        return (
            Term("the faced end", 0.0),
            Term("to where the knurl begins", -self.knurl.start.middle),
            Term("width of the knurl", -self.knurl.width.middle),
        )

    def pressed(self, share: float, what: str) -> Feed:
        """Return the wheels pressed in at the right end to a share of their depth."""
        deep = share * self.knurl.depth.nominal
        terms = (Term("half of the diameter", self.radius), Term("pressed in", -deep))
        how = How(makes="size", what=what, sums=(("x", terms),))
        return Feed(self.radius - deep, 0.0, _sum(self.right), self.figures.feed, how)


def plan_knurl(knurl: Knurl, bench: TurningBench) -> TurnedOperation:
    """Return the pressing of a knurl on a lathe with handles.

    Raises:
        Refusal: the lathe has no handles, or no tool of the crib has such wheels.
    """
    _guard(knurl, bench)
    tool = _wheels(knurl, bench)
    _guard_shoulder(knurl, bench, tool)
    _guard_crown(knurl, bench, tool)
    pressing = _Pressing(knurl=knurl, bench=bench, tool=tool, figures=_figures(knurl, bench))
    about = bench.say(round(knurl.over, 2))
    return TurnedOperation(
        purpose="knurl",
        feature=knurl.name,
        tool=tool,
        figures=pressing.figures,
        why=f"{knurl.teeth} teeth of {bench.say(knurl.pitch)} round {bench.say(knurl.land.middle)};"
        f" it swells by about {bench.say(swelling(knurl.pitch, knurl.pattern))} to {about}; slow as"
        f" for screw-cutting, {FEED:g} mm a turn",
        items=_items(pressing),
        touched=knurl.land.middle,
    )


def _items(pressing: _Pressing) -> tuple[Item, ...]:
    """Return what is done: pressed in, looked at, along, deeper, along once more and out."""
    right, left = _sum(pressing.right), _sum(pressing.left)
    bench, feed = pressing.bench, pressing.figures.feed
    started = How(makes="size", what="left side of the wheels", sums=(("z", pressing.right),))
    ends = How(makes="size", what="along to the end of the knurl", sums=(("z", pressing.left),))
    again = along(right)._replace(
        how=How(makes="size", what="back, clear of the work", sums=(("z", pressing.right),))
    )
    first = pressing.radius - FIRST * pressing.knurl.depth.nominal
    full = pressing.radius - pressing.knurl.depth.nominal
    over = pressing.radius + CLEAR
    return (
        Note(text=KNURLING, caution=True),
        along(right)._replace(how=started),
        across(over, "in, just clear of the diameter"),
        pressing.pressed(FIRST, "press the wheels in at once and firmly, oil on them"),
        Note(text=_looked_at(pressing)),
        Feed(first, 0.0, left, feed, ends),
        across(over, "straight out"),
        again,
        pressing.pressed(1.0, "press in again, into the teeth that are there"),
        Feed(full, 0.0, left, feed, ends),
        across(bench.clear, "straight out, clear of the work"),
        Note(
            text="Brush it clean, spindle stopped. Over the knurl about"
            f" {bench.say(round(pressing.knurl.over, 2))}; where its teeth are still flat on top,"
            " go over it once more, a little deeper."
        ),
    )


def _looked_at(pressing: _Pressing) -> str:
    """Return what to look for once the wheels are in."""
    return (
        f"Two or three turns, then stop and look: one clean set of {pressing.knurl.teeth} teeth?"
        " Where a second set lies between them, draw the wheels out, move along by half their width"
        " and press in harder; if it comes again the diameter is off: measure it."
    )


def _sum(terms: tuple[Term, ...]) -> float:
    return sum(term.value for term in terms)


def _figures(knurl: Knurl, bench: TurningBench) -> TurningFigures:
    """Return a speed no faster than for screw-cutting, and the feed along."""
    data = cutting_data(bench.job.blank.material, "threading", "HSS")
    wanted = spindle_speed(data.surface_speed_m_min, knurl.land.middle)
    rpm = lathe_speed(bench.machine, min(wanted, bench.chuck.most_rpm))
    return TurningFigures(rpm=rpm, feed=FEED * rpm, wanted=FEED, why="")


def _guard(knurl: Knurl, bench: TurningBench) -> None:
    """Refuse motors, and a knurl so near to the jaws that the tool would come to them."""
    if not bench.manual:
        raise Refusal(
            knurl.where,
            f"press a knurl by the motors of {bench.machine.title}: one that stalls under the"
            " wheels loses its place unseen, and whether they track is for the eye",
            "use a lathe with handles, or leave the knurl out and press it by hand afterwards",
        )
    if -knurl.end - JAWS_CLEAR < bench.setup.jaws_at:
        need = JAWS_CLEAR + knurl.end + bench.setup.facing
        raise Refusal(
            bench.setup.where.at("hold"),
            f"knurl to {bench.say(knurl.end)} from the faced end so near to the jaws",
            f"let the bar stand out {bench.say(need)} or more",
        )


def _guard_shoulder(knurl: Knurl, bench: TurningBench, tool: TurningTool) -> None:
    """Refuse a knurl so near to a higher shoulder that what holds the wheels would come to it."""
    shoulder, higher = bench.behind(knurl.of, knurl.step)
    over = knurl.land.middle / 2 - knurl.depth.nominal + tool.reach - SIDE_CLEAR
    beside = (tool.shank - tool.width) / 2 + SIDE_CLEAR
    if higher / 2 > over and knurl.end + beside > shoulder:
        raise Refusal(
            knurl.where,
            f"knurl to {bench.say(knurl.end)} beside a shoulder {bench.say(shoulder)}"
            f" from the faced end: what holds the wheels is {bench.say(tool.shank)} wide and comes"
            " to it",
            f"end the knurl at {bench.say(shoulder - beside)} or before, or put a tool whose"
            " wheels stand out further into the crib",
        )


def _falls(radius: float, out: float) -> float:
    """Return how far a crown has fallen at a distance from the axis, mm.

    Source: the height of a segment of half the chord ``out``.
    """
    return radius - math.sqrt(max(radius**2 - out**2, 0.0))


def _guard_crown(knurl: Knurl, bench: TurningBench, tool: TurningTool) -> None:
    """Refuse a crowned end whose middle the wheels do not reach: they are touched there.

    What holds them is wider, and is stopped by the crown where that is as far out as they reach.
    """
    side = (tool.shank - tool.width) / 2 + SIDE_CLEAR
    for edge in bench.setup.features:
        if not isinstance(edge, TurnedEdge) or not isinstance(edge.shape, Crown):
            continue
        if tool.reach < edge.out and _falls(edge.shape.radius, tool.reach) < side:
            raise Refusal(
                knurl.where,
                f"touch the {tool.name} at the middle of the crowned end: what holds its wheels is"
                f" {bench.say(tool.shank)} wide, they stand {bench.say(tool.reach)} out of it, and"
                f" {edge.name} comes to it",
                f"put one whose wheels stand out {bench.say(edge.out)} or more into the crib, or"
                " leave the crown to the file",
            )


def _wheels(knurl: Knurl, bench: TurningBench) -> TurningTool:
    """Return the tool whose wheels press a knurl: the narrowest, which needs the least force.

    Raises:
        Refusal: the crib has none.
    """
    fitting = [
        tool
        for tool in bench.tools
        if tool.pattern == knurl.pattern
        and abs(tool.pitch - knurl.pitch) <= SAME_PITCH
        and tool.width / (2 if knurl.open_right else 1) <= knurl.width.middle
    ]
    if not fitting:
        raise Refusal(
            knurl.where,
            f"press a {knurl.pattern} knurl of {bench.say(knurl.pitch)}"
            f" {bench.say(knurl.width.nominal)} wide: no tool of the crib has such wheels",
            "put a [[turning_tool]] of kind knurling with them into the crib",
        )
    return min(fitting, key=lambda tool: tool.width)
