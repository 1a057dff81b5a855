"""Reading how a setup is held and where its zeros are."""

from __future__ import annotations

from pathgen.input.getters import Table
from pathgen.job.frame import AXIS_NAMES, FACES, OUTWARD, UPRIGHT, AxisName, Face, Lie, in_order
from pathgen.job.job import Datum, Hold, Keepout, Point
from pathgen.job.stock import Stock
from pathgen.job.touching import SpindleAtTouch, read_touching

STILL: SpindleAtTouch = "stopped"
TOUCH_UNCERTAINTY = 0.02  # mm, half width, of a touch through paper (common practice, no source)


def read_hold(table: Table) -> Hold:
    """Read ``[setup.hold]``; what is returned is of use only if nothing was wrong."""
    how = table.choice("how", ("vice", "clamps", "clamps and stops"))
    lines = table.texts("lines", default=())
    beneath = table.length("beneath", default=0.0, least=0)
    keepouts = [_keepout(each) for each in table.tables("keepouts")]
    table.no_more()
    return Hold(how=how, lines=lines, keepouts=tuple(keepouts), beneath=beneath)


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


def read_datums(table: Table, stock: Stock, lie: Lie) -> tuple[tuple[Datum, Datum, Datum], Point]:
    """Read ``[setup.datum]``: the datums of x, y and z, and the origin in the blank's axes, mm."""
    x, y, z = (_datum(table.table(name), name, lie) for name in AXIS_NAMES)
    table.no_more()
    origin = [0.0, 0.0, 0.0]
    for axis, datum in enumerate((x, y, z)):
        places = [stock.box.end(OUTWARD[face]) for face in datum.faces]
        origin[lie.ways[axis].axis] = sum(places) / len(places)
    return (x, y, z), (origin[0], origin[1], origin[2])


def _datum(table: Table, axis: AxisName, lie: Lie) -> Datum:
    """Read the datum of one axis."""
    faces = _faces(table, axis, lie)
    depth = axis == "z"
    paper = table.length("paper", default=0.0, least=0, most=1)
    tool, diameter, spindle = ("", None, STILL) if depth else read_touching(table, paper)
    datum = Datum(
        faces=faces,
        tool=tool,
        tool_diameter=diameter,
        spindle=spindle,
        paper=paper,
        uncertainty=table.length("uncertainty", default=TOUCH_UNCERTAINTY, least=0, most=1),
        dial_reads=table.length("dial_reads") if table.has("dial_reads") else None,
    )
    table.no_more()
    return datum


def _faces(table: Table, axis: AxisName, lie: Lie) -> tuple[Face, ...]:
    """Return the face touched, or the two whose middle is the datum."""
    across = lie.faces(AXIS_NAMES.index(axis))
    if axis != "z" and table.has("middle_of"):
        named = table.words("middle_of", in_order(across), among=FACES)
        if not table.faulty and sorted(named) != sorted(across):
            table.wrong(
                "middle_of", f"{', '.join(named)}", f"name the two faces: {' and '.join(across)}"
            )
        if table.has("face"):
            table.wrong("face", "given beside middle_of", "leave out one of the two")
        return across
    face: Face = table.choice("face", FACES)
    options = (lie.up,) if axis == "z" else across
    if face not in options and not table.faulty:
        table.wrong(
            "face",
            f"the {face} face does not lie {'up' if axis == 'z' else f'across {axis}'} here",
            f"name {' or '.join(options)}",
        )
    return (face,) if face in options else options[:1]
