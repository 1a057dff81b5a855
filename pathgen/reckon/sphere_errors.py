"""What errors of the setting do to a dish or a dome, one by one; and back from what is measured."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from pathgen.reckon.arcs import depth_of_arc, radius_from_chord
from pathgen.reckon.guards import above_zero, not_below_zero, within
from pathgen.reckon.sphere_profile import Generator, departure, pip_height
from pathgen.reckon.spheres import (
    Form,
    circle_for,
    radius_stopping_short,
    sign,
    sweep_of_circle,
    tilt_for,
)

__all__ = ["Effect", "Found", "Setting", "Truth", "effects", "true_setting"]

BEST = 1e-9
FLAT = 1e-6  # of the chord: less rise is none


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """A wanted dish or dome and how it is set up; lengths in mm."""

    radius: float
    chord: float
    tilt_deg: float
    nose: float
    form: Form

    def __post_init__(self) -> None:
        """Guard what makes no dish."""
        above_zero(radius=self.radius, chord=self.chord)
        not_below_zero(nose=self.nose)
        within(0, 90, tilt_deg=self.tilt_deg)
        if self.chord > 2 * self.radius:
            raise ValueError(
                f"a chord {self.chord:g} is wider than the ball of radius {self.radius:g}; "
                "give a smaller chord"
            )

    @property
    def circle(self) -> float:
        """Return the radius of the nose centre's circle, mm."""
        return circle_for(self.radius, self.tilt_deg, self.nose, self.form)

    @property
    def sweep(self) -> float:
        """Return the sweep as it is measured across, mm."""
        return sweep_of_circle(self.circle, self.nose, self.form)

    @property
    def depth(self) -> float:
        """Return how deep the dish is, or how high the dome, mm."""
        return depth_of_arc(self.radius, self.chord)

    def generator(self, deep: float | None = None) -> Generator:
        """Return the circle of the nose's centre, its foot as deep below the face, mm."""
        deep = (self.depth if self.form == "dish" else 0.0) if deep is None else deep
        return Generator(
            circle=self.circle,
            tilt_deg=self.tilt_deg,
            nose=self.nose,
            form=self.form,
            foot=self.nose - deep,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What one error alone makes of a dish or dome; mm."""

    radius: float  # of the sphere through what is cut, over the wanted chord
    depth: float  # over the wanted chord
    pip_radius: float
    pip_height: float
    worst: float  # departure from the wanted sphere, laid in where it fits best


def effects(
    setting: Setting,
    *,
    miss: float = 0.0,
    short: float = 0.0,
    tilt_off_deg: float = 0.0,
    sweep_off: float = 0.0,
) -> Effect:
    """Return what errors of a setting make, mm.

    Args:
        setting: as wanted.
        miss: how far the axes pass one another.
        short: how far the circle stops short of the work axis; below zero: past it.
        tilt_off_deg: how much more the axis leans than was set. The two slides go by the wanted
            tilt all the same, so that the foot leaves the axis by depth x sin(error).
        sweep_off: how much wider the sweep is than was set.

    >>> wanted = Setting(radius=88.4, chord=68.0, tilt_deg=30.0, nose=0.0, form="dish")
    >>> round(effects(wanted, tilt_off_deg=0.1).radius - 88.4, 2)
    -0.29
    """
    good = setting.generator()
    fed = setting.depth if setting.form == "dish" else 0.0
    off = math.radians(tilt_off_deg)
    made = replace(
        good,
        circle=good.circle + sweep_off / 2,
        tilt_deg=good.tilt_deg + tilt_off_deg,
        short=short - sign(setting.form) * fed * math.sin(off),
        miss=miss,
    )
    places = made.profile(setting.chord)
    inner, outer = places[0], places[-1]
    span = outer[0] ** 2 - inner[0] ** 2
    rise = sign(setting.form) * (outer[1] - inner[1])
    if rise < FLAT * setting.chord:
        raise ValueError(
            f"a {setting.form} {setting.chord:g} wide of radius {setting.radius:g} is too flat to "
            "tell from a plane; give a smaller radius"
        )
    radius = (span + rise**2) / (2 * rise)
    pip = made.pip_radius if made.pip_radius > BEST else 0.0
    return Effect(
        radius=radius,
        depth=depth_of_arc(radius, setting.chord),
        pip_radius=pip,
        pip_height=pip_height(setting.nose, pip, setting.depth),
        worst=departure(places, setting.radius, setting.form).worst,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A cause that explains what was measured, and what puts it right; lengths in mm."""

    cause: str
    amount: float  # of the error
    unit: str  # "mm" or "deg"
    remedy: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """What was really cut, and what may have caused it."""

    radius: float
    off: float  # from the wanted radius
    short: float  # of the circle's foot, as the pip has it; mm
    found: tuple[Found, ...]


def true_setting(setting: Setting, chord: float, depth: float, pip_diameter: float = 0.0) -> Truth:
    """Return the true radius from a measured chord and depth, and what to correct.

    A pip says how far the foot of the circle is off the axis, and whichever of short and past
    explains the radius better is taken. What is left is as well a tilt as a sweep: either can be
    corrected.

    Args:
        setting: as wanted.
        chord: measured across the face, mm.
        depth: measured at the middle, beside any pip; mm.
        pip_diameter: of what stands in the middle, mm.

    >>> wanted = Setting(radius=88.4, chord=68.0, tilt_deg=30.0, nose=0.0, form="dish")
    >>> round(true_setting(wanted, 68.0, 7.88).radius, 2)
    77.29
    """
    radius = radius_from_chord(chord, depth)
    middle = radius - sign(setting.form) * setting.nose
    shorts = (pip_diameter / 2, -pip_diameter / 2)
    short = min(
        shorts,
        key=lambda each: abs(
            radius_stopping_short(setting.circle, setting.tilt_deg, each) - middle
        ),
    )
    return Truth(
        radius=radius,
        off=radius - setting.radius,
        short=short,
        found=tuple(_causes(setting, radius, short)),
    )


def _causes(setting: Setting, radius: float, short: float) -> Iterator[Found]:
    """Yield what explains a radius: the foot off the axis, then the tilt, or the sweep."""
    if short:
        where = "stops short of" if short > 0 else "reaches past"
        yield Found(
            cause=f"the circle {where} the work axis",
            amount=abs(short),
            unit="mm",
            remedy=f"move it {'towards' if short > 0 else 'back from'} the axis by as much",
        )
    by_short = radius_stopping_short(setting.circle, setting.tilt_deg, short)
    without = radius - (by_short - (setting.radius - sign(setting.form) * setting.nose))
    tilt = tilt_for(without, setting.circle, setting.nose, setting.form) - setting.tilt_deg
    yield Found(
        cause="if the sweep is right: the tilt is out",
        amount=tilt,
        unit="deg",
        remedy="lean the axis " + ("less" if tilt > 0 else "more") + " by as much",
    )
    circle = circle_for(without, setting.tilt_deg, setting.nose, setting.form)
    sweep = 2 * (circle - setting.circle)
    yield Found(
        cause="if the tilt is right: the sweep is out",
        amount=sweep,
        unit="mm",
        remedy="set the sweep " + ("smaller" if sweep > 0 else "larger") + " by as much",
    )
