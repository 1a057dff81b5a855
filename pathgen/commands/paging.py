"""The pages that `make` writes: of each setup, and of the job."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from pathgen.commands.milled import of_mill
from pathgen.commands.telling import size_row
from pathgen.input.units import figure
from pathgen.moves.plan import Heading, Run
from postprocessors.dials.faces.text import goes_on
from postprocessors.drawing.chart import draw_chart
from postprocessors.drawing.printed_views import draw_printed_views
from postprocessors.drawing.scene import Scene, scene_of
from postprocessors.drawing.stages import Cut, Stand, stages_of
from postprocessors.drawing.strip import Stage, draw_strip
from postprocessors.drawing.touch_sketch import draw_touches
from postprocessors.page.pages import (
    About,
    Follow,
    Group,
    Pictures,
    job_page,
    setup_page,
    shown,
)
from postprocessors.page.pages import Stand as PageStand

if TYPE_CHECKING:
    from pathgen.commands.proving import Form, Proof

LAST = 10**9  # beyond every step and line
TIMES = "\N{MULTIPLICATION SIGN}"


class Parts(NamedTuple):
    """What a form of work gives for its page."""

    groups: tuple[Group, ...]
    cutters: tuple[tuple[str, str, str], ...]
    reading: tuple[str, ...]
    dials: tuple[dict[str, str], ...]
    follow: Follow
    headings: tuple[Heading, ...]  # of the passes, by step or line
    ends: tuple[int, ...] | None  # the last line of each card; None where a card is a step


def page_of(proof: Proof, parts: Parts, *, index: str, not_proved: str = "") -> str:
    """Return the page of a setup.

    Args:
        proof: what is handed over.
        parts: what its form gives.
        index: the file of the job's page.
        not_proved: what the person is told where the check found something.
    """
    place = proof.place
    about = About(
        index=index,
        title=place.job.title,
        setup=place.setup.name,
        machine=place.machine.title,
        digest=place.job.digest,
        facts=_facts(proof),
        cutters=parts.cutters,
        reading=parts.reading,
        dials=parts.dials,
        not_proved=not_proved,
    )
    scene = drawn(proof, parts.headings)
    cuts, stands = stages_of(proof.run, scene.cutters, scene.high[2])
    pictures = Pictures(
        chart=draw_chart(scene, _by_card(cuts, parts.ends)),
        views=draw_printed_views(scene) or "",
        sketch=draw_touches(scene, proof.run) or "",
        strip=draw_strip(scene, cuts, stages(proof.run, parts)) or "",
    )
    follow = parts.follow
    if not follow.stands:
        follow = replace(follow, stands=_stands(stands, parts.ends))
    return setup_page(about, parts.groups, follow, pictures)


def drawn(proof: Proof, headings: tuple[Heading, ...]) -> Scene:
    """Return what the drawings of a proof show."""
    place = proof.place
    run = replace(proof.run, headings=headings)
    return scene_of(*of_mill(place), run, place.shop.cutters)


def stages(run: Run, parts: Parts) -> list[Stage]:
    """Return the passes by their headings, numbered in order."""
    names = {cutter.number: cutter.name for cutter in run.head.cutters}
    first = run.head.passes_before + 1
    ends = [heading.number for heading in parts.headings[1:]] + [LAST]
    return [
        Stage(
            number=number,
            title=f"{heading.purpose}: {heading.feature}",
            cutter=names.get(heading.cutter, ""),
            first=heading.number,
            end=end,
        )
        for number, (heading, end) in enumerate(zip(parts.headings, ends, strict=True), start=first)
    ]


def _facts(proof: Proof) -> tuple[tuple[str, str], ...]:
    """Return what stands at the head of the sheet: blank, material, tolerance, crib."""
    place = proof.place
    later = goes_on(proof.run.head, place.job.units)
    return (
        *((("Goes on", later),) if later else ()),
        ("Blank", blank_words(proof)),
        ("Held", of_mill(place)[1].hold.how),
        ("Machine", f"{place.machine.title} ({place.machine.name})"),
        ("Cutters from", place.shop.crib.title),
        ("Limits not stated", f"ISO 2768-1 {place.job.tolerance_class}"),
        ("Lengths in", "inches" if place.job.units == "in" else "millimetres"),
    )


def blank_words(proof: Proof) -> str:
    """Return what the job's blank is."""
    job, _ = of_mill(proof.place)
    sizes = (job.blank.length, job.blank.width, job.blank.thickness)
    size = f" {TIMES} ".join(figure(each, job.units) for each in sizes)
    return f"{job.blank.material}, {size} {job.units}"


def _card_of(number: int, ends: tuple[int, ...] | None) -> int:
    """Return the card that a step or a line belongs to."""
    if ends is None:
        return number
    return min(bisect_left(ends, number) + 1, len(ends))


def _by_card(cuts: Sequence[Cut], ends: tuple[int, ...] | None) -> list[Cut]:
    return [replace(cut, number=_card_of(cut.number, ends)) for cut in cuts]


def _stands(stands: Sequence[Stand], ends: tuple[int, ...] | None) -> Mapping[int, PageStand]:
    """Return where the tool is after each card."""
    return {_card_of(each.number, ends): (*each.place, each.diameter) for each in stands}


def entry_of(proof: Proof, form: Form, parts: Parts, name: str) -> dict[str, object]:
    """Return what the page of a job tells of a setup.

    Args:
        proof: of the setup.
        form: in which it is handed over.
        parts: what its page is made of.
        name: begins the names of the parts of its picture.
    """
    place = proof.place
    files = [(f"{place.stem}{suffix}", FILES[suffix]) for suffix in form.faces(proof)]
    steps = sum(len(group.cards) for group in parts.groups)
    moves = form.handle_moves(proof)
    scene = drawn(proof, parts.headings)
    cuts, _ = stages_of(proof.run, scene.cutters, scene.high[2])
    return {
        "name": place.setup.name,
        "machine": place.machine.title,
        "amount": f"{steps} steps" + ("" if moves is None else f", {moves} of them handle moves"),
        "page": f"{place.stem}.html",
        "by_hand": place.machine.manual,
        "files": [*files, (f"{place.stem}.svg", "the drawing")],
        "sizes": [size_row(size, inches=place.job.units == "in") for size in proof.report.sizes],
        "strip": shown(draw_strip(scene, cuts, stages(proof.run, parts), name)),
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
            "blank": blank_words(proof),
            "digest": job.digest,
            "setups": entries,
            "not_proved": not_proved,
        }
    )
