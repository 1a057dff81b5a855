"""Reading ``[[mate]]`` tables, of a job or of a press file."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import cast

from pathgen.input.getters import Table
from pathgen.input.kinds import OneOf, Spelled
from pathgen.input.lengths import length
from pathgen.input.values import shown
from pathgen.input.where import WrongValue, nearest, quoted
from pathgen.job.mates import (
    BlankRef,
    BlankSize,
    Go,
    IsoFit,
    MadeRef,
    Measured,
    Outside,
    RoomRef,
    TradeWord,
    WantedMate,
    stated_play,
)
from pathgen.job.mating.screwing import screw_thread
from pathgen.job.thread_mates import (
    THREAD,
    ClearingRef,
    NamedScrew,
    ScrewRef,
    TappedFor,
    WantedThread,
)
from pathgen.reckon.tables import table as data
from pathgen.reckon.threads import Thread

BLANK_SIZES: tuple[BlankSize, ...] = ("width", "length", "thickness")
OWN_BLANK = OneOf(tuple(f"blank: {size}" for size in BLANK_SIZES))
BLANK_OF = Spelled(rf"\s*\S[^:]*: blank: ({'|'.join(BLANK_SIZES)})", "bar: blank: thickness")
PLAY = Spelled(r"(?:(.*\d.*?) to )?(.*\d.*?) play", "0.1 to 0.3 mm play")
FIT = Spelled(r"([A-Z]+\d+) ?/ ?([a-z]+\d+)", "H7/g6")
TAPPED = Spelled(r"tapped for .*\S.*", "tapped for M6")
SCREW = Spelled(r"[^:]*\S screw", "M6 screw")
MADE = Spelled(
    r"\s*\S[^:]*: (?!blank:).*\S.*: (left|thickness|length|diameter [0-9]+)",
    "nut: shoulders: left",
)
OF_ANOTHER = Spelled(rf"\s*\S[^:]*: .*\S.*: (diameter|{THREAD})", "cover: screw holes: diameter")
_UNIT = re.compile(r"[^\d.]+$")


def read_mate(table: Table, *, of_press: bool) -> WantedMate | WantedThread | None:
    """Read one ``[[mate]]``; None when anything in it was wrong."""
    name = table.text("name")
    inside = _inside(table, of_press=of_press)
    outside = _goes_in(table, of_press=of_press)
    go = _go(table)
    table.no_more()
    if table.faulty or inside is None or outside is None or go is None:
        return None
    where = table.where("go")
    if isinstance(go, TappedFor):
        if _faulty_thread(table, inside, outside, of_press=of_press):
            return None
        assert isinstance(outside, NamedScrew | ScrewRef | ClearingRef)
        return WantedThread(name=name, inside=inside, outside=outside, go=go, where=where)
    if isinstance(outside, ClearingRef):  # by no thread: a diameter that goes in
        outside = _of_diameter(outside)
    if isinstance(outside, NamedScrew | ScrewRef):
        right = 'write go = "tapped for M6", by the thread, or give what goes in as measured'
        table.wrong("go", f'{quoted(outside.said)} does not go "{go.said}"', right)
        return None
    return WantedMate(name=name, inside=inside, outside=outside, go=go, where=where)


def _of_diameter(ref: ClearingRef) -> MadeRef:
    """Return a turned diameter of another job, which is named as holes that clear a screw are."""
    return MadeRef(
        job=ref.job, feature=ref.feature, size="diameter", said=ref.said, where=ref.where
    )


def _faulty_thread(
    table: Table,
    inside: RoomRef,
    outside: Outside | NamedScrew | ScrewRef | ClearingRef,
    *,
    of_press: bool,
) -> bool:
    """Return whether one side of a mate by a thread is a mere size, and record it.

    What goes in is not told by its size alone, which may be that of several threads.
    """
    if inside.size != THREAD:
        wrong = f'"{inside.size}" has no thread'
        table.wrong("inside", wrong, f'name the tapped holes, as "{inside.feature}: {THREAD}"')
    if isinstance(outside, BlankRef | MadeRef | Measured):
        holes = f', or holes of another job, as "{OF_ANOTHER.example}"' if of_press else ""
        right = f'name the screw, as "{SCREW.example}"{holes}'
        table.wrong("outside", f"{outside.said}: a size alone does not tell a thread", right)
    return inside.size != THREAD or isinstance(outside, BlankRef | MadeRef | Measured)


def _inside(table: Table, *, of_press: bool) -> RoomRef | None:
    """Read which size has the room: "FEATURE: SIZE", in a press file "JOB: FEATURE: SIZE"."""
    said = table.text("inside")
    job, _, rest = said.partition(":") if of_press else ("", "", said)
    feature, _, size = rest.rpartition(":")
    if (of_press and not job.strip()) or not feature.strip() or not size.strip():
        form = "JOB: FEATURE: SIZE" if of_press else "FEATURE: SIZE"
        example = f"{'bar: ' if of_press else ''}stud slot: width"
        table.wrong("inside", quoted(said), f'write "{form}", as "{example}"')
        return None
    return RoomRef(
        job=job.strip(), feature=feature.strip(), size=size.strip(), where=table.where("inside")
    )


def _goes_in(
    table: Table, *, of_press: bool
) -> Outside | NamedScrew | ScrewRef | ClearingRef | None:
    """Read what goes in: a screw, that of another job or holes there that clear one, or a size."""
    where = table.where("outside")
    said = table.text_like("outside", SCREW)
    if said is not None:
        found = _thread(table, "outside", said)
        return None if found is None else NamedScrew(said=said, thread=found, where=where)
    said = table.text_like("outside", OF_ANOTHER) if of_press else None
    if said is not None:
        job, _, rest = said.partition(":")
        feature, _, size = (each.strip() for each in rest.rpartition(":"))
        ref = ScrewRef if size == THREAD else ClearingRef
        return ref(job=job.strip(), feature=feature, said=said, where=where)
    said = table.text_like("outside", MADE) if of_press else None
    if said is not None:
        job, _, rest = said.partition(":")
        feature, _, size = (each.strip() for each in rest.rpartition(":"))
        return MadeRef(job=job.strip(), feature=feature, size=size, said=said, where=where)
    return _outside(table, BLANK_OF if of_press else OWN_BLANK)


def _outside(table: Table, blank: OneOf | Spelled) -> Outside | None:
    """Read what goes in: the blank of a job, or a length, or the least and largest of one."""
    where = table.where("outside")
    if not table.has("outside"):
        table.wrong("outside", "missing", f"give a length as measured, or {_blanks(blank)}")
        return None
    said = table.text_like("outside", blank)
    if said is not None:
        whose, _, size = said.rpartition(":")
        job = whose.rpartition(":")[0].strip()
        return BlankRef(job=job, size=cast(BlankSize, size.strip()), said=said, where=where)
    if table.is_list("outside"):
        return _measured_range(table)
    value = table.raw("outside")
    if isinstance(value, str) and ":" in value:
        right = f"write {_blanks(blank)}, or give a length as measured"
        table.wrong("outside", f"{quoted(value)} names no part that is known here", right)
        return None
    found = table.length("outside", above=0)
    said = _spoken(value, table.units)
    return Measured(least=found, most=found, said=said, where=where)


def _blanks(blank: OneOf | Spelled) -> str:
    if isinstance(blank, OneOf):
        return f"{', '.join(map(quoted, blank.options))} of this job"
    return (
        f'the blank of a job, as "{blank.example}", what a job leaves standing, as "{MADE.example}"'
    )


def _measured_range(table: Table) -> Measured:
    least, most = table.lengths("outside", count=2)
    if not table.faulty and not 0 < least <= most:
        table.wrong("outside", table.say(least, most), "give the smaller first, above 0 mm")
    said = _range_spoken(table.raw("outside"), table.units)
    return Measured(least=least, most=most, said=said, where=table.where("outside"))


def _range_spoken(values: object, units: str) -> str:
    """Return a least and a largest size as they were written, with their unit."""
    ends = [_spoken(each, units) for each in values] if isinstance(values, list) else []
    if len(ends) == 2 and all(end.endswith(f" {units}") for end in ends):
        ends[0] = ends[0].removesuffix(f" {units}")
    return " to ".join(ends)


def _spoken(value: object, units: str) -> str:
    """Return a length as it was written, with its unit."""
    return value.strip() if isinstance(value, str) else f"{shown(value)} {units}"


# ---------------------------------------------------------------- how they go together


def _go(table: Table) -> Go | TappedFor | None:
    """Read how the parts should go together."""
    words = tuple(data("play")["words"])
    forms = (
        f'{", ".join(map(quoted, words))}, "{PLAY.example}", "{FIT.example}" or "{TAPPED.example}"'
    )
    if not table.has("go"):
        table.wrong("go", "missing", f"say how they go together: {forms}")
        return None
    readers: list[tuple[OneOf | Spelled, Callable[[Table, str], Go | TappedFor | None]]] = [
        (OneOf(words), lambda _, said: TradeWord(said=said)),
        (FIT, _fit),
        (TAPPED, _tapped),
        (PLAY, _play),
    ]
    for shape, read in readers:
        said = table.text_like("go", shape)
        if said is not None:
            return read(table, said)
    value = table.raw("go")
    alike = nearest(value, words) if isinstance(value, str) else ""
    hint = f"{alike} " if alike.startswith("did you") else ""
    table.wrong("go", f"{shown(value)} is no way to go together", f"{hint}use {forms}")
    return None


def _fit(_: Table, said: str) -> Go | None:
    found = re.fullmatch(FIT.pattern, said)
    return IsoFit(said=said, hole=found[1], shaft=found[2]) if found else None


def _tapped(table: Table, said: str) -> TappedFor | None:
    """Read the thread that parts go together by."""
    found = _thread(table, "go", said.removeprefix("tapped for "))
    return None if found is None else TappedFor(said=said, thread=found)


def _thread(table: Table, key: str, name: str) -> Thread | None:
    """Return the thread of a screw by its name, or None and record why there is none."""
    try:
        return screw_thread(name)
    except ValueError as error:
        wrong, _, right = str(error).partition("; ")
        table.wrong(key, wrong, right)
        return None


def _play(table: Table, said: str) -> Go | None:
    """Read a stated play: its least and most, or one figure; "0.1 to 0.3 mm" are both in mm."""
    found = re.fullmatch(PLAY.pattern, said)
    texts = [each.strip() for each in found.groups() if each] if found else []
    unit = _UNIT.search(texts[-1])
    if len(texts) == 2 and unit and not _UNIT.search(texts[0]):
        texts[0] += unit[0]
    try:
        figures = tuple(length(each, table.units) for each in texts)
    except WrongValue as error:
        table.wrong("go", f"{quoted(said)}: {error.wrong}", f'write "{PLAY.example}"')
        return None
    play = stated_play(said, figures)
    if not play.least < play.most:
        right = "state the least and the most, the smaller first"
        table.wrong("go", f"{quoted(said)} leaves no room between least and most play", right)
        return None
    return play
