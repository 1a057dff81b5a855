"""What was measured beside what was planned, log by log; and what each machine really does."""

from __future__ import annotations

import statistics
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from pathgen.commands.following.log import Entry, runs_in
from pathgen.input.units import Units
from pathgen.input.where import JobError, Where
from postprocessors.dials.faces import figures

HEADINGS = ("when", "sheet", "machine", "size", "planned", "found", "off")


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One size that was found, mm."""

    at: str
    sheet: str
    machine: str
    name: str
    what: str
    expected: float
    found: float
    units: Units
    of_a_dial: bool  # the total of a dial at a touch: how far apart two faces are

    @property
    def off(self) -> float:
        """Return by how much it is larger than planned, mm."""
        return self.found - self.expected


def logs_in(places: Iterable[Path], suffix: str) -> list[Path]:
    """Return the logs at some places, folders looked through.

    Raises:
        JobError: there is none.
    """
    places = list(places)
    found = [
        path
        for place in places
        for path in (sorted(place.rglob(f"*{suffix}")) if place.is_dir() else [place])
    ]
    if not found:
        where = Where(", ".join(map(str, places)), 0, "")
        raise JobError(where, "no logs there", "follow a sheet first, or name its log")
    return found


def measured_in(path: Path) -> Iterator[Measured]:
    """Yield what was found in each run of a log; of a size found twice the last."""
    for run in runs_in(path):
        for entry in run.found().values():
            yield _measured(run.head, entry)


def _measured(head: Entry, entry: Entry) -> Measured:
    return Measured(
        at=str(entry["at"])[:10],
        sheet=f"{head['title']}: {head['setup']}",
        machine=str(head["machine"]),
        name=str(entry["found"]),
        what=str(entry["what"]),
        expected=float(entry["expected"]),
        found=float(entry["mm"]),
        units="in" if entry["units"] == "in" else "mm",
        of_a_dial=bool(entry["of_a_dial"]),
    )


def lines_of(paths: Iterable[Path]) -> Iterator[str]:
    """Yield the table of all that was found in logs, and a summary for each machine."""
    found = [each for path in paths for each in measured_in(path)]
    if not found:
        yield "nothing was measured in these logs"
        return
    yield from _table([HEADINGS, *(_row(each) for each in found)])
    yield ""
    for machine in sorted({each.machine for each in found}):
        yield from _summary(machine, [each for each in found if each.machine == machine])


def _row(each: Measured) -> tuple[str, ...]:
    what = f"{each.name} {each.what}"
    return (
        each.at,
        each.sheet,
        each.machine,
        what,
        figures.size(each.expected, each.units),
        figures.size(each.found, each.units),
        _signed(each.off, each.units),
    )


def _signed(value: float, units: Units) -> str:
    shown = figures.size(value, units)
    return shown if shown.startswith("-") else f"+{shown}"


def _table(rows: Sequence[Sequence[str]]) -> Iterator[str]:
    """Yield rows in columns, the figures to the right."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    for row in rows:
        cells = [
            cell.rjust(width) if column > 3 else cell.ljust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        yield "  ".join(cells).rstrip()


def _summary(machine: str, found: Sequence[Measured]) -> Iterator[str]:
    """Yield what the measurements say of a machine: sizes and touched faces apart."""
    for kind, of_a_dial in (("sizes cut", False), ("faces touched", True)):
        each = [one for one in found if one.of_a_dial == of_a_dial]
        if not each:
            continue
        units = each[-1].units
        offs = [one.off for one in each]
        spread = f", from {_signed(min(offs), units)} to {_signed(max(offs), units)}"
        yield (
            f"{machine}, {kind}: {len(offs)}; off by {_signed(statistics.fmean(offs), units)} on"
            f" average{spread if len(offs) > 1 else ''}"
        )
