"""The text face of a sheet: what a person follows at the machine, handle by handle."""

from __future__ import annotations

from pathgen.input.units import Units
from pathgen.moves.plan import Head, HeadCutter
from pathgen.shop.machines import Machine
from pathgen.shop.slides import Way
from postprocessors.dials.faces import figures
from postprocessors.dials.faces.rows import Rows
from postprocessors.dials.faces.words import (
    PLUS,
    TURNED_PLUS,
    WIDTH,
    label,
    side_of,
    wrapped,
)
from postprocessors.dials.faces.working import on_axis
from postprocessors.dials.steps import Dial, FitTouchingStep, Operation, Sheet

RULE = "=" * WIDTH
LINE = "-" * WIDTH
ONE_LINE = "One line is one handle, wound one way to one stop."
BY_DIAL = (
    (
        "0 PASSES: how often the dial's 0 comes to the index line. The 0 on which you stop counts,"
        " the one on which you start does not."
    ),
    (
        "TOTAL: whole turns (t) and divisions from the dial's zero. Turns below zero have a minus,"
        " and divisions count on from the turn."
    ),
)
BY_READOUT = (
    (
        "UNTIL IT SHOWS: wind until the slide's readout shows the figure: there the slide is,"
        " whatever the slack. An overrun in the air is wound back; one in a cut has cut: stop,"
        " measure."
    ),
)
EVERY_LINE = (
    "AT: the same place in the part; lay a rule on the work to catch a lost turn.",
    "CUT: this line cuts metal. All others are in the air.",
    "The machine's own manual, local rules and trained supervision come before this sheet.",
)
OF_LATHE = (
    "x is counted from the axis, z from the faced end, minus towards the chuck.",
    "AT of x: the DIAMETER where the dial shows diameters, else HALF of the diameter.",
)


def write_text(sheet: Sheet, machine: Machine) -> str:
    """Return a sheet as plain text, at most 100 columns wide.

    Args:
        sheet: the sheet.
        machine: the machine it was written for; its title stands at the head.
    """
    lines = _head(sheet, machine)
    rows = Rows(sheet)
    starts = {operation.first: operation for operation in sheet.operations}
    for step in sheet.steps:
        if step.number in starts:
            lines += _opening(starts[step.number], sheet, rows)
        lines += rows.of(step)
    return "\n".join([*(line.rstrip() for line in lines), RULE, ""])


def _head(sheet: Sheet, machine: Machine) -> list[str]:
    """Return the head: part, machine, cutters, dials, how to read a line."""
    head, kind = sheet.head, "TOOLS" if sheet.lathe else "CUTTERS"
    lines = [
        RULE,
        *wrapped(head.title.upper(), WIDTH),
        *wrapped(f"setup: {head.setup}", WIDTH),
        *wrapped(f"machine: {machine.title} ({head.machine}); job: {head.digest}", WIDTH),
        *wrapped(goes_on(sheet.head, sheet.units), WIDTH),
        RULE,
        "",
        *wrapped(f"{kind} TO LAY OUT" + (f", from: {head.crib}" if head.crib else ""), WIDTH),
    ]
    lines += [
        f"  {each.number:>2}  {each.name:30}  {size_of(each, sheet)}" for each in head.cutters
    ]
    lines += _to_touch_off_with(sheet)
    lines += ["", "DIALS"]
    for dial in sheet.dials:
        lines += _about(dial, lathe=sheet.lathe)
    lines += ["", "HOW TO READ A LINE"]
    read = (*how_to_read(sheet), *OF_LATHE) if sheet.lathe else how_to_read(sheet)
    lines += [f"  {line}" for text in read for line in wrapped(text, WIDTH - 2)]
    return [*lines, ""]


def size_of(cutter: HeadCutter, sheet: Sheet) -> str:
    """Return the diameter of a cutter, or the radius of a lathe tool's nose, in words."""
    if not sheet.lathe or cutter.number in on_axis(sheet):
        return figures.both_sizes(cutter.diameter, sheet.units)
    nose = figures.both_sizes(cutter.diameter / 2, sheet.units)
    return f"nose radius {nose}" if cutter.diameter else "sharp corners"


def goes_on(head: Head, units: Units) -> str:
    """Return where work goes on after a stop, and by what was found there; empty if it begins."""
    if not head.begins_at:
        return ""
    said = f"GOES ON AT PASS {head.begins_at}: what the passes before it cut is taken as cut"
    found = "".join(
        f"; {each.quantity} found {figures.size(each.value, units)}" for each in head.found
    )
    return said + found


def how_to_read(sheet: Sheet) -> tuple[str, ...]:
    """Return how a line is read, by the dials and readouts that there are."""
    readouts = [bool(dial.readout) for dial in sheet.dials]
    lost = "A count lost, a handle slipped"
    if any(readouts):
        lost = "A count lost, a handle slipped, a readout switched off or skipping"
    place, cut, manual = EVERY_LINE
    return (
        ONE_LINE,
        *(() if all(readouts) else BY_DIAL),
        *(BY_READOUT if any(readouts) else ()),
        place,
        cut,
        f"{lost}: stop, go back to the datum and prove the zero.",
        manual,
    )


