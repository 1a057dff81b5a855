"""What is told on the terminal: the short plan, finished sizes, findings, progress."""

from __future__ import annotations

import re
import sys
import time
from collections.abc import Iterable, Sequence

import click

from pathgen import INCH
from pathgen.check.findings import (
    Finding,
    FinishedPlay,
    FinishedSize,
    FinishedThread,
    WorstPair,
    listed,
)
from pathgen.check.measured.finished_holes import near_words
from pathgen.commands.workplace import Proof, form_for
from pathgen.moves.moves import AXES
from pathgen.moves.plan import Pass
from pathgen.moves.timing import HANDLE_S, XYZ, Pace, minutes
from pathgen.shop.machines import Machine

BAR = 20  # signs of a progress bar
PATIENCE_S = 1.0  # what takes longer than this tells how it goes
STILL = 1e-6  # mm: less is no way
WINDING = 60.0  # turns a minute of a handle in the air (a guess)


class Progress:
    """Tells on a terminal what is being done, once it has taken more than a second.

    What ends in "3 of 12" has a bar in front that is so full.
    """

    def __init__(self) -> None:
        self._start = time.monotonic()
        self._shown = 0

    def __call__(self, what: str) -> None:
        """Tell what is being done now."""
        if sys.stderr.isatty() and time.monotonic() - self._start > PATIENCE_S:
            self.clear()
            line = f"{bar(what)}{what}"
            click.echo(line, nl=False, err=True)
            self._shown = len(line)

    def clear(self) -> None:
        """Take away what was told last."""
        if self._shown:
            click.echo("\r" + " " * self._shown + "\r", nl=False, err=True)
            self._shown = 0


def bar(what: str) -> str:
    """Return a bar as full as what is told says that it is; nothing where it does not say.

    >>> bar("following slot.json, case 3 of 12"), bar("planning slot")
    ('[#####---------------] ', '')
    """
    share = re.search(r"(\d+) of (\d+)$", what)
    if share is None:
        return ""
    full = BAR * int(share[1]) // max(int(share[2]), 1)
    return f"[{'#' * full}{'-' * (BAR - full)}] "


def plan_lines(proof: Proof) -> Iterable[str]:
    """Yield the short plan: passes, cutters, speeds, how many handle moves, about how long."""
    place = proof.place
    yield click.style(f"{place.job.title}: {place.setup.name}, on {place.machine.title}", bold=True)
    crib = place.shop.crib
    yield f"  cutters from {crib.file}: {crib.title}"
    if proof.plan is None:
        return
    rows: list[Sequence[str]] = [("pass", "cutter", "rev/min", "mm/min", "about")]
    pace = pace_of(proof.place.machine)
    first = proof.plan.head.passes_before + 1
    rows.extend(_row(n, each, pace) for n, each in enumerate(proof.plan.passes, start=first))
    yield from _table(rows)
    total = sum(minutes(each.items, pace) for each in proof.plan.passes)
    moves = form_for(proof.place.machine).handle_moves(proof)
    if moves is not None:
        total += moves * HANDLE_S / 60
        yield f"  {moves} handle moves, about {_duration(total)} with changes, zeros and measuring"
    else:
        yield f"  about {_duration(total)} with changes of cutter and measuring"


def pace_of(machine: Machine) -> Pace:
    """Return how fast a machine goes: its control's rates, or by hands and by power feed."""
    control = machine.control
    if control is not None:
        return Pace(rapid=control.rapid_rate, acceleration=control.acceleration)

    def by_power(start: XYZ, end: XYZ, wanted: float) -> float:
        going = [axis for axis, a, b in zip(AXES, start, end, strict=True) if abs(b - a) > STILL]
        feeds = [machine.slide(axis).by_power(wanted) for axis in going if axis != "z"]
        return min((feed for feed in feeds if feed), default=wanted)

    return Pace(rapid=WINDING * machine.slide("x").per_turn, feed=by_power)


def _row(number: int, each: Pass, pace: Pace) -> tuple[str, ...]:
    return (
        f"{number} {each.purpose}",
        each.cutter.name,
        f"{each.rpm:.0f}",
        f"{each.feed:.0f}",
        _duration(minutes(each.items, pace)),
    )


def _duration(total: float) -> str:
    """Return a time in minutes, or hours and minutes."""
    whole = max(1, round(total))
    return f"{whole} min" if whole < 100 else f"{whole // 60} h {whole % 60} min"


def _table(rows: Sequence[Sequence[str]]) -> Iterable[str]:
    """Yield rows in columns: words to the left, figures to the right."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    for row in rows:
        cells = [
            cell.ljust(width) if column < 2 else cell.rjust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        yield "  " + "  ".join(cells).rstrip()


def size_lines(proof: Proof) -> Iterable[str]:
    """Yield the finished sizes beside the wanted ones, in the job's units."""
    report = proof.report
    if not report.sizes:
        return
    inches = proof.place.job.units == "in"
    yield click.style(f"  sizes in {'inches' if inches else 'mm'}", bold=True)
    rows: list[Sequence[str]] = [("size", "wanted", "finished", "machine", "")]
    rows.extend(size_row(size, inches=inches) for size in report.sizes)
    yield from _table(rows)
    for size in report.sizes:
        if size.wander > 0:
            yield (
                f"  {size.feature}: {size.quantity}: +-{_figure(size.wander, inches=inches)} of it "
                "is what a slide without a lock may be pushed by"
            )


