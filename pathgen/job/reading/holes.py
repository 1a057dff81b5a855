"""Reading holes: where they are, how wide and deep, and what stands at their mouth."""

from __future__ import annotations

import math
from itertools import combinations

from pathgen.input.getters import Table
from pathgen.input.units import figure
from pathgen.job.holes import Counterbore, Countersink, Finish, Floor, Holes, Place, Tapping
from pathgen.job.reading.places import read_places
from pathgen.job.reading.screw import ForScrew, guard_screw, read_screw
from pathgen.job.reading.tapping import read_tapping, tapped_mouth, tapping_depth, tapping_size
from pathgen.job.sizes import Size, read_position, read_size
from pathgen.job.stock import Workpiece
from pathgen.reckon.holes import Position

FINISHES: tuple[Finish, ...] = ("drilled", "reamed")
OF_BORE = ("diameter", "diameter_limits", "diameter_fit")
OF_DEPTH = ("depth_limits", "depth_fit")
MOUTHS = ("counterbore", "countersink", "spotface")
SPOTFACE = 0.5  # mm deep, where a job says nothing: a bar's skin (common practice, no source)
SPOTFACE_MOST = 3.0  # mm; deeper, it is a counterbore
NOTHING = Size(nominal=1.0, low=1.0, high=1.0, basis="none")


def read_holes(table: Table, workpiece: Workpiece, tolerance_class: str) -> Holes | None:
    """Read holes; positions are in the setup's frame. None when anything was wrong."""
    name = table.text("name")
    places = tuple(
        Place(
            x=read_position(table, "position", x, tolerance_class),
            y=read_position(table, "position", y, tolerance_class),
        )
        for x, y in read_places(table) or ((0.0, 0.0),)
    )
    finish: Finish | None = table.choice("finish", FINISHES) if table.has("finish") else None
    tapping = read_tapping(table) if table.has("tapped") else None
    screw = read_screw(table, tolerance_class) if table.has("screw") else None
    bore = _bore(table, tapping, screw, tolerance_class)
    depth = _depth(table, tapping, workpiece, tolerance_class)
    breaks_into = table.texts("breaks_into", default=())
    floor = _floor(table)
    countersink, counterbore = _mouths(table, screw, tolerance_class)
    _guard_tapped(table)
    guard_screw(table)
    table.no_more()
    if not table.faulty:
        _guard_mouth(table, bore, countersink, counterbore)
    if table.faulty:
        return None
    if tapping is not None and countersink is None and counterbore is None:
        countersink = tapped_mouth(tapping.thread)
    holes = Holes(
        name=name,
        places=places,
        bore=bore,
        depth=depth,
        finish="tapped" if tapping is not None else "drilled" if screw is not None else finish,
        tapping=tapping,
        countersink=countersink,
        counterbores=() if counterbore is None else (counterbore,),
        breaks_into=breaks_into,
        floor=floor,
        screw=None if screw is None else screw.name,
        where=table.where(),
    )
    guards = (
        guard_floors(table, holes, workpiece),
        guard_places(table, holes, workpiece),
    )
    return holes if all(guards) else None


def _bore(
    table: Table, tapping: Tapping | None, screw: ForScrew | None, tolerance_class: str
) -> Size:
    """Return the finished diameter, that of the tapping hole, or what clears a screw."""
    if table.has("tapped"):
        return NOTHING if tapping is None else tapping_size(tapping)
    if table.has("screw"):
        return NOTHING if screw is None else screw.bore
    return own_size(table, "diameter", tolerance_class)


def _floor(table: Table) -> Floor | None:
    """Read in the floor of which pocket holes begin; it is looked up when all features are read."""
    of = table.optional_text("in_floor_of")
    if of is None:
        return None
    for key in (*MOUTHS, "screw"):
        if table.has(key):
            table.wrong(
                key,
                "given beside in_floor_of: the floor is milled over what stands at its mouth",
                "leave it out, or make these holes in a setup of their own, after the pocket",
            )
    if table.has("tapped") and not table.says("depth", "through"):
        table.wrong(
            "tapped",
            "a blind thread in the floor of a pocket",
            "tap it in a setup of its own, after the pocket",
        )
    return Floor(of=of, depth=NOTHING)


def _guard_tapped(table: Table) -> None:
    """Record keys that do not go with a thread, or only with one."""
    if table.has("tapped"):
        for key in (*OF_BORE, *OF_DEPTH, "finish"):
            if table.has(key):
                table.wrong(key, "given beside tapped", "leave it out: the thread says it")
    elif table.has("engagement_percent"):
        table.wrong("engagement_percent", "given without tapped", "name the thread as well")


def _depth(
    table: Table, tapping: Tapping | None, workpiece: Workpiece, tolerance_class: str
) -> Size | None:
    """Return the depth of the full diameter with its limits, None for ``"through"``."""
    if table.says("depth", "through"):
        for key in OF_DEPTH:
            if table.has(key):
                table.wrong(key, "limits for a hole that goes through", "leave them out")
        return None
    if not table.has("depth"):
        table.wrong("depth", "missing", 'give that of the full diameter, or "through"')
        return None
    if table.has("tapped"):
        return None if tapping is None else tapping_depth(table, tapping, workpiece.height)
    return own_size(table, "depth", tolerance_class)


