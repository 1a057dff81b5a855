"""Setting a fly cutter up for a dish or dome: upright, tilted, its sweep, the first touch."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pathgen import INCH
from pathgen.job.spheres import Sphere
from pathgen.moves.actions import Note, SetAngle, SetSweep, Touch, Zero
from pathgen.moves.moves import How, Rapid, Term
from pathgen.moves.plan import Item
from pathgen.plan.bench import Bench
from pathgen.plan.cutting import Cutting
from pathgen.plan.heights import ABOVE_CHIPS
from pathgen.plan.spheres.fly_setting import Chosen
from pathgen.reckon.sphere_errors import Setting
from pathgen.reckon.spheres import WayOfFeeding, compensated_feed
from pathgen.shop.tilts import Tilt

CENTRING = 0.05  # mm, half width: a dot marked in the blue is told from a ring (common practice)
EASY_STEP = 5.0  # mm
NAN = math.nan
UP_FOR_RIM = How(what="so high that the circle clears the rim as the spindle starts")
OVER_THE_MIDDLE = How(makes="size", what="over the middle of the work")


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """One dish or dome with its setting, its figures, and the depths of its cuts."""

    sphere: Sphere
    bench: Bench
    chosen: Chosen
    figures: Cutting
    rough: tuple[float, ...]  # along the work's axis, below the face at its middle; mm
    finish: float

    @property
    def tilt(self) -> Tilt:
        """Return what tilts."""
        return self.chosen.tilt

    @property
    def setting(self) -> Setting:
        """Return what is cut, and how it is set up."""
        return self.chosen.setting

    @property
    def clear(self) -> float:
        """Return the z that is clear of the work: for a dome above where its rim is first cut."""
        clear = self.bench.clear
        if self.sphere.form == "dish":
            return clear
        wanted = max(clear, self.place(self.rough[0])[1] + 2 * ABOVE_CHIPS)
        if not self.bench.machine.manual:
            return wanted
        per_turn = self.bench.machine.slide("z").per_turn
        return math.ceil(wanted / per_turn - 1e-9) * per_turn

    def place(self, deep: float) -> tuple[float, float]:
        """Return (x, z) of the slides for a depth along the work's axis, from the first touch."""
        way = way_of_feeding(self.tilt)
        feed = compensated_feed(way, self.setting.tilt_deg, deep)
        return -self.tilt.side * feed.sideways, -feed.depth


def way_of_feeding(tilt: Tilt) -> WayOfFeeding:
    """Return what is tilted and what is fed."""
    if tilt.part == "chuck":
        return "work tilted"
    return "head tilted, knee fed" if tilt.feeds == "knee" else "head tilted, quill fed"


def set_up(work: Work) -> tuple[Item, ...]:
    """Return how the sweep is set and the first touch found, once the cutter is fitted."""
    point, setting = work.chosen.point, work.setting
    cutter = work.chosen.cutter
    towards = -work.tilt.side
    face = work.bench.upper
    axis = Touch(
        face="axis",
        towards=towards,
        tool=cutter.name,
        radius=0.0,
        paper=0.0,
        at=0.0,
        terms=(Term("axis of the work", 0.0),),
    )
    touch = Touch(
        face=work.bench.setup.lie.up,
        towards=-1,
        tool=cutter.name,
        radius=0.0,
        paper=0.0,
        at=0.0,
        terms=(Term(face, 0.0),),
        over=(0.0, 0.0),
    )
    return (
        SetSweep(
            cutter=1,
            sweep=setting.sweep,
            over=(setting.sweep + cutter.diameter) / 2,
            looks=point.looks,
            uncertainty=point.uncertainty,
        ),
        Note(text=_side(work)),
        Zero(axis="x", touches=(axis,), uncertainty=CENTRING, why="the point on the work's axis"),
        Zero(
            axis="z",
            touches=(touch,),
            uncertainty=work.bench.setup.datum_z.uncertainty,
            why="the first touch, in the middle of the face",
        ),
        Rapid(NAN, NAN, work.bench.clear, How(what="clear of the work")),
        *([] if work.clear == work.bench.clear else [Rapid(NAN, NAN, work.clear, UP_FOR_RIM)]),
    )


def _side(work: Work) -> str:
    """Return on which side of the work's axis the cutter stands: it makes a dish or a dome."""
    dish = work.sphere.form == "dish"
    leans = work.tilt.leans
    other = "right" if leans == "left" else "left"
    stands, foot = (leans, other) if dish else (other, leans)
    if work.tilt.part == "chuck":
        where = f"over the {'LOW' if dish else 'HIGH'} side of the tilted face, on the {stands}"
    else:
        where = f"to the {stands.upper()} of the middle of the work"
    begins = "in the middle of the face" if dish else "at the rim"
    instead = "dome" if dish else "dish"
    return (
        f"{work.sphere.form.upper()}: the spindle stands {where.upper()}, and the point's foot is "
        f"the {foot}most place of its circle, which goes over the middle of the work. The cut "
        f"begins {begins}. On the other side it would cut a {instead}: stop if it begins elsewhere."
    )


def tilted(work: Work) -> tuple[Item, ...]:
    """Return the tilting, once x and y are zero over the work's axis."""
    tilt = work.tilt
    manual = work.bench.machine.manual  # a control does not know yet how high its spindle stands
    return (
        *([Rapid(0.0, 0.0, NAN, OVER_THE_MIDDLE)] if manual else []),
        Note(
            text="The spindle stands over the middle of the work. Turn the work and see by an "
            "indicator that it runs true about it; y stays as it is from here on, its slide locked."
        ),
        Note(
            text=f"The spindle stands well clear before the {tilt.name} is tilted: what it holds "
            "swings up as it leans.",
            caution=True,
        ),
        SetAngle(
            part=tilt.name,
            angle_deg=work.setting.tilt_deg,
            towards=tilt.leans,
            uncertainty_deg=tilt.uncertainty_deg,
            rises=_rises(work),
        ),
    )


def _rises(work: Work) -> float:
    """Return how far up the work swings as it is tilted, mm, in steps that are easy to judge.

    A corner of the face does by its distance from the axis times the sine of the tilt, at most.
    """
    if work.tilt.part != "chuck":
        return 0.0
    high = work.chosen.corner * math.sin(math.radians(work.setting.tilt_deg))
    step = INCH / 4 if work.bench.job.units == "in" else EASY_STEP
    return math.ceil(high / step) * step