def size_row(size: FinishedSize, *, inches: bool) -> tuple[str, ...]:
    """Return a size: its name, what is wanted, what comes out, what the machine leaves open."""
    return (
        f"{size.feature}: {size.quantity}",
        f"{_span(size.wanted.low, size.wanted.high, inches=inches)} ({size.wanted.basis})",
        _span(size.least, size.most, inches=inches),
        f"+-{_figure(size.uncertainty, inches=inches)}",
        "ok" if size.ok else "OUT",
    )


def _figure(value: float, *, inches: bool) -> str:
    return f"{value / INCH:.4f}" if inches else f"{value:.3f}"


def _span(least: float, most: float, *, inches: bool) -> str:
    """Return two figures, or one where they are printed alike."""
    low, high = _figure(least, inches=inches), _figure(most, inches=inches)
    return low if low == high else f"{low} to {high}"


def play_lines(proof: Proof) -> Iterable[str]:
    """Yield the play that each mate is left with beside the wanted one, in the job's units."""
    inches = proof.place.job.units == "in"
    for play in proof.report.plays:
        yield f"  {_play(play, inches=inches)}"


def _play(play: FinishedPlay, *, inches: bool) -> str:
    mate, unit = play.mate, "in" if inches else "mm"
    return (
        f"{mate.name}: play {_span(play.least, play.most, inches=inches)} {unit} "
        f"+-{_figure(play.uncertainty, inches=inches)}, wanted "
        f"{_span(mate.wanted.smallest, mate.wanted.largest, inches=inches)} ({mate.said} on "
        f"{mate.outside.said})  {'ok' if play.ok else 'OUT'}"
    )


def thread_lines(proof: Proof) -> Iterable[str]:
    """Yield what each mate by a thread comes to, in the job's units."""
    inches = proof.place.job.units == "in"
    unit = "in" if inches else "mm"
    for found in proof.report.threads:
        mate = found.mate
        head = f"  {mate.name}: {mate.thread.designation} in '{mate.tapped.holes.name}'"
        if found.engagement is not None:
            least, most = (f"{share * 100:.0f}" for share in found.engagement)
            share = least if least == most else f"{least} to {most}"
            yield f"{head}: {share} % {mate.thread.form.basis(None).words}"
        if found.clearance is not None:
            yield (
                f"  {mate.name}: {_span(*found.clearance, inches=inches)} {unit} round the screw "
                f"({mate.outside})"
            )
        if found.worst is not None:
            yield f"  {mate.name}: {_pair(found, found.worst, inches=inches)}"
        elif mate.cleared is not None and found.ok:
            yield f"  {mate.name}: '{mate.outside}' is judged where both parts are checked together"


def _pair(found: FinishedThread, worst: WorstPair, *, inches: bool) -> str:
    unit, over = "in" if inches else "mm", ", turned over" if found.mate.turned_over else ""
    return (
        f"screwed on{over}, the {near_words(worst.cleared)} lies "
        f"{_figure(worst.off, inches=inches)} {unit} off the {near_words(worst.tapped)} "
        f"+-{_figure(worst.doubt, inches=inches)}, room {_figure(worst.room, inches=inches)}  "
        f"{'ok' if worst.meets else 'OUT'}"
    )


def finding_lines(findings: Iterable[Finding]) -> Iterable[str]:
    """Yield the findings, one a line; those that stop the work stand out."""
    for finding in findings:
        stops = finding.severity == "finding"
        yield click.style(str(finding), fg="red" if stops else "yellow", bold=stops)


def verdict(proofs: Sequence[Proof]) -> str:
    """Return in one line whether all is proved."""
    count = sum(proof.report.found for proof in proofs)
    if not count:
        return click.style("proved", fg="green", bold=True)
    return click.style(
        f"not proved: {count} finding{'s' if count > 1 else ''}", fg="red", bold=True
    )


def believed_line(proof: Proof) -> str:
    """Return what of a file is not proved but believed."""
    text = form_for(proof.place.machine).believed(proof.text, proof.run.file)
    return f"  not proved but believed of it: {text}"


def _whole(proof: Proof) -> Iterable[str]:
    """Yield all that is told of a setup but its findings."""
    for lines in (plan_lines, size_lines, play_lines, thread_lines):
        yield from lines(proof)


def tell(proofs: Sequence[Proof], *, full: bool | None) -> None:
    """Print the plans, sizes and findings: all on a terminal, findings alone where piped."""
    whole = sys.stdout.isatty() if full is None else full
    for proof in proofs:
        if whole:
            for line in _whole(proof):
                click.echo(line)
        for line in finding_lines(listed(proof.report.findings)):
            click.echo(line, err=not whole)
    if whole:
        for proof in proofs:
            if proof.plan is None:  # it is a file that somebody may have edited
                click.echo(believed_line(proof))
        click.echo(verdict(proofs))
