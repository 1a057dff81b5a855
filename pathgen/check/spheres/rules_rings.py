"""What is wrong with a dish or dome cut in rings, beside its sizes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.rules.locks import Push, may_be_pushed
from pathgen.check.spheres.measure_rings import FinishedRings
from pathgen.check.spheres.rings import Cut, Floats, Way, under
from pathgen.check.spheres.sizes import off
from pathgen.job.spheres import farthest_corner
from pathgen.reckon.cutting import cutting_data
from pathgen.reckon.spheres import sign

STEP = 0.02  # mm from place to place at which the metal is looked at for room and for chips
CHIP = 1.1  # of the section of a full slot: so much a step of the grid may add
TWICE = 2.0  # the reckoned feed a tooth: beyond is a finding
NEAR_AXIS = 0.5  # mm: on so small a ring the cutter cuts on all its sides
GOUGE = 0.002  # mm: rounding of a control


@dataclass(slots=True)
class _Metal:
    """How high the metal stands at distances from the axis, as the rings clear it; mm."""

    radii: Floats
    heights: Floats

    def room(self, cut: Cut) -> float:
        """Return how far a cutter that stands there is above the metal."""
        lower = under(self.radii, cut)
        return float(np.where(np.isfinite(lower), lower - self.heights, np.inf).min())

    def chip(self, cut: Cut) -> float:
        """Return the section that a ring takes, mm2."""
        return float(np.clip(self.heights - under(self.radii, cut), 0.0, None).sum() * STEP)

    def clear(self, cut: Cut) -> None:
        """Clear what a ring clears."""
        self.heights = np.minimum(self.heights, under(self.radii, cut))


def ring_findings(
    context: Context, finished: FinishedRings, ways: Sequence[Way]
) -> Iterator[Finding]:
    """Yield what is wrong with the ways of the cutter and with the surface that they leave."""
    yield from _surface(context, finished)
    yield from _ways(context, finished, ways)


def _surface(context: Context, finished: FinishedRings) -> Iterator[Finding]:
    """Yield a surface that is not there, or sizes that do not keep their limits."""
    sphere = finished.sphere
    if not finished.sizes:
        what = "no ring cuts it" if not finished.touches else "its rim is not clean"
        yield context.finding_by("sphere", f"{sphere.name}: {what}", None, "look at its rings")
    for size in finished.sizes:
        yield from may_be_pushed(context, size, Push(axis=2, less=0.0, more=size.wander))
        if not size.ok:
            yield context.finding_by(
                size.quantity,
                off(sphere, size),
                None,
                "look at the rings, and at the cutter's size",
                amount=size.most,
            )


def _ways(context: Context, finished: FinishedRings, ways: Sequence[Way]) -> Iterator[Finding]:
    """Yield ways that meet metal where they must not, or take too much of it, in their order."""
    far = farthest_corner(finished.sphere, context.box)
    radii = np.arange(0.0, far + STEP, STEP)
    metal = _Metal(radii=radii, heights=np.where(radii <= far, context.box.high[2], -np.inf))
    for way in ways:
        if way.stray:
            yield context.finding_by(
                "ring", way.stray, way.number, "cut a dish by level rings about its axis"
            )
        elif way.round_end is None:
            if not way.rapid:
                what = "a cut without a cutter whose end is round"
                yield context.finding_by("cutter", what, way.number, "fit the ball-nose first")
        elif not any(math.isnan(each) for each in way.end):
            yield from _way(context, finished, way, metal)
            if way.ring or (not way.rapid and way.radius < GOUGE):
                metal.clear(way.cut)


def _way(context: Context, finished: FinishedRings, way: Way, metal: _Metal) -> Iterator[Finding]:
    """Yield what is wrong with one way of the cutter."""
    if way.rapid:
        room = metal.room(way.cut)
        lowest = min(each for each in (way.start[2], way.end[2]) if not math.isnan(each))
        moves = math.dist(way.start[:2], way.end[:2]) > GOUGE
        if moves and lowest < context.box.high[2]:
            yield context.finding_by(
                "rapid", "a rapid across below the face", way.number, "go up first"
            )
        elif room < 0:
            what = f"a rapid goes {-room:.2f} mm into metal"
            yield context.finding_by("rapid", what, way.number, "stop above it", amount=-room)
        return
    yield from _climb(context, finished, way)
    yield from _gouge(context, finished, way)
    yield from _chips(context, way, metal)
    yield from _pace(context, way)


def _climb(context: Context, finished: FinishedRings, way: Way) -> Iterator[Finding]:
    """Yield a ring by hand that goes with the cutter's turn."""
    within = finished.sphere.form == "dish"
    against = (way.turned_deg < 0) == within
    if context.machine.manual and way.ring and not against and way.radius > NEAR_AXIS:
        yield context.finding_by(
            "climb",
            "the work is turned with the cutter's turn, which pulls it in",
            way.number,
            f"turn it {'anticlockwise' if within else 'clockwise'}, seen from above",
        )


def _gouge(context: Context, finished: FinishedRings, way: Way) -> Iterator[Finding]:
    """Yield a feed that takes the cutter beyond the wanted surface."""
    sphere = finished.sphere
    radius, depth = sphere.aim
    middle = -depth if sphere.form == "dish" else 0.0
    centre = middle + sign(sphere.form) * radius
    beyond = -math.inf
    # a straight over a dome may come nearer to its top than either end
    for (apart, height), (corner, flat) in (way.cut, way.nearest):
        away = math.hypot(max(apart + sign(sphere.form) * flat, 0.0), height - centre)
        beyond = max(beyond, sign(sphere.form) * (away - radius) + corner)
    if beyond > sphere.departure.high + GOUGE:
        yield context.finding_by(
            "gouge",
            f"{sphere.name}: the cutter goes {beyond:.3f} mm beyond its surface",
            way.number,
            "keep the middle of its round end one radius of that off the wanted sphere",
            amount=beyond,
        )


def _chips(context: Context, way: Way, metal: _Metal) -> Iterator[Finding]:
    """Yield a ring that takes more than a full slot, or a way down that goes too deep at once."""
    wide = 2 * sum(way.cut[1])
    full = context.limits.full_depth(wide)
    if way.ring:
        section = metal.chip(way.cut)
        if section > CHIP * full * wide:
            what = f"a ring takes {section:.1f} mm2 at once, {full * wide:.1f} is the most"
            yield context.finding_by("depth of cut", what, way.number, "take it in more steps")
    elif math.dist(way.start[:2], way.end[:2]) < GOUGE:
        deep = -metal.room(way.cut)
        if deep > full + context.limits.rounding:
            what = f"{deep:.2f} mm straight down into metal, {full:.2f} is the most"
            yield context.finding_by("plunge", what, way.number, "go down in steps", amount=deep)


def _pace(context: Context, way: Way) -> Iterator[Finding]:
    """Yield a feed beyond twice the reckoned one a tooth."""
    cutter = None if way.tool is None else way.tool.cutter
    if cutter is None or not way.rpm > 0:
        return
    data = cutting_data(context.job.blank.material, "end milling rough", cutter.material)
    tooth = way.feed / way.rpm / cutter.flutes
    most = TWICE * data.feed(cutter.diameter)
    if tooth > most * (1 + 1e-6):
        what = f"{tooth:.3f} mm a tooth, {most:.3f} is the most"
        yield context.finding_by("feed", what, way.number, "feed more slowly", amount=tooth)
