"""A press file: it names the jobs of parts that go together, and how they mate."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from pathgen.input.getters import Table
from pathgen.input.naming import taken_for
from pathgen.input.units import UNITS
from pathgen.input.where import quoted
from pathgen.job.mates import WantedMate
from pathgen.job.mating.read_mates import read_mate
from pathgen.job.thread_mates import WantedThread

OF_A_JOB = ("blank", "setup", "tolerance_class")  # keys that a press file has no use for


@dataclass(frozen=True, slots=True, kw_only=True)
class Press:
    """The files of jobs by the names that mates refer to, and the mates."""

    jobs: dict[str, str]  # relative to the press file's folder
    mates: tuple[WantedMate | WantedThread, ...]


def read_press(root: Table) -> Press | None:
    """Return what a root table with ``jobs`` says, or None when anything in it was wrong."""
    of_a_job = [key for key in root.keys() if key in OF_A_JOB]  # noqa: SIM118 - no mapping
    if of_a_job:
        root.wrong(
            of_a_job[0],
            "given beside jobs: this is half a press file, half a job",
            "a press file has title, units, jobs and mates; put a part into a file of its own",
        )
        return None
    root.with_units(root.choice("units", UNITS))
    root.text("title", default="press")
    jobs = root.texts_by_name("jobs")
    mates = [read_mate(table, of_press=True) for table in root.tables("mate")]
    root.no_more()
    _guard_names(root, jobs)
    if root.faulty:
        return None
    return Press(jobs=jobs, mates=tuple(mate for mate in mates if mate is not None))


def _guard_names(root: Table, jobs: dict[str, str]) -> None:
    """Record names that mates could not refer to, and jobs that would share a folder."""
    for name in jobs:
        if ":" in name or name != name.strip():
            root.wrong("jobs", f"{quoted(name)} cannot stand in a mate", "use letters, figures, -")
    folders: dict[str, list[str]] = {}
    for name, file in jobs.items():
        folders.setdefault(taken_for(Path(file).stem), []).append(name)
    for names in (names for names in folders.values() if len(names) > 1):
        all_of_them = " and ".join(quoted(name) for name in names)
        root.wrong(
            "jobs",
            f"{all_of_them} would be written into one folder, {Path(jobs[names[0]]).stem}",
            "name each job once, in files called differently",
        )
