"""Loading a job file, or a press file and its jobs: all that is wrong comes out at once."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

from pathgen.input.getters import Table, read_toml
from pathgen.input.naming import guard_distinct, guard_name
from pathgen.input.units import UNITS
from pathgen.input.where import Faults
from pathgen.job.apart import guard_apart
from pathgen.job.areas import Facing, Outside, Pocket, Step
from pathgen.job.frame import Frame
from pathgen.job.job import Blank, Feature, Job, JobSetup, There
from pathgen.job.mating import settle
from pathgen.job.meeting import meeting_errors
from pathgen.job.press import Press, read_press
from pathgen.job.read_areas import read_pocket
from pathgen.job.read_holes import read_holes
from pathgen.job.read_mates import read_mate
from pathgen.job.read_outside import read_outside
from pathgen.job.read_setup import read_datums, read_hold, read_lie
from pathgen.job.read_slot import read_slot
from pathgen.job.read_steps import read_facing, read_step
from pathgen.job.stock import Stock, Workpiece, stock_after
from pathgen.reckon.drills import drill_diameter
from pathgen.reckon.materials import material_name

TOLERANCE_CLASSES = ("f", "m", "c", "v")
READERS: dict[str, Callable[[Table, Workpiece, str], Feature | None]] = {
    "slot": read_slot,
    "holes": read_holes,
    "pocket": read_pocket,
    "outside": read_outside,
    "step": read_step,
    "face": read_facing,
}


def load_job(path: Path, faults: Faults) -> Job | None:
    """Return the job of a file, or None with all that is wrong in it gathered."""
    root = read_toml(path, faults, named=drill_diameter)
    if root is None:
        return None
    if "jobs" in root.keys():  # noqa: SIM118 - a table is no mapping
        root.wrong("jobs", "this is a press file, which names jobs", "name the file of one job")
        return None
    return read_job(root, path.stem)


def load_jobs(path: Path, faults: Faults) -> tuple[tuple[Path, Job], ...]:
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


def _jobs_of(press: Press, path: Path, root: Table, faults: Faults) -> tuple[tuple[Path, Job], ...]:
    """Return the jobs that a press file names, with their mates settled."""
    paths = {name: path.parent / file for name, file in press.jobs.items()}
    jobs = {}
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


def _with_digest_of_mates(job: Job, own: int) -> Job:
    """Return a job whose digest changes with the mates that a press file adds to its own."""
    if len(job.mates) == own:
        return job
    meaning = f"{job.digest} {job.mates[own:]}"
    return replace(job, digest=hashlib.sha256(meaning.encode()).hexdigest()[:12])


def read_job(root: Table, name: str) -> Job | None:
    """Return the job of a root table, or None when anything in it was wrong."""
    root.with_units(root.choice("units", UNITS))
    title = root.text("title", default=name)
    tolerance_class = root.choice("tolerance_class", TOLERANCE_CLASSES, default="m")
    blank = _blank(root.table("blank"))
    tables = root.tables("setup", least=1)
    setups = _setups(tables, blank, tolerance_class)
    mates = [read_mate(table, of_press=False) for table in root.tables("mate")]
    root.no_more()
    guard_distinct(
        (table, setup.name)
        for table, setup in zip(tables, setups, strict=True)
        if setup is not None
    )
    if root.faulty:
        return None
    job = Job(
        name=name,
        title=title,
        units=root.units,
        tolerance_class=tolerance_class,
        blank=blank,
        setups=tuple(setup for setup in setups if setup is not None),
        digest=_digest(root, [setup for setup in setups if setup is not None]),
        where=root.where(),
    )
    settled, errors = settle({"": job}, [mate for mate in mates if mate is not None])
    every = [*errors, *meeting_errors(settled[""])]
    for error in every:
        root.record(error)
    return None if every else settled[""]


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


def _blank(table: Table) -> Blank:
    """Read ``[blank]``; what is returned is of use only if nothing was wrong."""
    table.choice("form", ("bar",))
    length = table.length("length", above=0)
    width = table.length("width", above=0)
    thickness = table.length("thickness", above=0)
    material = table.text("material")
    table.no_more()
    if not table.faulty:
        try:
            material = material_name(material)
        except ValueError as error:
            table.wrong("material", str(error), "`pathgen shop` lists the materials")
    return Blank(length=length, width=width, thickness=thickness, material=material)


def _setups(tables: tuple[Table, ...], blank: Blank, tolerance_class: str) -> list[JobSetup | None]:
    """Read each ``[[setup]]``: the blank comes to it as those before have left it."""
    stock, setups = Stock(box=blank.box), []
    for table in tables:
        setup = _setup(table, stock, blank, tolerance_class)
        if setup is not None:
            stock = stock_after(stock, setup.features, setup.frame, setup.name)
        setups.append(setup)
    return setups


def _setup(table: Table, stock: Stock, blank: Blank, tolerance_class: str) -> JobSetup | None:
    """Read one ``[[setup]]``."""
    name = table.text("name")
    machine = table.text("machine")
    hold = read_hold(table.table("hold"))
    lie = read_lie(table)
    datums, origin = read_datums(table.table("datum"), stock, lie)
    workpiece = Workpiece(lie=lie, box=Frame(lie, origin).box_into(stock.box))
    features, there = _features(table, workpiece, Frame(lie, origin), (blank, tolerance_class))
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
        where=table.where(),
    )


def _features(
    table: Table, workpiece: Workpiece, frame: Frame, site: tuple[Blank, str]
) -> tuple[list[Feature], list[There]]:
    """Read each ``[[setup.feature]]``: those to be cut, and those that are there already."""
    wanted: list[Feature] = []
    there: list[There] = []
    blank, tolerance_class = site
    for each in table.tables("feature", least=1):
        if not each.flag("there", default=False):
            feature = _feature(each, workpiece, tolerance_class)
            wanted.extend([] if feature is None else [feature])
            continue
        seen = _seen(each, blank) or (frame, workpiece)
        feature = _feature(each, seen[1], tolerance_class)
        if feature is not None:
            _guard_there(each, feature)
            there.append(There(feature=feature, frame=seen[0], box=seen[1].box))
    names = [each.name for each in wanted] + [each.feature.name for each in there]
    for twice in sorted({each for each in names if names.count(each) > 1}):
        table.wrong("feature", f"two features are called {twice!r}", "name them apart")
    if not wanted and not table.faulty:
        table.wrong("feature", "nothing is cut in this setup", "give what is, or leave it out")
    return wanted, there


def _seen(table: Table, blank: Blank) -> tuple[Frame, Workpiece] | None:
    """Read how else the blank is seen for what is there; None: as it lies in the setup.

    Its place is then from the corner on the left, nearest the person, of the blank as it comes.
    """
    if not (table.has("up") or table.has("towards_you")):
        return None
    lie = read_lie(table)
    corner = Frame(lie, (0.0, 0.0, 0.0))
    low, high = corner.box_into(blank.box)
    frame = Frame(lie, corner.out_of((low[0], low[1], high[2])))
    return frame, Workpiece(lie=lie, box=frame.box_into(blank.box))


def _guard_there(table: Table, feature: Feature) -> None:
    """Record what cannot be there already, the blank being measured as it is."""
    if isinstance(feature, Facing) or (isinstance(feature, Step) and feature.through):
        table.wrong(
            "kind", "a whole face that is gone", "give the blank as it is, and leave it out"
        )
    elif isinstance(feature, Outside) and not feature.cleared:
        table.wrong("kind", "a part that is cut out already", "give the part itself as the blank")


def _feature(table: Table, workpiece: Workpiece, tolerance_class: str) -> Feature | None:
    """Read one ``[[setup.feature]]`` by its kind."""
    readers = {
        kind: partial(_read_kind, read, (workpiece, tolerance_class))
        for kind, read in READERS.items()
    }
    return table.read_by("kind", readers)


def _read_kind(
    read: Callable[[Table, Workpiece, str], Feature | None],
    given: tuple[Workpiece, str],
    table: Table,
) -> Feature | None:
    """Read one feature by the reader of its kind, which is given what it lies in."""
    return read(table, *given)