def _to_touch_off_with(sheet: Sheet) -> list[str]:
    """Return a line for each thing that finds the zeros, beside the cutters."""
    return [f"      {name:30}  {what}" for name, what in to_touch_off_with(sheet)]


def to_touch_off_with(sheet: Sheet) -> list[tuple[str, str]]:
    """Return each thing that finds the zeros and is no cutter: its name, and what is to be said."""
    fits = dict.fromkeys(
        (step.name, step.diameter) for step in sheet.steps if isinstance(step, FitTouchingStep)
    )
    cutters = {(cutter.name, cutter.diameter) for cutter in sheet.head.cutters}
    return [
        (name, f"{figures.both_sizes(size, sheet.units)}, to touch off with" if size else "swung")
        for name, size in fits
        if (name, size) not in cutters
    ]


def _about(dial: Dial, *, lathe: bool) -> list[str]:
    """Return the lines on one dial."""
    texts = about_dial(dial, lathe=lathe)
    first, *rest = [line for text in texts for line in wrapped(text, WIDTH - 19)]
    return [f"  {label(dial):17}{first}", *(f"{'':19}{line}" for line in rest)]


def _of_diameters(dial: Dial) -> str:
    """Return what a dial that goes across the axis has to do with diameters, in words."""
    if dial.readout:
        return "" if dial.diameter_reading else ", HALF of what comes off the diameter"
    division = dial.per_turn / dial.divisions
    off = figures.size(2 * division, dial.units)
    if dial.diameter_reading:
        return f": a division takes {off} off the diameter, the slide goes half of that"
    return f", HALF of what comes off the diameter: a division takes {off} off it"


def about_dial(dial: Dial, *, lathe: bool = False) -> tuple[str, str, str]:
    """Return what a turn of a dial is, which way does what, its slack and its side."""
    units = dial.units
    turn = _read_by(dial)
    minus: Way = "anticlockwise" if dial.plus == "clockwise" else "clockwise"
    plus = (TURNED_PLUS if lathe else PLUS)[dial.axis]
    ways = f"{dial.plus} takes the tool {plus}; figures rise {dial.rising}"
    come = dial.plus if dial.side > 0 else minus
    spread = figures.size(dial.slack_spread, units)
    slack = f"slack {figures.size(dial.slack, units)}, give or take {spread};"
    if dial.readout:
        slack += " the readout does not see it, so it is come up to from either side"
    else:
        slack += f" come up {side_of(dial, lathe=lathe).upper()}, {come.upper()}"
    kind = "shows DIAMETER" if dial.diameter_reading else "shows travel"
    if lathe and dial.axis == "x":
        kind += _of_diameters(dial)
    ring = "" if dial.resettable else "; the dial CANNOT be set"
    lock = "" if dial.lock else "; no lock"
    name = f" = {dial.slide}" if label(dial) != dial.slide else ""
    return f"axis {dial.axis}{name}; {turn}; {kind}{ring}{lock}", ways, slack


def _read_by(dial: Dial) -> str:
    """Return what is read: a readout's least step, or what a turn and its divisions are."""
    turn = f"a turn is {figures.size(dial.per_turn, dial.units)}"
    if not dial.readout:
        return f"{turn}, {dial.divisions:g} divisions, read to {dial.judged:g}"
    step = f"{figures.figure(dial, 1)} {dial.units}"
    return f"READOUT on the slide, its least step {step}; {turn}"


def _opening(operation: Operation, sheet: Sheet, rows: Rows) -> list[str]:
    """Return the heading of a group of steps."""
    lines = ["", LINE, f"{numbers_of(sheet)[operation]}{operation.title.upper()}"]
    lines += wrapped(figures_of(operation, sheet), WIDTH)
    if operation.why:
        lines += wrapped(f"why: {operation.why}", WIDTH)
    return [*lines, LINE, rows.heading()]


def figures_of(operation: Operation, sheet: Sheet) -> str:
    """Return the cutter of a group of steps, its speed, feed and cuts; empty without a cutter."""
    if operation.cutter is None:
        return ""
    name = next((each.name for each in sheet.head.cutters if each.number == operation.cutter), "")
    kind = "tool" if sheet.lathe else "cutter"
    said = [f"{kind} {operation.cutter}: {name}", f"{operation.rpm:g} rev/min"]
    if operation.feed:
        said.append(f"feed {figures.short(operation.feed, sheet.units)} a minute")
    if operation.depth_of_cut:
        said.append(f"{figures.short(operation.depth_of_cut, sheet.units)} deep a pass")
    if operation.width_of_cut:
        said.append(f"{figures.short(operation.width_of_cut, sheet.units)} wide")
    return ", ".join(said)


def numbers_of(sheet: Sheet) -> dict[Operation, str]:
    """Return the number that each heading begins with, as the drawing has it; else nothing."""
    numbers: dict[Operation, str] = {}
    passes = sheet.head.passes_before
    for operation in sheet.operations:
        passes += operation.cutter is not None
        numbers[operation] = f"{passes}. " if operation.cutter is not None else ""
    return numbers
