"""Cutters: drills, spotting drills, countersinks, reamers, mills, T-slot cutters, boring heads."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, NamedTuple, TypeAlias, get_args

from pathgen.input.getters import Table
from pathgen.input.where import Where
from pathgen.reckon.sphere_clearance import RoundBody
from pathgen.reckon.sphere_rings import RoundEnd
from pathgen.reckon.threads import Thread
from pathgen.shop.boring import BoringHead, read_head
from pathgen.shop.cutter_ends import read_corner, read_neck, read_tip
from pathgen.shop.fly_points import FlyPoint, read_fly_point
from pathgen.shop.holders import NO_HOLDERS, Holder, holder_of, read_stick_out
from pathgen.shop.threads import thread_named

CutterKind: TypeAlias = Literal[
    "drill",
    "spotting drill",
    "countersink",
    "reamer",
    "tap",
    "end mill",
    "slot drill",
    "T-slot cutter",
    "boring head",
    "ball-nose",
    "round-nose",
    "fly cutter",
]
KINDS: tuple[CutterKind, ...] = get_args(CutterKind)
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
    "T-slot cutter": 180.0,
    "boring head": 180.0,
    "ball-nose": 180.0,
    "round-nose": 180.0,
    "fly cutter": 180.0,
}
TAP_LEAD = 3.0  # pitches, at most, of a tap for blind holes (DIN 2197 form C, from memory)
GRIPPED_ABOVE = 5.0  # mm of shank left free above the flutes; common practice, no source
ARBOR = 60.0  # mm of the arbor of a fly cutter, above its body, that are looked at
SAME_CUTTER = 0.1  # how far, in parts of the diameter, a measured size may be off the sold one


class Undercut(NamedTuple):
    """What of a cutter that is narrower above goes into the work, mm: its head, and its neck."""

    height: float  # of the head, from its end
    neck: float  # diameter above the head


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
    stick_out: float = 0.0  # how far its end stands out of what holds it, as measured; 0: not
    holder: Holder | None = None  # None: not told, and not looked at
    lead: float = 0.0  # length at a tap's end that does not cut to size, mm
    corner: float = 0.0  # radius between the flat end and the side of a round-nose
    neck: float | None = None  # diameter above the flutes, where it is narrower there
    neck_reach: float = 0.0  # of a necked one: from its end up to its shank
    head: BoringHead | None = None  # of a boring head, whose diameter is the least that it cuts
    fly: FlyPoint | None = None  # of a fly cutter, whose diameter is that of its body
    file: str = ""
    where: Where = field(compare=False, repr=False)

    @property
    def radius(self) -> float:
        """Return half the measured diameter, mm."""
        return self.diameter / 2

    @property
    def reach(self) -> float:
        """Return how deep it goes into the work before its shank does, mm."""
        return self.flute_length if self.neck is None else self.neck_reach

    @property
    def stands_out(self) -> float:
        """Return how far its end stands out of what holds it, mm: as measured, or as is usual."""
        return self.stick_out or self.reach + GRIPPED_ABOVE

    @property
    def undercut(self) -> Undercut | None:
        """Return the head and the neck of a cutter that is narrower above; None for others."""
        return None if self.neck is None else Undercut(self.flute_length, self.neck)

    @property
    def point_length(self) -> float:
        """Return how far above its end a cutter reaches its full diameter, mm; 0 for a flat end."""
        if self.round_end is not None:
            return self.round_end.corner
        if self.point_angle_deg >= 180:
            return 0.0
        return (self.diameter - self.tip) / 2 / self.spread

    @property
    def spread(self) -> float:
        """Return how fast the point widens, mm of radius a mm of height; inf for a flat end.

        A ball is as high as it is wide, and so is a round corner: that of the cone within it.
        """
        if self.round_end is not None:
            return 1.0
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

    @property
    def round_end(self) -> RoundEnd | None:
        """Return the corner and the flat of a cutter whose end is round; None for others."""
        if self.kind == "round-nose":
            return RoundEnd(self.corner, self.radius - self.corner)
        return RoundEnd(self.ball) if self.ball else None

    def radius_at(self, height: float) -> float:
        """Return the radius that a cutter has at a height above its end, mm."""
        if self.round_end is not None and height < self.round_end.corner:
            corner, flat = self.round_end
            return flat + math.sqrt(max(height * (2 * corner - height), 0.0))
        if self.point_angle_deg >= 180:
            return self.radius
        return min(self.radius, self.tip / 2 + height * self.spread)


def read_cutter(table: Table, holders: Mapping[str, Holder] = NO_HOLDERS) -> Cutter | None:
    """Read one ``[[cutter]]``.

    Args:
        table: what is read.
        holders: those of the same crib, by name.
    """
    kind = table.choice("kind", KINDS)
    if kind == "boring head":
        return _boring_head(table)
    threaded = _thread(table) if kind == "tap" else None
    if kind == "tap":
        nominal = 1.0 if threaded is None else threaded.major
        default_name = None if threaded is None else f"{threaded.designation} tap"
    else:
        nominal = table.length("diameter", above=0)
        default_name = f"{table.raw('diameter')} {kind}" if table.has("diameter") else None
    diameter = table.length("measured", default=nominal, above=0)
    flutes_long = table.length("flute_length", above=0)
    necked = kind == "T-slot cutter"
    neck, neck_reach = read_neck(table, diameter, flutes_long) if necked else (None, 0.0)
    corner = read_corner(table, diameter) if kind == "round-nose" else 0.0
    cutter = Cutter(
        name=table.text("name", default=default_name),
        kind=kind,
        nominal=nominal,
        diameter=diameter,
        flutes=table.whole("flutes", default=1 if kind == "fly cutter" else 2, least=1, most=20),
        flute_length=flutes_long,
        shank=table.length("shank", default=nominal, above=0),
        cuts_at_centre=table.flag("cuts_at_centre", default=kind in CENTRE_CUTTING),
        point_angle_deg=table.number(
            "point_angle_deg", default=POINT_ANGLES_DEG[kind], above=0, most=180
        ),
        corner=corner,
        tip=diameter - 2 * corner if corner else read_tip(table, kind, diameter),
        thread=threaded,
        lead=0.0
        if threaded is None
        else table.length("lead", default=TAP_LEAD * threaded.pitch, least=0),
        stick_out=read_stick_out(table, flutes_long),
        holder=holder_of(table, holders),
        neck=neck,
        neck_reach=neck_reach,
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


def _boring_head(table: Table) -> Cutter | None:
    """Return a boring head as a cutter: with one edge, as wide as its least, as long as its bar."""
    head = read_head(table)
    cutter = Cutter(
        name=table.text("name", default=f"boring head, {table.raw('bar')} bar"),
        kind="boring head",
        nominal=head.least,
        diameter=head.least,
        flutes=1,
        flute_length=head.reach,
        shank=head.bar,
        cuts_at_centre=False,
        material=table.choice("material", ("HSS", "carbide"), default="HSS"),
        head=head,
        file=table.where().file,
        where=table.where(),
    )
    table.no_more()
    return None if table.faulty else cutter


def _thread(table: Table) -> Thread | None:
    """Return the thread of a tap."""
    name = table.text("thread")
    return None if table.faulty else thread_named(table, "thread", name)
