"""Limits: ISO fits, play in the trade's words, general tolerances."""

from __future__ import annotations

import re
from collections.abc import Iterator

import click

from pathgen.commands.reckoning.answer import Answer, Column, Row, Table, Value, Wording
from pathgen.commands.reckoning.inputs import (
    LENGTH,
    as_length,
    read_length,
    refuse,
)
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.fits import Fit, Limits, Play, class_limits, hole_for, play_for, shaft_for
from pathgen.reckon.general_tolerances import (
    CLASSES,
    general_angle,
    general_chamfer,
    general_linear,
)
from pathgen.reckon.tables import table

FIT_WORDS = {
    "clearance": "always clear: it goes together by hand",
    "transition": "may be clear or tight: it depends on the two parts",
    "interference": "always tight: press it, or shrink it on",
}
SIZES_SOURCE = "ISO 286-1:2010, tables 1 to 5"
_SIZE_AND_CLASSES = re.compile(
    r"(?P<size>.*?)\s*(?P<first>[A-Za-z]{1,2}\d+)(?:\s*/\s*(?P<second>[A-Za-z]{1,2}\d+))?"
)
Wanted = tuple[float, tuple[str, ...]]


# ---------------------------------------------------------------- ISO fits


def _as_fit(ctx: click.Context, param: click.Parameter, words: tuple[str, ...]) -> Wanted:
    """Return the size, mm, and the one or two classes behind it."""
    text = " ".join(words)
    found = _SIZE_AND_CLASSES.fullmatch(text)
    if not found or not found["size"]:
        raise refuse(param, f'"{text}" is no size with its class', 'write "32 H7/g6" or "32 H7"')
    size = read_length(found["size"], ctx, param)
    return size, tuple(found[part] for part in ("first", "second") if found[part])


@topic(
    "fit",
    Example(
        typed="fit 32 H7/g6",
        prints=(
            "hole H7  32.000  32.025  32.013",
            "shaft g6  31.975  31.991  31.983",
            "least clearance  0.009 mm  0.0004 in",
            "most clearance  0.050 mm  0.0020 in",
        ),
    ),
)
@click.argument("wanted", metavar="SIZE CLASS[/CLASS]", nargs=-1, required=True, callback=_as_fit)
def fit(say: Wording, wanted: Wanted) -> Answer:
    """Tell the limits of a size with its ISO class, or of a hole and the shaft in it.

    Capitals are holes, small letters shafts: 32 H7/g6, 32 H7, "1 1/4 in g6".
    """
    size, classes = wanted
    limits = {name: class_limits(size, name) for name in classes}
    holes = [each for name, each in limits.items() if name[0].isupper()]
    shafts = [each for name, each in limits.items() if name[0].islower()]
    if len(limits) == 2 and not (holes and shafts):
        raise ValueError(
            f"{'/'.join(classes)} is no hole and shaft; write the hole in capitals and the "
            "shaft in "
            "small letters, as H7/g6"
        )
    pair = Fit(hole=holes[0], shaft=shafts[0]) if len(limits) == 2 else None
    return Answer(
        title=f"{say.length(size, 3)} {'/'.join(classes)}",
        rows=tuple(_fit_rows(pair)) if pair else (),
        tables=(_limits_table({f"{_kind(name)} {name}": each for name, each in limits.items()}),),
        formula=tuple(_fit_sums(pair, say)) if pair else (),
        advice=tuple(
            f"aim at the middle: {_kind(name)} {say.both(each.middle, 4)}"
            for name, each in limits.items()
        ),
        cautions=("measure both parts at one temperature; a warm part measures large",),
        sources=(SIZES_SOURCE,),
    )


def _kind(name: str) -> str:
    return "hole" if name[0].isupper() else "shaft"


def _limits_table(limits: dict[str, Limits]) -> Table:
    """Return the limits of parts by their names."""
    return Table(
        title="Limits",
        columns=(
            Column(heading="part"),
            Column(heading="smallest", unit="mm", places=3),
            Column(heading="largest", unit="mm", places=3),
            Column(heading="middle", unit="mm", places=3),
        ),
        lines=tuple(
            (name, each.smallest, each.largest, each.middle) for name, each in limits.items()
        ),
    )


def _fit_rows(pair: Fit) -> Iterator[Row]:
    for words, value in (
        ("least clearance", pair.smallest_clearance),
        ("most clearance", pair.largest_clearance),
    ):
        note = "minus: it is tight by that" if value < -1e-9 else "on diameter"
        yield Row(quantity=words, value=value, unit="mm", places=3, note=note)
    yield Row(quantity="kind of fit", value=FIT_WORDS[pair.kind])


def _fit_sums(pair: Fit, say: Wording) -> Iterator[str]:
    hole, shaft = pair.hole, pair.shaft
    yield (
        f"least clearance = smallest hole - largest shaft = {say.figure(hole.smallest)} - "
        f"{say.figure(shaft.largest)} = {say.length(pair.smallest_clearance, 4)}"
    )
    yield (
        f"most clearance = largest hole - smallest shaft = {say.figure(hole.largest)} - "
        f"{say.figure(shaft.smallest)} = {say.length(pair.largest_clearance, 4)}"
    )


