"""Loading a job file, or a press file and its jobs: all that is wrong comes out at once."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from pathgen.input.getters import Table, read_toml
from pathgen.input.naming import guard_distinct, guard_name
from pathgen.input.units import UNITS
from pathgen.input.where import Faults
from pathgen.job.apart import guard_apart
from pathgen.job.areas import Outside, Pocket
from pathgen.job.concentric import concentric_errors
from pathgen.job.faceplate import Flat
from pathgen.job.frame import Frame
from pathgen.job.gone import Sunk, described_there, sunk_in
from pathgen.job.job import Blank, Job, JobSetup
from pathgen.job.mating import settle
from pathgen.job.meeting import meeting_errors
from pathgen.job.named import AnyJob
from pathgen.job.on_table import laid_on
from pathgen.job.press import Press, read_press
from pathgen.job.read_blank import read_bar
from pathgen.job.read_datums import read_datums
from pathgen.job.read_features import read_features, read_placed
from pathgen.job.read_mates import read_mate
from pathgen.job.read_set_over import read_set_over
from pathgen.job.read_setup import read_hold, read_lie
from pathgen.job.read_square_up import read_square_up
from pathgen.job.shaft import shaft_errors
from pathgen.job.stock import Stock, Workpiece, stock_after
from pathgen.job.turned import RoundBlank, TurnedJob, TurnedSetup
from pathgen.reckon.drills import drill_diameter

TOLERANCE_CLASSES = ("f", "m", "c", "v")
# The second is turned, the third on the faceplate.
FORMS: tuple[Literal["bar", "round", "flat"], ...] = ("bar", "round", "flat")


def load_job(path: Path, faults: Faults) -> AnyJob | None:
    """Return the job of a file, or None with all that is wrong in it gathered."""
    root = read_toml(path, faults, named=drill_diameter)
    if root is None:
        return None
    if "jobs" in root.keys():  # noqa: SIM118 - a table is no mapping
        root.wrong("jobs", "this is a press file, which names jobs", "name the file of one job")
        return None
    return read_job(root, path.stem)


def load_jobs(path: Path, faults: Faults) -> tuple[tuple[Path, AnyJob], ...]:
    """Return the job of a file with its path; of a press file, all jobs that it names, mated.

    Where anything was wrong, it is gathered, and there may be fewer jobs than named, or none.
    """
    root = read_toml(path, faults, named=drill_diameter)
    if root is None:
        return ()
    if "jobs" not in root.keys():  # noqa: SIM118 - a table is no mapping
        job = read_job(root, path.stem)
        return () if job is None else ((path, job),)
    press = read_press(root)
    return () if press is None else _jobs_of(press, path, root, faults)


def _jobs_of(
    press: Press, path: Path, root: Table, faults: Faults
) -> tuple[tuple[Path, AnyJob], ...]:
    """Return the jobs that a press file names, with their mates settled."""
    paths = {name: path.parent / file for name, file in press.jobs.items()}
    jobs: dict[str, AnyJob] = {}
    for name, each in paths.items():
        job = load_job(each, faults)
        if job is not None:
            jobs[name] = job
    if len(jobs) < len(paths):
        return ()
    settled, errors = settle(jobs, press.mates)
    for error in errors:
        root.record(error)
    return tuple(
        (paths[name], _with_digest_of_mates(settled[name], len(job.mates)))
        for name, job in jobs.items()
    )


def _with_digest_of_mates(job: AnyJob, own: int) -> AnyJob:
    """Return a job whose digest changes with the mates that a press file adds to its own."""
    if len(job.mates) == own:
        return job
    meaning = f"{job.digest} {job.mates[own:]}"
    return replace(job, digest=hashlib.sha256(meaning.encode()).hexdigest()[:12])


@dataclass(frozen=True, slots=True, kw_only=True)
class _Start:
    """What every job file begins with."""

    name: str
    title: str
    tolerance_class: str
    blank: Table


def read_job(root: Table, name: str) -> AnyJob | None:
    """Return the job of a root table, or None when anything in it was wrong."""
    root.with_units(root.choice("units", UNITS))
    start = _Start(
        name=name,
        title=root.text("title", default=name),
        tolerance_class=root.choice("tolerance_class", TOLERANCE_CLASSES, default="m"),
        blank=root.table("blank"),
    )
    match start.blank.choice("form", FORMS):
        case "round":
            return _turned_job(root, start)
        case "flat":
            return _flat_job(root, start)
        case _:
            return _milled_job(root, start)


def _is_round_but_milled(root: Table) -> bool:
    """Tell whether a job's blank is round, which is turned, and its setups those of a mill."""
    blank, setups = root.entries.get("blank"), root.entries.get("setup")
    if not (isinstance(blank, dict) and blank.get("form") == "round" and isinstance(setups, list)):
        return False
    return any(isinstance(setup, dict) and "datum" in setup for setup in setups)


def _turned_job(root: Table, start: _Start) -> TurnedJob | None:
    """Return the job of a root table whose blank is round: it is turned."""
    if _is_round_but_milled(root):
        start.blank.wrong(
            "form",
            '"round", in a job whose setups have datums, which is milled',
            'say "bar", which lies flat; with a diameter it is a round shaft, for a keyway',
        )
        return None
    from pathgen.job.read_turned_setups import (  # noqa: PLC0415 - only turned jobs need it
        read_round_blank,
        read_turned_setups,
    )

    blank = read_round_blank(start.blank)
    setups = read_turned_setups(root, blank, start.tolerance_class)
    return _of_lathe(root, start, blank, setups)


