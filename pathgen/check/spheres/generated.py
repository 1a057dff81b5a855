"""A dish or dome cut by a fly cutter while the work turns: how its circle stands, cut by cut.

Told from the moves and actions of a run alone: the angle and the sweep that were set, where the
slides stand from the first touch, and how far the work was turned.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from pathgen.check.metal.tools import Tool, tool_of
from pathgen.job.spheres import Sphere
from pathgen.moves.actions import FitCutter, SetAngle, SetSweep, Spindle, Zero
from pathgen.moves.moves import Feed, Rapid, TurnWork, end_of
from pathgen.moves.plan import Item, Run
from pathgen.reckon.sphere_profile import Generator
from pathgen.reckon.spheres import circle_of_sweep, sign
from pathgen.shop.cutters import Cutter
from pathgen.shop.machines import Machine

AROUND = 90  # places of half a circle that are looked at for a cut beyond the surface
WHOLE = 360.0
NEARLY = 1e-6  # degrees


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A feed of a slide, the work turned, or a way in the air: how the circle stands at its end."""

    number: int  # the step or line
    generator: Generator | None  # None while something of it is not known
    lacking: str  # what is not known
    rpm: float
    turn: TurnWork | None = None  # None for a feed of a slide
    rapid: bool = False  # no cut at all: a way in the air, or the spindle's start

    @property
    def whole(self) -> bool:
        """Return whether the work was turned a whole turn or more under the cutter."""
        turn = self.turn
        return (
            turn is not None and turn.cuts and abs(turn.end_deg - turn.start_deg) >= WHOLE - NEARLY
        )


@dataclass(slots=True)
class _Standing:
    """What is known so far of how the circle stands."""

    machine: Machine
    sphere: Sphere
    at: tuple[float, float, float] = (math.nan, math.nan, math.nan)
    angle: SetAngle | None = None
    sweep: SetSweep | None = None
    tool: Tool | None = None
    on_axis: bool = False  # x was zeroed with the point on the work's axis
    touched: bool = False  # and the height by the first touch
    rpm: float = 0.0
    cuts: list[Cut] = field(default_factory=list)

    def lacking(self) -> str:
        """Return what is not known of how the circle stands, in words; empty: nothing."""
        lacks = {
            "the angle is not set": self.angle is None,
            "no fly cutter is in the spindle": self.tool is None or self._point is None,
            "its sweep is not set": self.sweep is None,
            "x is not zeroed on the work's axis": not self.on_axis,
            "the first touch is not found": not self.touched,
            "the place is not known": any(math.isnan(each) for each in self.at),
        }
        return next((what for what, lacks_it in lacks.items() if lacks_it), "")

    @property
    def _point(self) -> Cutter | None:
        cutter = None if self.tool is None else self.tool.cutter
        return cutter if cutter is not None and cutter.fly is not None else None

    def generator(self) -> Generator:
        """Return the circle as it stands to the work."""
        assert self.angle is not None
        assert self.sweep is not None
        assert self._point is not None
        assert self._point.fly is not None
        nose, form = self._point.fly.nose, self.sphere.form
        across, height = in_the_work(self.machine, self.angle.angle_deg, self.at)
        return Generator(
            circle=circle_of_sweep(self.sweep.sweep, nose, form),
            tilt_deg=self.angle.angle_deg,
            nose=nose,
            form=form,
            foot=nose + height,
            short=sign(form) * across,
            miss=self.at[1],
        )


def in_the_work(
    machine: Machine, tilt_deg: float, at: tuple[float, float, float]
) -> tuple[float, float]:
    """Return where the circle's foot stands: across the work's axis and along it; mm.

    Across, above zero is where the circle of a dish stops short of the axis. Both are counted from
    the first touch.

    Args:
        machine: what tilts on it, to which side, and what takes depth.
        tilt_deg: the angle.
        at: x, y and z of the slides.
    """
    tilt = math.radians(tilt_deg)
    part = machine.tilt
    assert part is not None
    x, _, z = at
    side = part.side
    if part.part == "chuck":  # the slides go across and along the spindle
        across = x * math.cos(tilt) - side * z * math.sin(tilt)
        return side * across, side * x * math.sin(tilt) + z * math.cos(tilt)
    if part.feeds == "knee":  # across, and along the work's axis
        return side * x, z
    return side * (x - side * z * math.sin(tilt)), z * math.cos(tilt)


