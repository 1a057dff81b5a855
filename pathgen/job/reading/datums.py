"""Reading where a setup has its zeros: at faces, or in what is gone before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pathgen.input.getters import Table
from pathgen.input.where import nearest
from pathgen.job.frame import (
    AXIS_NAMES,
    FACES,
    OUTWARD,
    AxisName,
    Face,
    Frame,
    Lie,
    Point,
    in_order,
)
from pathgen.job.gone import Sunk
from pathgen.job.job import Datum, Picked
from pathgen.job.picking import Middle, middle_of
from pathgen.job.stock import Stock
from pathgen.job.touching import SpindleAtTouch, read_touching

WAYS_OF_PICKING = ("touching", "indicator")
STILL: SpindleAtTouch = "stopped"
SWUNG_UNCERTAINTY = 0.01  # mm, half width, of an indicator swung (common practice, no source)
TOUCH_UNCERTAINTY = 0.02  # mm, half width, of a touch through paper (common practice, no source)


def read_datums(
    table: Table, stock: Stock, lie: Lie, gone: Sequence[Sunk]
) -> tuple[tuple[Datum, Datum, Datum], Point]:
    """Read ``[setup.datum]``: the datums of x, y and z, and the origin in the blank's axes, mm.

    Args:
        table: the datums.
        stock: the blank as it comes to the setup.
        lie: how it lies there.
        gone: what may be picked up: cut before, or there already and placed from a corner.
    """
    tables = [table.table(name) for name in AXIS_NAMES]
    middles = [_middle(each, axis, lie, gone) for axis, each in enumerate(tables)]
    datums = [_datum(each, name, lie) for each, name in zip(tables, AXIS_NAMES, strict=True)]
    table.no_more()
    origin = [0.0, 0.0, 0.0]
    for axis, (datum, middle) in enumerate(zip(datums, middles, strict=True)):
        places = [stock.box.end(OUTWARD[face]) for face in datum.faces]
        way = lie.ways[axis].axis
        origin[way] = sum(places) / len(places) if middle is None else middle[1].at[way]
    where = (origin[0], origin[1], origin[2])
    frame = Frame(lie, where)
    for each, datum, middle in zip(tables, datums, middles, strict=True):
        widest = (datum.tool_diameter or 0.0) + 2 * datum.paper
        if middle is not None and not table.faulty and widest >= 2 * middle[1].half:
            each.wrong(
                "tool_diameter",
                f"{table.say(widest)} in {middle[0]!r}, {table.say(2 * middle[1].half)} wide",
                "touch with something narrower",
            )
    x, y, z = (
        datum if middle is None else replace(datum, picked=_picked(middle, axis, frame))
        for axis, (datum, middle) in enumerate(zip(datums, middles, strict=True))
    )
    if _swung(x) != _swung(y):
        key = "x" if _swung(x) else "y"
        table.wrong(
            key, "swung by an indicator alone", "find x and y so, by one, in the same feature"
        )
    return (x, y, z), where


def _swung(datum: Datum) -> tuple[str, str] | None:
    """Return in what which indicator is swung, None where none is."""
    picked = datum.picked
    return (picked.feature, datum.tool) if picked is not None and picked.indicator else None


def _middle(
    table: Table, axis: int, lie: Lie, gone: Sequence[Sunk]
) -> tuple[str, Middle, bool] | None:
    """Read what is picked up for x or y: its name, its middle, and whether by an indicator."""
    if axis == 2 or not _picks(table):
        return None
    name = table.text("middle_of")
    number = table.whole("hole", least=1) if table.has("hole") else None
    indicator = table.choice("by", WAYS_OF_PICKING, default="touching") == "indicator"
    if table.has("face"):
        table.wrong("face", "given beside middle_of", "leave out one of the two")
    named = [each for each in gone if each.feature.name == name]
    if len(named) != 1:
        known = [each.feature.name for each in gone]
        what = f"{len(named)} features called {name!r}" if named else f"nothing called {name!r}"
        right = nearest(name, known) or (
            "name what was cut in an earlier setup, or is there already and placed from a corner "
            '(there = true, up = "top")'
        )
        table.wrong("middle_of", f"{what} to pick up", "name them apart" if named else right)
        return None
    try:
        middle = middle_of(named[0], lie, axis, number)
    except ValueError as error:
        wrong, _, right = str(error).partition("; ")
        table.wrong("middle_of", wrong, right or "name another")
        return None
    return name if number is None else f"hole {number} of {name}", middle, indicator


def _picks(table: Table) -> bool:
    """Tell whether a zero is picked up: the middle of what has a name, not of two faces."""
    return table.has("middle_of") and not table.is_list("middle_of")


def _picked(middle: tuple[str, Middle, bool], axis: int, frame: Frame) -> Picked:
    name, found, indicator = middle
    beside = frame.into(found.at)[1 - axis]
    return Picked(feature=name, half=found.half, beside=beside, indicator=indicator)


def _datum(table: Table, axis: AxisName, lie: Lie) -> Datum:
    """Read the datum of one axis."""
    picks = axis != "z" and _picks(table)
    swung = picks and table.says("by", "indicator")
    faces = lie.faces(AXIS_NAMES.index(axis)) if picks else _faces(table, axis, lie)
    paper = table.length("paper", default=0.0, least=0, most=1)
    tool, diameter, spindle = _what_touches(table, axis, paper, swung=swung)
    usual = SWUNG_UNCERTAINTY if swung else TOUCH_UNCERTAINTY
    datum = Datum(
        faces=faces,
        tool=tool,
        tool_diameter=diameter,
        spindle=spindle,
        paper=paper,
        uncertainty=table.length("uncertainty", default=usual, least=0, most=1),
        dial_reads=table.length("dial_reads") if table.has("dial_reads") else None,
    )
    table.no_more()
    return datum


def _what_touches(
    table: Table, axis: AxisName, paper: float, *, swung: bool
) -> tuple[str, float | None, SpindleAtTouch]:
    """Read what finds a zero, its diameter, and what the spindle does meanwhile; mm."""
    if axis == "z":
        return "", None, STILL
    if not swung:
        return read_touching(table, paper)
    for key in ("tool_diameter", "paper", "spindle"):
        if table.has(key):
            table.wrong(key, "given for an indicator, which is swung by hand", "leave it out")
    return table.text("tool", default="indicator"), 0.0, STILL


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
