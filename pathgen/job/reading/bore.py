"""Reading a bore: where its axis lies, how wide and deep, and the wider ones above it."""

from __future__ import annotations

from itertools import pairwise

from pathgen.input.getters import Table
from pathgen.job.holes import BORED_OUT, Boring, BoringWay, Counterbore, Holes, Place
from pathgen.job.read_concentric import read_concentric
from pathgen.job.reading.depth import read_depth
from pathgen.job.reading.holes import guard_floors, guard_places, own_size, read_counterbore
from pathgen.job.sizes import Size, read_position
from pathgen.job.stock import Workpiece

WAYS: tuple[BoringWay, ...] = ("led round", "boring head")
FLOORS = ("drilled", "flat")
MOST = 3  # wider bores above one, as many as the finished sizes have names for


def read_bore(table: Table, workpiece: Workpiece, tolerance_class: str) -> Holes | None:
    """Read a bore; its position is in the setup's frame. None when anything was wrong."""
    name = table.text("name")
    x, y = table.lengths("at", count=2)
    place = Place(
        x=read_position(table, "position", x, tolerance_class),
        y=read_position(table, "position", y, tolerance_class),
    )
    bore = own_size(table, "diameter", tolerance_class)
    depth = read_depth(table, workpiece, tolerance_class, "bore")
    wider = table.tables("counterbore")
    counterbores = tuple(
        found for each in wider if (found := read_counterbore(each, tolerance_class)) is not None
    )
    boring = _boring(table, depth)
    breaks_into = table.texts("breaks_into", default=())
    table.no_more()
    if table.faulty or not _guard_steps(table, bore, counterbores):
        return None
    holes = Holes(
        name=name,
        places=(place,),
        bore=bore,
        depth=depth,
        finish="bored",
        tapping=None,
        countersink=None,
        counterbores=counterbores,
        boring=boring,
        breaks_into=breaks_into,
        where=table.where(),
    )
    guards = (guard_floors(table, holes, workpiece), guard_places(table, holes, workpiece))
    return holes if all(guards) else None


def _boring(table: Table, depth: Size | None) -> Boring:
    """Return what is asked of a bore besides its sizes."""
    flat = table.choice("floor", FLOORS, default="drilled") == "flat"
    if depth is None and table.has("floor"):
        table.wrong("floor", "given for a bore that goes through", "leave it out")
    ways = table.optional_table("ways")
    way: BoringWay | None = None
    head = None
    if ways is not None:
        way = ways.choice("way", WAYS) if ways.has("way") else None
        head = ways.optional_text("head")
        if head is not None and way == "led round":
            ways.wrong("head", "given beside led round", 'say way = "boring head", or leave it out')
        ways.no_more()
    return Boring(flat=flat, concentric=read_concentric(table), way=way, head=head)


def _guard_steps(table: Table, bore: Size, counterbores: tuple[Counterbore, ...]) -> bool:
    """Record wider bores that do not come widest first, each less deep than the next."""
    if bore.low <= 2 * BORED_OUT:
        least = table.say(2 * BORED_OUT)
        table.wrong("diameter", f"from {table.say(bore.low)}", f"a bore is wider than {least}")
    if len(counterbores) > MOST:
        table.wrong("counterbore", f"{len(counterbores)} of them", f"give {MOST} at most")
    widths = [*(each.diameter for each in counterbores), bore]
    depths = [each.depth for each in counterbores]
    if any(upper.low <= lower.high for upper, lower in pairwise(widths)):
        table.wrong(
            "counterbore",
            "not wider than what is beneath it",
            "give the widest first: they are named from above",
        )
    if any(upper.high >= lower.low for upper, lower in pairwise(depths)):
        table.wrong(
            "counterbore",
            "not less deep than the next",
            "give each from the top face, the one least deep first",
        )
    return not table.faulty
