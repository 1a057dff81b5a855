"""The thread that the passes leave: its sizes, and whether it is there over its length."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.check.findings import Finding, FinishedSize, Quantity
from pathgen.check.finished import finished_size
from pathgen.check.turning.measured import Measured
from pathgen.check.turning.screwing import ScrewCutting
from pathgen.job.screwed import Screwed
from pathgen.job.sizes import Size
from pathgen.reckon.screw_cutting import pitch_diameter_at

FINE = 1e-6


def thread_sizes(cutting: ScrewCutting, measured: Measured) -> Iterator[FinishedSize]:
    """Yield the pitch diameter and the diameter at the root that the deepest pass leaves."""
    wanted = cutting.wanted
    if wanted is None or not cutting.passes:
        return
    thread, inside = wanted.thread, wanted.inside
    across = pitch_diameter_at(cutting.tip, thread.pitch, thread.form, cutting.nose, inside=inside)
    doubt = 2 * measured.open("inside threading" if inside else "threading", "x")
    yield finished_size(wanted.name, "pitch diameter", wanted.pitch, (across, across), doubt)
    at_root = 2 * cutting.tip
    name: Quantity = "major diameter" if inside else "minor diameter"
    yield finished_size(wanted.name, name, _root(wanted), (at_root, at_root), doubt)


def _root(wanted: Screwed) -> Size:
    """Return what the diameter at the root may be: as far as the flanks would meet in a point."""
    thread, pitch = wanted.thread, wanted.pitch
    sharp = thread.form.height * thread.pitch
    if wanted.inside:
        return Size(
            nominal=thread.major, low=wanted.root, high=pitch.high + sharp, basis=pitch.basis
        )
    return Size(
        nominal=thread.minor_external, low=pitch.low - sharp, high=wanted.root, basis=pitch.basis
    )


def uncut(cutting: ScrewCutting, file: str) -> Iterator[Finding]:
    """Yield that a wanted thread was not cut, or ends short, in a program or sheet of a name."""
    wanted = cutting.wanted
    if wanted is not None and not cutting.passes:
        yield Finding(
            code="left",
            what=f"{wanted.name}: no thread is cut",
            where="job",
            remedy="cut it",
            file=file,
        )
    elif wanted is not None and cutting.full_to > -wanted.length + FINE:
        yield Finding(
            code="thread length",
            what=f"{wanted.name}: full thread to {-cutting.full_to:.2f} mm, {wanted.length:.2f}"
            " wanted",
            where="job",
            amount=round(cutting.full_to + wanted.length, 6),
            remedy="go further along at full depth",
            file=file,
        )
