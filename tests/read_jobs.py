"""Jobs read from texts, and the shop as shipped, for tests that plan or check them."""

from __future__ import annotations

from functools import cache

from pathgen.input.getters import parse_toml
from pathgen.input.where import Faults
from pathgen.job.job import Job
from pathgen.job.load import read_job
from pathgen.reckon.drills import drill_diameter
from pathgen.shop.shop import Shop, find_shop


@cache
def the_shop() -> Shop:
    """Return the shop as shipped."""
    faults = Faults()
    found = find_shop(None, faults)
    faults.raise_any()
    return found


def reading(text: str, name: str) -> tuple[Job | None, list[str]]:
    """Return the job of a text, None if there is none, and all that was wrong in it."""
    faults = Faults()
    table = parse_toml(text, f"{name}.toml", faults, named=drill_diameter)
    assert table is not None
    job = read_job(table, name)
    assert job is None or isinstance(job, Job)
    return job, [str(error) for error in faults.errors]


def job_from(text: str, name: str) -> Job:
    """Return the job of a text in which nothing is wrong."""
    job, errors = reading(text, name)
    assert not errors
    assert job is not None
    return job


def changed(text: str, *changes: tuple[str, str]) -> str:
    """Return a text with parts of it, all of them there, put otherwise."""
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text