def cuts_of(
    run: Run, machine: Machine, sphere: Sphere, cutters: Sequence[Cutter]
) -> tuple[Cut, ...]:
    """Return the cuts of a run, and its ways in the air, in order."""
    standing = _Standing(machine=machine, sphere=sphere)
    for item, number in zip(run.items, run.numbers, strict=True):
        if isinstance(item, FitCutter):
            standing.tool = tool_of(item, run, cutters)
        _follow(standing, item, number)
    return tuple(standing.cuts)


def _follow(standing: _Standing, item: Item, number: int) -> None:
    """Go on by one item."""
    match item:
        case Rapid() | Feed() | TurnWork() | Spindle():
            if isinstance(item, Spindle):
                standing.rpm = item.rpm
            else:
                standing.at = _known(end_of(item), standing.at)
            lacking = standing.lacking()
            standing.cuts.append(
                Cut(
                    number=number,
                    generator=None if lacking else standing.generator(),
                    lacking=lacking,
                    rpm=standing.rpm,
                    turn=item if isinstance(item, TurnWork) else None,
                    rapid=isinstance(item, Rapid | Spindle),
                )
            )
        case _:
            _set(standing, item)


def _set(standing: _Standing, item: Item) -> None:
    """Take what is set: an angle and a sweep lose the place, a new cutter its sweep."""
    match item:
        case SetAngle():
            standing.angle = item
            standing.on_axis = standing.touched = False
        case FitCutter():
            standing.sweep, standing.touched = None, False
        case SetSweep():
            standing.sweep = item
            standing.on_axis = standing.touched = False
        case Zero(axis="x"):
            standing.on_axis = item.touches[0].face == "axis"
        case Zero(axis="z"):
            standing.touched = standing.angle is not None
        case _:
            pass


def _known(
    end: tuple[float, float, float], start: tuple[float, float, float]
) -> tuple[float, float, float]:
    """Return where a move ends; an axis that it leaves alone stays where it was."""
    x, y, z = (b if math.isnan(a) else a for a, b in zip(end, start, strict=True))
    return x, y, z


def last_turned(cuts: Sequence[Cut]) -> Generator | None:
    """Return the circle of the deepest whole turn, which makes the surface; None: there is none.

    Those before it are less deep, and lie within it; a rule of its own looks at that.
    """
    turned = [cut.generator for cut in cuts if cut.whole and cut.generator is not None]
    return min(turned, key=lambda each: each.foot, default=None)


def beyond_last(generator: Generator, last: Generator, sphere: Sphere) -> float:
    """Return how far a standing of the circle cuts beyond the sphere that the last one leaves, mm.

    At most nought: it lies within it. Over a dish only what is under the face counts.
    """
    side = sign(sphere.form)
    radius = last.circle / math.sin(math.radians(last.tilt_deg)) + side * last.nose
    centre = last.foot - last.nose + side * radius
    return max(
        (
            side * (math.hypot(r, z - centre) - radius)
            for r, z in generator.profile(sphere.chord.high, samples=AROUND)
            if z < 0 or sphere.form == "dome"
        ),
        default=0.0,
    )


def rim_of(generator: Generator) -> float | None:
    """Return half the chord of a dish, where it comes up to the face; None: it does not."""
    low, high = 0.0, math.pi
    if generator.surface(high)[1] < 0:
        return None
    for _ in range(80):
        middle = (low + high) / 2
        if generator.surface(middle)[1] < 0:
            low = middle
        else:
            high = middle
    return generator.surface((low + high) / 2)[0]


def with_errors(
    generator: Generator, *, tilt_deg: float = 0.0, sweep: float = 0.0, short: float = 0.0
) -> Generator:
    """Return the circle with its setting out: by an angle, in its sweep, across the axis; mm."""
    return replace(
        generator,
        tilt_deg=generator.tilt_deg + tilt_deg,
        circle=generator.circle + sweep / 2,
        short=generator.short + short,
    )
