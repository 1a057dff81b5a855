"""From a job to what is handed over, read back and checked: what `make` and `check` share."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Protocol, cast

from pathgen.check.findings import Report, merge_reports
from pathgen.check.left import Left
from pathgen.input.naming import file_stem
from pathgen.input.where import Faults, JobError, Where
from pathgen.job.job import Job
from pathgen.job.load import load_job, load_jobs
from pathgen.job.named import AnyJob, AnySetup
from pathgen.job.turned import TurnedJob, TurnedSetup
from pathgen.moves.actions import Measure
from pathgen.moves.plan import Head, Heading, PlannedSetup, Run, joined
from pathgen.shop.machines import Machine
from pathgen.shop.shop import Shop, find_shop

if TYPE_CHECKING:
    from pathgen.commands.page_parts import Parts, Shown

Tell = Callable[[str], None]  # is told what is being done, for progress
TRADES = {False: "milled", True: "turned"}  # by whether the machine is a lathe
FORMS = {True: "as_sheet", False: "as_program"}  # by whether the machine is worked by handles
ASKED_AT = Where("--machine", 0, "")
NOT_READ = {  # what lies beside what is read, by suffix: what it is, what to give instead
    ".txt": ("the sheet for people", "the file of its steps, .json,"),
    ".html": ("a page", "the program, .ngc, or the steps, .json,"),
    ".svg": ("a drawing", "the program, .ngc, or the steps, .json,"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Workplace:
    """One setup of a job on a machine, with what the setups before it left of the blank."""

    job: AnyJob
    setup: AnySetup
    machine: Machine
    shop: Shop
    left: Left | None = None
    part: str = ""  # which part of its work, where that is not all of it: "from-pass-5"

    @property
    def stem(self) -> str:
        """Return how the setup's files are called: by setup, machine, and part of its work."""
        names = (file_stem(self.setup.name), file_stem(self.machine.name), self.part)
        return ".".join(name for name in names if name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What was handed over, or would be: the text, what it does, and what the check says."""

    place: Workplace
    plan: PlannedSetup | None  # None when the text came from a file
    text: str  # the program, or the dial sheet as JSON
    run: Run  # as read back; of a sheet, its first case
    report: Report
    done: Run | None = None  # what the passes before it did, where it goes on after a stop


class Form(Protocol):
    """A form in which work is handed over: a module that is loaded when it is needed."""

    SUFFIX: str

    def written(self, place: Workplace, plan: PlannedSetup) -> str:
        """Return what is handed over, as the text that is read back."""

    def read_back(self, place: Workplace, text: str, file: str, tell: Tell) -> Iterator[Run]:
        """Yield what the text does, once for each case in which it may be followed."""

    def head_of(self, text: str, file: str) -> Head:
        """Return what a text says of itself."""

    def faces(self, proof: Proof) -> dict[str, str]:
        """Return the files to write, by suffix."""

    def page_parts(self, proof: Proof) -> Parts:
        """Return what the page of the setup is made of."""

    def believed(self, text: str, file: str) -> str:
        """Return what of a text is not proved but believed: words, above all."""

    def handle_moves(self, proof: Proof) -> int | None:
        """Return how many times a handle is wound; None where there are no handles."""


class Trade(Protocol):
    """What differs between milled and turned work: a module that is loaded when it is needed."""

    def planned(self, place: Workplace, begins_at: int = 0) -> PlannedSetup:
        """Return the plan of a setup, or of what is left of it from a pass on."""

    def stopped(self, plan: PlannedSetup, made: int) -> PlannedSetup:
        """Return the plan of the first passes, and how the machine is left after them."""

    def checked(self, place: Workplace, run: Run) -> Report:
        """Return what a run makes of the blank."""

    def completed(self, report: Report, place: Workplace, file: str) -> Report:
        """Return the report of all cases with what is judged over all of them."""

    def blank_words(self, job: AnyJob) -> str:
        """Return what the blank is."""

    def shown(self, proof: Proof, parts: Parts) -> Shown:
        """Return what a page shows of a setup."""

    def strip(self, proof: Proof, parts: Parts, name: str) -> str:
        """Return the pictures of all passes for a page, the names of their parts begun so."""

    def passes(self, proof: Proof, parts: Parts) -> str:
        """Return the pictures of all passes as one drawing, as SVG; or nothing."""

    def drawing(self, proof: Proof, headings: Sequence[Heading]) -> str:
        """Return the drawing of what was made, as SVG, its passes under their headings."""


def trade_of(job: AnyJob) -> Trade:
    """Return what differs for a job by its kind of work."""
    name = TRADES[isinstance(job, TurnedJob)]
    return cast(Trade, import_module(f"pathgen.commands.{name}"))


def form_for(machine: Machine) -> Form:
    """Return the form in which a machine is told what to do."""
    return form(by_handles=machine.manual)


def form(*, by_handles: bool) -> Form:
    """Return the form of work by handles, or of work by programs."""
    return cast(Form, import_module(f"pathgen.commands.{FORMS[by_handles]}"))


def load(job_file: Path, machine: str | None = None) -> tuple[AnyJob, Shop]:
    """Return the job and the shop around it.

    Raises:
        JobErrors: all that is wrong in the job, the machines and the crib at once.
    """
    faults = Faults()
    job = load_job(job_file, faults)
    jobs = () if job is None else ((job_file, job),)
    return _with_shops(jobs, job_file, faults, machine)[0]


def load_all(file: Path, machine: str | None = None) -> tuple[tuple[AnyJob, Shop], ...]:
    """Return the job of a file, or all jobs of a press file, each with the shop around it.

    Raises:
        JobErrors: all that is wrong in the jobs, the mates, the machines and the cribs at once.
    """
    faults = Faults()
    return _with_shops(load_jobs(file, faults), file, faults, machine)


def _with_shops(
    jobs: Sequence[tuple[Path, AnyJob]], named: Path, faults: Faults, machine: str | None
) -> tuple[tuple[AnyJob, Shop], ...]:
    """Return jobs with the shops around them, one at least; raise all that was wrong."""
    folders = {path.parent for path in (named, *dict(jobs))}
    shops = {folder: find_shop(folder, faults) for folder in sorted(folders)}
    for path, job in jobs:
        _find_machines(job, shops[path.parent], faults, machine)
    faults.raise_any()
    assert jobs, "a job that is not there has left a fault"
    return tuple((job, shops[path.parent]) for path, job in jobs)


def _find_machines(job: AnyJob, shop: Shop, faults: Faults, override: str | None) -> None:
    """Gather an error for each machine asked for that the shop does not have."""
    for setup in job.setups:
        try:
            machine_of(setup, shop, override)
        except JobError as error:
            faults.extend([error])


def machine_of(
    setup: AnySetup, shop: Shop, override: str | None, asked_at: Where = ASKED_AT
) -> Machine:
    """Return the machine of a setup, or the one asked for in its place.

    Raises:
        JobError: there is none of that name, or it is a mill for turned work, or the other way.
    """
    where = setup.where.at("machine") if override is None else asked_at
    machine = shop.machine(override or setup.machine, where)
    turned = isinstance(setup, TurnedSetup)
    if turned != (machine.lathe is not None):
        work = "turned, and" if turned else "milled, and"
        kind = "a lathe" if turned else "a mill"
        raise JobError(where, f"the part is {work} {machine.title} is not {kind}", f"name {kind}")
    return machine


def prove_job(job: AnyJob, shop: Shop, override: str | None, tell: Tell) -> Iterator[Proof]:
    """Yield the proof of each setup in turn; each begins with what the one before really left."""
    left: Left | None = None
    for setup in job.setups:
        machine = machine_of(setup, shop, override)
        place = Workplace(job=job, setup=setup, machine=machine, shop=shop, left=left)
        proof = prove_setup(place, tell)
        left = proof.report.left
        yield proof


def prove_file(
    jobs: Sequence[tuple[AnyJob, Shop]], made: Path, override: str | None, tell: Tell
) -> Proof:
    """Return the proof of a program or of a sheet's JSON, as it stands in a file.

    Args:
        jobs: with their shops; of several, the one that the file was made for is taken.
        made: the file.
        override: the machine, if not the one that the file names.
        tell: is told what is being done.

    Raises:
        InputError: it cannot be read, or was made for a job, setup or machine that is not there.
    """
    text = _read(made)
    sheet = made.suffix == ".json" or text.lstrip().startswith(("{", "["))
    head = form(by_handles=sheet).head_of(text, str(made))
    job, shop = _job_of(jobs, head, made)
    setup = _setup_of(job, head, made)
    named = Where(str(made), 0, "machine")
    machine = machine_of(setup, shop, override or head.machine or setup.machine, named)
    if machine.manual != sheet:
        raise JobError(
            Where(str(made), 0, ""),
            f"a {'dial sheet' if sheet else 'program'}, but {machine.title} "
            f"{'has handles' if machine.manual else 'reads programs'}",
            f"it was made for {head.machine!r}: leave --machine out"
            if override and head.machine
            else "name the machine it was made for with --machine",
        )
    left = _left_before(setup, job, shop, override, tell)
    place = Workplace(job=job, setup=setup, machine=machine, shop=shop, left=left)
    if not head.begins_at:
        return prove_text(place, text, str(made), tell)
    from pathgen.commands.going_on import begun  # noqa: PLC0415 - it proves by this module

    found = head.found[0] if head.found else None
    going = begun(prove_setup(place, tell), head.begins_at, found, tell)
    return prove_text(going.place, text, str(made), tell, done=going.done)


def _read(path: Path) -> str:
    """Return the text of a file that a person named."""
    where = Where(str(path), 0, "")
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise JobError(where, "not a text", "give a program or the JSON of a dial sheet") from error
    except OSError as error:
        raise JobError(where, error.strerror or "cannot be read", "name a file to read") from error
    if path.suffix in NOT_READ:
        what, instead = NOT_READ[path.suffix]
        raise JobError(where, f"{what}, which is not read back", f"give {instead} beside it")
    return text


def _job_of(jobs: Sequence[tuple[AnyJob, Shop]], head: Head, made: Path) -> tuple[AnyJob, Shop]:
    """Return the job that a file was made for, by its digest, else by its title."""
    if len(jobs) == 1:
        return jobs[0]
    for alike in (
        [pair for pair in jobs if pair[0].digest == head.digest],
        [pair for pair in jobs if pair[0].title == head.title],
    ):
        if len(alike) == 1:
            return alike[0]
    names = ", ".join(repr(job.title) for job, _ in jobs)
    raise JobError(
        Where(str(made), 0, "title"),
        f"made for {head.title!r}, which is not one of the jobs",
        f"they are {names}; or name the job's own file",
    )


def _setup_of(job: AnyJob, head: Head, made: Path) -> AnySetup:
    """Return the setup that a file says it was made for; the only one where it says nothing."""
    if not head.setup and len(job.setups) == 1:
        return job.setups[0]
    for setup in job.setups:
        if setup.name == head.setup:
            return setup
    names = ", ".join(repr(setup.name) for setup in job.setups)
    raise JobError(
        Where(str(made), 0, "setup"),
        f"made for setup {head.setup!r}, which the job does not have",
        f"the job has {names}",
    )


def _left_before(
    setup: AnySetup, job: AnyJob, shop: Shop, override: str | None, tell: Tell
) -> Left | None:
    """Return what the planned setups before one leave of the blank, None before the first."""
    number = [each.name for each in job.setups].index(setup.name)
    earlier: AnyJob
    if isinstance(job, Job):
        earlier = replace(job, setups=job.setups[:number])
    else:
        earlier = replace(job, setups=job.setups[:number])
    left: Left | None = None
    for proof in prove_job(earlier, shop, override, tell):
        left = proof.report.left
    return left


def prove_setup(place: Workplace, tell: Tell) -> Proof:
    """Return the proof of one setup: planned, written, read back from the text, checked.

    Raises:
        Refusal: something cannot be done on this machine with this crib.
    """
    tell(f"planning {place.setup.name}")
    crib = place.shop.crib
    plan = trade_of(place.job).planned(place)
    plan = replace(plan, head=replace(plan.head, crib=crib.title))
    form = form_for(place.machine)
    text = form.written(place, plan)
    return prove_text(place, text, f"{place.stem}{form.SUFFIX}", tell, plan)


def prove_text(
    place: Workplace,
    text: str,
    file: str,
    tell: Tell,
    plan: PlannedSetup | None = None,
    done: Run | None = None,
) -> Proof:
    """Return the proof of a program, or of a sheet's JSON, for the machine of a workplace.

    A sheet is followed in every case of slack and measurement, a program once.

    Args:
        place: the setup on its machine.
        text: what is proved.
        file: what messages call it.
        tell: is told what is being done.
        plan: what it was written from, if that is known.
        done: what the passes did before the one that it begins with.
    """
    first: Run | None = None
    runs: list[Run] = []  # without what tells their cases apart and bears on nothing
    reports: list[Report] = []
    trade = trade_of(place.job)
    for run in form_for(place.machine).read_back(place, text, file, tell):
        alike = _without_case(run)
        if alike in runs:  # another case that comes to the very same moves
            report = reports[runs.index(alike)]
        else:
            tell(f"checking {file}")
            report = trade.checked(place, run if done is None else joined(done, run))
        first = first or run
        runs.append(alike)
        reports.append(replace(report, case=run.case))
    assert first is not None, "a text is followed in one case at least"
    report = merge_reports(reports) if len(reports) > 1 else reports[0]
    report = trade.completed(report, place, file)
    return Proof(place=place, plan=plan, text=text, run=first, report=report, done=done)


def _without_case(run: Run) -> Run:
    """Return a run without its case's name, and the readings noted in it that no rule asks for."""
    if not run.found:
        return replace(run, case="")
    measured = {item.name for item in run.items if isinstance(item, Measure)}
    found = tuple((name, value) for name, value in run.found if name in measured)
    return replace(run, case="", found=found)
