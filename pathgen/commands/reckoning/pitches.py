"""Pitches that run together within a length, and those that only seem to."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, cast

import click

from pathgen import INCH
from pathgen.commands.reckoning.answer import Answer, Column, Row, Table, Wording, plain
from pathgen.commands.reckoning.inputs import LENGTH, UNITS_KEY, ParamType, refuse
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.pitches import ALLOWED_DRIFT, PitchMatch, near_pitches, pitch_match

if TYPE_CHECKING:
    from pathgen.reckon.threads import Thread

USUAL_LENGTH = 1.0  # of the diameter: what a nut or a tapped hole holds (common practice)
PLAIN_LENGTH = 10.0  # mm, where no thread tells a diameter
_PITCH = re.compile(r"(\d+\.?\d*|\.\d+) *(mm|tpi|(?:threads )?an inch|threads)", re.I)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A pitch, mm, how it was named, and the thread that has it where a thread was named."""

    name: str
    pitch: float
    thread: Thread | None


class PitchType(ParamType):
    """A pitch: "1 mm", "26 tpi", or a thread that has it: "1/4 BSF"."""

    name = "pitch"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> Asked:
        """Return the pitch with the thread, if one was named."""
        if isinstance(value, Asked) or ctx is None:
            return cast(Asked, value)
        from pathgen.reckon.thread_names import thread  # noqa: PLC0415 - not for --help
        from pathgen.reckon.threads import as_printed  # noqa: PLC0415

        text = str(value).strip()
        match = _PITCH.fullmatch(text)
        if match and float(match[1]) > 0:
            metric = match[2].lower() == "mm"
            ctx.meta.setdefault(UNITS_KEY, "mm" if metric else "in")
            pitch = float(match[1]) if metric else INCH / float(match[1])
            return Asked(name=text, pitch=pitch, thread=None)
        try:
            found = thread(text)
        except ValueError as error:
            wrong, _, nearest = str(error).partition("; ")
            right = f'{nearest}; or write "1 mm" or "26 tpi"'
            raise refuse(param, wrong, right) from error
        ctx.meta.setdefault(UNITS_KEY, as_printed(found).unit)
        return Asked(name=found.designation, pitch=found.pitch, thread=found)


PITCH = PitchType()


@topic(
    "pitches",
    Example(
        typed='pitches M6 "26 tpi" --length 6',
        prints=(
            "they part by  0.138 mm  0.0055 in",
            "seem to be one up to  2.17 mm  0.085 in",
        ),
    ),
)
@click.argument("first", metavar="PITCH", type=PITCH)
@click.argument("second", metavar="[PITCH]", type=PITCH, required=False)
@click.option("--length", type=LENGTH, help="Over which they run together; else one diameter.")
@click.option(
    "--allowed",
    type=LENGTH,
    default=ALLOWED_DRIFT,
    show_default="0.05 mm",
    help="What they may part by.",
)
def pitches(
    say: Wording, first: Asked, second: Asked | None, length: float | None, allowed: float
) -> Answer:
    """Tell whether two pitches run together over a length, or only seem to.

    A PITCH is "1 mm", "26 tpi", or that of a thread, "1/4 BSF". With one alone, those of the
    standard series near it are told.
    """
    over = _length(first, second) if length is None else length
    if second is None:
        return _near(say, first, over, allowed)
    found = pitch_match(first.pitch, second.pitch, over, allowed)
    parted = tuple(_parted(first.thread, second.thread))
    return Answer(
        title=f"{first.name} and {second.name} over {say.both(over)}",
        rows=tuple(_rows(first, second, found)),
        formula=(
            (
                f"they part by = (difference of the pitches) x length / first pitch = "
                f"{say.figure(abs(first.pitch - second.pitch), 5)} x {say.figure(over)} / "
                f"{say.figure(first.pitch, 5)} = {say.length(found.drift, 4)}"
            ),
        ),
        advice=() if parted else (_verdict(say, found, over),),
        cautions=(*parted, *_cautions(first.thread, second.thread)),
        sources=_sources(allowed, say),
    )


