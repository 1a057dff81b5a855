"""Comments of a program: a person's words made fit for one, and long ones carried on.

A comment runs from ``(`` to ``)`` on one line. What is too long for a line is carried on in the
comments that follow: one that begins with ``+`` goes on after a blank, one that begins with ``++``
goes on in the middle of a word.
"""

from __future__ import annotations

import unicodedata

# Some controls act on these characters wherever they stand, or end a line or a comment at them
# (common practice, no source).
SPELT = {
    "(": "[",
    ")": "]",
    ";": ",",
    "%": " percent",
    "!": ".",
    "?": ".",
    "~": "-",
    "\u00f8": "dia ",
    "\u00d8": "dia ",
    "\u2300": "dia ",
    "\u00d7": "x",
    "\u00b0": " deg",
    "\u2032": " ft",
    "\u2033": " in",
    "\u2010": "-",
    "\u2011": "-",
    "\u2012": "-",
    "\u2013": "-",
    "\u2014": "-",
    "\u2212": "-",
    "\u00df": "ss",
    "\u2018": "'",
    "\u2019": "'",
    "\u201c": '"',
    "\u201d": '"',
}
UNKNOWN = "_"
CONTINUED = "+ "
CUT_WORD = "++ "


def clean(text: str) -> str:
    """Return a text as it may stand in a comment: ASCII, no parenthesis, single blanks.

    >>> clean("slot (6 mm \u00d7 1\u00bd in),  50 % done!")
    'slot [6 mm x 1 1/2 in], 50 percent done.'
    """
    return " ".join("".join(_spelt(character) for character in text).split())


def _spelt(character: str) -> str:
    """Return what stands for one character."""
    if character in SPELT:
        return SPELT[character]
    if " " <= character <= "~":
        return character
    if character.isspace():
        return " "
    plain = unicodedata.normalize("NFKD", character).replace("\u2044", "/")
    kept = "".join(each for each in plain if " " <= each <= "~" and each not in SPELT)
    if unicodedata.category(character) == "No" and "/" in kept:
        return f" {kept}"
    return kept or UNKNOWN


def comments(text: str, line_length: int) -> list[str]:
    """Return a cleaned text as comment lines, each within the length with its parentheses.

    >>> comments("note: feel for burrs", 15)
    ['(note: feel)', '(+ for burrs)']
    >>> comments("digest: 0123456789abcdef", 15)
    ['(digest:)', '(+ 0123456789a)', '(++ bcdef)']
    """
    lines: list[str] = []
    mark, rest = "", text
    while True:
        room = line_length - 2 - len(mark)
        if len(rest) <= room:
            return [*lines, f"({mark}{rest})"]
        blank = rest.rfind(" ", 0, room + 1)
        if blank > 0:
            piece, rest, following = rest[:blank], rest[blank + 1 :], CONTINUED
        else:
            piece, rest, following = rest[:room], rest[room:], CUT_WORD
        lines.append(f"({mark}{piece})")
        mark = following
