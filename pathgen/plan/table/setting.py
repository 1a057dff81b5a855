"""Setting a rotary table up under the spindle, and laying the work true on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pathgen.input.units import Units, spoken
from pathgen.input.where import Refusal
from pathgen.job.areas import Outside
from pathgen.job.frame import AXIS_NAMES, Box
from pathgen.job.job import Datum, Feature, JobSetup
from pathgen.job.on_table import turned_radius
from pathgen.job.spheres import Sphere
from pathgen.moves.actions import FitTouching, Note
from pathgen.moves.moves import How, Rapid, Term, TurnWork
from pathgen.moves.plan import Item
from pathgen.shop.machines import Machine
from pathgen.shop.rotary import WHOLE_DEG, RotaryTable

NAN = float("nan")
TURNED_UNDER_IT = (
    "The work is turned under a running cutter: one hand on the table's handle, the other by the "
    "stop, nothing else near. See first, spindle stopped, that clamps and work go once round clear "
    "of the cutter and of the machine."
)
NO_LOCK = (
    "The rotary table has no lock: while the cutter goes in or out it may be pushed round by its "
    "slack. Hold its handle, and feed in slowly."
)


def rotary_of(setup: JobSetup, machine: Machine) -> RotaryTable:
    """Return the machine's rotary table.

    Raises:
        Refusal: it has none.
    """
    if machine.rotary is None:
        raise Refusal(
            setup.where.at("hold.how"),
            f"{machine.title} has no rotary table",
            "hold the work another way, or describe the table in the machine's file as [rotary]"
            if machine.manual
            else "hold the work another way: this machine goes along arcs by itself",
        )
    return machine.rotary


def way_of(area: Feature | None) -> str:
    """Return which way the work is turned, seen from above: the cutter goes against its own turn.

    Within the wall of a pocket or a dish the cutter goes clockwise in the work, so the work
    anticlockwise under it; round a disc or a dome the other way.
    """
    outside = isinstance(area, Outside) or (isinstance(area, Sphere) and area.form == "dome")
    return "clockwise" if outside else "anticlockwise"


def once_round(area: Feature, rotary: RotaryTable, rate: float, what: str) -> TurnWork:
    """Return one whole turn of the work under the cutter, no faster than a hand does it.

    Args:
        area: what is cut.
        rotary: the table.
        rate: as the cutter would have it, degrees a minute.
        what: happens then.
    """
    lock = ", its lock freed for it and nipped after it" if rotary.lock else ""
    by = (
        f"the {rotary.name}: {rotary.turns:g} turns of {rotary.turned_by}, from its 0 to its 0"
        f"{lock}"
    )
    end = WHOLE_DEG if way_of(area) == "anticlockwise" else -WHOLE_DEG
    return TurnWork(by, 0.0, end, min(rate, rotary.most_rate), how=How(what=what))


def turned_back(setup: JobSetup, area: Feature, rotary: RotaryTable) -> tuple[Note, ...]:
    """Return how the table's slack is taken out the other way, if the feature before left it so."""
    turned = [each for each in setup.features if turned_radius(setup, each) is not None]
    row = turned.index(area)
    if row == 0 or way_of(turned[row - 1]) == way_of(area) or not rotary.slack_min:
        return ()
    divisions = rotary.slack_min / rotary.division_min
    return (
        Note(
            text=f"The work is turned {way_of(area)} from here on. The {rotary.name} held where it "
            f"stands, wind {rotary.turned_by} that way through its slack alone, "
            f"{rotary.slack_min:g} minutes of arc ({divisions:g} divisions), and set its dial to "
            "0 there: the work has not turned."
        ),
    )


def table_lines(setup: JobSetup, rotary: RotaryTable) -> tuple[str, ...]:
    """Return how the table comes to stand under the spindle, before the work is on it."""
    first = next((f for f in setup.features if turned_radius(setup, f) is not None), None)
    way = way_of(first)
    taken_out = (
        f"By {rotary.turned_by} turn it {way}, seen from above, until its slack, "
        f"{rotary.slack_min:g} minutes of arc, is out: that is how the work is turned later. Set "
        f"the handle's dial to 0{' and nip the lock' if rotary.lock else ''}."
    )
    return (
        f"Bolt the {rotary.name} to the mill's table, its face up and clean, without the work.",
        taken_out,
        "Its bore, or a plug that fits it, is what the indicator is swung by.",
    )


def laid_true(
    setup: JobSetup, box: Box, rpm: float, held: Sequence[Item], units: Units
) -> Iterator[Item]:
    """Yield how the work is laid so that its faces lie where they should, over the table's axis.

    Args:
        setup: with where it is to lie.
        box: the blank's, mm.
        rpm: of a finder that turns.
        held: how it is clamped: once the spindle is drawn up for what touches it.
        units: of lengths in words.
    """
    table = setup.table
    assert table is not None
    fitted = ""
    for axis, datum in zip((0, 1), table.laid, strict=True):
        if datum.tool != fitted:
            yield FitTouching(name=datum.tool, diameter=datum.tool_diameter or 0.0)
            yield from () if fitted else held
            fitted = datum.tool
        name, face = AXIS_NAMES[axis], datum.faces[0]
        towards = setup.lie.towards(face)
        called, place = setup.lie.called(face), box.end(setup.lie.side(face))
        terms = _terms(datum, called, place, -towards)
        at = sum(term.value for term in terms)
        how = How(makes="size", what=f"where the {datum.tool} meets the {called}")
        how = replace(how, sums=((name, terms),))
        x, y = (at, NAN) if axis == 0 else (NAN, at)
        yield Rapid(x, y, NAN, how)
        state = f"at {rpm:g} rev/min" if datum.spindle == "turning" else "stopped"
        paper = f", paper of {spoken(datum.paper, units)} between" if datum.paper else ""
        yield Note(
            text=f"The work on the table, loosely clamped; the {datum.tool} in the spindle, "
            f"{state}. Lower it by eye beside the {called} and tap the work up to it until it just "
            f"touches{paper}: that face then lies at {name} {spoken(place + 0.0, units)}. See with "
            f"an indicator that the face lies along {AXIS_NAMES[1 - axis]}; then raise the "
            f"{datum.tool} clear, and stop the spindle."
        )
    yield Note(
        text="Tighten the clamps and try both faces once more: a work that moved makes the round "
        "wall lie off its place, though as round as before."
    )


def _terms(datum: Datum, called: str, place: float, sign: int) -> tuple[Term, ...]:
    """Return where the tool's axis stands as it touches a face that lies where it should."""
    terms = [Term(called, place)]
    terms.append(Term(f"half of the {datum.tool}", sign * (datum.tool_diameter or 0.0) / 2))
    if datum.paper:
        terms.append(Term("paper", sign * datum.paper))
    return tuple(terms)