def _length(first: Asked, second: Asked | None) -> float:
    """Return the length to compare over: one diameter of the smaller thread named."""
    threads = [each.thread for each in (first, second) if each is not None]
    majors = [thread.major for thread in threads if thread is not None]
    return USUAL_LENGTH * min(majors) if majors else PLAIN_LENGTH


def _sources(allowed: float, say: Wording) -> tuple[str, ...]:
    taken = f"{say.length(allowed, 3)} is what the clearance of the flanks takes up"
    return (f"{taken}: common practice, no source",)


def _rows(first: Asked, second: Asked, found: PitchMatch) -> Iterator[Row]:
    for each in (first, second):
        tpi = f"{plain(INCH / each.pitch, 3)} an inch"
        yield Row(quantity=each.name, value=each.pitch, unit="mm", places=4, note=tpi)
    yield Row(quantity="they part by", value=found.drift, unit="mm", places=3)
    if not found.exact:
        yield Row(quantity="seem to be one up to", value=found.seems, unit="mm")


def _verdict(say: Wording, found: PitchMatch, over: float) -> str:
    if found.exact:
        return "one pitch: they run together over any length"
    if found.matches:
        return (
            f"over {say.length(over)} they run together, but they are not one: beyond "
            f"{say.length(found.seems)} they bind"
        )
    return (
        f"they ONLY SEEM to match: a nut starts, and binds after {say.length(found.seems)}; forced "
        "on, it spoils both threads"
    )


def _parted(first: Thread | None, second: Thread | None) -> Iterator[str]:
    """Yield why one thread can never go on the other, whatever the pitch."""
    if first is None or second is None:
        return
    if first.left_hand != second.left_hand:
        yield "ONE IS LEFT-HAND: neither goes on the other, whatever the pitch"
    if first.starts != second.starts:
        yield (
            f"{first.starts} and {second.starts} starts: a turn goes {first.lead:g} and "
            f"{second.lead:g} mm, so NEITHER GOES ON THE OTHER"
        )


def _cautions(first: Thread | None, second: Thread | None) -> Iterator[str]:
    """Yield in what two threads differ besides their pitch."""
    if first is None or second is None:
        return
    if first.form != second.form:
        yield (
            f"flanks of {first.form.angle_deg:g} and {second.form.angle_deg:g} degrees: they bear "
            "on an edge, not on a face; not for a load"
        )
    apart = abs(first.major - second.major)
    if apart > 1e-6:
        yield f"the diameters are {apart:.3f} mm apart"


def _near(say: Wording, first: Asked, over: float, allowed: float) -> Answer:
    """Return the standard pitches near one, with how each runs together with it."""
    lines = []
    for pitch, thread in near_pitches(first.pitch):
        found = pitch_match(first.pitch, pitch, over, allowed)
        word = "one pitch" if found.exact else "runs together" if found.matches else "only seems to"
        upto = "any length" if math.isinf(found.seems) else say.length(found.seems)
        lines.append((thread.designation, pitch, INCH / pitch, found.drift, upto, word))
    columns = (
        Column(heading="as in"),
        Column(heading="pitch", unit="mm", places=4),
        Column(heading="an inch", places=3),
        Column(heading="parts by", unit="mm", places=3),
        Column(heading="seems one up to"),
        Column(heading=""),
    )
    none = () if lines else ("no standard series has a pitch within 3 % of it",)
    what = f"{first.name}, {say.both(first.pitch, 4)}"
    return Answer(
        title=f"Standard pitches near {what}, over {say.both(over)}",
        tables=(Table(title="Within 3 %", columns=columns, lines=tuple(lines)),) if lines else (),
        cautions=none,
        sources=_sources(allowed, say),
    )
