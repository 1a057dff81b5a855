"""Reading how a setup is held and where its zeros are."""

from __future__ import annotations

from typing import Literal

from pathgen.input.getters import Table
from pathgen.job.job import Blank, Datum, Face, Hold, Keepout, Point

FACES: dict[str, tuple[Face, ...]] = {
    "x": ("left", "right"),
    "y": ("front", "back"),
    "z": ("top",),
}
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


def read_datums(table: Table, blank: Blank) -> tuple[tuple[Datum, Datum, Datum], Point]:
    """Read ``[setup.datum]``: the datums of x, y and z, and the origin in the blank's axes, mm."""
    x = _datum(table.table("x"), "x")
    y = _datum(table.table("y"), "y")
    z = _datum(table.table("z"), "z")
    table.no_more()
    origin = (
        _place(x, {"left": 0.0, "right": blank.length}),
        _place(y, {"front": 0.0, "back": blank.width}),
        0.0,
    )
    return (x, y, z), origin


def _place(datum: Datum, faces: dict[str, float]) -> float:
    """Return where a datum lies, from the blank's own corner, mm."""
    return sum(faces.get(face, 0.0) for face in datum.faces) / len(datum.faces)


def _datum(table: Table, axis: Literal["x", "y", "z"]) -> Datum:
    """Read the datum of one axis."""
    faces = _faces(table, axis)
    depth = axis == "z"
    tool = "" if depth else table.text("tool", default="the cutter in the spindle")
    diameter = None if depth else table.length("tool_diameter", above=0)
    datum = Datum(
        faces=faces,
        tool=tool,
        tool_diameter=diameter,
        paper=table.length("paper", default=0.0, least=0, most=1),
        uncertainty=table.length("uncertainty", default=TOUCH_UNCERTAINTY, least=0, most=1),
        dial_reads=table.length("dial_reads") if table.has("dial_reads") else None,
    )
    table.no_more()
    return datum


def _faces(table: Table, axis: str) -> tuple[Face, ...]:
    """Return the face touched, or the two whose middle is the datum."""
    options = FACES[axis]
    if axis != "z" and table.has("middle_of"):
        named = table.words("middle_of", options)
        if not table.faulty and sorted(named) != sorted(options):
            table.wrong(
                "middle_of", f"{', '.join(named)}", f"name the two faces: {' and '.join(options)}"
            )
        if table.has("face"):
            table.wrong("face", "given beside middle_of", "leave out one of the two")
        return options
    return (table.choice("face", options),)
