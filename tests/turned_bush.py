"""The guide bush as made on the shipped lathes, for tests."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

from pathgen.check.findings import Finding
from pathgen.commands.loading import load
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof
from pathgen.input.where import Faults
from pathgen.job.load import load_job
from tests.read_jobs import the_shop

BUSH = Path(__file__).parent / "plain_bush.toml"


@cache
def bush(machine: str) -> Proof:
    """Return the bush as made on a lathe."""
    job, shop = load(BUSH)
    (proof,) = prove_job(job, shop, machine, lambda _: None)
    return proof


def made_of(folder: Path, *changes: tuple[str, str], machine: str | None = None) -> Proof:
    """Return the bush as made from a job that was changed.

    Raises:
        Refusal: it cannot be made.
    """
    faults = Faults()
    job = load_job(changed_file(folder, *changes), faults)
    faults.raise_any()
    assert job is not None
    (proof,) = prove_job(job, the_shop(), machine, lambda _: None)
    return proof


def changed_file(folder: Path, *changes: tuple[str, str]) -> Path:
    """Return a file of the bush's job in which words were changed, each of which is there."""
    text = BUSH.read_text(encoding="utf-8")
    for before, after in changes:
        assert before in text
        text = text.replace(before, after, 1)
    path = folder / "plain-bush.toml"
    path.write_text(text, encoding="utf-8")
    return path


def codes_of(machine: str, text: str) -> set[str]:
    """Return the codes of what is found in an edited program or sheet."""
    return {each.code for each in found_in(machine, text)}


def found_in(machine: str, text: str) -> list[Finding]:
    """Return what is found in an edited program or sheet, cautions left out."""
    proof = prove_text(bush(machine).place, text, "edited", lambda _: None)
    return [each for each in proof.report.findings if each.severity == "finding"]


def sheet_of(machine: str) -> dict[str, Any]:
    """Return the sheet of the bush as it was parsed, to be edited."""
    raw: dict[str, Any] = json.loads(bush(machine).text)
    return raw
