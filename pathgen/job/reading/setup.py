"""Reading how a setup is held and how the blank lies in it."""

from __future__ import annotations

from pathgen.input.getters import Table
from pathgen.job.contour import Spot
from pathgen.job.frame import FACES, OUTWARD, UPRIGHT, Face, Lie
from pathgen.job.job import Hold, Keepout, Point
from pathgen.job.on_table import ON_TABLE

WAYS = ("vice", "clamps", "clamps and stops", "chuck", "vee blocks", ON_TABLE)


def read_hold(table: Table) -> tuple[Hold, Spot | None]:
    """Read ``[setup.hold]``, and which place of the work lies on a rotary table's axis, mm.

    What is returned is of use only if nothing was wrong.
    """
    how = table.choice("how", WAYS)
    centre: Spot | None = None
    if how == ON_TABLE:
        x, y = table.lengths("centre", count=2)
        centre = x, y
    elif table.has("centre"):
        table.wrong("centre", f"given for {how}", f'leave it out, or say how = "{ON_TABLE}"')
    lines = table.texts("lines", default=())
    beneath = table.length("beneath", default=0.0, least=0)
    keepouts = [_keepout(each) for each in table.tables("keepouts")]
    table.no_more()
    hold = Hold(how=how, lines=lines, keepouts=tuple(keepouts), beneath=beneath)
    return hold, centre


def _keepout(table: Table) -> Keepout:
    """Read one box that the cutter must not enter."""
    name = table.text("name")
    low = table.lengths("low", count=3)
    high = table.lengths("high", count=3)
    table.no_more()
    if not table.faulty and not all(a < b for a, b in zip(low, high, strict=True)):
        table.wrong("high", "not above the low corner in each axis", "give x, y, z of both corners")
    return Keepout(name=name, low=_point(low), high=_point(high))


def _point(values: tuple[float, ...]) -> Point:
    return values[0], values[1], values[2]


def read_lie(table: Table) -> Lie:
    """Read which of the blank's faces lies up in a setup, and which looks at the person.

    Only for a blank that lies as it is described need nothing be said: turned over about its length
    and turned over end for end bring the same face up.
    """
    up: Face = table.choice("up", FACES, default="top")
    asked = table.has("towards_you")
    towards: Face = table.choice("towards_you", FACES, default="front")
    if up != "top" and not asked:
        table.wrong("towards_you", f"missing, with the {up} face up", _turnings(up))
    elif OUTWARD[up].axis == OUTWARD[towards].axis:
        beside = [face for face in FACES if OUTWARD[face].axis != OUTWARD[up].axis]
        table.wrong(
            "towards_you",
            f"{towards} cannot look at you with {up} up",
            f"say which of {', '.join(beside)} does",
        )
    else:
        return Lie(up, towards)
    return UPRIGHT


def _turnings(up: Face) -> str:
    """Return what to say of a blank that does not lie as it is described."""
    if up == "bottom":
        return (
            'say "back" if it is turned over about its length (left stays on the left), "front" if '
            "it is turned end for end (left comes to the right)"
        )
    beside = [face for face in FACES if OUTWARD[face].axis != OUTWARD[up].axis]
    return f"say which of {', '.join(beside)} looks at you"
