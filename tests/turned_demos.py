"""Demo jobs that are turned: as they are made, as made from changed words, and edited when made."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

from pathgen.commands.loading import load
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof
from pathgen.input.where import Faults
from pathgen.job.load import load_job
from tests.read_jobs import the_shop

Edit = Callable[[list[dict[str, Any]]], None]


@cache
def demo(of: Path, machine: str) -> Proof:
    """Return the only setup of a demo job as made on a lathe."""
    job, shop = load(of)
    (proof,) = prove_job(job, shop, machine, lambda _: None)
    return proof


def changed(of: Path, folder: Path, *changes: tuple[str, str]) -> Path:
    """Return a file of a demo job in which words were changed, each of which is there."""
    text = of.read_text(encoding="utf-8")
    for before, after in changes:
        assert before in text
        text = text.replace(before, after, 1)
    path = folder / of.name
    path.write_text(text, encoding="utf-8")
    return path


def made(of: Path, folder: Path, *changes: tuple[str, str], machine: str) -> Proof:
    """Return the only setup of a demo job as made from changed words."""
    faults = Faults()
    job = load_job(changed(of, folder, *changes), faults)
    faults.raise_any()
    assert job is not None
    (proof,) = prove_job(job, the_shop(), machine, lambda _: None)
    return proof


def codes_of(proof: Proof, text: str) -> set[str]:
    """Return the codes of what is found in an edited program or sheet, cautions left out."""
    report = prove_text(proof.place, text, "edited", lambda _: None).report
    return {each.code for each in report.findings if each.severity == "finding"}


def codes_after(proof: Proof, edit: Edit) -> set[str]:
    """Return the codes of what is found in a sheet whose steps were edited, and numbered anew."""
    raw = json.loads(proof.text)
    edit(raw["steps"])
    for number, step in enumerate(raw["steps"], start=1):
        step["number"] = number
    return codes_of(proof, json.dumps(raw))
