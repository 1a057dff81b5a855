"""The play that is left between a size as the moves make it and what goes into it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pathgen.check.findings import Finding, FinishedPlay, FinishedSize, Report
from pathgen.check.measured.finished import NOISE
from pathgen.job.mates import Mate, play_between
from pathgen.job.mating.named import AnyJob, AnySetup
from pathgen.job.turning.rooms import as_judged


def with_plays(report: Report, job: AnyJob, setup: AnySetup, file: str) -> Report:
    """Return a report with the plays of a setup's mates, and findings where they are not as wanted.

    Args:
        report: over all cases of a sheet, so that the rounding of dials is in the play.
        job: whose mates they are.
        setup: the one that the report is of.
        file: what was checked, for the findings.
    """
    mates = [mate for mate in job.mates if mate.setup == setup.name]
    plays = [(mate, _play(mate, report.sizes)) for mate in mates]
    return replace(
        report,
        plays=tuple(play for _, play in plays if play is not None),
        findings=(*_findings(plays, file), *report.findings),
    )


def _play(mate: Mate, sizes: Sequence[FinishedSize]) -> FinishedPlay | None:
    """Return the play that a mate is left with, None where its size was not found."""
    for size in sizes:
        if (size.feature, size.quantity) == as_judged(mate.feature, mate.size):
            least, most = play_between((size.least, size.most), mate.outside)
            wanted = mate.wanted
            return FinishedPlay(
                mate=mate,
                least=least,
                most=most,
                uncertainty=size.uncertainty,
                ok=wanted.smallest - NOISE <= least and most <= wanted.largest + NOISE,
            )
    return None


def _findings(plays: Sequence[tuple[Mate, FinishedPlay | None]], file: str) -> Iterator[Finding]:
    """Yield a finding for each mate whose play is not as wanted, or cannot be told."""
    for mate, play in plays:
        if play is None:
            yield _finding(
                f"the play of '{mate.name}' cannot be told: no {mate.size} of '{mate.feature}' "
                "was found",
                "cut it first",
                file,
            )
        elif not play.ok:
            yield _out(play, file)


def _out(play: FinishedPlay, file: str) -> Finding:
    mate, wanted = play.mate, play.mate.wanted
    low = mate.outside.most + wanted.smallest
    high = mate.outside.least + wanted.largest
    beyond = max(wanted.smallest - play.least, play.most - wanted.largest)
    return replace(
        _finding(
            f"play of '{mate.name}' {play.least:.3f} to {play.most:.3f} mm, wanted "
            f"{wanted.smallest:.3f} to {wanted.largest:.3f} mm ({mate.said})",
            f"bring the {mate.size} of '{mate.feature}' to {low:.3f} to {high:.3f} mm",
            file,
        ),
        amount=round(beyond, 6),
    )


def _finding(what: str, remedy: str, file: str) -> Finding:
    return Finding(code="mate", what=what, where="job", remedy=remedy, file=file)