def _mouths(
    table: Table, screw: ForScrew | None, tolerance_class: str
) -> tuple[Countersink | None, Counterbore | None]:
    """Return what stands at the mouth: what the job gives, or what a screw's head wants."""
    countersink = _countersink(table.optional_table("countersink"), tolerance_class)
    counterbore = read_counterbore(table.optional_table("counterbore"), tolerance_class)
    spotface = _spotface(table.optional_table("spotface"), tolerance_class)
    given = [key for key in MOUTHS if table.has(key)]
    if len(given) > 1:
        table.wrong(given[1], f"given beside {given[0]}", "leave out one of the two")
    if screw is not None and not given:
        return screw.countersink, screw.counterbore
    return countersink, counterbore or spotface


def own_size(table: Table, key: str, tolerance_class: str) -> Size:
    """Return a size above 0 with its limits."""
    return read_size(table, key, table.length(key, above=0), tolerance_class)


def _countersink(table: Table | None, tolerance_class: str) -> Countersink | None:
    """Read ``countersink = { diameter, angle_deg }``."""
    if table is None:
        return None
    found = Countersink(
        diameter=own_size(table, "diameter", tolerance_class),
        angle_deg=table.number("angle_deg", default=90.0, least=30, most=150),
    )
    table.no_more()
    return found


def read_counterbore(table: Table | None, tolerance_class: str) -> Counterbore | None:
    """Read ``counterbore = { diameter, depth }``."""
    if table is None:
        return None
    found = Counterbore(
        diameter=own_size(table, "diameter", tolerance_class),
        depth=own_size(table, "depth", tolerance_class),
    )
    table.no_more()
    return found


def _spotface(table: Table | None, tolerance_class: str) -> Counterbore | None:
    """Read ``spotface = { diameter, depth }``; the depth is what it takes to clean up."""
    if table is None:
        return None
    diameter = own_size(table, "diameter", tolerance_class)
    depth = table.length("depth", default=SPOTFACE, above=0, most=SPOTFACE_MOST)
    found = Size(
        nominal=depth, low=depth / 2, high=depth * 1.5, basis="a spot-face, give or take half"
    )
    table.no_more()
    return Counterbore(diameter=diameter, depth=found, spotface=True)


def _guard_mouth(
    table: Table, bore: Size, countersink: Countersink | None, counterbore: Counterbore | None
) -> None:
    """Record diameters of a hole that contradict one another."""
    if bore.low <= 0:
        table.wrong("diameter", f"limits from {table.say(bore.low)}", "give closer limits")
    wide = "spotface" if counterbore is not None and counterbore.spotface else "counterbore"
    for key, mouth in (("countersink", countersink), (wide, counterbore)):
        if mouth is not None and mouth.diameter.low <= bore.high:
            table.wrong(
                key,
                f"from {table.say(mouth.diameter.low)}, the hole up to {table.say(bore.high)}",
                "make it wider than the hole, or leave it out",
            )


def guard_floors(table: Table, holes: Holes, workpiece: Workpiece) -> bool:
    """Record floors too deep for the hole or the blank; return whether they are not."""
    under = workpiece.height if holes.depth is None else holes.depth.low
    deepest = holes.counterbores[-1] if holes.counterbores else None
    if deepest is not None and deepest.depth.high >= under:
        key = "spotface" if deepest.spotface else "counterbore"
        table.wrong(key, "as deep as the hole itself", "make it less deep")
        return False
    return holes.depth is None or _stays_within(table, holes, holes.depth, workpiece)


def _stays_within(table: Table, holes: Holes, depth: Size, workpiece: Workpiece) -> bool:
    """Record a blind hole whose drill would come out of the underside."""
    deepest = depth.high + holes.below
    if deepest >= workpiece.height:
        table.wrong(
            "depth",
            f"up to {table.say(depth.high)} at full diameter, with the drill's point and what goes "
            f"before it {table.say(deepest)}, in a blank {table.say(workpiece.height)} thick",
            'give a smaller depth, closer depth_limits, or "through"',
        )
        return False
    return True


def guard_places(table: Table, holes: Holes, workpiece: Workpiece) -> bool:
    """Record holes that run out of the blank's sides, or into one another; whether none does."""
    half = holes.mouth / 2
    box = workpiece.box
    low = (box.low[0] + half, box.low[1] + half)
    high = (box.high[0] - half, box.high[1] - half)
    centres = [place.at for place in holes.places]
    for x, y in centres:
        if not (low[0] < x < high[0] and low[1] < y < high[1]):
            table.wrong(
                "at",
                f"a hole {table.say(holes.mouth)} wide at most, at {figure(x, table.units)}, "
                f"{figure(y, table.units)}, runs out of the blank",
                "move it: positions are from the datums",
            )
            return False
    if nearest_two(centres) <= holes.mouth:
        table.wrong(
            "at",
            f"two holes {table.say(nearest_two(centres))} apart, each up to "
            f"{table.say(holes.mouth)} wide",
            "space them wider: they must not run into one another",
        )
        return False
    return True


def nearest_two(centres: list[Position]) -> float:
    """Return the least distance between two places, mm; inf for fewer than two."""
    return min((math.dist(a, b) for a, b in combinations(centres, 2)), default=math.inf)
