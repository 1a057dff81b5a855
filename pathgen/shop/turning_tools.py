"""Lathe tools of the crib: what their cutting ends look like from above, in the half plane."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal, TypeAlias, get_args

from pathgen.input.getters import Table
from pathgen.input.where import Where
from pathgen.reckon.knurls import PATTERNS, Pattern

TurningKind: TypeAlias = Literal[
    "turning",
    "parting",
    "grooving",
    "boring",
    "recessing",
    "threading",
    "inside threading",
    "dishing",
    "knurling",
]
KINDS: tuple[TurningKind, ...] = get_args(TurningKind)
# on a bar that goes into a hole
INSIDE: tuple[TurningKind, ...] = ("boring", "recessing", "inside threading")
POINTED: tuple[TurningKind, ...] = ("threading", "inside threading")  # that cut threads
GROOVING: tuple[TurningKind, ...] = ("parting", "grooving")  # blades that work outside
BLADES: tuple[TurningKind, ...] = (*GROOVING, "recessing")  # that cut their width
STIFF = 4.0  # diameters that a bar may stand out of its holder: common practice, no source
SQUARE_DEG = 90.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TurningTool:
    """One lathe tool; lengths in mm.

    Its place is that of the point that a dial is set by: as far to the chuck as its leftmost bit,
    and as near to the axis as its nearest. ``approach_deg`` is the angle between the axis and the
    edge that leads towards the chuck: above 90 it clears a square shoulder behind its nose.
    ``back_deg`` is the angle between the axis and the edge that trails.

    One for dishes looks along the axis: its ``reach`` goes that way, its sides are parallel behind
    its round nose, and its shank lies across behind them.

    One that works inside is on a bar. Its place is as far from the axis as its outermost bit; the
    angles are as outside. ``reach`` is then how far its point stands out of the bar's side.
    """

    name: str
    kind: TurningKind
    nose_radius: float
    approach_deg: float
    back_deg: float
    width: float  # of a blade or a knurling wheel; of the shank of others
    reach: float  # from the point outwards to where the shank begins, or as deep as a blade goes
    shank: float  # width of the shank along the axis
    bar: float = 0.0  # diameter of the bar of one that works inside
    least_bore: float = 0.0  # across the bar and its point: the smallest bore that it goes into
    overhang: float = 0.0  # how far its point stands out of what holds the bar
    end_beyond: float = 0.0  # of a point for threads: how far the bar goes on past its middle
    material: str = "HSS"
    pattern: Pattern | None = None  # of the wheels of one that knurls
    pitch: float = 0.0  # of their teeth, square to them
    where: Where = field(compare=False, repr=False)

    @property
    def turns_shoulders(self) -> bool:
        """Return whether it does so outside, and so faces ends too."""
        return self.kind == "turning" and self.squares_shoulders

    @property
    def squares_shoulders(self) -> bool:
        """Return whether it cuts a diameter and leaves a square shoulder at its end."""
        return self.kind in ("turning", "boring") and self.approach_deg > SQUARE_DEG

    @property
    def point_deg(self) -> float:
        """Return the angle between the edges of a threading tool."""
        return 180.0 - self.approach_deg - self.back_deg

    @property
    def inside(self) -> bool:
        """Return whether it works inside, on a bar."""
        return self.kind in INSIDE


def read_turning_tool(table: Table) -> TurningTool | None:
    """Read one ``[[turning_tool]]``."""
    kind = table.choice("kind", KINDS)
    if kind in POINTED:
        return _read_threading_tool(table, kind)
    if kind == "dishing":
        return _read_dishing_tool(table)
    if kind == "knurling":
        return _read_knurling_tool(table)
    parting = kind in BLADES
    inside = kind in INSIDE
    bar = table.length("bar", above=0) if inside else 0.0
    shank = bar if inside else table.length("shank", above=0)
    least_bore = table.length("least_bore", above=0) if inside else 0.0
    tool = TurningTool(
        name=table.text("name"),
        kind=kind,
        nose_radius=table.length("nose_radius", default=0.0 if parting else None, least=0),
        approach_deg=table.number(
            "approach_deg", default=90.0 if parting else None, above=0, most=135
        ),
        back_deg=table.number("back_deg", default=0.0 if parting else None, least=0, most=89),
        width=table.length("width", default=None if parting else shank, above=0),
        reach=table.length("reach", above=0),
        shank=shank,
        bar=bar,
        least_bore=least_bore,
        overhang=table.length("overhang", above=0) if inside else 0.0,
        material=table.choice("material", ("HSS", "carbide"), default="HSS"),
        where=table.where(),
    )
    table.no_more()
    if not table.faulty and tool.kind not in BLADES:
        _guard_edges(table, tool)
    if not table.faulty and inside:
        _guard_bar(table, tool)
    return None if table.faulty else tool


def _read_dishing_tool(table: Table) -> TurningTool | None:
    """Read a tool with a round nose that looks along the axis, its sides parallel behind that."""
    nose = table.length("nose_radius", above=0)
    tool = TurningTool(
        name=table.text("name"),
        kind="dishing",
        nose_radius=nose,
        approach_deg=180.0,
        back_deg=0.0,
        width=2 * nose,
        reach=table.length("reach", above=0),
        shank=table.length("shank", above=0),
        material=table.choice("material", ("HSS", "carbide"), default="HSS"),
        where=table.where(),
    )
    table.no_more()
    if not table.faulty and tool.reach <= nose:
        table.wrong("reach", table.say(tool.reach), f"give more than its nose: {table.say(nose)}")
    return None if table.faulty else tool


def _read_threading_tool(table: Table, kind: TurningKind) -> TurningTool | None:
    """Read a tool with a point for threads, which stands square to the axis."""
    edge_deg = 90.0 - table.number("point_deg", above=0, most=120) / 2
    inside = kind in INSIDE
    shank = table.length("bar" if inside else "shank", above=0)
    tool = TurningTool(
        name=table.text("name"),
        kind=kind,
        nose_radius=table.length("nose_radius", least=0),
        approach_deg=edge_deg,
        back_deg=edge_deg,
        width=shank,
        reach=table.length("reach", above=0),
        shank=shank,
        bar=shank if inside else 0.0,
        least_bore=table.length("least_bore", above=0) if inside else 0.0,
        overhang=table.length("overhang", above=0) if inside else 0.0,
        end_beyond=table.length("end_beyond", above=0) if inside else 0.0,
        material=table.choice("material", ("HSS", "carbide"), default="HSS"),
        where=table.where(),
    )
    table.no_more()
    if not table.faulty and inside:
        _guard_bar(table, tool)
        _guard_point(table, tool)
    return None if table.faulty else tool


def _read_knurling_tool(table: Table) -> TurningTool | None:
    """Read a tool whose wheels press a knurl: its reach is how far they stand out of it."""
    tool = TurningTool(
        name=table.text("name"),
        kind="knurling",
        nose_radius=0.0,
        approach_deg=90.0,
        back_deg=0.0,
        width=table.length("width", above=0),
        reach=table.length("reach", above=0),
        shank=table.length("shank", above=0),
        pattern=table.choice("pattern", PATTERNS),
        pitch=table.length("pitch", above=0),
        where=table.where(),
    )
    table.no_more()
    return None if table.faulty else tool


def _guard_point(table: Table, tool: TurningTool) -> None:
    """Record a point for threads that is wider than the bar goes on past its middle."""
    half = tool.reach * math.tan(math.radians(tool.point_deg / 2))
    if tool.end_beyond < half:
        table.wrong(
            "end_beyond",
            f"{table.say(tool.end_beyond)}, of a point that is {table.say(half)} wide to each side"
            " where it comes out of the bar",
            "give how far the bar goes on past the middle of its point",
        )


def _guard_edges(table: Table, tool: TurningTool) -> None:
    """Record edges between which no tool is left."""
    included = tool.approach_deg - tool.back_deg
    if included <= 0 or not math.isfinite(included):
        table.wrong(
            "back_deg",
            f"{tool.back_deg:g} degrees leave nothing beside an approach of {tool.approach_deg:g}",
            "give the angle between the axis and the trailing edge",
        )


def _guard_bar(table: Table, tool: TurningTool) -> None:
    """Record a bar that does not go with its point, or that stands out too far to be stiff."""
    if tool.least_bore < tool.bar + tool.reach:
        table.wrong(
            "least_bore",
            table.say(tool.least_bore),
            f"give what is measured across the bar and its point: {table.say(tool.bar)} and"
            f" {table.say(tool.reach)} at least",
        )
    if tool.overhang > STIFF * tool.bar:
        table.wrong(
            "overhang",
            f"{table.say(tool.overhang)} of a bar of {table.say(tool.bar)}",
            f"let no more than {STIFF:g} diameters stand out: {table.say(STIFF * tool.bar)}",
        )
