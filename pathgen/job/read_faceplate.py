"""Reading a job of a flat piece that is turned on the faceplate."""

from __future__ import annotations

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
GAP = 1.5  # mm between the tool, where it runs out, and the plate, at least
BESIDE = 2.0  # mm from the cut to packing and clamps, at least


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
    hold = None if setup is None else setup.hold
    end_at = hold.end_at if isinstance(hold, FaceplateHold) else flat.length
    diameter = 2 * flat.furthest(end_at)
    return RoundBlank(diameter=diameter, length=flat.thickness, material=material)


def read_faceplate_setup(root: Table, flat: Flat, tolerance_class: str) -> TurnedSetup | None:
    """Read the one ``[[setup]]`` of a flat piece on the faceplate; None if it is wrong."""
    tables = root.tables("setup", least=1)
    if len(tables) > 1:
        root.wrong("setup", f"{len(tables)} setups on the faceplate", "give one")
    for table in tables[:1]:
        return _setup(table, flat, tolerance_class)
    return None


def _setup(table: Table, flat: Flat, tolerance_class: str) -> TurnedSetup | None:
    name = table.text("name")
    guard_name(table, "name", name)
    machine = table.text("machine")
    hold_table = table.table("hold")
    hold = _hold(hold_table, flat)
    tables = table.tables("feature", least=1)
    if len(tables) > 1:
        table.wrong("feature", f"{len(tables)} features on the faceplate", "give one segment")
    segments = [_segment(each, flat, tolerance_class) for each in tables]
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


def _hold(table: Table, flat: Flat) -> FaceplateHold:
    """Read ``[setup.hold]``."""
    table.choice("how", HOWS)
    hold = FaceplateHold(
        end_at=table.length("end_at", above=0),
        packing=table.length("packing", above=0),
        packing_out=table.length("packing_out", above=0),
        clamps_out=table.length("clamps_out", above=0),
        clamps_high=table.length("clamps_high", above=0),
        dummy=table.length("dummy", above=0),
        counter=_counter(table.optional_table("counterweight")),
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


def _segment(table: Table, flat: Flat, tolerance_class: str) -> Segment | None:
    """Read one ``[[setup.feature]]``."""
    table.choice("kind", KINDS)
    name = table.text("name")
    radius = read_size(table, "radius", table.length("radius", above=0), tolerance_class)
    table.no_more()
    if table.faulty:
        return None
    return Segment(name=name, radius=radius, thickness=flat.thickness, where=table.where())


def _guard(hold_table: Table, table: Table, hold: FaceplateHold, flat: Flat, of: Segment) -> None:
    """Record what does not lie on the plate, or that the tool would come to."""
    stands = hold.end_at - of.radius.high
    least = 2 * LAID + CLEANED
    if stands < least:
        hold_table.wrong(
            "end_at",
            f"{hold_table.say(hold.end_at)}: the sawn end stands {hold_table.say(stands)} beyond"
            f" the radius of {hold_table.say(of.radius.nominal)}",
            f"let it stand {hold_table.say(least)} or more, so that all of it is cleaned",
        )
    if of.radius.low <= flat.width / 2:
        table.wrong(
            "radius",
            f"{table.say(of.radius.nominal)} on a piece {table.say(flat.width)} wide",
            "turn such an end in a chuck, or mill it on a rotary table",
        )
    if flat.length + hold.dummy > 2 * hold.end_at:
        hold_table.wrong(
            "dummy",
            f"{hold_table.say(flat.length)} of work and {hold_table.say(hold.dummy)} opposite do"
            f" not lie within {hold_table.say(2 * hold.end_at)}",
            f"give {hold_table.say(max(2 * hold.end_at - flat.length, 0.0))} or less",
        )
    least = RUN_OUT + GAP
    if hold.packing < least:
        hold_table.wrong(
            "packing",
            f"{hold_table.say(hold.packing)}: the tool runs out past the back of the work",
            f"give {hold_table.say(least)} or more",
        )
    for key, out in (("packing_out", hold.packing_out), ("clamps_out", hold.clamps_out)):
        if out > of.radius.low - BESIDE:
            hold_table.wrong(
                key,
                f"{hold_table.say(out)} from the axis, the cut goes round at"
                f" {hold_table.say(of.radius.nominal)}",
                f"keep it {hold_table.say(BESIDE)} or more inside that",
            )
