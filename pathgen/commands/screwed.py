"""Mates by a thread among the proofs of several setups and jobs: judged once all are there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pathgen.check.threads import with_thread
from pathgen.commands.workplace import Proof
from pathgen.job.job import Job
from pathgen.job.thread_mates import HolesAt


def with_threads(proofs: Sequence[Proof]) -> list[Proof]:
    """Return proofs in which the mates by a thread are judged, each with its tapped holes.

    Where the holes of the part screwed on are not among them, of the thread alone is told.
    """
    return [_with_own(proof, proofs) for proof in proofs]


def _with_own(proof: Proof, proofs: Sequence[Proof]) -> Proof:
    report = proof.report
    job = proof.place.job
    for mate in job.threads if isinstance(job, Job) else ():
        if not _is_of(proof, mate.tapped):
            continue
        others = [] if mate.cleared is None else [o for o in proofs if _is_of(o, mate.cleared)]
        cleared = others[0].report if others else None
        report = with_thread(report, cleared, mate, proof.run.file)
    return replace(proof, report=report)


def _is_of(proof: Proof, part: HolesAt) -> bool:
    """Return whether a proof is of the setup in which holes are cut."""
    return (proof.place.job.name, proof.place.setup.name) == (part.job, part.setup)
