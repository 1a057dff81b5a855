"""The thread that the passes leave: its sizes, and whether it is there over its length."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.check.findings import Finding, FinishedSize, Quantity
from pathgen.check.finished import finished_size
from pathgen.check.turning.measured import Measured
from pathgen.check.turning.screwing import ScrewCutting
from pathgen.job.screwed import Screwed
from pathgen.job.sizes import Size
from pathgen.reckon.screw_cutting import pitch_diameter_at, widened_by

FINE = 1e-6


def thread_sizes(cutting: ScrewCutting, measured: Measured) -> Iterator[FinishedSize]:
    """Yield the pitch diameter and the diameter at the root that the deepest pass leaves."""
    wanted = cutting.wanted
    if wanted is None or not cutting.starts:
        return
    thread, inside = wanted.thread, wanted.inside
    tips = [(wanted.way * each.deepest, each.nose) for each in cutting.starts.values()]
    across = [
        pitch_diameter_at(tip, thread.pitch, thread.form, nose, inside=inside) for tip, nose in tips
    ]
    angle = thread.form.angle_deg
    widened = [widened_by(each.beside(angle), angle) for each in cutting.starts.values()]
    across = [each + wanted.way * wide for each, wide in zip(across, widened, strict=True)]
    doubt = 2 * measured.open("inside threading" if inside else "threading", "x")
    found = min(across), max(across)
    yield finished_size(wanted.name, "pitch diameter", wanted.pitch, found, doubt)
    at_root = [2 * tip for tip, _ in tips]
    name: Quantity = "major diameter" if inside else "minor diameter"
    yield finished_size(wanted.name, name, _root(wanted), (min(at_root), max(at_root)), doubt)


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
    if wanted is None:
        return
    missing = set(range(wanted.thread.starts)) - set(cutting.starts)
    if missing:
        several = wanted.thread.starts > 1
        which = f"{len(missing)} of {wanted.thread.starts} starts are not cut" if several else ""
        yield Finding(
            code="left",
            what=f"{wanted.name}: {which or 'no thread is cut'}",
            where="job",
            remedy="cut it",
            file=file,
        )
        return
    full_to = max(each.full_to for each in cutting.starts.values())
    if full_to > -wanted.full_to + FINE:
        yield Finding(
            code="thread length",
            what=f"{wanted.name}: full thread to {-full_to:.2f} mm, {wanted.full_to:.2f} wanted",
            where="job",
            amount=round(full_to + wanted.full_to, 6),
            remedy="go further along at full depth",
            file=file,
        )
