"""Reading a job of a flat piece that is turned on the faceplate."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pathgen.input.getters import Table
from pathgen.input.naming import guard_name
from pathgen.job.faceplate import (
    CLEANED,
    LAID,
    RUN_OUT,
    Counterweights,
    FaceplateHold,
    Flat,
    Segment,
)
from pathgen.job.read_material import read_material
from pathgen.job.sizes import read_size
from pathgen.job.turned import RoundBlank, TurnedSetup

HOWS = ("faceplate",)
KINDS = ("segment",)
WAYS = ("out", "in")  # towards the cut: of a rounded end, and of a hollowed one
GAP = 1.5  # mm between the tool, where it runs out, and the plate, at least
BESIDE = 2.0  # mm from the cut to packing and clamps, at least
LEFT_BEHIND = 10.0  # mm of a piece behind its hollow, at least, for its clamps: no source
LEAST_CUT = 2 * LAID + CLEANED


def read_flat_blank(table: Table) -> tuple[Flat, str]:
    """Read ``[blank]`` of form flat, and its material; of use only if nothing was wrong."""
    flat = Flat(
        length=table.length("length", above=0),
        width=table.length("width", above=0),
        thickness=table.length("thickness", above=0),
    )
    material = read_material(table)
    table.no_more()
    return flat, material


def swept_round(flat: Flat, material: str, setup: TurnedSetup | None) -> RoundBlank:
    """Return the disc that a piece sweeps as it goes round, out to its corners."""
    hold = setup.hold if setup and isinstance(setup.hold, FaceplateHold) else None
    diameter = 2 * (flat.furthest(flat.length) if hold is None else hold.furthest(flat))
    return RoundBlank(diameter=diameter, length=flat.thickness, material=material)


def read_faceplate_setup(root: Table, flat: Flat, tolerance_class: str) -> TurnedSetup | None:
    """Read the one ``[[setup]]`` of a flat piece on the faceplate; None if it is wrong."""
    tables = root.tables("setup", least=1)
    if len(tables) > 1:
        root.wrong("setup", f"{len(tables)} setups on the faceplate", "give one")
    read = [_setup(table, flat, tolerance_class) for table in tables]
    return read[0] if read else None


def _setup(table: Table, flat: Flat, tolerance_class: str) -> TurnedSetup | None:
    name = table.text("name")
    guard_name(table, "name", name)
    machine = table.text("machine")
    hold_table = table.table("hold")
    tables = table.tables("feature", least=1)
    if len(tables) > 1:
        table.wrong("feature", f"{len(tables)} features on the faceplate", "give one segment")
    hollows = [each.flag("hollow", default=False) for each in tables]
    hold = _hold(hold_table, flat, hollow=any(hollows[:1]))
    segments = [
        _segment(each, flat, tolerance_class, hollow=hollow)
        for each, hollow in zip(tables, hollows, strict=True)
    ]
    table.no_more()
    if table.faulty or segments[0] is None:
        return None
    _guard(hold_table, tables[0], hold, flat, segments[0])
    if table.faulty:
        return None
    return TurnedSetup(
        name=name,
        machine=machine,
        hold=hold,
        facing=0.0,
        features=(segments[0],),
        where=table.where(),
    )


def _hold(table: Table, flat: Flat, *, hollow: bool) -> FaceplateHold:
    """Read ``[setup.hold]``."""
    way = WAYS[hollow]
    table.choice("how", HOWS)
    hold = FaceplateHold(
        end_at=table.length("end_at", above=0),
        packing=table.length("packing", above=0),
        packing_to=table.length(f"packing_{way}", above=0),
        clamps_to=table.length(f"clamps_{way}", above=0),
        clamps_high=table.length("clamps_high", above=0),
        dummy=table.length("dummy", above=0),
        counter=_counter(table.optional_table("counterweight")),
        hollow=hollow,
        stick_out=flat.thickness,
        lines=table.texts("lines", default=()),
    )
    table.no_more()
    return hold


def _counter(table: Table | None) -> Counterweights | None:
    """Read where counterweights are bolted on, if they are."""
    if table is None:
        return None
    counter = Counterweights(
        at=table.length("at", above=0),
        out=table.length("out", above=0),
        high=table.length("high", above=0),
    )
    table.no_more()
    if not table.faulty and counter.out <= counter.at:
        table.wrong(
            "out",
            f"{table.say(counter.out)}, their middle {table.say(counter.at)} from the axis",
            "give from the axis to the outermost of the weights and their studs",
        )
    return counter


def _segment(table: Table, flat: Flat, tolerance_class: str, *, hollow: bool) -> Segment | None:
    """Read one ``[[setup.feature]]``."""
    table.choice("kind", KINDS)
    name = table.text("name")
    radius = read_size(table, "radius", table.length("radius", above=0), tolerance_class)
    table.no_more()
    if table.faulty:
        return None
    return Segment(
        name=name,
        radius=radius,
        thickness=flat.thickness,
        width=flat.width,
        hollow=hollow,
        where=table.where(),
    )


def _guard(hold_table: Table, table: Table, hold: FaceplateHold, flat: Flat, of: Segment) -> None:
    """Record what does not lie on the plate, or that the tool would come to."""
    if of.radius.low <= flat.width / 2:
        other = "bore it in a four-jaw chuck" if of.hollow else "turn such an end in a chuck"
        table.wrong(
            "radius",
            f"{table.say(of.radius.nominal)} on a piece {table.say(flat.width)} wide",
            f"{other}, or mill it on a rotary table",
        )
    elif of.hollow:
        _guard_hollowed_end(hold_table, hold, flat, of)
    else:
        _guard_rounded_end(hold_table, hold, flat, of)
    _guard_beside(hold_table, hold, of)


def _guard_rounded_end(table: Table, hold: FaceplateHold, flat: Flat, of: Segment) -> None:
    """Record an end that is not cleaned all over, or pieces that lie on one another."""
    stands = hold.end_at - of.radius.high
    if stands < LEAST_CUT:
        table.wrong(
            "end_at",
            f"{table.say(hold.end_at)}: the sawn end stands {table.say(stands)} beyond"
            f" the radius of {table.say(of.radius.nominal)}",
            f"let it stand {table.say(LEAST_CUT)} or more, so that all of it is cleaned",
        )
    if flat.length + hold.dummy > 2 * hold.end_at:
        table.wrong(
            "dummy",
            f"{table.say(flat.length)} of work and {table.say(hold.dummy)} opposite do"
            f" not lie within {table.say(2 * hold.end_at)}",
            f"give {table.say(max(2 * hold.end_at - flat.length, 0.0))} or less",
        )


def _guard_hollowed_end(table: Table, hold: FaceplateHold, flat: Flat, of: Segment) -> None:
    """Record an end whose corners are not cleaned, or through whose piece the cut breaks."""
    corners, reached = flat.furthest(hold.end_at), of.radius.low - LEAST_CUT
    if corners > reached:
        most = math.sqrt(max(reached**2 - (flat.width / 2) ** 2, 0.0))
        table.wrong(
            "end_at",
            f"{table.say(hold.end_at)}: the corners of the sawn end are {table.say(corners)} from"
            f" the axis, the hollow has a radius of {table.say(of.radius.nominal)}",
            f"let it lie {table.say(math.floor(most * 10) / 10)} or less from the axis, so that"
            " all of it is cleaned",
        )
    least = of.radius.high + LEFT_BEHIND - hold.end_at
    for what, long in (("work", flat.length), ("piece opposite", hold.dummy)):
        if long < least:
            table.wrong(
                "end_at" if what == "work" else "dummy",
                f"the {what} is {table.say(long)} long, and the hollow goes"
                f" {table.say(of.radius.high - hold.end_at)} into it",
                f"{table.say(least)} or more of it leaves room to clamp",
            )


def _guard_beside(table: Table, hold: FaceplateHold, of: Segment) -> None:
    """Record packing and clamps that the tool would come to."""
    least = RUN_OUT + GAP
    if hold.packing < least:
        table.wrong(
            "packing",
            f"{table.say(hold.packing)}: the tool runs out past the back of the work",
            f"give {table.say(least)} or more",
        )
    for key, at in _reaching(hold):
        off = at - of.radius.high if of.hollow else of.radius.low - at
        if off < BESIDE:
            table.wrong(
                key,
                f"{table.say(at)} from the axis, the cut goes round at"
                f" {table.say(of.radius.nominal)}",
                f"keep it {table.say(BESIDE)} or more {'outside' if of.hollow else 'inside'} that",
            )


def _reaching(hold: FaceplateHold) -> Iterator[tuple[str, float]]:
    """Yield how far packing and clamps reach towards the cut, with their keys."""
    way = WAYS[hold.hollow]
    yield f"packing_{way}", hold.packing_to
    yield f"clamps_{way}", hold.clamps_to
