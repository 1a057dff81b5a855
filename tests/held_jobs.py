"""The demo parts that are held by centres, as made on the shipped lathes, for tests."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

from pathgen.commands.loading import load
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof
from pathgen.input.getters import parse_toml
from pathgen.input.where import Faults
from pathgen.job.load import read_job
from pathgen.job.turning.turned import TurnedJob

JOBS = Path(__file__).parents[1] / "jobs"
METRIC, INCH, PROGRAM = "bench-lathe-metric", "bench-lathe-inch", "converted-lathe"
LATHES = (METRIC, INCH, PROGRAM)
Sheet = dict[str, Any]


@cache
def made(name: str, machine: str) -> dict[str, Proof]:
    """Return each setup of a demo part as made on a lathe, by its name."""
    job, shop = load(JOBS / f"{name}.toml")
    return {p.place.setup.name: p for p in prove_job(job, shop, machine, lambda _: None)}


def text_of(name: str, *changes: tuple[str, str]) -> str:
    """Return the text of a demo job in which words were changed, each of which is there."""
    text = (JOBS / f"{name}.toml").read_text(encoding="utf-8")
    for before, after in changes:
        assert before in text
        text = text.replace(before, after, 1)
    return text


def wrong_in(name: str, *changes: tuple[str, str]) -> list[str]:
    """Return all that is said of a demo job that was changed."""
    faults = Faults()
    table = parse_toml(text_of(name, *changes), f"{name}.toml", faults)
    assert table is not None
    read_job(table, name)
    return [str(error) for error in faults.errors]


def job_with(name: str, *changes: tuple[str, str]) -> TurnedJob:
    """Return a demo job that was changed, in which nothing is wrong."""
    faults = Faults()
    table = parse_toml(text_of(name, *changes), f"{name}.toml", faults)
    assert table is not None
    job = read_job(table, name)
    faults.raise_any()
    assert isinstance(job, TurnedJob)
    return job


def codes_after(proof: Proof, edit: Callable[[Sheet], None]) -> set[str]:
    """Return the codes of what is found in a sheet that was edited, cautions left out."""
    raw = json.loads(proof.text)
    edit(raw)
    found = prove_text(proof.place, json.dumps(raw), "edited.json", lambda _: None).report.findings
    return {each.code for each in found if each.severity == "finding"}


def step(raw: Sheet, **wanted: object) -> Sheet:
    """Return the first step of a sheet that has such values."""
    found: Sheet = next(s for s in raw["steps"] if all(s.get(k) == v for k, v in wanted.items()))
    return found


def wound_on(raw: Sheet, counts: int, **wanted: object) -> None:
    """Wind one step so many judged parts further than it says, the way that it is wound."""
    found = step(raw, **wanted)
    dial = next(each for each in raw["dials"] if each["slide"] == found["slide"])
    turn = round(dial["divisions"] / dial["judged"])
    before, after = found["reading"], found["reading"] + counts
    up = after // turn - before // turn
    down = -(-before // turn) - -(-after // turn)
    found.update(reading=after, dial=after % turn, passes=found["passes"] + max(up, down))
