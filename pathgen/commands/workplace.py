"""A setup of a job on its machine, what is proved of it, and what differs by trade and form."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING, Protocol, cast

from pathgen.check.findings import Report
from pathgen.check.metal.left import Left
from pathgen.input.naming import file_stem
from pathgen.job.mating.named import AnyJob, AnySetup
from pathgen.job.turning.turned import TurnedJob
from pathgen.moves.plan import Head, Heading, PlannedSetup, Run
from pathgen.shop.machines import Machine
from pathgen.shop.shop import Shop

if TYPE_CHECKING:
    from pathgen.commands.page_parts import Parts, Shown


Tell = Callable[[str], None]  # is told what is being done, for progress
TRADES = {False: "milled", True: "turned"}  # by whether the machine is a lathe
FORMS = {True: "as_sheet", False: "as_program"}  # by whether the machine is worked by handles


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