def _flat_job(root: Table, start: _Start) -> TurnedJob | None:
    """Return the job of a root table whose blank is flat and turned on the faceplate."""
    from pathgen.job.read_faceplate import (  # noqa: PLC0415 - only such jobs need it
        read_faceplate_setup,
        read_flat_blank,
        swept_round,
    )

    flat, material = read_flat_blank(start.blank)
    setup = read_faceplate_setup(root, flat, start.tolerance_class)
    blank = swept_round(flat, material, setup)
    return _of_lathe(root, start, blank, [] if setup is None else [setup], flat)


def _of_lathe(
    root: Table,
    start: _Start,
    blank: RoundBlank,
    setups: Sequence[TurnedSetup],
    flat: Flat | None = None,
) -> TurnedJob | None:
    """Return a job for a lathe, its mates settled; None where anything was wrong."""
    mates = [read_mate(table, of_press=False) for table in root.tables("mate")]
    root.no_more()
    if root.faulty:
        return None
    job = TurnedJob(
        name=start.name,
        title=start.title,
        units=root.units,
        tolerance_class=start.tolerance_class,
        blank=blank,
        setups=tuple(setups),
        digest=_digest(root, []),
        flat=flat,
        where=root.where(),
    )
    settled, errors = settle({"": job}, [mate for mate in mates if mate is not None])
    for error in errors:
        root.record(error)
    mated = settled[""]
    assert isinstance(mated, TurnedJob), "a job stays of its kind"
    return None if errors else mated


def _milled_job(root: Table, start: _Start) -> Job | None:
    """Return the job of a root table whose blank is a flat bar, or lies down: it is milled."""
    tolerance_class = start.tolerance_class
    blank = read_bar(start.blank)
    thinnest_wall = root.optional_length("thinnest_wall", above=0)
    squaring = root.optional_table("square_up")
    squared = () if squaring is None else read_square_up(squaring, blank, tolerance_class)
    tables = root.tables("setup", least=1 if squaring is None else 0)
    setups = _setups(tables, blank, tolerance_class, squared)
    mates = [read_mate(table, of_press=False) for table in root.tables("mate")]
    root.no_more()
    read = zip(tables, setups, strict=True)
    guard_distinct((table, setup.name) for table, setup in read if setup is not None)
    if root.faulty:
        return None
    job = Job(
        name=start.name,
        title=start.title,
        units=root.units,
        tolerance_class=tolerance_class,
        blank=blank,
        setups=(*squared, *(setup for setup in setups if setup is not None)),
        digest=_digest(root, [setup for setup in setups if setup is not None]),
        thinnest_wall=thinnest_wall,
        where=root.where(),
    )
    settled, errors = settle({"": job}, [mate for mate in mates if mate is not None])
    mated = settled[""]
    assert isinstance(mated, Job), "a job stays of its kind"
    every = [
        *errors,
        *meeting_errors(mated),
        *concentric_errors(mated),
        *shaft_errors(mated, squared=bool(squared)),
    ]
    for error in every:
        root.record(error)
    return None if every else mated


def _digest(root: Table, setups: list[JobSetup]) -> str:
    """Return twelve figures that change with the job's values, not with comments or layout.

    A contour from a drawing is among the values.
    """
    meaning = json.dumps(dict(root.entries), sort_keys=True, default=str)
    if '"dxf": {' in meaning:
        areas = [area for setup in setups for area in setup.areas]
        meaning += repr([a.contour for a in areas if isinstance(a, Pocket | Outside)])
        meaning += repr([area.islands for area in areas if isinstance(area, Pocket)])
    return hashlib.sha256(meaning.encode()).hexdigest()[:12]


def _setups(
    tables: tuple[Table, ...], blank: Blank, tolerance_class: str, squared: tuple[JobSetup, ...]
) -> list[JobSetup | None]:
    """Read each ``[[setup]]``: the blank comes to it as those before have left it."""
    stock, setups = Stock(box=blank.box), []
    for each in squared:
        stock = stock_after(stock, each.features, each.frame, each.name)
    gone: list[Sunk] = []  # what a later setup may pick its zeros up from
    for table in tables:
        setup = _setup(table, stock, (blank, tolerance_class), gone)
        if setup is not None:
            box = setup.frame.box_into(stock.box)
            gone += [*described_there(setup), *sunk_in(setup, box)]
            stock = stock_after(stock, setup.features, setup.frame, setup.name)
        setups.append(setup)
    return setups


def _setup(
    table: Table, stock: Stock, site: tuple[Blank, str], gone: list[Sunk]
) -> JobSetup | None:
    """Read one ``[[setup]]``, to which the blank comes as its stock, with what is gone before."""
    name = table.text("name")
    machine = table.text("machine")
    hold, centre = read_hold(table.table("hold"))
    lie = read_lie(table)
    tables = table.tables("feature", least=1)
    placed = read_placed(tables, *site)
    own = [Sunk(feature=t.feature, frame=t.frame, box=t.box, setup="") for t in placed.values()]
    datums, origin = read_datums(table.table("datum"), stock, lie, [*gone, *own])
    box = Frame(lie, origin).box_into(stock.box)
    workpiece = Workpiece(lie=lie, box=box, is_shaft=site[0].is_shaft)
    datums, on_table = laid_on(table, datums, centre)
    features, there = read_features(table, tables, placed, (workpiece, origin, site[1]))
    set_over = read_set_over(table, datums, features, (hold, workpiece))
    table.no_more()
    guard_apart(table, features)
    guard_name(table, "name", name)
    if table.faulty:
        return None
    return JobSetup(
        name=name,
        machine=machine,
        hold=hold,
        datum_x=datums[0],
        datum_y=datums[1],
        datum_z=datums[2],
        features=tuple(features),
        origin=origin,
        lie=lie,
        there=tuple(there),
        table=on_table,
        set_over=set_over,
        where=table.where(),
    )
