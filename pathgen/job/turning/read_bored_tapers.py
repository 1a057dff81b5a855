"""Reading tapers in bores, and what there is no room for."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pathgen.input.getters import Table
from pathgen.job.turning.bored_tapers import BoredTaper
from pathgen.job.turning.edges import LINE, PROVED_OVER, TurnedEdge
from pathgen.job.turning.inside import AxialHole, Bored, Recess
from pathgen.job.turning.screwed import Screwed
from pathgen.job.turning.turned import Parted, Turned, TurnedFeature
from pathgen.reckon.general_tolerances import general_angle
from pathgen.reckon.tapers import half_angle

BEHIND = 2.5  # mm of the bore that stay behind a taper, to touch a tool on and to be measured
RING = 1.5  # mm of the right face that stay about its mouth, to touch a tool on


def read_bored_taper(table: Table, bored: Bored, tolerance_class: str) -> BoredTaper | None:
    """Read a taper in a bore that comes before it: 1 in so much of its length, on the diameter."""
    name, of = table.text("name"), table.text("of")
    length = table.length("length", above=0)
    ratio = 1 / table.number("one_in", least=1, most=100)
    beside = table.length("line_within", default=LINE, above=0)
    within = table.optional_number("angle_within_deg", above=0, most=1)
    table.choice("way", ("compound",), default="compound")
    table.no_more()
    if table.faulty:
        return None
    taper = BoredTaper(
        name=name,
        of=of,
        foot=bored.steps[0].diameter.middle / 2,
        along=length,
        rise=length * math.tan(math.radians(half_angle(ratio))),
        beside=beside,
        angle_within_deg=general_angle(length, tolerance_class) if within is None else within,
        where=table.where(),
    )
    _guard_length(table, taper, bored)
    return taper


def _guard_length(table: Table, taper: BoredTaper, bored: Bored) -> None:
    """Record a taper too short to measure, or that leaves too little of its bore."""
    if taper.along < PROVED_OVER:
        table.wrong(
            "length",
            f"{table.say(taper.along)} of taper are too short to measure its angle by",
            f"give {table.say(PROVED_OVER)} or more",
        )
    first, wanted = bored.steps[0].to, taper.runs_out + bored.corner + BEHIND
    if first is not None and first.low < wanted:
        table.wrong(
            "length",
            f"a taper of {table.say(taper.along)} in a bore of {table.say(first.low)}, which it may"
            f" leave {table.say(taper.runs_out)} from the face",
            f"let the first diameter of {bored.name!r} go to {table.say(wanted)} or more",
        )


def guard_bored_tapers(tables: Sequence[Table], features: Sequence[TurnedFeature]) -> None:
    """Record tapers in bores that the part has no room for, or after which others come in it."""
    for index, (table, taper) in enumerate(zip(tables, features, strict=True)):
        if isinstance(taper, BoredTaper):
            _guard_others(table, taper, features, features[index + 1 :])
            _guard_outside(table, taper, features[:index], features)


def _guard_others(
    table: Table,
    taper: BoredTaper,
    features: Sequence[TurnedFeature],
    later: Sequence[TurnedFeature],
) -> None:
    """Record what else is cut in a taper's bore once it is there, and threads."""
    inside = AxialHole | Bored | Recess | BoredTaper
    named = [each.name for each in later if isinstance(each, inside)]
    named += [each.name for each in features if isinstance(each, Screwed) and each.of == taper.of]
    if named:
        table.wrong(
            "of",
            f"{taper.of!r} takes {', '.join(named)} too: what is cut in it finds its zeros at a"
            " straight mouth",
            "let the taper be the last in its bore, and cut no thread there",
        )


def _guard_outside(
    table: Table,
    taper: BoredTaper,
    before: Sequence[TurnedFeature],
    features: Sequence[TurnedFeature],
) -> None:
    """Record a taper with nothing turned to prove its angle by, or with no room in the part."""
    turned = next((each for each in before if isinstance(each, Turned)), None)
    if turned is None:
        table.wrong(
            "of",
            "a taper in a bore with nothing turned outside before it: the angle of the compound is"
            " proved along that",
            "turn the outside in this setup, before the taper",
        )
        return
    feet = [each.foot for each in features if isinstance(each, TurnedEdge) and each.step == 1]
    rim = min([turned.steps[0].diameter.low / 2, *feet])
    if taper.out + taper.beside + RING > rim:
        table.wrong(
            "length",
            f"it is {table.say(2 * taper.out)} across at its mouth, in a face of"
            f" {table.say(2 * rim)}",
            f"leave {table.say(RING)} of the face about it",
        )
    parted = next((each for each in features if isinstance(each, Parted)), None)
    behind = taper.runs_out - taper.along + BEHIND
    if parted is not None and taper.along + behind > parted.length.low:
        table.wrong(
            "length",
            f"a taper of {table.say(taper.along)} in a part {table.say(parted.length.low)} long",
            f"leave {table.say(behind)} of the bore behind it",
        )
