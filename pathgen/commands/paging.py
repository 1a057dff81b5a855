"""The pages that `make` writes: of each setup, and of the job."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from pathgen.commands.telling import size_row
from pathgen.commands.workplace import form_for, trade_of
from postprocessors.dials.faces.text import goes_on
from postprocessors.page.pages import About, job_page, setup_page, shown

if TYPE_CHECKING:
    from pathgen.commands.page_parts import Parts, Shown
    from pathgen.commands.workplace import Proof
    from postprocessors.drawing.stages import Stand
    from postprocessors.page.pages import Stand as PageStand


def page_of(proof: Proof, parts: Parts, *, index: str, not_proved: str = "") -> str:
    """Return the page of a setup.

    Args:
        proof: what is handed over.
        parts: what its form gives.
        index: the file of the job's page.
        not_proved: what the person is told where the check found something.
    """
    place = proof.place
    seen = trade_of(place.job).shown(proof, parts)
    about = About(
        index=index,
        title=place.job.title,
        setup=place.setup.name,
        machine=place.machine.title,
        digest=place.job.digest,
        facts=_facts(proof, seen),
        cutters=parts.cutters,
        reading=parts.reading,
        called=_called(proof),
        dials=parts.dials,
        not_proved=not_proved,
    )
    follow = parts.follow
    if not follow.stands:
        follow = replace(follow, stands=_stands(seen.stands, parts))
    return setup_page(about, parts.groups, follow, seen.pictures)


def _facts(proof: Proof, seen: Shown) -> tuple[tuple[str, str], ...]:
    """Return what stands at the head of the sheet: blank, material, tolerance, crib."""
    place = proof.place
    later = goes_on(proof.run.head, place.job.units)
    return (
        *((("Goes on", later),) if later else ()),
        ("Blank", seen.blank),
        ("Held", seen.held),
        ("Machine", f"{place.machine.title} ({place.machine.name})"),
        (f"{_called(proof).capitalize()}s from", place.shop.crib.title),
        ("Limits not stated", f"ISO 2768-1 {place.job.tolerance_class}"),
        ("Lengths in", "inches" if place.job.units == "in" else "millimetres"),
    )


def _called(proof: Proof) -> str:
    """Return what a cutter is called in the setup's trade."""
    return "cutter" if proof.place.machine.lathe is None else "tool"


def _stands(stands: Sequence[Stand], parts: Parts) -> Mapping[int, PageStand]:
    """Return where the tool is after each card."""
    return {parts.card_of(each.number): (*each.place, each.diameter) for each in stands}


def entry_of(proof: Proof, parts: Parts, name: str) -> dict[str, object]:
    """Return what the page of a job tells of a setup.

    Args:
        proof: of the setup.
        parts: what its page is made of.
        name: begins the names of the parts of its picture.
    """
    form = form_for(proof.place.machine)
    place = proof.place
    files = [(f"{place.stem}{suffix}", FILES[suffix]) for suffix in form.faces(proof)]
    steps = sum(len(group.cards) for group in parts.groups)
    moves = form.handle_moves(proof)
    return {
        "name": place.setup.name,
        "machine": place.machine.title,
        "amount": f"{steps} steps" + ("" if moves is None else f", {moves} of them handle moves"),
        "page": f"{place.stem}.html",
        "by_hand": place.machine.manual,
        "files": [*files, (f"{place.stem}.svg", "the drawing")],
        "sizes": [size_row(size, inches=place.job.units == "in") for size in proof.report.sizes],
        "strip": shown(trade_of(place.job).strip(proof, parts, name)),
    }


FILES = {".ngc": "the program", ".txt": "the sheet as text", ".json": "its steps as data"}


def index_of(proof: Proof, entries: Sequence[Mapping[str, object]], *, not_proved: str) -> str:
    """Return the page of a job.

    Args:
        proof: of its first setup.
        entries: what is told of each of its setups.
        not_proved: what the person is told where the check found something.
    """
    job = proof.place.job
    return job_page(
        {
            "title": job.title,
            "blank": trade_of(job).blank_words(job),
            "digest": job.digest,
            "setups": entries,
            "not_proved": not_proved,
        }
    )
