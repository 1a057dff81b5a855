"""Work on a rotary table: the table's bore gives x and y, and faces are laid true by it."""

from __future__ import annotations

import math
from dataclasses import replace

from pathgen.input.getters import Table
from pathgen.job.areas import Outside, Pocket, Round
from pathgen.job.contour import Bend, Contour, Spot
from pathgen.job.job import Datum, Feature, JobSetup, OnTable, Picked
from pathgen.job.reading.datums import SWUNG_UNCERTAINTY
from pathgen.job.spheres import Sphere

ON_TABLE = "rotary table"
BORE = "bore of the rotary table"
SAME = 1e-6  # mm: places nearer than this are one

Datums = tuple[Datum, Datum, Datum]


def laid_on(table: Table, datums: Datums, centre: Spot | None) -> tuple[Datums, OnTable | None]:
    """Return a setup's datums as they are found on a rotary table, and how the work lies there.

    The slides' zeros come from the table's bore, and the work is laid by its faces: what both leave
    open adds up.

    Args:
        table: the setup.
        datums: of x, y and z, as the job names them.
        centre: the place of the work on the table's axis, mm; None without such a table.
    """
    if centre is None:
        return datums, None
    x, y, z = datums
    for name, datum in (("x", x), ("y", y)):
        if datum.picked is not None or len(datum.faces) != 1:
            table.wrong(
                f"datum.{name}",
                "no single face, by which work is laid on a rotary table",
                'name one: face = "left", or "front"',
            )
    on_table = OnTable(centre=centre, laid=(x, y))
    return (_swung(x, centre, 0), _swung(y, centre, 1), z), on_table


def _swung(datum: Datum, centre: Spot, axis: int) -> Datum:
    """Return the datum of an axis as the table's bore gives it."""
    return replace(
        datum,
        tool="indicator",
        tool_diameter=0.0,
        paper=0.0,
        spindle="stopped",
        uncertainty=SWUNG_UNCERTAINTY + datum.uncertainty,
        picked=Picked(
            feature=BORE, half=0.0, beside=centre[1 - axis], indicator=True, at=centre[axis]
        ),
    )


def turned_radius(setup: JobSetup, area: Feature) -> float | None:
    """Return the nominal radius of an area's wall that turning the work cuts, mm; else None.

    That is a round pocket without islands, or all that lies round a disc, about the table's axis;
    of a dish or dome there it is half of the chord.
    """
    if setup.table is None:
        return None
    centre = setup.table.centre
    match area:
        case Pocket(shape=Round(diameter=size), islands=()):
            lies = math.dist((area.x.nominal, area.y.nominal), centre) < SAME
            return size.nominal / 2 if lies else None
        case Outside(cleared=True, bridges=()):
            return _circle_about(area.contour, centre)
        case Sphere():
            return area.chord.nominal / 2 if math.dist(area.at, centre) < SAME else None
        case _:
            return None


def _circle_about(contour: Contour, centre: Spot) -> float | None:
    """Return the radius of a contour that is a circle about a place, mm; else None."""
    bends = [each for each in contour.segments if isinstance(each, Bend)]
    radius = math.dist(contour.start, centre)
    if len(bends) < len(contour.segments):
        return None
    if any(math.dist(bend.centre, centre) > SAME for bend in bends):
        return None
    return radius
