"""Cutters: drills, spotting drills, countersinks, reamers, mills; read from crib files."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from pathgen.input.getters import Table
from pathgen.input.where import Where
from pathgen.shop.slides import UNITS

CutterKind: TypeAlias = Literal[
    "drill", "spotting drill", "countersink", "reamer", "end mill", "slot drill"
]
KINDS: tuple[CutterKind, ...] = (
    "drill",
    "spotting drill",
    "countersink",
    "reamer",
    "end mill",
    "slot drill",
)
MILLS: tuple[CutterKind, ...] = ("end mill", "slot drill")
POINTED: tuple[CutterKind, ...] = ("drill", "spotting drill", "countersink")
POINT_ANGLES_DEG: dict[CutterKind, float] = {  # 180 for a flat end
    "drill": 118.0,
    "spotting drill": 90.0,
    "countersink": 90.0,
    "reamer": 180.0,
    "end mill": 180.0,
    "slot drill": 180.0,
}
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
    material: str = "HSS"
    file: str = ""
    where: Where = field(compare=False, repr=False)

    @property
    def radius(self) -> float:
        """Return half the measured diameter, mm."""
        return self.diameter / 2


def read_crib(table: Table) -> tuple[Cutter, ...]:
    """Read a crib file's root table: its cutters, without those that were wrong."""
    table.with_units(table.choice("units", UNITS))
    table.text("title", default="crib")
    cutters = [_cutter(each) for each in table.tables("cutter")]
    for each in table.tables("drills"):
        cutters.extend(_drill_set(each))
    table.no_more()
    known = tuple(cutter for cutter in cutters if cutter is not None)
    names: set[str] = set()
    for cutter in known:
        if cutter.name in names:
            table.wrong("cutter", f"two cutters are called {cutter.name!r}", "name them apart")
        names.add(cutter.name)
    return known


def _cutter(table: Table) -> Cutter | None:
    """Read one ``[[cutter]]``."""
    kind = table.choice("kind", KINDS)
    nominal = table.length("diameter", above=0)
    default_name = f"{table.raw('diameter')} {kind}" if table.has("diameter") else None
    cutter = Cutter(
        name=table.text("name", default=default_name),
        kind=kind,
        nominal=nominal,
        diameter=table.length("measured", default=nominal, above=0),
        flutes=table.whole("flutes", default=2, least=1, most=20),
        flute_length=table.length("flute_length", above=0),
        shank=table.length("shank", default=nominal, above=0),
        cuts_at_centre=table.flag(
            "cuts_at_centre", default=kind in POINTED or kind == "slot drill"
        ),
        point_angle_deg=table.number(
            "point_angle_deg", default=POINT_ANGLES_DEG[kind], above=0, most=180
        ),
        material=table.choice("material", ("HSS", "carbide"), default="HSS"),
        file=table.where().file,
        where=table.where(),
    )
    table.no_more()
    if not table.faulty and abs(cutter.diameter - nominal) > SAME_CUTTER * nominal:
        table.wrong(
            "measured",
            f"{cutter.diameter:g} mm for a cutter sold as {nominal:g} mm",
            "measure again; more than a tenth off is another cutter",
        )
    return None if table.faulty else cutter


def _drill_set(table: Table) -> list[Cutter]:
    """Read one ``[[drills]]``: ``sizes`` by typed name, ``flute_lengths`` beside them."""
    names = table.texts("sizes")
    sizes = table.lengths("sizes", count=len(names))
    flutes = table.lengths("flute_lengths", count=len(names))
    angle = table.number("point_angle_deg", default=118.0, above=0, most=180)
    material = table.choice("material", ("HSS", "carbide"), default="HSS")
    table.no_more()
    if table.faulty:
        return []
    return [
        Cutter(
            name=name,
            kind="drill",
            nominal=size,
            diameter=size,
            flutes=2,
            flute_length=flute,
            shank=size,
            cuts_at_centre=True,
            point_angle_deg=angle,
            material=material,
            file=table.where().file,
            where=table.where("sizes"),
        )
        for name, size, flute in zip(names, sizes, flutes, strict=True)
    ]
