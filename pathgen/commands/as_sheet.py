"""Work handed over as a sheet of handwheel readings, for a machine that is worked by hand."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from functools import lru_cache
from typing import TYPE_CHECKING

from pathgen.commands.page_parts import Parts
from pathgen.moves.plan import Trouble
from postprocessors.dials.faces.json import dump_sheet, load_sheet
from postprocessors.dials.faces.text import write_text
from postprocessors.dials.headings import compare_headings
from postprocessors.dials.heights import compare_heights
from postprocessors.dials.rehearsal import rehearse
from postprocessors.dials.replay import replay, replay_cases
from postprocessors.dials.steps import Sheet, WindStep
from postprocessors.dials.thread_passes import compare_passes
from postprocessors.dials.words_alone import spans, words_alone
from postprocessors.dials.writer import write_sheet
from postprocessors.page.of_sheet import (
    cutters_of,
    dials_of,
    groups_of,
    reading_of,
    stands_of,
)
from postprocessors.page.pages import Follow

if TYPE_CHECKING:
    from pathgen.commands.workplace import Proof, Tell, Workplace
    from pathgen.moves.plan import Head, PlannedSetup, Run

SUFFIX = ".json"


def written(place: Workplace, plan: PlannedSetup) -> str:
    """Return the sheet's steps as JSON."""
    return dump_sheet(write_sheet(plan, place.machine, place.job.units))


def read_back(place: Workplace, text: str, file: str, tell: Tell) -> Iterator[Run]:
    """Yield what following the sheet does, in every case of slack and measurement."""
    sheet = load_sheet(text, file)
    cases = replay_cases(sheet, place.machine)
    met = (
        *rehearse(sheet, place.machine),
        *compare_headings(sheet),
        *compare_heights(sheet),
        *compare_passes(sheet),
        *_other_units(sheet, place),
    )
    for number, case in enumerate(cases, start=1):
        tell(f"following {file}, case {number} of {len(cases)}")
        run = replay(sheet, place.machine, case, file=file)
        yield dataclasses.replace(run, troubles=(*run.troubles, *met))


def _other_units(sheet: Sheet, place: Workplace) -> Iterator[Trouble]:
    """Yield that a sheet is printed in other units than the job speaks."""
    if sheet.units != place.job.units:
        yield Trouble(
            number=1,
            what=f"the sheet is in {sheet.units}, the job in {place.job.units}",
            remedy="make the sheet anew",
            code="heading",
        )


def head_of(text: str, file: str) -> Head:
    """Return what a sheet says of itself."""
    return load_sheet(text, file).head


@lru_cache(maxsize=8)
def _loaded(text: str, file: str) -> Sheet:
    """Return the sheet of a text that was read back already."""
    return load_sheet(text, file)


def faces(proof: Proof) -> dict[str, str]:
    """Return the sheet to print and its steps, by suffix."""
    sheet = _loaded(proof.text, proof.run.file)
    return {".txt": write_text(sheet, proof.place.machine), SUFFIX: proof.text}


def page_parts(proof: Proof) -> Parts:
    """Return what the page of a sheet is made of."""
    sheet = _loaded(proof.text, proof.run.file)
    return Parts(
        groups=groups_of(sheet),
        cutters=cutters_of(sheet),
        reading=reading_of(sheet),
        dials=dials_of(sheet),
        follow=Follow(
            text=proof.text, units=sheet.units, dials=sheet.dials, stands=stands_of(sheet)
        ),
        headings=proof.run.headings,
        ends=None,
    )


def believed(text: str, file: str) -> str:
    """Return what of a sheet is not proved but believed."""
    said = ", ".join(spans(words_alone(load_sheet(text, file))))
    return (
        f"the words of {said} (clamping, cautions, notes); what stands beside a line, a term or a "
        "heading as its name or reason; how wide a heading has a cut; that the machine, its "
        "slack, the cutters, the blank and what holds it are as they are described"
    )


def handle_moves(proof: Proof) -> int:
    """Return how many times a handle is wound."""
    steps = _loaded(proof.text, proof.run.file).steps
    return sum(isinstance(step, WindStep) for step in steps)
