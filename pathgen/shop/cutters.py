"""Cutters: drills, spotting drills, countersinks, reamers, mills."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from pathgen.input.getters import Table
from pathgen.input.where import Where
from pathgen.reckon.sphere_clearance import RoundBody
from pathgen.reckon.thread_names import thread
from pathgen.reckon.threads import Thread
from pathgen.shop.fly_points import FlyPoint, read_fly_point

CutterKind: TypeAlias = Literal[
    "drill",
    "spotting drill",
    "countersink",
    "reamer",
    "tap",
    "end mill",
    "slot drill",
    "ball-nose",
    "fly cutter",
]
KINDS: tuple[CutterKind, ...] = (
    "drill",
    "spotting drill",
    "countersink",
    "reamer",
    "tap",
    "end mill",
    "slot drill",
    "ball-nose",
    "fly cutter",
)
MILLS: tuple[CutterKind, ...] = ("end mill", "slot drill")
CENTRE_CUTTING: tuple[CutterKind, ...] = ("drill", "spotting drill", "slot drill", "ball-nose")
POINT_ANGLES_DEG: dict[CutterKind, float] = {  # 180 for a flat end
    "drill": 118.0,
    "spotting drill": 90.0,
    "countersink": 90.0,
    "reamer": 90.0,  # of its lead, which is cut to 45 degrees
    "tap": 180.0,
    "end mill": 180.0,
    "slot drill": 180.0,
    "ball-nose": 180.0,
    "fly cutter": 180.0,
}
# The lead of a machine reamer, mm, and in parts of its diameter: it does not cut to size there. A
# hand reamer's is many times longer (common practice, no source).
REAMER_LEAD, REAMER_LEAD_SHARE = 1.5, 0.2
TAP_LEAD = 3.0  # pitches, at most, of a tap for blind holes (DIN 2197 form C, from memory)
ARBOR = 60.0  # mm of the arbor of a fly cutter, above its body, that are looked at
SAME_CUTTER = 0.1  # how far, in parts of the diameter, a measured size may be off the sold one


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutter:
    """One cutter of the crib; lengths in mm."""

    name: str  # what the sheet calls it and a job names it by
    kind: CutterKind
    nominal: float  # diameter as sold
    diameter: float  # as measured; the nominal one when it was not
    flutes: int
    flute_length: float
    shank: float  # diameter of the shank
    cuts_at_centre: bool
    point_angle_deg: float = 180.0  # 180 for a flat end
    tip: float = 0.0  # diameter of the flat that a countersink or a reamer's lead begins with
    material: str = "HSS"
    thread: Thread | None = None  # of a tap that the spindle drives
    lead: float = 0.0  # length at a tap's end that does not cut to size, mm
    fly: FlyPoint | None = None  # of a fly cutter, whose diameter is that of its body
    file: str = ""
    where: Where = field(compare=False, repr=False)

    @property
    def radius(self) -> float:
        """Return half the measured diameter, mm."""
        return self.diameter / 2

    @property
    def point_length(self) -> float:
        """Return how far above its end a cutter reaches its full diameter, mm; 0 for a flat end."""
        if self.point_angle_deg >= 180:
            return 0.0
        return (self.diameter - self.tip) / 2 / self.spread

    @property
    def spread(self) -> float:
        """Return how fast the point widens, mm of radius a mm of height; inf for a flat end."""
        if self.point_angle_deg >= 180:
            return math.inf
        return math.tan(math.radians(self.point_angle_deg / 2))

    def fly_bodies(self) -> tuple[RoundBody, ...]:
        """Return the body of a fly cutter and the arbor above it; nothing of other cutters."""
        if self.fly is None:
            return ()
        above = self.fly.drop + self.fly.body
        return (
            RoundBody(diameter=self.diameter, above=self.fly.drop, length=self.fly.body),
            RoundBody(diameter=self.shank, above=above, length=ARBOR),
        )

    @property
    def ball(self) -> float:
        """Return the radius of the ball that a cutter ends in, mm; 0 where it does not."""
        return self.radius if self.kind == "ball-nose" else 0.0

    def radius_at(self, height: float) -> float:
        """Return the radius that a cutter has at a height above its end, mm."""
        if self.ball and height < self.ball:
            return math.sqrt(max(height * (2 * self.ball - height), 0.0))
        if self.point_angle_deg >= 180:
            return self.radius
        return min(self.radius, self.tip / 2 + height * self.spread)


def read_cutter(table: Table) -> Cutter | None:
    """Read one ``[[cutter]]``."""
    kind = table.choice("kind", KINDS)
    threaded = _thread(table) if kind == "tap" else None
    if kind == "tap":
        nominal = 1.0 if threaded is None else threaded.major
        default_name = None if threaded is None else f"{threaded.designation} tap"
    else:
        nominal = table.length("diameter", above=0)
        default_name = f"{table.raw('diameter')} {kind}" if table.has("diameter") else None
    diameter = table.length("measured", default=nominal, above=0)
    cutter = Cutter(
        name=table.text("name", default=default_name),
        kind=kind,
        nominal=nominal,
        diameter=diameter,
        flutes=table.whole("flutes", default=1 if kind == "fly cutter" else 2, least=1, most=20),
        flute_length=table.length("flute_length", above=0),
        shank=table.length("shank", default=nominal, above=0),
        cuts_at_centre=table.flag("cuts_at_centre", default=kind in CENTRE_CUTTING),
        point_angle_deg=table.number(
            "point_angle_deg", default=POINT_ANGLES_DEG[kind], above=0, most=180
        ),
        tip=_tip(table, kind, diameter),
        thread=threaded,
        lead=0.0
        if threaded is None
        else table.length("lead", default=TAP_LEAD * threaded.pitch, least=0),
        material=table.choice("material", ("HSS", "carbide"), default="HSS"),
        fly=read_fly_point(table, diameter) if kind == "fly cutter" else None,
        file=table.where().file,
        where=table.where(),
    )
    table.no_more()
    if not table.faulty and abs(cutter.diameter - nominal) > SAME_CUTTER * nominal:
        table.wrong(
            "measured",
            f"{table.say(cutter.diameter)} for a cutter sold as {table.say(nominal)}",
            "measure again; more than a tenth off is another cutter",
        )
    return None if table.faulty else cutter


def _thread(table: Table) -> Thread | None:
    """Return the thread of a tap."""
    name = table.text("thread")
    if table.faulty:
        return None
    try:
        return thread(name)
    except ValueError as error:
        table.wrong("thread", str(error), "write a thread as `pathgen reckon` takes it")
        return None


def _tip(table: Table, kind: CutterKind, diameter: float) -> float:
    """Return the diameter of the flat at a cutter's end, mm; 0 where it comes to a point.

    That of a countersink must be known, since its depth is counted from there: one taken for sharp
    would sink by so much too wide.
    """
    if kind == "countersink":
        if not table.has("tip"):
            table.wrong(
                "tip",
                "missing for a countersink",
                "measure the flat at its end, 0 where it comes to a point: it sets the depth",
            )
            return 0.0
        return _narrower(table, "tip", table.length("tip", least=0), diameter)
    if kind == "reamer":
        usual = min(REAMER_LEAD, REAMER_LEAD_SHARE * diameter)
        lead = table.length("lead", default=usual, least=0)
        return diameter - _narrower(table, "lead", 2 * lead, diameter)
    return 0.0


def _narrower(table: Table, key: str, wide: float, diameter: float) -> float:
    """Return a width within a cutter's end, mm; record one that does not go into it."""
    if wide >= diameter:
        table.wrong(
            key,
            f"leaves nothing of the {table.say(diameter)} that the cutter measures",
            "measure again",
        )
        return 0.0
    return wide
