"""Published cutting speeds, feeds and depths by material, operation and what the cutter is of.

The figures and the rule by which they were taken from sources that differ are in
`data/cutting.toml`; all are the cautious end of what is printed.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal, get_args

from pathgen import INCH
from pathgen.reckon.exact import FOOT
from pathgen.reckon.guards import above_zero, nearest_words
from pathgen.reckon.materials import material_row, plain_name
from pathgen.reckon.tables import table

__all__ = [
    "CuttingData",
    "Points",
    "Rigidity",
    "cutting_data",
    "depth_share",
    "drill_feed_per_rev",
    "feed_per_tooth",
    "operations",
]

Rigidity = Literal["light", "medium", "rigid"]
Basis = Literal["tooth", "rev", "pitch"]
Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingData:
    """Speed and feed of one operation in one material, with where the figures are from.

    `feed_by_diameter` holds (diameter, feed) pairs in mm, per tooth or per rev as `feed_basis`
    says; empty where the thread's pitch is the feed. `hard` bids never to take a faster speed.
    """

    material: str
    operation: str
    cutter_material: str
    surface_speed_m_min: float
    feed_basis: Basis
    feed_by_diameter: Points
    hard: bool
    source: str
    feed_source: str

    def feed(self, diameter: float) -> float:
        """Return the feed, in mm per tooth or per rev, of a cutter of this diameter.

        Between two printed diameters the feed is interpolated, below the first it falls with the
        diameter, above the last it stays.

        Raises:
            ValueError: the pitch of the thread is the feed, or the diameter is not above zero.
        """
        above_zero(diameter=diameter)
        if not self.feed_by_diameter:
            raise ValueError(f"{self.operation} is fed by the pitch of the thread; use that")
        return _interpolated(self.feed_by_diameter, diameter)


def operations() -> tuple[str, ...]:
    """Return the operations that figures are known for.

    >>> operations()[0]
    'drilling'
    """
    return tuple(table("cutting")["operation"])


# ---------------------------------------------------------------- speed and feed together


@cache
def cutting_data(material: str, operation: str, cutter_material: str = "HSS") -> CuttingData:
    """Return speed and feed for an operation: starting figures, the cautious end of the sources.

    Args:
        material: what the work is of, by any of its names.
        operation: one of `operations()`.
        cutter_material: "HSS", "carbide" or "carbon steel".

    Raises:
        ValueError: an unknown word (the message names the nearest), or no figure for the pair.

    Source: per row, in `data/cutting.toml`.

    >>> data = cutting_data("mild steel", "drilling")
    >>> round(data.surface_speed_m_min, 1), round(data.feed(6.0), 3)
    (27.4, 0.096)
    """
    row = material_row(material)
    tip = _cutter_material(cutter_material)
    rule = _operation(operation)
    speed, source = _speed(row, rule, tip)
    basis, points, feed_source = _feed(row, rule)
    return CuttingData(
        material=row["name"],
        operation=operation,
        cutter_material=tip,
        surface_speed_m_min=speed,
        feed_basis=basis,
        feed_by_diameter=points,
        hard=row["hard"],
        source=source,
        feed_source=feed_source,
    )


def feed_per_tooth(material: str, diameter: float, operation: str = "end milling rough") -> float:
    """Return the feed per tooth, in mm, of a milling cutter or reamer of this diameter, in mm.

    >>> round(feed_per_tooth("mild steel", 12.7, "slotting"), 4)
    0.0508
    """
    data = cutting_data(material, operation)
    if data.feed_basis != "tooth":
        raise ValueError(f"{operation} is not fed by the tooth but by the {data.feed_basis}")
    return data.feed(diameter)


def drill_feed_per_rev(material: str, diameter: float) -> float:
    """Return the feed of a drill, in mm per rev.

    >>> round(drill_feed_per_rev("brass", 6.35), 4)
    0.1016
    """
    return cutting_data(material, "drilling").feed(diameter)


def depth_share(material: str, rigidity: Rigidity, operation: str = "slotting") -> float:
    """Return the depth of one pass as a share of the cutter's diameter.

    For a slot as wide as the cutter; "end milling rough" is a cut along a side. Cutters below
    2 mm want much less: a table-top mill's manual has a 0.8 mm one break in steel at a tenth.

    Source: common practice, no source.

    >>> depth_share("mild steel", "medium")
    0.25
    """
    shares = table("cutting")["depth"]
    cuts = [name for name in shares if name != "source"]
    if operation not in cuts:
        raise ValueError(f"no depth goes with {operation!r}; {nearest_words(operation, cuts)}")
    if rigidity not in get_args(Rigidity):
        raise ValueError(
            f"a machine is not {rigidity!r}; {nearest_words(rigidity, get_args(Rigidity))}"
        )
    share: float = shares[operation][material_row(material)["freedom"]][rigidity]
    return share


# ---------------------------------------------------------------- out of the rows


def _cutter_material(name: str) -> str:
    """Return the name under which a cutter material stands."""
    rows = table("cutting")["cutter_material"]
    every = {plain_name(n): tip for tip, row in rows.items() for n in (tip, *row["aliases"])}
    found: str | None = every.get(plain_name(name))
    if found is None:
        raise ValueError(f"no figures for cutters of {name!r}; {nearest_words(name, rows)}")
    return found


def _operation(name: str) -> dict[str, Any]:
    """Return the rule of an operation."""
    rules = table("cutting")["operation"]
    if name not in rules:
        raise ValueError(f"no figures for the operation {name!r}; {nearest_words(name, rules)}")
    rule: dict[str, Any] = rules[name]
    return rule


def _speed(row: dict[str, Any], rule: dict[str, Any], tip: str) -> tuple[float, str]:
    """Return the surface speed, in m/min, and its sources."""
    speed, sources = _base_speed(row, rule["base"], tip)
    if "factor" in rule:
        speed *= rule["factor"]
        sources += f"; times {rule['factor']:g}: {_source(rule['factor_source'])}"
    return speed, sources


def _base_speed(row: dict[str, Any], base: str, tip: str) -> tuple[float, str]:
    """Return the speed of a base row: printed, or derived from one that is."""
    own = row.get(tip, {}).get(base)
    if own is not None:
        speed = own["ft_min"] * FOOT if "ft_min" in own else own["m_min"]
        return speed, _source(own["source"])
    step = table("cutting")["derived"].get(base)
    if step is not None and (base not in row["HSS"] or step["base"] in row.get(tip, {})):
        speed, sources = _base_speed(row, step["base"], tip)
        return speed * step["factor"], _times(sources, step)
    if base == "tapping":
        raise ValueError(f"no figures for tapping with {tip}; use a tap of HSS")
    step = table("cutting")["cutter_material"][tip]
    speed, sources = _base_speed(row, base, "HSS")
    return speed * step["factor"], _times(sources, step)


def _times(sources: str, step: dict[str, Any]) -> str:
    """Return sources with that of one more factor."""
    return f"{sources}; times {step['factor']:g}: {_source(step['source'])}"


def _feed(row: dict[str, Any], rule: dict[str, Any]) -> tuple[Basis, Points, str]:
    """Return what the feed counts by, its (diameter, feed) pairs in mm, and its source."""
    data = table("cutting")
    share = rule.get("share", 1.0)
    match rule["feed"]:
        case "pitch":
            return "pitch", (), "the pitch of the thread"
        case "drill":
            feeds = data["drill_feed"][row["drill"]]
            return "rev", _in_mm(feeds["in_rev"], share), _source(feeds["source"])
        case "ream":
            feeds = data["ream_feed"]
            return "tooth", ((1.0, feeds["in_tooth"] * INCH),), _source(feeds["source"])
        case "mill":
            return "tooth", _in_mm(row["mill"]["in_tooth"], share), _source(row["mill"]["source"])
        case "rough" | "finish" as kind:
            feeds = row[kind]
            per_rev = feeds["in_rev"] * INCH if "in_rev" in feeds else feeds["mm_rev"]
            return "rev", ((1.0, per_rev),), _source(feeds["source"])
        case figure:
            return rule.get("basis", "rev"), ((1.0, figure),), _source("practice")


def _in_mm(points: list[list[float]], share: float) -> Points:
    """Return (diameter, feed) pairs of inches as mm, the feed times a share."""
    return tuple((diameter * INCH, feed * share * INCH) for diameter, feed in points)


def _interpolated(points: Points, diameter: float) -> float:
    """Return the feed at a diameter; where two points share one, the lower feed up to it."""
    place = bisect_left(points, diameter, key=lambda point: point[0])
    if place == 0:
        first, feed = points[0]
        return feed * diameter / first
    if place == len(points):
        return points[-1][1]
    (before, low), (after, high) = points[place - 1], points[place]
    return low + (high - low) * (diameter - before) / (after - before)


def _source(key: str) -> str:
    """Return a source in words."""
    text: str = table("cutting")["sources"][key]
    return text
