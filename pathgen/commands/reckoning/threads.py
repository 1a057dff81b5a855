"""Topics of threads: their figures, and the hole to tap."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import click

from pathgen.commands.reckoning.answer import Answer, Column, Row, Table, Wording, plain, same
from pathgen.commands.reckoning.crib import Crib, beside_option, find_crib
from pathgen.commands.reckoning.inputs import LENGTH, as_thread
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.drill_series import Drill, drill_name, drill_series, nearest_drills
from pathgen.reckon.lookalikes import lookalikes
from pathgen.reckon.tables import table
from pathgen.reckon.tapping import (
    TappingDrill,
    engagement,
    largest_minor,
    tapping_drill,
    tapping_hole,
)
from pathgen.reckon.thread_forms import Basis, BasisName
from pathgen.reckon.threads import Thread
from pathgen.shop.taps import taps_for

FEW = 4  # look-alikes told in full
HARD = 0.9  # share of a full thread above which a tap is hard to turn (common practice, no source)


def thread_source(thread: Thread) -> str:
    """Return where the figures of a thread are from."""
    keys = {"BSW": "bs84", "BSF": "bs84", "BA": "bs93", "BSP": "iso228"}
    keys |= {"UNC": "asme-b1-1", "UNF": "asme-b1-1"}
    if thread.family == "custom":
        return f"no standard: the {thread.form.name} form on the diameter and pitch given"
    source: str = table("threads")["sources"][keys.get(thread.family, "iso261")]
    return source


# ---------------------------------------------------------------- thread


@topic(
    "thread",
    Example(
        typed="thread 1/2 BSF",
        prints=("major diameter  0.5000 in  12.700 mm", "core of the nut  0.4200 in  10.667 mm"),
    ),
)
@click.argument("thread", metavar="THREAD", nargs=-1, required=True, callback=as_thread)
def thread(say: Wording, thread: Thread) -> Answer:
    """Tell a thread's diameters and pitch, and what it is mistaken for.

    THREAD as people write it: M6, M10x1.25, 1/4-20 UNC, 8-32 UNC, 1/2 BSF, 1/2 Whitworth, 2BA,
    1/2 BSP, "12 mm x 26 tpi 55 deg".
    """
    pairs = lookalikes(thread)
    more = len(pairs) - FEW
    others = ", ".join(pair.second.designation for pair in pairs[FEW:])
    return Answer(
        title=f"{thread.designation}: {thread.form.name} form",
        rows=tuple(_thread_rows(thread)),
        formula=(
            (
                f"core of the nut = major - 2 x {thread.form.depth_internal:.4f} x pitch = "
                f"{say.figure(thread.major)} - 2 x {thread.form.depth_internal:.4f} x "
                f"{say.figure(thread.pitch)} = {say.length(thread.minor_internal, 3)}"
            ),
        ),
        cautions=(
            *(pair.caution for pair in pairs[:FEW]),
            *((f"also taken for {others}",) if more > 0 else ()),
        ),
        sources=(thread_source(thread),),
    )


def _thread_rows(thread: Thread) -> Iterator[Row]:
    yield Row(quantity="major diameter", value=thread.major, unit="mm", places=3)
    yield Row(
        quantity="pitch",
        value=thread.pitch,
        unit="mm",
        places=4,
        note=f"{plain(thread.threads_an_inch, 3)} threads an inch",
    )
    if thread.starts > 1:
        yield Row(quantity="lead", value=thread.lead, unit="mm", places=4)
        yield Row(quantity="starts", value=float(thread.starts), places=0)
    yield Row(quantity="pitch diameter", value=thread.pitch_diameter, unit="mm", places=3)
    yield Row(quantity="core of the nut", value=thread.minor_internal, unit="mm", places=3)
    yield Row(quantity="core of the bolt", value=thread.minor_external, unit="mm", places=3)
    yield Row(
        quantity="depth on the bolt",
        value=thread.depth_external,
        unit="mm",
        places=3,
        note="on one side",
    )
    yield Row(quantity="radius at the root", value=thread.root_radius, unit="mm", places=3)
    yield Row(quantity="angle of the flanks", value=thread.form.angle_deg, unit="deg", places=1)
    if thread.left_hand:
        yield Row(quantity="hand", value="left")


# ---------------------------------------------------------------- tapping


@topic(
    "tapping",
    Example(
        typed="tapping 1/2 BSF",
        prints=(
            "hole for 75 %  0.4400 in  11.175 mm",
            "11.1 mm drill  78.7  0.4370  11.100",
            "10.7 mm drill  98.4  0.4213  10.700",
        ),
    ),
)
@click.argument("thread", metavar="THREAD", nargs=-1, required=True, callback=as_thread)
@click.option(
    "--engagement",
    "percent",
    metavar="PERCENT",
    type=click.FloatRange(10, 100),
    default=75,
    show_default=True,
    help="How much of a full thread there is to be.",
)
@click.option(
    "--counted-by",
    "basis",
    type=click.Choice(get_args(BasisName)),
    help="What a full thread is: chart, bolt, overlap (60 degrees), full (others).",
)
@click.option("--hole", type=LENGTH, help='A drill or hole to judge: 10.7, "letter F drill".')
@beside_option
def tapping(
    say: Wording,
    thread: Thread,
    percent: float,
    basis: BasisName | None,
    hole: float | None,
    beside: Path,
) -> Answer:
    """Find the hole to tap THREAD in: for an engagement, or what a drill gives.

    The drills on either side are named, of your crib and of the series, with the engagement that
    each leaves.
    """
    wanted = tapping_hole(thread, percent / 100, basis)
    crib = find_crib(beside)
    offers = _offers(thread, wanted, hole, crib)
    drills = {drill.diameter: tapping_drill(thread, drill, basis) for drill, _ in offers}
    counted = thread.form.basis(basis)
    return Answer(
        title=f"Tapping hole for {thread.designation}",
        rows=tuple(_tapping_rows(thread, wanted, f"hole for {percent:g} %", counted)),
        tables=(_drill_table(thread, offers, drills),),
        formula=(
            (
                f"hole = major - 2 x engagement x depth = {say.figure(thread.major)} - 2 x "
                f"{percent / 100:g} x {counted.depth:.4f} x {say.figure(thread.pitch)} = "
                f"{say.length(wanted, 3)}"
            ),
            *(
                f"% by {each.name}: {each.words}"
                for each in thread.form.bases
                if len(thread.form.bases) > 1
            ),
        ),
        advice=tuple(_tapping_advice(thread, wanted, crib, basis)),
        cautions=(*_tapping_cautions(thread, wanted, basis), *crib.cautions),
        sources=(thread_source(thread), f"engagement of {percent:g} %: common practice, no source"),
    )


def _tapping_rows(thread: Thread, wanted: float, words: str, counted: Basis) -> Iterator[Row]:
    yield Row(quantity=words, value=wanted, unit="mm", places=3, note=counted.words)
    yield Row(quantity="core of the nut", value=thread.minor_internal, unit="mm", places=3)
    largest = largest_minor(thread)
    if largest is not None:
        yield Row(quantity="largest core allowed", value=largest, unit="mm", places=3)


def _offers(
    thread: Thread, wanted: float, hole: float | None, crib: Crib
) -> list[tuple[Drill, str]]:
    """Return the drills worth a look, smallest first, with why each is named."""
    found: list[tuple[Drill, str]] = []
    if hole is not None:
        name = drill_name(hole) or f"a hole of {plain(hole, 3)} mm"
        found.append((Drill(name=name, series="metric", diameter=hole), "as asked"))
    over_core = _over_core(thread)
    if over_core is not None:
        found.append((over_core, "just over the core"))
    for drills, words in (
        (crib.around(wanted), "in the crib"),
        (nearest_drills(wanted, ("metric",)), "metric series"),
        (nearest_drills(wanted, ("fractional", "letter", "number")), "inch series"),
    ):
        found += [(drill, words) for drill in drills if drill and drill.diameter < thread.major]
    merged: list[tuple[Drill, str]] = []
    for drill, words in sorted(found, key=lambda each: each[0].diameter):
        if merged and same(merged[-1][0].diameter, drill.diameter):
            known = merged[-1][1]
            merged[-1] = (merged[-1][0], known if words in known else f"{known}, {words}")
        else:
            merged.append((drill, words))
    return merged


def _over_core(thread: Thread) -> Drill | None:
    """Return the metric drill at the core of the nut or next above it."""
    drill = nearest_drills(thread.minor_internal, ("metric",))[1]
    return drill if drill and drill.diameter < thread.major else None


def _drill_table(
    thread: Thread, offers: list[tuple[Drill, str]], drills: dict[float, TappingDrill]
) -> Table:
    """Return the drills with the engagement of each, by every basis."""
    bases = thread.form.bases
    headings = [f"% by {basis.name}" for basis in bases] if len(bases) > 1 else ["% of full"]
    columns = [Column(heading=heading, places=1) for heading in headings]
    return Table(
        title="Drills and the engagement each leaves",
        columns=(
            Column(heading="drill"),
            *columns,
            Column(heading="diameter", unit="mm", places=3),
            Column(heading=""),
        ),
        lines=tuple(
            (
                drill.name,
                *(100 * share for _, share in drills[drill.diameter].by_basis),
                drill.diameter,
                words + _remark(drills[drill.diameter], thread),
            )
            for drill, words in offers
        ),
    )


def _remark(drill: TappingDrill, thread: Thread) -> str:
    if drill.caution is None:
        return ""
    under = drill.drill.diameter < thread.minor_internal
    return "; UNDER THE CORE, the tap breaks" if under else "; over the largest core allowed"


def _tapping_advice(
    thread: Thread, wanted: float, crib: Crib, basis: BasisName | None
) -> Iterator[str]:
    """Yield which drill to take, out of the crib where it has one that will do, and which taps."""
    for held, words in (
        (crib.drills, "of the crib"),
        (drill_series("metric"), "of the metric series; the crib has none that will do"),
    ):
        offers = [tapping_drill(thread, d, basis) for d in held if d.diameter < thread.major]
        sound = [offer for offer in offers if offer.caution is None]
        if sound:
            best = min(sound, key=lambda each: abs(each.drill.diameter - wanted))
            share = f"{100 * best.engagement:.0f} % {best.basis.words}"
            yield f"take the {best.drill.name} {words}: {share}"
            break
    else:
        yield "no drill of the crib or of the metric series will do: bore the hole"
    leads = taps_for(thread, crib.taps)
    yield f"taps in the crib: {', '.join(leads) or 'none of this thread'}"


def _tapping_cautions(thread: Thread, wanted: float, basis: BasisName | None) -> Iterator[str]:
    over_core, below = _over_core(thread), nearest_drills(wanted, ("metric",))[0]
    if over_core is not None and engagement(thread, over_core.diameter) > HARD:
        share = engagement(thread, over_core.diameter, basis)
        text = (
            f"the {over_core.name}, just over the core, is what many take (common practice, no "
            f"source): it leaves {100 * share:.0f} % of the depth and taps hard"
        )
        if below is not None and below.diameter > over_core.diameter:
            text += (
                f"; the {below.name} leaves {100 * engagement(thread, below.diameter, basis):.0f} %"
            )
        yield text
    alike = [pair.second for pair in lookalikes(thread) if pair.alike == "name"]
    if alike:
        names = ", ".join(
            f"{each.designation} ({plain(each.major, 3)} mm, {plain(each.threads_an_inch, 2)} "
            "an inch)"
            for each in alike[:FEW]
        )
        yield f"not to be taken for {names}"
