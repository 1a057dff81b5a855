"""The files that `make` writes for a setup, and writing them whole or not at all."""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict
from itertools import groupby
from pathlib import Path

from pathgen.check.findings import (
    FinishedPlay,
    FinishedSize,
    FinishedThread,
    WorstPair,
    listed,
)
from pathgen.commands.page_parts import Parts
from pathgen.commands.paging import entry_of, index_of, page_of
from pathgen.commands.unbroken import unbroken
from pathgen.commands.workplace import Proof, form_for, trade_of
from pathgen.input.naming import APART, file_stem, taken_for
from pathgen.input.where import JobError, Where

SHORT_LINE = 80  # characters, which most controls take
INDEX = "index.html"
DECIMALS = 4  # of lengths in the findings, mm


def job_files(proofs: Sequence[Proof], machine: str | None) -> Iterator[tuple[Proof, str, str]]:
    """Yield the files of all setups of some jobs, and a page for each job: whose, name, text.

    Args:
        proofs: job by job.
        machine: the one that was asked for instead of the jobs' own, if any.
    """
    for _, each in groupby(proofs, lambda proof: proof.place.job.name):
        of_job = [(proof, form_for(proof.place.machine).page_parts(proof)) for proof in each]
        index = index_name(machine, of_job[0][0].place.part)
        for proof, parts in of_job:
            for name, text in files_of(proof, parts, index).items():
                yield proof, name, text
        yield of_job[0][0], index, index_page(of_job)


def files_of(proof: Proof, parts: Parts, index: str = INDEX) -> dict[str, str]:
    """Return the files of a setup by name: what is followed, the page, the drawing, the findings.

    Args:
        proof: of the setup.
        parts: what its page is made of.
        index: what the page of its job is called.
    """
    stem = proof.place.stem
    form = form_for(proof.place.machine)
    files = {f"{stem}{suffix}": text for suffix, text in form.faces(proof).items()}
    files[f"{stem}.svg"] = trade_of(proof.place.job).drawing(proof, parts.headings)
    files[f"{stem}.findings.json"] = findings_text(proof)
    words = "" if proof.report.ok else warning(proof.report.found)
    if words:
        files = {name: _marked(name, text, words) for name, text in files.items()}
    files[f"{stem}.html"] = page_of(proof, parts, index=index, not_proved=words)
    return files


def warning(found: int) -> str:
    """Return what the first line of a file says that has findings."""
    return f"NOT PROVED: {found} finding{'s' if found != 1 else ''}, cut no metal with this"


def index_name(machine: str | None, part: str = "") -> str:
    """Return what the page of a job is called.

    There is one for each machine asked for instead, and for what goes on after a stop.

    >>> index_name(None), index_name("bench-mill-inch", "from-pass-5")
    ('index.html', 'index.bench-mill-inch.from-pass-5.html')
    """
    names = ("" if machine is None else file_stem(machine), part)
    return ".".join(("index", *(name for name in names if name), "html"))


def index_page(of_job: Sequence[tuple[Proof, Parts]]) -> str:
    """Return the page of a job, from its setups and what their pages are made of."""
    found = sum(proof.report.found for proof, _ in of_job)
    entries = [
        entry_of(proof, parts, f"strip-{number}-")
        for number, (proof, parts) in enumerate(of_job, start=1)
    ]
    return index_of(of_job[0][0], entries, not_proved=warning(found) if found else "")


def _marked(name: str, text: str, words: str) -> str:
    """Return a text that says in its first line that it is not proved, where its form allows it."""
    if name.endswith(".ngc"):
        # On the line of the first comment, so that the findings' line numbers stay true.
        fence = "%\n" if text.startswith("%\n") else ""
        first = text.removeprefix(fence).split("\n", 1)[0]
        mark = f"({words})" if len(words) + 2 + len(first) <= SHORT_LINE else "(NOT PROVED)"
        return f"{fence}{mark}{text.removeprefix(fence)}"
    if name.endswith(".svg"):
        return f"<!-- {words} -->\n{text}"
    if name.endswith(".json"):
        return f'{{"not_proved": "{words}",{text.lstrip()[1:]}'
    return f"{words}\n\n{text}"


