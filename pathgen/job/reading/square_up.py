"""Reading ``[square_up]``: a block squared up on all six sides before anything else is cut."""

from __future__ import annotations

from pathgen.input.getters import Table
from pathgen.job.job import Blank, Datum, JobSetup
from pathgen.job.reading.areas import read_ways
from pathgen.job.reading.datums import TOUCH_UNCERTAINTY
from pathgen.job.sizes import Size, general_size, read_size
from pathgen.job.square_up import (
    TURNS,
    Jaws,
    Sizes,
    SquareUp,
    facing_of,
    frame_of,
    gripped,
    squaring_setups,
)
from pathgen.job.stock import Stock, stock_after
from pathgen.job.touching import read_touching

KEYS = ("length", "width", "thickness")
LEAST_OFF = 0.2  # mm of each face that a rough one is cleaned up by (common practice, no source)
LEAST_HELD = 6.0  # mm in the jaws (common practice, no source)
NOTHING = Size(nominal=1.0, low=1.0, high=1.0, basis="none")


def read_square_up(table: Table, blank: Blank, tolerance_class: str) -> tuple[JobSetup, ...]:
    """Return the six setups that square up a block; none when anything was wrong."""
    machine = table.text("machine")
    sizes = _sizes(table, blank, tolerance_class)
    at_most = table.optional_length("at_most", above=0)
    ways = read_ways(table)
    jaws = _jaws(table.table("jaws"))
    round_bar = table.length("round_bar", above=0)
    touch, depth = _touch(table.table("touch"))
    table.no_more()
    if table.faulty:
        return ()
    wanted = SquareUp(
        machine=machine,
        units=table.units,
        sizes=sizes,
        leaves=_leaves(blank, sizes, tolerance_class),
        at_most=at_most,
        ways=ways,
        jaws=jaws,
        round_bar=round_bar,
        touch=touch,
        depth=depth,
        where=table.where(),
    )
    stock = Stock(box=blank.box)
    return tuple(squaring_setups(wanted, stock)) if _can_be_held(table, wanted, stock) else ()


def _sizes(table: Table, blank: Blank, tolerance_class: str) -> Sizes:
    """Read the block's sizes, each less than the blank has."""
    found = []
    for key, rough in zip(KEYS, (blank.length, blank.width, blank.thickness), strict=True):
        wanted = table.length(key, above=0)
        size = read_size(table, key, wanted, tolerance_class)
        if not table.faulty and rough - size.middle < 2 * LEAST_OFF:
            table.wrong(
                key,
                f"{table.say(wanted)} of a blank of {table.say(rough)}",
                f"the blank has to have {table.say(LEAST_OFF)} to come off each face, at least",
            )
        found.append(size)
    return found[0], found[1], found[2]


def _leaves(blank: Blank, sizes: Sizes, tolerance_class: str) -> Sizes:
    """Return what the first face of each pair leaves: half of what is too much is off."""
    rough = (blank.length, blank.width, blank.thickness)
    left = [(whole + size.middle) / 2 for whole, size in zip(rough, sizes, strict=True)]
    x, y, z = (_loosely(each, tolerance_class) for each in left)
    return x, y, z


def _loosely(size: float, tolerance_class: str) -> Size:
    """Return a size that is only on the way to another."""
    try:
        return general_size(size, tolerance_class)
    except ValueError:  # beyond the tables: a face that is but cleaned up needs none of them
        return Size(nominal=size, low=size - 1.0, high=size + 1.0, basis="on the way")


def _jaws(table: Table) -> Jaws:
    """Read the jaws of the vice."""
    jaws = Jaws(
        height=table.length("height", above=0),
        width=table.length("width", above=0),
        opening=table.length("opening", above=0),
    )
    table.no_more()
    return jaws


def _touch(table: Table) -> tuple[Datum, Datum]:
    """Read how zeros are found: of x and y beside, of z on the face that is cut."""
    paper = table.length("paper", default=0.0, least=0, most=1)
    depth_paper = table.length("depth_paper", default=0.0, least=0, most=1)
    tool, diameter, spindle = read_touching(table, paper)
    off = table.length("uncertainty", default=TOUCH_UNCERTAINTY, least=0, most=1)
    table.no_more()
    beside = Datum(
        faces=(),
        tool=tool,
        tool_diameter=diameter,
        paper=paper,
        uncertainty=off,
        dial_reads=None,
        spindle=spindle,
    )
    over = Datum(
        faces=(),
        tool="",
        tool_diameter=None,
        paper=depth_paper,
        uncertainty=off,
        dial_reads=None,
    )
    return beside, over


def _can_be_held(table: Table, wanted: SquareUp, stock: Stock) -> bool:
    """Return whether the vice takes the work all six ways; record where it does not."""
    held_so = True
    for turn in TURNS:
        frame = frame_of(stock, turn.lie)
        box = frame.box_into(stock.box)
        facing = facing_of(wanted, box, turn)
        across = box.high[1] - box.low[1] + (wanted.round_bar if turn.bar else 0.0)
        _, held = gripped(wanted, box, turn, facing.off)
        where = f"with the {turn.lie.up} face up"
        if across > wanted.jaws.opening:
            bar = " and the round bar" if turn.bar else ""
            table.wrong(
                "jaws",
                f"{where}, {table.say(across)} of work{bar} in jaws that open "
                f"{table.say(wanted.jaws.opening)}",
                "take a larger vice, or clamp it to an angle plate in setups of your own",
            )
            held_so = False
        if held < LEAST_HELD:
            table.wrong(
                "jaws",
                f"{where}, {table.say(max(held, 0.0))} of the work in the jaws",
                f"at least {table.say(LEAST_HELD)} are to be held: take less off, or clamp a thin "
                "piece down in setups of your own",
            )
            held_so = False
        stock = stock_after(stock, (facing,), frame, turn.lie.up)
    return held_so