# ---------------------------------------------------------------- play


@topic(
    "play",
    Example(
        typed='play "close slide" 32 --hole 32.01',
        prints=("least play  0.020 mm  0.0008 in", "shaft  31.950  31.990  31.970"),
    ),
)
@click.argument("word", metavar="WORD")
@click.argument("size", metavar="SIZE", type=LENGTH)
@click.option("--hole", type=LENGTH, help="The hole as measured: size the shaft for it.")
@click.option("--shaft", type=LENGTH, help="The shaft as measured: size the hole for it.")
@click.option(
    "--stated",
    nargs=2,
    type=LENGTH,
    metavar="LEAST MOST",
    help="What the word means in your shop, or a play of your own.",
)
def play(
    say: Wording,
    word: str,
    size: float,
    hole: float | None,
    shaft: float | None,
    stated: tuple[float, float] | None,
) -> Answer:
    """Put a word for play into figures at a size, and size the other part.

    WORD: press, push, "close slide", "free slide", loose, or your own with --stated.
    """
    known = play_for(word, size, {word: stated} if stated else None)
    made = dict(_other_parts(known, hole, shaft))
    meaning = "as stated" if stated else str(table("play")["words"][word]["meaning"])
    return Answer(
        title=f"{word} at {say.both(size, 3)}",
        rows=(
            Row(quantity="means", value=meaning),
            Row(quantity="least play", value=known.smallest, unit="mm", places=3, note="in all"),
            Row(quantity="most play", value=known.largest, unit="mm", places=3, note="in all"),
        ),
        tables=(_limits_table(made),) if made else (),
        formula=tuple(_play_sums(known, hole, shaft, say)),
        advice=tuple(f"aim at {say.both(each.middle, 3)} for the {n}" for n, each in made.items()),
        cautions=(
            (
                "words for play mean something else in every shop; where it matters name an "
                "ISO fit, as "
                "`pathgen reckon fit 32 H7/g6`, or state the play with --stated"
            ),
        ),
        sources=(known.source,),
    )


def _other_parts(
    known: Play, hole: float | None, shaft: float | None
) -> Iterator[tuple[str, Limits]]:
    """Yield the part that is still to be made, by name, with its limits."""
    if hole is not None:
        yield "shaft", shaft_for(Limits(nominal=hole, lower=0.0, upper=0.0), known)
    if shaft is not None:
        yield "hole", hole_for(Limits(nominal=shaft, lower=0.0, upper=0.0), known)


def _play_sums(known: Play, hole: float | None, shaft: float | None, say: Wording) -> Iterator[str]:
    least, most = say.figure(known.smallest), say.figure(known.largest)
    if hole is not None:
        yield (
            f"shaft = hole less the play = {say.figure(hole)} - {most} to {say.figure(hole)} "
            f"- {least}"
        )
    if shaft is not None:
        yield (
            f"hole = shaft and the play = {say.figure(shaft)} + {least} to "
            f"{say.figure(shaft)} + {most}"
        )


# ---------------------------------------------------------------- general tolerances


@topic(
    "tolerance",
    Example(
        typed="tolerance 35 --class m",
        prints=("plus or minus  0.30 mm  0.012 in", "largest  35.30 mm  1.390 in"),
    ),
)
@click.argument("size", metavar="SIZE", nargs=-1, required=True, callback=as_length)
@click.option(
    "--class",
    "tolerance_class",
    default="m",
    show_default=True,
    metavar="CLASS",
    help="f fine, m medium, c coarse, v very coarse.",
)
@click.option(
    "--of",
    "what",
    type=click.Choice(["length", "chamfer", "angle"]),
    default="length",
    show_default=True,
    help="A length or diameter, a chamfer or outside radius, an angle by its shorter side.",
)
def tolerance(say: Wording, size: float, tolerance_class: str, what: str) -> Answer:
    """Tell what a size that carries no limits may be out, by ISO 2768-1."""
    reckon = {"length": general_linear, "chamfer": general_chamfer, "angle": general_angle}[what]
    allowed = reckon(size, tolerance_class)
    unit = "deg" if what == "angle" else "mm"
    rows = [Row(quantity="plus or minus", value=allowed, unit=unit)]
    if what != "angle":
        rows.append(Row(quantity="smallest", value=size - allowed, unit="mm"))
        rows.append(Row(quantity="largest", value=size + allowed, unit="mm"))
    others: list[tuple[Value, ...]] = []
    for letter, words in CLASSES.items():
        try:
            others.append((f"{letter}, {words}", reckon(size, letter)))
        except ValueError:
            others.append((f"{letter}, {words}", "none at this size"))
    columns = (Column(heading="class"), Column(heading="plus or minus", unit=unit))
    side = "an angle with a shorter side of" if what == "angle" else f"a {what} of"
    return Answer(
        title=f"General tolerance of {side} {say.both(size)}, class {tolerance_class}",
        rows=tuple(rows),
        tables=(Table(title="All classes", columns=columns, lines=tuple(others)),),
        cautions=(
            "holds only where the drawing names the class and the size has no limits of its own",
        ),
        sources=("ISO 2768-1:1989, tables 1 to 3",),
    )