def findings_text(proof: Proof) -> str:
    """Return the findings and finished sizes as JSON."""
    report = proof.report
    content = {
        "form": "findings",
        "version": 1,
        "job": proof.place.job.name,
        "digest": proof.place.job.digest,
        "setup": proof.place.setup.name,
        "machine": proof.place.machine.name,
        "crib": proof.place.shop.crib.title,
        "proved": report.ok,
        "believed": form_for(proof.place.machine).believed(proof.text, proof.run.file),
        "lengths_in": "mm",
        "model_error": report.model_error,
        "sizes": [_size(size) for size in report.sizes],
        "mates": [
            *(_play(play) for play in report.plays),
            *(_thread(found) for found in report.threads),
        ],
        "findings": [asdict(finding) for finding in listed(report.findings)],
    }
    return json.dumps(content, indent=2) + "\n"


def _size(size: FinishedSize) -> dict[str, object]:
    return {
        "feature": size.feature,
        "quantity": size.quantity,
        "wanted": [round(size.wanted.low, DECIMALS), round(size.wanted.high, DECIMALS)],
        "limits_from": size.wanted.basis,
        "finished": [round(size.least, DECIMALS), round(size.most, DECIMALS)],
        "machine_leaves_open": round(size.uncertainty, DECIMALS),
        "for_want_of_locks": round(size.wander, DECIMALS),
        "ok": size.ok,
    }


def _play(play: FinishedPlay) -> dict[str, object]:
    mate, wanted = play.mate, play.mate.wanted
    return {
        "mate": mate.name,
        "feature": mate.feature,
        "quantity": mate.size,
        "goes_in": [round(mate.outside.least, DECIMALS), round(mate.outside.most, DECIMALS)],
        "goes_in_is": mate.outside.said,
        "wanted": [round(wanted.smallest, DECIMALS), round(wanted.largest, DECIMALS)],
        "wanted_as": mate.said,
        "play": [round(play.least, DECIMALS), round(play.most, DECIMALS)],
        "machine_leaves_open": round(play.uncertainty, DECIMALS),
        "ok": play.ok,
    }


def _thread(found: FinishedThread) -> dict[str, object]:
    mate = found.mate
    return {
        "mate": mate.name,
        "thread": mate.thread.designation,
        "feature": mate.tapped.holes.name,
        "goes_in_is": mate.outside,
        "engagement": None if found.engagement is None else [round(e, 4) for e in found.engagement],
        "engagement_is": mate.thread.form.basis(None).words,
        "clearance": None if found.clearance is None else [round(c, 4) for c in found.clearance],
        "worst_pair": None if found.worst is None else _pair(found.worst),
        "turned_over": mate.turned_over,
        "ok": found.ok,
    }


def _pair(worst: WorstPair) -> dict[str, object]:
    return {
        "tapped_at": [round(each, DECIMALS) for each in worst.tapped.at],
        "cleared_at": [round(each, DECIMALS) for each in worst.cleared.at],
        "off": round(worst.off, DECIMALS),
        "machines_leave_open": round(worst.doubt, DECIMALS),
        "room": round(worst.room, DECIMALS),
    }


def gather(files: Iterable[tuple[Path, str]]) -> dict[Path, str]:
    """Return files by path.

    Raises:
        JobError: one would overwrite another, also where capitals are not told apart.
    """
    gathered: dict[Path, str] = {}
    taken: dict[str, Path] = {}
    for path, text in files:
        before = taken.setdefault(taken_for(str(path)), path)
        if before in gathered:
            raise JobError(Where(str(path), 0, ""), f"would overwrite {before}", APART)
        gathered[path] = text
    return gathered


def write_files(files: Mapping[Path, str | bytes]) -> None:
    """Write files into their folders, made if they are not there: all of them, or none.

    Each is written beside its place first; only when all are there do they take their names. A
    Ctrl-C in the midst of it is heeded once they are there.

    Raises:
        JobError: a folder cannot be made or written into.
    """
    try:
        with unbroken():
            _write_all(files)
    except OSError as error:
        place = Where(str(error.filename or next(iter(files)).parent), 0, "")
        reason = error.strerror or "cannot be written"
        raise JobError(place, reason, "name another folder with --into") from error


def _write_all(files: Mapping[Path, str | bytes]) -> None:
    """Write files beside their places, then move them there."""
    waiting: list[tuple[str, Path]] = []
    try:
        for path, content in files.items():
            path.parent.mkdir(parents=True, exist_ok=True)
            handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=".part")
            waiting.append((temporary, path))
            with os.fdopen(handle, "wb") as stream:
                stream.write(content.encode() if isinstance(content, str) else content)
        for temporary, path in waiting:
            Path(temporary).chmod(0o644)
            Path(temporary).replace(path)
    finally:
        for temporary, _ in waiting:
            Path(temporary).unlink(missing_ok=True)
