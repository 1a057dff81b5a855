"""Whether finished holes are what was wanted: there, in place, to size, deep enough."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TypeAlias

import numpy as np

from pathgen.check.context import Context
from pathgen.check.findings import At, Finding, FinishedSize, Quantity
from pathgen.check.measured.finished import NOISE, holds
from pathgen.check.measured.finished_holes import FinishedHole, FinishedHoles, Round, near_words
from pathgen.check.measured.hole_legs import off_place, widest_leg
from pathgen.check.measured.holes import bore_top
from pathgen.check.metal.legs import RAPID, Ints
from pathgen.check.metal.sweeps import SAME
from pathgen.check.rules.concentric import off_axis_findings
from pathgen.check.rules.locks import Push
from pathgen.check.rules.order import order_findings
from pathgen.check.rules.size import of_good
from pathgen.check.rules.tapping import tapping_findings
from pathgen.check.wanted.outline import Allowed, Outline
from pathgen.job.holes import Counterbore, Holes
from pathgen.job.sizes import Size
from pathgen.reckon.oversize import drilled_oversize

PLACES: dict[Quantity, int] = {"x": 0, "y": 1}  # and the axis whose slide stands still for it
REAMED_OPEN = 0.01  # mm that a reamed hole may come out wider (common practice, no source)
SMALLER = 0.02  # mm a side that a drill below a reamed bore is smaller than it at least


def hole_places(context: Context, finished: FinishedHoles) -> list[Allowed]:
    """Return where cutters may cut for holes: the bores, what runs on below, the mouths."""
    return [place for hole in finished.each for place in _of_hole(context, finished.holes, hole)]


def _of_hole(context: Context, holes: Holes, hole: FinishedHole) -> Iterator[Allowed]:
    top = context.box[1][2]
    fits = hole.bore is not None and holds(holes.bore, hole.bore.least, hole.bore.most)
    centre = hole.centre if fits else hole.place.at

    def within(radius: float, floor: float, *, shoulder: bool) -> Allowed:
        outline = Outline(
            along=0, first=centre[0], last=centre[0], across=centre[1], half_width=radius
        )
        return Allowed(name=holes.name, outline=outline, floor=floor, shoulder=shoulder)

    floor = -math.inf if holes.depth is None else top - holes.depth.high
    yield within(holes.bore.high / 2, floor, shoulder=not holes.flat)
    if holes.depth is not None and holes.lead > 0:
        yield within(holes.bore.low / 2 - SMALLER, floor - holes.lead, shoulder=True)
    for mouth in holes.counterbores:
        yield within(mouth.diameter.high / 2, top - mouth.depth.high, shoulder=False)
    if holes.countersink is not None:
        radius = holes.countersink.diameter.high / 2
        tip = radius / math.tan(math.radians(holes.countersink.angle_deg / 2))
        yield within(radius, top - tip, shoulder=False)


def bore_findings(context: Context, finished: FinishedHoles, over: Ints) -> Iterator[Finding]:
    """Yield what is wrong with holes, hole by hole, with the leg that did it.

    Args:
        context: what every rule is given.
        finished: the holes as the moves leave them.
        over: the legs that may cut the blank.
    """
    cuts = over[context.legs.kind[over] != RAPID]
    for hole in finished.each:
        if hole.bore is None:
            yield _missing(context, finished.holes, hole)
            continue
        yield from _of_bore(context, finished.holes, (hole, hole.bore), cuts)
        yield from _of_mouth(context, finished.holes, hole, cuts)
    for size in finished.sizes:
        if size.quantity == "off the axis":
            yield from off_axis_findings(context, size)
        elif size.ok:
            yield from of_good(context, size, _push(size))
    yield from _oversize_caution(context, finished, cuts)
    yield from _underside(context, finished, over)
    yield from tapping_findings(context, finished, cuts)
    yield from order_findings(context, finished, cuts)


def _push(size: FinishedSize) -> Push | None:
    """Return how a slide may be pushed that stands still for a hole: hardly, by what goes down."""
    axis = PLACES.get(size.quantity)
    if axis is None:
        return None
    return Push(axis=axis, less=size.wander, more=size.wander, severity="caution")


def _missing(context: Context, holes: Holes, hole: FinishedHole) -> Finding:
    x, y = hole.place.at
    return context.finding_at(
        "missing",
        f"{holes.name!r}: no {near_words(hole.place)}",
        (None, (x, y, context.box[1][2])),
        "put it back, or make this anew",
    )


def _of_bore(
    context: Context, holes: Holes, found: tuple[FinishedHole, Round], cuts: Ints
) -> Iterator[Finding]:
    """Yield what is wrong with one bore: its place, its width, its depth."""
    hole, bore = found
    top = context.box[1][2]
    wanted = top - context.box[0][2] if holes.depth is None else holes.depth.low
    leg = widest_leg(context, cuts, bore, top - min(hole.depth, wanted) + NOISE)
    place = (leg, (*bore.at, top - hole.depth))
    name = f"{near_words(hole.place)} of {holes.name!r}"
    off = off_place(hole, bore.at)
    if off > NOISE:
        yield context.finding_at(
            "displaced",
            f"{name} lies at x {bore.x:.3f} y {bore.y:.3f}, {off:.3f} mm outside its limits",
            place,
            "look at the datum and at this move's place",
            off,
        )
    widest = widest_leg(context, cuts, bore, bore_top(holes, top))
    yield from _width(context, "bore", holes.bore, (name, bore, (widest, place[1])))
    short = wanted - hole.depth
    if short > NOISE:
        goes = "is not through" if holes.depth is None else "is not deep enough"
        yield context.finding_at(
            "metal left",
            f"{name} {goes}: its full diameter ends {short:.3f} mm too high; the point of a drill "
            "goes deeper",
            place,
            "cut deeper here",
            short,
        )


def _width(
    context: Context, what: str, wanted: Size, found: tuple[str, Round, tuple[int | None, At]]
) -> Iterator[Finding]:
    """Yield the finding of a diameter outside its limits."""
    name, circle, place = found
    limits = f"wanted {wanted.low:.3f} to {wanted.high:.3f} mm"
    if circle.most > wanted.high + NOISE:
        yield context.finding_at(
            "oversize",
            f"{what} of the {name} is {circle.most:.3f} mm wide, {limits}",
            place,
            "take the right cutter, or keep it in the hole's place",
            circle.most - wanted.high,
        )
    if circle.least < wanted.low - NOISE:
        tool = None if place[0] is None else context.tool(place[0])
        drilled = what == "bore" and tool is not None and tool.drills
        yield context.finding_at(
            "undersize",
            f"{what} of the {name} is {circle.least:.3f} mm at its narrowest, {limits}",
            place,
            "finish it with the drill or reamer of its size"
            if drilled
            else "take the right cutter, or go as deep as it takes",
            wanted.low - circle.least,
        )


def _of_mouth(context: Context, holes: Holes, hole: FinishedHole, cuts: Ints) -> Iterator[Finding]:
    """Yield what is wrong with the countersink or the counterbores of one hole."""
    top = context.box[1][2]
    if holes.countersink is not None and hole.countersink is not None:
        mouth = ("countersink", holes.countersink.diameter, hole.countersink, top)
        yield from _mouth(context, holes, hole, mouth, cuts)
    level = top
    pairs = zip(holes.counterbores, hole.counterbores, strict=True)
    for row, (wanted, (found, depth)) in enumerate(pairs):
        if found is not None:
            mouth = (wanted.word, wanted.diameter, found, level)
            narrower = [each.diameter for each in holes.counterbores[row + 1 :]]
            yield from _mouth(context, holes, hole, mouth, cuts, [*narrower, holes.bore][0])
            yield from _shallow(context, holes, (hole, wanted, found, depth), cuts)
        level = top - wanted.depth.high


Mouth: TypeAlias = tuple[str, Size, Round, float]  # what, wanted, found, from which height on


def _mouth(
    context: Context,
    holes: Holes,
    hole: FinishedHole,
    mouth: Mouth,
    cuts: Ints,
    beneath: Size | None = None,
) -> Iterator[Finding]:
    """Yield the finding of a mouth that is not there, or not as wide as wanted."""
    what, wanted, found, level = mouth
    name = f"{near_words(hole.place)} of {holes.name!r}"
    if found.least <= (beneath or holes.bore).high + NOISE:
        yield context.finding_at(
            "missing",
            f"no {what} at the {name}: it is {found.least:.3f} mm wide in the top face",
            (None, (*hole.place.at, level)),
            f"{what} it to {wanted.low:.3f} to {wanted.high:.3f} mm",
            wanted.low - found.least,
        )
        return
    leg = widest_leg(context, cuts, found, level)
    yield from _width(context, what, wanted, (name, found, (leg, (*found.at, level))))


def _shallow(
    context: Context,
    holes: Holes,
    which: tuple[FinishedHole, Counterbore, Round, float],
    cuts: Ints,
) -> Iterator[Finding]:
    """Yield the finding of a counterbore that is not deep enough."""
    hole, wanted, found, depth = which
    top = context.box[1][2]
    short = wanted.depth.low - depth
    if short > NOISE:
        leg = widest_leg(context, cuts, found, top)
        yield context.finding_at(
            "metal left",
            f"{wanted.word} of the {near_words(hole.place)} of {holes.name!r} is {short:.3f} mm "
            "less deep than its least",
            (leg, (*found.at, top - depth)),
            "cut deeper here",
            short,
        )


def _oversize_caution(context: Context, finished: FinishedHoles, cuts: Ints) -> Iterator[Finding]:
    """Yield a caution where what a cutter cuts over its size takes a hole out of its limits."""
    holes = finished.holes
    bores = [(hole.bore, hole.depth) for hole in finished.each if hole.bore is not None]
    if not bores or holes.tapping is not None:
        return
    widest, depth = max(bores, key=lambda bore: bore[0].most)
    leg = widest_leg(context, cuts, widest, context.box[1][2] - depth + NOISE)
    tool = None if leg is None else context.tool(leg)
    if tool is None or tool.cutter is None or tool.cutter.kind not in ("drill", "reamer"):
        return
    wider = drilled_oversize(widest.most) if tool.drills else REAMED_OPEN
    over = widest.most + wider - holes.bore.high
    if over > NOISE and widest.most <= holes.bore.high + NOISE:
        decimals = 2 if tool.drills else 3
        yield context.finding_by(
            "measure",
            f"{tool.cutter.kind}s cut about {wider:.2f} mm over their own size: "
            f"{holes.name!r} may come out {over:.{decimals}f} mm too large",
            None,
            "ream it, or drill a trial hole in scrap first"
            if tool.drills
            else "ream a trial hole in scrap first, and try it with the part that goes in",
            amount=over,
            severity="caution",
        )


def _underside(context: Context, finished: FinishedHoles, over: Ints) -> Iterator[Finding]:
    """Yield each leg that comes out of the underside in a blind hole, be it by its point alone."""
    if finished.holes.depth is None:
        return
    legs, under = context.legs, context.box[0][2]
    deep = over[legs.low[over] < under + SAME]
    centres = np.array([hole.centre for hole in finished.each])
    for leg in deep.tolist():
        away = np.hypot(*(centres - legs.end[leg, :2]).T).min()
        if away < finished.holes.mouth / 2:
            amount = float(under - legs.low[leg])
            yield context.finding(
                "underside",
                f"comes {amount:.3f} mm out of the underside in a hole of "
                f"{finished.holes.name!r}, which is blind",
                leg,
                "drill less deep: the point goes deeper than the full diameter",
                amount,
            )
