"""From a job to what is handed over, read back and checked: what `make` and `check` share."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pathgen.check.findings import Report, merge_reports
from pathgen.check.metal.left import Left
from pathgen.commands.loading import machine_of
from pathgen.commands.workplace import Proof, Tell, Workplace, form_for, trade_of
from pathgen.job.mating.named import AnyJob
from pathgen.moves.actions import Measure
from pathgen.moves.plan import PlannedSetup, Run, joined
from pathgen.shop.shop import Shop


def prove_job(job: AnyJob, shop: Shop, override: str | None, tell: Tell) -> Iterator[Proof]:
    """Yield the proof of each setup in turn; each begins with what the one before really left."""
    left: Left | None = None
    for setup in job.setups:
        machine = machine_of(setup, shop, override)
        place = Workplace(job=job, setup=setup, machine=machine, shop=shop, left=left)
        proof = prove_setup(place, tell)
        left = proof.report.left
        yield proof


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
