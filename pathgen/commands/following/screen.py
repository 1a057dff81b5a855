"""What the terminal shows of a step: one large, the ones before and after it small."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from pathgen.commands.following.work import Work
from postprocessors.dials.faces.cards import Card, shown_stop
from postprocessors.dials.faces.scales import scale_of
from postprocessors.dials.faces.screen_words import SUMS, sum_words
from postprocessors.dials.readings import Following, measure_of

WIDTH = 76
INDENT = "      "
ARROWS = {"clockwise": "\u21bb", "anticlockwise": "\u21ba"}
KEYS = "Enter done   u undo   arrows look about   j jump   n note   q stop here"
# Figures five lines high, read from afar: each row of a sign is three columns.
LARGE = {
    "0": "###,# #,# #,# #,###",
    "1": " # ,## , # , # ,###",
    "2": "###,  #,###,#  ,###",
    "3": "###,  #,###,  #,###",
    "4": "# #,# #,###,  #,  #",
    "5": "###,#  ,###,  #,###",
    "6": "###,#  ,###,# #,###",
    "7": "###,  #,  #,  #,  #",
    "8": "###,# #,###,# #,###",
    "9": "###,# #,###,  #,###",
    ".": " , , , ,#",
    "-": "   ,   ,###,   ,   ",
    "_": "   ,   ,   ,   ,###",
}


def large(figure: str) -> list[str]:
    """Return a figure five lines high.

    >>> [line.count(large("1")[-1][0]) for line in large("7.5")]
    [12, 4, 8, 4, 10]
    """
    rows = [LARGE[sign].split(",") for sign in figure]
    lines = ["  ".join("".join(c * 2 for c in row[i]) for row in rows).rstrip() for i in range(5)]
    return [line.replace("#", "\u2588") for line in lines]


def screen(work: Work, now: int, said: str = "") -> list[str]:
    """Return the lines of the screen.

    Args:
        work: where it stands.
        now: the step that is looked at.
        said: what is told below, if anything.
    """
    head = work.sheet.head
    total = len(work.cards)
    lines = [f"{head.title}: {head.setup}", *_under(work, now)]
    at = f"step {now} of {total}, {len(work.done)} done"
    if now != work.due and not work.finished:
        at += f"; you are looking about, the work stands at step {work.due}"
    lines += [at, ""]
    if now > 1:
        lines += [_small(work, now - 1), ""]
    lines += list(_full(work, work.card(now)))
    if now < total:
        lines += ["", _small(work, now + 1)]
    return [*lines, "", *([said, ""] if said else []), KEYS]


def _under(work: Work, number: int) -> list[str]:
    """Return the heading under which a step stands."""
    headings = [each for each in work.sheet.operations if each.first <= number]
    return [headings[-1].title.upper()] if headings else []


def _small(work: Work, number: int) -> str:
    """Return a step in one line."""
    card = work.card(number)
    mark = "x" if number in work.done else " "
    words = " ".join(each for each in _main(work, card) if each)
    line = f"[{mark}] {number:>3}  {words} {card.title}"
    return textwrap.shorten(line, WIDTH, placeholder=" ...") if len(line) > WIDTH else line


def _main(work: Work, card: Card) -> list[str]:
    """Return what stands first in a step, piece by piece."""
    pieces = ["CUT" if card.cut else "", card.handle, card.way or "", card.loud]
    return [*pieces, *_stop(work, card)[:2]]


def _stop(work: Work, card: Card) -> tuple[str, str, str]:
    """Return where a wind stops: how often 0 passes, the figure, the total and place."""
    step = card.step
    if card.stopping is None or not isinstance(step, Following):
        return "", "", ""
    found = work.found_for(card)
    stop = shown_stop(step, work.sheet, found)
    if found is None and card.follows:
        number, _ = work.asked(card.follows)
        said = SUMS["follows"].format(name=card.follows, number=number)
        return stop.way_there, "____", said
    beside = f" ({stop.beside})" if stop.beside else ""
    return stop.way_there, stop.figure, f"{stop.total}   {stop.place}{beside}".strip()


def _full(work: Work, card: Card) -> Iterator[str]:
    """Yield the lines of the step that is looked at."""
    mark = "x" if card.number in work.done else " "
    yield f"[{mark}] {card.number:>3}  {'CUTS METAL' if card.cut else ''}".rstrip()
    arrow = f"{ARROWS[card.way]} {card.way}" if card.way else ""
    for said in (card.handle, arrow, card.loud):
        if said:
            yield f"{INDENT}{said.upper() if said == card.handle else said}"
    passes, figure, total = _stop(work, card)
    if figure:
        yield f"{INDENT}{passes}"
        yield ""
        yield from (f"{INDENT}{line}" for line in large(figure))
        yield ""
        yield f"{INDENT}{total}"
    for line in (card.title, *card.lines, *_sum(work, card)):
        yield from textwrap.wrap(
            line, WIDTH, initial_indent=INDENT, subsequent_indent=f"{INDENT}  "
        )


def _sum(work: Work, card: Card) -> list[str]:
    """Return how a reading follows from what was found."""
    found = work.found_for(card)
    if found is None or not isinstance(card.step, Following):
        return []
    _, asked = work.asked(measure_of(card.step))
    return [sum_words(card.step, scale_of(card.step, work.sheet), asked, found)]
